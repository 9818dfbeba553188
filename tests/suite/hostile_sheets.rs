//! Sheets of jobs that are hard to draw: long names, tiny and huge panels, walls full of openings, many holds; every paper and
//! both lists of scales. Nothing stands on anything, and nothing is lost in silence.

use crate::kit::{SAMPLES, sample_file, sample_package};
use crate::sheets::unsaid;
use panelwright::documents::paper::overlap::{Overlap, overlaps};
use panelwright::documents::paper::{Sheet, to_svg};
use panelwright::documents::{
    IssueFacts, PanelSheetInput, PdfFiles, TitleFacts, panel_sheet, panel_sheets,
};
use panelwright::fabrication::Hold;
use panelwright::package::{InputFile, Made, MakeOptions, make};
use panelwright::rules::PlantRules;

fn text_file(name: &str, text: &str) -> InputFile {
    InputFile {
        name: name.to_owned(),
        bytes: text.as_bytes().to_vec(),
    }
}

#[track_caller]
pub(crate) fn made(plan: InputFile, job: &str, rules: &str) -> Made {
    let options = MakeOptions {
        job: Some(text_file("job.toml", job)),
        rules: Some(text_file("plant.toml", rules)),
        pdf: PdfFiles::LeftOut,
        ..MakeOptions::default()
    };
    make(&[plan], &options, &mut |_| {}).unwrap_or_else(|error| panic!("{error}"))
}

/// No sheet has an overlap; all that do are named with what overlaps.
#[track_caller]
pub(crate) fn clear(name: &str, sheets: impl IntoIterator<Item = Sheet>) {
    let found = meetings(name, sheets);
    assert!(found.is_empty(), "{found:#?}");
}

/// Sheets on which something meets something, and what.
fn meetings(name: &str, sheets: impl IntoIterator<Item = Sheet>) -> Vec<(String, Vec<Overlap>)> {
    sheets
        .into_iter()
        .map(|sheet| {
            (
                format!("{name} {} {}", sheet.name, sheet.paper),
                overlaps(&sheet),
            )
        })
        .filter(|(_, found)| !found.is_empty())
        .collect()
}

pub(crate) fn sheets(made: &Made) -> impl Iterator<Item = Sheet> {
    made.sheets.iter().map(|it| it.sheet.clone())
}

/// A rectangle of so many feet by so many, with openings.
pub(crate) fn sketch(feet: [u32; 2], openings: &str) -> InputFile {
    let [wide, deep] = feet;
    text_file(
        "sketch.toml",
        &format!(
            "name = \"Long\"\nthickness = \"6 1/2\\\"\"\nrun = [\"south: E {wide}'\", \"east: N {deep}'\", \"north: W {wide}'\", \"west: close\"]\n{openings}"
        ),
    )
}

pub(crate) fn opening(wall: &str, kind: &str, from_inches: u32, size: &str) -> String {
    let (feet, inches) = (from_inches / 12, from_inches % 12);
    format!(
        "\n[[opening]]\nwall = \"{wall}\"\nkind = \"{kind}\"\nfrom = \"{feet}'-{inches}\\\"\"\nsize = \"{size}\"\n"
    )
}

const LONG: &str = "Reserve for the observation of marsh birds, dragonflies and Rohrweihenbeobachtungsstationsangelegenheiten, second phase, north shore, revised after the meeting of the trustees";

#[test]
fn long_names_shrink_wrap_or_are_cut_with_the_whole_text_kept() {
    let job = format!(
        "name = \"{LONG}\"\nnumber = \"J-2026-000000000000000000000000000000001\"\nproject = \"{LONG}\"\ndrawn_by = \"{LONG}\"\ndate = \"2026-11-25\"\nassembly = \"6-1/2\"\n"
    );
    let rules = format!("name = \"{LONG}\"\n");
    let plan = sample_file("cottage", "plan.dxf");
    let text = String::from_utf8_lossy(&plan.bytes).into_owned();
    let room = "The room in which the warden keeps nets, boots and a great many books about reeds";
    let renamed = text.replace("LIVING ROOM", room);
    assert_ne!(text, renamed, "the sample has a living room");
    let made = made(text_file("plan.dxf", &renamed), &job, &rules);
    clear("long names", sheets(&made));
    for it in &made.sheets {
        let svg = String::from_utf8_lossy(&to_svg(&it.sheet)).into_owned();
        let document = roxmltree::Document::parse(&svg).unwrap();
        let said = |name: &str| {
            let nodes = document.descendants().filter(|it| it.has_tag_name(name));
            nodes.filter_map(|it| it.text()).any(|words| words == LONG)
        };
        // Who drew it does not fit its cell: it is cut there, and whole in the title of the group.
        assert!(said("title"), "{}", it.path);
        assert!(!said("text"), "{}", it.path);
    }
}

