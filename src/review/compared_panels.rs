//! Panels as they stand beside each other in a view.

use super::compare::UnreadableStory;
use super::panel_row::PanelRow;
use super::panel_timeline::PanelTimeline;
use crate::craft::recipe::Recipe;
use std::sync::Arc;

/// One panel beside others.
#[derive(Debug, Clone, PartialEq)]
pub struct ComparedPanel {
    /// Its row.
    pub row: PanelRow,
    /// Its time line and maps.
    pub timeline: PanelTimeline,
    /// A recipe of what was done on it.
    pub recipe_as_done: Arc<Recipe>,
}

/// What of a shelf is put into a view.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ComparedPanels {
    /// The panels.
    pub panels: Vec<ComparedPanel>,
    /// The stories that could not be read, and the pots and the air whose figures are missing.
    pub unreadable_stories: Vec<UnreadableStory>,
    /// How many panels there are on the shelf; of more than a view holds, those opened last are in it.
    pub shelf_total: usize,
    /// How many of them were to be read for the view.
    pub considered: usize,
}
