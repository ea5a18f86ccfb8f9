//! Which pot a coat comes from, for a key and for a command alike.

use super::journaled_story::Snapshot;
use crate::units::{Id, Stamp};
use crate::work::panel::event::Stage;
use crate::work::panel::state::Panel;
use crate::work::pot::event::PotKind;
use crate::work::pot::fold::Pot;
use crate::work::story::StoryState;

/// The pot a coat of that stage comes from. In this order: of a board of a trial its jar, since a lot was drawn for that;
/// those the maker chose, the last first; those the panel's own
/// coats came from, the newest first; those the coats of its group came from, likewise; those opened for it or its group,
/// the newest first; the only one of its kind in use. Of all these the first of the panel's own recipe, else the first.
/// None where several could be meant, since a wrong name would be worse than none.
///
/// `panels` are those among which its group is looked for. `at` asks which pots were in use at that time; without it,
/// which are now.
pub fn choose_pot_for_coat<'p>(
    pots: &'p [Snapshot<Pot>],
    panels: &[Snapshot],
    panel: &Panel,
    stage: Stage,
    chosen: &[Id],
    at: Option<Stamp>,
) -> Option<&'p Snapshot<Pot>> {
    let kind = stage.kind.row().pot?;
    let fits = |pot: &Pot| pot.opened().kind == kind && is_in_use_at(pot, at);
    let fitting: Vec<(&Snapshot<Pot>, &Pot)> =
        pots.iter().filter_map(|t| Some((t, t.story.as_ref()?.pot()))).filter(|(_, pot)| fits(pot)).collect();
    let find = |id: &Id| fitting.iter().copied().find(|(t, _)| t.id == *id);
    if let Some((jar, _)) = fitting.iter().rev().find(|(_, pot)| is_jar_of(pot, panel)) {
        return Some(jar);
    }
    let of_coats = |coats: Vec<&Id>| coats.into_iter().filter_map(find).collect::<Vec<_>>();
    let mut candidates: Vec<(&Snapshot<Pot>, &Pot)> = chosen.iter().rev().filter_map(find).collect();
    candidates.extend(of_coats(coat_pots([panel].into_iter(), at)));
    candidates.extend(of_coats(coat_pots(group_panels(panel, panels), at)));
    let mut opened_for: Vec<_> = fitting.iter().copied().filter(|(_, pot)| is_opened_for(pot, panel)).collect();
    opened_for.sort_by_key(|(_, pot)| std::cmp::Reverse(pot.opened_at().wall));
    candidates.extend(opened_for);
    candidates.extend(if let [only] = fitting[..] { Some(only) } else { None });
    let own_recipe = candidates.iter().find(|(_, pot)| pot.recipe().name == panel.recipe().name);
    own_recipe.or(candidates.first()).map(|(snapshot, _)| *snapshot)
}

/// Whether a pot is the jar from which that board of a trial is laid; of size the one for the wood goes before the stock.
fn is_jar_of(pot: &Pot, panel: &Panel) -> bool {
    let (Some(of_pot), Some(of_board)) = (&pot.opened().trial, &panel.opened().trial) else { return false };
    let jar = match pot.opened().kind {
        PotKind::Size => 0,
        PotKind::Gesso => of_board.jar,
    };
    of_pot.trial == of_board.trial && of_pot.jar == jar
}

/// Whether a pot was opened for that panel, or for the group it belongs to.
fn is_opened_for(pot: &Pot, panel: &Panel) -> bool {
    let opened = panel.opened();
    pot.opened().for_group.as_ref().is_some_and(|group| *group == opened.id || Some(group) == opened.group.as_ref())
}

/// The other panels of its group.
fn group_panels<'a>(panel: &'a Panel, panels: &'a [Snapshot]) -> impl Iterator<Item = &'a Panel> {
    let own = panel.opened();
    let others = panels.iter().filter_map(|t| Some(t.story.as_ref()?.panel()));
    others.filter(|other| own.group.is_some() && other.opened().group == own.group && other.opened().id != own.id)
}

/// The pots that the standing coats of those panels came from, the newest coat first.
fn coat_pots<'a>(panels: impl Iterator<Item = &'a Panel>, at: Option<Stamp>) -> Vec<&'a Id> {
    let laid = panels.flat_map(Panel::steps).filter_map(|step| step.laid_coat());
    let mut coats: Vec<_> = laid
        .filter(|laid| at.is_none_or(|at| laid.done_at.wall <= at))
        .filter_map(|laid| Some((laid.done_at.wall, laid.seq, laid.event.pot.as_ref()?)))
        .collect();
    coats.sort_by_key(|(at, seq, _)| std::cmp::Reverse((*at, *seq)));
    coats.into_iter().map(|(_, _, pot)| pot).collect()
}

fn is_in_use_at(pot: &Pot, at: Option<Stamp>) -> bool {
    match at {
        Some(at) => pot.opened_at().wall <= at && pot.ended_at().is_none_or(|end| end.wall > at),
        None => pot.end().is_none(),
    }
}