#[test]
fn tiny_and_huge_panels_and_walls_full_of_openings_have_clear_sheets() {
    let plain = "assembly = \"6-1/2\"\n";
    let shed = sketch([4, 3], &opening("south", "door", 6, "2068"));
    clear("shed", sheets(&made(shed, plain, "")));

    // Blanks along the wall under a report: panels of 24 ft, four windows and a door in one.
    let jumbo = "[[lines]]\nname = \"jumbo\"\nwidth = \"8'\"\nlength = \"24'\"\ntrim = 0\nstrength_axis = \"long\"\nwall_axis = \"either\"\nreport = \"none, a test\"\npanel_cents = 100\nblank_sq_ft_cents = 1\n";
    let openings: String = [30, 84, 138, 210]
        .map(|from| opening("south", "window", from, "3040"))
        .concat()
        + &opening("south", "door", 262 + 96, "3068");
    let hall = made(sketch([48, 26], &openings), plain, jumbo);
    let widest = hall
        .fabrication
        .panels
        .iter()
        .map(|it| it.width.to_inches());
    assert!(widest.fold(0.0, f64::max) > 270.0, "a panel of 24 ft");
    clear("hall", sheets(&hall));

    let mut openings = String::new();
    for number in 0..40 {
        let kind = if number % 7 == 3 { "door" } else { "window" };
        let size = if number % 7 == 3 { "2868" } else { "2030" };
        openings.push_str(&opening("south", kind, 24 + number * 60, size));
    }
    let wall = made(sketch([206, 30], &openings), plain, "");
    let most = wall.building.walls.iter().map(|it| it.openings.len()).max();
    assert_eq!(most, Some(40));
    let is_elevation = |sheet: &&Sheet| sheet.number.starts_with("Z-2");
    let drawn: Vec<String> = sheets(&wall)
        .filter(|it| is_elevation(&it))
        .map(|it| String::from_utf8(to_svg(&it)).unwrap())
        .collect();
    // 206 ft at no less than 1:50 is longer than the paper: parts that name each other, and every panel once.
    let parts = drawn.iter().map(|it| it.matches("match line: Z-2").count());
    assert!(parts.sum::<usize>() >= 4, "two long walls in parts");
    for panel in &wall.fabrication.panels {
        let words = ["", " HOLD"].map(|more| format!(">{}{more}<", panel.mark));
        let is_on = |it: &&String| words.iter().any(|words| it.contains(words));
        let count = drawn.iter().filter(is_on).count();
        assert_eq!(count, 1, "{}", panel.mark);
    }
    // Every opening and every plate has its name there, or the notes say where it is.
    let whole = drawn.concat();
    let long = wall
        .building
        .walls
        .iter()
        .find(|it| it.openings.len() == 40);
    for opening in &long.unwrap().openings {
        let words = [format!(">{}<", opening.id), format!("{} from ", opening.id)];
        assert!(words.iter().any(|it| whole.contains(it)), "{}", opening.id);
    }
    for plate in &wall.fabrication.plates {
        let words = ["<", " "].map(|after| format!("{}{after}", plate.mark));
        assert!(words.iter().any(|it| whole.contains(it)), "{}", plate.mark);
    }
    // No string of a wall so full says less than it measures.
    for sheet in sheets(&wall) {
        assert_eq!(unsaid(&sheet).0, Vec::<String>::new(), "{}", sheet.name);
    }
    clear("forty", sheets(&wall));
}

#[test]
fn a_plate_too_short_for_its_mark_has_it_beside_itself() {
    // Nine inches of sole plate between a door and the corner of a long wall.
    let hall = sketch([90, 40], &opening("south", "door", 1080 - 50, "3068"));
    let made = made(hall, "assembly = \"6-1/2\"\n", "");
    let is_short = |length: f64| length < 12.0;
    let plates = made.fabrication.plates.iter();
    let short = plates.filter(|it| is_short(it.length.to_inches()));
    let short: Vec<&str> = short.map(|it| it.mark.as_str()).collect();
    assert!(!short.is_empty(), "a short plate");
    let elevations = sheets(&made).filter(|it| it.number.starts_with("Z-2"));
    let drawn: String = elevations
        .map(|it| String::from_utf8(to_svg(&it)).unwrap())
        .collect();
    for mark in short {
        assert!(drawn.contains(&format!(">{mark} ")), "{mark}");
    }
    clear("short plate", sheets(&made));
}

