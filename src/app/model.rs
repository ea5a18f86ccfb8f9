//! The bench as it is looked at: which panel is shown, what a key does to that, and what it asks to have recorded.
//!
//! A key becomes a [`KeyPress`], [`Model::update`] turns it into [`Effect`]s, and whoever keeps the journals answers
//! with a [`Reply`] for [`Model::handle_reply`], in the order asked.
//!
//! Plain types, which need no model: `effect` what is asked and answered, `overlay` what lies over the bench, made of
//! `line_editor`, `map_editor`, `panel_form`, `pots_overlay` and `making_model`; `alarm` a call that rings,
//! `alert_text` what it says. What is
//! done with them: `bench_update` the keys of the bench, `overlay_update`, `pots_overlay_update`, `making_update` and
//! `sitting_update` those of what lies over it, `round` which board is shown and which comes next, `queue` what comes over
//! all, `pots_update` the pots beside it, `last_press` what was recorded last, `recent_fact` its time, `replies` what came of effects, `tick` what time brings, `pot_alarm` the calls of pots, `rehearsal`
//! the bench on a hurried clock.

mod alarm;
mod alert_text;
mod bench_update;
mod clock_check;
mod effect;
mod last_press;
mod line_editor;
mod making_model;
mod making_update;
mod map_editor;
mod objection;
mod overlay;
mod overlay_update;
mod panel_form;
mod pass;
mod pass_sheet;
mod pass_sheet_update;
mod plan_overlay;
mod plan_update;
mod pot_alarm;
mod pots_overlay;
mod pots_overlay_update;
mod pots_update;
mod queue_overlay;
mod queue_update;
mod recent_fact;
mod rehearsal;
mod replies;
mod round_model;
mod round_update;
mod sitting_update;
mod tick;
mod undo_update;

pub use alarm::Alarm;
pub use alert_text::AlertText;
pub use effect::{Effect, Reply};
pub use line_editor::LineEditor;
pub use making_model::MakingModel;
pub use map_editor::{MapEditor, MapHint, area_of_digit, find_lows_for};
pub use overlay::{ClockQuestion, FlawList, Overlay, ShelfChoice, ShelfTask};
pub use panel_form::PanelForm;
pub use pass_sheet::PassSheet;
pub use plan_overlay::{DAYS_OF_WEEKS, PlanOverlay};
pub use pots_overlay::{PotForm, PotsOverlay};
pub use queue_overlay::QueueOverlay;

use super::key::Key;
use super::keymap::Keymap;
use super::message::{InputMode, KeyPress, Message};
use crate::bench::PotSurvey;
use crate::bench::{PlanHabits, RecordError, Snapshot, StudioKnowledge, trusted_now};
use crate::config::QuietHours;
use crate::craft::recipe::Recipe;
use crate::text::UnitSystem;
use crate::units::{Id, Moment, Span, Stamp};
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{PanelCall, Stage};
use crate::work::panel::phase::PanelStatus;
use crate::work::panel::story::PanelStory;
use crate::work::pot::interruption::GapConsequence;
use effect::{PendingEffect, PendingKind};
use last_press::LastPress;
use round_model::RoundModel;
use std::collections::VecDeque;
use std::sync::Arc;

/// The same key within this time of itself is a resting finger, not a second press.
pub const KEY_REPEAT_WINDOW: Span = Span::from_s(1);
/// How long a question waits for its second press.
pub const CONFIRMATION_TIMEOUT: Span = Span::from_s(20);
/// What is said of a press that is not taken, until the one before it is answered.
const STILL_SAVING: &str = "still saving the press before; press again";
/// How long a word stays.
const MESSAGE_TIMEOUT: Span = Span::from_s(12);

/// A question that a second press of the same key answers with yes.
#[derive(Debug, Clone, PartialEq)]
pub struct Confirmation {
    message: Message,
    since: Moment,
    /// The question in block letters, at most two lines: "8 EARLY", "AGAIN?".
    pub lines: Vec<String>,
    /// What a second press does, in words: "Space again records it all the same".
    pub text: String,
}

