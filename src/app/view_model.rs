//! Makes the view model of the bench from what is true: stories and a moment in, a `BenchViewModel` out. The moment and the
//! zone are handed in.

mod advice_page;
mod air_text;
mod context;
mod cross_section;
mod making;
mod overlays;
mod pots;
mod queue_page;
mod rehearsal_guidance;
mod round;
mod status_line;

pub use advice_page::build_advice_page;
pub use context::ViewContext;
pub use making::build_making_view_model;
pub use overlays::{
    build_form_view_model, build_keys_view_model, build_map_view_model, build_sitting_view_model,
    build_story_view_model,
};
pub use pots::build_pots_page;
pub use queue_page::{build_pass_sheet, build_queue_page};
pub use round::format_soonest_call;
pub use status_line::SAVING_AFTER;

use super::bench_view_model::{
    ActViewModel, BenchViewModel, CrossSectionViewModel, PanelHeader, RackLine, RecentFactViewModel, TimerKind,
    TimerViewModel, Urgency,
};
use super::keymap::KeyHint;
use super::message::{InputMode, Message};
use super::model::{Model, find_lows_for};
use crate::bench::{Snapshot, trusted_now};
use crate::text::{self, UnitSystem, format_countdown, format_hhmm, format_weekday_hhmm, format_when, sanitize};
use crate::units::{Moment, NameKey, Span};
use crate::work::advice::{lateness, stages, wait_calls, words};
use crate::work::panel::event::{PanelCall, Stage, StageKind};
use crate::work::panel::phase::{PanelPhase, PanelStatus};
use crate::work::panel::story::PanelStory;
use advice_page::collect_tips;
use chrono::TimeZone;
use context::pick_rotating;
use status_line::build_status_line;
use std::fmt::Display;

/// The wait is nearly over for this long before it ends.
const SOON: Span = Span::from_s(120);

/// The view model of the panel shown; none where the bench is empty.
pub fn build_bench_view_model<Z: TimeZone<Offset: Display>>(
    model: &Model,
    at: &ViewContext<'_, Z>,
) -> Option<BenchViewModel> {
    let story = model.story()?;
    let at = &ViewContext { now: trusted_now(story, at.now), ..*at };
    let panel = story.panel();
    let status = panel.status(at.now);
    let hand = status.stage_shown();
    let rests = is_long_rest(&status);
    let act = if rests { build_idle_act(&status) } else { build_act(story, hand, &status, model.direction_turned) };
    let missing = air_text::describe_missing_data(model, story).filter(|_| status.phase == PanelPhase::Waiting);
    let outlook = round::build_round_outlook(model, at);
    let tips = collect_tips(story, &status, hand, at).into_iter().map(|tip| tip.text.to_string());
    let hands = Some(outlook.hands.clone()).filter(|words| !words.is_empty());
    let tips: Vec<String> = hands.into_iter().chain(tips).chain(missing).collect();
    Some(BenchViewModel {
        header: build_panel_header(story, at.units),
        block_name: round::headline_name(model.shown_panel().map(|t| model.block_name(&t.id)), panel, hand),
        block_card: round::build_block_card(model, story, &status, &act.block, at.now),
        places: round::build_places(model, at.now),
        queue: round::build_queue_items(model, at.now),
        session_end: outlook.end,
        hands_advice: outlook.hands,
        pot_band: round::build_pot_band(model, at.now),
        call_band: round::build_call_band(model, at.now),
        clock: format_weekday_hhmm(at.now.wall, at.zone),
        phase: status.phase,
        urgency: compute_urgency(model, &status),
        timer: build_timer(&status, at.now),
        due: format_due(story, &status, at),
        explanation: explain_status(model, story, &status, at),
        cross_section: CrossSectionViewModel {
            wood: cross_section::format_wood(panel, at.units),
            front: cross_section::build_front_layers(story, at),
            back: cross_section::build_back_layers(story, at),
        },
        remark: pots::format_remark(model, at.now),
        pots: pots::build_pots(model, story, &status, at),
        rack: build_rack(model, at.now),
        air: air_text::format_air(model, at),
        inspections_due: format_inspections_due(model),
        next_act: if rests { format_next_act(status.next_stage) } else { describe_next_act(story, &status, hand) },
        guidance: rehearsal_guidance::build_guidance(model, &status, hand),
        tip: pick_rotating(model, &tips, at.now).cloned().unwrap_or_default(),
        caution: air_text::pick_caution(model, story, hand, at.now, at.units),
        keys: build_key_hints(model, &status, hand, at.now),
        status_line: build_status_line(model, at.now),
        confirmation: model.confirmation.as_ref().map(|q| q.text.clone()),
        recent_fact: build_recent_fact(model, at),
        distance_mode: model.distance_mode,
        act,
    })
}

