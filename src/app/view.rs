//! The bench as it is looked at: which panel is shown, what a key does to that, and what it asks to have recorded.
//!
//! A key becomes an [`Action`], [`View::update`] turns it into [`Request`]s, and whoever keeps the journals answers with
//! [`View::kept`]. Absent on purpose: what is true (`bench`), drawing and keys (`ui`), clocks.

mod alarm;
mod form;
mod lines;
mod map;
mod press;

pub use alarm::Alarm;
pub use form::{Answer, Field, Form, Offer};
pub use lines::{Line, Purpose};
pub use map::Map;

use super::action::{Action, Typing};
use super::compare::{Compare, Step};
use crate::bench::{Ask, NotRecorded, Opening, Told, believed_now};
use crate::config::Night;
use crate::craft::recipe::Recipe;
use crate::review::compare::LeftOut;
use crate::review::side::One;
use crate::units::{Id, Moment, Span, Stamp};
use crate::work::panel::act::Act;
use crate::work::panel::event::{Call, Event, Flaw, Stage};
use crate::work::panel::phase::Standing;
use crate::work::panel::story::Story;
use std::sync::Arc;

/// The same key within this time of itself is a resting finger, not a second press.
pub const DEAF: Span = Span::from_s(1);
/// How long a question waits for its second press.
const ASKED_FOR: Span = Span::from_s(20);
/// How long a word stays.
const SAID_FOR: Span = Span::from_s(12);
/// How long the time of a fact just recorded can be stepped before the new time is written.
const STEP_FOR: Span = Span::from_s(4);

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
    /// Read the shelf, to set panels side by side.
    Compare,
    /// Sound that call once.
    Sound(Call),
    /// Tell the desktop and the maker's own command of that call, on that panel.
    Tell(Call, String),
    /// Give the terminal back until the program is continued.
    Suspend,
    /// Leave the bench.
    Leave,
}

/// What came of a request to the journals.
#[derive(Debug, Clone, PartialEq)]
pub enum Kept {
    /// These panels changed.
    Changed(Vec<Told>),
    /// These panels were opened.
    Opened(Vec<Told>),
    /// Others recorded something on these.
    News(Vec<Told>),
    /// The shelf was read: its panels, and the stories that could not be.
    Compared(Vec<One>, Vec<LeftOut>),
    /// What the program noticed is written on this one.
    Noted(Told),
    /// Nothing was recorded.
    Not(NotRecorded),
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
    /// What was wrong with a coat that is done again.
    Flaws(usize),
    /// The map of a check.
    Map(Map),
    /// The form for a panel.
    Form(Form),
    /// Panels side by side.
    Compare(Box<Compare>),
}

/// A question that a second press of the same key answers with yes.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    action: Action,
    since: Moment,
    /// The words: "4 min early".
    pub text: String,
}

/// A fact just recorded, while its time may still be stepped.
#[derive(Debug, Clone, PartialEq)]
pub struct JustPressed {
    /// On which panel.
    pub id: Id,
    /// The `seq` of the fact.
    pub seq: u64,
    /// The stage it was recorded for.
    pub stage: Stage,
    /// When it was recorded as having happened.
    pub at: Stamp,
    /// How many minutes earlier it is to stand.
    pub back_min: u32,
    since: Moment,
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
    /// The alarm that rings.
    pub alarm: Option<Alarm>,
    /// The next act is done in the other direction.
    pub turned: bool,
    /// Only what is readable from afar.
    pub far: bool,
    /// Since when a request to the journals is under way, and what it is for.
    pub saving: Option<Moment>,
    manner: Manner,
    last_press: Option<(Action, Moment)>,
    last_tick: Option<(Moment, Option<i64>)>,
    awaited: Option<Stage>,
    /// Calls raised here, so that a failing disk makes none ring twice.
    raised: Vec<(Id, Call, u64)>,
}

impl View {
    /// A view of those panels; with none, the form for a first one.
    pub fn new(told: Vec<Told>, manner: Manner) -> View {
        let over = if told.is_empty() { Over::Form(Form::first(&manner.recipes)) } else { Over::Nothing };
        View {
            told,
            shown: 0,
            over,
            question: None,
            pressed: None,
            said: None,
            alarm: None,
            turned: false,
            far: false,
            saving: None,
            manner,
            last_press: None,
            last_tick: None,
            awaited: None,
            raised: Vec::new(),
        }
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
    /// Where the panel shown stands.
    pub fn standing(&self, now: Moment) -> Option<Standing> {
        let story = self.story()?;
        Some(story.panel().standing(believed_now(story, now)))
    }
    /// The recipes a form may choose from.
    pub fn recipes(&self) -> &[Arc<Recipe>] {
        &self.manner.recipes
    }

    /// Whether anything on the screen changes with the seconds.
    pub fn counts(&self, now: Moment) -> bool {
        let words = self.alarm.is_some() || self.question.is_some() || self.pressed.is_some() || self.said.is_some();
        words || self.told.iter().any(|t| t.unfinished(now) && t.counts(now))
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
        }
    }

