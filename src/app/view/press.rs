//! What the keys do on the bench itself.

use super::{ASKED_FOR, Form, Line, Map, Over, Purpose, Request, SAID_FOR, STEP_FOR, View};
use crate::app::action::Action;
use crate::text::early_late;
use crate::units::{Moment, Span};
use crate::work::panel::act::Act;
use crate::work::panel::event::{Kind, Stage};
use crate::work::panel::phase::{Phase, Standing};

/// No further back than this can the time of a fact be stepped; for more there is `sottile mark --at`.
const BACK_MAX_MIN: u32 = 240;

impl View {
    pub(super) fn on_bench(&mut self, action: Action, now: Moment) -> Vec<Request> {
        match action {
            Action::Next | Action::Accept => self.next(Action::Next, now),
            Action::Start => self.start(now),
            Action::Dull => self.record(Act::Dull, None, now),
            Action::Undo => self.undo(now),
            Action::Note => self.line(Purpose::Note),
            Action::Weigh => self.line(Purpose::Weight),
            Action::Skip => self.line(Purpose::Skip),
            Action::GiveUp => self.line(Purpose::GiveUp),
            Action::Extra => self.record(Act::Extra, None, now),
            Action::Repeat => self.over(Over::Flaws(0)),
            Action::Turn => self.turn(now),
            Action::AwayBack => self.away_back(now),
            Action::Open => self.over(Over::Form(Form::first(self.recipes()))),
            Action::NextPanel => self.show(1),
            Action::PanelBefore => self.show(-1),
            Action::Left => self.step_time(1),
            Action::Right => self.step_time(-1),
            Action::Keys => self.over(Over::Keys(0)),
            Action::Story => self.over(Over::Story(0)),
            Action::Compare => self.request(Request::Compare, now),
            Action::Far => {
                self.far = !self.far;
                Vec::new()
            }
            Action::Leave => vec![Request::Leave],
            Action::Suspend => vec![Request::Suspend],
            Action::Up
            | Action::Down
            | Action::PageUp
            | Action::PageDown
            | Action::Home
            | Action::End
            | Action::Step
            | Action::Clear
            | Action::Area(_)
            | Action::Type(_)
            | Action::Paste(_)
            | Action::Erase
            | Action::EraseAhead
            | Action::Other => Vec::new(),
        }
    }

    fn over(&mut self, over: Over) -> Vec<Request> {
        if self.panel().is_some() || matches!(over, Over::Form(_) | Over::Keys(_)) {
            self.over = over;
        }
        Vec::new()
    }

    fn line(&mut self, purpose: Purpose) -> Vec<Request> {
        self.over(Over::Line(Line::new(purpose)))
    }

    fn show(&mut self, by: isize) -> Vec<Request> {
        let panels = self.told.len().max(1) as isize;
        self.shown = (self.shown as isize + by).rem_euclid(panels) as usize;
        self.turned = false;
        self.question = None;
        self.pressed = None;
        Vec::new()
    }

    /// The stage a press would record.
    pub fn hand(standing: &Standing) -> Option<Stage> {
        match standing.phase {
            Phase::Ready | Phase::Working => standing.stage,
            Phase::Waiting => standing.next,
            Phase::Finished | Phase::Abandoned => None,
        }
    }

    fn next(&mut self, action: Action, now: Moment) -> Vec<Request> {
        let Some(standing) = self.standing(now) else {
            return self.over(Over::Form(Form::first(self.recipes())));
        };
        let Some(stage) = Self::hand(&standing) else {
            let word = match standing.phase {
                Phase::Abandoned => "this panel was given up; take that back first",
                Phase::Waiting => "nothing more to do but to let it rest",
                Phase::Ready | Phase::Working | Phase::Finished => "everything on this panel is done",
            };
            self.say(word.to_owned(), false, now);
            return Vec::new();
        };
        if self.too_early(&standing, &action, now) {
            return Vec::new();
        }
        if stage.kind == Kind::Check {
            let map = self.story().and_then(|s| Map::for_check(s.panel()));
            return map.map_or_else(Vec::new, |map| self.over(Over::Map(map)));
        }
        let direction = stage.direction.filter(|_| self.turned).map(|d| d.across());
        let requests = self.record(Act::Done { direction, pot: None, map: None }, Some(stage), now);
        if !requests.is_empty() {
            self.awaited = Some(stage);
        }
        requests
    }

