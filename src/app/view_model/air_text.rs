//! What the room says on the bench: the air, what it did to the wait that runs, and what it means for sealing.

use super::context::{ViewContext, pick_rotating};
use crate::app::model::Model;
use crate::text;
use crate::units::Moment;
use crate::work::advice::{cautions, waits};
use crate::work::air::AirReading;
use crate::work::panel::event::Stage;
use crate::work::panel::story::PanelStory;
use chrono::TimeZone;
use std::fmt::Display;

/// The air that holds, and since when: "20 C 55% since 13:40".
pub(super) fn format_air<Z: TimeZone<Offset: Display>>(model: &Model, at: &ViewContext<'_, Z>) -> String {
    if model.studio.air.fault().is_some() {
        return "air: damaged, see verify".to_owned();
    }
    let told = |r: &AirReading| {
        let since = text::format_when(r.at, at.now.wall, at.zone);
        format!("{} {} since {since}", text::format_temperature(r.temp, at.units), text::format_humidity(r.rh))
    };
    model.studio.air.reading_as_of(at.now.wall).map(told).unwrap_or_default()
}

/// On what the wait that runs rests, and the maker's own time beside it, by turns.
pub(super) fn describe_wait_basis(model: &Model, story: &PanelStory, now: Moment) -> String {
    let said = waits::wait_advice(story.panel(), &model.studio.air, &model.studio.learned);
    pick_rotating(model, &said.tips, now).map(|tip| tip.text.to_string()).unwrap_or_default()
}

/// What is missing to tell the maker's own time.
pub(super) fn describe_missing_data(model: &Model, story: &PanelStory) -> Option<String> {
    let said = waits::wait_advice(story.panel(), &model.studio.air, &model.studio.learned);
    said.missing_tip.map(|tip| tip.text.to_string())
}

/// The cautions of the stage by turns; before sealing, dew and damp first.
pub(super) fn pick_caution(
    model: &Model,
    story: &PanelStory,
    hand: Option<Stage>,
    now: Moment,
    units: text::UnitSystem,
) -> String {
    let Some(hand) = hand else { return String::new() };
    let panel = story.panel();
    let dew =
        waits::sealing_tip(&hand, model.studio.air.reading_as_of(now.wall), units).map(|tip| tip.text.to_string());
    let usual = cautions::stage_cautions(&hand, panel.recipe(), panel.opened().paint);
    let all: Vec<String> = dew.into_iter().chain(usual.iter().map(|c| c.text.to_owned())).collect();
    pick_rotating(model, &all, now).cloned().unwrap_or_default()
}
