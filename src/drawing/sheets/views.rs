//! Titles on a sheet: which views it shows, in fifteen languages.

use crate::drawing::model::{Curve, Drawing, Stroke, Text};
use crate::drawing::sheets::levels::is_storey_name;
use crate::drawing::sheets::variants::{PlanVariant, plan_variant};
use geo::Coord;
use std::collections::BTreeMap;

/// What a title says stands above it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ViewKind {
    /// A floor plan.
    Plan,
    /// A plan of something else than a floor: roof, site, foundation, framing, services.
    OtherPlan,
    /// A view of the outside.
    Elevation,
    /// A section.
    Section,
    /// A detail.
    Detail,
    /// A schedule of doors, windows or finishes.
    Schedule,
    /// A legend or key.
    Legend,
}

impl ViewKind {
    /// The word for it, for messages.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Plan => "plan",
            Self::OtherPlan => "plan of roof, site, foundation or services",
            Self::Elevation => "elevation",
            Self::Section => "section",
            Self::Detail => "detail",
            Self::Schedule => "schedule",
            Self::Legend => "legend",
        }
    }
}

/// A title on a sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct ViewTitle {
    /// What it names.
    pub kind: ViewKind,
    /// What it says.
    pub text: String,
    /// About its middle, inches.
    pub at: Coord<f64>,
    /// Cap height, inches.
    pub height: f64,
    /// Which way it reads, radians counter-clockwise: below it is below its view.
    pub angle: f64,
}