fn build_panel_header(story: &PanelStory, units: UnitSystem) -> PanelHeader {
    let opened = story.panel().opened();
    PanelHeader {
        label: opened.label.clone(),
        size_mm: (opened.size.width.mm(), opened.size.height.mm()),
        size: text::format_size(opened.size, units),
        support: words::support_text(opened.support).to_owned(),
        recipe: opened.recipe.name.clone(),
    }
}

fn build_act(story: &PanelStory, hand: Option<Stage>, status: &PanelStatus, turned: bool) -> ActViewModel {
    let opened = story.panel().opened();
    let Some(stage) = hand else { return build_idle_act(status) };
    let stage = Stage { direction: stage.direction.map(|d| if turned { d.perpendicular() } else { d }), ..stage };
    let said = words::act_words(&stage, &opened.recipe, &opened.size);
    let how = stages::stage_tips(&stage, opened, None).first().map(|tip| tip.text.to_string());
    ActViewModel {
        kind: stage.kind,
        face: stage.face,
        direction: stage.direction,
        verb: said.verb.to_owned(),
        block: said.block,
        object: said.object,
        total: said.total_text.unwrap_or_default(),
        orientation: said.direction_text.unwrap_or_default().to_owned(),
        how: how.unwrap_or_default(),
        lows: find_lows_for(&stage, story.panel()),
    }
}

/// Whether a wait of hours runs that is an act of its own. Whoever sees its name across the room does not begin what comes
/// after it by mistake; between coats the next act is what has to be seen.
fn is_long_rest(status: &PanelStatus) -> bool {
    status.phase == PanelPhase::Waiting && status.stage.is_some_and(|s| s.kind.row().shown_while_running.is_some())
}

/// What is said where nothing is to be done.
fn build_idle_act(status: &PanelStatus) -> ActViewModel {
    let (verb, object, block) = match status.phase {
        PanelPhase::Abandoned => ("Given up", "", "GIVEN UP".to_owned()),
        PanelPhase::Waiting => {
            let rests = status.stage.and_then(|s| s.kind.row().shown_while_running).unwrap_or("rest");
            ("Let it", rests, format!("LET IT {}", rests.to_uppercase()))
        }
        PanelPhase::Finished | PanelPhase::Ready | PanelPhase::Working => {
            ("Ready", "to paint on", "READY TO PAINT".to_owned())
        }
    };
    ActViewModel {
        kind: StageKind::Sand,
        face: None,
        direction: None,
        verb: verb.to_owned(),
        block,
        object: object.to_owned(),
        total: String::new(),
        orientation: String::new(),
        how: String::new(),
        lows: None,
    }
}

fn compute_urgency(model: &Model, status: &PanelStatus) -> Urgency {
    let ours = model.ringing_alarms().iter().any(|a| model.shown_panel().is_some_and(|p| p.id == a.id));
    match (status.phase, status.time_left) {
        (PanelPhase::Ready | PanelPhase::Finished, _) if ours => Urgency::Ringing,
        (PanelPhase::Ready, Some(_)) => Urgency::Overdue,
        (PanelPhase::Waiting, Some(left)) if left <= SOON => Urgency::Soon,
        (PanelPhase::Waiting, _) => Urgency::Counting,
        (PanelPhase::Working, _) => Urgency::Counting,
        (PanelPhase::Ready, None) | (PanelPhase::Finished | PanelPhase::Abandoned, _) => Urgency::Idle,
    }
}

fn build_timer(status: &PanelStatus, now: Moment) -> Option<TimerViewModel> {
    let whole = |span: Span, up: bool| (span.abs().ms() + if up { 999 } else { 0 }).max(0) as u64 / 1000;
    match (status.phase, status.time_left, status.wait) {
        (PanelPhase::Waiting, Some(left), wait) => {
            let gone = wait.map(|w| 1.0 - left.seconds() / w.span.seconds().max(1.0));
            Some(TimerViewModel { seconds: whole(left, true), kind: TimerKind::Remaining, progress: gone })
        }
        (PanelPhase::Ready, Some(left), _) => {
            Some(TimerViewModel { seconds: whole(left, false), kind: TimerKind::Overdue, progress: Some(1.0) })
        }
        (PanelPhase::Working, ..) => Some(TimerViewModel {
            seconds: whole(now.wall - status.since, false),
            kind: TimerKind::Elapsed,
            progress: None,
        }),
        (PanelPhase::Waiting | PanelPhase::Ready | PanelPhase::Finished | PanelPhase::Abandoned, ..) => None,
    }
}

