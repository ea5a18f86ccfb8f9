//! A call that was raised: what it says, and the pattern of its strokes.

use crate::app::keymap::Keymap;
use crate::app::message::{InputMode, Message};
use crate::units::{Id, Moment, Span};
use crate::work::panel::event::PanelCall;
use crate::work::panel::story::PanelStory;
use crate::work::pot;

/// A pattern of strokes begins anew after this many beats, one a second.
pub(super) const PATTERN_BEATS: u32 = 15;

/// A call that was raised and not yet quieted.
#[derive(Debug, Clone, PartialEq)]
pub struct Alarm {
    /// What it calls for.
    pub call: PanelCall,
    /// On which panel.
    pub id: Id,
    /// What the maker calls that panel, as typed.
    pub label: String,
    /// Nothing is to be done after the wait it belongs to.
    pub is_last_wait: bool,
    /// The `seq` of the fact whose wait it belongs to.
    pub(super) fact_seq: u64,
    pub(super) since: Moment,
    /// Written down, or long enough not to be: it rings.
    pub(super) is_ringing: bool,
    /// Another window raised it: its bell is there, and here too the first key only quiets.
    pub is_elsewhere: bool,
    pub(super) beats: u32,
    pub(super) last_beat: Option<Moment>,
    /// The call of a pot of its own, which `id` and `of` are then of.
    pub(super) pot_call: Option<pot::event::PotCall>,
}

impl Alarm {
    pub(super) fn from_panel_call(id: Id, story: &PanelStory, (call, of): (PanelCall, u64), now: Moment) -> Alarm {
        let label = story.panel().opened().label.clone();
        let last = story.panel().stage_at_hand().is_none();
        Alarm {
            call,
            id,
            label,
            is_last_wait: last,
            fact_seq: of,
            since: now,
            is_ringing: false,
            is_elsewhere: false,
            beats: 0,
            last_beat: None,
            pot_call: None,
        }
    }

    /// A pot's own call. It rings at once: whoever else has heard of it, a pot in the heat spoils.
    pub(super) fn from_pot_call(id: Id, label: String, (call, of): (pot::event::PotCall, u64), now: Moment) -> Alarm {
        let (rings, pot) = (true, Some(call));
        Alarm {
            call: PanelCall::Pot,
            id,
            label,
            is_last_wait: false,
            fact_seq: of,
            since: now,
            is_ringing: rings,
            is_elsewhere: false,
            beats: 0,
            last_beat: None,
            pot_call: pot,
        }
    }

    /// The call of a pot of its own, if it is one.
    pub fn pot_call(&self) -> Option<pot::event::PotCall> {
        self.pot_call
    }

    /// Whether a board wants its next act, or to be looked at.
    pub fn is_board_call(&self) -> bool {
        self.pot_call.is_none() && self.call != PanelCall::Pot
    }

    /// Whether it is that call of that pot's own.
    pub(super) fn is_pot_call(&self, id: &Id, call: pot::event::PotCall) -> bool {
        self.id == *id && self.pot_call == Some(call)
    }

    /// What it says, in words.
    pub fn describe(&self) -> String {
        match (self.pot_call, self.call) {
            (Some(pot::event::PotCall::OutOfBath), _) => format!("{}: out of the bath", self.label),
            (Some(pot::event::PotCall::Soaked), _) => format!("{}: soaked, melt it gently", self.label),
            (None, PanelCall::LookDull) => format!("{}: look whether the gloss is gone", self.label),
            (None, PanelCall::Pot) => format!("{}: see to the pot", self.label),
            (None, PanelCall::Due) if self.is_last_wait => format!("{}: ready to paint on", self.label),
            (None, PanelCall::Due) => format!("{}: it is time", self.label),
        }
    }

    /// How many strokes its pattern has: once to look, twice for the pot, three times to lay.
    pub const fn count_strokes(call: PanelCall) -> u32 {
        match call {
            PanelCall::LookDull => 1,
            PanelCall::Pot => 2,
            PanelCall::Due => 3,
        }
    }

    /// What to press, once it is quiet.
    pub(super) fn next_step_hint(&self, keymap: &Keymap) -> String {
        let key = |message| keymap.label(&message, InputMode::Bench);
        let hint = match (self.pot_call, self.call) {
            (Some(pot::event::PotCall::OutOfBath), _) => {
                return format!("lift it out, then press {}", key(Message::ToggleBath));
            }
            (Some(pot::event::PotCall::Soaked), _) => return format!("{} leads on", key(Message::ShowPots)),
            (None, PanelCall::LookDull) => return format!("press {} when the gloss is gone", key(Message::RecordDull)),
            (None, PanelCall::Pot) => {
                return format!("see to the pot; {} when it goes into the bath", key(Message::ToggleBath));
            }
            (None, PanelCall::Due) if self.is_last_wait => "ready to paint on",
            (None, PanelCall::Due) => "press when it is on",
        };
        hint.to_owned()
    }

    /// Whether the next beat is the first of its pattern.
    pub(super) const fn is_pattern_start(&self) -> bool {
        self.beats.is_multiple_of(PATTERN_BEATS)
    }

    /// Counts one more beat. Returns whether its pattern has a stroke there.
    pub(super) fn count_beat(&mut self, now: Moment, apart: Span) -> bool {
        if self.last_beat.is_some_and(|last| now.since(last).abs() < apart) {
            return false;
        }
        self.last_beat = Some(now);
        let stroke = self.beats % PATTERN_BEATS < Alarm::count_strokes(self.call);
        self.beats += 1;
        stroke
    }
}
