//! The sentence that leads a newcomer through a rehearsal: what the step is for, and the key that does it.
//!
//! Absent on purpose: passing the time (`app::view`).

use crate::app::view::View;
use crate::text::lasting;
use crate::units::Span;
use crate::work::advice::rehearsal::{passing, rehearsal_line, rehearsal_wait};
use crate::work::panel::event::{Call, Kind, Stage};
use crate::work::panel::phase::{Phase, Standing};

/// Said first of all.
const WELCOME: &str = "Practice: nothing of it is kept, minutes pass in seconds, q leaves at any time.";

/// The sentence for where the panel stands; empty outside a rehearsal.
pub(super) fn lead(view: &View, standing: &Standing, hand: Option<Stage>) -> String {
    let Some(pace) = view.rehearses() else { return String::new() };
    if let Some(call) = view.ringing().last().map(|a| a.call) {
        return ringing(call).to_owned();
    }
    match (standing.phase, hand) {
        (Phase::Ready, Some(stage)) => ready(&stage),
        (Phase::Working, Some(stage)) => format!("The clock now counts the work itself. {}", press(stage.kind)),
        (Phase::Waiting, _) => waiting(standing, pace),
        (Phase::Abandoned, _) => "This panel is given up. Nothing of it is kept; q leaves.".to_owned(),
        (Phase::Finished | Phase::Ready | Phase::Working, _) => {
            "That was a whole panel, and nothing of it is kept. q leaves; `sottile` opens the bench for one of your own."
                .to_owned()
        }
    }
}

fn ready(stage: &Stage) -> String {
    let line = rehearsal_line(stage);
    let welcome = if stage.kind == Kind::Prepare { format!("{WELCOME} ") } else { String::new() };
    format!("{welcome}{line} {}", press(stage.kind))
}

/// The key that records an act of that kind.
const fn press(kind: Kind) -> &'static str {
    match kind {
        Kind::Size | Kind::Cloth | Kind::Stipple | Kind::Coat | Kind::Seal => "Space when it is on.",
        Kind::Check => "Space for the map.",
        Kind::Prepare | Kind::Cure | Kind::Dry | Kind::Scrape | Kind::Polish | Kind::Rest | Kind::Sand => {
            "Space when it is done."
        }
    }
}

const fn ringing(call: Call) -> &'static str {
    match call {
        Call::LookDull => {
            "It rings once: time to look at the gloss. Any key quiets it and does nothing else; then d, once it is dull."
        }
        Call::Pot => "It rings twice: see to the pot. Any key quiets it and does nothing else.",
        Call::Due => "It rings three times: the next act is due. Any key quiets it and does nothing else.",
    }
}

fn waiting(standing: &Standing, pace: f64) -> String {
    let Some((stage, wait)) = standing.stage.zip(standing.wait) else { return String::new() };
    let line = if stage.kind.by_itself() { rehearsal_line(&stage) } else { rehearsal_wait(stage.kind) };
    if View::passes_over(wait.span) {
        return format!("{} {line}", passing(wait.span));
    }
    let seconds = Span::from_ms((wait.span.ms() as f64 / pace.max(0.001)) as i64);
    let key = if matches!(stage.kind, Kind::Stipple | Kind::Coat) { "; d says that it is dull" } else { "" };
    format!("{line} These {} pass in {}{key}.", lasting(wait.span), lasting(seconds))
}