/// What stands under the digits.
fn format_due<Z: TimeZone<Offset: Display>>(
    story: &PanelStory,
    status: &PanelStatus,
    at: &ViewContext<'_, Z>,
) -> String {
    let told = |stamp| format_when(stamp, at.now.wall, at.zone);
    match (status.phase, status.due_at) {
        (PanelPhase::Waiting, Some(due)) => {
            let look = wait_calls::wait_calls(story.panel(), status)
                .into_iter()
                .find(|(call, _)| *call == PanelCall::LookDull);
            match look {
                Some((_, look)) => format!("look for dull from {}, due {}", told(look), told(due)),
                None => format!("until {}", told(due)),
            }
        }
        (PanelPhase::Ready, Some(due)) => format!("was due {}", told(due)),
        (PanelPhase::Working, _) => format!("since {}", told(status.since)),
        (PanelPhase::Waiting | PanelPhase::Ready, None) | (PanelPhase::Finished | PanelPhase::Abandoned, _) => {
            String::new()
        }
    }
}

/// What being late, or away, means; while a wait runs, on what it rests.
fn explain_status<Z: TimeZone<Offset: Display>>(
    model: &Model,
    story: &PanelStory,
    status: &PanelStatus,
    at: &ViewContext<'_, Z>,
) -> String {
    if let Some(away) = status.away_since {
        let back = model.keymap().label(&Message::ToggleAway, InputMode::Bench);
        return format!("away since {}; {back} to be back", format_hhmm(away, at.zone));
    }
    match status.phase {
        PanelPhase::Ready => {
            lateness::current_wait_tip(story.panel(), at.now).map(|tip| tip.text.to_string()).unwrap_or_default()
        }
        PanelPhase::Abandoned => story.panel().abandon_reason().map(sanitize).unwrap_or_default(),
        PanelPhase::Waiting => air_text::describe_wait_basis(model, story, at.now),
        PanelPhase::Working | PanelPhase::Finished => String::new(),
    }
}

fn describe_next_act(story: &PanelStory, status: &PanelStatus, hand: Option<Stage>) -> String {
    let after = match status.phase {
        PanelPhase::Waiting => hand.and_then(|h| {
            let mut stages = story.panel().stages().skip_while(move |s| !s.is_same_slot(&h));
            stages.nth(1)
        }),
        PanelPhase::Ready | PanelPhase::Working => status.next_stage,
        PanelPhase::Finished | PanelPhase::Abandoned => None,
    };
    format_next_act(after)
}

fn format_next_act(after: Option<Stage>) -> String {
    after.map_or_else(String::new, |stage| match stage.direction {
        Some(direction) => format!("then {stage}, {}", direction.name()),
        None => format!("then {stage}"),
    })
}

/// The other panels, the soonest call first.
fn build_rack(model: &Model, now: Moment) -> Vec<RackLine> {
    let others = model.snapshots().iter().enumerate().filter(|(i, _)| *i != model.shown_index());
    let mut lines: Vec<_> = others.filter_map(|(_, snapshot)| build_rack_line(snapshot, now)).collect();
    lines.sort_by(|(a, one), (b, other)| (a, NameKey(&one.label)).cmp(&(b, NameKey(&other.label))));
    lines.into_iter().map(|(_, line)| line).collect()
}

/// How soon a panel calls, and its line.
fn build_rack_line(snapshot: &Snapshot, now: Moment) -> Option<(Span, RackLine)> {
    let story = snapshot.story.as_ref()?;
    let now = trusted_now(story, now);
    let status = story.panel().status(now);
    let hand = status.stage_to_record();
    let blocked = snapshot.damage.as_ref().filter(|d| d.kind.is_blocking());
    let said = match status.phase {
        PanelPhase::Waiting if status.stage.is_some_and(|s| s.kind.ends_by_itself()) => status.stage,
        PanelPhase::Waiting | PanelPhase::Ready | PanelPhase::Working => hand,
        PanelPhase::Finished | PanelPhase::Abandoned => None,
    };
    let act = match (said, blocked) {
        (_, Some(damage)) if damage.kind.is_damage() => "damaged, see verify".to_owned(),
        (_, Some(_)) => "newer version, see verify".to_owned(),
        (Some(stage), None) => stage.to_string(),
        (None, None) => status.phase.name().to_owned(),
    };
    let time = match (status.phase, status.time_left) {
        (PanelPhase::Working, _) => "under way".to_owned(),
        (_, Some(left)) => format_countdown(left),
        (PanelPhase::Ready, None) => "now".to_owned(),
        (PanelPhase::Waiting | PanelPhase::Finished | PanelPhase::Abandoned, None) => String::new(),
    };
    let over = status.phase == PanelPhase::Ready && status.time_left.is_some();
    let soon = status.time_left.unwrap_or(Span::from_h(24.0 * 365.0));
    let direction = said.and_then(|s| s.direction);
    Some((soon, RackLine { label: story.panel().opened().label.clone(), act, direction, time, overdue: over }))
}