impl Confirmation {
    /// Whether that key answers it; any other takes it away.
    fn is_answered_by(&self, message: &Message) -> bool {
        let pass = matches!(message, Message::RecordDone | Message::Accept | Message::BoardCount(_));
        self.message == *message || (self.message == Message::RecordPass && pass)
    }
}

/// A word about the recording.
#[derive(Debug, Clone, PartialEq)]
pub struct StatusMessage {
    /// The words.
    pub text: String,
    /// Whether something is wrong.
    pub urgent: bool,
    since: Moment,
}

/// The view's own settings.
#[derive(Debug, Clone, PartialEq)]
pub struct ModelSettings {
    /// When long waits end in silence.
    pub night: Option<QuietHours>,
    /// How long an alarm rings if nobody quiets it.
    pub ring_for: Span,
    /// The recipes that can be chosen, the default one first.
    pub recipes: Vec<Arc<Recipe>>,
    /// What the panels of the whole shelf are filed under, finished ones too.
    pub shelf_ids: Vec<Id>,
    /// Which key means what.
    pub keymap: Arc<Keymap>,
    /// How many pairs of hands work here, at least 1.
    pub hands: u8,
    /// What is told of lengths and masses.
    pub units: UnitSystem,
    /// When somebody works, for a plan made on the bench.
    pub habits: PlanHabits,
}

/// The last key, as far as it bears on whether the next press is one.
#[derive(Debug, Clone, Copy, PartialEq)]
struct LastKey {
    key: Option<Key>,
    at: Moment,
    /// The run of presses began with one that recorded, or quieted an alarm: until the key is let go, it says nothing more.
    spent: bool,
}

/// A fact just recorded, while its time may still be stepped.
#[derive(Debug, Clone, PartialEq)]
pub struct RecentFact {
    /// On which panel.
    pub id: Id,
    /// The `seq` of the fact, as it stands now.
    pub seq: u64,
    /// The stage it was recorded for.
    pub stage: Stage,
    /// When it was first recorded as having happened.
    pub at: Stamp,
    /// How many minutes earlier than that it stands.
    pub back_min: u32,
    /// Since when nobody stepped it.
    since: Moment,
}

/// The pots and the air as the view knows them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PotsModel {
    /// Pots, panels and air together.
    survey: PotSurvey,
    /// Whether the pots were read yet.
    is_loaded: bool,
    /// The pots the maker chose, the last chosen last; at most one of a kind.
    chosen: Vec<Id>,
    /// What a gap in the work means, until it is put away.
    gap_meanings: Vec<GapConsequence>,
    /// The beginning of the last gap told of.
    explained_gap_start: Option<Moment>,
    /// Calls of pots rung here: the pot, the fact, how many times by then, when last.
    rung_calls: Vec<(Id, u64, u64, Moment)>,
}

/// Jumps and sleeps that are not written yet: at most one of each is written a minute.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct ClockEvents {
    jumped: Span,
    slept: Span,
    /// When the last was asked to be written.
    written: Option<Moment>,
}

/// What a rehearsal remembers.
#[derive(Debug, Clone, PartialEq)]
struct Rehearsal {
    /// The long wait on the screen: the `seq` of the fact it runs from, and since when it is shown.
    long_wait: Option<(u64, Moment)>,
}

