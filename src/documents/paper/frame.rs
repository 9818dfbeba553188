//! Paper sizes, frame, zones, centring marks, and the strip at the right.

use super::canvas::{Canvas, Lettered};
use super::flow::Flow;
use super::model::{Area, spot};
use super::style::{LARGE_SHEET, Lettering, Pen, SMALL_SHEET};
use crate::rules::{PanelPaper, PlanPaper, SheetRules};

/// A sheet of paper and how it is framed: landscape but for tickets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Paper {
    /// Name: `ANSI B`.
    pub name: &'static str,
    /// Width, mm.
    pub width: f64,
    /// Height, mm.
    pub height: f64,
    /// Margin at the left, for binding, mm.
    pub binding: f64,
    /// Margin elsewhere, mm.
    pub margin: f64,
    /// Zones across and up; none on small sheets.
    pub zones: Option<(u32, u32)>,
    /// Width of the strip at the right, mm; 0 for none.
    pub strip: f64,
    /// Lettering.
    pub lettering: Lettering,
}

const fn small(name: &'static str, width: f64, height: f64) -> Paper {
    Paper {
        name,
        width,
        height,
        binding: 12.0,
        margin: 10.0,
        zones: None,
        strip: 110.0,
        lettering: SMALL_SHEET,
    }
}

const fn large(name: &'static str, width: f64, height: f64) -> Paper {
    Paper {
        name,
        width,
        height,
        binding: 20.0,
        margin: 14.0,
        zones: Some((8, 6)),
        strip: 128.0,
        lettering: LARGE_SHEET,
    }
}

/// An upright sheet without a strip.
const fn ticket(name: &'static str, width: f64, height: f64) -> Paper {
    Paper {
        strip: 0.0,
        ..small(name, width, height)
    }
}

/// US letter, 8 1/2 × 11 in. Sources of the sizes: ASME Y14.1 and ISO 216 as quoted by two drafting references.
pub const LETTER: Paper = ticket("Letter", 215.9, 279.4);
/// 11 × 17 in.
pub const ANSI_B: Paper = small("ANSI B", 431.8, 279.4);
/// 22 × 34 in.
pub const ANSI_D: Paper = large("ANSI D", 863.6, 558.8);
/// 18 × 24 in.
pub const ARCH_C: Paper = large("ARCH C", 609.6, 457.2);
/// 24 × 36 in.
pub const ARCH_D: Paper = large("ARCH D", 914.4, 609.6);
/// 210 × 297 mm.
pub const A4: Paper = ticket("A4", 210.0, 297.0);
/// 297 × 420 mm.
pub const A3: Paper = small("A3", 420.0, 297.0);
/// 594 × 841 mm.
pub const A1: Paper = large("A1", 841.0, 594.0);

/// Least width of a column of lists, in heights of a note.
const COLUMN: f64 = 58.0;

/// Of panels on A3: it is narrower and higher than ANSI B, and so is the strip, for a panel of 8 by 9 ft at 3/4" = 1'-0".
const A3_OF_PANELS: Paper = Paper { strip: 98.0, ..A3 };

/// Every paper.
pub const PAPERS: [Paper; 8] = [LETTER, ANSI_B, ANSI_D, ARCH_C, ARCH_D, A4, A3, A1];

