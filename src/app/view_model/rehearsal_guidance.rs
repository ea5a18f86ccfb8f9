//! The sentence that leads a newcomer through a rehearsal: what the step is for, and the key that does it.
//!
//! Absent on purpose: passing the time (`app::view`).

use crate::app::model::Model;
use crate::text::format_duration;
use crate::units::Span;
use crate::work::advice::rehearsal::{rehearsal_line, time_passing_line};
use crate::work::panel::event::{PanelCall, Stage, StageKind};
use crate::work::panel::phase::{PanelPhase, PanelStatus};

/// Said first of all.
const WELCOME: &str = "Practice: nothing of it is kept, minutes pass in seconds, q leaves at any time.";

/// The sentence for where the panel stands; empty outside a rehearsal.
pub(super) fn build_guidance(view: &Model, standing: &PanelStatus, hand: Option<Stage>) -> String {
    let Some(pace) = view.rehearsal_pace() else { return String::new() };
    if let Some(call) = view.ringing_alarms().last().map(|a| a.call) {
        return describe_ringing(call).to_owned();
    }
    match (standing.phase, hand) {
        (PanelPhase::Ready, Some(stage)) => describe_ready(&stage),
        (PanelPhase::Working, Some(stage)) => format!("The clock now counts the work itself. {}", describe_record_key(stage.kind)),
        (PanelPhase::Waiting, _) => describe_waiting(standing, pace),
        (PanelPhase::Abandoned, _) => "This panel is given up. Nothing of it is kept; q leaves.".to_owned(),
        (PanelPhase::Finished | PanelPhase::Ready | PanelPhase::Working, _) => {
            "That was a whole panel, and nothing of it is kept. q leaves; `sottile` opens the bench for one of your own."
                .to_owned()
        }
    }
}

fn describe_ready(stage: &Stage) -> String {
    let line = rehearsal_line(stage);
    let welcome = if stage.kind == StageKind::Prepare { format!("{WELCOME} ") } else { String::new() };
    format!("{welcome}{line} {}", describe_record_key(stage.kind))
}

/// The key that records an act of that kind.
fn describe_record_key(kind: StageKind) -> &'static str {
    if kind == StageKind::Check {
        "Space for the map."
    } else if kind.is_layer() {
        "Space when it is on."
    } else {
        "Space when it is done."
    }
}

const fn describe_ringing(call: PanelCall) -> &'static str {
    match call {
        PanelCall::LookDull => {
            "It rings once: time to look at the gloss. Any key quiets it and does nothing else; then d, once it is dull."
        }
        PanelCall::Pot => "It rings twice: see to the pot. Any key quiets it and does nothing else.",
        PanelCall::Due => "It rings three times: the next act is due. Any key quiets it and does nothing else.",
    }
}

fn describe_waiting(standing: &PanelStatus, pace: f64) -> String {
    let Some((stage, wait)) = standing.stage.zip(standing.wait) else { return String::new() };
    let line = if stage.kind.ends_by_itself() { rehearsal_line(&stage) } else { stage.kind.row().wait_line };
    if Model::is_skipped_wait(wait.span) {
        return format!("{} {line}", time_passing_line(wait.span));
    }
    let seconds = Span::from_ms((wait.span.ms() as f64 / pace.max(0.001)) as i64);
    let key = if stage.kind.is_gesso() { "; d says that it is dull" } else { "" };
    format!("{line} These {} pass in {}{key}.", format_duration(wait.span), format_duration(seconds))
}
