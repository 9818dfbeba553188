//! Reads an SVG that anybody may have made: nothing in it is run, fetched or followed, and nothing in it can cost much.
//!
//! Refused: entities, files that are no SVG, too large or nested beyond any editor. Taken out and said: scripts, event handlers,
//! foreign objects, animation, references to other files.

use super::drawn::{Drawing, Drawn, DrawnForm, GroupFacts, Image, Words, joined};
use super::flowing::{FLOWS, Start, along, at, box_of, href, lines_of, n_lines, shown_of};
use super::frames::{both, clip_box, framed, page};
use super::plain_words::{LONGEST, LONGEST_NAME, plain_words};
use super::reader_text::{size, spoken};
use super::style::{Rules, Style, length};
use super::trail::{is_endless, shape, straightened, thinned, transform};
use crate::documents::paper::{Anchor, Area, Spot, spot};
use kurbo::Affine;
use roxmltree::{Document, Node, NodeId, ParsingOptions};
use std::collections::BTreeMap;

/// Largest file, bytes.
pub(super) const LARGEST: usize = 64 << 20;
/// Most nodes of a file.
const MOST_NODES: u32 = 2_000_000;
/// Deepest nesting of elements.
const DEEPEST: usize = 200;
/// Most things drawn, uses of symbols unfolded.
const MOST_ITEMS: usize = 400_000;
/// Most points.
const MOST_POINTS: usize = 2_000_000;
/// Most points of one line: a sheet joined into one, its letters outlines, has more than a tenth of them.
const MOST_OF_A_LINE: usize = 400_000;
/// So many bytes cost as much as an element of their own.
const BYTES_OF_A_STEP: usize = 256;
/// Symbols may use symbols so many times over.
const DEEPEST_USE: usize = 4;

/// Why an SVG is not read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub(super) enum SvgRefusal {
    #[error("is larger than 64 MB; leave out photographs, or save them smaller")]
    TooLarge,
    #[error("is no text in UTF-8; save it again as plain SVG")]
    NoText,
    #[error("declares entities, which can unfold to any size; save it again as plain SVG")]
    Entities,
    #[error("is no SVG: {0}; save it again as plain SVG")]
    NoSvg(String),
    #[error("nests elements deeper than any editor does; save it again as plain SVG")]
    TooDeep,
    #[error("unfolds to more than any sheet holds; save it again as plain SVG without clones")]
    TooMuch,
}

/// Reads a file.
pub(super) fn read_svg(bytes: &[u8]) -> Result<Drawing, SvgRefusal> {
    if bytes.len() > LARGEST {
        return Err(SvgRefusal::TooLarge);
    }
    let text = std::str::from_utf8(bytes).map_err(|_| SvgRefusal::NoText)?;
    let text = text.trim_start_matches('\u{feff}');
    if text.contains("<!ENTITY") {
        return Err(SvgRefusal::Entities);
    }
    if is_deep(text) {
        return Err(SvgRefusal::TooDeep);
    }
    let options = ParsingOptions {
        // A document type without entities, as some editors write it, is harmless.
        allow_dtd: true,
        nodes_limit: MOST_NODES,
        ..ParsingOptions::default()
    };
    let document = Document::parse_with_options(text, options)
        .map_err(|error| SvgRefusal::NoSvg(error.to_string()))?;
    let root = document.root_element();
    if root.tag_name().name() != "svg" {
        let found = root.tag_name().name().chars().take(40).collect::<String>();
        return Err(SvgRefusal::NoSvg(format!("its root is <{found}>")));
    }
    let mut reader = Reader::new(&document);
    let (to_paper, size) = page(root);
    reader.drawing.size = size;
    reader.drawing.data = reader.data(root);
    let style = Style::default().inside(root, &reader.rules);
    let inside = Inside {
        to_paper,
        style,
        groups: Vec::new(),
        uses: 0,
        seen: None,
        is_hidden: false,
    };
    for child in root.children() {
        reader.element(child, &inside)?;
    }
    reader.drawing.neutralised = reader
        .found
        .iter()
        .map(|(what, n)| match n {
            1 => format!("1 {what}"),
            n => format!("{n} × {what}"),
        })
        .collect();
    Ok(reader.drawing)
}

