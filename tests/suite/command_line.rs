//! Exit codes, messages, files written: 0 complete, 1 written but held, 2 refused with nothing written.

use crate::kit::{panelwright, sample_file, scratch, snapshot};
use std::fs;
use std::path::Path;

/// Runs `make` on bytes and expects a refusal that says `expected`, with nothing written and nothing lost.
#[track_caller]
fn refused(name: &str, bytes: &[u8], expected: &str) {
    let folder = scratch(&format!("refused-{}", name.replace('.', "-")));
    let input = folder.join(name);
    fs::write(&input, bytes).unwrap();
    let before = snapshot(&folder);
    let out = folder.join("out");
    for command in ["make", "trace"] {
        let run = panelwright(&[
            command,
            input.to_str().unwrap(),
            "--out",
            out.to_str().unwrap(),
        ]);
        let said = String::from_utf8_lossy(&run.stderr).into_owned();
        assert_eq!(run.status.code(), Some(2), "{command} {name}: {said}");
        assert!(
            said.to_lowercase().contains(expected),
            "{command} {name}: {said}"
        );
        assert!(said.contains(name), "the message names the file: {said}");
        assert_eq!(
            snapshot(&folder),
            before,
            "{command} {name}: something was written or left behind"
        );
    }
}

#[test]
fn what_is_no_drawing_is_refused_and_named() {
    refused("plan.dxf", b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n1 0 obj\n", "pdf");
    refused("empty.dxf", b"", "empty");
    refused(
        "text.dxf",
        b"Dear builder, the plan is in the other mail.\n",
        "dxf",
    );
}

#[test]
fn a_truncated_drawing_is_refused_at_its_last_line() {
    let whole = sample_file("bunkhouse", "plan.dxf").bytes;
    let text = String::from_utf8_lossy(&whole).into_owned();
    let entities = text.find("\nENTITIES").unwrap();
    refused(
        "truncated.dxf",
        &whole[..entities + (whole.len() - entities) / 3],
        "line",
    );
}

#[test]
fn a_drawing_without_entities_or_without_walls_is_refused() {
    refused(
        "nothing.dxf",
        b"0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n",
        "nothing",
    );
    let circle =
        b"0\nSECTION\n2\nENTITIES\n0\nCIRCLE\n8\n0\n10\n0\n20\n0\n40\n12\n0\nENDSEC\n0\nEOF\n";
    refused("circle.dxf", circle, "no wall");
}

#[test]
fn a_missing_file_is_refused() {
    let folder = scratch("missing");
    let out = folder.join("out");
    let run = panelwright(&["make", "no/such/plan.dxf", "--out", out.to_str().unwrap()]);
    assert_eq!(run.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&run.stderr).contains("no/such/plan.dxf"));
    assert!(!out.exists());
}

fn make_sample(out: &Path, more: &[&str]) -> std::process::Output {
    let mut arguments = vec![
        "make",
        "sample-drawings/napkin/sketch.toml",
        "--out",
        out.to_str().unwrap(),
    ];
    arguments.extend(more);
    panelwright(&arguments)
}

#[test]
fn an_out_that_cannot_be_written_is_refused() {
    let folder = scratch("unwritable");
    fs::write(folder.join("file"), "a file stands where the folder should").unwrap();
    let run = make_sample(&folder.join("file/out"), &[]);
    assert_eq!(
        run.status.code(),
        Some(2),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    assert!(String::from_utf8_lossy(&run.stderr).contains("--out"));
}

#[test]
fn a_filled_out_is_refused_without_replace_and_replaced_with_it() {
    let folder = scratch("filled");
    let out = folder.join("out");
    let first = make_sample(&out, &[]);
    assert!(
        matches!(first.status.code(), Some(0 | 1)),
        "{}",
        String::from_utf8_lossy(&first.stderr)
    );
    let before = snapshot(&out);
    let refused = make_sample(&out, &[]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&refused.stderr).contains("--replace"));
    assert_eq!(snapshot(&out), before);
    assert_eq!(
        make_sample(&out, &["--replace"]).status.code(),
        first.status.code()
    );
    assert_eq!(
        snapshot(&out),
        before,
        "the same input gives the same package"
    );
    fs::write(folder.join("notes.txt"), "mine").unwrap();
    let foreign = make_sample(&folder, &["--replace"]);
    assert_eq!(
        foreign.status.code(),
        Some(2),
        "a folder that holds no package is never replaced"
    );
    assert_eq!(
        fs::read_to_string(folder.join("notes.txt")).unwrap(),
        "mine"
    );
}

