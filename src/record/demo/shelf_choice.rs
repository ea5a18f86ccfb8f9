//! Which shelf is invented: that of a studio at its work, or one with a cause planted.

use super::planted::invent_planted_shelf;
use super::{DemoError, DemoOptions, InventedShelf, invent_studio_shelf};

/// Invents a shelf.
///
/// # Errors
/// The refusal of a fact, which is a mistake in this room.
pub fn invent_shelf(options: &DemoOptions) -> Result<InventedShelf, DemoError> {
    if options.cause.is_planted() { invent_planted_shelf(options) } else { invent_studio_shelf(options) }
}