/// Counts open tags before anything is built of them: opening tags less closing ones.
fn is_deep(text: &str) -> bool {
    let (mut depth, mut rest) = (0_usize, text);
    while let Some((_, after)) = rest.split_once('<') {
        if let Some(comment) = after.strip_prefix("!--") {
            rest = comment.split_once("-->").map_or("", |it| it.1);
            continue;
        }
        if let Some(plain) = after.strip_prefix("![CDATA[") {
            rest = plain.split_once("]]>").map_or("", |it| it.1);
            continue;
        }
        let is_element = !after.starts_with(['!', '?']);
        let end = if is_element {
            tag_end(after)
        } else {
            after.find('>').unwrap_or(after.len())
        };
        let (tag, next) = after.split_at(end);
        if tag.starts_with('/') {
            depth = depth.saturating_sub(1);
        } else if is_element && !tag.ends_with('/') {
            depth += 1;
            if depth > DEEPEST {
                return true;
            }
        }
        rest = next;
    }
    false
}

/// Where a tag ends: at the first `>` that stands in no attribute.
fn tag_end(text: &str) -> usize {
    let mut quote = None;
    for (at, byte) in text.bytes().enumerate() {
        match (quote, byte) {
            (None, b'>') => return at,
            (None, b'"' | b'\'') => quote = Some(byte),
            (Some(open), _) if open == byte => quote = None,
            _ => {}
        }
    }
    text.len()
}

/// What holds inside an element.
struct Inside {
    to_paper: Affine,
    style: Style,
    groups: Vec<usize>,
    uses: usize,
    /// What is not cut off, mm on paper; `None` for all.
    seen: Option<Area>,
    /// True where nothing is shown.
    is_hidden: bool,
}

struct Reader<'a, 'input> {
    drawing: Drawing,
    rules: Rules,
    ids: BTreeMap<&'a str, NodeId>,
    document: &'a Document<'input>,
    found: BTreeMap<&'static str, usize>,
    /// Boxes of clips, in the units of what they cut.
    clips: BTreeMap<u32, Option<Area>>,
    n_points: usize,
    n_steps: usize,
}

impl<'a, 'input> Reader<'a, 'input> {
    fn new(document: &'a Document<'input>) -> Self {
        let mut reader = Self {
            drawing: Drawing::default(),
            rules: Rules::default(),
            ids: BTreeMap::new(),
            document,
            found: BTreeMap::new(),
            clips: BTreeMap::new(),
            n_points: 0,
            n_steps: 0,
        };
        let orders = document.root().children();
        let sheets = orders.filter(|it| it.pi().is_some_and(|it| it.target == "xml-stylesheet"));
        let n = sheets.count();
        if n > 0 {
            reader.found.insert("style sheet of another file", n);
        }
        for node in document.descendants().filter(Node::is_element) {
            if let Some(id) = node.attribute("id") {
                reader.ids.entry(id).or_insert(node.id());
            }
            reader.look_for_harm(node);
            if node.tag_name().name() == "style" {
                let text: String = node.descendants().filter_map(|it| it.text()).collect();
                reader.rules.read(&text);
            }
        }
        reader
    }

    /// Counts what could act or reach outside: none of it is read.
    fn look_for_harm(&mut self, node: Node<'_, '_>) {
        let what = match node.tag_name().name() {
            "script" => Some("script"),
            "foreignObject" => Some("foreign object"),
            "animate" | "animateTransform" | "animateMotion" | "set" => Some("animation"),
            _ => None,
        };
        let mut found: Vec<&'static str> = what.into_iter().collect();
        for it in node.attributes() {
            let value = it.value().trim_start().to_ascii_lowercase();
            let is_address = it.name() == "href" || it.name() == "src";
            let reaches = !value.starts_with('#') && !value.starts_with("data:");
            if it.namespace().is_none() && it.name().starts_with("on") {
                found.push("event handler");
            } else if is_address && value.starts_with("javascript:") {
                found.push("script");
            } else if is_address && node.tag_name().name() == "a" {
                // Links from sheet to sheet are the package's own.
                let is_far =
                    value.contains("://") || value.starts_with("//") || value.starts_with("file:");
                found.extend(is_far.then_some("link outside"));
            } else if is_address && reaches && !value.is_empty() {
                found.push(OUTSIDE);
            }
            found.extend(std::iter::repeat_n(OUTSIDE, n_outside(&value)));
        }
        if node.tag_name().name() == "style" {
            let text = node.text().unwrap_or_default().to_ascii_lowercase();
            let n = n_outside(&text) + text.matches("@import").count();
            found.extend(std::iter::repeat_n(OUTSIDE, n));
        }
        for what in found {
            *self.found.entry(what).or_default() += 1;
        }
    }