#[test]
fn a_note_too_many_for_the_strip_stands_beside_the_panel_and_takes_no_sheet() {
    let mut made = sample_package("cottage", "plan.dxf");
    let rules = PlantRules::default();
    let facts = TitleFacts::default();
    let mut n_beside = 0;
    for number in 1..=40 {
        let panel = &mut made.fabrication.panels[0];
        panel
            .notes
            .push(format!("check number {number} of the list"));
        let input = PanelSheetInput {
            building: &made.building,
            layout: &made.layout,
            fabrication: &made.fabrication,
            rules: &rules,
            facts: &facts,
            issue: &IssueFacts::default(),
            north_deg: None,
        };
        let own = panel_sheet(&input, 0);
        let svg = |sheet: &Sheet| String::from_utf8(to_svg(sheet)).unwrap();
        let first = svg(&own[0]);
        if first.contains("more: beside the panel.") {
            n_beside += 1;
            assert_eq!(own.len(), 1, "with {number} notes");
        }
        let all: String = own.iter().map(svg).collect();
        for number in 1..=number {
            let words = format!(">Check number {number} of the list<");
            assert!(all.contains(&words), "{number}");
        }
        clear("notes", own);
    }
    assert!(n_beside > 0, "notes beside the panel");
}

#[test]
fn a_panel_with_many_holds_and_notes_has_a_clear_sheet_that_counts_what_stands_on_the_next() {
    let mut made = sample_package("cottage", "plan.dxf");
    for panel in made.fabrication.panels.iter_mut().take(3) {
        panel.holds = (1..=12)
            .map(|number| Hold {
                code: format!("FAB-{number:02}"),
                reason: format!("reason {number}: the engineer has not yet said what carries the beam that stands on this panel, nor where"),
            })
            .collect();
        panel.notes.extend((0..20).map(|number| {
            format!("note {number}: a thing that somebody in the plant should know before this is cut and glued")
        }));
    }
    let rules = PlantRules::default();
    let facts = TitleFacts {
        building: "Cottage".to_owned(),
        ..TitleFacts::default()
    };
    let drawn = panel_sheets(&PanelSheetInput {
        building: &made.building,
        layout: &made.layout,
        fabrication: &made.fabrication,
        rules: &rules,
        facts: &facts,
        issue: &IssueFacts::default(),
        north_deg: Some(0.0),
    });
    let svg = String::from_utf8_lossy(&to_svg(&drawn[0])).into_owned();
    assert!(svg.contains("more: see"), "what is left out is counted");
    assert!(
        svg.contains("reason 12") && svg.contains("Note 19"),
        "all of it stands in titles"
    );
    let further = drawn[1..].iter().take_while(|it| it.number.contains('.'));
    let further = further.map(|it| String::from_utf8_lossy(&to_svg(it)).into_owned());
    let further: String = further.collect();
    assert!(
        further.contains("FAB-12: reason 12") && further.contains("Note 19: a thing"),
        "all of it stands on the next sheets"
    );
    clear("holds", drawn);
}

/// Paper of plans and its width, mm; paper of panels; scales. Sizes: ASME Y14.1 and ISO 216.
const SIZES: [(&str, f64, &str, &str); 6] = [
    ("ANSI B", 431.8, "ANSI B", "imperial"),
    ("A3", 420.0, "A3", "metric"),
    ("ANSI D", 863.6, "Letter", "imperial"),
    ("ARCH C", 609.6, "A4", "metric"),
    ("ARCH D", 914.4, "A3", "metric"),
    ("A1", 841.0, "A4", "imperial"),
];

