//! The coarse map of a check: none, some, much for each area.

use super::{Over, Request, View};
use crate::app::action::Action;
use crate::units::Moment;
use crate::work::panel::act::Act;
use crate::work::panel::event::{CheckMap, Kind, Low, Stage};
use crate::work::panel::fold::Panel;

/// A map being filled in.
#[derive(Debug, Clone, PartialEq)]
pub struct Map {
    /// The check it is for.
    pub stage: Stage,
    /// The areas, rows from the top.
    pub areas: Vec<Vec<Low>>,
    /// The map of the round before.
    pub before: Option<Vec<Vec<Low>>>,
    /// Row from the top, column from the left.
    pub cursor: (usize, usize),
    /// What is to be done now.
    pub hint: String,
    /// The key that would give up what is marked was pressed once.
    pub gives_up: Option<Action>,
}

/// What is said first.
const HINT: &str = "mark what stays grey: Space steps none, some, much; Enter records the map";

impl Map {
    /// An empty map for the check at hand, if one is.
    pub fn for_check(panel: &Panel) -> Option<Map> {
        let check = panel.recipe().check.as_ref()?;
        let stage = panel.at_hand().filter(|s| s.kind == Kind::Check)?;
        let before = panel.steps().iter().filter(|s| s.place.kind == Kind::Check).filter_map(|s| s.laid()).next_back();
        let clear = vec![vec![Low::None; check.columns.max(1) as usize]; check.rows.max(1) as usize];
        let before = before.map(|laid| laid.fact.map.as_ref().map_or_else(|| clear.clone(), |m| m.rows().to_vec()));
        Some(Map { stage, areas: clear, before, cursor: (0, 0), hint: HINT.to_owned(), gives_up: None })
    }

    fn step(&mut self) {
        let (row, column) = self.cursor;
        if let Some(area) = self.areas.get_mut(row).and_then(|r| r.get_mut(column)) {
            *area = match area {
                Low::None => Low::Some,
                Low::Some => Low::Much,
                Low::Much => Low::None,
            };
        }
        HINT.clone_into(&mut self.hint);
    }

    /// Whether that key may do what it does: what is marked grey is given up only on a second press.
    fn lets(&mut self, action: &Action) -> bool {
        let grey = self.areas.iter().flatten().filter(|low| **low != Low::None).count();
        let gives_up = matches!(action, Action::Clear | Action::Leave) && grey > 0;
        if !gives_up || self.gives_up.as_ref() == Some(action) {
            self.gives_up = None;
            return true;
        }
        let areas = if grey == 1 { "1 area is".to_owned() } else { format!("{grey} areas are") };
        self.hint = match action {
            Action::Clear => format!("{areas} marked grey; press w again to record white all over instead"),
            _ => format!("{areas} marked grey and not recorded; press Esc again to give them up"),
        };
        self.gives_up = Some(action.clone());
        false
    }

    fn go(&mut self, down: isize, right: isize) {
        let rows = self.areas.len().max(1) as isize;
        let columns = self.areas.first().map_or(1, |r| r.len().max(1)) as isize;
        let row = (self.cursor.0 as isize + down).clamp(0, rows - 1);
        let column = (self.cursor.1 as isize + right).clamp(0, columns - 1);
        self.cursor = (row as usize, column as usize);
    }

    /// The area a number pad points at: 7 8 9 above, 1 2 3 below, spread over the map.
    fn point(&mut self, digit: u8) {
        let place = usize::from(digit.clamp(1, 9) - 1);
        let spread = |third: usize, areas: usize| (third * areas.saturating_sub(1)).div_ceil(2);
        let rows = self.areas.len();
        let columns = self.areas.first().map_or(1, Vec::len);
        self.cursor = (spread(2 - place / 3, rows), spread(place % 3, columns));
        self.step();
    }
}

impl View {
    pub(super) fn mapping(&mut self, action: &Action, now: Moment) -> Vec<Request> {
        let Over::Map(map) = &mut self.over else { return Vec::new() };
        if !map.lets(action) {
            return Vec::new();
        }
        match action {
            Action::Up => map.go(-1, 0),
            Action::Down => map.go(1, 0),
            Action::Left => map.go(0, -1),
            Action::Right => map.go(0, 1),
            Action::Step => map.step(),
            Action::Area(digit) => map.point(*digit),
            Action::Leave => self.over = Over::Nothing,
            Action::Accept if map.areas.iter().flatten().all(|low| *low == Low::None) => {
                map.hint = "no area is marked grey; if nothing stays anywhere, press w (white all over)".to_owned();
            }
            Action::Accept => return self.record_map(now),
            Action::Clear => {
                map.areas.iter_mut().flatten().for_each(|area| *area = Low::None);
                return self.record_map(now);
            }
            _ => {}
        }
        Vec::new()
    }

    fn record_map(&mut self, now: Moment) -> Vec<Request> {
        let Over::Map(map) = &self.over else { return Vec::new() };
        let stage = map.stage;
        let Some(areas) = CheckMap::new(map.areas.clone()) else { return Vec::new() };
        self.record(Act::Done { direction: None, pot: None, map: Some(areas) }, Some(stage), now)
    }
}