    fn element(&mut self, node: Node<'a, 'input>, inside: &Inside) -> Result<(), SvgRefusal> {
        if !node.is_element() {
            return Ok(());
        }
        // Text is read anew at each use of a symbol.
        let mut n_bytes: usize = node.attributes().map(|it| it.value().len()).sum();
        if matches!(node.tag_name().name(), "text" | "flowRoot") {
            n_bytes += node.range().len();
        }
        self.n_steps += 1 + n_bytes / BYTES_OF_A_STEP;
        if self.n_steps > MOST_ITEMS * 2 || self.drawing.n_things() > MOST_ITEMS {
            return Err(SvgRefusal::TooMuch);
        }
        let style = inside.style.inside(node, &self.rules);
        let own = transform(node.attribute("transform").unwrap_or_default());
        let mut here = Inside {
            to_paper: inside.to_paper * own,
            is_hidden: inside.is_hidden || style.is_gone(),
            style,
            groups: inside.groups.clone(),
            uses: inside.uses,
            seen: inside.seen,
        };
        if let Some(own) = self.cut_to(&here) {
            here.seen = Some(here.seen.map_or(own, |seen| both(&seen, &own)));
        }
        match node.tag_name().name() {
            "g" | "a" | "svg" | "switch" => {
                if node.tag_name().name() == "svg" {
                    here.to_paper *= Affine::translate(at(node)) * framed(node);
                }
                self.group(node, &mut here);
                let only = (node.tag_name().name() == "switch").then(|| shown_of(node));
                for child in node.children() {
                    if only.is_none_or(|it| it == Some(child)) {
                        self.element(child, &here)?;
                    }
                }
            }
            "use" => self.use_of(node, here)?,
            "text" | "flowRoot" => self.text(node, &here),
            "image" => self.image(node, &here),
            name => {
                let path = shape(node);
                let is_told = match name {
                    "path" => node.attribute("d").is_some_and(|d| d.trim().len() > 1),
                    "line" | "polyline" | "polygon" => true,
                    _ => false,
                };
                if is_told && path.is_none() {
                    *self.found.entry(NOWHERE).or_default() += 1;
                }
                if let Some(path) = path {
                    let mut lines = straightened(&path, here.to_paper);
                    if thinned(&mut lines, MOST_OF_A_LINE) || is_endless(node) {
                        *self.found.entry(ENDLESS).or_default() += 1;
                    }
                    lines.heads = ["marker-start", "marker-end"].map(|name| {
                        let own = Some(here.style.get(name)).filter(|it| !it.is_empty());
                        let value = own.unwrap_or_else(|| here.style.get("marker"));
                        !value.is_empty() && value != "none"
                    });
                    self.n_points += lines.runs.iter().map(|it| it.points.len()).sum::<usize>();
                    if self.n_points > MOST_POINTS {
                        return Err(SvgRefusal::TooMuch);
                    }
                    let points: Vec<Spot> = lines
                        .runs
                        .iter()
                        .flat_map(|run| run.points.iter().copied())
                        .collect();
                    if let Some(area) = Area::around(&points) {
                        self.put(DrawnForm::Lines(lines), area, &here);
                    }
                }
            }
        }
        Ok(())
    }

    /// The box of the path that an element is cut to, mm on paper; `None` where it is cut to none, or by a share of itself.
    fn cut_to(&mut self, here: &Inside) -> Option<Area> {
        let clip = self.named(here.style.get("clip-path").strip_prefix("url(")?)?;
        let id = clip.id().get();
        let own = *self.clips.entry(id).or_insert_with(|| clip_box(clip));
        let corners = own?.corners().map(|p| {
            let p = here.to_paper * kurbo::Point::new(p.x, p.y);
            spot(p.x, p.y)
        });
        Area::around(&corners)
    }

    /// The `data-` attributes of an element, in plain words.
    fn data(&mut self, node: Node<'_, '_>) -> BTreeMap<String, String> {
        let mut data = BTreeMap::new();
        for it in node.attributes() {
            if let Some(name) = it.name().strip_prefix("data-") {
                let longest = if name == "text" {
                    LONGEST
                } else {
                    LONGEST_NAME
                };
                data.insert(name.to_owned(), self.plain(it.value(), longest));
            }
        }
        data
    }

