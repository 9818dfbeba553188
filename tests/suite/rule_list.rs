//! The list of rules that a checker of panel walls runs, each made to fire through the whole line from a sketch: the table in
//! `docs/layout.md` names them. "Fault" blocks what it touches, "doubt" and "note" warn. Common practice, no source, but for those
//! that name one.

use panelwright::fabrication::{FabricateOptions, fabricate};
use panelwright::findings::{Finding, Severity};
use panelwright::layout::{lay_out, options_of_job};
use panelwright::loads::plan_loads;
use panelwright::plan::plan_from_sketches;
use panelwright::rules::{Issue, read_job, read_rules};
use std::sync::OnceLock;

/// A house of 40 ft x 16 ft in 6-1/2 in panels with these openings in its south wall: kind, from, width, height.
fn sketch(openings: &[[&str; 4]]) -> String {
    let mut text = "name = 'House'\nthickness = '6 1/2'\nrun = [\"south: E 40'\", \"east: N 16'\", \"north: W 40'\", \"west: close\"]\n".to_owned();
    for [kind, from, width, height] in openings {
        text.push_str(&format!(
"[[opening]]\nwall = 'south'\nkind = {kind:?}\nfrom = {from:?}\nwidth = {width:?}\nheight = {height:?}\n"
        ));
    }
    text
}

/// What is found from the sketch to the trucks.
fn findings(openings: &[[&str; 4]], job: &str, rules: &str) -> Vec<Finding> {
    let mut all = Vec::new();
    let sketch = panelwright::drawing::read_sketch(&sketch(openings), "sketch.toml").unwrap();
    let plan = plan_from_sketches(&[sketch.into_output(&mut all)]).into_output(&mut all);
    let job = format!("assembly = '6-1/2'\n{job}");
    let job = read_job(&job, "job.toml").unwrap().into_output(&mut all);
    let rules = read_rules(rules, "plant.toml").unwrap();
    let rules = rules.into_output(&mut all);
    let building = panelwright::building::raise_building(&plan, &job, &rules).into_output(&mut all);
    let options = options_of_job(&job, (&plan, &building), &rules).into_output(&mut all);
    let layout = lay_out(&building, &rules, &options).into_output(&mut all);
    let options = FabricateOptions {
        earlier: &all.clone(),
        issue: Issue::Production,
    };
    let fabrication = fabricate(&building, &layout, &rules, &options).into_output(&mut all);
    plan_loads(&building, &fabrication, &rules).into_output(&mut all);
    all
}

/// What is found in the house without openings.
static PLAIN: OnceLock<Vec<Finding>> = OnceLock::new();

/// One finding of this code, severity and words.
#[track_caller]
fn check(code: &str, severity: Severity, words: &str, given: (&[[&str; 4]], &str, &str)) {
    let (openings, job, rules) = given;
    let all = findings(openings, job, rules);
    let found = all
        .iter()
        .any(|it| it.code.name() == code && it.severity == severity && it.message.contains(words));
    let told: Vec<String> = all.iter().map(ToString::to_string).collect();
    assert!(found, "{code} {words}: {told:#?}");
    // The plain house has none of it: the finding is of what was given.
    let plain = PLAIN.get_or_init(|| findings(&[], "", ""));
    let is_plain = plain
        .iter()
        .any(|it| it.code.name() == code && it.message.contains(words));
    assert!(!is_plain, "{code} is always told");
}

const WINDOW: [&str; 4] = ["window", "130", "48", "36"];

#[test]
fn joints_and_strips() {
    let joint = "[[layout]]\nat = ['10 ft', 0]\njoints = ['182']\n";
    check(
        "LAY-09",
        Severity::Doubt,
        "joints.from_opening",
        (&[WINDOW], joint, ""),
    );
    let pier = [
        ["opening", "8'", "8'", "80"],
        ["opening", "16'-8\"", "8'", "80"],
    ];
    check(
        "LAY-13",
        Severity::Doubt,
        "not sized: engineer",
        (&pier, "", ""),
    );
    let close = [["window", "130", "24", "36"], ["window", "158", "24", "36"]];
    check(
        "LAY-02",
        Severity::Doubt,
        "of panel stands between",
        (&close, "", ""),
    );
    check(
        "LAY-03",
        Severity::Doubt,
        "joint",
        (&[], "", "[plates]\njoint_offset = '60'\n"),
    );
}

#[test]
fn blanks_and_strength_axis() {
    check(
        "LAY-01",
        Severity::Fault,
        "no line makes them higher",
        (&[], "[wall]\nheight = \"25'\"\n", ""),
    );
    let wide = [["opening", "5'", "24'-6\"", "80"]];
    check(
        "LAY-05",
        Severity::Fault,
        "with its strength along its length",
        (&wide, "", ""),
    );
    // ANSI/APA PRS 610.1: the strength axis of wall facings stands vertical.
    let line = "[[lines]]\nname = 'jumbo'\nwidth = \"8'\"\nlength = \"24'\"\ntrim = 0\nstrength_axis = 'long'\nwall_axis = 'either'\n\
        panel_cents = 1\nblank_sq_ft_cents = 1\n";
    let error = read_rules(line, "plant.toml").unwrap_err();
    assert!(
        error.to_string().contains("names no evaluation report"),
        "{error}"
    );
}

