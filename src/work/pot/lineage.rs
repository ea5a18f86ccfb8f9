//! Where the ground comes from: glue lot, size, gesso, coat, face, followed from either end.
//!
//! Pure functions over the stories at hand; a pot that is not among them is named, never guessed.

use super::fold::Pot;
use super::story::PotStory;
use crate::units::{Id, Stamp};
use crate::work::panel::event::{Stage, StageKind};
use crate::work::panel::state::Panel;
use crate::work::panel::story::PanelStory;
use std::collections::{HashMap, HashSet};

/// No line of pots is longer; a hostile one ends here.
const LINEAGE_DEPTH_MAX: usize = 32;

/// A coat and the pot it came from.
#[derive(Debug, Clone, PartialEq)]
pub struct PotCoat {
    /// The panel.
    pub panel: Id,
    /// The coat, as the story numbers it.
    pub stage: Stage,
    /// The `seq` of the fact in the panel's story.
    pub seq: u64,
    /// When it was done.
    pub at: Stamp,
    /// The pot.
    pub pot: Id,
}

/// The standing coats of a panel with a pot, in the order of the work.
pub fn panel_coats(story: &PanelStory) -> Vec<PotCoat> {
    let panel = story.panel();
    let each = panel.steps().iter().zip(panel.stages());
    let named = each.filter_map(|(step, stage)| {
        let laid = step.laid_coat()?;
        let pot = laid.event.pot.clone()?;
        Some(PotCoat { panel: panel.opened().id.clone(), stage, seq: laid.seq, at: laid.done_at.wall, pot })
    });
    named.collect()
}

/// What was taken out of pots for a panel: the pot, when, and for what. Attempts done again took from it as well.
pub fn panel_pot_uses(panel: &Panel) -> impl Iterator<Item = (&Id, Stamp, StageKind)> {
    let laid = panel.steps().iter().flat_map(|step| {
        let failed = step.failed_attempts.iter().map(|(laid, _)| laid);
        step.laid_coat().into_iter().chain(failed).map(|laid| (laid, step.slot.kind))
    });
    laid.filter_map(|(laid, kind)| Some((laid.event.pot.as_ref()?, laid.done_at.wall, kind)))
}

/// The pots at hand, and which was poured from which.
#[derive(Debug, Clone)]
pub struct PotLineage<'a> {
    stories: Vec<&'a PotStory>,
    by_id: HashMap<&'a Id, &'a PotStory>,
    damaged: HashSet<&'a Id>,
}

impl<'a> PotLineage<'a> {
    /// Every pot there is. Of two under one id the first is meant.
    pub fn new(stories: impl IntoIterator<Item = &'a PotStory>) -> PotLineage<'a> {
        let stories: Vec<&PotStory> = stories.into_iter().collect();
        let mut by_id = HashMap::with_capacity(stories.len());
        for story in &stories {
            by_id.entry(&story.pot().opened().id).or_insert(*story);
        }
        PotLineage { stories, by_id, damaged: HashSet::new() }
    }

    /// The same, where the journals of those pots are damaged: where they came from is known as far as their stories go,
    /// and no figure of theirs is.
    #[must_use]
    pub fn with_damaged(self, damaged: impl IntoIterator<Item = &'a Id>) -> PotLineage<'a> {
        PotLineage { damaged: damaged.into_iter().collect(), ..self }
    }

    /// Whether the journal of that pot is damaged.
    pub fn is_damaged(&self, id: &Id) -> bool {
        self.damaged.contains(id)
    }

    /// The story of the pot of that id.
    pub fn story(&self, id: &Id) -> Option<&'a PotStory> {
        self.by_id.get(id).copied()
    }

    /// The pot of that id.
    pub fn pot(&self, id: &Id) -> Option<&'a Pot> {
        self.story(id).map(PotStory::pot)
    }

    /// Every pot, in the order they were given in.
    pub(super) fn pots(&self) -> impl Iterator<Item = &'a Pot> {
        self.stories.iter().map(|story| story.pot())
    }

    /// The pot, the one it was poured from, and so on up. A pot that is not at hand is named and ends the line.
    pub fn ancestors(&self, id: &Id) -> Vec<Id> {
        let mut line = vec![id.clone()];
        while let Some(parent) = line.last().and_then(|id| self.pot(id)).and_then(|p| p.opened().parent.as_ref()) {
            if line.contains(parent) || line.len() >= LINEAGE_DEPTH_MAX {
                break;
            }
            line.push(parent.clone());
        }
        line
    }

    /// The lot of the glue in a pot: its own, or the nearest up the line.
    pub fn glue_lot(&self, id: &Id) -> Option<&'a str> {
        self.ancestors(id).iter().find_map(|id| self.pot(id)?.opened().lot.as_deref())
    }

    /// The lot of the filler in a pot: its own, or the nearest up the line.
    pub fn filler_lot(&self, id: &Id) -> Option<&'a str> {
        self.ancestors(id).iter().find_map(|id| self.pot(id)?.opened().filler_lot.as_deref())
    }

    /// The pots poured from that one, themselves only.
    pub fn pots_poured_from(&self, id: &Id) -> Vec<&'a Id> {
        let pots = self.pots().map(Pot::opened);
        pots.filter(|o| o.parent.as_ref() == Some(id)).map(|o| &o.id).collect()
    }

    /// Every pot with glue or filler of that lot in it.
    pub fn pots_of_lot(&self, lot: &str) -> Vec<&'a Id> {
        let ids = self.pots().map(|pot| &pot.opened().id);
        ids.filter(|id| [self.glue_lot(id), self.filler_lot(id)].contains(&Some(lot))).collect()
    }

    /// Every standing coat of those panels from that pot or from one poured from it, by time.
    pub fn coats_from_pot<'p>(&self, id: &Id, panels: impl IntoIterator<Item = &'p PanelStory>) -> Vec<PotCoat> {
        let mut coats: Vec<PotCoat> = panels.into_iter().flat_map(panel_coats).collect();
        coats.retain(|coat| self.ancestors(&coat.pot).contains(id));
        coats.sort_by_key(|coat| coat.at);
        coats
    }

    /// Every standing coat of those panels with glue of that lot, by time.
    #[cfg_attr(not(test), allow(dead_code, reason = "what is asked of a lot of glue is still to come"))]
    pub fn coats_of_lot<'p>(&self, lot: &str, panels: impl IntoIterator<Item = &'p PanelStory>) -> Vec<PotCoat> {
        let mut coats: Vec<PotCoat> = panels.into_iter().flat_map(panel_coats).collect();
        coats.retain(|coat| self.glue_lot(&coat.pot) == Some(lot));
        coats.sort_by_key(|coat| coat.at);
        coats
    }

    /// Whether how much water that pot lost depends on what was taken from it: it, or one up its line, was weighed twice.
    pub fn does_water_depend_on_uses(&self, id: &Id) -> bool {
        self.ancestors(id).iter().filter_map(|id| self.pot(id)).any(|pot| pot.mass_records().len() > 1)
    }
}
