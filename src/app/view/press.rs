//! What the keys do on the bench itself.

use super::{Flaws, Form, Line, Map, Over, PotsOver, Purpose, Request, View, What};
use crate::app::action::Action;
use crate::bench::believed_now;
use crate::text::early_late;
use crate::units::{Moment, Span};
use crate::work::panel::act::Act;
use crate::work::panel::event::{Kind, Stage};
use crate::work::panel::phase::{Phase, Standing};
use crate::work::panel::refusal::Refusal;
use crate::work::panel::wait::TOLERANCE;
use crate::work::pot::interruption::KnownBy;

impl View {
    pub(super) fn on_bench(&mut self, action: Action, now: Moment) -> Vec<Request> {
        match action {
            Action::Next | Action::Accept => self.next(now),
            Action::Start => self.start(now),
            Action::Dull => self.record(Act::Dull, self.at_hand(), now),
            Action::Undo => self.undo(now),
            Action::Note => self.line(Purpose::Note),
            Action::Weigh => self.line(Purpose::Weight),
            Action::Skip => self.unless_over(now, Phase::Finished, |v| v.line(Purpose::Skip)),
            Action::GiveUp => self.unless_over(now, Phase::Abandoned, |v| v.line(Purpose::GiveUp)),
            Action::Extra => self.record(Act::Extra, self.at_hand(), now),
            Action::Repeat => self.unless_over(now, Phase::Abandoned, |v| v.repeat(now)),
            Action::Turn => self.turn(now),
            Action::AwayBack => self.away_back(now),
            Action::Open => self.form(),
            Action::NextPanel => self.show(1),
            Action::PanelBefore => self.show(-1),
            Action::Left => self.step_time(1, now),
            Action::Right => self.step_time(-1, now),
            Action::Keys => self.over(Over::Keys(0)),
            Action::Story => self.over(Over::Story(0)),
            Action::Compare => self.request(Request::Compare, What::Reading, now),
            Action::LookOver => self.look_over(now),
            Action::Far => {
                self.far = !self.far;
                Vec::new()
            }
            Action::Leave => self.leave(now),
            Action::Bath => self.bath(now),
            Action::Pots => self.show_pots(),
            Action::Air => self.air_line(),
            Action::Meaning => self.over(Over::Pots(PotsOver::Told)),
            Action::PutAway => self.put_gap_away(),
            Action::Up
            | Action::Down
            | Action::PageUp
            | Action::PageDown
            | Action::Home
            | Action::End
            | Action::Step
            | Action::Keep
            | Action::Clear
            | Action::Area(_)
            | Action::Type(_)
            | Action::Paste(_)
            | Action::Erase
            | Action::EraseAhead
            | Action::Suspend
            | Action::PotLetter(_)
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
        self.over(Over::Line(Line::new(purpose, self.at_hand())))
    }

    /// Asks for no reason that could not be kept: not on a panel given up, nor on one in that phase.
    fn unless_over(
        &mut self,
        now: Moment,
        phase: Phase,
        go_on: impl FnOnce(&mut View) -> Vec<Request>,
    ) -> Vec<Request> {
        match self.standing(now) {
            Some(standing) if [phase, Phase::Abandoned].contains(&standing.phase) => self.nothing_to_do(&standing, now),
            Some(_) | None => go_on(self),
        }
    }

    fn repeat(&mut self, now: Moment) -> Vec<Request> {
        let Some(standing) = self.standing(now) else { return Vec::new() };
        let done = self.story().and_then(|s| s.panel().last_done()).is_some();
        let refusal = match (standing.phase, standing.stage) {
            (Phase::Working, Some(stage)) => Some(Refusal::UnderWay { stage }),
            (_, _) if !done => Some(Refusal::NothingDoneYet),
            (_, _) => None,
        };
        match refusal {
            Some(refusal) => {
                self.say(refusal.to_string(), false, now);
                Vec::new()
            }
            None => self.over(Over::Flaws(Flaws { at: 0, seen: self.at_hand() })),
        }
    }

    fn form(&mut self) -> Vec<Request> {
        self.over(Over::Form(Form::first(&self.manner, &self.told)))
    }

    /// The next panel that can be read, that many steps on.
    fn show(&mut self, by: isize) -> Vec<Request> {
        let panels = self.told.len() as isize;
        let at = |n: isize| (self.shown as isize + by * n).rem_euclid(panels) as usize;
        let next = (1..=panels).map(at).find(|i| self.told.get(*i).is_some_and(|t| t.story.is_some()));
        if let Some(next) = next.filter(|next| *next != self.shown) {
            self.shown = next;
            self.turned = false;
        }
        Vec::new()
    }

    /// Leaves the bench; while something is still being saved only on a second press.
    pub(super) fn leave(&mut self, now: Moment) -> Vec<Request> {
        if self.busy && !self.asked(&Action::Leave) {
            self.ask(
                Action::Leave,
                "the last press is still being saved - press again to leave all the same".to_owned(),
                now,
            );
            return Vec::new();
        }
        vec![Request::Leave]
    }

    /// The stage a press would record.
    pub fn hand(standing: &Standing) -> Option<Stage> {
        match standing.phase {
            Phase::Ready | Phase::Working => standing.stage,
            Phase::Waiting => standing.next,
            Phase::Finished | Phase::Abandoned => None,
        }
    }

    fn next(&mut self, now: Moment) -> Vec<Request> {
        let Some(standing) = self.standing(now) else { return self.form() };
        let Some(stage) = Self::hand(&standing) else { return self.nothing_to_do(&standing, now) };
        if self.too_early(&standing, &Action::Next, now) {
            return Vec::new();
        }
        if stage.kind == Kind::Check {
            let map = self.story().and_then(|s| Map::for_check(s.panel()));
            return map.map_or_else(Vec::new, |map| self.over(Over::Map(map)));
        }
        let direction = stage.direction.filter(|_| self.turned).map(|d| d.across());
        let pot = self.pot_named(stage);
        self.record(Act::Done { direction, pot, map: None }, Some(stage), now)
    }

    fn nothing_to_do(&mut self, standing: &Standing, now: Moment) -> Vec<Request> {
        let word = match standing.phase {
            Phase::Abandoned => "this panel was given up; u takes that back",
            Phase::Waiting => "nothing more to do but to let it rest",
            Phase::Ready | Phase::Working | Phase::Finished => "everything on this panel is done",
        };
        self.say(word.to_owned(), false, now);
        Vec::new()
    }

    fn start(&mut self, now: Moment) -> Vec<Request> {
        let Some(standing) = self.standing(now) else { return Vec::new() };
        let Some(stage) = Self::hand(&standing) else { return self.nothing_to_do(&standing, now) };
        if self.too_early(&standing, &Action::Start, now) {
            return Vec::new();
        }
        self.record(Act::Start, Some(stage), now)
    }

    /// In a wait the first press only says how early it is; the second records.
    fn too_early(&mut self, standing: &Standing, action: &Action, now: Moment) -> bool {
        let waits = standing.phase == Phase::Waiting;
        if !waits || self.asked(action) {
            return false;
        }
        let early = match standing.left.unwrap_or(Span::ZERO) {
            left if left > TOLERANCE => early_late(-left),
            left => format!("{:.0} s early", left.seconds().ceil()),
        };
        self.ask(action.clone(), format!("{early} - press again to record it all the same"), now);
        true
    }

    /// Takes the last fact back, and no other: the one that stood last when the key was pressed.
    fn undo(&mut self, now: Moment) -> Vec<Request> {
        if let Some(requests) = self.undo_pot_press(now) {
            return requests;
        }
        let Some(story) = self.story() else { return Vec::new() };
        match story.last_standing().map(|e| e.seq) {
            Some(seq) => self.record(Act::Undo { seen: Some(seq) }, None, now),
            None => {
                self.say(format!("{}: nothing is left to take back", self.label()), false, now);
                Vec::new()
            }
        }
    }

    fn turn(&mut self, now: Moment) -> Vec<Request> {
        let hand = self.standing(now).and_then(|s| Self::hand(&s)).and_then(|s| s.direction);
        match hand {
            Some(planned) => {
                self.turned = !self.turned;
                let now_meant = if self.turned { planned.across() } else { planned };
                self.say(format!("it is to be done {}", now_meant.name()), false, now);
            }
            None => self.say("the act at hand has no direction".to_owned(), false, now),
        }
        Vec::new()
    }

    /// Away and back are the maker's, so it is back wherever on the rack somebody is away.
    fn away_back(&mut self, now: Moment) -> Vec<Request> {
        let stories = self.told.iter().filter_map(|t| t.story.as_ref());
        let away = stories.map(|s| s.panel().standing(believed_now(s, now)).away).any(|away| away.is_some());
        if away {
            self.tell_gap(KnownBy::Away, now);
        }
        self.record(if away { Act::Back } else { Act::Away }, None, now)
    }
}