    /// Takes in a key press. While an alarm rings, the first press of any kind only quiets it.
    pub fn update(&mut self, action: Action, now: Moment) -> Vec<Request> {
        if self.alarm.take().is_some() {
            self.last_press = Some((action, now));
            self.say("quiet now - press when it is on".to_owned(), false, now);
            return Vec::new();
        }
        if action.records() && self.deaf_to(&action, now) {
            return Vec::new();
        }
        let mut requests = match action {
            Action::Left | Action::Right => Vec::new(),
            _ => self.settle_time(),
        };
        if self.question.as_ref().is_some_and(|q| q.action != action) {
            self.question = None;
        }
        requests.extend(match &self.over {
            Over::Nothing => self.on_bench(action, now),
            Over::Keys(_) | Over::Story(_) => self.reading(&action),
            Over::Flaws(_) => self.choosing(&action, now),
            Over::Line(_) => self.typing_line(&action, now),
            Over::Map(_) => self.mapping(&action, now),
            Over::Form(_) => self.forming(&action, now),
            Over::Compare(_) => self.comparing(&action),
        });
        requests
    }

    /// Whether that key was pressed less than a second ago. Every press counts, so a finger that rests stays unheard.
    fn deaf_to(&mut self, action: &Action, now: Moment) -> bool {
        let before = self.last_press.replace((action.clone(), now));
        before.is_some_and(|(last, at)| last == *action && now.since(at).abs() < DEAF)
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

    /// Asks the journals; one request at a time, so that a slow disk cannot pile presses up.
    fn request(&mut self, request: Request, now: Moment) -> Vec<Request> {
        if self.saving.is_some() {
            self.say("still saving the press before; press again".to_owned(), true, now);
            return Vec::new();
        }
        self.saving = Some(now);
        vec![request]
    }

    fn record(&mut self, act: Act, seen: Option<Stage>, now: Moment) -> Vec<Request> {
        let Some(id) = self.panel().map(|p| p.id.clone()) else { return Vec::new() };
        self.request(Request::Record(id, Ask { act, at: None, seen }), now)
    }

    /// Takes in what came of a request.
    pub fn kept(&mut self, kept: Kept, now: Moment) {
        match kept {
            Kept::Changed(told) => {
                self.saving = None;
                self.changed(told, now);
            }
            Kept::Opened(told) => {
                self.saving = None;
                self.over = Over::Nothing;
                self.adopt(told);
                self.shown = self.told.len().saturating_sub(1);
            }
            Kept::News(told) => {
                let moved = told.iter().any(|t| self.panel().is_some_and(|p| p.id == t.id));
                self.adopt(told);
                if moved {
                    self.question = None;
                    self.say("recorded by another window".to_owned(), false, now);
                }
            }
            Kept::Compared(all, left_out) => {
                self.saving = None;
                self.over = Over::Compare(Box::new(Compare::new(all, left_out)));
            }
            Kept::Noted(told) => self.adopt(vec![told]),
            Kept::Not(why) => {
                self.saving = None;
                self.awaited = None;
                if let Over::Form(form) = &mut self.over {
                    form.problem = why.to_string();
                }
                self.say(why.to_string(), true, now);
            }
        }
    }

    /// Our own press is on disk.
    fn changed(&mut self, told: Vec<Told>, now: Moment) {
        let pressed = told.first().and_then(|t| {
            let last = t.story.as_ref()?.last_standing()?;
            let stage = self.awaited.take()?;
            matches!(last.event, Event::Done(_)).then_some((t.id.clone(), last.seq, last.at, stage))
        });
        self.turned = false;
        self.adopt(told);
        self.pressed = pressed.map(|(id, seq, at, stage)| JustPressed { id, seq, stage, at, back_min: 0, since: now });
    }

    /// Puts what is told now in the place of what was told before; the panel shown stays the one shown.
    fn adopt(&mut self, told: Vec<Told>) {
        for new in told {
            match self.told.iter_mut().find(|t| t.id == new.id) {
                Some(old) => *old = new,
                None => self.told.push(new),
            }
        }
    }

    fn reading(&mut self, action: &Action) -> Vec<Request> {
        let last = match &self.over {
            Over::Story(_) => self.story().map_or(0, |s| s.entries().len().saturating_sub(1)),
            _ => 200,
        };
        let (Over::Keys(offset) | Over::Story(offset)) = &mut self.over else { return Vec::new() };
        match action {
            Action::Up => *offset = offset.saturating_sub(1),
            Action::Down => *offset = (*offset + 1).min(last),
            Action::PageUp => *offset = offset.saturating_sub(10),
            Action::PageDown => *offset = (*offset + 10).min(last),
            Action::Home => *offset = 0,
            Action::End => *offset = last,
            Action::Suspend => return vec![Request::Suspend],
            _ => self.over = Over::Nothing,
        }
        Vec::new()
    }

    fn comparing(&mut self, action: &Action) -> Vec<Request> {
        let Over::Compare(compare) = &mut self.over else { return Vec::new() };
        if *action == Action::Suspend {
            return vec![Request::Suspend];
        }
        match compare.update(action) {
            Step::Stay => {}
            Step::Close => self.over = Over::Nothing,
            Step::Again(recipe) => {
                // The recipe of what was done comes first among those to choose from.
                self.manner.recipes.retain(|r| r.name != recipe.name);
                self.manner.recipes.insert(0, recipe);
                self.over = Over::Form(Form::first(self.recipes()));
            }
        }
        Vec::new()
    }

    fn choosing(&mut self, action: &Action, now: Moment) -> Vec<Request> {
        let Over::Flaws(at) = self.over else { return Vec::new() };
        let last = Flaw::ALL.len() - 1;
        match action {
            Action::Up => self.over = Over::Flaws(at.saturating_sub(1)),
            Action::Down => self.over = Over::Flaws((at + 1).min(last)),
            Action::Accept => {
                self.over = Over::Nothing;
                return self.record(Act::Repeat(Flaw::ALL[at.min(last)]), None, now);
            }
            Action::Leave => self.over = Over::Nothing,
            _ => {}
        }
        Vec::new()
    }
}