    fn plain(&mut self, words: &str, longest: usize) -> String {
        let (words, taken) = plain_words(words, longest);
        if let Some(taken) = taken {
            *self.found.entry(taken.name()).or_default() += 1;
        }
        words
    }

    fn group(&mut self, node: Node<'a, 'input>, here: &mut Inside) {
        let is_layer = node.attributes().any(|it| {
            (it.name() == "groupmode" && it.value() == "layer") || it.name() == "data-layer"
        });
        here.groups.push(self.drawing.groups.len());
        let data = self.data(node);
        self.drawing.groups.push(GroupFacts {
            id: node.attribute("id").unwrap_or_default().to_owned(),
            data,
            is_layer,
        });
    }

    /// A clone of something in the same file.
    fn use_of(&mut self, node: Node<'a, 'input>, mut here: Inside) -> Result<(), SvgRefusal> {
        let Some(target) = href(node).and_then(|it| self.named(it)) else {
            return Ok(());
        };
        if here.uses >= DEEPEST_USE {
            *self.found.entry("clone within many clones").or_default() += 1;
            return Ok(());
        }
        here.uses += 1;
        here.to_paper *= Affine::translate(at(node));
        self.group(node, &mut here);
        if target.tag_name().name() == "symbol" {
            for child in target.children() {
                self.element(child, &here)?;
            }
            Ok(())
        } else {
            self.element(target, &here)
        }
    }

    /// What an address of the same file names, with or without `url(…)` round it.
    fn named(&self, address: &str) -> Option<Node<'a, 'input>> {
        let id = address.trim_matches(['"', '\'', ')', ' ']);
        let id = self.ids.get(id.strip_prefix('#')?)?;
        self.document.get_node(*id)
    }

    /// The region in which a text flows, in its own units, where the file does not say where its lines stand.
    fn region(&self, node: Node<'a, 'input>, style: &Style) -> Option<Area> {
        let named = |address: &str| self.named(address);
        if node.tag_name().name() == "flowRoot" {
            let mut parts = node.children();
            let region = parts.find(|it| it.tag_name().name() == "flowRegion")?;
            return region.children().find_map(|it| box_of(it, &named));
        }
        let url = style.get("shape-inside").strip_prefix("url(")?;
        let is_set = node.descendants().any(|it| it.attribute("x").is_some());
        box_of(self.named(url).filter(|_| !is_set)?, &named)
    }

    fn text(&mut self, node: Node<'a, 'input>, here: &Inside) {
        let region = self.region(node, &here.style);
        let rules = &self.rules;
        let said = |is_all| spoken(node, (&here.style, rules), region, is_all);
        // A text that is hidden as a whole is read as hidden.
        let shown = said(here.is_hidden).map(|it| (it, here.is_hidden));
        let Some((spoken, is_hidden)) = shown.or_else(|| said(true).map(|it| (it, true))) else {
            return;
        };
        let [a, b, ..] = here.to_paper.as_coeffs();
        let scale = a.hypot(b);
        let anchor = match spoken.style.get("text-anchor") {
            "middle" => Anchor::Middle,
            "end" => Anchor::End,
            _ => Anchor::Start,
        };
        let mode = here.style.get("writing-mode");
        let is_upright = mode.starts_with("tb") || mode.starts_with("vertical");
        let quarter = if is_upright { 90.0 } else { 0.0 };
        let set = |words: String, [x, y]: [f64; 2]| {
            let p = here.to_paper * kurbo::Point::new(x, y);
            Words {
                words,
                at: spot(p.x, p.y),
                size: size(&spoken.style) * scale,
                turn_deg: -b.atan2(a).to_degrees() - quarter,
                anchor,
            }
        };
        let lines = spoken.lines.iter();
        let lines: Vec<(Words, &str)> = lines
            .map(|line| {
                let (words, _) = plain_words(&line.words, LONGEST);
                (set(words, line.at), line.words.as_str())
            })
            .collect();
        let all: Vec<&str> = lines.iter().map(|it| it.1).collect();
        let words = self.plain(&all.join(" "), LONGEST);
        let areas = lines.iter().map(|it| it.0.area());
        let (Some((first, _)), Some(mut area), false) = (
            lines.first(),
            areas.clone().reduce(joined),
            words.is_empty(),
        ) else {
            return;
        };
        let mut words = Words {
            words,
            ..first.clone()
        };
        if let Some(region) = region {
            let wide = region.width() * scale;
            let n: f64 = areas.map(|it| n_lines(it.width(), wide)).sum();
            if area.width() > wide {
                area.x1 = area.x0 + wide;
                area.y1 = area.y1.max(area.y0 + n * FLOWS * words.size);
            }
        }
        let mut inner = node.descendants();
        let runs = inner.find(|it| it.tag_name().name() == "textPath");
        let line = runs.and_then(|it| lines_of(self.named(href(it)?)?, here.to_paper));
        if let (Some(runs), Some(line)) = (runs, line) {
            let start = Start::of(runs.attribute("startOffset").unwrap_or_default(), scale);
            if let Some(stands) = along(&line, &words, start) {
                (words, area) = stands;
            }
        }
        let here = Inside {
            style: spoken.style,
            to_paper: here.to_paper,
            groups: here.groups.clone(),
            uses: here.uses,
            seen: here.seen,
            is_hidden,
        };
        self.put(DrawnForm::Words(words), area, &here);
    }

