//! The whole screen of what comes, and the sheet on which coats are put in afterwards.

use super::context::ViewContext;
use super::round::build_queue_item;
use super::status_line::format_alert;
use crate::app::message::{InputMode, Message};
use crate::app::model::{Model, PassSheet, QueueOverlay};
use crate::app::overlay_view_models::{PassSheetRow, PassSheetViewModel};
use crate::app::page_view_model::PageViewModel;
use crate::text::format_hhmm;
use crate::work::plan::queue::QueuedAct;
use chrono::TimeZone;
use std::fmt::Display;

/// Everything that comes, one of it under the cursor.
pub fn build_queue_page<Z: TimeZone<Offset: Display>>(
    model: &Model,
    queue: &QueueOverlay,
    at: &ViewContext<'_, Z>,
) -> PageViewModel {
    let entries = model.queue(at.now);
    let choice = |entry| {
        let item = build_queue_item(model, entry, at.now);
        let way = item.direction.map_or_else(String::new, |way| format!(", {}", way.name()));
        let what = match entry.act {
            QueuedAct::Board(_) => format!("{}{way}", item.what),
            QueuedAct::Pot(need) => need.words().to_owned(),
        };
        let name = if item.is_pot { format!("POT {}", entry.label) } else { entry.label.clone() };
        (name, format!("{:>7}  {what}", item.time))
    };
    let key = |messages: &[Message], words| model.keymap().hint_as(InputMode::Queue, messages, words);
    let title = if queue.typed.is_empty() { "What comes".to_owned() } else { format!("What comes: {}", queue.typed) };
    PageViewModel {
        title,
        choices: entries.iter().map(choice).collect(),
        cursor: queue.cursor(&entries),
        offset: 0,
        paragraphs: Vec::new(),
        alert: format_alert(model, at.now),
        keys: vec![
            key(&[Message::Up, Message::Down], "choose"),
            key(&[Message::TypeChar(' ')], "letters: its label"),
            key(&[Message::Accept], "show it"),
            key(&[Message::Leave], "back"),
        ],
    }
}

/// The sheet: boards down, coats across.
pub fn build_pass_sheet<Z: TimeZone<Offset: Display>>(
    model: &Model,
    sheet: &PassSheet,
    at: &ViewContext<'_, Z>,
) -> PassSheetViewModel {
    let here = sheet.rows.get(sheet.cursor.0).and_then(|row| row.cells.get(sheet.cursor.1));
    let cell = |(row, column): (usize, usize), time: Option<String>| {
        let typed = ((row, column) == sheet.cursor && !sheet.typed.is_empty()).then(|| format!("{}_", sheet.typed));
        typed.or(time).unwrap_or_else(|| "-".to_owned())
    };
    let rows = sheet.rows.iter().enumerate().map(|(r, row)| PassSheetRow {
        name: row.name.clone(),
        cells: row
            .cells
            .iter()
            .enumerate()
            .map(|(c, coat)| {
                let time = cell((r, c), coat.at.map(|stamp| format_hhmm(stamp, at.zone)));
                (format_coat(&coat.stage), time)
            })
            .collect(),
    });
    let error = here.map(|coat| coat.error.clone()).filter(|error| !error.is_empty());
    let alert = format_alert(model, at.now);
    let said = [error.unwrap_or_default(), sheet.error.clone(), alert];
    let key = |messages: &[Message], words| model.keymap().hint_as(InputMode::PassSheet, messages, words);
    PassSheetViewModel {
        title: "Coats that nobody recorded: when was each laid?".to_owned(),
        rows: rows.collect(),
        cursor: sheet.cursor,
        alert: said.into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(" - "),
        keys: vec![
            key(&[Message::Accept], "record all, or nothing"),
            key(&[Message::Up, Message::Down], "1 min"),
            key(&[Message::PageUp, Message::PageDown], "10 min"),
            key(&[Message::Left, Message::Right], "coat"),
            key(&[Message::NextPanel], "board"),
            key(&[Message::DeleteBackward], "not laid"),
            key(&[Message::Leave], "back"),
        ],
    }
}

/// A coat in a narrow column: "coat 4", with a sign for its direction.
fn format_coat(stage: &crate::work::panel::event::Stage) -> String {
    let number = stage.number.map_or_else(String::new, |n| format!(" {n}"));
    let back = if stage.face == Some(crate::work::panel::event::Face::Back) { "back " } else { "" };
    format!("{back}{}{number}", stage.kind.row().word)
}
