//! Taking back what this window recorded last.

use super::effect::{Effect, PendingKind};
use super::last_press::{LastPress, PressedFacts};
use super::{Confirmation, Model};
use crate::app::message::Message;
use crate::bench::{RecordRequest, Snapshot};
use crate::units::{Id, Moment, Span};
use crate::work::advice::fact_text::{format_fact, format_pot_fact};
use crate::work::panel::act::PanelAct;
use crate::work::pot::act::PotAct;
use crate::work::story::StoryEvent;

/// A press longer ago is named before it is taken back.
const TAKEN_BACK_UNASKED: Span = Span::from_s(120);

/// What the key would take back, as it stands now.
struct UndoTarget {
    facts: PressedFacts,
    /// Of whom, in capitals.
    name: String,
    /// In words: "coat 3 laid".
    what: String,
    is_named_first: bool,
}

impl Model {
    /// Takes back the last press of this window, and no other fact. What another window recorded since, what was pressed
    /// before a restart, and what lies some minutes back is named first.
    pub(super) fn undo_last_press(&mut self, now: Moment) -> Vec<Effect> {
        let Some(target) = self.find_undo_target(now) else {
            self.show_message(format!("{}: nothing is left to take back", self.label()), false, now);
            return Vec::new();
        };
        if target.is_named_first && !self.take_confirmation(&Message::Undo) {
            let key = self.bench_key(&Message::Undo);
            let name = if target.name.is_empty() { "TAKE BACK".to_owned() } else { format!("UNDO {}", target.name) };
            let text = format!("{} - {key} again takes it back", target.what);
            self.ask_in_block_letters(Message::Undo, vec![name, "AGAIN?".to_owned()], text, now);
            return Vec::new();
        }
        match target.facts {
            PressedFacts::Boards(facts) => match facts.as_slice() {
                [(id, seq)] => self.record_act_on(id.clone(), PanelAct::Undo { seen: Some(*seq) }, None, now),
                _ => self.request_effect(Effect::UndoPass(facts), PendingKind::OtherFact, now),
            },
            PressedFacts::Pot(id, seq) => self.record_pot_act(&id, PotAct::Undo { seen: Some(seq) }, now),
        }
    }

    fn find_undo_target(&self, now: Moment) -> Option<UndoTarget> {
        self.last_press.as_ref().and_then(|press| self.target_of_press(press, now)).or_else(|| {
            let shown = self.shown_panel()?;
            let seq = shown.story.as_ref()?.last_standing_entry()?.seq;
            self.target_of_boards(vec![(shown.id.clone(), seq)], true)
        })
    }

    /// The press, if it still stands last; else what stands there now, to be named first.
    fn target_of_press(&self, press: &LastPress, now: Moment) -> Option<UndoTarget> {
        let old = now.since(press.at).abs() > self.scale_by_pace(TAKEN_BACK_UNASKED);
        match &press.facts {
            PressedFacts::Boards(facts) => {
                let last_of = |id: &Id| Some(self.find_board(id)?.story.as_ref()?.last_standing_entry()?.seq);
                // Of several facts on one board the last stands last; the others stand below it.
                let stands = |(id, seq): &(Id, u64)| {
                    let newest = facts.iter().filter(|(other, _)| other == id).map(|(_, seq)| *seq).max();
                    newest == last_of(id) && Some(*seq) <= newest
                };
                if facts.iter().all(stands) {
                    return self.target_of_boards(facts.clone(), old || press.is_overtaken);
                }
                let (id, _) = facts.last()?;
                self.target_of_boards(vec![(id.clone(), last_of(id)?)], true)
            }
            PressedFacts::Pot(id, seq) => {
                let story = self.pot_survey().pots.iter().find(|t| t.id == *id)?.story.as_ref()?;
                let last = story.last_standing_entry()?;
                let what = format!(
                    "{}: {}",
                    story.pot().opened().label,
                    format_pot_fact(story, last, self.settings.units).text
                );
                let facts = PressedFacts::Pot(id.clone(), last.seq);
                let is_named_first = old || press.is_overtaken || last.seq != *seq;
                Some(UndoTarget { facts, name: "POT".to_owned(), what, is_named_first })
            }
        }
    }

    /// Whether the last press was a pot's.
    pub(super) fn is_last_press_of_pot(&self) -> bool {
        self.last_press.as_ref().is_some_and(|press| matches!(press.facts, PressedFacts::Pot(..)))
    }

    fn target_of_boards(&self, facts: Vec<(Id, u64)>, is_named_first: bool) -> Option<UndoTarget> {
        let (id, seq) = facts.last()?;
        let story = self.find_board(id)?.story.as_ref()?;
        let what = format_fact(story, story.entry(*seq)?, self.settings.units).text;
        let label = &story.panel().opened().label;
        let (name, what) = match facts.len() {
            1 => (self.block_name(id), format!("{label}: {what}")),
            n => (n.to_string(), format!("{n} boards: {what}")),
        };
        Some(UndoTarget { facts: PressedFacts::Boards(facts), name, what, is_named_first })
    }

    pub(super) fn find_board(&self, id: &Id) -> Option<&Snapshot> {
        self.snapshots.iter().find(|t| t.id == *id)
    }

    /// A press of this window is on disk on that board: it is what the key takes back from now on. A take-back leaves
    /// nothing that would be taken back unasked.
    pub(super) fn note_board_press(&mut self, snapshot: &Snapshot, now: Moment) {
        let entry = snapshot.story.as_ref().and_then(|s| s.entries().last());
        let fact = entry.filter(|e| e.event.can_be_taken_back()).map(|e| (snapshot.id.clone(), e.seq));
        self.last_press =
            fact.map(|fact| LastPress { facts: PressedFacts::Boards(vec![fact]), at: now, is_overtaken: false });
    }

    /// The facts of a pass are on disk: they go back together.
    pub(super) fn note_pass(&mut self, facts: Vec<(Id, u64)>, now: Moment) {
        let press = LastPress { facts: PressedFacts::Boards(facts.clone()), at: now, is_overtaken: false };
        self.last_press = (!facts.is_empty()).then_some(press);
    }

    /// The name of whoever the key takes something back from, in capitals, and whether it is asked first.
    pub fn undo_name(&self, now: Moment) -> Option<String> {
        self.find_undo_target(now).map(|target| target.name)
    }

    /// Somebody else recorded something.
    pub(super) fn note_press_elsewhere(&mut self) {
        if let Some(press) = &mut self.last_press {
            press.is_overtaken = true;
        }
        let asks = |q: &Confirmation| q.message == Message::Undo;
        self.confirmation.take_if(|q| asks(q));
    }

    /// An act on that board, whichever is shown.
    pub(super) fn record_act_on(
        &mut self,
        id: Id,
        act: PanelAct,
        seen: Option<crate::work::panel::event::Stage>,
        now: Moment,
    ) -> Vec<Effect> {
        let what = PendingKind::from_act(&act, seen);
        self.request_effect(Effect::Record(id, RecordRequest { act, at: None, expected_stage: seen }), what, now)
    }
}
