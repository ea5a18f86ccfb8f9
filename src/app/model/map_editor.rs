//! The coarse map of a check: none, some, much for each area.

use crate::app::keymap::Keymap;
use crate::app::message::{InputMode, Message};
use crate::craft::recipe::Check;
use crate::work::panel::event::{MAP_MAX, Roughness, Stage, StageKind};
use crate::work::panel::state::Panel;

/// A map being filled in.
#[derive(Debug, Clone, PartialEq)]
pub struct MapEditor {
    /// The check it is for.
    pub stage: Stage,
    /// The areas, rows from the top.
    pub areas: Vec<Vec<Roughness>>,
    /// The map of the round before.
    pub previous_areas: Option<Vec<Vec<Roughness>>>,
    /// Row from the top, column from the left.
    pub cursor: (usize, usize),
    /// What is to be said now.
    pub hint: MapHint,
    /// The key that would give up what is marked was pressed once.
    pub pending_discard: Option<Message>,
}

/// What is said under a map.
#[derive(Debug, Clone, PartialEq)]
pub enum MapHint {
    /// How areas are marked.
    Mark,
    /// There is nothing to record yet.
    NothingMarked,
    /// That message once more gives up what is marked in so many areas.
    Discard {
        /// What was asked for.
        message: Message,
        /// How many areas are marked.
        areas: usize,
    },
    /// Why it was not recorded.
    Refused(String),
}

impl MapHint {
    /// The words.
    pub fn describe(&self, keymap: &Keymap) -> String {
        let key = |message: &Message| keymap.label(message, InputMode::Map);
        match self {
            MapHint::Mark => {
                let (mark, record) = (key(&Message::Advance), key(&Message::Accept));
                format!("mark what stays grey: {mark} steps none, some, much; {record} records the map")
            }
            MapHint::NothingMarked => {
                let clear = key(&Message::ClearMap);
                format!("no area is marked grey; if nothing stays anywhere, press {clear} (white all over)")
            }
            MapHint::Discard { message, areas } => {
                let areas = if *areas == 1 { "1 area is".to_owned() } else { format!("{areas} areas are") };
                let again = key(message);
                if *message == Message::ClearMap {
                    format!("{areas} marked grey; press {again} again to record white all over instead")
                } else {
                    format!("{areas} marked grey and not recorded; press {again} again to give them up")
                }
            }
            MapHint::Refused(reason) => reason.clone(),
        }
    }
}

/// An empty map. A journal may hold any number; a map that does not fit it is then refused by name.
fn clear_areas(check: &Check) -> Vec<Vec<Roughness>> {
    let side = |areas: u32| (areas as usize).clamp(1, MAP_MAX);
    vec![vec![Roughness::None; side(check.columns)]; side(check.rows)]
}

/// What the last check showed; none before the first.
fn last_check_areas(panel: &Panel) -> Option<Vec<Vec<Roughness>>> {
    let check = panel.recipe().check.as_ref()?;
    let checks = panel.steps().iter().filter(|s| s.slot.kind == StageKind::Check);
    let laid = checks.filter_map(|s| s.laid_coat()).next_back()?;
    Some(laid.event.map.as_ref().map_or_else(|| clear_areas(check), |map| map.rows().to_vec()))
}

/// Where the last check found the ground low, for an act that takes the high down around it: scraping, and the damp cloth
/// of a recipe that does not scrape. None before a check, and where nothing was low.
pub fn find_lows_for(stage: &Stage, panel: &Panel) -> Option<Vec<Vec<Roughness>>> {
    let takes_down = matches!(stage.kind, StageKind::Scrape | StageKind::Polish);
    let areas = takes_down.then(|| last_check_areas(panel)).flatten()?;
    areas.iter().flatten().any(|low| *low != Roughness::None).then_some(areas)
}

/// The area a digit of a number pad points at, row and column: 7 8 9 above, 1 2 3 below, spread over the map.
pub fn area_of_digit(digit: u8, rows: usize, columns: usize) -> (usize, usize) {
    let place = usize::from(digit.clamp(1, 9) - 1);
    let spread = |third: usize, areas: usize| (third * areas.saturating_sub(1)).div_ceil(2);
    (spread(2 - place / 3, rows), spread(place % 3, columns))
}

impl MapEditor {
    /// An empty map for the check at hand, if one is.
    pub fn from_panel(panel: &Panel) -> Option<MapEditor> {
        let check = panel.recipe().check.as_ref()?;
        let stage = panel.stage_at_hand().filter(|s| s.kind == StageKind::Check)?;
        Some(MapEditor {
            stage,
            areas: clear_areas(check),
            previous_areas: last_check_areas(panel),
            cursor: (0, 0),
            hint: MapHint::Mark,
            pending_discard: None,
        })
    }

    pub(super) fn cycle_area(&mut self) {
        let (row, column) = self.cursor;
        let area = &mut self.areas[row][column];
        *area = match area {
            Roughness::None => Roughness::Some,
            Roughness::Some => Roughness::Much,
            Roughness::Much => Roughness::None,
        };
        self.hint = MapHint::Mark;
    }

    /// Whether that key may do what it does: what is marked grey is given up only on a second press.
    pub(super) fn confirm_discard(&mut self, action: &Message) -> bool {
        let grey = self.areas.iter().flatten().filter(|low| **low != Roughness::None).count();
        let gives_up = matches!(action, Message::ClearMap | Message::Leave) && grey > 0;
        if !gives_up || self.pending_discard.as_ref() == Some(action) {
            self.pending_discard = None;
            return true;
        }
        self.hint = MapHint::Discard { message: action.clone(), areas: grey };
        self.pending_discard = Some(action.clone());
        false
    }

    pub(super) fn move_cursor(&mut self, down: isize, right: isize) {
        let (rows, columns) = (self.areas.len() as isize, self.areas[0].len() as isize);
        let row = (self.cursor.0 as isize + down).clamp(0, rows - 1);
        let column = (self.cursor.1 as isize + right).clamp(0, columns - 1);
        self.cursor = (row as usize, column as usize);
    }

    /// Goes to the area a digit points at and steps it.
    pub(super) fn cycle_area_by_digit(&mut self, digit: u8) {
        self.cursor = area_of_digit(digit, self.areas.len(), self.areas[0].len());
        self.cycle_area();
    }
}