/// The keys worth naming now.
fn build_key_hints(model: &Model, status: &PanelStatus, hand: Option<Stage>, now: Moment) -> Vec<KeyHint> {
    let key = |message, words: &str| model.keymap().hint_as(InputMode::Bench, &[message], words);
    let mut keys = Vec::new();
    match status.phase {
        PanelPhase::Ready | PanelPhase::Working | PanelPhase::Waiting => {
            let does = match hand.map(|h| h.kind) {
                Some(_) if status.asks_grain => "no grain",
                Some(StageKind::Check) => "map",
                Some(kind) if kind.is_layer() => "laid",
                Some(_) => "done",
                None => "",
            };
            if !does.is_empty() {
                keys.push(key(Message::RecordDone, does));
            }
            if status.asks_grain {
                keys.push(key(Message::Extra, "one more coat"));
            } else if status.phase == PanelPhase::Ready {
                keys.push(key(Message::RecordStart, "begin"));
            }
        }
        PanelPhase::Finished => keys.extend([key(Message::OpenSitting, "look over"), key(Message::Extra, "one more")]),
        PanelPhase::Abandoned => {}
    }
    if status.stage.is_some_and(|s| s.kind.is_gesso()) && status.phase == PanelPhase::Waiting {
        keys.push(key(Message::RecordDull, "gone dull"));
    }
    let pot = model.current_pot().and_then(|t| t.story.as_ref());
    if let Some(story) = pot {
        keys.push(key(Message::ToggleBath, if story.pot().current_bath().is_some() { "pot out" } else { "pot in" }));
    }
    keys.push(key(Message::Undo, format!("take back {}", model.undo_name(now).unwrap_or_default()).trim()));
    // With a pot in use the line is full, and the list of keys tells of the rest.
    if pot.is_none() {
        keys.push(key(Message::ToggleDistanceMode, "far"));
    }
    keys.extend([key(Message::ShowKeys, "every key"), key(Message::Leave, "leave")]);
    keys
}

/// What is said of finished panels to be looked over, and the key that leads there.
fn format_inspections_due(model: &Model) -> Vec<String> {
    let key = model.keymap().label(&Message::OpenSitting, InputMode::Bench);
    model.studio.reminders.due_messages().iter().map(|due| format!("{due}: key {key}")).collect()
}

fn build_recent_fact<Z: TimeZone<Offset: Display>>(
    model: &Model,
    at: &ViewContext<'_, Z>,
) -> Option<RecentFactViewModel> {
    let pressed = model.recent_fact.as_ref()?;
    let stamp = pressed.at - Span::from_min(f64::from(pressed.back_min));
    let ago = match pressed.back_min {
        0 => "just now".to_owned(),
        n => format!("{n} min earlier"),
    };
    Some(RecentFactViewModel {
        name: model.block_name(&pressed.id),
        what: words::format_past(&pressed.stage),
        at: format_hhmm(stamp, at.zone),
        ago,
    })
}

/// What is left to say when the bench is left: each panel's next act and its time.
pub fn summarize_panels<Z: TimeZone<Offset: Display>>(model: &Model, at: &ViewContext<'_, Z>) -> Vec<String> {
    let line = |snapshot: &Snapshot| {
        let story = snapshot.story.as_ref()?;
        let now = trusted_now(story, at.now);
        let status = story.panel().status(now);
        let label = sanitize(&story.panel().opened().label);
        let due = status.due_at.map(|due| format_when(due, now.wall, at.zone));
        let hand = status.stage_to_record().map(|stage| match stage.direction {
            Some(direction) => format!("{stage}, {}", direction.name()),
            None => stage.to_string(),
        });
        Some(match (status.phase, hand, due) {
            (PanelPhase::Finished, ..) => format!("{label}: finished"),
            (PanelPhase::Abandoned, ..) => format!("{label}: given up"),
            (PanelPhase::Working, Some(hand), _) => format!("{label}: {hand} is under way"),
            (PanelPhase::Ready, Some(hand), Some(due)) => format!("{label}: {hand}, due since {due}"),
            (PanelPhase::Ready, Some(hand), None) => format!("{label}: {hand}, now"),
            (_, Some(hand), Some(due)) => format!("{label}: {hand} at {due}"),
            (_, None, Some(due)) => format!("{label}: rests until {due}"),
            (_, _, None) => label,
        })
    };
    model.snapshots().iter().filter_map(line).collect()
}
