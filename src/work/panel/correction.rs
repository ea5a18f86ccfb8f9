//! What was said of a panel when it was opened, put right. It holds for the whole story; what was said first stays in it.

use super::grain::Grain;
use crate::craft::materials::Support;
use crate::craft::recipe::Paint;
use crate::units::Size;

/// What is put right; what is none stays.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PanelCorrection {
    /// What the maker calls it.
    pub label: Option<String>,
    /// The board.
    pub size: Option<Size>,
    /// What the board is made of.
    pub support: Option<Support>,
    /// Which way its grain runs.
    pub grain: Option<Grain>,
    /// What will be painted on it.
    pub paint: Option<Paint>,
}
