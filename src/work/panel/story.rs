//! The whole story of a panel. How take-backs and late facts work is `work::story`'s; here is what it needs to know of a
//! panel.

use super::state::Panel;
use crate::work::story;

/// A panel's story.
pub type PanelStory = story::Story<Panel>;

impl PanelStory {
    /// The state that follows.
    pub fn panel(&self) -> &Panel {
        self.state()
    }
}
