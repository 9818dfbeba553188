//! Which issue comes before: the option or the job says so; a package that has gone out is never overwritten.

use crate::kit::{panelwright, sample_file, scratch};

/// A job folder on disk: the shelter's sketch and its job with more at its head.
fn job_folder(name: &str, head: &str) -> std::path::PathBuf {
    let folder = scratch(name);
    std::fs::write(
        folder.join("sketch.toml"),
        sample_file("napkin", "sketch.toml").bytes,
    )
    .unwrap();
    write_job(&folder, head, "");
    folder
}

fn write_job(folder: &std::path::Path, head: &str, tail: &str) {
    let job = sample_file("napkin", "job.toml");
    std::fs::write(
        folder.join("job.toml"),
        format!("{head}\n{}\n{tail}", job.text()),
    )
    .unwrap();
}

/// Runs `make` on such a folder; its exit code, and what it said.
fn make_there(folder: &std::path::Path, out: &str, more: &[&str]) -> (Option<i32>, String) {
    let path = |name: &str| folder.join(name).to_string_lossy().into_owned();
    let (sketch, job, out) = (path("sketch.toml"), path("job.toml"), path(out));
    let mut arguments = vec!["make", &sketch, "--job", &job, "--out", &out, "--no-pdf"];
    arguments.extend(more);
    let run = panelwright(&arguments);
    (
        run.status.code(),
        String::from_utf8_lossy(&run.stderr).into_owned(),
    )
}

fn manifest_of(folder: &std::path::Path, out: &str) -> String {
    std::fs::read_to_string(folder.join(out).join("manifest.json")).unwrap()
}

#[test]
fn the_job_names_the_issue_before_and_the_option_wins_over_it() {
    let folder = job_folder("named-issue", "");
    assert_eq!(make_there(&folder, "issue-0", &[]).0, Some(0));
    write_job(&folder, "revises = \"issue-0\"", "");
    assert_eq!(make_there(&folder, "issue-1", &[]).0, Some(0));
    assert!(manifest_of(&folder, "issue-1").contains("\"issue\": 1"));
    let files = |out: &str| {
        let sheet = folder.join(out).join("outlines/W101.dxf");
        std::fs::read(sheet).unwrap()
    };
    assert_eq!(files("issue-0"), files("issue-1"));
    // The job is the same but for that line, so its entries are carried as if nothing had been written into it.
    let read = |out: &str| {
        let dir = folder.join(out);
        let named = ["manifest.json", "panels.json"];
        let files = named.map(|name| (name.to_owned(), std::fs::read(dir.join(name)).unwrap()));
        panelwright::review::Issued::read(&files.into()).unwrap()
    };
    let job = std::fs::read_to_string(folder.join("job.toml")).unwrap();
    assert!(read("issue-1").has_job(&job.replace("issue-0", "issue-1")));
    assert!(!read("issue-1").has_job(&format!("{job}\n# edited")));
    let old = folder.join("issue-1");
    let (code, said) = make_there(&folder, "issue-2", &["--revise", old.to_str().unwrap()]);
    assert_eq!(code, Some(0), "{said}");
    assert!(manifest_of(&folder, "issue-2").contains("\"issue\": 2"));
    write_job(&folder, "revises = \"lost\"", "");
    let (code, said) = make_there(&folder, "issue-3", &[]);
    assert_eq!(code, Some(2));
    assert!(
        said.contains("revises names") && said.contains("lost"),
        "{said}"
    );
    assert!(!folder.join("issue-3").exists());
}

#[test]
fn an_issued_package_is_never_overwritten_and_both_ways_on_are_named() {
    let folder = job_folder("issued", "");
    assert_eq!(make_there(&folder, "out", &[]).0, Some(0));
    let before = manifest_of(&folder, "out");
    let refused = |more: &[&str], why: &str| {
        let (code, said) = make_there(&folder, "out", more);
        assert_eq!(code, Some(2), "{why}");
        for word in [why, "--out"] {
            assert!(said.contains(word), "{word}: {said}");
        }
        manifest_of(&folder, "out")
    };
    assert_eq!(refused(&[], "--revise"), before);
    assert_eq!(refused(&[], "--replace"), before);
    let out = folder.join("out");
    let own = ["--replace", "--revise", out.to_str().unwrap()];
    assert_eq!(refused(&own, "is the issue that is revised"), before);
    // A draft may be made again, from a job that says something else too.
    write_job(&folder, "", "# another draft");
    assert_eq!(make_there(&folder, "out", &["--replace"]).0, Some(0));
    let draft = manifest_of(&folder, "out");
    assert_ne!(draft, before);
    // A panel of it was cut.
    write_job(&folder, "", "[[panel]]\nmark = \"W101\"\nstatus = \"cut\"");
    assert_eq!(refused(&["--replace"], "W101 was released"), draft);
    // Something came back on it: not even a draft takes its place, but the very same package does, and keeps what came back.
    write_job(&folder, "", "# another draft");
    let answers = out.join("review/answers.toml");
    std::fs::create_dir_all(out.join("review")).unwrap();
    std::fs::write(&answers, "").unwrap();
    assert_eq!(make_there(&folder, "out", &["--replace"]).0, Some(0));
    assert!(answers.is_file());
    write_job(&folder, "", "# a third draft");
    assert_eq!(refused(&["--replace"], "marks or answers"), draft);
    std::fs::remove_file(&answers).unwrap();
    // A later issue stands there.
    write_job(&folder, "revises = \"out\"", "");
    assert_eq!(make_there(&folder, "next", &[]).0, Some(0));
    write_job(&folder, "", "");
    let (code, said) = make_there(&folder, "next", &["--replace"]);
    assert_eq!(code, Some(2));
    assert!(said.contains("issue 1 of a job, and issue 0"), "{said}");
}