/// Words of titles, the first kind that fits counts. Source: common practice in each language, no source.
const WORDS: [(ViewKind, &[&str]); 7] = [
    (
        ViewKind::Schedule,
        &[
            "SCHEDULE",
            "TÜRLISTE",
            "TÜRENLISTE",
            "TÜRÜBERSICHT",
            "FENSTERÜBERSICHT",
            "TUERLISTE",
            "FENSTERLISTE",
            "STÜCKLISTE",
            "CUADRO DE",
            "PLANILLA DE",
            "CARPINTERÍA",
            "TABLEAU DES",
            "NOMENCLATURE",
            "ABACO",
            "TABELLA",
            "QUADRO DE",
            "MAPA DE VÃOS",
            "DEURENSTAAT",
            "DEURSTAAT",
            "KOZIJNSTAAT",
            "KOZIJNENSTAAT",
            "RAAMSTAAT",
            "RAMENSTAAT",
            "MERKENSTAAT",
            "ZESTAWIENIE",
            "WYKAZ",
            "FÖRTECKNING",
            "UPPSTÄLLNING",
            "SKEMA",
            "SKJEMA",
            "VÝPIS",
            "TABULKA",
            "OVILUETTELO",
            "IKKUNALUETTELO",
            "ВЕДОМОСТЬ",
            "СПЕЦИФИКАЦИЯ",
            "ЭКСПЛИКАЦИЯ",
            "门窗表",
            "门表",
            "窗表",
        ],
    ),
    (
        ViewKind::Legend,
        &[
            "LEGEND",
            "LÉGENDE",
            "LEYENDA",
            "LEGENDA",
            "RENVOOI",
            "OBJAŚNIENIA",
            "TECKENFÖRKLARING",
            "BETECKNINGAR",
            "SIGNATURFORKLARING",
            "TEGNFORKLARING",
            "SELITTEET",
            "ОБОЗНАЧЕНИЯ",
            "图例",
        ],
    ),
    (
        ViewKind::OtherPlan,
        &[
            "ROOF PLAN",
            "SITE PLAN",
            "FOUNDATION PLAN",
            "FRAMING PLAN",
            "ELECTRICAL PLAN",
            "CEILING PLAN",
            "PLUMBING PLAN",
            "LIGHTING PLAN",
            "MECHANICAL PLAN",
            "HVAC PLAN",
            "POWER PLAN",
            "PLOT PLAN",
            "GRADING PLAN",
            "LANDSCAPE PLAN",
            "FOOTING PLAN",
            "DEMOLITION PLAN",
            "COLUMN PLAN",
            "BEAM PLAN",
            "SLAB PLAN",
            "DRAINAGE PLAN",
            "SANITARY PLAN",
            "CENTRE LINE PLAN",
            "CENTER LINE PLAN",
            "CENTERLINE PLAN",
            "STRUCTURAL PLAN",
            "KEY PLAN",
            "LOCATION PLAN",
            "BLOCK PLAN",
            "LAGEPLAN",
            "DECKENSPIEGEL",
            "ELEKTROPLAN",
            "INSTALLATIONSPLAN",
            "SPARRENPLAN",
            "ABBRUCHPLAN",
            "DACHAUFSICHT",
            "DACHPLAN",
            "DACHDRAUFSICHT",
            "FUNDAMENTPLAN",
            "PLANTA DE CUBIERTA",
            "PLANTA DE TECHO",
            "PLANTA DE CIMENT",
            "PLANTA CUBIERTA",
            "PLANO DE CUBIERTA",
            "PLANO DE CIMENT",
            "PLANTA DE INSTALACION",
            "PLANTA DE ELECTRICIDAD",
            "PLANTA ELÉCTRICA",
            "PLANTA DE SITUACI",
            "PLANTA DE EMPLAZ",
            "PLAN DE TOITURE",
            "PLAN DE MASSE",
            "PLAN DE FONDATION",
            "PLAN DE SITUATION",
            "PLAN DE CHARPENTE",
            "PLAN DE PLAFOND",
            "PLAN ÉLECTRIQUE",
            "PLAN D'ÉLECTRICITÉ",
            "PLAN DES RÉSEAUX",
            "PIANTA COPERTUR",
            "PIANTA FONDAZ",
            "PIANTA DELLE COPERTUR",
            "PIANTA DELLE FONDAZ",
            "PIANTA TETT",
            "PIANTA DEL TETTO",
            "PIANTA IMPIANT",
            "PIANTA CONTROSOFFITT",
            "PLANIMETRIA",
            "PLANTA DE COBERTURA",
            "PLANTA DE IMPLANTA",
            "PLANTA DE FUNDA",
            "PLANTA DE INSTALAÇ",
            "PLANTA DE FORRO",
            "PLANTA ELÉTRICA",
            "DAKPLAN",
            "DAKOVERZICHT",
            "DAKAANZICHT",
            "FUNDERINGSPLAN",
            "SITUATIE",
            "RZUT DACHU",
            "RZUT FUNDAMENT",
            "RZUT WIĘŹBY",
            "PLAN SYTUACYJNY",
            "PLAN ZAGOSPODAROWANIA",
            "TAKPLAN",
            "SITUATIONSPLAN",
            "TAGPLAN",
            "BELIGGENHEDSPLAN",
            "SITUASJONSPLAN",
            "PŮDORYS STŘECHY",
            "PŮDORYS ZÁKLADŮ",
            "SITUACE",
            "VESIKATTO",
            "ASEMAPIIRROS",
            "PERUSTUSPIIRUSTUS",
            "SÄHKÖPIIRUSTUS",
            "ALAKATTO",
            "ПЛАН КРОВЛИ",
            "ПЛАН ФУНДАМЕНТ",
            "ГЕНПЛАН",
            "ПЛАН ПОТОЛК",
            "ПЛАН ЭЛЕКТР",
            "ПЛАН СТРОПИЛ",
            "ПЛАН ДЕМОНТ",
            "屋顶平面",
            "总平面",
            "基础平面",
            "天花平面",
            "顶棚平面",
            "电气平面",
            "给排水平面",
        ],
    ),
    (
        ViewKind::Elevation,
        &[
            "ELEVATION",
            "ÉLÉVATION",
            "ANSICHT",
            "ALZADO",
            "FACHADA",
            "FACADE",
            "FAÇADE",
            "PROSPETTO",
            "ALÇADO",
            "GEVEL",
            "AANZICHT",
            "ELEWACJA",
            "WIDOK ELEWACJI",
            "FASAD",
            "OPSTALT",
            "POHLED",
            "JULKISIVU",
            "ФАСАД",
            "立面",
        ],
    ),
    (
        ViewKind::Section,
        &[
            "SECTION",
            "SCHNITT",
            "SECCION",
            "SECCIÓN",
            "CORTE ",
            "COUPE",
            "SEZIONE",
            "DOORSNEDE",
            "PRZEKRÓJ",
            "SEKTION",
            "SNITT",
            "ŘEZ ",
            "LEIKKAUS",
            "РАЗРЕЗ",
            "剖面",
        ],
    ),
    (
        ViewKind::Detail,
        &[
            "DETAIL",
            "ENLARGED",
            "BLOW UP",
            "BLOW-UP",
            "DÉTAIL",
            "DETALLE",
            "DETTAGLIO",
            "PARTICOLARE",
            "DETALHE",
            "DETALJ",
            "SZCZEGÓŁ",
            "УЗЕЛ",
            "详图",
            "大样",
        ],
    ),
    (
        ViewKind::Plan,
        &[
            "PLAN",
            "GESCHOSS",
            "GRUNDRISS",
            "NIVEAU",
            "PLANTA",
            "REZ-DE",
            "RDC",
            "ETAGE",
            "ÉTAGE",
            "PIANO",
            "PIANTA",
            "ЭТАЖ",
            "平面",
            "KERROS",
            "POHJA",
            "PISO",
            "RÉS-DO-CHÃO",
            "PAVIMENTO",
            "BEGANE GROND",
            "VERDIEPING",
            "PLATTEGROND",
            "RZUT",
            "PARTER",
            "PIĘTRO",
            "PODDASZE",
            "VÅNING",
            "ETASJE",
            "PŮDORYS",
            "PŘÍZEMÍ",
            "PODLAŽÍ",
            "ПЛАН",
        ],
    ),
];

