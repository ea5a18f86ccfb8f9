//! Panels side by side: what was done differently in words, and for each panel its coats on one scale of time and its
//! powder maps, small enough to be taken in together.

use super::keymap::{KeyHint, Keymap};
use super::message::{InputMode, Message};
use crate::craft::recipe::{Direction, Recipe};
use crate::review::GroupBy;
use crate::review::compare::{
    AskedFault, Comparison, DRAWS, UnreadableStory, compare_panels, compare_panels_asking, driest_air_range,
};
use crate::review::compared_panels::{ComparedPanel, ComparedPanels};
use crate::review::comparison_text;
use crate::review::panel_timeline::PanelTimeline;
use crate::review::row_text::{format_outcome, format_pots};
use crate::stats::median;
use crate::text::{format_duration, format_number};
use crate::units::{Id, Span};
use crate::work::panel::event::{CheckMap, Face, Roughness, StageKind};
use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

/// At most so many panels are read for the view, those opened last; a larger shelf is for the shell.
pub const MAX_COMPARED_PANELS: usize = 500;

/// A time line runs to this many times the middle one; what comes later is told at its end.
const MAX_SCALE_MEDIANS: f64 = 3.0;

/// The view.
#[derive(Debug, Clone, PartialEq)]
pub struct ComparisonModel {
    panels: Vec<ComparedPanel>,
    left_out: Vec<UnreadableStory>,
    /// How many panels there are on the shelf.
    shelf_count: usize,
    /// How many of them were to be read.
    considered: usize,
    group_by: GroupBy,
    /// The fault that is asked about.
    fault: AskedFault,
    chosen: BTreeSet<Id>,
    only_chosen: bool,
    comparison: Comparison,
    cursor: usize,
    text_offset: Option<usize>,
}

/// What a key did.
#[derive(Debug, Clone, PartialEq)]
pub enum ComparisonOutcome {
    /// The view stays.
    Stay,
    /// Back to the bench.
    Close,
    /// Another panel like that one: a recipe of what was done on it.
    ReuseRecipe(Arc<Recipe>),
}

impl ComparisonModel {
    /// A view of those panels, grouped by what came of them.
    pub fn new(side: ComparedPanels) -> ComparisonModel {
        let mut view = ComparisonModel {
            panels: side.panels,
            left_out: side.unreadable_stories,
            shelf_count: side.shelf_total,
            considered: side.considered,
            group_by: GroupBy::Outcome,
            fault: AskedFault::Cracks,
            chosen: BTreeSet::new(),
            only_chosen: false,
            comparison: compare_panels(Vec::new(), GroupBy::Outcome, Vec::new()),
            cursor: 0,
            text_offset: None,
        };
        view.rebuild();
        view
    }

    fn rebuild(&mut self) {
        let in_it = |one: &&ComparedPanel| !self.only_chosen || self.chosen.contains(&one.row.story.id);
        let rows = self.panels.iter().filter(in_it).map(|one| one.row.clone()).collect();
        self.comparison = compare_panels_asking(rows, self.group_by, self.left_out.clone(), self.fault, DRAWS);
        self.cursor = self.cursor.min(self.comparison.panels.len().saturating_sub(1));
    }

    fn set_grouping(&mut self, by: GroupBy) {
        self.group_by = by;
        self.rebuild();
    }

    fn panel_at_cursor(&self) -> Option<&ComparedPanel> {
        let id = &self.comparison.panels.get(self.cursor)?.story.id;
        self.panels.iter().find(|one| one.row.story.id == *id)
    }

