//! Many facts at once: a pass over the boards of a rack, or a sheet of coats that nobody recorded.
//!
//! lock -> read on -> take now -> complete and fold all of them on copies -> only if none is refused: append and sync, one
//! after the other -> unlock.

use super::Bench;
use super::air_now::AirNow;
use super::journaled_story::{RecordError, Snapshot, prepare_entry_on};
use super::pots::fill_in_pot_from;
use super::recording::{RecordRequest, complete_act};
use super::typed_pass::find_standing;
use crate::record::files::Lock;
use crate::units::{Entry, Id, Moment, Stamp};
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{PanelEvent, Stage};
use crate::work::panel::story::PanelStory;
use crate::work::pot::fold::Pot;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// One fact of a pass. Several may concern one panel.
#[derive(Debug, Clone, PartialEq)]
pub struct PassEntry {
    /// Of which panel.
    pub id: Id,
    /// What happened. Leaving and coming back concern the whole rack and go through [`Bench::record`].
    pub act: PanelAct,
    /// When, if not now.
    pub at: Option<Stamp>,
    /// The stage the maker saw at hand; refused if it is no longer that one, earlier facts of the same pass counted in.
    pub expected_stage: Option<Stage>,
}

/// A fact of a pass that is on disk.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PassFact {
    /// Its place among the facts asked for, from 0.
    pub index: usize,
    /// Of which panel.
    pub id: Id,
    /// The `seq` it got there.
    pub seq: u64,
}

/// What came of a pass that was not refused.
#[derive(Debug, Clone, PartialEq)]
pub struct PassRecorded {
    /// Every panel something was written to, in the order of writing.
    pub changed: Vec<Snapshot>,
    /// What is on disk, in the order of writing.
    pub written: Vec<PassFact>,
    /// What could not be written, each with its place among the facts asked for; what comes later on the same panel is
    /// [`RecordError::EarlierFactFailed`]. Where a sync failed and could not be rolled back, the fact may stand in the
    /// file all the same: one that is asked for again with the stage it was meant for is then refused, not doubled.
    pub failed: Vec<(usize, RecordError)>,
    /// The places of those that stood already, where such are passed over.
    pub known: Vec<usize>,
}

/// Why a pass was refused: each fact that cannot be recorded, with its place among those asked for. Nothing is written.
pub type PassRefusals = Vec<(usize, RecordError)>;

/// What a pass does with its facts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum PassMode {
    /// Each is recorded.
    Record,
    /// Those that do not stand already are recorded.
    RecordNew,
    /// As that, but nothing is written.
    TryNew,
}

/// A panel's story with what was folded of the pass so far.
struct Draft {
    story: Arc<PanelStory>,
    next_seq: u64,
}

/// A fact ready to be appended, and the story with it.
struct ReadyFact {
    index: usize,
    id: Id,
    entry: Entry<PanelEvent>,
    story: PanelStory,
}

/// What completes the facts of a pass: the moment, the air, the pots.
struct Surroundings {
    now: Moment,
    air_now: AirNow,
    pots: Vec<Snapshot<Pot>>,
    /// The panels among which the groups are, as far as the pass is folded.
    panels: Vec<Snapshot>,
}

impl Bench {
    /// Records the facts of a pass, in the order in which they happened.
    ///
    /// # Errors
    /// [`PassRefusals`]; then nothing at all is recorded. What fails while it is written is no refusal: it stands in
    /// [`PassRecorded::failed`].
    pub fn record_pass(
        &mut self,
        entries: &[PassEntry],
        now: &dyn Fn() -> Moment,
    ) -> Result<PassRecorded, PassRefusals> {
        self.record_in_order(&order_by_time(entries), PassMode::Record, now)
    }

    /// Records facts typed afterwards, each with its time. Those that stand already at that very time are passed over, so
    /// that the same may be asked again once a write was interrupted. `is_trial` writes nothing.
    ///
    /// # Errors
    /// [`PassRefusals`]; then nothing at all is recorded.
    pub fn record_typed(
        &mut self,
        entries: &[PassEntry],
        is_trial: bool,
        now: &dyn Fn() -> Moment,
    ) -> Result<PassRecorded, PassRefusals> {
        let mode = if is_trial { PassMode::TryNew } else { PassMode::RecordNew };
        self.record_in_order(&order_by_time(entries), mode, now)
    }