/// The bench as it is looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct Model {
    snapshots: Vec<Snapshot>,
    shown_index: usize,
    /// What lies over the bench.
    pub overlay: Overlay,
    /// A question that waits for its second press.
    pub confirmation: Option<Confirmation>,
    /// The fact just recorded.
    pub recent_fact: Option<RecentFact>,
    /// The word to be shown.
    pub status_message: Option<StatusMessage>,
    /// The next act is done in the other direction.
    pub direction_turned: bool,
    /// Only what is readable from afar.
    pub distance_mode: bool,
    /// The air, and what earlier panels teach, once that was read.
    pub studio: StudioKnowledge,
    settings: ModelSettings,
    /// How many times as fast as the world the clock runs; what a person needs time for is as long all the same.
    pace: f64,
    alarms: Vec<Alarm>,
    pending: VecDeque<PendingEffect>,
    /// A press before this one is still being saved.
    busy: bool,
    /// Why nothing is recorded any more, if so.
    recording_fault: Option<RecordError>,
    last_key: Option<LastKey>,
    last_tick: Option<(Moment, Option<i64>)>,
    /// What the clocks did since the notice before was written, and when that was.
    clock_events: ClockEvents,
    /// The newest line the clock was made to run on from.
    clock_runs_from: Option<Stamp>,
    /// Whether the clock was asked about.
    has_asked_clock: bool,
    /// What a rehearsal remembers, if this is one.
    rehearsal: Option<Rehearsal>,
    /// Calls raised here, so that a failing disk makes none ring twice.
    raised_calls: Vec<(Id, PanelCall, u64)>,
    /// The pots and the air.
    pots: PotsModel,
    /// The round over several boards.
    round: RoundModel,
    /// What this window recorded last.
    last_press: Option<LastPress>,
    /// Who is at the brush, if somebody is named.
    maker: Option<String>,
}

impl Model {
    /// A view of those panels; with none that can be read, the form for a first one, or what can be done with the shelf.
    pub fn new(told: Vec<Snapshot>, manner: ModelSettings) -> Model {
        let shown = told.iter().position(|t| t.story.is_some());
        let over = match shown {
            Some(_) => Overlay::None,
            None if told.is_empty() && !manner.shelf_ids.is_empty() => Overlay::Shelf(ShelfChoice::default()),
            None => Overlay::Form(PanelForm::new(&manner.recipes, &manner.shelf_ids, &told)),
        };
        Model {
            snapshots: told,
            shown_index: shown.unwrap_or(0),
            overlay: over,
            confirmation: None,
            recent_fact: None,
            status_message: None,
            direction_turned: false,
            distance_mode: false,
            studio: StudioKnowledge::default(),
            settings: manner,
            pace: 1.0,
            alarms: Vec::new(),
            pending: VecDeque::new(),
            busy: false,
            recording_fault: None,
            last_key: None,
            last_tick: None,
            clock_events: ClockEvents::default(),
            clock_runs_from: None,
            has_asked_clock: false,
            rehearsal: None,
            raised_calls: Vec::new(),
            pots: PotsModel::default(),
            round: RoundModel::default(),
            last_press: None,
            maker: None,
        }
        .with_synced_panels()
    }

    /// The same view for a clock that runs `pace` times as fast as the world.
    #[must_use]
    pub fn with_pace(self, pace: f64) -> Model {
        Model { pace: pace.max(0.001), ..self }
    }

    /// Every panel on the bench.
    pub fn snapshots(&self) -> &[Snapshot] {
        &self.snapshots
    }
    /// The place of the panel shown.
    pub fn shown_index(&self) -> usize {
        self.shown_index
    }
    /// The panel shown.
    pub fn shown_panel(&self) -> Option<&Snapshot> {
        self.snapshots.get(self.shown_index)
    }
    /// The story of the panel shown.
    pub fn story(&self) -> Option<&Arc<PanelStory>> {
        self.shown_panel()?.story.as_ref()
    }
    /// What the maker calls the panel shown.
    fn label(&self) -> String {
        self.story().map(|s| s.panel().opened().label.clone()).unwrap_or_default()
    }
    /// Where the panel shown stands.
    pub fn panel_status(&self, now: Moment) -> Option<PanelStatus> {
        let story = self.story()?;
        Some(story.panel().status(trusted_now(story, now)))
    }
    /// The stage that comes next on the panel shown, whether or not a wait still runs before it.
    fn stage_at_hand(&self) -> Option<Stage> {
        self.story()?.panel().stage_at_hand()
    }
    /// Why nothing is recorded any more, if so.
    pub fn recording_fault(&self) -> Option<&RecordError> {
        self.recording_fault.as_ref()
    }
    /// How many pairs of hands lay the coats.
    pub fn hands(&self) -> usize {
        usize::from(self.settings.hands.max(1))
    }
    /// The recipes a form may choose from.
    pub fn recipes(&self) -> &[Arc<Recipe>] {
        &self.settings.recipes
    }