impl Paper {
    /// The paper of a name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        PAPERS.into_iter().find(|paper| paper.name == name)
    }

    /// The paper of plans, elevations, details and tables.
    #[must_use]
    pub const fn of_plans(rules: &SheetRules) -> Self {
        Self::of(rules.plans)
    }

    /// The paper of cutting sheets and load sheets.
    #[must_use]
    pub const fn of_shop(rules: &SheetRules) -> Self {
        Self::of(rules.shop)
    }

    const fn of(paper: PlanPaper) -> Self {
        match paper {
            PlanPaper::AnsiB => ANSI_B,
            PlanPaper::A3 => A3,
            PlanPaper::AnsiD => ANSI_D,
            PlanPaper::ArchC => ARCH_C,
            PlanPaper::ArchD => ARCH_D,
            PlanPaper::A1 => A1,
        }
    }

    /// The same with a strip that takes a share of the width, where that is more: for lists beside a drawing.
    #[must_use]
    pub fn with_strip(self, share: f64) -> Self {
        Self {
            strip: self.strip.max(self.width * share),
            ..self
        }
    }

    /// The paper of panel sheets.
    #[must_use]
    pub const fn of_panels(rules: &SheetRules) -> Self {
        match rules.panels {
            PanelPaper::AnsiB => ANSI_B,
            PanelPaper::A3 => A3_OF_PANELS,
            PanelPaper::Letter => LETTER,
            PanelPaper::A4 => A4,
        }
    }

    /// Columns of lists and small drawings in an area: as wide as two on ANSI B, wider where letters are larger.
    #[must_use]
    pub fn columns(&self, area: Area, gap: f64) -> Vec<Area> {
        let least = self.lettering.note * COLUMN;
        let many = (1_u32..).take_while(|n| f64::from(*n) * least <= self.field().width());
        Flow::columns(area, many.last().unwrap_or(1), gap)
    }

    /// How many times larger than ANSI B, in what a drawing has of its height.
    #[must_use]
    pub fn grown(&self) -> f64 {
        self.field().height() / ANSI_B.field().height()
    }

    /// How many times larger than on ANSI B letters are.
    #[must_use]
    pub fn letters_grown(&self) -> f64 {
        self.lettering.note / ANSI_B.lettering.note
    }

    /// Small print under the frame, from its left end: package, sheet, revision.
    pub fn draw_small_print(&self, canvas: &mut Canvas, words: &str) {
        let (frame, cap) = (self.frame(), SMALL_SHEET.note);
        canvas.text(
            spot(frame.x0 + 2.0, frame.y1 + 1.2 + cap),
            words,
            Lettered::cap(cap),
        );
    }

    /// Small print under the frame at its right end, cut to what stands right of the centring mark, or of
    /// the last zone's.
    pub fn draw_small_print_at_right(&self, canvas: &mut Canvas, words: &str) {
        let (frame, cap) = (self.frame(), SMALL_SHEET.note);
        let at = spot(frame.x1 - 2.0, frame.y1 + 1.2 + cap);
        let zones = self.zones.map_or(2, |(across, _)| across);
        let room = frame.width() / f64::from(zones) - 4.0;
        canvas.text_within(at, words, Lettered::cap(cap).end(), room);
    }

    /// Inside the frame.
    #[must_use]
    pub fn frame(&self) -> Area {
        Area::new(
            self.binding,
            self.margin,
            self.width - self.margin,
            self.height - self.margin,
        )
    }

    /// Inside the frame, left of the strip.
    #[must_use]
    pub fn field(&self) -> Area {
        let frame = self.frame();
        Area::new(frame.x0, frame.y0, frame.x1 - self.strip, frame.y1)
    }

    /// The strip at the right.
    #[must_use]
    pub fn strip_area(&self) -> Area {
        let frame = self.frame();
        Area::new(frame.x1 - self.strip, frame.y0, frame.x1, frame.y1)
    }

    /// Draws frame, centring marks, zones and the line of the strip.
    pub fn draw_frame(&self, canvas: &mut Canvas) {
        let frame = self.frame();
        canvas.rect(Pen::Heavy.full(), frame);
        let middle = frame.middle();
        let bold = Pen::Bold.full();
        canvas.line(
            bold,
            spot(middle.x, frame.y0),
            spot(middle.x, frame.y0 - 5.0),
        );
        canvas.line(
            bold,
            spot(middle.x, frame.y1),
            spot(middle.x, frame.y1 + 5.0),
        );
        canvas.line(
            bold,
            spot(frame.x0, middle.y),
            spot(frame.x0 - 5.0, middle.y),
        );
        canvas.line(
            bold,
            spot(frame.x1, middle.y),
            spot(frame.x1 + 5.0, middle.y),
        );
        if self.strip > 0.0 {
            let strip = self.strip_area().x0;
            canvas.line(bold, spot(strip, frame.y0), spot(strip, frame.y1));
        }
        if let Some((across, up)) = self.zones {
            self.draw_zones(canvas, across, up);
        }
    }

    /// Numbers from right to left, letters from the bottom up: both count from the title block.
    fn draw_zones(&self, canvas: &mut Canvas, across: u32, up: u32) {
        let frame = self.frame();
        let lettered = Lettered::cap(self.lettering.title).middle();
        let thin = Pen::Thin.full();
        let offset = self.margin / 2.0;
        for zone in 0..across {
            let width = frame.width() / f64::from(across);
            let x = frame.x1 - width * (f64::from(zone) + 0.5);
            let name = (zone + 1).to_string();
            canvas.text_centred(spot(x, frame.y0 - offset), name.clone(), lettered);
            canvas.text_centred(spot(x, frame.y1 + offset), name, lettered);
            if zone > 0 && zone * 2 != across {
                let x = x + width / 2.0;
                canvas.line(thin, spot(x, frame.y0), spot(x, frame.y0 - 3.0));
                canvas.line(thin, spot(x, frame.y1), spot(x, frame.y1 + 3.0));
            }
        }
        for (zone, letter) in (0..up).zip("ABCDEFGHJK".chars()) {
            let height = frame.height() / f64::from(up);
            let y = frame.y1 - height * (f64::from(zone) + 0.5);
            canvas.text_centred(spot(frame.x0 - offset, y), letter, lettered);
            canvas.text_centred(spot(frame.x1 + offset, y), letter, lettered);
            if zone > 0 && zone * 2 != up {
                let y = y + height / 2.0;
                canvas.line(thin, spot(frame.x0, y), spot(frame.x0 - 3.0, y));
                canvas.line(thin, spot(frame.x1, y), spot(frame.x1 + 3.0, y));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::paper::model::Sheet;
    use crate::documents::paper::overlap::overlaps;

    #[test]
    fn every_paper_is_framed_without_overlaps() {
        for paper in PAPERS {
            let mut canvas = Canvas::new();
            paper.draw_frame(&mut canvas);
            paper.draw_small_print(&mut canvas, "0123456789ab  Z-4100  rev AB");
            let words =
                "Strength axis of walls either way, as a long name of a report says. ".repeat(9);
            paper.draw_small_print_at_right(&mut canvas, &words);
            let sheet = Sheet {
                width: paper.width,
                height: paper.height,
                layers: vec![canvas.into_group("frame", "Frame")],
                ..Sheet::default()
            };
            assert_eq!(overlaps(&sheet), [], "{}", paper.name);
        }
    }

    #[test]
    fn ansi_and_arch_sizes_are_whole_half_inches() {
        // ASME Y14.1: B 11 × 17, D 22 × 34; ARCH C 18 × 24, D 24 × 36 in.
        for (paper, width, height) in [
            (ANSI_B, 17.0, 11.0),
            (ANSI_D, 34.0, 22.0),
            (ARCH_C, 24.0, 18.0),
            (ARCH_D, 36.0, 24.0),
        ] {
            let off = (paper.width - width * 25.4).hypot(paper.height - height * 25.4);
            assert!(off < 1e-9, "{}", paper.name);
        }
    }
}
