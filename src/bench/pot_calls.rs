//! When a panel's wait calls for its pot: into the bath, or the bowl to be thinned, early enough for the coat.
//!
//! Absent on purpose: ringing (`app`), the calls a pot raises by itself (`work::pot::phase`).

use super::around::Around;
use super::kept::believed_now;
use crate::config::Night;
use crate::units::{Moment, Span};
use crate::work::advice::calls;
use crate::work::panel::event::{Call, Kind, Stage};
use crate::work::panel::phase::Phase;
use crate::work::panel::story::Story;
use crate::work::pot::event::Kind as PotKind;
use crate::work::pot::fold::Pot;

/// The coat a running wait leads to: the next act, or the one at hand where the ground going dull ended the wait.
fn coming(story: &Story, here: Moment) -> Option<Stage> {
    let standing = story.panel().standing(here);
    let dull = story.panel().wait_in_force().is_some_and(|w| w.dull.is_some());
    match standing.phase {
        Phase::Waiting => standing.next,
        Phase::Ready if dull => standing.stage,
        Phase::Ready | Phase::Working | Phase::Finished | Phase::Abandoned => None,
    }
}

/// Whether that pot is to be seen to for the panel's next coat, and the `seq` of the fact whose wait says so. It is called
/// for once in a wait: before the bath where the pot would not last, else before the bowl is thinned. A ground that went
/// dull moves it forward. Not called for: a bowl that is in hand, because a coat from that pot was laid on another panel a
/// moment ago; a pot in a long wait that ends at night.
pub fn pot_call_due(around: &Around, story: &Story, pot: &Pot, now: Moment, night: Option<Night>) -> Option<u64> {
    let here = believed_now(story, now);
    let wait = story.panel().wait_in_force()?;
    let stage = coming(story, here)?;
    let fits = PotKind::of_stage(stage.kind) == Some(pot.opened().kind) && stage.kind != Kind::Cloth;
    let silent = calls::night_silent(wait.wait.span, here.minute_of_day(), night);
    if !fits || silent || story.panel().was_raised(Call::Pot, wait.of) {
        return None;
    }
    let due = wait.due_at(here);
    let times = pot.for_coat(around.forecast(pot).as_ref(), due)?;
    let in_hand = times.bath_by.is_none() && in_hand(around, story, pot, here);
    let at = times.bath_by.unwrap_or(times.bowl_at);
    (at <= here.wall && !in_hand).then_some(wait.of)
}

/// Whether a coat from that pot was laid on another panel so short a time ago that bowl and brush are still in hand.
fn in_hand(around: &Around, story: &Story, pot: &Pot, here: Moment) -> bool {
    let short = Span::from_min(pot.recipe().gesso.bowl_min + pot.recipe().minutes.coat);
    let others = around.panels.iter().filter_map(|t| t.story.as_ref());
    let others = others.filter(|s| s.panel().opened().id != story.panel().opened().id);
    others.filter_map(|s| s.panel().last_done().map(|(_, laid)| (laid.fact.pot.clone(), laid.done))).any(
        |(from, at)| {
            let ago = here.since(at);
            from.as_ref() == Some(&pot.opened().id) && ago >= Span::ZERO && ago < short
        },
    )
}