    /// Takes in a key.
    pub fn update(&mut self, message: &Message) -> ComparisonOutcome {
        let last = match self.text_offset {
            Some(_) => comparison_text::format_comparison(&self.comparison).lines().count().saturating_sub(1),
            None => self.comparison.panels.len().saturating_sub(1),
        };
        let place = self.text_offset.as_mut().unwrap_or(&mut self.cursor);
        match message {
            Message::Up => *place = place.saturating_sub(1),
            Message::Down => *place = (*place + 1).min(last),
            Message::PageUp => *place = place.saturating_sub(5),
            Message::PageDown => *place = (*place + 5).min(last),
            Message::Home => *place = 0,
            Message::End => *place = last,
            Message::SetGrouping(by) => self.set_grouping(*by),
            Message::AskNextFault => {
                self.fault = self.fault.next();
                self.set_grouping(GroupBy::Outcome);
            }
            Message::ToggleFullText => self.text_offset = if self.text_offset.is_some() { None } else { Some(0) },
            Message::ToggleChosen if self.text_offset.is_none() => self.toggle_chosen(),
            Message::ToggleOnlyChosen => self.toggle_only_chosen(),
            Message::Accept if self.text_offset.is_none() => {
                return self.panel_at_cursor().map_or(ComparisonOutcome::Stay, |one| {
                    ComparisonOutcome::ReuseRecipe(Arc::clone(&one.recipe_as_done))
                });
            }
            Message::Leave if self.text_offset.is_some() => self.text_offset = None,
            Message::Leave => return ComparisonOutcome::Close,
            _ => {}
        }
        ComparisonOutcome::Stay
    }

    fn toggle_chosen(&mut self) {
        let Some(id) = self.panel_at_cursor().map(|one| one.row.story.id.clone()) else { return };
        if !self.chosen.remove(&id) {
            self.chosen.insert(id);
        }
    }

    fn toggle_only_chosen(&mut self) {
        self.only_chosen = !self.only_chosen && self.chosen.len() > 1;
        self.rebuild();
    }

    /// The view model.
    pub fn build_view_model(&self, keymap: &Keymap) -> ComparisonViewModel {
        let all: HashMap<&Id, &ComparedPanel> = self.panels.iter().map(|one| (&one.row.story.id, one)).collect();
        let lines: Vec<&ComparedPanel> =
            self.comparison.panels.iter().filter_map(|f| all.get(&f.story.id).copied()).collect();
        let lasted: Vec<f64> = lines.iter().map(|one| one.timeline.duration_min()).filter(|m| *m > 0.0).collect();
        let longest = lasted.iter().copied().fold(0.0, f64::max);
        let scale_min = median(&lasted).map_or(1.0, |m| longest.min(m * MAX_SCALE_MEDIANS)).max(1.0);
        let row = |(i, one): (usize, &&ComparedPanel)| self.build_row(i, one, scale_min);
        let what = if self.only_chosen { "chosen" } else { "panels" };
        let (read, of) = (self.considered, self.shelf_count);
        let mut words = Vec::new();
        if let Some(asked) = &self.comparison.asked {
            words.push(asked.answer.message.clone());
            words.extend(asked.answer.crossing.clone());
        }
        if of > read {
            words.push(format!("Only the {read} opened last, of {of}; `sottile compare` at a shell takes all."));
        }
        words.extend(self.comparison.work_differences.iter().cloned());
        if self.comparison.work_differences.is_empty() && self.comparison.panels.len() > 1 {
            words.push("Nothing was done differently that is recorded.".to_owned());
        }
        if let Some(b) = &self.comparison.contrast {
            words.extend(b.no_cause_reason.clone());
        }
        words.extend(self.comparison.remarks.iter().cloned());
        ComparisonViewModel {
            title: match self.comparison.asked.as_ref().map(|a| a.fault).filter(|f| *f != AskedFault::Cracks) {
                Some(fault) => format!("{} {what} side by side, by {}", self.comparison.panels.len(), fault.name()),
                None => format!("{} {what} side by side, by {}", self.comparison.panels.len(), self.group_by.name()),
            },
            findings: words,
            rows: lines.iter().enumerate().map(row).collect(),
            scale_min,
            cursor: self.cursor,
            full_text: self.text_offset.map(|offset| {
                (comparison_text::format_comparison(&self.comparison).lines().map(str::to_owned).collect(), offset)
            }),
            full_text_key: keymap.label(&Message::ToggleFullText, InputMode::Comparison),
            keys: self.build_key_hints(keymap),
        }
    }

    fn build_key_hints(&self, keymap: &Keymap) -> Vec<KeyHint> {
        let key = |message| keymap.hint(InputMode::Comparison, &message);
        let key_as = |messages: &[Message], words| keymap.hint_as(InputMode::Comparison, messages, words);
        let groupings = [GroupBy::Outcome, GroupBy::Recipe, GroupBy::Pot, GroupBy::Support, GroupBy::Air];
        vec![
            key(Message::Accept),
            key_as(&groupings.map(Message::SetGrouping), "by outcome .. air"),
            key_as(&[Message::ToggleFullText], if self.text_offset.is_some() { "pictures" } else { "all in words" }),
            key(Message::AskNextFault),
            key(Message::ToggleChosen),
            key_as(&[Message::ToggleOnlyChosen], if self.only_chosen { "all again" } else { "only the chosen" }),
            key(Message::Leave),
        ]
    }

