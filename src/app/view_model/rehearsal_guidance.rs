//! The sentence that leads a newcomer through a rehearsal: what the step is for, and the key that does it.

use crate::app::keymap::Keymap;
use crate::app::message::{InputMode, Message};
use crate::app::model::Model;
use crate::text::format_duration;
use crate::units::Span;
use crate::work::advice::rehearsal::{RoundStep, rehearsal_line, round_line, time_passing_line};
use crate::work::panel::event::{PanelCall, Stage, StageKind};
use crate::work::panel::phase::{PanelPhase, PanelStatus};
use crate::work::pot::event::PotKind;

/// The sentence for where the panel stands; empty outside a rehearsal.
pub(super) fn build_guidance(model: &Model, status: &PanelStatus, hand: Option<Stage>) -> String {
    let Some(pace) = model.rehearsal_pace() else { return String::new() };
    if let Some(call) = model.ringing_alarms().last().map(|a| a.call) {
        return describe_ringing(call, model.keymap());
    }
    if let Some(line) = describe_round(model, status, hand) {
        return line;
    }
    match (status.phase, hand) {
        (PanelPhase::Ready, Some(stage)) => describe_ready(&stage, model.keymap()),
        (PanelPhase::Working, Some(stage)) => {
            format!("The clock now counts the work itself. {}", describe_record_key(stage.kind, model.keymap()))
        }
        (PanelPhase::Waiting, _) => describe_waiting(status, pace, model.keymap()),
        (PanelPhase::Abandoned, _) => format!(
            "This panel is given up. Nothing of it is kept; {} leaves.",
            bench_key(model.keymap(), &Message::Leave)
        ),
        (PanelPhase::Finished | PanelPhase::Ready | PanelPhase::Working, _) => {
            let leave = bench_key(model.keymap(), &Message::Leave);
            format!(
                "That was a whole panel, and nothing of it is kept. {leave} leaves; `sottile` opens the bench for one of \
                 your own."
            )
        }
    }
}

/// What a round of several boards asks for, before what the board does: the pot, the arrows, the next board.
fn describe_round(model: &Model, status: &PanelStatus, hand: Option<Stage>) -> Option<String> {
    if model.snapshots().len() < 2 {
        return None;
    }
    let key = |message: Message| bench_key(model.keymap(), &message);
    let pot = model.current_pot().and_then(|t| t.story.as_ref()).map(|story| story.pot());
    let gesso = hand.filter(|stage| stage.kind.is_gesso() && status.phase == PanelPhase::Ready).and(pot);
    let step = match (gesso, hand.map(|stage| stage.kind)) {
        (Some(pot), _) if pot.current_bath().is_some() => RoundStep::PotInBath,
        (Some(pot), _) if pot.opened().kind == PotKind::Gesso && pot.baths().is_empty() => RoundStep::MeltPot,
        (_, _) if model.recent_fact.is_some() => RoundStep::JustPressed,
        (_, Some(StageKind::Prepare)) if status.phase == PanelPhase::Ready => RoundStep::Begin,
        (_, _) => return None,
    };
    let about = match step {
        RoundStep::Begin => key(Message::NextPanel),
        RoundStep::JustPressed => {
            model.keymap().hint_as(InputMode::Bench, &[Message::Left, Message::Right], "").key().to_owned()
        }
        RoundStep::MeltPot | RoundStep::PotInBath => key(Message::ToggleBath),
    };
    let line = round_line(step, &about);
    let leads = match step {
        RoundStep::Begin => hand.map(|stage| describe_ready(&stage, model.keymap())),
        RoundStep::JustPressed => hand.map(|stage| describe_record_key(stage.kind, model.keymap())),
        RoundStep::MeltPot | RoundStep::PotInBath => None,
    };
    Some(leads.map_or(line.clone(), |leads| format!("{line} {leads}")))
}

fn bench_key(keymap: &Keymap, message: &Message) -> String {
    keymap.label(message, InputMode::Bench)
}

fn describe_ready(stage: &Stage, keymap: &Keymap) -> String {
    let line = rehearsal_line(stage);
    let leave = bench_key(keymap, &Message::Leave);
    let welcome = match stage.kind {
        StageKind::Prepare => {
            format!("Practice: nothing of it is kept, minutes pass in seconds, {leave} leaves at any time. ")
        }
        _ => String::new(),
    };
    format!("{welcome}{line} {}", describe_record_key(stage.kind, keymap))
}

/// The key that records an act of that kind.
fn describe_record_key(kind: StageKind, keymap: &Keymap) -> String {
    let when = if kind == StageKind::Check {
        "for the map"
    } else if kind.is_layer() {
        "when it is on"
    } else {
        "when it is done"
    };
    format!("{} {when}.", bench_key(keymap, &Message::RecordDone))
}

fn describe_ringing(call: PanelCall, keymap: &Keymap) -> String {
    let message = match call {
        PanelCall::LookDull => {
            let dull = bench_key(keymap, &Message::RecordDull);
            return format!(
                "It rings once: time to look at the gloss. Any key quiets it and does nothing else; then {dull}, once it is \
                 dull."
            );
        }
        PanelCall::Pot => "It rings twice: see to the pot. Any key quiets it and does nothing else.",
        PanelCall::Due => "It rings three times: the next act is due. Any key quiets it and does nothing else.",
    };
    message.to_owned()
}

fn describe_waiting(status: &PanelStatus, pace: f64, keymap: &Keymap) -> String {
    let Some((stage, wait)) = status.stage.zip(status.wait) else { return String::new() };
    let line = if stage.kind.ends_by_itself() { rehearsal_line(&stage) } else { stage.kind.row().wait_line };
    if Model::is_skipped_wait(wait.span) {
        return format!("{} {line}", time_passing_line(wait.span));
    }
    let seconds = Span::from_ms((wait.span.ms() as f64 / pace.max(0.001)) as i64);
    let key = if stage.kind.is_gesso() {
        format!("; {} says that it is dull", bench_key(keymap, &Message::RecordDull))
    } else {
        String::new()
    };
    format!("{line} These {} pass in {}{key}.", format_duration(wait.span), format_duration(seconds))
}
