//! The bench as it is looked at: which panel is shown, what a key does to that, and what it asks to have recorded.
//!
//! A key becomes a [`Press`], [`View::update`] turns it into [`Request`]s, and whoever keeps the journals answers with
//! [`View::kept`], in the order asked. `press` the keys of the bench, `step` the time of what was just recorded, `keeping`
//! what came of requests, `alarm` calls; `lines`, `map`, `form`, `lists` and `sitting` lie over the bench; `pots` the pots beside it,
//! `pot_sheet` and `making` what of them lies over it, `pot_alarm` their calls. Absent on purpose: what is
//! true (`bench`), drawing and keys (`ui`), clocks.

mod alarm;
mod form;
mod keeping;
mod lines;
mod lists;
mod making;
mod map;
mod pot_alarm;
mod pot_sheet;
mod pots;
mod press;
mod rehearsal;
mod sitting;
mod step;
mod tick;

pub use alarm::Alarm;
pub use form::{Field, Form};
pub(super) use lines::edit;
pub use lines::{Line, Purpose};
pub use lists::Flaws;
pub use making::Making;
pub use map::Map;
pub use pot_sheet::{PotForm, PotLine, PotsOver};
pub use pots::{PotKept, PotRequest, Pots};
pub use step::JustPressed;

use super::action::{Action, Mark, Press, Typing};
use super::compare::Compare;
use super::sitting::Sitting;
use crate::bench::{Ask, Finished, NotRecorded, Opening, Room, Told, believed_now};
use crate::config::Night;
use crate::craft::recipe::Recipe;
use crate::review::side::Side;
use crate::units::{Id, Moment, Span, Stamp};
use crate::work::panel::act::Act;
use crate::work::panel::event::{Call, Event, Stage};
use crate::work::panel::phase::Standing;
use crate::work::panel::story::Story;
use keeping::{Pending, What};
use rehearsal::Rehearsal;
use std::collections::VecDeque;
use std::sync::Arc;

/// The same key within this time of itself is a resting finger, not a second press.
pub const DEAF: Span = Span::from_s(1);
/// How long a question waits for its second press.
pub const ASKED_FOR: Span = Span::from_s(20);
/// What is said of a press that is not taken, until the one before it is answered.
const STILL_SAVING: &str = "still saving the press before; press again";
/// How long a word stays.
const SAID_FOR: Span = Span::from_s(12);

/// What a view asks of the program.
#[derive(Debug, Clone, PartialEq)]
pub enum Request {
    /// Record an act on a panel.
    Record(Id, Ask),
    /// Move the fact of that `seq` to another time.
    Retime(Id, u64, Stamp),
    /// Write what the program noticed by itself.
    Notice(Id, Event),
    /// Open panels.
    Open(Box<Opening>),
    /// Something about pots or the air.
    Pot(PotRequest),
    /// Read the shelf, to set panels side by side.
    Compare,
    /// Read the finished panels of the shelf, to look them over.
    Sit,
    /// Record a look at a finished panel, or take one back.
    Look(Id, Ask),
    /// Sound that call once.
    Sound(Call),
    /// Tell the desktop and the maker's own command of that call, on that panel.
    Tell(Call, String),
    /// Put the hurried clock of a rehearsal forward, and tell [`View::passed`].
    Pass(Span),
    /// Give the terminal back until the program is continued.
    Suspend,
    /// Leave the bench.
    Leave,
}

/// What came of a request to the journals.
#[derive(Debug, Clone, PartialEq)]
pub enum Kept {
    /// These panels changed, the one named in the request first.
    Changed(Vec<Told>),
    /// These panels were opened.
    Opened(Vec<Told>),
    /// Others recorded something on these.
    News(Vec<Told>),
    /// The shelf was read: its panels, and the stories that could not be.
    Compared(Side),
    /// The finished panels were read, and so many others were not.
    Sat(Vec<Finished>, usize),
    /// A look at this one is on disk, or was taken back.
    Looked(Told),
    /// Nothing was recorded of that look.
    NotLooked(Id, NotRecorded),
    /// What the program noticed is written on this one.
    Noted(Told, Event),
    /// What the program noticed is not written.
    NotNoted(Id, Event, NotRecorded),
    /// Nothing was recorded.
    Not(NotRecorded),
    /// So few megabytes are left on the disk of the journals.
    LowSpace(u64),
    /// What came of something about pots or the air.
    Pot(PotKept),
}

/// What lies over the bench.
#[derive(Debug, Clone, PartialEq)]
pub enum Over {
    /// Nothing.
    Nothing,
    /// Every key, so many lines scrolled away.
    Keys(usize),
    /// The story of the panel shown, so many facts scrolled away.
    Story(usize),
    /// A line to be typed.
    Line(Line),
    /// What was wrong with an act that is done again.
    Flaws(Flaws),
    /// The map of a check.
    Map(Map),
    /// The form for a panel.
    Form(Form),
    /// Something of the pots.
    Pots(PotsOver),
    /// Panels side by side.
    Compare(Box<Compare>),
    /// A look over the finished panels.
    Sitting(Box<Sitting>),
}

