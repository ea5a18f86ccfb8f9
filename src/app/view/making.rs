//! A batch being made: which step is at hand, what pressing "done" records of it, what is waited for.
//!
//! Where the pots' own facts tell how far the making is, they are asked: whoever soaked the glue last night is led on from
//! there in the morning. Absent on purpose: what is said at a step (`advice::making`), how much (`quantities`).

use super::pot_sheet::{PotsOver, free_label};
use super::pots::PotRequest;
use super::{Over, Request, View};
use crate::app::action::Action;
use crate::bench::PotOpening;
use crate::text::early_late;
use crate::units::{Id, Moment, Span, Stamp};
use crate::work::advice::making::{SINK, Step};
use crate::work::pot::act::Act;
use crate::work::pot::event::Kind;
use crate::work::pot::fold::{Body, Pot};
use crate::work::pot::story::Story;
use std::sync::Arc;

/// A batch being made.
#[derive(Debug, Clone, PartialEq)]
pub struct Making {
    /// The step at hand.
    pub step: Step,
    /// The pot of size, once it is opened.
    pub size: Option<Id>,
    /// The pot of gesso, once it is opened.
    pub gesso: Option<Id>,
    /// Since when the step is at hand.
    pub since: Moment,
    /// The record that was asked for is that of this step.
    asked: bool,
    /// A take-back was asked for.
    takes_back: bool,
}

/// What a step is timed by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Timed {
    /// Until then, negative when over; or since then, where `counts_up`.
    pub span: Span,
    /// Whether it counts up from a beginning, and not down to an end.
    pub counts_up: bool,
    /// The end, or the beginning.
    pub at: Stamp,
}

impl Step {
    fn place(self) -> usize {
        Step::ALL.iter().position(|s| *s == self).unwrap_or(0)
    }
    /// Its number from 1.
    pub fn number(self) -> usize {
        self.place() + 1
    }
    fn after(self) -> Step {
        Step::ALL.get(self.place() + 1).copied().unwrap_or(self)
    }
    fn before(self) -> Step {
        Step::ALL.get(self.place().saturating_sub(1)).copied().unwrap_or(self)
    }
    /// The fact of which pot that step records, where it records one.
    fn fact(self) -> Option<(Kind, Act)> {
        Some(match self {
            Step::Soak => (Kind::Size, Act::Soak),
            Step::Melt => (Kind::Size, Act::Melt),
            Step::Look => (Kind::Size, Act::Liquid),
            Step::Lift => (Kind::Size, Act::Out),
            Step::Try => (Kind::Size, Act::Made),
            Step::Combine => (Kind::Gesso, Act::Made),
            Step::Strain => (Kind::Gesso, Act::Strained),
            Step::LayOut
            | Step::Packet
            | Step::Weigh
            | Step::Powders
            | Step::Pour
            | Step::Sift
            | Step::Sink
            | Step::Ready => return None,
        })
    }
    /// Whether the pot's own marks say that it is behind.
    fn behind(self, pot: &Pot) -> bool {
        match self {
            Step::Soak => pot.body() != Body::Raw,
            Step::Melt => !pot.baths().is_empty(),
            Step::Look => matches!(pot.body(), Body::Liquid | Body::Gelled),
            Step::Lift => pot.bath().is_none(),
            Step::Try | Step::Combine => pot.made().is_some(),
            Step::Strain => pot.strained().is_some(),
            Step::LayOut
            | Step::Packet
            | Step::Weigh
            | Step::Powders
            | Step::Pour
            | Step::Sift
            | Step::Sink
            | Step::Ready => false,
        }
    }
}

impl View {
    fn pot_story(&self, id: Option<&Id>) -> Option<Arc<Story>> {
        self.around().pots.iter().find(|t| Some(&t.id) == id)?.story.clone()
    }

    /// The recipe of the batch being made: that of its pot, else that of the panel shown.
    pub fn making_recipe(&self, making: &Making) -> Option<Arc<crate::craft::recipe::Recipe>> {
        let pot = self.pot_story(making.gesso.as_ref()).or_else(|| self.pot_story(making.size.as_ref()));
        match pot {
            Some(story) => Some(Arc::clone(&story.pot().opened().recipe)),
            None => Some(Arc::clone(&self.story()?.panel().opened().recipe)),
        }
    }

    /// Begins to lead: from the first step whose fact is missing, where a pot is already under way.
    pub(super) fn begin_making(&mut self, pot: Option<&Id>, now: Moment) {
        let story = self.pot_story(pot);
        let (size, gesso) = match story.as_ref().map(|s| s.pot().opened()) {
            Some(opened) if opened.kind == Kind::Gesso => (opened.parent.clone(), pot.cloned()),
            Some(_) => (pot.cloned(), None),
            None => (None, None),
        };
        let step = match (&story, &gesso) {
            (None, _) => Step::LayOut,
            (Some(s), Some(_)) => first_missing(s.pot(), &[Step::Combine, Step::Strain], Step::Ready),
            (Some(s), None) => {
                let size_steps = [Step::Soak, Step::Melt, Step::Look, Step::Lift, Step::Try];
                first_missing(s.pot(), &size_steps, Step::Powders)
            }
        };
        // What has not been stirred together may not have been sifted in.
        let step = if step == Step::Combine { Step::Sift } else { step };
        self.over =
            Over::Pots(PotsOver::Making(Making { step, size, gesso, since: now, asked: false, takes_back: false }));
    }

