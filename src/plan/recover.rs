//! From drawings to a plan: the stages in order, and what they leave open as findings.
//!
//! ```text
//!   lines ──► rails ──► bands ──► solids ──► runs ──► network ──► rings ──► outline, walls, openings, rooms
//! ```

use super::answers::alternatives::give_alternatives;
use super::answers::obey::{Located, ask_about_no_walls, drop_runs, locate, put_right};
use super::assemble::{Numbers, Traced, assemble};
use super::carry::{Names, renumbered};
use super::dimensions::{
    dimension_findings, dimensions_in_lines, keep_at_odds, keep_trusted, trust, trusted_handles,
};
use super::enclosure::assumed::{self, answers, assume, is_better};
use super::enclosure::decks::leave_decks;
use super::enclosure::faces::rings as rings_of;
use super::enclosure::fronts::close_fronts;
use super::enclosure::glazed::ask_about_rooms_of_glass;
use super::enclosure::heated::note_unheated;
use super::enclosure::lots::leave_yards;
use super::enclosure::network::network as network_of;
use super::enclosure::notches::leave_notches;
use super::enclosure::outside::leave_outside;
use super::enclosure::wells::leave_wells;
use super::inside::fireboxes::go_on_behind_fires;
use super::inside::fitments::fitments;
use super::inside::loose_furniture::leave_furniture;
use super::lines::grid::{give_grid, grid_lines};
use super::lines::leaves::quieten_leaves;
use super::lines::rails::Rails;
use super::lines::segments::lines;
use super::lines::symbols::{Place, arcs};
use super::lines::tiles::joints;
use super::pieces::bands::bands;
use super::pieces::boards::ask_about_boards;
use super::pieces::solids::solids;
use super::schedules::{apply_schedules, schedules, tagged_sizes};
use super::single::{Double, encloses, say, single_storeys, single_walls};
use super::storeys::register::register_storeys;
use super::storeys::scales::ask_about_scales;
use super::storeys::views::note_other_views;
use super::walls::beside::drop_beside;
use super::walls::caps::thickest;
use super::walls::curtains::{end_at_corners, glaze};
use super::walls::curves::mark_curves;
use super::walls::double_walls::{ask_about_backs, part_double_walls};
use super::walls::ends::add_end_openings;
use super::walls::fill::close_gaps;
use super::walls::masses::go_on_in_masses;
use super::walls::openings::judge;
use super::walls::partitions::{add_partitions, partitions, thin_runs};
use super::walls::round_corners::add_round_corners;
use super::walls::runs::runs;
use super::walls::through::go_through;
use super::walls::veneers::{ask_about_veneers, drop_veneers};
use super::{CorrectionIntent, Plan, PlanCorrection, PlanCorrections, SingleLines, Storey, codes};
use crate::drawing::{Drawing, views_named};
use crate::findings::{Finding, Outcome, Place as Where};
use crate::side_by_side::{among_them, both};

/// Recovers the plan of each drawing: the first is the lowest storey.
///
/// - `drawings`: one for each storey, from the lowest up, in inches.
/// - `corrections`: what the drafter decided; they win over everything drawn.
/// - What is uncertain is a doubt with a place and a default; what cannot be built is a fault.
#[must_use]
pub fn recover_plan(drawings: &[Drawing], corrections: &PlanCorrections) -> Outcome<Plan> {
    among_them(|| recover_corrected(drawings, corrections))
}

fn recover_corrected(drawings: &[Drawing], corrections: &PlanCorrections) -> Outcome<Plan> {
    let single = &corrections.single_lines;
    let issued = corrections.issued.as_ref();
    let names = |is_corrected| Names::of(issued, is_corrected);
    let has_any = !corrections.list.is_empty();
    // A plan without corrections is the one that is issued.
    let mut plain = recover(drawings, (&[], &mut [], single), names(!has_any));
    let pairs = renumbered(issued, &plain.output);
    let names = |is_corrected| Names::of(issued, is_corrected).paired(&pairs);
    if !pairs.is_empty() {
        plain = recover(drawings, (&[], &mut [], single), names(!has_any));
    }
    if !has_any {
        return plain;
    }
    // Ids in the job are those of the plan without corrections: the drafter read them on its trace.
    let mut orphans = Vec::new();
    let located = locate(&plain.output, corrections, &mut orphans);
    let mut met = vec![false; located.len()];
    let obeyed = (&located[..], &mut met[..], single);
    let mut corrected = recover(drawings, obeyed, names(true));
    corrected
        .findings
        .extend(ask_about_no_walls(&located, &met));
    put_right(
        &mut corrected.output,
        (&located, &met),
        &mut corrected.findings,
    );
    trust(
        drawings,
        corrections,
        &plain.output,
        &mut corrected.output,
        &mut corrected.findings,
    );
    let trusted = trusted_handles(drawings, corrections, &plain.output);
    corrected.output.before_corrections = plain.output.storeys;
    keep_trusted(drawings, &trusted, &mut corrected.output.before_corrections);
    corrected.findings.append(&mut orphans);
    corrected
}

