//! What the bench says of a round: the boards in their places, what comes, the bands along the lower edge, and what takes
//! the place of the act in block letters.

use super::context::ViewContext;
use crate::app::bench_view_model::{BandViewModel, BlockCard, PlaceViewModel, QueueItem};
use crate::app::block_names::fit_block_line;
use crate::app::message::{InputMode, Message};
use crate::app::model::{Alarm, Model};
use crate::bench::trusted_now;
use crate::text::format_countdown;
use crate::units::Moment;
use crate::work::advice::{stages, wait_calls};
use crate::work::panel::adjusted_wait::DryingEstimate;
use crate::work::panel::event::{PanelCall, Stage};
use crate::work::panel::phase::{PanelPhase, PanelStatus};
use crate::work::panel::state::Panel;
use crate::work::panel::story::PanelStory;
use crate::work::plan::board_load::{BoardLoad, WaitFactors};
use crate::work::plan::hands::HandsAdvice;
use crate::work::plan::queue::{PotNeed, QueueEntry, QueuedAct};
use crate::work::plan::session_end::SessionEnd;
use chrono::TimeZone;
use std::fmt::Display;

/// The boards in their places; none where there is only one.
pub(super) fn build_places(model: &Model, now: Moment) -> Vec<PlaceViewModel> {
    if model.board_count() < 2 {
        return Vec::new();
    }
    let place = |(at, name): (usize, &String)| {
        let story = model.snapshots().get(at)?.story.as_ref()?;
        let status = story.panel().status(trusted_now(story, now));
        let is_due = matches!(status.phase, PanelPhase::Ready | PanelPhase::Working);
        Some(PlaceViewModel {
            name: capitalize(name),
            time: format_board_time(&status),
            is_shown: at == model.shown_index(),
            is_due,
        })
    };
    model.block_names().iter().enumerate().filter_map(place).collect()
}

/// The name before the act in block letters: of a board of a trial also the jar its gesso comes from, "T7 POT C", since
/// the next board in the round may come from another.
pub(super) fn headline_name(name: Option<String>, panel: &Panel, stage: Option<Stage>) -> String {
    let name = name.unwrap_or_default();
    match jar_of(panel, stage) {
        Some(jar) if name.is_empty() => format!("POT {jar}"),
        Some(jar) => format!("{name} POT {jar}"),
        None => name,
    }
}

/// The jar from which that coat of a board of a trial is laid.
fn jar_of(panel: &Panel, stage: Option<Stage>) -> Option<char> {
    let trial = panel.opened().trial.as_ref()?;
    stage.filter(|stage| stage.kind.is_gesso()).and_then(|_| trial.jar_letter())
}

/// A block name as it stands among small letters.
fn capitalize(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| first.to_string() + &letters.as_str().to_lowercase())
}

/// When a board wants somebody.
fn format_board_time(status: &PanelStatus) -> String {
    match (status.phase, status.time_left) {
        (PanelPhase::Working, _) => "in hand".to_owned(),
        (PanelPhase::Finished, _) => "finished".to_owned(),
        (PanelPhase::Abandoned, _) => "given up".to_owned(),
        (PanelPhase::Ready | PanelPhase::Waiting, Some(left)) => format_countdown(left),
        (PanelPhase::Ready | PanelPhase::Waiting, None) => "ready".to_owned(),
    }
}

/// What comes, in order, without the board on the screen.
pub(super) fn build_queue_items(model: &Model, now: Moment) -> Vec<QueueItem> {
    let shown = model.shown_panel().map(|t| &t.id);
    let entries = model.queue(now);
    entries.iter().filter(|entry| Some(&entry.id) != shown).map(|entry| build_queue_item(model, entry, now)).collect()
}

