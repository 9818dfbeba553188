//! Takes given values over into typed ones, and collects those that are impossible.

use super::plant_file::{Key, LengthKey};
use crate::toml_text::{At, LengthValue, Mistake, Text};
use crate::units::Length;
use std::fmt::Display;
use std::ops::RangeInclusive;

/// A file being taken over: its text, and the mistakes found so far.
pub(super) struct Checks<'a> {
    pub(super) text: Text<'a>,
    pub(super) mistakes: Vec<Mistake>,
}

impl<'a> Checks<'a> {
    pub(super) fn new(text: Text<'a>) -> Self {
        Self {
            text,
            mistakes: Vec::new(),
        }
    }

    /// Notes a mistake at a byte offset.
    pub(super) fn refuse(
        &mut self,
        offset: usize,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) {
        self.mistakes.push(self.text.mistake(offset, message, hint));
    }

    /// Takes a value over as it is.
    pub(super) fn take<T: Clone>(target: &mut T, given: &Key<T>) {
        if let Some(at) = given {
            target.clone_from(&at.value);
        }
    }

    /// Takes a length that lies in a range.
    pub(super) fn length(
        &mut self,
        key: &str,
        target: &mut Length,
        given: &LengthKey,
        range: &RangeInclusive<Length>,
    ) {
        if let Some(at) = given {
            *target = self.one_length(key, at, range);
        }
    }

    /// A length that must be there and lie in a range.
    pub(super) fn one_length(
        &mut self,
        key: &str,
        at: &At<LengthValue>,
        range: &RangeInclusive<Length>,
    ) -> Length {
        self.in_range(key, at.value.0, at.offset, range);
        at.value.0
    }

    /// Takes a number that lies in a range.
    pub(super) fn number<T: Copy + PartialOrd + Display>(
        &mut self,
        key: &str,
        target: &mut T,
        given: &Key<T>,
        range: &RangeInclusive<T>,
    ) {
        if let Some(at) = given {
            *target = self.one_number(key, at, range);
        }
    }

    /// A number that must be there and lie in a range.
    pub(super) fn one_number<T: Copy + PartialOrd + Display>(
        &mut self,
        key: &str,
        at: &At<T>,
        range: &RangeInclusive<T>,
    ) -> T {
        self.in_range(key, at.value, at.offset, range);
        at.value
    }

    /// Takes a text that is not empty.
    pub(super) fn text(&mut self, key: &str, target: &mut String, given: &Key<String>) {
        if let Some(at) = given {
            *target = self.one_text(key, at);
        }
    }

    /// A text that must be there and not be empty.
    pub(super) fn one_text(&mut self, key: &str, at: &At<String>) -> String {
        if at.value.trim().is_empty() {
            self.refuse(at.offset, format!("{key} is empty"), "write its text");
        }
        at.value.clone()
    }

    /// Takes a list of lengths that rise and lie in a range.
    pub(super) fn rising(
        &mut self,
        key: &str,
        target: &mut Vec<Length>,
        given: &Key<Vec<At<LengthValue>>>,
        range: &RangeInclusive<Length>,
    ) {
        let Some(at) = given else { return };
        let lengths: Vec<Length> = at
            .value
            .iter()
            .map(|item| self.one_length(key, item, range))
            .collect();
        for (pair, item) in lengths.windows(2).zip(at.value.iter().skip(1)) {
            if let [before, after] = pair
                && after <= before
            {
                self.refuse(
                    item.offset,
                    format!("{key} goes from {before} to {after}"),
                    "list them from the smallest to the greatest, each once",
                );
            }
        }
        *target = lengths;
    }

    fn in_range<T: PartialOrd + Display>(
        &mut self,
        key: &str,
        value: T,
        offset: usize,
        range: &RangeInclusive<T>,
    ) {
        if !range.contains(&value) {
            self.refuse(
                offset,
                format!("{key} is {value}"),
                format!("it must lie between {} and {}", range.start(), range.end()),
            );
        }
    }
}
