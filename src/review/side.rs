//! Panels as they stand beside each other in a view.

use super::compare::LeftOut;
use super::facts::Facts;
use super::lines::Line;
use crate::craft::recipe::Recipe;
use std::sync::Arc;

/// One panel beside others.
#[derive(Debug, Clone, PartialEq)]
pub struct One {
    /// Its row.
    pub facts: Facts,
    /// Its time line and maps.
    pub line: Line,
    /// A recipe of what was done on it.
    pub again: Arc<Recipe>,
}

/// What of a shelf is put into a view.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Side {
    /// The panels.
    pub ones: Vec<One>,
    /// The stories that could not be read.
    pub left_out: Vec<LeftOut>,
    /// How many panels there are on the shelf; of more than a view holds, those opened last are in it.
    pub of: usize,
}
