//! The readings of the small tests, as typed.

use crate::work::panel::ground_test::{GroundTest, TestScale};
use crate::work::panel::inspection::Inspection;

/// Longer figures nobody measures, characters.
const FIGURES_MAX: usize = 20;

/// What was typed for each test; empty where it was not made.
#[derive(Debug, Clone, Default)]
pub(super) struct TypedReadings([String; GroundTest::ALL.len()]);

impl TypedReadings {
    /// What stands there for that test.
    pub(super) fn text(&self, test: GroundTest) -> &str {
        &self.0[test as usize]
    }

    /// Takes in a character; a digit in place of a single grade. Tells whether it meant anything.
    pub(super) fn type_char(&mut self, test: GroundTest, c: char) -> bool {
        let typed = &mut self.0[test as usize];
        match (test.scale(), test.places().1) {
            (TestScale::Grade { most }, 1) => {
                let fits = c.to_digit(10).is_some_and(|digit| digit <= u32::from(most));
                if fits {
                    *typed = c.to_string();
                }
                fits
            }
            (TestScale::Grade { .. }, _) => push_figure(typed, c, "/"),
            (TestScale::Pencil, _) => push_figure(typed, c.to_ascii_uppercase(), "BFH/"),
            (TestScale::Seconds, _) => push_figure(typed, c, "./"),
            (TestScale::Minutes | TestScale::Millimetres, _) => push_figure(typed, c, "."),
        }
    }

    /// Takes the last character away.
    pub(super) fn erase(&mut self, test: GroundTest) {
        self.0[test as usize].pop();
    }

    /// Not made after all.
    pub(super) fn clear(&mut self, test: GroundTest) {
        self.0[test as usize].clear();
    }

    /// Puts them into a look, or says which cannot be.
    pub(super) fn put_into(&self, seen: &mut Inspection) -> Result<(), String> {
        for test in GroundTest::ALL.into_iter().filter(|test| !self.text(*test).is_empty()) {
            // Here a comma is a decimal point, and strokes part the places.
            seen.set_readings(test, self.text(test)).map_err(|error| error.to_string().replace(',', "/"))?;
        }
        Ok(())
    }
}

/// Adds a digit or one of those marks.
pub(super) fn push_figure(to: &mut String, c: char, marks: &str) -> bool {
    let c = if c == ',' { '.' } else { c };
    let fits = (c.is_ascii_digit() || marks.contains(c)) && to.len() < FIGURES_MAX;
    if fits {
        to.push(c);
    }
    fits
}
