//! Which calls a running wait has, when, and whether the night silences them.

use crate::config::QuietHours;
use crate::craft::recipe::ReadySign;
use crate::units::{Span, Stamp};
use crate::work::panel::event::PanelCall;
use crate::work::panel::phase::PanelStatus;
use crate::work::panel::state::Panel;
use crate::work::panel::wait::TOLERANCE;

/// The share of a coat's wait after which to begin looking for the dull sign (common practice, no source): 12 of 15 minutes.
pub const LOOK_SHARE: f64 = 0.8;

/// Waits longer than this are silent at night (common practice, no source).
pub const NIGHT_SILENT_OVER: Span = Span::from_s(2 * 3600);

/// The calls of the wait in force, soonest first, each with its time on the wall clock `standing` was taken by. They stay
/// in the list once their time has passed, until something begins: whoever rings asks `Panel::has_raised`, with the `of`
/// of `Panel::current_wait`. A wait the maker ended by the dull sign has none: there is nothing left to call for.
pub fn wait_calls(panel: &Panel, status: &PanelStatus) -> Vec<(PanelCall, Stamp)> {
    let (Some(due), Some(wait)) = (status.due_at, panel.current_wait()) else { return Vec::new() };
    if wait.dull_at.is_some() {
        return Vec::new();
    }
    let gesso = panel.last_done().is_some_and(|(stage, _)| stage.kind.is_gesso());
    let watched = gesso && wait.self_ending_index.is_none() && panel.recipe().coats.ready_sign == ReadySign::Dull;
    let lead = Span::from_min(wait.wait.span.minutes() * (1.0 - LOOK_SHARE));
    let look = (watched && lead > TOLERANCE).then(|| (PanelCall::LookDull, due - lead));
    look.into_iter().chain([(PanelCall::Due, due)]).collect()
}

/// Whether a call of a wait of that length stays silent at that minute of the local day. Waits up to [`NIGHT_SILENT_OVER`]
/// always ring: somebody is at work.
pub fn is_night_silent(wait: Span, minute_of_day: u16, night: Option<QuietHours>) -> bool {
    wait > NIGHT_SILENT_OVER && night.is_some_and(|hours| hours.contains(minute_of_day))
}
