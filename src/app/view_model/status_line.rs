//! The line that stands over everything: what rings, a question, what is being saved, what went wrong.

use crate::app::bench_view_model::StatusLine;
use crate::app::model::Model;
use crate::units::{Moment, Span};

pub(super) fn build_status_line(model: &Model, now: Moment) -> Option<StatusLine> {
    if let Some(words) = format_ringing(model) {
        return Some(StatusLine { text: words, urgent: true });
    }
    if let Some(error) = model.recording_fault() {
        return Some(StatusLine { text: error.to_string(), urgent: true });
    }
    if is_saving_shown(model, now) {
        return Some(StatusLine { text: "saving".to_owned(), urgent: false });
    }
    if let Some(damage) = model.shown_panel().and_then(|t| t.damage.as_ref()).filter(|d| d.kind.is_blocking()) {
        let what = if damage.kind.is_damage() { "damaged" } else { "shown as far as this version reads it" };
        return Some(StatusLine { text: format!("{what}, {damage}"), urgent: true });
    }
    model.status_message.as_ref().map(|said| StatusLine { text: said.text.clone(), urgent: said.urgent })
}

/// A press is answered once it is on disk; after this long the screen says that it is being saved.
pub const SAVING_AFTER: Span = Span::from_ms(200);

/// Whether something has been under way to the disk for long enough to be told.
pub(super) fn is_saving_shown(model: &Model, now: Moment) -> bool {
    model.saving_since().is_some_and(|since| now.since(since).abs() >= SAVING_AFTER)
}

/// What rings, in words.
pub(super) fn format_ringing(model: &Model) -> Option<String> {
    let alarms = model.ringing_alarms();
    let all: Vec<_> = alarms.iter().rev().map(|a| a.describe()).collect();
    let here = alarms.iter().any(|a| !a.is_elsewhere);
    let quiets = if here { "any key quiets" } else { "it rings in another window; any key, and then press" };
    (!all.is_empty()).then(|| format!("{} - {quiets}", all.join("; ")))
}

/// What stands over everything: what rings, a question, what went wrong.
pub(super) fn format_alert(model: &Model, now: Moment) -> String {
    let notice = build_status_line(model, now).filter(|n| n.urgent || model.confirmation.is_none()).map(|n| n.text);
    let question = model.confirmation.as_ref().map(|q| q.text.clone());
    question.into_iter().chain(notice).collect::<Vec<_>>().join(" - ")
}