/// Titles that are this short say a storey: ground, upper, lower and roof floor. Source: common practice, no source.
const STOREYS: [&str; 16] = [
    "EG", "OG", "1.OG", "2.OG", "1. OG", "2. OG", "UG", "KG", "DG", "R+1", "R+2", "1.NP", "2.NP",
    "1. NP", "2. NP", "1.PP",
];

/// Words with which a note begins that only speaks of another view.
const NOTES: [&str; 14] = [
    "SEE ", "REFER", "PER ", "AS PER", "SIEHE", "S. ", "VER ", "VOIR", "VEDI", "KTS", "СМ.", "见",
    "ZIE ", "VIZ ",
];

/// What a title says it names; `None` for what is no title.
#[must_use]
pub fn view_kind(text: &str) -> Option<ViewKind> {
    // A size has no word.
    if !text.contains(char::is_alphabetic) {
        return None;
    }
    let upper = text.trim().to_uppercase().replace("%%U", "");
    // `ELECTRICAL LAYOUT`, `COLUMN LAYOUT PLAN`: what is laid out is drawn on a plan.
    let upper = upper
        .replace(" LAYOUT PLAN", " PLAN")
        .replace(" LAYOUT", " PLAN");
    let upper = upper.trim();
    let is_short = upper.chars().count() <= 48 && upper.split_whitespace().count() <= 7;
    if !is_short || NOTES.iter().any(|note| upper.starts_with(note)) {
        return None;
    }
    if STOREYS.contains(&upper) {
        return Some(ViewKind::Plan);
    }
    WORDS
        .iter()
        .find(|(_, words)| words.iter().any(|word| upper.contains(word)))
        .map(|(kind, _)| *kind)
}

/// True for a text with a line under it: by its own formatting, or drawn about as long as the text and just below it.
#[must_use]
pub fn is_underlined(drawing: &Drawing, text: &Text) -> bool {
    let (sine, cosine) = text.angle.sin_cos();
    let letters = u16::try_from(text.content.chars().count()).unwrap_or(u16::MAX);
    let half = f64::from(letters) * 0.4 * text.height;
    let seen = |p: Coord<f64>| {
        let off = p - text.middle;
        Coord {
            x: off.x * cosine + off.y * sine,
            y: off.y * cosine - off.x * sine,
        }
    };
    // Letters are narrow or wide: the line is between a third and the whole of their widest, with a margin at both ends.
    let is_under = |stroke: &Stroke| {
        let Curve::Line { start, end } = stroke.curve else {
            return false;
        };
        let (a, b) = (seen(start), seen(end));
        let depth = -a.y / text.height;
        let length = (b.x - a.x).abs() / 2.0;
        (a.y - b.y).abs() < 0.05 * text.height
            && (0.5..1.8).contains(&depth)
            && (0.35 * half..half + 3.0 * text.height).contains(&length)
            && f64::midpoint(a.x, b.x).abs() < 0.4 * half + text.height
    };
    text.is_underlined || drawing.strokes.iter().any(is_under)
}

