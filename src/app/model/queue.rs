//! What comes, in order, over all boards and pots: one line on the bench, a whole screen on a key.

use super::Model;
use super::effect::Effect;
use super::overlay::Overlay;
use crate::app::message::Message;
use crate::bench::{Snapshot, trusted_now};
use crate::units::{Id, Moment, Span, Stamp};
use crate::work::panel::phase::PanelPhase;
use crate::work::pot::fold::Pot;
use crate::work::pot::story::PotStory;

/// Something that comes.
#[derive(Debug, Clone, PartialEq)]
pub struct QueuedCall {
    /// Who wants it.
    pub caller: Caller,
    /// When; none where nothing counts.
    pub at: Option<Stamp>,
    /// Its time has come.
    pub is_now: bool,
}

/// Who wants something.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Caller {
    /// The board in that place.
    Board(usize),
    /// That pot wants that.
    Pot(Id, PotWish),
}

/// What a pot wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PotWish {
    /// Into the bath, for the coat that falls due.
    IntoBath,
    /// Out of the bath.
    OutOfBath,
    /// Its glue is soaked: it is to be melted.
    Melt,
}

impl PotWish {
    /// In block letters, behind "POT".
    pub const fn block_word(self) -> &'static str {
        match self {
            PotWish::IntoBath => "IN",
            PotWish::OutOfBath => "OUT",
            PotWish::Melt => "MELT",
        }
    }
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            PotWish::IntoBath => "into the bath",
            PotWish::OutOfBath => "out of the bath",
            PotWish::Melt => "soaked: melt it gently",
        }
    }
}

/// The whole screen of what comes, while one is chosen.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct QueueOverlay {
    /// Whom the cursor is on; the first where there is none, or it is gone.
    pub chosen: Option<Id>,
    /// The letters typed so far.
    pub typed: String,
}

impl Model {
    /// Everything that comes, in order: boards as they want somebody, pots among them by their time.
    pub fn queue(&self, now: Moment) -> Vec<QueuedCall> {
        let boards = self.board_order(now).into_iter().filter_map(|at| {
            let story = self.snapshots.get(at)?.story.as_ref()?;
            let status = story.panel().status(trusted_now(story, now));
            let is_now = matches!(status.phase, PanelPhase::Ready | PanelPhase::Working);
            let waits = status.phase == PanelPhase::Waiting;
            (is_now || waits).then_some(QueuedCall { caller: Caller::Board(at), at: status.due_at, is_now })
        });
        let mut calls: Vec<QueuedCall> = boards.collect();
        for call in self.pot_wishes(now) {
            // Before the first board that has longer to go.
            let comes_later = |q: &QueuedCall| !q.is_now && (call.is_now || q.at.is_none() || q.at > call.at);
            let place = calls.iter().position(comes_later).unwrap_or(calls.len());
            calls.insert(place, call);
        }
        calls
    }

    /// What the pots in use want, the soonest first.
    pub fn pot_wishes(&self, now: Moment) -> Vec<QueuedCall> {
        let mut wishes: Vec<QueuedCall> = self
            .pot_survey()
            .pots
            .iter()
            .filter(|t| t.is_in_use())
            .filter_map(|t| Some((t, t.sound_story()?)))
            .filter_map(|(t, story)| self.find_pot_wish(t, story, now))
            .collect();
        wishes.sort_by_key(|wish| wish.at);
        wishes
    }

    fn find_pot_wish(&self, snapshot: &Snapshot<Pot>, story: &PotStory, now: Moment) -> Option<QueuedCall> {
        let here = trusted_now(story, now);
        let pot = story.pot();
        let wish = |wish, at: Stamp| QueuedCall {
            caller: Caller::Pot(snapshot.id.clone(), wish),
            at: Some(at),
            is_now: at <= here.wall,
        };
        if let Some(bath) = pot.current_bath() {
            let gone = crate::work::panel::wait::elapsed(bath.in_at, here);
            return Some(wish(PotWish::OutOfBath, here.wall + (Span::from_min(pot.recipe().gesso.melt_min) - gone)));
        }
        if let Some(soak) = pot.soak_countdown(here) {
            return Some(wish(PotWish::Melt, soak.due_at));
        }
        let survey = self.pot_survey();
        let by = survey.coat_preparation(pot, survey.forecast(pot).as_ref(), now)?.bath_by?;
        Some(wish(PotWish::IntoBath, by))
    }

    pub(super) fn open_queue(&mut self) -> Vec<Effect> {
        if self.shown_panel().is_some() {
            self.overlay = Overlay::Queue(QueueOverlay::default());
        }
        Vec::new()
    }

    /// What a caller is filed under, and what is typed to reach it.
    pub fn caller_label(&self, caller: &Caller) -> Option<(Id, String)> {
        match caller {
            Caller::Board(at) => {
                let snapshot = self.snapshots.get(*at)?;
                Some((snapshot.id.clone(), snapshot.story.as_ref()?.panel().opened().label.clone()))
            }
            Caller::Pot(id, _) => {
                let story = self.pot_survey().pots.iter().find(|t| t.id == *id)?.story.as_ref()?;
                Some((id.clone(), story.pot().opened().label.clone()))
            }
        }
    }

    pub(super) fn update_queue(&mut self, message: &Message, now: Moment) -> Vec<Effect> {
        let calls: Vec<(Caller, Id, String)> = self
            .queue(now)
            .into_iter()
            .filter_map(|call| self.caller_label(&call.caller).map(|(id, label)| (call.caller, id, label)))
            .collect();
        let Overlay::Queue(queue) = &mut self.overlay else { return Vec::new() };
        let here = calls.iter().position(|(_, id, _)| Some(id) == queue.chosen.as_ref()).unwrap_or(0);
        let last = calls.len().saturating_sub(1);
        let go = |queue: &mut QueueOverlay, to: usize| {
            queue.typed.clear();
            queue.chosen = calls.get(to).map(|(_, id, _)| id.clone());
        };
        match message {
            Message::Up => go(queue, here.saturating_sub(1)),
            Message::Down => go(queue, (here + 1).min(last)),
            Message::PageUp => go(queue, here.saturating_sub(10)),
            Message::PageDown => go(queue, (here + 10).min(last)),
            Message::Home => go(queue, 0),
            Message::End => go(queue, last),
            Message::DeleteBackward => drop(queue.typed.pop()),
            Message::TypeChar(c) => {
                let typed: String = queue.typed.chars().chain([*c]).collect();
                let fits = |label: &str| label.to_lowercase().starts_with(&typed.to_lowercase());
                // A letter that fits nothing begins anew.
                if let Some((_, id, _)) = calls.iter().find(|(.., label)| fits(label)) {
                    queue.chosen = Some(id.clone());
                    queue.typed = typed;
                } else {
                    let first = calls.iter().find(|(.., label)| label.to_lowercase().starts_with(&c.to_lowercase().to_string()));
                    if let Some((_, id, _)) = first {
                        queue.chosen = Some(id.clone());
                        queue.typed = c.to_string();
                    }
                }
            }
            Message::Leave => self.overlay = Overlay::None,
            Message::Accept => {
                self.overlay = Overlay::None;
                match calls.get(here) {
                    Some((Caller::Board(at), ..)) => self.show_board(*at),
                    Some((Caller::Pot(id, _), ..)) => return self.show_pot_list(Some(id)),
                    None => {}
                }
            }
            _ => {}
        }
        Vec::new()
    }
}