    /// What the step at hand is timed by: the soak, the bath, or the sinking.
    pub fn making_timed(&self, making: &Making, now: Moment) -> Option<Timed> {
        let size = self.pot_story(making.size.as_ref());
        let down = |span: Span| Some(Timed { span, counts_up: false, at: now.wall + span });
        match making.step {
            Step::Melt => down(size?.pot().soak_at(now)?.left),
            Step::Look | Step::Lift => {
                let into = size?.pot().bath()?.into;
                Some(Timed { span: now.since(into), counts_up: true, at: into.wall })
            }
            Step::Sink => down(SINK - now.since(making.since)),
            Step::LayOut
            | Step::Packet
            | Step::Weigh
            | Step::Soak
            | Step::Try
            | Step::Powders
            | Step::Pour
            | Step::Sift
            | Step::Combine
            | Step::Strain
            | Step::Ready => None,
        }
    }

    /// Whether a batch being made has a time that runs on the screen.
    pub(super) fn timed_making(&self, now: Moment) -> bool {
        matches!(&self.over, Over::Pots(PotsOver::Making(making)) if self.making_timed(making, now).is_some())
    }

    pub(super) fn making(&mut self, action: &Action, now: Moment) -> Vec<Request> {
        let Over::Pots(PotsOver::Making(making)) = &self.over else { return Vec::new() };
        let making = making.clone();
        match action {
            Action::Next | Action::Accept => return self.step_done(&making, action, now),
            Action::Up | Action::Left => self.go_to(making.step.before(), now),
            Action::Down | Action::Right => self.go_to(making.step.after(), now),
            Action::PotLetter('u') => {
                if let Some(requests) = self.undo_pot_press(now) {
                    if let Over::Pots(PotsOver::Making(making)) = &mut self.over {
                        making.takes_back = true;
                    }
                    return requests;
                }
                self.say("nothing was recorded here just now".to_owned(), false, now);
            }
            Action::Leave => {
                self.show_pots();
            }
            _ => {}
        }
        Vec::new()
    }

    fn go_to(&mut self, step: Step, now: Moment) {
        if let Over::Pots(PotsOver::Making(making)) = &mut self.over {
            making.step = step;
            making.since = now;
            making.asked = false;
        }
    }

    /// The step at hand is done: its fact is recorded where it has one, and the next step shown once it is on disk.
    fn step_done(&mut self, making: &Making, action: &Action, now: Moment) -> Vec<Request> {
        if making.step == Step::Ready {
            if let Some(id) = &making.gesso {
                self.choose_pot(id);
            }
            self.over = Over::Nothing;
            return Vec::new();
        }
        let early = self.making_timed(making, now).filter(|t| !t.counts_up && t.span > Span::ZERO);
        if let Some(timed) = early.filter(|_| !self.asked(action)) {
            self.ask(action.clone(), format!("{} - press again if it is right", early_late(-timed.span)), now);
            return Vec::new();
        }
        let requests = match (making.step.fact(), self.opening_of(making)) {
            (Some((kind, act)), _) => {
                let pot = if kind == Kind::Size { making.size.clone() } else { making.gesso.clone() };
                let behind = self.pot_story(pot.as_ref()).is_some_and(|s| making.step.behind(s.pot()));
                match pot {
                    Some(id) if !behind => self.mark_pot(&id, act, now),
                    Some(_) | None => {
                        self.go_to(making.step.after(), now);
                        return Vec::new();
                    }
                }
            }
            (None, Some(opening)) => self.ask_pots(PotRequest::Open(Box::new(opening)), now),
            (None, None) => {
                self.go_to(making.step.after(), now);
                return Vec::new();
            }
        };
        if let (Over::Pots(PotsOver::Making(making)), false) = (&mut self.over, requests.is_empty()) {
            making.asked = true;
            making.since = now;
        }
        requests
    }

    /// The pot that step opens: size once it is weighed, gesso once the size for it is measured.
    fn opening_of(&self, making: &Making) -> Option<PotOpening> {
        let (kind, parent) = match (making.step, &making.size, &making.gesso) {
            (Step::Weigh, None, _) => (Kind::Size, None),
            (Step::Pour, size, None) => (Kind::Gesso, size.clone()),
            (_, _, _) => return None,
        };
        let recipe = self.making_recipe(making)?;
        Some(PotOpening { label: free_label(self, kind), kind, parent, recipe, size_ml: None, lot: None, at: None })
    }

    /// What was asked for is on disk: the next step, unless the maker went elsewhere meanwhile.
    pub(super) fn made_a_step(&mut self, opened: Option<&Id>) {
        let Over::Pots(PotsOver::Making(making)) = &mut self.over else { return };
        match (making.step, opened) {
            (Step::Weigh, Some(id)) => making.size = Some(id.clone()),
            (Step::Pour, Some(id)) => making.gesso = Some(id.clone()),
            (_, _) => {}
        }
        if std::mem::take(&mut making.asked) {
            making.step = making.step.after();
        }
        if std::mem::take(&mut making.takes_back) {
            let making = making.clone();
            let taken_back = self.missing_before(&making);
            if let (Over::Pots(PotsOver::Making(making)), Some(step)) = (&mut self.over, taken_back) {
                making.step = step;
            }
        }
    }

    /// The step before the one at hand that records a fact, where that fact is missing now.
    fn missing_before(&self, making: &Making) -> Option<Step> {
        let before = Step::ALL.into_iter().take(making.step.place()).rev();
        let (step, kind) = before.filter_map(|step| Some((step, step.fact()?.0))).next()?;
        let pot = if kind == Kind::Size { &making.size } else { &making.gesso };
        let story = self.pot_story(pot.as_ref())?;
        (!step.behind(story.pot())).then_some(step)
    }
}

fn first_missing(pot: &Pot, steps: &[Step], else_: Step) -> Step {
    steps.iter().copied().find(|s| !s.behind(pot)).unwrap_or(else_)
}