#[test]
fn openings_and_headers() {
    check(
        "BLDG-14",
        Severity::Fault,
        "",
        (&[["door", "10'", "36", "96"]], "", ""),
    );
    // Above 4 ft a member is named and never sized.
    check(
        "BLDG-15",
        Severity::Doubt,
        "not sized: engineer",
        (&[["window", "130", "60", "36"]], "", ""),
    );
    // Wider than the plant's table names a member for, nobody does.
    check(
        "BLDG-15",
        Severity::Fault,
        "not sized: engineer",
        (&[["opening", "10'", "16'", "80"]], "", ""),
    );
    check(
        "BLDG-16",
        Severity::Fault,
        "",
        (&[["opening", "5'", "26'", "80"]], "", ""),
    );
    // 2018 IRC Table R602.7(1): 50 psf, 24 ft wide, roof only: 2-2x6 spans 3'-11", and less unbraced is not needed for 2x6.
    let loads = "[[opening]]\nkind = 'window'\nheader = '2-2x6'\n[loads]\nground_snow_psf = 50\nbuilding_width = \"24'\"\n\
        [[loads.bearing]]\nwall = 'X1'\ncarries = 'roof'\nsupports = 'roof'\n";
    check(
        "BLDG-41",
        Severity::Fault,
        "",
        (&[["window", "130", "60", "36"]], loads, ""),
    );
}

#[test]
fn point_loads_and_chases() {
    let point = "[[layout]]\nat = ['10 ft', 0]\npoints = [{ at = '150', width = '3-1/2', what = 'girder' }]\n";
    check(
        "LAY-11",
        Severity::Fault,
        "not sized: engineer",
        (&[WINDOW], point, ""),
    );
    // Where the job names the member over the opening, the load is its to carry, and no post is put into the opening.
    let named = format!("[[opening]]\nkind = 'window'\nheader = '3-2x10'\n{point}");
    let all = findings(&[WINDOW], &named, "");
    let told: Vec<_> = all.iter().filter(|it| it.code.name() == "LAY-11").collect();
    assert_eq!(told.len(), 1);
    assert_eq!(told[0].severity, Severity::Doubt);
    assert!(told[0].message.contains("3-2x10"), "{}", told[0]);
    assert!(told[0].message.ends_with("not sized: engineer"));
    assert!(
        all.iter().all(|it| it.severity != Severity::Fault),
        "{all:?}"
    );
    // A plant's table by width knows nothing of it, and half a load beside the opening is nobody's.
    let beside = named.replace("at = '150'", "at = '130'");
    for job in [point, beside.as_str()] {
        let all = findings(&[WINDOW], job, "");
        let told = all.iter().filter(|it| it.code.name() == "LAY-11");
        let told: Vec<Severity> = told.map(|it| it.severity).collect();
        assert_eq!(told, [Severity::Fault], "{job}");
    }
    check("FAB-07", Severity::Note, "", (&[WINDOW], "", ""));
    let pocket = "[[layout]]\nat = ['10 ft', 0]\npoints = [{ at = '150', width = '3-1/2', what = 'girder', post = '3-2x6' }]\n";
    check("FAB-17", Severity::Note, "", (&[], pocket, ""));
    check(
        "FAB-09",
        Severity::Doubt,
        "",
        (
            &[["door", "10'", "36", "80"]],
            "",
            "[chases]\nvertical_least = '47'\nvertical_spacing = '48'\n",
        ),
    );
    // From memory, IRC R610.7: two horizontal chases in a panel.
    check(
        "BLDG-19",
        Severity::Doubt,
        "horizontal chases",
        (&[], "", "[chases]\nhorizontal = ['16', '44', '72']\n"),
    );
}

