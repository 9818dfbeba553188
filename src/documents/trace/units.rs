//! How a trace writes lengths: as the architect does, so that numbers can be compared without a calculator.

use crate::documents::plan_view::grouped;
use crate::drawing::DrawingUnit;
use crate::units::{Length, Millimetres};

/// The architect's system of units.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Units {
    /// Feet, inches and sixteenths; square feet.
    Imperial,
    /// Millimetres to a tenth; square metres.
    Metric,
}

/// Square metres in a square foot, exactly 0.3048 squared.
const SQUARE_METRES: f64 = 0.3048 * 0.3048;

impl Units {
    /// Of a drawing in some unit.
    pub(crate) const fn of(unit: DrawingUnit) -> Self {
        if unit.is_metric() {
            Self::Metric
        } else {
            Self::Imperial
        }
    }

    /// A length.
    pub(crate) fn length(self, length: Length) -> String {
        match self {
            Self::Imperial => length.feet_inches().to_string(),
            Self::Metric => Millimetres(length).to_string(),
        }
    }

    /// A length in inches; `?` for what is no length.
    pub(crate) fn inches(self, inches: f64) -> String {
        Length::nearest(inches, Length::nanometres(1))
            .map_or_else(|| "?".to_owned(), |it| self.length(it))
    }

    /// An area in square feet.
    pub(crate) fn area(self, square_feet: f64) -> String {
        match self {
            Self::Imperial => format!("{} sq ft", grouped(square_feet)),
            Self::Metric => format!("{:.1} m²", square_feet * SQUARE_METRES),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_and_areas_are_written_as_the_architect_writes_them() {
        // 1 ft = 304.8 mm exactly (international foot, 1959); 100 sq ft = 9.290304 m².
        let foot = Length::feet(1);
        assert_eq!(Units::of(DrawingUnit::Foot).length(foot), "1'-0\"");
        assert_eq!(Units::of(DrawingUnit::Metre).length(foot), "304.8");
        assert_eq!(Units::Metric.inches(f64::NAN), "?");
        assert_eq!(Units::Metric.area(100.0), "9.3 m²");
        assert_eq!(Units::Imperial.area(1232.0), "1,232 sq ft");
    }
}
