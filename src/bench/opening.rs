//! How panels and pots are opened: the plan is fixed in the first line, and nothing is on the bench before that is on disk.

use super::Bench;
use super::journaled_story::{RecordError, Snapshot};
use crate::craft::materials::Support;
use crate::craft::recipe::{Paint, Recipe};
use crate::units::{Id, Length, Moment, Size, Stamp, Volume};
use crate::work::panel::event::{Grain, PanelEvent, PanelOpened};
use crate::work::pot::event::{PotEvent, PotKind, PotOpened};
use crate::work::pot::fold::Pot;
use std::sync::Arc;

/// A witness is a square of this side, mm: room for the nail, ten rubs and three drops (assumed).
const WITNESS_SIDE_MM: f64 = 100.0;

/// What is said when panels are opened.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelOpening {
    /// What the maker calls it; several like it are numbered.
    pub label: String,
    /// The board.
    pub size: Size,
    /// What it is made of.
    pub support: Support,
    /// Which way its grain runs; along the longer side if it was not said.
    pub grain: Option<Grain>,
    /// What will be painted on it.
    pub paint: Paint,
    /// The plan.
    pub recipe: Arc<Recipe>,
    /// How many.
    pub count: u16,
    /// The sheet of board they are cut from, in the maker's words.
    pub sheet: Option<String>,
    /// Besides them an offcut that is coated with them, to be tried out.
    pub witness: bool,
    /// When, if not now.
    pub at: Option<Stamp>,
}

/// One board to be opened.
struct NewBoard {
    label: String,
    size: Size,
    is_witness: bool,
}

impl PanelOpening {
    /// The boards, and behind them the witness.
    fn boards(&self) -> Vec<NewBoard> {
        let label = |n| if self.count == 1 { self.label.clone() } else { format!("{} {n}", self.label) };
        let board = |n| NewBoard { label: label(n), size: self.size, is_witness: false };
        let side = Length::from_mm(WITNESS_SIDE_MM);
        let witness = NewBoard {
            label: format!("{} witness", self.label),
            size: Size { width: side, height: side, ..self.size },
            is_witness: true,
        };
        (1..=self.count).map(board).chain(self.witness.then_some(witness)).collect()
    }

    fn grain_or_default(&self) -> Grain {
        let longer = if self.size.width.mm() > self.size.height.mm() { Grain::Width } else { Grain::Height };
        self.grain.unwrap_or(longer)
    }
}

impl Bench {
    /// Opens panels and puts them on the bench. Returns them in order.
    ///
    /// # Errors
    /// [`RecordError`]; the panels before the one that failed are open, and stand in the second part.
    #[allow(clippy::result_large_err, reason = "opening is rare, and both parts are told")]
    pub fn open_panels(
        &mut self,
        opening: &PanelOpening,
        now: &dyn Fn() -> Moment,
    ) -> Result<Vec<Snapshot>, (RecordError, Vec<Snapshot>)> {
        let mut opened = Vec::new();
        let boards = opening.boards();
        let mut group = None;
        for board in &boards {
            match self.open_panel(opening, board, (boards.len() > 1).then_some(group.as_ref()), now) {
                Ok(snapshot) => {
                    group.get_or_insert_with(|| snapshot.id.clone());
                    opened.push(snapshot);
                }
                Err(error) => return Err((error, opened)),
            }
        }
        Ok(opened)
    }

    /// Opens one board. `group` is none for one that stands alone, and inside the first of those it is opened with, where
    /// it is not the first itself.
    fn open_panel(
        &mut self,
        opening: &PanelOpening,
        board: &NewBoard,
        group: Option<Option<&Id>>,
        now: &dyn Fn() -> Moment,
    ) -> Result<Snapshot, RecordError> {
        let lock = self.shelf.lock()?;
        let written = now();
        let event = |id: Id| {
            PanelEvent::Opened(Box::new(PanelOpened {
                group: group.map(|first| first.unwrap_or(&id).clone()),
                id,
                label: board.label.clone(),
                size: board.size,
                support: opening.support,
                grain: opening.grain_or_default(),
                paint: opening.paint,
                recipe: Arc::clone(&opening.recipe),
                sheet: opening.sheet.clone(),
                is_witness: board.is_witness,
                trial: None,
            }))
        };
        let snapshot = self.panels.create(&self.shelf, &lock, &board.label, (opening.at, written), event)?;
        self.update_rack_of_panel(&lock, &snapshot, written);
        Ok(snapshot)
    }
}

/// What is said when a pot is opened.
#[derive(Debug, Clone, PartialEq)]
pub struct PotOpening {
    /// What the maker calls it.
    pub label: String,
    /// What is in it.
    pub kind: PotKind,
    /// The pot it is poured from.
    pub parent: Option<Id>,
    /// The plan.
    pub recipe: Arc<Recipe>,
    /// How much size.
    pub size_ml: Option<Volume>,
    /// The lot of the glue.
    pub lot: Option<String>,
    /// The lot of the filler.
    pub filler_lot: Option<String>,
    /// The group of panels, or the panel, it is for.
    pub for_group: Option<Id>,
    /// When, if not now.
    pub at: Option<Stamp>,
}

impl Bench {
    /// Opens a pot and puts it on the bench.
    ///
    /// # Errors
    /// [`RecordError`], also if the pot it is said to be poured from holds no size.
    pub fn open_pot(&mut self, opening: &PotOpening, now: &dyn Fn() -> Moment) -> Result<Snapshot<Pot>, RecordError> {
        let lock = self.shelf.lock()?;
        let parent =
            opening.parent.as_ref().map(|id| self.load_pot(id)).transpose()?.and_then(|snapshot| snapshot.story);
        let opened = |id| PotOpened {
            id,
            label: opening.label.clone(),
            kind: opening.kind,
            parent: opening.parent.clone(),
            recipe: Arc::clone(&opening.recipe),
            size_ml: opening.size_ml,
            lot: opening.lot.clone(),
            filler_lot: opening.filler_lot.clone(),
            for_group: opening.for_group.clone(),
            trial: None,
        };
        if let (Some(parent), Some(probe)) = (&parent, Id::new("a-new-pot")) {
            opened(probe).check_parent(parent.pot().opened())?;
        }
        let event = |id| PotEvent::Opened(Box::new(opened(id)));
        self.pots.create(&self.shelf, &lock, &opening.label, (opening.at, now()), event)
    }
}
