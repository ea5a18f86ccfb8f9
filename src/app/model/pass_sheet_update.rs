//! What a key does to the sheet of missed coats, and what came of recording it: all of it, or nothing.

use super::Model;
use super::effect::{Effect, PendingKind};
use super::overlay::Overlay;
use super::pass_sheet::{PassSheet, SheetCell, SheetRow};
use crate::app::message::{InputMode, Message};
use crate::bench::{PassEntry, PassFact, RecordError, trusted_now};
use crate::units::Moment;
use crate::work::panel::act::PanelAct;

/// The most coats of a board on the sheet.
const COLUMNS_MAX: usize = 6;

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
            let Some((row, column)) = sheet.asked.get(fact.index).copied() else { continue };
            if let Some(cell) = sheet.rows.get_mut(row).and_then(|r| r.cells.get_mut(column)) {
                cell.at = None;
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