/// One of what comes.
pub(super) fn build_queue_item(model: &Model, entry: &QueueEntry, now: Moment) -> QueueItem {
    let time = match (entry.is_ready, entry.due_at) {
        (true, _) => "now".to_owned(),
        (false, Some(at)) => format_countdown(at - now.wall),
        (false, None) => String::new(),
    };
    match entry.act {
        QueuedAct::Board(stage) => {
            let name = model.block_name(&entry.id);
            let name = if name.is_empty() { entry.label.clone() } else { capitalize(&name) };
            let story = model.snapshots().iter().find(|t| t.id == entry.id).and_then(|t| t.story.as_ref());
            let jar = story.and_then(|story| jar_of(story.panel(), Some(stage)));
            QueueItem {
                name,
                what: jar.map_or_else(|| stage.to_string(), |jar| format!("{stage}, pot {jar}")),
                direction: stage.direction,
                time,
                is_now: entry.is_ready,
                is_pot: false,
            }
        }
        QueuedAct::Pot(need) => QueueItem {
            name: "POT".to_owned(),
            what: pot_word(need).to_owned(),
            direction: None,
            time,
            is_now: entry.is_ready,
            is_pot: true,
        },
    }
}

/// What a pot wants, behind "POT" in block letters.
const fn pot_word(need: PotNeed) -> &'static str {
    match need {
        PotNeed::OutOfBath => "OUT",
        PotNeed::IntoBath => "IN",
        PotNeed::ThinBowl => "BOWL",
        PotNeed::Melt => "MELT",
    }
}

/// What stays in sight under whatever lies over the bench: the soonest call over all, in words, and whether its time has
/// come. Empty where nothing comes.
pub fn format_soonest_call(model: &Model, now: Moment) -> (String, bool) {
    let entries = model.queue(now);
    let Some(entry) = entries.first() else { return (String::new(), false) };
    let item = build_queue_item(model, entry, now);
    let what = if item.is_pot { item.what.to_lowercase() } else { item.what };
    let way = item.direction.map_or_else(String::new, |way| format!(", {}", way.name()));
    (format!("{}: {what}{way}, {}", item.name, item.time), item.is_now)
}

/// The pot's own band.
pub(super) fn build_pot_band(model: &Model, now: Moment) -> Option<BandViewModel> {
    let (id, need, at) = model.pot_in_band(now)?;
    let is_calling = at <= now.wall;
    let time = if is_calling { "NOW".to_owned() } else { format_countdown(at - now.wall) };
    let key = model.keymap().label(&Message::ToggleBath, InputMode::Bench);
    let story = model.pot_survey().pots.iter().find(|t| t.id == id).and_then(|t| t.story.as_ref());
    let label = story.map_or("", |s| s.pot().opened().label.as_str());
    Some(BandViewModel {
        text: format!("POT {} {time}", pot_word(need)),
        explanation: format!("{key}: {} {}", label, need.words()),
        is_calling,
    })
}

/// Another board that rings while this one is shown.
pub(super) fn build_call_band(model: &Model, now: Moment) -> Option<BandViewModel> {
    let shown = model.shown_panel().map(|t| &t.id);
    let ringing = model.ringing_alarms();
    let of_other = |a: &&&Alarm| a.is_board_call() && Some(&a.id) != shown;
    let Some(alarm) = ringing.iter().rev().find(of_other) else {
        // The call for the pot before a coat has no band of its own while the pot wants nothing but its bowl.
        let calls_for_pot = |a: &&&Alarm| !a.is_board_call() && a.pot_call().is_none();
        return ringing.iter().find(calls_for_pot).filter(|_| model.pot_in_band(now).is_none()).map(|_| {
            BandViewModel {
                text: "SEE TO THE POT".to_owned(),
                explanation: "any key quiets it".to_owned(),
                is_calling: true,
            }
        });
    };
    let name = model.block_name(&alarm.id);
    let text = match alarm.call {
        PanelCall::LookDull => fit_block_line(&name, "IS IT DULL?"),
        PanelCall::Due | PanelCall::Pot => fit_block_line(&name, "NOW"),
    };
    let in_hand = model.is_board_in_hand(now);
    let explanation = if in_hand { "any key quiets it; this board stays" } else { "any key quiets it and shows it" };
    Some(BandViewModel { text, explanation: explanation.to_owned(), is_calling: true })
}

