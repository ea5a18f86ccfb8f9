//! `plan --spare`: how many boards to begin so that as many as wanted come through, by the maker's own losses.

use super::output;
use super::story::map_panel_stories;
use crate::bench::trusted_now;
use crate::record::shelf::Shelf;
use crate::text::format_count;
use crate::units::Moment;
use crate::work::panel::phase::PanelPhase;
use crate::work::panel::story::PanelStory;

/// So many of the panels that ended last are counted (assumed: what was years ago says little of today's hand).
const LAST_PANELS: usize = 60;
/// From fewer panels it is said that they are few (assumed).
const MANY_PANELS: usize = 20;

/// What became of the panels that ended last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Losses {
    given_up: usize,
    ended: usize,
}

impl Losses {
    /// Reads what became of the last panels, finished or given up. Witnesses are no panels.
    ///
    /// # Errors
    /// Where the shelf cannot be read.
    pub(super) fn load(shelf: &Shelf, now: Moment) -> Result<Losses, super::error::CliError> {
        let ids = shelf.panel_ids()?;
        let end = |story: &PanelStory| {
            let panel = story.panel();
            if panel.opened().is_witness {
                return None;
            }
            match panel.phase_at(trusted_now(story, now)) {
                PanelPhase::Finished => Some((story.last_fact_at(), false)),
                PanelPhase::Abandoned => Some((story.last_fact_at(), true)),
                PanelPhase::Ready | PanelPhase::Working | PanelPhase::Waiting => None,
            }
        };
        let (ends, _) = map_panel_stories(shelf, &ids, |snapshot| snapshot.story.as_ref().and_then(|story| end(story)));
        let mut ends: Vec<_> = ends.into_iter().flatten().collect();
        ends.sort_by_key(|(at, _)| std::cmp::Reverse(*at));
        ends.truncate(LAST_PANELS);
        Ok(Losses { given_up: ends.iter().filter(|(_, is_given_up)| *is_given_up).count(), ended: ends.len() })
    }

    /// How many boards to begin for so many: the least of which as many are left, if as large a share is lost again.
    const fn boards_for(self, wanted: usize) -> usize {
        let kept = self.ended.saturating_sub(self.given_up);
        // All were given up: nobody can say how many it takes.
        if kept == 0 { wanted } else { (wanted * self.ended).div_ceil(kept) }
    }

    /// The same, at most so many; says on stderr what it rests on.
    pub(super) fn tell_boards_for(self, wanted: usize, most: usize) -> usize {
        let make = self.boards_for(wanted).min(most).max(wanted);
        let text = match (self.ended, self.given_up) {
            (0, _) => "no panel has ended yet, so no loss is known: none is added".to_owned(),
            (ended, given_up) if given_up == ended => {
                format!(
                    "all of your last {} were given up: nobody can say how many to make",
                    format_count(ended, "panel")
                )
            }
            (ended, given_up) => {
                let few = if ended < MANY_PANELS { ", which are few" } else { "" };
                format!("{given_up} of your last {ended} were given up{few}: make {make} for {wanted}")
            }
        };
        output::print_message(&format!("sottile: {text}"));
        make
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn so_many_are_made_that_enough_are_left() {
        for (given_up, ended, wanted, make) in
            [(5, 60, 5, 6), (0, 60, 5, 5), (0, 0, 5, 5), (3, 3, 5, 5), (1, 2, 5, 10), (6, 60, 9, 10), (1, 60, 60, 62)]
        {
            let losses = Losses { given_up, ended };
            assert_eq!(losses.boards_for(wanted), make, "{losses:?} for {wanted}");
            // Enough, and not one too many.
            let left = |made: usize| made * (ended - given_up) >= wanted * ended;
            assert!(given_up == ended || left(make) && !left(make - 1));
        }
    }
}