    /// Takes the facts of a pass back, each named by its panel and `seq`, if every one of them is still the last standing
    /// of its panel once those behind it are taken back.
    ///
    /// # Errors
    /// [`PassRefusals`]; then nothing at all is taken back.
    pub fn undo_pass(&mut self, facts: &[(Id, u64)], now: &dyn Fn() -> Moment) -> Result<PassRecorded, PassRefusals> {
        let mut ordered: Vec<_> = facts.iter().enumerate().collect();
        ordered.sort_by_key(|(_, (_, seq))| Reverse(*seq));
        let take_back = |id: &Id, seq: u64| PassEntry {
            id: id.clone(),
            act: PanelAct::Undo { seen: Some(seq) },
            at: None,
            expected_stage: None,
        };
        let ordered: Vec<_> = ordered.into_iter().map(|(index, (id, seq))| (index, take_back(id, *seq))).collect();
        self.record_in_order(&ordered, PassMode::Record, now)
    }

    fn record_in_order(
        &mut self,
        ordered: &[(usize, PassEntry)],
        mode: PassMode,
        now: &dyn Fn() -> Moment,
    ) -> Result<PassRecorded, PassRefusals> {
        let lays_coats = ordered.iter().any(|(_, entry)| matches!(entry.act, PanelAct::Done { .. }));
        // Under the lock only what came since is left to read; what cannot be read is told then.
        let _ = self.begin_drafts(ordered);
        if lays_coats {
            self.preload_air(&PanelAct::done_as_planned());
        }
        let refuse_all =
            |error: RecordError| ordered.iter().map(|(index, _)| (*index, error.clone())).collect::<Vec<_>>();
        let lock = self.shelf.lock().map_err(|error| refuse_all(error.into()))?;
        let drafts = self.begin_drafts(ordered);
        let now = now();
        let is_dated = ordered.iter().any(|(_, entry)| entry.at.is_some());
        let mut surroundings = Surroundings {
            now,
            air_now: if lays_coats { self.air_for_act(&PanelAct::done_as_planned()) } else { AirNow::default() },
            pots: if lays_coats { self.load_pots_for_coat(is_dated, now) } else { Vec::new() },
            panels: if lays_coats { self.load_neighbours(&drafts, now) } else { Vec::new() },
        };
        let (new, known) = match mode {
            PassMode::Record => (ordered.iter().collect(), Vec::new()),
            PassMode::RecordNew | PassMode::TryNew => split_known(ordered, &drafts),
        };
        let mut ready = prepare_pass(&new, drafts, &mut surroundings)?;
        if mode == PassMode::TryNew {
            ready.clear();
        }
        Ok(PassRecorded { known, ..self.write_pass(&lock, ready, now) })
    }

    /// The stories of the panels the pass concerns, as they stand on disk.
    fn begin_drafts(&mut self, ordered: &[(usize, PassEntry)]) -> BTreeMap<Id, Result<Draft, RecordError>> {
        let mut drafts = BTreeMap::new();
        for (_, entry) in ordered {
            if !drafts.contains_key(&entry.id) {
                drafts.insert(entry.id.clone(), self.begin_draft(&entry.id));
            }
        }
        drafts
    }

    fn load_neighbours(&mut self, drafts: &BTreeMap<Id, Result<Draft, RecordError>>, now: Moment) -> Vec<Snapshot> {
        let mut stories = drafts.values().filter_map(|draft| draft.as_ref().ok()).map(|draft| &draft.story);
        let grouped = stories.find(|story| story.panel().opened().group.is_some());
        match grouped {
            Some(story) => self.load_group_panels(story, now),
            None => self.snapshots(),
        }
    }

    fn begin_draft(&mut self, id: &Id) -> Result<Draft, RecordError> {
        self.load(id)?;
        let journaled = self.panels.get_mut(id)?;
        if let Some(error) = journaled.damage_error() {
            return Err(error);
        }
        Ok(Draft { story: journaled.require_story()?, next_seq: journaled.journal.next_seq() })
    }

