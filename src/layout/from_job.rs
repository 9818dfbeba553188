//! What the job says about the layout of walls, as options: each `[[layout]]` entry finds its wall by id or by a point.

use super::as_drawn::nail_as_drawn;
use super::codes;
use super::measured::unmeasured;
use super::options::{CornerWish, LayoutOptions, Said, WallWishes};
use crate::building::Building;
use crate::findings::{Finding, Outcome, Place};
use crate::plan::{CorrectionAnchor, Plan, Storey};
use crate::rules::{CornerWord, Job, JobLayout, PlantRules};
use geo::Coord;

/// How far beside a wall's outside face a point may lie and still mean the wall, inches; the nearest wall of all is meant.
const BESIDE: f64 = 24.0;

/// The layout options of a job.
///
/// - Entries for the same wall add up. One that finds no wall is a doubt, never dropped in silence.
#[must_use]
pub fn options_of_job(
    job: &Job,
    (plan, building): (&Plan, &Building),
    rules: &PlantRules,
) -> Outcome<LayoutOptions> {
    let mut options = LayoutOptions::default();
    let mut findings = Vec::new();
    for entry in &job.layouts {
        match wall_of(entry, plan, building) {
            Some(id) => add((job, entry), options.walls.entry(id).or_default()),
            None => findings.push(Finding::doubt(
                codes::WISH_REFUSED,
                Place::line(&job.file, entry.line),
                "this [[layout]] finds no wall that is panelled",
                "give the wall's id from trace.svg, or a point on its outside face",
            )),
        }
    }
    let models = (plan, building);
    findings.extend(nail_as_drawn((job, rules), models, &mut options));
    findings.extend(unmeasured(job, building, &options));
    Outcome {
        output: options,
        findings,
    }
}

fn add((job, entry): (&Job, &JobLayout), wishes: &mut WallWishes) {
    let corner = |word: Option<CornerWord>| {
        word.map(|word| match word {
            CornerWord::Through => CornerWish::RunsThrough,
            CornerWord::Butt => CornerWish::Butts,
        })
    };
    wishes.joints.extend(&entry.joints);
    wishes.keep_clear.extend(&entry.keep_clear);
    wishes.locked.extend(&entry.locked);
    wishes.left = corner(entry.left).or(wishes.left);
    wishes.right = corner(entry.right).or(wishes.right);
    if entry.measured.is_some() {
        wishes.measured = entry.measured;
        wishes
            .measured_accepted
            .clone_from(&entry.measured_accepted);
    }
    wishes.points.extend_from_slice(&entry.points);
    wishes.boxes.extend_from_slice(&entry.boxes);
    wishes.nailers.extend_from_slice(&entry.nailers);
    wishes.chases.extend_from_slice(&entry.chases);
    let points = entry.points.iter().map(|it| (it.what.clone(), [it.at; 2]));
    let boxes = entry.boxes.iter();
    let boxes = boxes.map(|it| (format!("the box for {}", it.what), [it.at; 2]));
    let nailers = entry.nailers.iter();
    let nailers = nailers.map(|it| (format!("the nailer for {}", it.what), [it.from, it.to]));
    let all = points.chain(boxes).chain(nailers);
    wishes.said.extend(all.map(|(what, ends)| Said {
        what,
        ends,
        file: job.file.clone(),
        line: entry.line,
    }));
}

/// Id of the building's wall that an entry means.
fn wall_of(entry: &JobLayout, plan: &Plan, building: &Building) -> Option<String> {
    match &entry.anchor {
        // The table of a wall has no key for a dimension.
        CorrectionAnchor::Dimension(_) => None,
        CorrectionAnchor::Id(id) => {
            let mut walls = building.walls.iter();
            walls
                .find(|wall| wall.id == *id)
                .map(|wall| wall.id.clone())
        }
        CorrectionAnchor::Point { at, storey } => {
            let storeys = plan.storeys.iter();
            let of = storeys.filter(|own| storey.as_ref().is_none_or(|id| *id == own.id));
            let near = of.flat_map(|storey| {
                let point = in_building(storey, Coord { x: at[0], y: at[1] });
                let walls = building
                    .walls
                    .iter()
                    .filter(|wall| wall.storey == storey.id);
                walls.filter_map(move |wall| {
                    let (along, out) = wall.frame.local(point);
                    let length = wall.face_length.to_inches();
                    let beyond = (-along).max(along - length).max(0.0);
                    let off = out.abs().max(beyond);
                    (off <= BESIDE).then_some((off, wall))
                })
            });
            let nearest = near.min_by(|a, b| a.0.total_cmp(&b.0));
            nearest.map(|(_, wall)| wall.id.clone())
        }
    }
}