    /// Back to the bench; where nothing is on it, to what can be done instead.
    fn return_to_bench(&mut self) {
        self.overlay = match self.story() {
            Some(_) => Overlay::None,
            None if self.has_shelf() => Overlay::Shelf(ShelfChoice::default()),
            None => Overlay::Form(self.new_panel_form()),
        };
    }

    /// Whether panels lie on the shelf that are not on the bench.
    fn has_shelf(&self) -> bool {
        self.snapshots.is_empty() && !self.settings.shelf_ids.is_empty()
    }

    /// The form for one more panel.
    fn new_panel_form(&self) -> PanelForm {
        PanelForm::new(&self.settings.recipes, &self.settings.shelf_ids, &self.snapshots)
    }

    /// Whether anything on the screen changes with the seconds.
    pub fn is_counting(&self, now: Moment) -> bool {
        let words = self.confirmation.is_some() || self.recent_fact.is_some() || self.status_message.is_some();
        let waits = !self.alarms.is_empty() || !self.pending.is_empty();
        words
            || waits
            || self.has_counting_pot(now)
            || self.is_making_timed(now)
            || self.snapshots.iter().any(|t| t.is_unfinished(now) && t.has_running_time(now))
    }

    /// How far into its second the countdown shown is, milliseconds: the digits change where this is 0.
    pub fn ms_into_second(&self, now: Moment) -> i64 {
        match self.panel_status(now).and_then(|s| s.time_left) {
            Some(left) => -left.ms(),
            None => now.wall.ms(),
        }
    }

    /// Where the keys go.
    pub fn input_mode(&self) -> InputMode {
        match &self.overlay {
            Overlay::None => InputMode::Bench,
            Overlay::Keys(_) | Overlay::Story(_) | Overlay::Flaws(_) | Overlay::Clock(_) | Overlay::Shelf(_) => {
                InputMode::List
            }
            Overlay::Comparison(_) => InputMode::Comparison,
            Overlay::Line(_) => InputMode::Line,
            Overlay::Form(form) if form.offer.is_some() => InputMode::Offer,
            Overlay::Form(_) => InputMode::Form,
            Overlay::Map(_) => InputMode::Map,
            Overlay::Pots(pots) => pots.input_mode(),
            Overlay::Sitting(sitting) => sitting.input_mode(),
            Overlay::Queue(_) => InputMode::Queue,
            Overlay::Plan(_) => InputMode::Plan,
            Overlay::PassSheet(_) => InputMode::PassSheet,
        }
    }

    /// Which key means what.
    pub fn keymap(&self) -> &Keymap {
        &self.settings.keymap
    }

    /// The key that sends that message to the bench.
    fn bench_key(&self, message: &Message) -> String {
        self.keymap().label(message, InputMode::Bench)
    }

    /// What a press of that key asks for where the keys go now.
    pub fn decode_key(&self, key: Key, held: bool) -> KeyPress {
        self.keymap().decode(key, held, self.input_mode())
    }

