//! The views beside the bench, as plain data: every key, a check's map, a form, a story.

use super::keymap::KeyHint;
use crate::work::panel::event::Roughness;

/// Every key, laid over the bench.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct KeysViewModel {
    /// Keys that belong together, each group under its heading.
    pub groups: Vec<(String, Vec<KeyHint>)>,
    /// How many lines are scrolled away at the top.
    pub offset: usize,
}

/// The map of a check while it is filled in.
#[derive(Debug, Clone, PartialEq)]
pub struct MapViewModel {
    /// What stands above it: "Wren: check, round 2".
    pub title: String,
    /// Width and height of the panel in millimetres, width first with the arrow up.
    pub size_mm: (f64, f64),
    /// The areas, rows from the top.
    pub areas: Vec<Vec<Roughness>>,
    /// The map of the round before, where there was one.
    pub previous_areas: Option<Vec<Vec<Roughness>>>,
    /// Row from the top and column from the left, from 0.
    pub cursor: (usize, usize),
    /// The digits of a number pad, each with the row and column of the area it goes to.
    pub digits: Vec<(u8, (usize, usize))>,
    /// What is to be done here.
    pub hint: String,
    /// The keys worth naming.
    pub keys: Vec<KeyHint>,
}

/// A form that is filled in.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FormViewModel {
    /// What the form is for.
    pub title: String,
    /// Its fields from the top.
    pub fields: Vec<FormField>,
    /// Which field the typing goes to, from 0.
    pub focus: usize,
    /// What stands beside the fields where there is room.
    pub aside: Option<FormAside>,
    /// What is wrong with the form as a whole, as a sentence; empty if nothing.
    pub alert: String,
    /// The keys worth naming.
    pub keys: Vec<KeyHint>,
}

/// A board as it will be, and what is planned for it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FormAside {
    /// Width and height in millimetres; none while the size typed cannot be read.
    pub size_mm: Option<(f64, f64)>,
    /// The size as it is understood, then what the recipe means.
    pub lines: Vec<String>,
}

/// One field of a form.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FormField {
    /// What is asked.
    pub label: String,
    /// What stands there, as typed.
    pub value: String,
    /// Where the next character goes, in characters from the start of the value.
    pub cursor: usize,
    /// A word of help while typing goes here.
    pub help: String,
    /// What is wrong with it; empty if nothing.
    pub error: String,
}

/// What a journal holds about one panel, to be read.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct StoryViewModel {
    /// Whose story it is.
    pub title: String,
    /// The facts in story order.
    pub facts: Vec<StoryLine>,
    /// How many facts are scrolled away at the top.
    pub offset: usize,
    /// The keys worth naming.
    pub keys: Vec<KeyHint>,
}

/// One fact of a story.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct StoryLine {
    /// When it happened: "Tue 13:41".
    pub when: String,
    /// What happened: "coat 2 laid, vertical".
    pub what: String,
    /// Early or late: "2 min early".
    pub deviation: String,
    /// Why, or the maker's note.
    pub why: String,
    /// Whether it was taken back.
    pub undone: bool,
}

/// Coats that are put in afterwards: boards down, coats across.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PassSheetViewModel {
    /// What stands above it.
    pub title: String,
    /// The boards.
    pub rows: Vec<PassSheetRow>,
    /// Row and column of the cell the keys go to, from 0.
    pub cursor: (usize, usize),
    /// What is wrong, or rings; empty if nothing.
    pub alert: String,
    /// The keys worth naming.
    pub keys: Vec<KeyHint>,
}

/// A board of the sheet.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PassSheetRow {
    /// Its block name.
    pub name: String,
    /// Each coat, and when it was laid: "14:02"; a dash where it was not.
    pub cells: Vec<(String, String)>,
}
