//! Which pot a coat comes from, for a key and for a command alike.

use super::journaled_story::Snapshot;
use crate::units::{Id, Stamp};
use crate::work::panel::event::Stage;
use crate::work::panel::state::Panel;
use crate::work::pot::fold::Pot;
use crate::work::story::StoryState;

/// The pot a coat of that stage comes from: the one the maker chose last, else the one the panel's last coat of the kind
/// came from, else the only one of its kind in use. None where several could be meant, since a wrong name would be worse
/// than none. `at` asks which were in use at that time; without it, which are now.
pub fn choose_pot_for_coat<'p>(
    pots: &'p [Snapshot<Pot>],
    panel: &Panel,
    stage: Stage,
    chosen: &[Id],
    at: Option<Stamp>,
) -> Option<&'p Snapshot<Pot>> {
    let kind = stage.kind.row().pot?;
    let fits = |pot: &Pot| pot.opened().kind == kind && is_in_use_at(pot, at);
    let fitting: Vec<&Snapshot<Pot>> =
        pots.iter().filter(|t| t.story.as_ref().is_some_and(|s| fits(s.pot()))).collect();
    let find = |id: &Id| fitting.iter().copied().find(|t| t.id == *id);
    let last = || panel.pot_ids().into_iter().rev().find_map(find);
    let only = || if let [only] = fitting[..] { Some(only) } else { None };
    chosen.iter().rev().find_map(find).or_else(last).or_else(only)
}

fn is_in_use_at(pot: &Pot, at: Option<Stamp>) -> bool {
    match at {
        Some(at) => pot.opened_at().wall <= at && pot.ended_at().is_none_or(|end| end.wall > at),
        None => pot.end().is_none(),
    }
}
