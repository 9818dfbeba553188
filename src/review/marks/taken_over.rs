//! Whether a job says by now what a mark proposed: the drafter took it over, and may have forgotten to answer the mark.

use crate::rules::{Job, JobOpening, JobWall, read_job};

/// What stands beside such a mark on the next issue's review sheet.
pub(super) const HINT: &str = "the job says so now";

/// True when a job says all that a proposal would have it say, of openings and heights of walls.
pub(super) fn is_taken_over(proposal: &str, job: &Job) -> bool {
    let Ok(read) = read_job(proposal, "proposal") else {
        return false;
    };
    let asked = read.output;
    let n_asked = asked.openings.len() + asked.walls.len();
    // What moves an opening or a joint is told by the plan and the layout, not by the words of the job.
    let is_more = !asked.corrections.list.is_empty() || !asked.layouts.is_empty();
    let openings = &asked.openings;
    let walls = &asked.walls;
    n_asked > 0
        && !is_more
        && openings
            .iter()
            .all(|it| job.openings.iter().any(|own| says_size(own, it)))
        && walls
            .iter()
            .all(|it| job.walls.iter().any(|own| says_height(own, it)))
}

fn says_size(own: &JobOpening, asked: &JobOpening) -> bool {
    let sizes = |it: &JobOpening| {
        [
            it.width,
            it.height,
            it.rough_width,
            it.rough_height,
            it.sill,
            it.head,
        ]
    };
    let mut pairs = sizes(own).into_iter().zip(sizes(asked));
    own.which == asked.which && pairs.all(|(own, asked)| asked.is_none() || own == asked)
}

fn says_height(own: &JobWall, asked: &JobWall) -> bool {
    own.wall == asked.wall && asked.wall_height.is_some() && own.wall_height == asked.wall_height
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_job_says_what_was_proposed_when_it_says_all_of_it() {
        let job = |text: &str| read_job(text, "job.toml").unwrap().output;
        let width = "[[opening]]\nid = \"O4\"\nrough_width = \"40\\\"\"\n";
        let height = "[[wall.only]]\nid = \"X1\"\nheight = \"9'-0\\\"\"\n";
        let both = job(&format!("{width}rough_height = \"50\\\"\"\n{height}"));
        assert!(is_taken_over(width, &both));
        assert!(is_taken_over(height, &both));
        assert!(!is_taken_over(&width.replace("40", "41"), &both));
        assert!(!is_taken_over(&width.replace("O4", "O5"), &both));
        assert!(!is_taken_over(height, &job(width)));
        assert!(!is_taken_over("", &both));
    }
}
