//! What lies over the bench.

use super::line_editor::LineEditor;
use super::map_editor::MapEditor;
use super::panel_form::PanelForm;
use super::pass_sheet::PassSheet;
use super::plan_overlay::PlanOverlay;
use super::pots_overlay::PotsOverlay;
use super::queue_overlay::QueueOverlay;
use crate::app::comparison_model::ComparisonModel;
use crate::app::sitting::SittingModel;
use crate::units::{Moment, Stamp};
use crate::work::panel::event::Stage;

/// What lies over the bench.
#[derive(Debug, Clone, PartialEq)]
pub enum Overlay {
    /// Nothing.
    None,
    /// Every key, so many lines scrolled away.
    Keys(usize),
    /// The story of the panel shown, so many facts scrolled away.
    Story(usize),
    /// A line to be typed, of the panel shown, of a pot or of the air.
    Line(LineEditor),
    /// What was wrong with an act that is done again.
    Flaws(FlawList),
    /// The map of a check.
    Map(MapEditor),
    /// The form for a panel.
    Form(PanelForm),
    /// Something of the pots.
    Pots(PotsOverlay),
    /// Panels side by side.
    Comparison(Box<ComparisonModel>),
    /// A look over the finished panels.
    Sitting(Box<SittingModel>),
    /// A pass that nobody recorded, being put in.
    PassSheet(Box<PassSheet>),
    /// What comes, in order, over all boards and pots.
    Queue(QueueOverlay),
    /// The plan that is kept.
    Plan(PlanOverlay),
    /// Whether the clock is right.
    Clock(ClockQuestion),
    /// Nothing is on the bench, and panels lie on the shelf: what is to be done.
    Shelf(ShelfChoice),
}

/// What can be done with a shelf while the bench is empty.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShelfTask {
    /// Look the finished panels over.
    LookOver,
    /// Set panels side by side.
    Compare,
    /// A new panel for the bench.
    NewPanel,
}

impl ShelfTask {
    /// All of them, as they stand on the screen.
    pub const ALL: [ShelfTask; 3] = [ShelfTask::LookOver, ShelfTask::Compare, ShelfTask::NewPanel];
}

/// The choice between them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct ShelfChoice {
    /// The place of the cursor among [`ShelfTask::ALL`].
    pub cursor: usize,
}

/// What was wrong with an act that is done again, while it is chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FlawList {
    /// The place of the flaw among `Flaw::ALL`.
    pub cursor: usize,
    /// The stage the maker saw at hand.
    pub seen_stage: Option<Stage>,
}

/// Whether the clock is right, as it is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClockQuestion {
    /// What the wall clock says.
    pub clock: Moment,
    /// When the newest line was written.
    pub newest: Stamp,
    /// The answer the cursor is on: it is right, or it is wrong.
    pub is_right: bool,
}