    fn image(&mut self, node: Node<'a, 'input>, here: &Inside) {
        let number = |name: &str| node.attribute(name).and_then(length).unwrap_or_default();
        let (x, y) = (number("x"), number("y"));
        let corners = [
            (x, y),
            (x + number("width"), y),
            (x + number("width"), y + number("height")),
            (x, y + number("height")),
        ]
        .map(|p| {
            let p = here.to_paper * kurbo::Point::from(p);
            spot(p.x, p.y)
        });
        let data = href(node).and_then(picture_data);
        let area = Area::around(&corners).unwrap_or_default();
        self.put(DrawnForm::Image(Image { data }), area, here);
    }

    fn put(&mut self, form: DrawnForm, area: Area, here: &Inside) {
        if ![area.x0, area.y0, area.x1, area.y1]
            .iter()
            .all(|it| it.is_finite())
        {
            return;
        }
        if here
            .seen
            .is_some_and(|seen| !seen.grown(0.01).meets(&area.grown(0.01)))
        {
            *self.found.entry(CUT_OFF).or_default() += 1;
            return;
        }
        let [a, b, ..] = here.to_paper.as_coeffs();
        let is_text = matches!(form, DrawnForm::Words(_));
        let look = here.style.look(a.hypot(b), is_text);
        let shows = look.stroke != "none" || look.fill != "none";
        // A line has no inside to be filled.
        let is_flat = look.stroke == "none" && area.width().min(area.height()) < 1e-6;
        let is_image = matches!(form, DrawnForm::Image(_));
        let list = if here.is_hidden || here.style.is_invisible() {
            &mut self.drawing.hidden
        } else if is_image || (shows && !is_flat) {
            &mut self.drawing.items
        } else {
            &mut self.drawing.unseen
        };
        list.push(Drawn {
            form,
            look,
            area,
            groups: here.groups.clone(),
        });
    }
}

/// What would be fetched from elsewhere.
const OUTSIDE: &str = "reference outside";

/// How many addresses of a style reach out of the file.
fn n_outside(style: &str) -> usize {
    let urls = style.split("url(").skip(1);
    let outside = urls.filter(|it| {
        let it = it.trim_start_matches(['"', '\'', ' ']);
        !it.starts_with("data:") && !it.starts_with('#')
    });
    outside.count()
}

/// What lies outside the path that it is cut to: nobody sees it.
const CUT_OFF: &str = "thing that is cut off from sight";

/// What a line has beyond the most points.
const ENDLESS: &str = "part of a line of more points than any hand draws";

/// A line whose coordinates are no numbers, or lie farther off than any paper.
const NOWHERE: &str = "line that lies nowhere on the paper";

/// Media type and base64 of a picture that stands in the file itself; of PNG and JPEG only, which can do nothing but be seen.
fn picture_data(href: &str) -> Option<(String, String)> {
    let (kind, data) = href.strip_prefix("data:")?.split_once(";base64,")?;
    let kind = ["image/png", "image/jpeg"]
        .into_iter()
        .find(|it| *it == kind.trim())?;
    let data: String = data.chars().filter(|c| !c.is_whitespace()).collect();
    let is_base64 = |c: char| c.is_ascii_alphanumeric() || matches!(c, '+' | '/' | '=');
    data.chars().all(is_base64).then(|| (kind.to_owned(), data))
}
