//! A pass that nobody recorded, put in afterwards on one sheet: boards down, coats across, a time in each cell.

use super::Model;
use super::effect::{Effect, PendingKind};
use super::overlay::Overlay;
use crate::app::message::{InputMode, Message};
use crate::bench::{PassEntry, PassFact, RecordError, trusted_now};
use crate::units::{Id, Moment, Span, Stamp};
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::Stage;

/// The most coats of a board on the sheet.
const COLUMNS_MAX: usize = 6;
/// A day.
const DAY: Span = Span::from_s(86_400);

/// The sheet while it is filled in.
#[derive(Debug, Clone, PartialEq)]
pub struct PassSheet {
    /// The boards, in their places.
    pub rows: Vec<SheetRow>,
    /// The row and the column of the cell the keys go to.
    pub cursor: (usize, usize),
    /// The figures typed so far of a time.
    pub typed: String,
    /// What is wrong with the whole; empty if nothing.
    pub error: String,
    /// Leaving was pressed once with times on the sheet.
    is_left_once: bool,
    /// The cells asked to be recorded, in the order of the request.
    asked: Vec<(usize, usize)>,
}

/// A board and its next coats.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetRow {
    /// Which board.
    pub id: Id,
    /// Its block name.
    pub name: String,
    /// Its coats, the next first.
    pub cells: Vec<SheetCell>,
}

/// One coat of a board.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetCell {
    /// Which.
    pub stage: Stage,
    /// When it was laid; none where it was not.
    pub at: Option<Stamp>,
    /// Why it was not recorded; empty if nothing is wrong.
    pub error: String,
    /// The wait before it.
    wait: Span,
}

impl PassSheet {
    /// How many columns the widest row has.
    pub fn columns(&self) -> usize {
        self.rows.iter().map(|row| row.cells.len()).max().unwrap_or(0)
    }

    fn cell(&mut self) -> Option<&mut SheetCell> {
        let (row, column) = self.cursor;
        self.rows.get_mut(row)?.cells.get_mut(column)
    }

    fn has_times(&self) -> bool {
        self.rows.iter().flat_map(|row| &row.cells).any(|cell| cell.at.is_some())
    }

    fn go(&mut self, rows: isize, columns: isize) {
        self.typed.clear();
        let row = self.cursor.0.saturating_add_signed(rows).min(self.rows.len().saturating_sub(1));
        let last = self.rows.get(row).map_or(0, |r| r.cells.len().saturating_sub(1));
        self.cursor = (row, self.cursor.1.saturating_add_signed(columns).min(last));
    }

    /// Steps the time of the cell. An empty one begins where the coat before it left off: its wait later, else now.
    fn step(&mut self, minutes: f64, now: Stamp) {
        let (row, column) = self.cursor;
        let before = column.checked_sub(1).and_then(|before| self.rows.get(row)?.cells.get(before)?.at);
        self.typed.clear();
        let Some(cell) = self.cell() else { return };
        let first = before.map_or(now, |at| (at + cell.wait).min(now));
        cell.at = Some(cell.at.map_or(first, |at| (at + Span::from_min(minutes)).min(now)));
        cell.error.clear();
        self.error.clear();
    }

    /// A figure of a time; four make one, the last of that time that is over.
    fn type_figure(&mut self, figure: char, now: Moment) {
        self.typed.push(figure);
        let figures: Vec<i64> = self.typed.chars().filter_map(|c| c.to_digit(10)).map(i64::from).collect();
        let [a, b, c, d] = figures[..] else { return };
        self.typed.clear();
        let (hours, minutes) = (a * 10 + b, c * 10 + d);
        if hours > 23 || minutes > 59 {
            self.error = format!("{hours:02}:{minutes:02} is no time of the day; type four figures, as in 1402");
            return;
        }
        let local = now.wall.ms() + i64::from(now.offset_min) * 60_000;
        let midnight = Stamp::from_ms(now.wall.ms() - local.rem_euclid(DAY.ms()));
        let at = midnight + Span::from_s((hours * 60 + minutes) * 60);
        if let Some(cell) = self.cell() {
            cell.at = Some(if at > now.wall { at - DAY } else { at });
            cell.error.clear();
        }
        self.error.clear();
    }
}

impl Model {
    /// The sheet over the boards whose next act is a coat.
    pub(super) fn open_pass_sheet(&mut self, now: Moment) -> Vec<Effect> {
        let names = self.block_names();
        let row = |at: usize| {
            let snapshot = self.snapshots.get(at)?;
            let story = snapshot.story.as_ref()?;
            let panel = story.panel();
            let next = panel.status(trusted_now(story, now)).stage_to_record()?;
            let coming = panel.stages().skip_while(|stage| !stage.is_same_slot(&next));
            let coats = coming.take_while(|stage| stage.kind.is_wet_coat()).take(COLUMNS_MAX);
            let wait = panel.recipe_wait(next.kind).unwrap_or_default();
            let cell = |stage| SheetCell { stage, at: None, error: String::new(), wait };
            let cells: Vec<SheetCell> = coats.map(cell).collect();
            let name = names.get(at).cloned().unwrap_or_default();
            (!cells.is_empty()).then(|| SheetRow { id: snapshot.id.clone(), name, cells })
        };
        let rows: Vec<SheetRow> = (0..self.snapshots.len()).filter_map(row).collect();
        if rows.is_empty() {
            self.show_message("no board has a coat to be put in".to_owned(), false, now);
            return Vec::new();
        }
        let sheet = PassSheet {
            rows,
            cursor: (0, 0),
            typed: String::new(),
            error: String::new(),
            is_left_once: false,
            asked: Vec::new(),
        };
        self.overlay = Overlay::PassSheet(Box::new(sheet));
        Vec::new()
    }