    /// Takes in a key press. While an alarm rings, the first press of any kind only quiets it.
    pub fn update(&mut self, press: KeyPress, now: Moment) -> Vec<Effect> {
        if self.detect_key_repeat(&press, now) || self.quiet_alarms(now) {
            return Vec::new();
        }
        self.busy = !self.pending.is_empty();
        self.detect_silent_gap(now);
        let message = press.message;
        self.end_time_steps_before(&message);
        self.confirmation.take_if(|q| !q.is_answered_by(&message));
        if message == Message::Suspend {
            return vec![Effect::Suspend];
        }
        match &self.overlay {
            Overlay::None => self.update_bench(message, now),
            Overlay::Keys(_) | Overlay::Story(_) => self.update_scroll(&message),
            Overlay::Flaws(_) => self.update_flaw_list(&message, now),
            Overlay::Clock(_) => self.update_clock_question(&message),
            Overlay::Shelf(_) => self.update_shelf_choice(&message, now),
            Overlay::Line(_) => self.update_line(&message, now),
            Overlay::Map(_) => self.update_map(&message, now),
            Overlay::Form(_) => self.update_form(&message, now),
            Overlay::Pots(_) => self.update_pots(&message, now),
            Overlay::Comparison(_) => self.update_comparison(&message),
            Overlay::Sitting(_) => self.update_sitting(&message, now),
            Overlay::Queue(_) => self.update_queue(&message, now),
            Overlay::Plan(_) => self.update_plan(&message, now),
            Overlay::PassSheet(_) => self.update_pass_sheet(&message, now),
        }
    }

    /// Whether that is a finger that rests: the same key within a second of itself, where it would record, or where the
    /// press it began with did. Every press counts, so a key that is held stays unheard for as long as it is held.
    fn detect_key_repeat(&mut self, press: &KeyPress, now: Moment) -> bool {
        let records = press.records;
        let before = self.last_key.filter(|last| press.key.is_some() && last.key == press.key);
        let same =
            press.held || before.is_some_and(|last| now.since(last.at).abs() < self.scale_by_pace(KEY_REPEAT_WINDOW));
        let spent = same && before.is_some_and(|last| last.spent);
        let rings = self.is_ringing();
        self.last_key = Some(LastKey { key: press.key, at: now, spent: spent || records || rings });
        same && (records || spent || rings)
    }

    /// A time meant for a person's eyes and fingers, on a clock that may run faster.
    pub fn scale_by_pace(&self, span: Span) -> Span {
        Span::from_ms((span.ms() as f64 * self.pace) as i64)
    }

    /// Lets a word be shown.
    pub fn show_message(&mut self, text: String, loud: bool, now: Moment) {
        self.status_message = Some(StatusMessage { text, urgent: loud, since: now });
    }

    /// Asks for a second press, beside what lies over the bench.
    fn ask_confirmation(&mut self, message: Message, text: String, now: Moment) {
        self.ask_in_block_letters(message, Vec::new(), text, now);
    }

    /// Asks for a second press on the bench, to be read across the room.
    fn ask_in_block_letters(&mut self, message: Message, lines: Vec<String>, text: String, now: Moment) {
        self.confirmation = Some(Confirmation { message, since: now, lines, text });
    }

    fn take_confirmation(&mut self, message: &Message) -> bool {
        self.confirmation.take().is_some_and(|q| q.message == *message)
    }

    /// Asks the journals. While an earlier press is still being saved nothing more is taken, so that a slow disk cannot
    /// pile presses up.
    fn request_effect(&mut self, effect: Effect, what: PendingKind, now: Moment) -> Vec<Effect> {
        if self.busy {
            self.show_message(STILL_SAVING.to_owned(), true, now);
            return Vec::new();
        }
        self.pending.push_back(PendingEffect { since: now, kind: what });
        vec![effect]
    }

    fn record_act(&mut self, act: PanelAct, seen: Option<Stage>, now: Moment) -> Vec<Effect> {
        let Some(id) = self.shown_panel().map(|p| p.id.clone()) else { return Vec::new() };
        self.record_act_on(id, act, seen, now)
    }

    /// Lets go of what has been shown for long enough.
    fn expire_messages(&mut self, now: Moment) {
        let older = |since: Moment, than: Span| now.since(since).abs() > than;
        if self.confirmation.as_ref().is_some_and(|q| older(q.since, self.scale_by_pace(CONFIRMATION_TIMEOUT))) {
            self.confirmation = None;
        }
        if self
            .status_message
            .as_ref()
            .is_some_and(|s| older(s.since, self.scale_by_pace(MESSAGE_TIMEOUT)) && !s.urgent)
        {
            self.status_message = None;
        }
        self.expire_recent_fact(now);
    }
}
