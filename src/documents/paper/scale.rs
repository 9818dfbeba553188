//! Scales that a person finds on an architect's scale or a ruler.

use crate::rules::ScaleList;

/// A scale of a drawing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scale {
    /// As printed: `3/4" = 1'-0"`.
    pub name: &'static str,
    /// How many times smaller than life: 16.
    pub ratio: f64,
}

impl Scale {
    /// Millimetres on paper for one inch of the model.
    #[must_use]
    pub fn per_inch(&self) -> f64 {
        25.4 / self.ratio
    }

    /// As an attribute: `1:16`.
    #[must_use]
    pub fn data(&self) -> String {
        format!("1:{}", self.ratio)
    }
}

const fn scale(name: &'static str, ratio: f64) -> Scale {
    Scale { name, ratio }
}

/// The architect's scales, largest first. Source: any architect's scale rule; common practice.
pub const ARCHITECT: [Scale; 14] = [
    scale("12\" = 1'-0\"", 1.0),
    scale("6\" = 1'-0\"", 2.0),
    scale("3\" = 1'-0\"", 4.0),
    scale("1 1/2\" = 1'-0\"", 8.0),
    scale("1\" = 1'-0\"", 12.0),
    scale("3/4\" = 1'-0\"", 16.0),
    scale("1/2\" = 1'-0\"", 24.0),
    scale("3/8\" = 1'-0\"", 32.0),
    scale("1/4\" = 1'-0\"", 48.0),
    scale("3/16\" = 1'-0\"", 64.0),
    scale("1/8\" = 1'-0\"", 96.0),
    scale("3/32\" = 1'-0\"", 128.0),
    scale("1/16\" = 1'-0\"", 192.0),
    scale("1/32\" = 1'-0\"", 384.0),
];

/// The metric scales, largest first. Source: ISO 5455, from memory.
pub const METRIC: [Scale; 9] = [
    scale("1:1", 1.0),
    scale("1:2", 2.0),
    scale("1:5", 5.0),
    scale("1:10", 10.0),
    scale("1:20", 20.0),
    scale("1:50", 50.0),
    scale("1:100", 100.0),
    scale("1:200", 200.0),
    scale("1:500", 500.0),
];

/// What a plan too large for the smallest scale of its list is drawn at, rather than off the paper. Sources: any engineer's scale
/// rule, common practice; ISO 5455, from memory.
const ENGINEER: [Scale; 4] = [
    scale("1\" = 40'-0\"", 480.0),
    scale("1\" = 60'-0\"", 720.0),
    scale("1\" = 100'-0\"", 1200.0),
    scale("1\" = 200'-0\"", 2400.0),
];
const SMALLER: [Scale; 2] = [scale("1:1000", 1000.0), scale("1:2000", 2000.0)];

/// The scales of a list with those for plans that are too large for it, largest first.
#[must_use]
pub fn plan_scales(list: ScaleList) -> Vec<Scale> {
    let smaller: &[Scale] = match list {
        ScaleList::Imperial => &ENGINEER,
        ScaleList::Metric => &SMALLER,
    };
    [scales(list), smaller].concat()
}

/// The scales of a list, largest first.
#[must_use]
pub const fn scales(list: ScaleList) -> &'static [Scale] {
    match list {
        ScaleList::Imperial => &ARCHITECT,
        ScaleList::Metric => &METRIC,
    }
}

/// The largest scale at which something of `width` × `height` inches fits into a room in mm; the smallest of the list when
/// none does.
///
/// - `from`: no scale larger than this ratio is taken, so that small things are not blown up beyond use.
#[must_use]
pub fn fitting_scale(list: &[Scale], from: f64, size: [f64; 2], room: [f64; 2]) -> Scale {
    list.iter()
        .filter(|scale| scale.ratio >= from)
        .find(|scale| {
            size[0] * scale.per_inch() <= room[0] && size[1] * scale.per_inch() <= room[1]
        })
        .or(list.last())
        .copied()
        .unwrap_or(ARCHITECT[0])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_largest_scale_that_fits_is_taken() {
        let room = [180.0, 190.0]; // mm
        let chosen = |width, height| fitting_scale(&ARCHITECT, 8.0, [width, height], room).name;
        assert_eq!(chosen(95.875, 108.0), "3/4\" = 1'-0\"");
        assert_eq!(chosen(12.0, 59.0), "1 1/2\" = 1'-0\"");
        assert_eq!(chosen(288.0, 24.0), "1/4\" = 1'-0\"");
        assert_eq!(chosen(1e6, 24.0), "1/32\" = 1'-0\"");
        // A building of 165 ft on a small sheet.
        let metric = fitting_scale(&METRIC, 8.0, [1980.0, 1440.0], room).name;
        assert_eq!(metric, "1:500");
    }

    #[test]
    fn a_plan_of_eight_hundred_feet_has_a_scale_at_which_it_stands_on_its_paper() {
        for (list, expected) in [
            (ScaleList::Imperial, "1\" = 60'-0\""),
            (ScaleList::Metric, "1:1000"),
        ] {
            let scales = plan_scales(list);
            let chosen = fitting_scale(&scales, 8.0, [9600.0, 960.0], [400.0, 240.0]);
            assert_eq!(chosen.name, expected);
            assert!(scales.is_sorted_by(|a, b| a.ratio < b.ratio));
        }
    }

    #[test]
    fn a_scale_says_what_it_does() {
        // 3/4" on paper is one foot: 0.75 * 16 = 12.
        for scale in ARCHITECT {
            let first = scale.name.split('"').next().unwrap();
            let inches: f64 = first
                .split(' ')
                .map(|part| match part.split_once('/') {
                    Some((a, b)) => a.parse::<f64>().unwrap() / b.parse::<f64>().unwrap(),
                    None => part.parse().unwrap(),
                })
                .sum();
            assert!((inches * scale.ratio - 12.0).abs() < 1e-9, "{}", scale.name);
        }
    }
}
