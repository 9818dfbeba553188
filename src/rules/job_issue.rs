//! What of a job says which issue comes before it, and the job without that.

/// A job's text without the line of `revises`, filled in or left out: the job of the next issue is the same but for it.
#[must_use]
pub fn job_without_revises(text: &str) -> String {
    text.split_inclusive('\n')
        .filter(|line| {
            let rest = line.trim_start_matches(['#', ' ', '\t']);
            let value = rest.strip_prefix("revises").map(str::trim_start);
            !value.is_some_and(|value| value.starts_with('='))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_line_that_names_the_issue_before_is_left_out() {
        let first = "name = \"Barn\"\n# revises = \"issue-0\"\n[wall]\nrevised = 1\n";
        let next = "name = \"Barn\"\nrevises=\"out/a\"\n[wall]\nrevised = 1\n";
        let without = "name = \"Barn\"\n[wall]\nrevised = 1\n";
        for text in [first, next, without] {
            assert_eq!(job_without_revises(text), without);
        }
        assert_ne!(job_without_revises(&without.replace('1', "2")), without);
    }
}
