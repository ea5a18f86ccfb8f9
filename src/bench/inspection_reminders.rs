//! The finished panels of the shelf, as far as looking them over goes: which looks are due, and what earlier looks saw.
//!
//! A shelf may hold thousands. A panel on the rack is not opened, nor one whose file has rested for longer than a look
//! is reminded of; what was read of one that has not grown is kept.

use super::Bench;
use super::trials::load_trial;
use crate::record::shelf::{Drawer, Shelf};
use crate::units::{Id, Moment, NameKey, Size, Stamp};
use crate::work::advice::inspections::{self, DueInspection, due_inspection_after, reminder_period, story_inspections};
use crate::work::panel::inspection::Inspection;
use crate::work::panel::phase::PanelPhase;
use crate::work::panel::story::PanelStory;
use crate::work::panel::whereabouts::Beholder;
use crate::work::story::TrialRun;
use rayon::prelude::*;
use std::collections::{HashMap, HashSet};

/// A finished panel and every look at it.
#[derive(Debug, Clone, PartialEq)]
pub struct FinishedPanel {
    /// What it is filed under.
    pub id: Id,
    /// What the maker calls it.
    pub label: String,
    /// It is a witness or a board of a trial, to be tried out: nothing is painted on it.
    pub is_witness: bool,
    /// It can be looked over here: it is neither gone nor broken.
    pub is_here: bool,
    /// Its place in a trial, if it was opened for one: then it is looked at blind.
    pub trial: Option<TrialRun>,
    /// Why it cannot be looked at quite blind: what of its trial is seen or felt.
    pub seen_anyway: Vec<&'static str>,
    /// The board.
    pub size: Size,
    /// Its longer side, mm: what a straight edge most likely spans.
    pub longer_side_mm: f64,
    /// Since when it is finished.
    pub finished_at: Stamp,
    /// The looks that stand, in the order they happened.
    pub inspections: Vec<(Stamp, Inspection)>,
}

impl FinishedPanel {
    /// That panel, if it is finished at that moment.
    pub fn from_story(id: &Id, story: &PanelStory, now: Moment) -> Option<FinishedPanel> {
        let status = story.panel().status(super::trusted_now(story, now));
        let opened = story.panel().opened();
        (status.phase == PanelPhase::Finished).then(|| FinishedPanel {
            id: id.clone(),
            label: opened.label.clone(),
            is_here: story.panel().beholder() == Beholder::Maker,
            is_witness: !opened.is_to_be_painted(),
            trial: opened.trial.clone(),
            seen_anyway: Vec::new(),
            size: opened.size,
            longer_side_mm: opened.size.width.mm().max(opened.size.height.mm()),
            finished_at: status.since,
            inspections: story_inspections(story).into_iter().map(|(at, seen)| (at, seen.clone())).collect(),
        })
    }

    /// The look due now, or the next to come; none once all are done, or the last was missed for so long that nobody is
    /// reminded of it.
    pub fn inspection_due(&self, now: Stamp) -> Option<DueInspection> {
        due_unless_silent(self.finished_at, self.inspections.last().map(|(at, _)| *at), now)
    }

    /// The day after finishing that a moment falls on.
    pub fn days_since_finish(&self, at: Stamp) -> i64 {
        (at - self.finished_at).ms().div_euclid(24 * 3_600_000)
    }
}

/// By what a finished panel is reminded of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InspectionReminder {
    /// What it is filed under.
    pub id: Id,
    /// What the maker calls it.
    pub label: String,
    /// Since when it is finished.
    pub finished_at: Stamp,
    /// When it was last looked over.
    pub last_inspected_at: Option<Stamp>,
}

impl InspectionReminder {
    /// Of that panel.
    pub fn from_finished(panel: &FinishedPanel) -> InspectionReminder {
        let last = panel.inspections.last().map(|(at, _)| *at);
        InspectionReminder {
            id: panel.id.clone(),
            label: panel.label.clone(),
            finished_at: panel.finished_at,
            last_inspected_at: last,
        }
    }

    fn inspection_due(&self, now: Stamp) -> Option<DueInspection> {
        due_unless_silent(self.finished_at, self.last_inspected_at, now).filter(|due| due.is_due)
    }
}

fn due_unless_silent(finished: Stamp, last: Option<Stamp>, now: Stamp) -> Option<DueInspection> {
    due_inspection_after(finished, last, now).filter(|_| now <= finished + reminder_period())
}

/// The reminders of the shelf. What is due follows from them and a moment, so they are read again only when something
/// changed; and it is worked out again only when it may have changed.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct InspectionReminders {
    reminders: HashMap<Id, (u64, Option<InspectionReminder>)>,
    due_summary: Option<DueSummary>,
}

/// What is due within some time.
#[derive(Debug, Clone, PartialEq)]
struct DueSummary {
    valid_from: Stamp,
    valid_until: Option<Stamp>,
    count: usize,
    messages: Vec<String>,
}

