//! The trial a board or a jar belongs to.

use crate::units::Id;

/// A board's, or a jar's, place in a trial.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TrialRun {
    /// The trial it was opened for.
    pub trial: Id,
    /// Its number in the order in which the lots were drawn, from 1; a stock of size, from which jars are thinned, has 0.
    pub run: u32,
    /// The jar its coats come from, from 1, or which jar it is; 0 for a stock.
    pub jar: u32,
}

impl TrialRun {
    /// The letter of the jar: A for the first. Nothing for a stock.
    pub fn jar_letter(&self) -> Option<char> {
        jar_letter(self.jar)
    }
}

/// The letter of that jar: A for 1, Z for 26; nothing for any other number.
pub fn jar_letter(jar: u32) -> Option<char> {
    let letter = u8::try_from(jar).ok().filter(|n| (1..=26).contains(n))? + b'A' - 1;
    Some(char::from(letter))
}
