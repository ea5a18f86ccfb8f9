//! One act on several panels: what stands, what failed and why, and the exit code that says so.

use super::context::{CliContext, find_panel};
use super::error::{CliError, ExitKind};
use super::json::{FORMAT_VERSION, ShowJson};
use super::output;
use super::story::require_story;
use crate::bench::{Bench, RecordRequest, Snapshot, trusted_now};
use crate::units::Id;
use crate::work::panel::act::PanelAct;
use anyhow::Result;
use serde::Serialize;

/// A panel nothing was recorded on.
#[derive(Debug)]
pub(super) struct FailedPanel {
    /// As it was asked for, or its id where it was not.
    name: String,
    error: CliError,
}

/// What came of one act on some panels.
#[derive(Debug, Default)]
pub(super) struct SeveralRecorded {
    /// The panels that changed.
    pub(super) changed: Vec<Snapshot>,
    /// Panels of the rack that changed with them.
    others: Vec<Id>,
    pub(super) failed: Vec<FailedPanel>,
}

/// Records an act on each of those panels; what fails on one is no matter of the others.
///
/// # Errors
/// What is wrong of the only panel there is.
pub(super) fn record_on_each(
    context: &CliContext,
    bench: &mut Bench,
    names: &[&String],
    request: &RecordRequest,
) -> Result<SeveralRecorded, CliError> {
    let mut all = SeveralRecorded::default();
    let mut ids: Vec<(&str, Id)> = Vec::new();
    for name in names {
        match find_panel(bench, name).and_then(|id| Ok(bench.load(&id).map(|_| id)?)) {
            Ok(id) if ids.iter().all(|(_, other)| *other != id) => ids.push((name, id)),
            Ok(_) => {}
            Err(error) => all.failed.push(FailedPanel { name: (*name).clone(), error }),
        }
    }
    let is_for_rack = matches!(request.act, PanelAct::Away | PanelAct::Back);
    for (name, id) in ids {
        // Leaving and coming back are written once for the whole rack.
        if is_for_rack && all.changed.iter().any(|snapshot| snapshot.id == id) {
            continue;
        }
        match bench.record(&id, request, &|| context.clock.now()) {
            Ok(recorded) => {
                all.changed.extend(recorded.changed);
                all.others.extend(recorded.others);
                let failed = recorded.failed.into_iter().filter(|(id, _)| names.iter().all(|n| *n != id.as_str()));
                all.failed.extend(failed.map(|(id, why)| FailedPanel { name: id.to_string(), error: why.into() }));
            }
            Err(why) => all.failed.push(FailedPanel { name: name.to_owned(), error: why.into() }),
        }
    }
    if names.len() == 1 && all.changed.is_empty() && all.failed.len() == 1 {
        return Err(all.failed.remove(0).error);
    }
    Ok(all)
}

impl SeveralRecorded {
    /// Tells each panel that failed, then what stands and what does not.
    ///
    /// # Errors
    /// Already told; only the exit code is left.
    pub(super) fn report_failed(&self) -> Result<()> {
        let Some(kind) = self.failed.iter().map(|failed| failed.error.kind).max() else { return Ok(()) };
        for failed in &self.failed {
            output::print_message(&format!("sottile: {}: {}", failed.name, failed.error));
        }
        if !self.changed.is_empty() {
            let ids: Vec<&str> =
                self.changed.iter().map(|snapshot| &snapshot.id).chain(&self.others).map(Id::as_str).collect();
            let names: Vec<&str> = self.failed.iter().map(|failed| failed.name.as_str()).collect();
            output::print_message(&format!("sottile: recorded on {}, not on {}", join_and(&ids), join_and(&names)));
        }
        let kind = if kind == ExitKind::Damaged { kind } else { ExitKind::Failed };
        Err(CliError::already_reported(kind).into())
    }

    /// Where each panel then stands, as JSON.
    ///
    /// # Errors
    /// What stdout says.
    pub(super) fn print_json(&self, context: &CliContext) -> Result<()> {
        let now = context.clock.now();
        let mut panels = Vec::new();
        for snapshot in &self.changed {
            let story = require_story(snapshot)?;
            panels.push(ShowJson::from_story(story, snapshot.damage.as_ref(), trusted_now(story, now)));
        }
        let failed = self.failed.iter();
        let failed = failed.map(|f| FailedPanelJson { panel: &f.name, message: f.error.to_string() }).collect();
        output::print_json(&SeveralJson { format: FORMAT_VERSION, panels, failed })
    }
}

/// What `mark` and `inspect` print of several panels.
#[derive(Debug, Serialize)]
struct SeveralJson<'a> {
    format: u32,
    panels: Vec<ShowJson<'a>>,
    failed: Vec<FailedPanelJson<'a>>,
}

#[derive(Debug, Serialize)]
struct FailedPanelJson<'a> {
    panel: &'a str,
    message: String,
}

/// "a, b and c".
fn join_and(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [before @ .., last] => format!("{} and {last}", before.join(", ")),
    }
}
