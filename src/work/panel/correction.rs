//! What was said of a panel when it was opened, put right. It holds for the whole story; what was said first stays in it.

use super::event::{Grain, PanelEvent, PanelOpened};
use super::refusal::PanelRefusal;
use super::story::PanelStory;
use crate::craft::materials::Support;
use crate::craft::recipe::Paint;
use crate::units::Size;
use crate::work::story::validate_text;

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

impl PanelCorrection {
    /// What would change of that opening: words trimmed, and a thickness that is not said again kept.
    ///
    /// # Errors
    /// [`PanelRefusal`] where a label is empty or too long, or nothing would change.
    pub fn against(&self, opened: &PanelOpened) -> Result<PanelCorrection, PanelRefusal> {
        let label = self.label.as_deref().map(validate_text).transpose()?;
        let size = self.size.map(|size| Size { thickness: size.thickness.or(opened.size.thickness), ..size });
        let changed = PanelCorrection {
            label: label.filter(|label| *label != opened.label),
            size: size.filter(|size| *size != opened.size),
            support: self.support.filter(|support| *support != opened.support),
            grain: self.grain.filter(|grain| *grain != opened.grain),
            paint: self.paint.filter(|paint| *paint != opened.paint),
        };
        if changed == PanelCorrection::default() { Err(PanelRefusal::NothingToCorrect) } else { Ok(changed) }
    }

    /// The opening as it should have been.
    pub fn apply(&self, opened: &mut PanelOpened) {
        let PanelCorrection { label, size, support, grain, paint } = self;
        if let Some(label) = label {
            opened.label.clone_from(label);
        }
        opened.size = size.unwrap_or(opened.size);
        opened.support = support.unwrap_or(opened.support);
        opened.grain = grain.unwrap_or(opened.grain);
        opened.paint = paint.unwrap_or(opened.paint);
    }
}

/// What was said of the panel before the fact of that `seq`: as opened, with what was put right till then.
pub fn said_before(story: &PanelStory, seq: u64) -> Option<PanelOpened> {
    let PanelEvent::Opened(opened) = &story.entries().first()?.event else { return None };
    let mut said = (**opened).clone();
    for entry in story.entries().iter().filter(|e| e.seq < seq && !story.is_taken_back(e.seq)) {
        if let PanelEvent::Corrected(correction) = &entry.event {
            correction.apply(&mut said);
        }
    }
    Some(said)
}