impl InspectionReminders {
    /// Reads what grew since they were last read. A panel that cannot be read is not reminded of; `panels` tells of it.
    pub fn refresh(&mut self, shelf: &Shelf, now: Moment) {
        let ids = shelf.panel_ids().unwrap_or_default();
        let mut before = std::mem::take(&mut self.reminders);
        let grown = ids.into_iter().filter_map(|id| {
            let (bytes, written) = shelf.size_and_modified(Drawer::Panels, &id)?;
            if now.wall > written + reminder_period() {
                return None;
            }
            match before.remove(&id) {
                Some(known) if known.0 == bytes => {
                    self.reminders.insert(id, known);
                    None
                }
                Some(_) | None => Some((id, bytes)),
            }
        });
        let grown: Vec<(Id, u64)> = grown.collect();
        for (id, bytes) in grown {
            match read_completion(shelf, &id, now) {
                PanelCompletion::Finished(panel) => {
                    _ = self.reminders.insert(id, (bytes, Some(InspectionReminder::from_finished(&panel))))
                }
                PanelCompletion::Abandoned | PanelCompletion::Gone => _ = self.reminders.insert(id, (bytes, None)),
                // Time alone may finish it, so it is asked again.
                PanelCompletion::Unfinished => {}
            }
        }
        self.due_summary = None;
        self.update_due(now.wall);
    }

    /// Takes in that one, just recorded on.
    pub fn update_panel(&mut self, panel: &FinishedPanel, now: Stamp) {
        self.reminders.insert(panel.id.clone(), (0, Some(InspectionReminder::from_finished(panel))));
        self.due_summary = None;
        self.update_due(now);
    }

    /// Works out what is due at that moment, where that may have changed.
    pub fn update_due(&mut self, now: Stamp) {
        let holds = |s: &DueSummary| s.valid_from <= now && s.valid_until.is_none_or(|until| now < until);
        if self.due_summary.as_ref().is_some_and(holds) {
            return;
        }
        let due = self.due_panels(now);
        let finished = self.reminders.values().filter_map(|(_, r)| Some(r.as_ref()?.finished_at));
        self.due_summary = Some(DueSummary {
            valid_from: now,
            valid_until: finished.filter_map(|at| inspections::next_due_change(at, now)).min(),
            count: due.len(),
            messages: inspections::format_reminder(&due),
        });
    }

    /// The panels with a look due at that moment, each with its day, the longest due first.
    pub fn due_panels(&self, now: Stamp) -> Vec<(&str, u32)> {
        let reminders = self.reminders.values().filter_map(|(_, reminder)| reminder.as_ref());
        let mut due: Vec<_> = reminders.filter_map(|r| Some((r.inspection_due(now)?, r))).collect();
        due.sort_by(|(a, r), (b, s)| (a.at, NameKey(&r.label), &r.id).cmp(&(b.at, NameKey(&s.label), &s.id)));
        due.into_iter().map(|(due, r)| (r.label.as_str(), due.day)).collect()
    }

    /// How many are due, as of when that was last settled.
    pub fn due_count(&self) -> usize {
        self.due_summary.as_ref().map_or(0, |s| s.count)
    }

    /// What the bench says of them then, at length and in short.
    pub fn due_messages(&self) -> &[String] {
        self.due_summary.as_ref().map_or(&[], |s| &s.messages)
    }
}

enum PanelCompletion {
    Finished(FinishedPanel),
    Abandoned,
    /// Finished, and gone or broken: nobody is reminded of it here.
    Gone,
    Unfinished,
}

fn read_completion(shelf: &Shelf, id: &Id, now: Moment) -> PanelCompletion {
    let story = shelf.open_panel(id).ok().and_then(|(_, entries)| PanelStory::fold(entries).ok());
    let Some(story) = story else { return PanelCompletion::Unfinished };
    if story.panel().abandon_reason().is_some() {
        return PanelCompletion::Abandoned;
    }
    match FinishedPanel::from_story(id, &story, now) {
        Some(panel) if panel.is_here => PanelCompletion::Finished(panel),
        Some(_) => PanelCompletion::Gone,
        None => PanelCompletion::Unfinished,
    }
}

/// The finished panels whose files were written to last, at most so many, and how many files were left unread.
pub fn load_finished_panels(bench: &Bench, most: usize, now: Moment) -> (Vec<FinishedPanel>, usize) {
    let shelf = bench.shelf();
    let written = |id: &Id| shelf.size_and_modified(Drawer::Panels, id).map(|(_, at)| at);
    let at_hand: HashSet<Id> = bench.snapshots().into_iter().filter(|t| t.is_unfinished(now)).map(|t| t.id).collect();
    let ids = shelf.panel_ids().unwrap_or_default().into_iter().filter(|id| !at_hand.contains(id));
    let mut ids: Vec<_> = ids.map(|id| (written(&id), id)).collect();
    ids.sort_by(|a, b| b.0.cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    let left_out = ids.len().saturating_sub(most);
    ids.truncate(most);
    let finished = |(_, id): &(Option<Stamp>, Id)| match read_completion(shelf, id, now) {
        PanelCompletion::Finished(panel) => Some(panel),
        PanelCompletion::Abandoned | PanelCompletion::Gone | PanelCompletion::Unfinished => None,
    };
    let mut panels: Vec<FinishedPanel> = ids.par_iter().filter_map(finished).collect();
    tell_what_shows(shelf, &mut panels);
    (panels, left_out)
}

/// Says of every board of a trial what of it cannot be hidden.
fn tell_what_shows(shelf: &Shelf, panels: &mut [FinishedPanel]) {
    let mut known: HashMap<Id, Vec<&'static str>> = HashMap::new();
    for panel in panels {
        let Some(run) = &panel.trial else { continue };
        let shows = known.entry(run.trial.clone()).or_insert_with(|| {
            let factors = load_trial(shelf, &run.trial).map_or_else(|_| Vec::new(), |kept| kept.trial.design.factors);
            factors.iter().filter_map(|factor| factor.key.shows_itself()).collect()
        });
        panel.seen_anyway.clone_from(shows);
    }
}