/// What is asked, or must be known, in the place of the act; none where the act stands there.
pub(super) fn build_block_card(
    model: &Model,
    story: &PanelStory,
    status: &PanelStatus,
    block_act: &str,
    now: Moment,
) -> Option<BlockCard> {
    let key = |message| model.keymap().label(&message, InputMode::Bench);
    let name = model.shown_panel().map(|t| model.block_name(&t.id)).unwrap_or_default();
    if let Some(asked) = model.confirmation.as_ref().filter(|q| !q.lines.is_empty()) {
        return Some(BlockCard { lines: asked.lines.clone(), explanation: asked.text.clone(), is_warning: true });
    }
    if status.asks_grain {
        let (more, none) = (key(Message::Extra), key(Message::RecordDone));
        let explanation = format!("{more}: yes, one more coat; {none}: no, go on");
        return Some(named_card(&name, "GRAIN SHOWS?", explanation));
    }
    if is_look_time(story, status, now) {
        let explanation = format!("{}: yes, lay it now; not yet: leave it", key(Message::RecordDull));
        return Some(named_card(&name, "IS IT DULL?", explanation));
    }
    let stage = status.stage_to_record()?;
    let is_due = matches!(status.phase, PanelPhase::Ready | PanelPhase::Working);
    let warning = model.find_objection(status, now).filter(|_| is_due);
    if let Some(objection) = warning {
        let lines = vec![fit_block_line(&name, block_act), objection.word().to_owned()];
        return Some(BlockCard { lines, explanation: objection.to_string(), is_warning: true });
    }
    let turn = stages::turn_over_tip(&stage, story.panel().recipe()).filter(|_| is_due)?;
    let lines = vec![fit_block_line(&name, block_act), turn.block.to_owned()];
    Some(BlockCard { lines, explanation: turn.tip.text.to_string(), is_warning: false })
}

fn named_card(name: &str, words: &str, explanation: String) -> BlockCard {
    let whole = format!("{name} {words}");
    let lines = match name {
        "" => vec![words.to_owned()],
        _ if whole.chars().count() <= 16 => vec![whole],
        _ => vec![name.to_owned(), words.to_owned()],
    };
    BlockCard { lines, explanation, is_warning: false }
}

/// Whether it is time to look for the dull sign, and nobody said yet that it is there.
fn is_look_time(story: &PanelStory, status: &PanelStatus, now: Moment) -> bool {
    let looks = wait_calls::wait_calls(story.panel(), status);
    status.phase == PanelPhase::Waiting
        && looks.iter().any(|(call, at)| *call == PanelCall::LookDull && *at <= now.wall)
}

/// What a round comes to.
pub(super) struct RoundOutlook {
    /// When it ends: "last coat of all four about 16:05"; empty where nothing is laid.
    pub end: String,
    /// How many boards the hands keep going, how to start them, and when two fall due together; empty with one board.
    pub hands: String,
}

/// What the round comes to, in the air of the room and by the minutes the maker takes.
pub(super) fn build_round_outlook<Z: TimeZone<Offset: Display>>(
    model: &Model,
    at: &ViewContext<'_, Z>,
) -> RoundOutlook {
    let now = at.now;
    let air = model.studio.air.reading_as_of(now.wall);
    let drying = DryingEstimate::from_air(air.map(|r| (r.temp, r.rh)));
    let factors = WaitFactors::from_estimate(drying, false);
    let stories = model.snapshots().iter().filter_map(|t| t.story.as_ref());
    let panels = stories.map(|story| (story.panel(), trusted_now(story, now)));
    let loads = BoardLoad::from_panels(panels, &model.studio.learned, factors);
    let end = SessionEnd::from_loads(&loads, model.hands(), factors.is_some(), now.wall);
    let advice = HandsAdvice::from_loads(&loads, model.hands(), now.wall).filter(|advice| advice.boards > 1);
    let hands = advice.map(|advice| {
        let keeps = (!advice.has_begun).then(|| advice.keeps_text());
        let said = [keeps, advice.stagger_text(), advice.clash_text(now.wall, at.zone)];
        said.into_iter().flatten().collect::<Vec<_>>().join("; ")
    });
    RoundOutlook {
        end: end.map(|end| end.line(now.wall, at.zone)).unwrap_or_default(),
        hands: hands.unwrap_or_default(),
    }
}