/// A question that a second press of the same key answers with yes.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    action: Action,
    since: Moment,
    /// The words: "4 min early".
    pub text: String,
}

/// A word about the recording.
#[derive(Debug, Clone, PartialEq)]
pub struct Said {
    /// The words.
    pub text: String,
    /// Whether something is wrong.
    pub loud: bool,
    since: Moment,
}

/// The view's own settings.
#[derive(Debug, Clone, PartialEq)]
pub struct Manner {
    /// When long waits end in silence.
    pub night: Option<Night>,
    /// How long an alarm rings if nobody quiets it.
    pub ring_for: Span,
    /// The recipes that can be chosen, the default one first.
    pub recipes: Vec<Arc<Recipe>>,
    /// What the panels of the whole shelf are filed under, finished ones too.
    pub shelved: Vec<Id>,
}

/// The last key, as far as it bears on whether the next press is one.
#[derive(Debug, Clone, Copy, PartialEq)]
struct LastKey {
    mark: Option<Mark>,
    at: Moment,
    /// The run of presses began with one that recorded, or quieted an alarm: until the key is let go, it says nothing more.
    spent: bool,
}

/// The bench as it is looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    told: Vec<Told>,
    shown: usize,
    /// What lies over the bench.
    pub over: Over,
    /// A question that waits for its second press.
    pub question: Option<Question>,
    /// The fact just recorded.
    pub pressed: Option<JustPressed>,
    /// The word to be shown.
    pub said: Option<Said>,
    /// The next act is done in the other direction.
    pub turned: bool,
    /// Only what is readable from afar.
    pub far: bool,
    /// The air, and what earlier panels teach, once that was read.
    pub room: Room,
    manner: Manner,
    /// How many times as fast as the world the clock runs; what a person needs time for is as long all the same.
    pace: f64,
    alarms: Vec<Alarm>,
    pending: VecDeque<Pending>,
    /// A press before this one is still being saved.
    busy: bool,
    last_key: Option<LastKey>,
    last_tick: Option<(Moment, Option<i64>)>,
    /// What a rehearsal remembers, if this is one.
    rehearsal: Option<Rehearsal>,
    /// Calls raised here, so that a failing disk makes none ring twice.
    raised: Vec<(Id, Call, u64)>,
    /// The pots and the air.
    pots: Pots,
}

impl View {
    /// A view of those panels; with none that can be read, the form for a first one.
    pub fn new(told: Vec<Told>, manner: Manner) -> View {
        let shown = told.iter().position(|t| t.story.is_some());
        let over = if shown.is_some() { Over::Nothing } else { Over::Form(Form::first(&manner, &told)) };
        View {
            told,
            shown: shown.unwrap_or(0),
            over,
            question: None,
            pressed: None,
            said: None,
            turned: false,
            far: false,
            room: Room::default(),
            manner,
            pace: 1.0,
            alarms: Vec::new(),
            pending: VecDeque::new(),
            busy: false,
            last_key: None,
            last_tick: None,
            rehearsal: None,
            raised: Vec::new(),
            pots: Pots::default(),
        }
        .beside_pots()
    }

    /// The same view for a clock that runs `pace` times as fast as the world.
    #[must_use]
    pub fn paced(self, pace: f64) -> View {
        View { pace: pace.max(0.001), ..self }
    }

    /// Every panel on the bench.
    pub fn told(&self) -> &[Told] {
        &self.told
    }
    /// The place of the panel shown.
    pub fn shown(&self) -> usize {
        self.shown
    }
    /// The panel shown.
    pub fn panel(&self) -> Option<&Told> {
        self.told.get(self.shown)
    }
    /// The story of the panel shown.
    pub fn story(&self) -> Option<&Arc<Story>> {
        self.panel()?.story.as_ref()
    }
    /// What the maker calls the panel shown.
    fn label(&self) -> String {
        self.story().map(|s| s.panel().opened().label.clone()).unwrap_or_default()
    }
    /// Where the panel shown stands.
    pub fn standing(&self, now: Moment) -> Option<Standing> {
        let story = self.story()?;
        Some(story.panel().standing(believed_now(story, now)))
    }
    /// The stage that comes next on the panel shown, whether or not a wait still runs before it.
    fn at_hand(&self) -> Option<Stage> {
        self.story()?.panel().at_hand()
    }
    /// The recipes a form may choose from.
    pub fn recipes(&self) -> &[Arc<Recipe>] {
        &self.manner.recipes
    }

    /// Whether anything on the screen changes with the seconds.
    pub fn counts(&self, now: Moment) -> bool {
        let words = self.question.is_some() || self.pressed.is_some() || self.said.is_some();
        let waits = !self.alarms.is_empty() || !self.pending.is_empty();
        words
            || waits
            || self.pots_count(now)
            || self.timed_making(now)
            || self.told.iter().any(|t| t.unfinished(now) && t.counts(now))
    }

