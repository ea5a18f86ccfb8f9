//! When a panel's wait calls for its pot: into the bath, or the bowl to be thinned, early enough for the coat.

use super::journaled_story::trusted_now;
use super::pot_survey::PotSurvey;
use crate::config::QuietHours;
use crate::units::{Moment, Span};
use crate::work::advice::wait_calls;
use crate::work::panel::event::{PanelCall, Stage};
use crate::work::panel::phase::PanelPhase;
use crate::work::panel::story::PanelStory;
use crate::work::pot::fold::Pot;

/// The coat a running wait leads to: the next act, or the one at hand where the ground going dull ended the wait.
fn next_coat_stage(story: &PanelStory, here: Moment) -> Option<Stage> {
    let status = story.panel().status(here);
    let dull = story.panel().current_wait().is_some_and(|w| w.dull_at.is_some());
    match status.phase {
        PanelPhase::Waiting => status.next_stage,
        PanelPhase::Ready if dull => status.stage,
        PanelPhase::Ready | PanelPhase::Working | PanelPhase::Finished | PanelPhase::Abandoned => None,
    }
}

/// Whether that pot is to be seen to for the panel's next coat, and the `seq` of the fact whose wait says so. It is called
/// for once in a wait: before the bath where the pot would not last, else before the bowl is thinned. A ground that went
/// dull moves it forward. Not called for: a bowl that is in hand, because a coat from that pot was laid on another panel a
/// moment ago; a pot in a long wait that ends at night.
pub fn find_due_pot_call(
    survey: &PotSurvey,
    story: &PanelStory,
    pot: &Pot,
    now: Moment,
    night: Option<QuietHours>,
) -> Option<u64> {
    let here = trusted_now(story, now);
    let wait = story.panel().current_wait()?;
    let stage = next_coat_stage(story, here)?;
    let fits = stage.kind.is_coat_from(pot.opened().kind);
    let silent = wait_calls::is_night_silent(wait.wait.span, here.minute_of_day(), night);
    if !fits || silent || story.panel().has_raised(PanelCall::Pot, wait.fact_seq) {
        return None;
    }
    let due = wait.due_at(here);
    let times = pot.coat_preparation(survey.forecast(pot).as_ref(), due)?;
    let in_hand = times.bath_by.is_none() && is_bowl_in_hand(survey, story, pot, here);
    let at = times.bath_by.unwrap_or(times.bowl_at);
    (at <= here.wall && !in_hand).then_some(wait.fact_seq)
}

/// Whether a coat from that pot was laid on another panel so short a time ago that bowl and brush are still in hand.
fn is_bowl_in_hand(survey: &PotSurvey, story: &PanelStory, pot: &Pot, here: Moment) -> bool {
    let short = Span::from_min(pot.recipe().gesso.bowl_min + pot.recipe().minutes.coat);
    let others = survey.panels.iter().filter_map(|t| t.story.as_ref());
    let others = others.filter(|s| s.panel().opened().id != story.panel().opened().id);
    others.filter_map(|s| s.panel().last_done().map(|(_, laid)| (laid.event.pot.clone(), laid.done_at))).any(
        |(from, at)| {
            let ago = here.since(at);
            from.as_ref() == Some(&pot.opened().id) && ago >= Span::ZERO && ago < short
        },
    )
}