#[test]
fn a_package_verifies_and_one_with_a_moved_vertex_does_not() {
    let out = scratch("verify").join("out");
    make_sample(&out, &[]);
    let shown = out.to_str().unwrap();
    let proved = panelwright(&["verify", shown]);
    assert_eq!(
        proved.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&proved.stdout)
    );
    let outline = ["outlines", "held"]
        .iter()
        .filter_map(|folder| fs::read_dir(out.join(folder)).ok())
        .flatten()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "dxf"))
        .min()
        .unwrap();
    let text = fs::read_to_string(&outline).unwrap();
    let moved = text
        .replacen("\n108", "\n107", 1)
        .replacen("\n96", "\n95", 1);
    assert_ne!(text, moved);
    fs::write(&outline, moved).unwrap();
    let failed = panelwright(&["verify", shown]);
    assert_eq!(
        failed.status.code(),
        Some(1),
        "{}",
        String::from_utf8_lossy(&failed.stdout)
    );
    assert_eq!(
        panelwright(&["verify", "src"]).status.code(),
        Some(2),
        "a folder that is no package"
    );
}

#[test]
fn a_panel_is_explained_and_an_unknown_one_names_the_known() {
    let out = scratch("explain").join("out");
    make_sample(&out, &[]);
    let shown = out.to_str().unwrap();
    let said = panelwright(&["explain", shown, "W101"]);
    assert_eq!(
        said.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&said.stderr)
    );
    let words = String::from_utf8_lossy(&said.stdout);
    assert!(words.contains("why here"));
    // Lengths read as on the sheets, and each rule is told with the section of the file that has it.
    assert!(words.contains("8'-0\" high"), "{words}");
    assert!(
        words.contains("[[lines]] of `panelwright rules`"),
        "{words}"
    );
    let unknown = panelwright(&["explain", shown, "W999"]);
    assert_eq!(unknown.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&unknown.stderr).contains("W101"));
}