    /// How far into its second the countdown shown is, milliseconds: the digits change where this is 0.
    pub fn phase_ms(&self, now: Moment) -> i64 {
        match self.standing(now).and_then(|s| s.left) {
            Some(left) => -left.ms(),
            None => now.wall.ms(),
        }
    }

    /// Where the keys go.
    pub fn typing(&self) -> Typing {
        match &self.over {
            Over::Nothing => Typing::Bench,
            Over::Keys(_) | Over::Story(_) | Over::Flaws(_) | Over::Compare(_) => Typing::List,
            Over::Line(_) => Typing::Line,
            Over::Form(form) if form.offer.is_some() => Typing::List,
            Over::Form(_) => Typing::Form,
            Over::Map(_) => Typing::Map,
            Over::Pots(pots) => pots.typing(),
            Over::Sitting(sitting) if sitting.words() => Typing::SittingWords,
            Over::Sitting(_) => Typing::Sitting,
        }
    }

    /// Takes in a key press. While an alarm rings, the first press of any kind only quiets it.
    pub fn update(&mut self, press: Press, now: Moment) -> Vec<Request> {
        if self.rests(&press, now) || self.quiets(now) {
            return Vec::new();
        }
        self.busy = !self.pending.is_empty();
        self.look_for_gap(now);
        let action = press.action;
        let mut requests = self.settle_before(&action, now);
        if self.question.as_ref().is_some_and(|q| q.action != action) {
            self.question = None;
        }
        if action == Action::Suspend {
            requests.push(Request::Suspend);
            return requests;
        }
        requests.extend(match &self.over {
            Over::Nothing => self.on_bench(action, now),
            Over::Keys(_) | Over::Story(_) => self.reading(&action),
            Over::Flaws(_) => self.choosing(&action, now),
            Over::Line(_) => self.typing_line(&action, now),
            Over::Map(_) => self.mapping(&action, now),
            Over::Form(_) => self.forming(&action, now),
            Over::Pots(_) => self.potting(&action, now),
            Over::Compare(_) => self.comparing(&action),
            Over::Sitting(_) => self.sitting(&action, now),
        });
        requests
    }

    /// Whether that is a finger that rests: the same key within a second of itself, where it would record, or where the
    /// press it began with did. Every press counts, so a key that is held stays unheard for as long as it is held.
    fn rests(&mut self, press: &Press, now: Moment) -> bool {
        let records = press.action.records();
        let before = self.last_key.filter(|last| press.mark.is_some() && last.mark == press.mark);
        let same = press.held || before.is_some_and(|last| now.since(last.at).abs() < self.eyes(DEAF));
        let spent = same && before.is_some_and(|last| last.spent);
        let rings = self.rings();
        self.last_key = Some(LastKey { mark: press.mark, at: now, spent: spent || records || rings });
        same && (records || spent || rings)
    }

    /// A time meant for a person's eyes and fingers, on a clock that may run faster.
    pub fn eyes(&self, span: Span) -> Span {
        Span::from_ms((span.ms() as f64 * self.pace) as i64)
    }

    /// Lets a word be shown.
    pub fn say(&mut self, text: String, loud: bool, now: Moment) {
        self.said = Some(Said { text, loud, since: now });
    }

    fn ask(&mut self, action: Action, text: String, now: Moment) {
        self.question = Some(Question { action, since: now, text });
    }

    fn asked(&mut self, action: &Action) -> bool {
        self.question.take().is_some_and(|q| q.action == *action)
    }

    /// Asks the journals. While an earlier press is still being saved nothing more is taken, so that a slow disk cannot
    /// pile presses up.
    fn request(&mut self, request: Request, what: What, now: Moment) -> Vec<Request> {
        if self.busy {
            self.say(STILL_SAVING.to_owned(), true, now);
            return Vec::new();
        }
        self.pending.push_back(Pending { since: now, what });
        vec![request]
    }

    fn record(&mut self, act: Act, seen: Option<Stage>, now: Moment) -> Vec<Request> {
        let Some(id) = self.panel().map(|p| p.id.clone()) else { return Vec::new() };
        let what = What::of(&act, seen);
        self.request(Request::Record(id, Ask { act, at: None, seen }), what, now)
    }

    /// Lets go of what has been shown for long enough.
    fn lapse(&mut self, now: Moment) -> Vec<Request> {
        let older = |since: Moment, than: Span| now.since(since).abs() > than;
        if self.question.as_ref().is_some_and(|q| older(q.since, self.eyes(ASKED_FOR))) {
            self.question = None;
        }
        if self.said.as_ref().is_some_and(|s| older(s.since, self.eyes(SAID_FOR)) && !s.loud) {
            self.said = None;
        }
        self.settle_in_time(now)
    }
}