    /// Appends what is ready, a write and a sync each. Where one fails, what comes later on that panel was folded on a
    /// fact that is not there, and stays out too.
    fn write_pass(&mut self, lock: &Lock, ready: Vec<ReadyFact>, now: Moment) -> PassRecorded {
        let mut recorded =
            PassRecorded { changed: Vec::new(), written: Vec::new(), failed: Vec::new(), known: Vec::new() };
        let mut broken: BTreeSet<Id> = BTreeSet::new();
        for ReadyFact { index, id, entry, story } in ready {
            let appended = if broken.contains(&id) {
                Err(RecordError::EarlierFactFailed)
            } else {
                self.panels.get_mut(&id).and_then(|journaled| journaled.append(lock, &entry, story))
            };
            match appended {
                Ok(()) => recorded.written.push(PassFact { index, id, seq: entry.seq }),
                Err(error) => {
                    recorded.failed.push((index, error));
                    broken.insert(id);
                }
            }
        }
        for PassFact { id, .. } in &recorded.written {
            if recorded.changed.iter().any(|snapshot| snapshot.id == *id) {
                continue;
            }
            if let Ok(journaled) = self.panels.get_mut(id) {
                let snapshot = journaled.snapshot();
                self.update_rack_of_panel(lock, &snapshot, now);
                recorded.changed.push(snapshot);
            }
        }
        recorded
    }
}

/// In the order in which they happened; what happens now comes behind whatever has a time.
fn order_by_time(entries: &[PassEntry]) -> Vec<(usize, PassEntry)> {
    let mut ordered: Vec<(usize, PassEntry)> = entries.iter().cloned().enumerate().collect();
    ordered.sort_by_key(|(_, entry)| (entry.at.is_none(), entry.at));
    ordered
}

/// The facts that do not stand yet, and the places of those that do. Two alike in the pass stand only where two stand in
/// the story.
fn split_known<'p>(
    ordered: &'p [(usize, PassEntry)],
    drafts: &BTreeMap<Id, Result<Draft, RecordError>>,
) -> (Vec<&'p (usize, PassEntry)>, Vec<usize>) {
    let mut used: BTreeSet<(&Id, u64)> = BTreeSet::new();
    let (mut new, mut known) = (Vec::new(), Vec::new());
    for fact in ordered {
        let (index, entry) = fact;
        let says = (&entry.act, entry.at, entry.expected_stage);
        let draft = drafts.get(&entry.id).and_then(|draft| draft.as_ref().ok());
        match draft.and_then(|draft| find_standing(&draft.story, says, |seq| used.contains(&(&entry.id, seq)))) {
            Some(seq) => {
                used.insert((&entry.id, seq));
                known.push(*index);
            }
            None => new.push(fact),
        }
    }
    known.sort_unstable();
    (new, known)
}

/// Completes and folds every fact on copies of the stories.
fn prepare_pass(
    ordered: &[&(usize, PassEntry)],
    mut drafts: BTreeMap<Id, Result<Draft, RecordError>>,
    surroundings: &mut Surroundings,
) -> Result<Vec<ReadyFact>, PassRefusals> {
    let (mut ready, mut refused) = (Vec::new(), Vec::new());
    for (index, entry) in ordered {
        let prepared = match drafts.get_mut(&entry.id) {
            Some(Ok(draft)) => prepare_fact(*index, entry, draft, surroundings),
            Some(Err(error)) => Err(error.clone()),
            None => Err(RecordError::NoStory(entry.id.clone())),
        };
        match prepared {
            Ok(fact) => ready.push(fact),
            Err(error) => refused.push((*index, error)),
        }
    }
    refused.sort_by_key(|(index, _)| *index);
    if refused.is_empty() { Ok(ready) } else { Err(refused) }
}

fn prepare_fact(
    index: usize,
    entry: &PassEntry,
    draft: &mut Draft,
    surroundings: &mut Surroundings,
) -> Result<ReadyFact, RecordError> {
    let Surroundings { now, air_now, pots, panels } = surroundings;
    let request = RecordRequest { act: entry.act.clone(), at: entry.at, expected_stage: entry.expected_stage };
    let request = fill_in_pot_from(pots, panels, &draft.story, &request);
    let event = complete_act(&draft.story, &request, air_now, *now)?;
    let (written, story) = prepare_entry_on(&draft.story, draft.next_seq, event, None, entry.at, *now)?;
    draft.story = Arc::new(story.clone());
    // The next board of its group is coated from the same pot.
    if let Some(snapshot) = panels.iter_mut().find(|snapshot| snapshot.id == entry.id) {
        snapshot.story = Some(Arc::clone(&draft.story));
    }
    draft.next_seq += 1;
    Ok(ReadyFact { index, id: entry.id.clone(), entry: written, story })
}
