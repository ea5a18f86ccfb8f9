//! What the room says on the bench: the air, what it did to the wait that runs, and what it means for sealing.

use super::{View, turn};
use crate::text::{self, Units};
use crate::units::Moment;
use crate::work::advice::{cautions, waits};
use crate::work::panel::event::Stage;
use crate::work::panel::story::Story;

/// The air that holds: "20 C 55%".
pub(super) fn air(view: &View, now: Moment, units: Units) -> String {
    let reading = view.room.air.as_of(now.wall);
    reading.map_or_else(String::new, |r| format!("{} {}", text::temperature(r.temp, units), text::humidity(r.rh)))
}

/// On what the wait that runs rests, and the maker's own time beside it, by turns.
pub(super) fn of_wait(view: &View, story: &Story, now: Moment) -> String {
    let said = waits::waits(story.panel(), &view.room.air, &view.room.learned);
    turn(view, &said.beside, now).map(|tip| tip.text.to_string()).unwrap_or_default()
}

/// What is missing to tell the maker's own time.
pub(super) fn missing(view: &View, story: &Story) -> Option<String> {
    let said = waits::waits(story.panel(), &view.room.air, &view.room.learned);
    said.missing.map(|tip| tip.text.to_string())
}

/// The cautions of the stage by turns; before sealing, dew and damp first.
pub(super) fn caution(view: &View, story: &Story, hand: Option<Stage>, now: Moment) -> String {
    let Some(hand) = hand else { return String::new() };
    let panel = story.panel();
    let dew = waits::before_sealing(&hand, view.room.air.as_of(now.wall)).map(|tip| tip.text.to_string());
    let usual = cautions::cautions(&hand, panel.recipe(), panel.opened().paint);
    let all: Vec<String> = dew.into_iter().chain(usual.iter().map(|c| c.text.to_owned())).collect();
    turn(view, &all, now).cloned().unwrap_or_default()
}
