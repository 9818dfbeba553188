//! The strip of a load sheet: what the load has of each limit, how to load, cautions, title block.

use super::{CAUTIONS, LoadSheetInput, above_road};
use crate::documents::Revision;
use crate::documents::paper::strip::{HoldBox, Strip, TitleBlock};
use crate::documents::paper::table::{Column, Table};
use crate::documents::paper::{Canvas, Group};
use crate::documents::plan_view::grouped;
use crate::loads::{Truck, dunnage_places};
use crate::rules::ShippingRules;
use crate::units::{Length, counted};

/// What a heading takes with the space round it, mm.
const HEADING: f64 = 6.0;

/// - `left`: what the strings of the views had no room to print.
pub(super) fn draw(
    input: &LoadSheetInput<'_>,
    truck: &Truck,
    number: &str,
    scale: &str,
    (part, parts): (usize, usize),
    left: Option<String>,
) -> Group {
    let mut canvas = Canvas::new();
    let mut strip = Strip::of(&input.paper());
    let count = input.loads.trucks.len();
    let subtitle = if parts > 1 {
        format!("truck {} of {count}, sheet {part} of {parts}", truck.number)
    } else {
        format!("truck {} of {count}", truck.number)
    };
    strip.title_block(
        &mut canvas,
        &TitleBlock {
            facts: input.facts,
            title: format!("LOAD OF TRUCK {}", truck.number),
            subtitle,
            scale: scale.to_owned(),
            number: number.to_owned(),
            revisions: Revision::issued(input.facts),
            hold: hold(input, truck),
        },
    );
    strip.heading(&mut canvas, "THE LOAD", "limit");
    strip.table(&mut canvas, &limits(input, truck));
    let has_loose = !input.loose_on(truck).is_empty();
    strip.heading(&mut canvas, "HOW TO LOAD", "");
    let has_columns = truck.stacks.iter().any(|it| it.columns > 0);
    let mut notes = how_to((has_loose, has_columns), input.shipping());
    notes.extend(left);
    strip.numbered(&mut canvas, &notes);
    strip.rule(&mut canvas);
    strip.heading(&mut canvas, "CAUTIONS", "");
    strip.numbered(&mut canvas, &CAUTIONS.map(str::to_owned));
    strip.rule(&mut canvas);
    let fewest = Table {
        columns: vec![Column::wrapping("")],
        rows: vec![vec![format!("{}.", input.loads.sentence())]],
        total: None,
        has_heads: false,
    };
    if strip.table_height(&fewest) <= strip.rest().height() - HEADING {
        strip.heading(&mut canvas, "HOW FEW TRUCKS", "");
        strip.table(&mut canvas, &fewest);
        strip.rule(&mut canvas);
    }
    canvas.into_group("strip", "Strip")
}

fn hold(input: &LoadSheetInput<'_>, truck: &Truck) -> HoldBox {
    let marks = truck.stacks.iter().flat_map(|it| &it.panels);
    let held: Vec<&str> = marks
        .map(|it| it.mark.as_str())
        .filter(|mark| input.panel(mark).is_some_and(|panel| panel.is_held()))
        .collect();
    let mut reasons: Vec<String> = truck
        .beyond
        .iter()
        .map(|words| format!("LOAD-01: {words}; permit or other trailer first"))
        .collect();
    match held.as_slice() {
        [] => {}
        [mark] => reasons.push(format!("{mark} is on HOLD and not to be shipped")),
        [..] => reasons.push(format!(
            "{} panels are on HOLD and not to be shipped: see the lists",
            held.len()
        )),
    }
    if reasons.is_empty() {
        HoldBox::Released
    } else {
        HoldBox::Held(reasons)
    }
}

fn limits(input: &LoadSheetInput<'_>, truck: &Truck) -> Table {
    let rules = input.shipping();
    let n_panels: usize = truck.stacks.iter().map(|it| it.panels.len()).sum();
    let tie_downs: u32 = truck.stacks.iter().map(|it| it.tie_downs).sum();
    let n_dunnage: usize = truck
        .stacks
        .iter()
        .map(|it| dunnage_places(it.length, rules).len())
        .sum();
    let pounds = |weight: f64| format!("{} lb", grouped(weight));
    let feet = |length: Length| length.feet_inches().to_string();
    let row = |name: &str, has: String, limit: String| vec![name.to_owned(), has, limit];
    let mut rows = vec![
        row(
            "Panels, stacks",
            format!("{n_panels}, {}", truck.stacks.len()),
            String::new(),
        ),
        row("Weight", pounds(truck.weight_lb()), pounds(rules.payload)),
        row(
            "Length on deck",
            feet(truck.length()),
            feet(rules.deck_length),
        ),
        row("Width", feet(truck.width()), feet(rules.deck_width)),
        row(
            "Height above road",
            feet(above_road(rules, truck)),
            feet(rules.greatest_height),
        ),
        row("Tie-downs", format!("{tie_downs} or more"), String::new()),
        row(
            "Working load limit",
            pounds(f64::from(tie_downs) * rules.tie_down),
            format!("over {}", pounds(truck.weight_lb() / 2.0)),
        ),
        row(
            "Dunnage",
            format!("{}, {} high", counted(n_dunnage, "piece"), rules.dunnage),
            String::new(),
        ),
    ];
    if truck.loose_lb > 0.0 {
        let words = format!("of it {}", pounds(truck.loose_lb));
        rows.insert(2, row("Loose goods", words, String::new()));
    }
    Table {
        columns: vec![
            Column::wrapping("What"),
            Column::numbers("Load").bold(),
            Column::numbers("Limit"),
        ],
        rows,
        total: None,
        has_heads: false,
    }
}

fn how_to((has_loose, has_columns): (bool, bool), rules: &ShippingRules) -> Vec<String> {
    let blocked = if rules.blocked {
        "every stack blocked towards the front: block it"
    } else {
        "nothing blocked"
    };
    let mut notes = vec![
        "Lay the highest ERECT number first: down each stack the numbers rise, and panels come off in the order of erection.".to_owned(),
        "Long side along the truck, each stack in one line on its dunnage; guards under every strap at skin edges.".to_owned(),
        "Read the label of each panel against its list as it goes on, and sign for it.".to_owned(),
        format!("Limits: 23 CFR 658; height by state, 13'-6\" to 14'-0\". Tie-downs: 49 CFR 393.106 and 393.110, {blocked}. Deck, dunnage, payload and strap are plant rules."),
    ];
    if has_columns {
        notes.push("Panels side by side lie tight against each other, the left one on the truck's left. Columns whose tops differ take straps of their own: they are counted.".to_owned());
    }
    if has_loose {
        notes.push("Plates and loose lumber ride on this truck, on top or beside; tie them down on their own.".to_owned());
    }
    notes
}
