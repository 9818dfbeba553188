//! Whether a job says by now what a mark proposed: the drafter took it over, and may have forgotten to answer the mark.

use crate::plan::{CorrectionIntent, PlanCorrection};
use crate::rules::{Job, JobLayout, JobOpening, JobWall, read_job};

/// What stands beside such a mark on the next issue's review sheet.
pub(super) const HINT: &str = "the job says so now";

/// A place that a job states is that of a proposal within this, inches: the drafter may have typed it to another fraction.
const SAME_PLACE: f64 = 1.0 / 32.0;

/// True when a job says all that a proposal would have it say: sizes of openings, heights of walls, where an opening or a joint goes.
pub(super) fn is_taken_over(proposal: &str, job: &Job) -> bool {
    let Ok(read) = read_job(proposal, "proposal") else {
        return false;
    };
    let asked = read.output;
    let corrections = &asked.corrections.list;
    let (openings, walls, layouts) = (&asked.openings, &asked.walls, &asked.layouts);
    let n_asked = openings.len() + walls.len() + layouts.len() + corrections.len();
    let moves = &job.corrections.list;
    n_asked > 0
        && openings
            .iter()
            .all(|it| job.openings.iter().any(|own| says_size(own, it)))
        && walls
            .iter()
            .all(|it| job.walls.iter().any(|own| says_height(own, it)))
        && layouts
            .iter()
            .all(|it| job.layouts.iter().any(|own| says_joints(own, it)))
        && corrections
            .iter()
            .all(|it| moves.iter().any(|own| says_move(own, it)))
}

/// An opening that is moved to where it was asked to go.
fn says_move(own: &PlanCorrection, asked: &PlanCorrection) -> bool {
    match (own.intent, asked.intent) {
        (CorrectionIntent::Moved { middle }, CorrectionIntent::Moved { middle: wanted }) => {
            own.anchor == asked.anchor && (middle - wanted).abs() < SAME_PLACE
        }
        _ => false,
    }
}

/// A wall with a joint wherever one was asked for.
fn says_joints(own: &JobLayout, asked: &JobLayout) -> bool {
    let is_there = |wanted: f64| {
        let mut joints = own.joints.iter();
        joints.any(|it| (it.to_inches() - wanted).abs() < SAME_PLACE)
    };
    own.anchor == asked.anchor
        && !asked.joints.is_empty()
        && asked.joints.iter().all(|it| is_there(it.to_inches()))
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

    #[test]
    fn a_job_that_moves_an_opening_or_a_joint_as_proposed_says_so() {
        let job = |text: &str| read_job(text, "job.toml").unwrap().output;
        let moved = "[[correction]]\nid = \"O4\"\nis = \"moved\"\nmiddle = \"8'-3\\\"\"\n";
        let joint = "[[layout]]\nid = \"X3\"\njoints = [\"94 1/2\\\"\"]\n";
        let more = joint.replace("[\"94", "[\"48\\\"\", \"94");
        let both = job(&format!("{moved}{more}"));
        assert!(is_taken_over(moved, &both));
        assert!(is_taken_over(joint, &both));
        assert!(is_taken_over(&format!("{moved}{joint}"), &both));
        assert!(!is_taken_over(&moved.replace("8'", "9'"), &both));
        assert!(!is_taken_over(&moved.replace("O4", "O5"), &both));
        assert!(!is_taken_over(&joint.replace("94", "95"), &both));
        assert!(!is_taken_over(&joint.replace("X3", "X4"), &both));
        assert!(!is_taken_over(joint, &job(moved)));
    }
}
