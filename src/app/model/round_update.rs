//! The round over several boards: which one holds the screen, and which comes next.
//!
//! The bench follows the hand. A board that is due or begun is in the hand and holds the screen until it is pressed; a call
//! of another is only quieted then. The board on the screen changes at a press and never under the finger.

use super::Model;
use super::effect::Effect;
use super::overlay::Overlay;
use crate::app::block_names::block_names;
use crate::units::{Id, Moment, Span};
use crate::work::panel::event::{Stage, StageKind};
use crate::work::panel::phase::PanelPhase;
use crate::work::panel::story::PanelStory;
use crate::work::plan::queue::board_order;

/// The order in which boards are gone through stays for this long after the last step.
const STEP_ORDER_KEPT: Span = Span::from_s(5);

impl Model {
    /// How many boards can be read.
    pub fn board_count(&self) -> usize {
        self.snapshots.iter().filter(|t| t.story.is_some()).count()
    }

    /// The block name of each snapshot, in their places; empty for one that cannot be read.
    pub fn block_names(&self) -> &[String] {
        &self.round.block_names
    }

    /// Works the block names out, which depend on the labels of all boards: not once for each time one is drawn.
    pub(super) fn update_block_names(&mut self) {
        let label = |i: &usize| self.snapshots.get(*i)?.story.as_ref().map(|s| s.panel().opened().label.as_str());
        let readable: Vec<usize> = (0..self.snapshots.len()).filter(|i| label(i).is_some()).collect();
        let labels: Vec<&str> = readable.iter().filter_map(label).collect();
        let mut names = vec![String::new(); self.snapshots.len()];
        for (i, name) in readable.into_iter().zip(block_names(&labels)) {
            names[i] = name;
        }
        self.round.block_names = names;
    }

    /// The block name of that board; empty where there is only one.
    pub fn block_name(&self, id: &Id) -> String {
        let at = self.snapshots.iter().position(|t| t.id == *id).filter(|_| self.board_count() > 1);
        at.and_then(|at| self.block_names().get(at).cloned()).unwrap_or_default()
    }

    /// The places of the boards in the order in which they want somebody, the most pressing first.
    pub fn board_order(&self, now: Moment) -> Vec<usize> {
        let readable: Vec<usize> = (0..self.snapshots.len()).filter(|i| self.snapshots[*i].story.is_some()).collect();
        let boards = self.board_statuses(now);
        let order = board_order(&boards, self.round.pass_kind);
        order.into_iter().filter_map(|i| readable.get(i).copied()).collect()
    }

    /// The kind of the act pressed last.
    pub(super) fn pass_kind(&self) -> Option<StageKind> {
        self.round.pass_kind
    }

    /// The minutes an act of that kind takes on that board.
    pub(super) fn act_minutes(&self, story: &PanelStory, kind: StageKind) -> f64 {
        self.studio.learned.work_minutes(kind, story.panel().opened())
    }

    /// Somebody is at the brush from now on; the maker by "me".
    pub(super) fn name_maker(&mut self, name: String, now: Moment) {
        self.overlay = Overlay::None;
        self.maker = Some(name).filter(|name| name != "me");
        let words = self
            .maker
            .as_ref()
            .map_or("nobody is named any more".to_owned(), |name| format!("at the brush from now on: {name}"));
        self.show_message(words, false, now);
    }

    /// Who is at the brush, for a coat; none where the maker is not named.
    pub(super) fn maker_of(&self, stage: Stage) -> Option<String> {
        self.maker.clone().filter(|_| stage.kind.is_layer())
    }

    /// Whether the board on the screen is due or begun, and so in the hand.
    pub fn is_board_in_hand(&self, now: Moment) -> bool {
        self.panel_status(now).is_some_and(|s| matches!(s.phase, PanelPhase::Ready | PanelPhase::Working))
    }

    /// The bench opens on the most pressing board.
    pub(super) fn open_on_most_pressing(&mut self, now: Moment) {
        if std::mem::replace(&mut self.round.is_opened, true) {
            return;
        }
        if let Some(first) = self.board_order(now).first() {
            self.show_board(*first);
        }
    }

    /// Shows the board in that place.
    pub(super) fn show_board(&mut self, at: usize) {
        if at != self.shown_index && self.snapshots.get(at).is_some_and(|t| t.story.is_some()) {
            self.shown_index = at;
            self.direction_turned = false;
            self.confirmation = None;
        }
    }

    /// After an act was recorded: the board that is next in time. The one in the hand stays while it has more to be done at
    /// once, as its other face or the powder after the blade.
    pub(super) fn turn_to_next_board(&mut self, pressed: Stage, now: Moment) {
        self.round.pass_kind = Some(pressed.kind);
        let goes_on = pressed.kind != StageKind::Prepare && self.is_board_in_hand(now);
        if !goes_on {
            self.turn_after_pass(pressed, now);
        }
    }

    /// After a whole pass no board is in the hand.
    pub(super) fn turn_after_pass(&mut self, pressed: Stage, now: Moment) {
        self.round.pass_kind = Some(pressed.kind);
        if self.overlay != Overlay::None || self.board_count() < 2 {
            return;
        }
        let before = self.shown_index;
        if let Some(next) = self.board_order(now).into_iter().next() {
            self.show_board(next);
        }
        if self.shown_index != before {
            let name = self.shown_panel().map(|t| t.id.clone()).map(|id| self.block_name(&id)).unwrap_or_default();
            self.show_message(format!("next: {name}"), false, now);
        }
    }

    /// The next board in the order of what is due, or the one before.
    pub(super) fn step_to_board(&mut self, by: isize, now: Moment) -> Vec<Effect> {
        let Some(shown) = self.shown_panel().map(|t| t.id.clone()) else { return Vec::new() };
        let kept = self.scale_by_pace(STEP_ORDER_KEPT);
        let fresh = self.round.step_order.take().filter(|(_, last)| now.since(*last).abs() < kept);
        let order = fresh.map(|(order, _)| order).filter(|order| order.contains(&shown)).unwrap_or_else(|| {
            let others = self.board_order(now).into_iter().filter(|at| *at != self.shown_index);
            let others = others.filter_map(|at| self.snapshots.get(at).map(|t| t.id.clone()));
            std::iter::once(shown.clone()).chain(others).collect()
        });
        let here = order.iter().position(|id| *id == shown).unwrap_or(0) as isize;
        let next = order.get((here + by).rem_euclid(order.len() as isize) as usize).cloned();
        self.round.step_order = Some((order, now));
        if let Some(at) = next.and_then(|id| self.snapshots.iter().position(|t| t.id == id)) {
            self.show_board(at);
        }
        Vec::new()
    }

    /// The board on the screen lies one place further to that side.
    pub(super) fn move_place(&mut self, by: isize) -> Vec<Effect> {
        let mut moved = Vec::new();
        let to = self.shown_index.checked_add_signed(by).filter(|to| *to < self.snapshots.len());
        if let Some(to) = to {
            self.snapshots.swap(self.shown_index, to);
            self.shown_index = to;
            moved = vec![Effect::KeepPlaces(self.snapshots.iter().map(|t| t.id.clone()).collect())];
            self.sync_panels();
        }
        moved
    }
}