/// From a storey's drawing coordinates to building coordinates.
pub(super) fn in_building(storey: &Storey, point: Coord<f64>) -> Coord<f64> {
    let place = &storey.to_building;
    let (sine, cosine) = place.turn_deg.to_radians().sin_cos();
    let [dx, dy] = place.shift;
    Coord {
        x: point.x * cosine - point.y * sine + dx,
        y: point.x * sine + point.y * cosine + dy,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::lay_out;
    use crate::layout::testing::{add_window, rectangle};
    use crate::rules::read_job;
    use crate::units::Length;

    fn options(text: &str) -> Outcome<LayoutOptions> {
        let job = read_job(text, "job.toml").unwrap().output;
        let plan = Plan {
            storeys: vec![Storey {
                id: "S1".to_owned(),
                ..Storey::default()
            }],
            ..Plan::default()
        };
        let rules = PlantRules::default();
        options_of_job(&job, (&plan, &rectangle(288, 192, &rules)), &rules)
    }

    #[test]
    fn an_entry_finds_its_wall_by_id_or_by_a_point_near_it() {
        let found = options(
            "[[layout]]\nid = 'X2'\njoints = [96]\n[[layout]]\nat = [286, 100]\nright = 'butt'\n[[layout]]\nat = [100, 190]\nlocked = [[0, 48]]\n",
        );
        assert_eq!(found.findings, []);
        let walls = found.output.walls;
        assert_eq!(walls["X2"].joints, [Length::inches(96)]);
        assert_eq!(walls["X2"].right, Some(CornerWish::Butts));
        assert_eq!(walls["X3"].locked, [[Length::ZERO, Length::inches(48)]]);
        assert_eq!(walls.len(), 2);
    }

    #[test]
    fn released_panels_ask_for_a_measured_foundation_and_open_ones_do_not() {
        let job = |status: &str| format!("[[panel]]\nmark = 'W101'\nstatus = '{status}'\n");
        assert_eq!(options(&job("open")).findings, []);
        let found = options(&job("released")).findings;
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].code, codes::NOT_MEASURED);
        assert!(
            found[0].message.ends_with("X1, X2, X3, X4"),
            "{}",
            found[0].message
        );
        let walls = ["X1", "X2", "X3", "X4"];
        let all = walls.map(|id| format!("[[layout]]\nid = '{id}'\nmeasured = 288\n"));
        assert_eq!(options(&(job("cut") + &all.concat())).findings, []);
    }

    #[test]
    fn an_acceptance_needs_what_is_accepted() {
        let text = "[[layout]]\nid = 'X1'\nmeasured_accepted = 'foreman'\n";
        let error = read_job(text, "job.toml").unwrap_err().to_string();
        assert!(
            error.starts_with("job.toml:3: measured_accepted stands without measured"),
            "{error}"
        );
    }

    #[test]
    fn what_the_job_puts_where_no_panel_is_is_told_with_its_line() {
        let text = "[[layout]]\nid = 'X1'\nboxes = [{ at = 400, height = 16, size = [3, 4], what = 'socket' }, { at = 40, height = 16, size = [3, 4], what = 'switch' }]\nnailers = [{ from = 300, to = 340, height = 60, section = '2x6', what = 'cabinets' }]\n[[layout]]\nid = 'X1'\npoints = [{ at = 500, width = 4, what = 'girder' }]\n[[layout]]\nid = 'X3'\nboxes = [{ at = 145, height = 16, size = [3, 4], what = 'lamp' }]\n";
        let options = options(text).output;
        let rules = PlantRules::default();
        let mut house = rectangle(288, 192, &rules);
        // Too wide to be cut whole: no panel there.
        add_window(&mut house.walls[2], 90, 200);
        let found = lay_out(&house, &rules, &options).findings;
        let refused = found.iter().filter(|it| it.code == codes::WISH_REFUSED);
        let told: Vec<_> = refused
            .map(|it| (it.place.line, it.message.as_str()))
            .collect();
        for (line, what) in [
            (1, "the box for socket at 33'-4\""),
            (1, "the nailer for cabinets at 25'-0\""),
            (5, "girder at 41'-8\""),
            (8, "the box for lamp at 12'-1\""),
        ] {
            let is_told =
                |(at, words): &(Option<usize>, &str)| *at == Some(line) && words.starts_with(what);
            assert!(told.iter().any(is_told), "{what}: {told:?}");
        }
        assert_eq!(told.len(), 4, "{told:?}");
    }

    #[test]
    fn an_entry_that_finds_no_wall_is_reported_with_its_line() {
        let found = options("[[layout]]\nid = 'X9'\njoints = [96]\n[[layout]]\nat = [144, 96]\n");
        let lines: Vec<_> = found
            .findings
            .iter()
            .map(|f| (f.code, f.place.line))
            .collect();
        assert_eq!(
            lines,
            [
                (codes::WISH_REFUSED, Some(1)),
                (codes::WISH_REFUSED, Some(4))
            ]
        );
    }
}