    pub(super) fn update_pass_sheet(&mut self, message: &Message, now: Moment) -> Vec<Effect> {
        let leave = self.keymap().label(&Message::Leave, InputMode::PassSheet);
        let Overlay::PassSheet(sheet) = &mut self.overlay else { return Vec::new() };
        let is_left_once = std::mem::take(&mut sheet.is_left_once);
        match message {
            Message::Up => sheet.step(1.0, now.wall),
            Message::Down => sheet.step(-1.0, now.wall),
            Message::PageUp => sheet.step(10.0, now.wall),
            Message::PageDown => sheet.step(-10.0, now.wall),
            Message::Left => sheet.go(0, -1),
            Message::Right => sheet.go(0, 1),
            Message::NextPanel => sheet.go(1, 0),
            Message::PreviousPanel => sheet.go(-1, 0),
            Message::TypeChar(figure) if figure.is_ascii_digit() => sheet.type_figure(*figure, now),
            Message::DeleteBackward if !sheet.typed.is_empty() => drop(sheet.typed.pop()),
            Message::DeleteBackward | Message::DeleteForward => {
                sheet.typed.clear();
                if let Some(cell) = sheet.cell() {
                    (cell.at, cell.error) = (None, String::new());
                }
            }
            Message::Leave if sheet.has_times() && !is_left_once => {
                sheet.is_left_once = true;
                sheet.error = format!("nothing of this is recorded; {leave} again forgets it");
            }
            Message::Leave => self.overlay = Overlay::None,
            Message::Accept => return self.record_sheet(now),
            _ => {}
        }
        Vec::new()
    }

    fn record_sheet(&mut self, now: Moment) -> Vec<Effect> {
        let Overlay::PassSheet(sheet) = &self.overlay else { return Vec::new() };
        let (mut asked, mut entries, mut stage) = (Vec::new(), Vec::new(), None);
        for (r, row) in sheet.rows.iter().enumerate() {
            let Some(story) = self.find_board(&row.id).and_then(|t| t.story.as_ref()) else { continue };
            for (c, cell) in row.cells.iter().enumerate() {
                let Some(at) = cell.at else { continue };
                let pot = self.find_pot_for_coat(story.panel(), cell.stage).map(|t| t.id.clone());
                let act = PanelAct::Done { direction: None, pot, map: None, by: self.maker_of(cell.stage) };
                asked.push((r, c));
                stage = Some(cell.stage);
                entries.push(PassEntry { id: row.id.clone(), act, at: Some(at), expected_stage: Some(cell.stage) });
            }
        }
        let Overlay::PassSheet(sheet) = &mut self.overlay else { return Vec::new() };
        sheet.error.clear();
        let Some(stage) = stage else {
            sheet.error = "no time is on the sheet yet".to_owned();
            return Vec::new();
        };
        sheet.asked = asked;
        self.request_effect(Effect::RecordPass(entries), PendingKind::Pass(stage), now)
    }

    /// What is on disk leaves the sheet, what failed stays with its reason. Returns whether the sheet is closed, or was not
    /// open.
    pub(super) fn close_sheet_if_done(&mut self, written: &[PassFact], failed: &[(usize, RecordError)]) -> bool {
        let Overlay::PassSheet(sheet) = &mut self.overlay else { return true };
        for fact in written {
            if let Some((row, column)) = sheet.asked.get(fact.index).copied() {
                if let Some(cell) = sheet.rows.get_mut(row).and_then(|r| r.cells.get_mut(column)) {
                    cell.at = None;
                }
            }
        }
        if failed.is_empty() {
            self.overlay = Overlay::None;
            return true;
        }
        self.note_sheet_refusals(failed);
        false
    }

    /// Puts each reason beside its cell. Returns whether a sheet is open.
    pub(super) fn note_sheet_refusals(&mut self, refusals: &[(usize, RecordError)]) -> bool {
        let Overlay::PassSheet(sheet) = &mut self.overlay else { return false };
        for (index, error) in refusals {
            let Some((row, column)) = sheet.asked.get(*index).copied() else { continue };
            if let Some(cell) = sheet.rows.get_mut(row).and_then(|r| r.cells.get_mut(column)) {
                cell.error = error.to_string();
            }
        }
        let first = sheet.asked.iter().zip(0..).find(|(_, i)| refusals.iter().any(|(index, _)| index == i));
        if let Some(((row, column), _)) = first {
            sheet.cursor = (*row, *column);
        }
        sheet.error = "nothing that failed is recorded; put its time right".to_owned();
        true
    }
}