/// True when a plan closes: a storey has an outline with an opening in it, and nothing is said to be open.
#[must_use]
pub fn closes(recovered: &Outcome<Plan>) -> bool {
    let mut storeys = recovered.output.storeys.iter();
    !is_open(recovered) && storeys.any(is_closed)
}

/// True when every storey of a plan does.
#[must_use]
pub fn all_close(recovered: &Outcome<Plan>) -> bool {
    let mut storeys = recovered.output.storeys.iter();
    !is_open(recovered) && storeys.all(is_closed)
}

fn is_open(recovered: &Outcome<Plan>) -> bool {
    let mut findings = recovered.findings.iter();
    findings.any(|it| [codes::NO_OUTLINE, codes::NO_WALLS].contains(&it.code))
}

/// True for a storey with an outline and an opening in it.
fn is_closed(storey: &Storey) -> bool {
    let mut outside = storey.walls.iter().filter(|it| it.is_exterior);
    let has_opening = outside.any(|wall| storey.openings.iter().any(|it| it.wall == wall.id));
    has_opening && !storey.outline.is_empty()
}

fn recover(
    drawings: &[Drawing],
    (located, met, single): (&[Located<'_>], &mut [bool], &SingleLines),
    names: Names<'_>,
) -> Outcome<Plan> {
    let mut findings = Vec::new();
    let scale = drawings
        .first()
        .map(|drawing| drawing.scale.clone())
        .unwrap_or_default();
    let mut plan = Plan {
        unit: scale.unit,
        inches_per_unit: scale.inches_per_unit,
        unit_confidence: scale.confidence,
        ..Plan::default()
    };
    let mut numbers = Numbers {
        names,
        ..Numbers::default()
    };
    for drawing in drawings {
        let before = (plan.storeys.len(), numbers.clone());
        let mut said = Vec::new();
        let obeyed = (located, &mut *met, single);
        recover_drawing(drawing, obeyed, &mut plan, &mut numbers, &mut said);
        let obeyed = (located, &mut *met, single);
        let made = (&mut plan, &mut numbers, &mut said);
        take_gaps_as_closed(drawing, obeyed, &before, made);
        findings.append(&mut said);
    }
    let scales = ask_about_scales(&plan.storeys, drawings);
    let mut places = register_storeys(&mut plan.storeys, drawings);
    // At another scale no place is right.
    let is_scaled = |it: &Finding| scales.iter().any(|own| own.place.storey == it.place.storey);
    places.retain(|it| !is_scaled(it));
    findings.extend(scales.into_iter().chain(places));
    Outcome {
        output: plan,
        findings,
    }
}

/// Goes once more over a drawing whose gaps are asked about, each answered for now; see [`assumed`].
///
/// - `before`: how many storeys and ids there were without this drawing.
/// - `made`: what it gave, and what it is to give.
fn take_gaps_as_closed<'a>(
    drawing: &Drawing,
    (located, met, single): (&[Located<'_>], &mut [bool], &SingleLines),
    (first, counted): &(usize, Numbers<'a>),
    (plan, numbers, said): (&mut Plan, &mut Numbers<'a>, &mut Vec<Finding>),
) {
    let mut answers = answers(said);
    while !answers.is_empty() {
        let all = [located, &assumed::located(&answers, &drawing.file)].concat();
        let mut all_met = [&*met, &vec![false; answers.len()]].concat();
        let (mut again, mut counts, mut told) = (plan.clone(), counted.clone(), Vec::new());
        again.storeys.truncate(*first);
        let obeyed = (&all[..], &mut all_met[..], single);
        recover_drawing(drawing, obeyed, &mut again, &mut counts, &mut told);
        let (known, closed) = all_met.split_at(met.len());
        if closed.iter().all(|it| *it) {
            let own = &mut again.storeys[*first..];
            if is_better((own, &told), (&plan.storeys[*first..], said)) {
                assume(own, said, &mut told);
                met.copy_from_slice(known);
                (*plan, *numbers, *said) = (again, counts, told);
            }
            return;
        }
        // Where no opening closes a gap a wall may.
        let open = answers.iter_mut().zip(closed).filter(|it| !it.1);
        let open: Vec<&mut PlanCorrection> = open.map(|it| it.0).collect();
        if open.iter().all(|it| it.intent == CorrectionIntent::Wall) {
            return;
        }
        for answer in open {
            answer.intent = CorrectionIntent::Wall;
        }
    }
}

fn recover_drawing(
    drawing: &Drawing,
    (located, met, single): (&[Located<'_>], &mut [bool], &SingleLines),
    plan: &mut Plan,
    numbers: &mut Numbers<'_>,
    findings: &mut Vec<Finding>,
) {
    let words = || both(|| schedules(drawing), || views_named(drawing));
    let beside = || both(|| grid_lines(drawing), words);
    let (mut lines, (grid, (schedules, views))) = both(|| lines(drawing), beside);
    let arcs = arcs(drawing, &lines);
    quieten_leaves(&mut lines, &arcs);
    if !lines.aside.is_empty() {
        findings.push(Finding::note(
            codes::SET_ASIDE,
            Where::file(&drawing.file),
            format!(
                "lines on {} are set aside by their layer's name",
                lines.aside.join(", ")
            ),
            "nothing, if these are demolition, footings or roof; else give the walls another layer",
        ));
    }
    let (mut rails, place) = both(
        || Rails::new(&lines.segments, &lines.index, lines.slack),
        || {
            let tagged = tagged_sizes(drawing, &schedules, lines.origin);
            Place::new(drawing, &lines, arcs).with_tags(tagged)
        },
    );
    let joints = joints(&rails);
    rails.without_faces(&joints);
    let (bands, thin) = bands(&rails, thickest(&place), lines.slack);
    let ((mut runs, held), thin_runs) = both(
        || {
            let (solids, held) = solids(&rails, &bands, &place, lines.slack);
            (runs(&rails, solids, &place, lines.slack), held)
        },
        || thin_runs(&rails, &thin, &place, lines.slack),
    );
    let let_in = part_double_walls(&rails, &mut runs, lines.slack);
    findings.extend(ask_about_backs(&let_in, &drawing.file, lines.origin));
    mark_curves(&mut runs, &lines.curves);
    glaze(&mut runs, &place);
    add_end_openings(&rails, &mut runs, &[], &place, lines.slack);
    add_round_corners(&mut runs, &place);
    go_through(&rails, &mut runs, lines.slack);
    drop_beside(&rails, &mut runs, lines.slack);
    let leaves = drop_veneers(&mut runs);
    findings.extend(ask_about_veneers(&leaves, &drawing.file, lines.origin));
    findings.extend(ask_about_boards(&runs, &lines, &drawing.file));
    let mut partitions = partitions(&rails, thin_runs, &mut runs, &place, lines.slack);
    let storey = format!("S{}", plan.storeys.len() + 1);
    let here = (drawing.file.as_str(), lines.origin);
    drop_runs([&mut runs, &mut partitions], located, here, met);
    findings.extend(go_on_behind_fires(
        &mut runs,
        located,
        (drawing, lines.origin),
    ));
    close_gaps(&mut runs, located, here, met);
    let first = network_of(&runs);
    let mut network = go_on_in_masses(&rails, &mut runs, first, lines.slack);
    let mut rings = rings_of(&network);
    let mut single_areas = Vec::new();
    if single.exterior > 0.0
        && !encloses(&rings, &runs)
        && let Some(walls) = single_walls(&rails, &runs, (&place, drawing), single)
    {
        runs = walls;
        partitions.clear();
        let lists = [&mut runs, &mut partitions];
        drop_runs(lists, located, here, met);
        close_gaps(&mut runs, located, here, met);
        network = network_of(&runs);
        rings = rings_of(&network);
        let named = (drawing.file.as_str(), Some(storey.as_str()));
        findings.push(say(&runs, &network, named, lines.origin, single));
    } else if single.exterior > 0.0 {
        let double = Double {
            runs: &runs,
            network: &network,
            rings: &rings,
        };
        let sheet = (&place, drawing, &views.titles[..]);
        if let Some(found) = single_storeys(&rails, &double, sheet, (located, met), single) {
            findings.extend(found.ask(&drawing.file, lines.origin));
            if !found.walls.is_empty() {
                let named = (drawing.file.as_str(), None);
                let own = network_of(&found.walls);
                findings.push(say(&found.walls, &own, named, lines.origin, single));
            }
            runs.retain(|run| !found.holds(run));
            partitions.retain(|run| !found.holds(run));
            runs.extend(found.walls);
            single_areas = found.areas;
            drop_runs([&mut runs, &mut partitions], located, here, met);
            close_gaps(&mut runs, located, here, met);
            network = network_of(&runs);
            rings = rings_of(&network);
        }
    }
    if runs.is_empty() {
        findings.push(Finding::fault(
            codes::NO_WALLS,
            Where::file(&drawing.file),
            "no walls were found: no two lines face each other a wall's thickness apart, and no single ones close round a building with an opening",
            "check that this is a floor plan whose walls close, and that its unit is right",
        ));
        return;
    }
    let (at, by) = ((drawing, lines.origin), (located, &mut *met));
    let left = leave_furniture(&mut runs, &network, &rings, at, by);
    if !left.is_empty() {
        network = network_of(&runs);
        rings = rings_of(&network);
        findings.extend(left);
    }
    let known = (&mut network, &mut rings);
    close_fronts(&mut runs, known, &place, drawing, lines.origin);
    end_at_corners(&mut runs, &network);
    let (rings, inner_places) = leave_outside(
        rings,
        &network,
        &runs,
        (located, &storey),
        drawing,
        lines.origin,
        findings,
    );
    let (at, roofed) = ((drawing, lines.origin), &inner_places.roofed[..]);
    let rings = leave_notches(rings, &network, &runs, at, roofed, findings);
    let (rings, yards) = leave_yards(rings, &network, &runs, at, roofed, findings);
    let rings = leave_wells(rings, &network, &runs, at, roofed, findings);
    let rings = leave_decks(rings, &network, &runs, at, roofed, findings);
    add_partitions(&mut runs, &mut network, partitions);
    let (openings, strays) = judge(&runs, &place);
    let mut by_run: Vec<Vec<usize>> = vec![Vec::new(); runs.len()];
    for (k, judged) in openings.iter().enumerate() {
        by_run[judged.run].push(k);
    }
    let traced = Traced {
        drawing,
        views: &views,
        lines: &lines,
        rails: &rails,
        place: &place,
        runs: &runs,
        network: &network,
        rings: &rings,
        openings: &openings,
        by_run: &by_run,
        strays: &strays,
        held: &held,
        inner_places: &inner_places,
        beside: &yards,
        single: &single_areas,
    };
    let first = plan.storeys.len();
    assemble(&traced, plan, numbers, findings);
    note_other_views(&drawing.file, &views.titles, findings);
    let own = plan.storeys.get_mut(first..).unwrap_or_default();
    apply_schedules(drawing, &schedules, own, findings);
    give_grid(&grid, own);
    let shared: Vec<&Storey> = own.iter().collect();
    let in_lines = dimensions_in_lines(drawing, &shared);
    keep_at_odds([drawing, &in_lines], own);
    let shared: Vec<&Storey> = own.iter().collect();
    let (hung, mut said) = both(
        || fitments(drawing, &shared),
        || dimension_findings([drawing, &in_lines], &shared, lines.slack),
    );
    findings.append(&mut said);
    for (storey, hung) in own.iter_mut().zip(hung) {
        storey.fitments = hung;
        note_unheated(storey, findings);
        ask_about_rooms_of_glass(storey, findings);
        give_alternatives(storey, findings);
    }
    // What a large drawing was made into takes a while to be given back.
    both(|| drop((bands, thin)), || drop((runs, rails)));
}