/// The name of an option alone has so many words at most: OPTION A, OPTION A - LEFT.
const OPTION_WORDS: usize = 4;

/// Titles are larger than the usual words of a sheet by this.
const LARGER: f64 = 1.2;

/// The titles of a drawing, from left to right; small notes that only use such a word are none.
#[must_use]
pub fn view_titles(drawing: &Drawing) -> Vec<ViewTitle> {
    views_named(drawing).titles
}

/// What the texts of a drawing name.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ViewsNamed {
    /// What each text would name if it were a title.
    pub kinds: Vec<Option<ViewKind>>,
    /// Those that are titles, from left to right.
    pub titles: Vec<ViewTitle>,
}

/// Which views the texts of a drawing name, and which of them are titles.
#[must_use]
pub fn views_named(drawing: &Drawing) -> ViewsNamed {
    // A sheet has many texts and few words: each is read once.
    let mut known = BTreeMap::new();
    let contents = drawing.texts.iter().map(|text| text.content.as_str());
    let read = contents.map(|text| {
        let first = known.entry(text);
        *first.or_insert_with(|| (view_kind(text), is_storey_name(text)))
    });
    let read: Vec<_> = read.collect();
    let mut kinds: Vec<_> = read.iter().map(|it| it.0).collect();
    let usual = usual_height(drawing);
    let nothing_else = drawing.texts.iter().all(is_option);
    let texts = drawing.texts.iter().zip(&read);
    for ((text, (_, is_named)), kind) in texts.zip(&mut kinds) {
        // The name of a storey alone is as often the name of a room, and an option one of a window: only lettering makes a title of it.
        let is_title = || text.height >= LARGER * usual || is_underlined(drawing, text);
        let is_storey = || *is_named && is_title();
        let is_other = || is_option(text) && (nothing_else || is_title());
        if kind.is_none() && (is_storey() || is_other()) {
            *kind = Some(ViewKind::Plan);
        }
    }
    let titles = titles_among(drawing, &kinds);
    ViewsNamed { kinds, titles }
}

/// True for a text that names an option and nothing else.
fn is_option(text: &Text) -> bool {
    let is_one = matches!(plan_variant(&text.content), Some(PlanVariant::Option(_)));
    is_one && text.content.split_whitespace().count() <= OPTION_WORDS
}

/// How high the words of a drawing are in the middle.
fn usual_height(drawing: &Drawing) -> f64 {
    let mut heights: Vec<f64> = drawing.texts.iter().map(|text| text.height).collect();
    heights.sort_by(f64::total_cmp);
    heights.get(heights.len() / 2).copied().unwrap_or(0.0)
}

fn titles_among(drawing: &Drawing, kinds: &[Option<ViewKind>]) -> Vec<ViewTitle> {
    let usual = usual_height(drawing);
    let heights = drawing.texts.iter().map(|text| text.height);
    let tallest = heights.fold(0.0, f64::max);
    let is_title = |text: &Text, least: f64| {
        let source = drawing.sources.get(text.source.0 as usize);
        let is_hidden = source.is_some_and(|source| source.is_hidden);
        !is_hidden && (text.height >= least || is_underlined(drawing, text))
    };
    let titles = |least: f64| -> Vec<ViewTitle> {
        let texts = drawing.texts.iter().zip(kinds);
        texts
            .filter_map(|(text, kind)| Some((text, (*kind)?)))
            .filter(|(text, _)| is_title(text, least))
            .map(|(text, kind)| ViewTitle {
                kind,
                text: text.content.trim().to_owned(),
                at: text.middle,
                angle: text.angle,
                height: text.height,
            })
            .collect()
    };
    let large = titles(LARGER * usual);
    // Where none is larger than other words, titles are told by what they say alone.
    let mut titles = if large.is_empty() {
        titles(tallest / LARGER)
    } else {
        large
    };
    titles.sort_by(|a, b| {
        a.at.x
            .total_cmp(&b.at.x)
            .then(b.at.y.total_cmp(&a.at.y))
            .then(a.text.cmp(&b.text))
    });
    titles
}

#[cfg(test)]
mod tests;