/// IRC R610.2 (2018): walls to 10 ft, 60 ft x 40 ft, two storeys, 70 psf of snow, 155 mph in exposure B and 140 in C, seismic A to C;
/// at the limit nothing is said, just above it is. ANSI/APA PRS 610.1: 4-1/2 and 6-1/2 in.
#[test]
fn the_limits_of_the_prescriptive_rules() {
    let beyond = |job: &str| {
        let all = findings(&[], job, "");
        let told = all.into_iter().filter(|it| it.code.name() == "BLDG-19");
        told.map(|it| it.message).collect::<Vec<_>>()
    };
    let loads = |words: &str| format!("[loads]\n{words}\n");
    let at = loads("ground_snow_psf = 70\nwind_mph = 155\nexposure = 'B'\nseismic = 'C'");
    assert_eq!(
        beyond(&format!("[wall]\nheight = \"10'\"\n{at}")),
        Vec::<String>::new()
    );
    for (job, words) in [
        (
            "[wall]\nheight = \"10'-1\\\"\"\n".to_owned(),
            "the greatest wall height",
        ),
        (loads("ground_snow_psf = 71"), "snow"),
        (loads("wind_mph = 156\nexposure = 'B'"), "exposure B"),
        (loads("wind_mph = 141\nexposure = 'C'"), "exposure C"),
        (loads("seismic = 'D0'"), "seismic"),
        (
            "[[wall.only]]\nid = 'X1'\nassembly = '8-1/4'\n".to_owned(),
            "PRS 610.1",
        ),
    ] {
        let told = beyond(&job);
        assert!(
            told.len() == 1 && told[0].contains(words),
            "{job}: {told:?}"
        );
    }
}

/// From memory, IRC R610.8: a SIP header is 11-7/8 in deep or more and spans 4 ft at most; wider openings are framed by R602.7.
#[test]
fn a_panel_that_is_its_own_header() {
    let beyond = |entry: &str| {
        let job = format!("[[opening]]\nkind = 'window'\nheader = 'none'\n{entry}\n");
        let all = findings(&[["window", "130", "20", "24"]], &job, "");
        let told = all.into_iter().filter(|it| it.code.name() == "BLDG-19");
        told.map(|it| it.message).collect::<Vec<_>>()
    };
    // A panel of 96 in over a head at 84-1/8 in.
    assert_eq!(beyond("head = '84-1/8'"), Vec::<String>::new());
    assert_eq!(beyond("rough_width = '48'"), Vec::<String>::new());
    for (entry, words) in [
        ("head = '84-3/16'", "asks for 11 7/8"),
        ("rough_width = '48-1/16'", "lets it over 4'-0"),
    ] {
        let told = beyond(entry);
        assert!(
            told.len() == 1 && told[0].contains(words),
            "{entry}: {told:?}"
        );
    }
    // A lumber header is not a panel's.
    let lumber = findings(
        &[["window", "130", "20", "24"]],
        "[[opening]]\nkind = 'window'\nheader = '2-2x4'\nhead = '84-3/16'\n",
        "",
    );
    assert!(lumber.iter().all(|it| it.code.name() != "BLDG-19"));
}

#[test]
fn weights_and_trucks() {
    let lifts = "[lifts]\nhand_limit = 100\nforklift_limit = 200\ngreatest_weight = 225\n";
    check("FAB-11", Severity::Fault, "", (&[], "", lifts));
    check(
        "LOAD-01",
        Severity::Doubt,
        "higher than allowed",
        (&[], "", "[shipping]\ngreatest_height = \"5'-6\\\"\"\n"),
    );
    check(
        "LOAD-02",
        Severity::Fault,
        "payload",
        (&[], "", "[shipping]\npayload = 100\n"),
    );
}

/// 6 in from a jamb and 12 in for a strip: common practice, no source. 24 in between plate joints: IRC R602.3.2. 24 in between upright
/// chases: from memory, IRC R610.7.
#[test]
fn what_the_plant_allows_below_the_usual() {
    for rule in [
        "[joints]\nfrom_opening = '5-3/4'\n",
        "[joints]\nleast_panel = '11'\n",
        "[plates]\njoint_offset = '23'\n",
        "[chases]\nvertical_least = '23'\n",
    ] {
        check(
            "RULE-10",
            Severity::Doubt,
            "less than is usual",
            (&[], "", rule),
        );
    }
}

/// A member that neither the job nor the plant names holds its panel; one that the plant's rules name is asked about.
#[test]
fn a_post_that_nobody_names() {
    let point =
        "[[layout]]\nat = ['10 ft', 0]\npoints = [{ at = '100', width = '4', what = 'girder' }]\n";
    check(
        "FAB-30",
        Severity::Doubt,
        "not sized: engineer",
        (&[], point, ""),
    );
    let nobody = "[points]\nunnamed = 'none'\n";
    check(
        "FAB-32",
        Severity::Fault,
        "not sized: engineer",
        (&[], point, nobody),
    );
}

#[test]
fn foundations_measured_before_release() {
    let measured = "[[layout]]\nat = ['10 ft', 0]\nmeasured = \"40'-0 3/8\\\"\"\n";
    check(
        "LAY-12",
        Severity::Fault,
        "3/8\" longer",
        (&[], measured, ""),
    );
    let accepted = format!("{measured}measured_accepted = 'foreman: sill shimmed'\n");
    check(
        "LAY-12",
        Severity::Note,
        "accepted: foreman",
        (&[], &accepted, ""),
    );
    let released = "[[panel]]\nmark = 'W101'\nstatus = 'released'\n";
    check("LAY-20", Severity::Doubt, "X1", (&[], released, ""));
}