    fn start(&mut self, now: Moment) -> Vec<Request> {
        let Some(standing) = self.standing(now) else { return Vec::new() };
        if self.too_early(&standing, &Action::Start, now) {
            return Vec::new();
        }
        self.record(Act::Start, Self::hand(&standing), now)
    }

    /// In a wait the first press only says how early it is; the second records.
    fn too_early(&mut self, standing: &Standing, action: &Action, now: Moment) -> bool {
        let waits = standing.phase == Phase::Waiting;
        if !waits || self.asked(action) {
            return false;
        }
        let early = standing.left.map_or_else(String::new, |left| early_late(-left));
        self.ask(action.clone(), format!("{early} - press again to record it all the same"), now);
        true
    }

    fn undo(&mut self, now: Moment) -> Vec<Request> {
        let last = self.story().and_then(|s| s.last_standing()).map(|e| (e.seq, e.event.name().to_owned()));
        let label = self.story().map(|s| s.panel().opened().label.clone()).unwrap_or_default();
        match last {
            Some((seq, fact)) => {
                let requests = self.record(Act::Undo { seen: Some(seq) }, None, now);
                if !requests.is_empty() {
                    self.say(format!("{label}: \"{fact}\" taken back"), false, now);
                }
                requests
            }
            None => {
                self.say(format!("{label}: nothing is left to take back"), false, now);
                Vec::new()
            }
        }
    }

    fn turn(&mut self, now: Moment) -> Vec<Request> {
        let has_one = self.standing(now).and_then(|s| Self::hand(&s)).is_some_and(|s| s.direction.is_some());
        if has_one {
            self.turned = !self.turned;
        } else {
            self.say("the act at hand has no direction".to_owned(), false, now);
        }
        Vec::new()
    }

    fn away_back(&mut self, now: Moment) -> Vec<Request> {
        let away = self.told.iter().filter_map(|t| t.story.as_ref());
        let away = away.map(|s| s.panel().standing(now).away).any(|away| away.is_some());
        self.record(if away { Act::Back } else { Act::Away }, None, now)
    }

    /// Straight after a press the arrows step its time.
    fn step_time(&mut self, earlier: i64) -> Vec<Request> {
        if let Some(pressed) = &mut self.pressed {
            let back = i64::from(pressed.back_min) + earlier;
            pressed.back_min = back.clamp(0, i64::from(BACK_MAX_MIN)) as u32;
        }
        Vec::new()
    }

    /// The time stepped to is the one meant: it is written down.
    pub(super) fn settle_time(&mut self) -> Vec<Request> {
        match self.pressed.take() {
            Some(p) if p.back_min > 0 && self.saving.is_none() => {
                self.saving = Some(p.since);
                vec![Request::Retime(p.id, p.seq, p.at - Span::from_min(f64::from(p.back_min)))]
            }
            Some(_) | None => Vec::new(),
        }
    }

    /// Lets go of what has been shown for long enough.
    pub(super) fn lapse(&mut self, now: Moment) -> Vec<Request> {
        let older = |since: Moment, than: Span| now.since(since).abs() > than;
        if self.question.as_ref().is_some_and(|q| older(q.since, ASKED_FOR)) {
            self.question = None;
        }
        if self.said.as_ref().is_some_and(|s| older(s.since, SAID_FOR) && !s.loud) {
            self.said = None;
        }
        match &self.pressed {
            Some(p) if older(p.since, STEP_FOR + STEP_FOR) => self.settle_time(),
            Some(_) | None => Vec::new(),
        }
    }
}