    fn build_row(&self, i: usize, one: &ComparedPanel, scale_min: f64) -> ComparisonRow {
        let row = &one.row;
        let wait = row.story.wait_median_min.map_or_else(String::new, |m| format!("{} min  ", format_number(m, 0)));
        let what = match self.group_by {
            GroupBy::Recipe => row.story.recipe.clone(),
            GroupBy::Pot | GroupBy::Outcome if row.story.pot_ids.is_empty() => "pot not recorded".to_owned(),
            GroupBy::Pot | GroupBy::Outcome => format_pots(row),
            GroupBy::Support => row.story.support.name().replace('-', " "),
            GroupBy::Air => driest_air_range(row),
        };
        let later = one.timeline.duration_min();
        ComparisonRow {
            label: row.story.label.clone(),
            outcome: format_outcome(row),
            detail: format!("{wait}{what}"),
            coats: build_coat_marks(&one.timeline, scale_min),
            off_scale_duration: (later > scale_min).then(|| format_duration(Span::from_min(later))),
            maps: build_powder_maps(&one.timeline),
            is_current: i == self.cursor,
            chosen: self.chosen.contains(&row.story.id),
        }
    }
}

fn build_coat_marks(line: &PanelTimeline, scale_min: f64) -> Vec<CoatMark> {
    let here = line.coats.iter().filter(|m| m.minute <= scale_min);
    here.map(|m| CoatMark {
        position: m.minute / scale_min,
        back: m.face == Some(Face::Back),
        kind: m.kind,
        direction: m.direction,
        early: m.early,
        is_on_dry_coat: m.after_long_gap,
    })
    .collect()
}

/// Each check's areas; a check without a map was clear.
fn build_powder_maps(line: &PanelTimeline) -> Vec<Vec<Vec<Roughness>>> {
    let clear = || {
        let (columns, rows) = line.areas.expect("a check was done, so the recipe has one");
        vec![vec![Roughness::None; columns as usize]; rows as usize]
    };
    let rows_of = |map: &CheckMap| map.rows().to_vec();
    line.checks.iter().map(|map| map.as_ref().map_or_else(clear, rows_of)).collect()
}

/// Panels side by side, as plain data.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ComparisonViewModel {
    /// "9 panels side by side, by outcome".
    pub title: String,
    /// What was done differently, a sentence each, and what is to be borne in mind.
    pub findings: Vec<String>,
    /// A row for each panel.
    pub rows: Vec<ComparisonRow>,
    /// How many minutes the time line is long.
    pub scale_min: f64,
    /// The row the cursor is on.
    pub cursor: usize,
    /// Everything in words instead, and how many lines are scrolled away.
    pub full_text: Option<(Vec<String>, usize)>,
    /// The key that tells everything in words.
    pub full_text_key: String,
    /// The keys worth naming.
    pub keys: Vec<KeyHint>,
}

/// One panel beside others.
#[derive(Debug, Clone, PartialEq)]
pub struct ComparisonRow {
    /// What the maker calls it.
    pub label: String,
    /// What came of it.
    pub outcome: String,
    /// What sets it apart: its pot, its recipe, its board.
    pub detail: String,
    /// Its gesso coats.
    pub coats: Vec<CoatMark>,
    /// How long it took in all, where that runs off the scale.
    pub off_scale_duration: Option<String>,
    /// Its checks, round by round, rows from the top.
    pub maps: Vec<Vec<Vec<Roughness>>>,
    /// The cursor is on it.
    pub is_current: bool,
    /// It is chosen.
    pub chosen: bool,
}

/// One coat on the line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoatMark {
    /// Where, in parts of the scale.
    pub position: f64,
    /// On the back.
    pub back: bool,
    /// Stipple or coat.
    pub kind: StageKind,
    /// In which direction.
    pub direction: Option<Direction>,
    /// Laid early.
    pub early: bool,
    /// Laid on a bone-dry coat.
    pub is_on_dry_coat: bool,
}
