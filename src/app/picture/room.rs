//! What the room says on the bench: the air, what it did to the wait that runs, and what it means for sealing.

use super::{Telling, View, turn};
use crate::text;
use crate::units::Moment;
use crate::work::advice::{cautions, waits};
use crate::work::air::Reading;
use crate::work::panel::event::Stage;
use crate::work::panel::story::Story;
use chrono::TimeZone;
use std::fmt::Display;

/// The air that holds, and since when: "20 C 55% since 13:40".
pub(super) fn air<Z: TimeZone<Offset: Display>>(view: &View, at: &Telling<'_, Z>) -> String {
    let told = |r: &Reading| {
        let since = text::when(r.at, at.now.wall, at.zone);
        format!("{} {} since {since}", text::temperature(r.temp, at.units), text::humidity(r.rh))
    };
    view.room.air.as_of(at.now.wall).map(told).unwrap_or_default()
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
