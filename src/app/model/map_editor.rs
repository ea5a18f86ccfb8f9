//! The coarse map of a check: none, some, much for each area.

use crate::app::keymap::Keymap;
use crate::app::message::{InputMode, Message};
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

impl MapEditor {
    /// An empty map for the check at hand, if one is.
    pub fn from_panel(panel: &Panel) -> Option<MapEditor> {
        let check = panel.recipe().check.as_ref()?;
        let stage = panel.stage_at_hand().filter(|s| s.kind == StageKind::Check)?;
        let before =
            panel.steps().iter().filter(|s| s.slot.kind == StageKind::Check).filter_map(|s| s.laid_coat()).next_back();
        // A journal may hold any number; a map that does not fit it is then refused by name.
        let side = |areas: u32| (areas as usize).clamp(1, MAP_MAX);
        let clear = vec![vec![Roughness::None; side(check.columns)]; side(check.rows)];
        let before = before.map(|laid| laid.event.map.as_ref().map_or_else(|| clear.clone(), |m| m.rows().to_vec()));
        Some(MapEditor {
            stage,
            areas: clear,
            previous_areas: before,
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

    /// The area a number pad points at: 7 8 9 above, 1 2 3 below, spread over the map.
    pub(super) fn cycle_area_by_digit(&mut self, digit: u8) {
        let place = usize::from(digit.clamp(1, 9) - 1);
        let spread = |third: usize, areas: usize| (third * areas.saturating_sub(1)).div_ceil(2);
        let (rows, columns) = (self.areas.len(), self.areas[0].len());
        self.cursor = (spread(2 - place / 3, rows), spread(place % 3, columns));
        self.cycle_area();
    }
}