#[test]
fn a_job_folder_is_started_once_and_what_it_holds_can_be_made() {
    let folder = scratch("new").join("job");
    let shown = folder.to_str().unwrap();
    assert_eq!(panelwright(&["new", shown]).status.code(), Some(0));
    assert_eq!(
        panelwright(&["new", shown]).status.code(),
        Some(2),
        "nothing is overwritten"
    );
    let (job, plant) = (folder.join("job.toml"), folder.join("plant.toml"));
    let run = make_sample(
        &folder.join("out"),
        &[
            "--job",
            job.to_str().unwrap(),
            "--rules",
            plant.to_str().unwrap(),
        ],
    );
    assert!(
        matches!(run.status.code(), Some(0 | 1)),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
}

#[test]
fn rules_and_schemas_are_printed() {
    let rules = panelwright(&["rules"]);
    assert!(String::from_utf8_lossy(&rules.stdout).contains("[joints]"));
    let schemas: serde_json::Value =
        serde_json::from_slice(&panelwright(&["rules", "--schema"]).stdout).unwrap();
    for file in ["plant.toml", "job.toml", "sketch.toml"] {
        assert!(schemas[file]["properties"].is_object(), "{file}");
    }
}

#[test]
fn a_misspelt_job_is_refused_with_file_line_and_what_would_be_right() {
    let folder = scratch("misspelt");
    let job = folder.join("job.toml");
    fs::write(&job, "name = \"X\"\n\n[wall]\nhieght = \"9'\"\n").unwrap();
    let run = make_sample(&folder.join("out"), &["--job", job.to_str().unwrap()]);
    let said = String::from_utf8_lossy(&run.stderr).into_owned();
    assert_eq!(run.status.code(), Some(2), "{said}");
    assert!(
        said.contains("job.toml:4") && said.contains("height"),
        "{said}"
    );
}

#[test]
fn findings_are_printed_as_json_on_request() {
    let out = scratch("json").join("out");
    let run = make_sample(&out, &["--format", "json"]);
    let findings: serde_json::Value = serde_json::from_slice(&run.stdout).unwrap();
    assert!(!findings.is_null());
}

/// Runs a batch of three jobs: one sound, one without a plan, one whose plan is no drawing.
fn batch(folder: &Path, more: &[&str]) -> std::process::Output {
    let (jobs, out) = (folder.join("jobs"), folder.join("out"));
    let mut arguments = vec!["batch", jobs.to_str().unwrap(), "--no-pdf", "--out"];
    arguments.push(out.to_str().unwrap());
    arguments.extend(more);
    panelwright(&arguments)
}

fn put(folder: &Path, job: &str, name: &str, bytes: &[u8]) {
    let folder = folder.join("jobs").join(job);
    fs::create_dir_all(&folder).unwrap();
    fs::write(folder.join(name), bytes).unwrap();
}

#[test]
fn a_batch_makes_what_it_can_and_reports_every_job() {
    let folder = scratch("batch");
    let sketch = sample_file("napkin", "sketch.toml").bytes;
    let job = sample_file("napkin", "job.toml").bytes;
    put(&folder, "napkin", "sketch.toml", &sketch);
    put(&folder, "napkin", "job.toml", &job);
    let run = batch(&folder, &[]);
    let said = String::from_utf8_lossy(&run.stderr).into_owned();
    assert_eq!(run.status.code(), Some(0), "{said}");

    put(&folder, "empty", "job.toml", &job);
    put(&folder, "torn", "plan.dxf", b"%PDF-1.7\n");
    put(&folder, "two", "a.dxf", b"");
    put(&folder, "two", "b.dxf", b"");
    let run = batch(&folder, &[]);
    assert_eq!(
        run.status.code(),
        Some(2),
        "what is there is not overwritten"
    );
    let before = snapshot(&folder.join("out/napkin"));
    let run = batch(&folder, &["--replace"]);
    assert_eq!(run.status.code(), Some(1), "one is made, three are refused");
    let out = folder.join("out");
    assert_eq!(
        snapshot(&out.join("napkin")),
        before,
        "the same job gives the same bytes"
    );
    let report = fs::read_to_string(out.join("report.json")).unwrap();
    let report: serde_json::Value = serde_json::from_str(&report).unwrap();
    let outcomes: Vec<(&str, &str)> = report["jobs"]
        .as_array()
        .unwrap()
        .iter()
        .map(|it| (it["job"].as_str().unwrap(), it["outcome"].as_str().unwrap()))
        .collect();
    let expected = [
        ("empty", "refused"),
        ("napkin", "complete"),
        ("torn", "refused"),
        ("two", "refused"),
    ];
    assert_eq!(outcomes, expected);
    let page = fs::read_to_string(out.join("report.md")).unwrap();
    assert!(
        page.contains("4 jobs: 1 complete, 0 on HOLD, 3 refused"),
        "{page}"
    );
    assert!(page.contains("name them plan-1"), "{page}");
    let table = fs::read_to_string(out.join("report.csv")).unwrap();
    assert_eq!(table.lines().count(), 5);
    assert!(out.join("napkin/manifest.json").is_file() && !out.join("torn").exists());
}

#[test]
fn a_batch_of_nothing_or_into_its_own_jobs_is_refused() {
    let folder = scratch("batch-refused");
    fs::create_dir_all(folder.join("jobs")).unwrap();
    assert_eq!(batch(&folder, &[]).status.code(), Some(2));
    put(&folder, "torn", "plan.dxf", b"");
    let (jobs, out) = (folder.join("jobs"), folder.join("jobs/out"));
    let run = panelwright(&[
        "batch",
        jobs.to_str().unwrap(),
        "--out",
        out.to_str().unwrap(),
    ]);
    assert_eq!(run.status.code(), Some(2));
    assert_eq!(
        batch(&folder, &[]).status.code(),
        Some(2),
        "every job is refused"
    );
}