/// Here each sample at one size by turn; all at all of them when `EVERY_SIZE` is set, as `tests/long` does.
#[test]
fn every_paper_and_both_lists_of_scales_give_clear_sheets_of_the_size_asked_for() {
    let is_all = std::env::var_os("EVERY_SIZE").is_some();
    let (mut found, mut faceless) = (Vec::new(), Vec::new());
    for (turn, (case, plan)) in SAMPLES.iter().enumerate() {
        let job = sample_file(case, "job.toml").text().into_owned();
        for (number, (paper, width, panels, scales)) in SIZES.into_iter().enumerate() {
            if !is_all && number != turn % SIZES.len() {
                continue;
            }
            let rules = format!(
                "[sheets]\nplans = \"{paper}\"\nshop = \"{paper}\"\npanels = \"{panels}\"\nscales = \"{scales}\"\n"
            );
            let made = made(sample_file(case, plan), &job, &rules);
            let name = format!("{case} {paper} {panels} {scales}");
            for sheet in sheets(&made) {
                let datum = |key: &str| sheet.data.iter().find(|(name, _)| name == key);
                let wanted = if datum("panel").is_some() {
                    panels
                } else {
                    paper
                };
                assert_eq!(sheet.paper, wanted, "{name} {}", sheet.name);
                if wanted == paper {
                    assert!((sheet.width - width).abs() < 1e-9, "{name} {}", sheet.name);
                }
                if datum("panel").is_some() && !says_face_and_up(&sheet) {
                    faceless.push(format!("{name} {}", sheet.name));
                }
                if let Some((_, scale)) = datum("scale") {
                    let ratio: f64 = scale.trim_start_matches("1:").parse().unwrap();
                    let metric = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0];
                    let is_metric = metric.contains(&ratio);
                    let both = [1.0, 2.0].contains(&ratio);
                    assert!(both || is_metric == (scales == "metric"), "{name} {scale}");
                }
            }
            found.extend(meetings(&name, sheets(&made)));
        }
    }
    assert!(found.is_empty(), "{found:#?}");
    assert!(faceless.is_empty(), "{faceless:#?}");
}

/// A panel seen from the wrong side or set on its head is scrap.
fn says_face_and_up(sheet: &Sheet) -> bool {
    let text = String::from_utf8(to_svg(sheet)).unwrap();
    let both = text.contains(">OUTSIDE FACE<") && text.contains(">UP<");
    both || text.contains(">OUTSIDE FACE UP<")
}

#[test]
fn hanging_skins_panels_left_long_and_posts_in_corners_have_clear_elevations_that_say_so() {
    let glass = "[[opening]]\nwall = 'south'\nkind = 'window'\nfrom = \"23'\"\nsize = '5040'\n\
         [[opening]]\nwall = 'east'\nkind = 'window'\nfrom = \"0'\"\nsize = '4040'\n\
         [[opening]]\nwall = 'north'\nkind = 'door'\nfrom = \"10'\"\nsize = '3068'\n";
    for drop in ["1/2", "10 1/2", "36"] {
        let job = format!("assembly = '6-1/2'\n[wall]\nheight = \"9'\"\nskin_drop = '{drop}'\n");
        let made = made(sketch([28, 16], glass), &job, "[joints]\nmake_up = '1'\n");
        let is_elevation = |it: &Sheet| it.data.iter().any(|(key, _)| key == "elevation");
        clear(drop, sheets(&made));
        let text: String = sheets(&made)
            .filter(is_elevation)
            .map(|it| String::from_utf8(to_svg(&it)).unwrap())
            .collect();
        for said in [
            "9'-1 1/2\" DECK TO TOP",
            "BOTTOM OF OUTER SKIN",
            "trimmed to fit",
            " HOLD</text>",
            "Solid lumber, W",
            "hangs and does not bear",
        ] {
            assert!(text.contains(said), "{drop}: {said}");
        }
        let svg = |it: Sheet| String::from_utf8(to_svg(&it)).unwrap();
        let all: String = sheets(&made).map(svg).collect();
        assert!(!all.contains("both skins bear"), "{drop}");
    }
}

#[test]
fn a_building_of_which_no_wall_can_be_panelled_still_has_its_sheets_and_no_labels() {
    let options = MakeOptions {
        job: Some(text_file("job.toml", "[wall]\nheight = \"26'\"\n")),
        pdf: PdfFiles::Written,
        ..MakeOptions::default()
    };
    let made = make(&[sketch([20, 16], "")], &options, &mut |_| {}).unwrap();
    let has = |name: &str| made.documents.files.contains_key(name);
    assert!(has("sheets.pdf") && has("findings.json") && !has("labels.pdf"));
    let told = made.findings.iter();
    assert_eq!(told.filter(|it| it.code.name() == "LAY-01").count(), 4);
    clear("no panels", sheets(&made));
}
