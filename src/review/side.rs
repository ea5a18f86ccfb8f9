//! One panel as it stands beside others in a view.

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
