//! Panels side by side: what was done differently in words, and for each panel its coats on one scale of time and its
//! powder maps, small enough to be taken in together.
//!
//! Absent on purpose: reading stories (`bench`), drawing (`ui`).

use super::action::Action;
use super::scene::KeyHint;
use crate::craft::recipe::{Direction, Recipe};
use crate::figures::median;
use crate::review::By;
use crate::review::compare::{Comparison, LeftOut, compare, driest, outcome};
use crate::review::lines::Line;
use crate::review::side::{One, Side};
use crate::review::ways::pots;
use crate::review::words;
use crate::text::{lasting, round_to};
use crate::units::{Id, Span};
use crate::work::panel::event::{CheckMap, Face, Kind, Low};
use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

/// At most so many panels are read for the view, those opened last; a larger shelf is for the shell.
pub const MOST: usize = 500;

/// A time line runs to this many times the middle one; what comes later is told at its end.
const RUNS: f64 = 3.0;

/// The view.
#[derive(Debug, Clone, PartialEq)]
pub struct Compare {
    all: Vec<One>,
    left_out: Vec<LeftOut>,
    /// How many panels there are on the shelf.
    of: usize,
    by: By,
    chosen: BTreeSet<Id>,
    only: bool,
    c: Comparison,
    at: usize,
    words: Option<usize>,
}

/// What a key did.
#[derive(Debug, Clone, PartialEq)]
pub enum Step {
    /// The view stays.
    Stay,
    /// Back to the bench.
    Close,
    /// Another panel like that one: a recipe of what was done on it.
    Again(Arc<Recipe>),
}

impl Compare {
    /// A view of those panels, grouped by what came of them.
    pub fn new(side: Side) -> Compare {
        let mut view = Compare {
            all: side.ones,
            left_out: side.left_out,
            of: side.of,
            by: By::Outcome,
            chosen: BTreeSet::new(),
            only: false,
            c: compare(Vec::new(), By::Outcome, Vec::new()),
            at: 0,
            words: None,
        };
        view.anew();
        view
    }

    fn anew(&mut self) {
        let in_it = |one: &&One| !self.only || self.chosen.contains(&one.facts.id);
        let rows = self.all.iter().filter(in_it).map(|one| one.facts.clone()).collect();
        self.c = compare(rows, self.by, self.left_out.clone());
        self.at = self.at.min(self.c.panels.len().saturating_sub(1));
    }

    fn group(&mut self, by: By) {
        self.by = by;
        self.anew();
    }

    fn here(&self) -> Option<&One> {
        let id = &self.c.panels.get(self.at)?.id;
        self.all.iter().find(|one| one.facts.id == *id)
    }

    /// Takes in a key.
    pub fn update(&mut self, action: &Action) -> Step {
        let last = match self.words {
            Some(_) => words::told(&self.c).lines().count().saturating_sub(1),
            None => self.c.panels.len().saturating_sub(1),
        };
        let place = self.words.as_mut().unwrap_or(&mut self.at);
        match action {
            Action::Up => *place = place.saturating_sub(1),
            Action::Down => *place = (*place + 1).min(last),
            Action::PageUp => *place = place.saturating_sub(5),
            Action::PageDown => *place = (*place + 5).min(last),
            Action::Home => *place = 0,
            Action::End => *place = last,
            Action::Type('o') => self.group(By::Outcome),
            Action::Type('r') => self.group(By::Recipe),
            Action::Type('p') => self.group(By::Pot),
            Action::Type('b') => self.group(By::Support),
            Action::Type('a') => self.group(By::Air),
            Action::Type('w') => self.words = if self.words.is_some() { None } else { Some(0) },
            Action::Type(' ') if self.words.is_none() => self.choose(),
            Action::Type('c') => self.only_chosen(),
            Action::Accept | Action::Type('n') if self.words.is_none() => {
                return self.here().map_or(Step::Stay, |one| Step::Again(Arc::clone(&one.again)));
            }
            Action::Leave if self.words.is_some() => self.words = None,
            Action::Leave => return Step::Close,
            _ => {}
        }
        Step::Stay
    }

    fn choose(&mut self) {
        let Some(id) = self.here().map(|one| one.facts.id.clone()) else { return };
        if !self.chosen.remove(&id) {
            self.chosen.insert(id);
        }
    }

    fn only_chosen(&mut self) {
        self.only = !self.only && self.chosen.len() > 1;
        self.anew();
    }

    /// The picture.
    pub fn sheet(&self) -> CompareSheet {
        let all: HashMap<&Id, &One> = self.all.iter().map(|one| (&one.facts.id, one)).collect();
        let lines: Vec<&One> = self.c.panels.iter().filter_map(|f| all.get(&f.id).copied()).collect();
        let lasted: Vec<f64> = lines.iter().map(|one| one.line.lasted_min()).filter(|m| *m > 0.0).collect();
        let longest = lasted.iter().copied().fold(0.0, f64::max);
        let scale_min = median(&lasted).map_or(1.0, |m| longest.min(m * RUNS)).max(1.0);
        let row = |(i, one): (usize, &&One)| self.row(i, one, scale_min);
        let what = if self.only { "chosen" } else { "panels" };
        let (read, of) = (self.all.len() + self.left_out.len(), self.of);
        let mut words = Vec::new();
        if of > read {
            words.push(format!("Only the {read} opened last, of {of}; `sottile compare` at a shell takes all."));
        }
        words.extend(self.c.differently.iter().cloned());
        if self.c.differently.is_empty() && self.c.panels.len() > 1 {
            words.push("Nothing was done differently that is recorded.".to_owned());
        }
        if let Some(b) = &self.c.between {
            words.extend(b.no_cause.clone());
        }
        words.extend(self.c.remarks.iter().cloned());
        CompareSheet {
            title: format!("{} {what} side by side, by {}", self.c.panels.len(), self.by.name()),
            words,
            rows: lines.iter().enumerate().map(row).collect(),
            scale_min,
            at: self.at,
            text: self.words.map(|offset| (words::told(&self.c).lines().map(str::to_owned).collect(), offset)),
            keys: self.keys(),
        }
    }

    fn keys(&self) -> Vec<KeyHint> {
        let key = |key: &str, does: &str| KeyHint { key: key.to_owned(), does: does.to_owned() };
        let mut keys = vec![key("Enter", "another like it"), key("o r p b a", "by outcome .. air")];
        keys.push(key("w", if self.words.is_some() { "pictures" } else { "all in words" }));
        keys.push(key("Space", "choose"));
        keys.push(key("c", if self.only { "all again" } else { "only the chosen" }));
        keys.push(key("Esc", "back"));
        keys
    }

    fn row(&self, i: usize, one: &One, scale_min: f64) -> CompareRow {
        let f = &one.facts;
        let given_up = if f.given_up.is_some() { ", given up" } else { "" };
        let wait = f.wait_median_min.map_or_else(String::new, |m| format!("{} min  ", round_to(m, 0)));
        let what = match self.by {
            By::Recipe => f.recipe.clone(),
            By::Pot | By::Outcome if f.pots.is_empty() => "pot not recorded".to_owned(),
            By::Pot | By::Outcome => pots(f),
            By::Support => f.support.replace('-', " "),
            By::Air => driest(f),
        };
        let later = one.line.lasted_min();
        CompareRow {
            label: f.label.clone(),
            outcome: format!("{}{given_up}", outcome(f)),
            what: format!("{wait}{what}"),
            coats: coats(&one.line, scale_min),
            later: (later > scale_min).then(|| lasting(Span::from_min(later))),
            maps: maps(&one.line),
            on: i == self.at,
            chosen: self.chosen.contains(&f.id),
        }
    }
}

fn coats(line: &Line, scale_min: f64) -> Vec<CoatMark> {
    let here = line.coats.iter().filter(|m| m.min <= scale_min);
    here.map(|m| CoatMark {
        share: m.min / scale_min,
        back: m.face == Some(Face::Back),
        kind: m.kind,
        direction: m.direction,
        early: m.early,
        gap: m.gap,
    })
    .collect()
}

/// Each check's areas; a check without a map was clear.
fn maps(line: &Line) -> Vec<Vec<Vec<Low>>> {
    let (columns, rows) = line.areas.unwrap_or((3, 3));
    let clear = || vec![vec![Low::None; columns as usize]; rows as usize];
    let rows_of = |map: &CheckMap| map.rows().to_vec();
    line.checks.iter().map(|map| map.as_ref().map_or_else(clear, rows_of)).collect()
}

/// Panels side by side, as plain data.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CompareSheet {
    /// "9 panels side by side, by outcome".
    pub title: String,
    /// What was done differently, a sentence each, and what is to be borne in mind.
    pub words: Vec<String>,
    /// A row for each panel.
    pub rows: Vec<CompareRow>,
    /// How many minutes the time line is long.
    pub scale_min: f64,
    /// The row the cursor is on.
    pub at: usize,
    /// Everything in words instead, and how many lines are scrolled away.
    pub text: Option<(Vec<String>, usize)>,
    /// The keys worth naming.
    pub keys: Vec<KeyHint>,
}

/// One panel beside others.
#[derive(Debug, Clone, PartialEq)]
pub struct CompareRow {
    /// What the maker calls it.
    pub label: String,
    /// What came of it.
    pub outcome: String,
    /// What sets it apart: its pot, its recipe, its board.
    pub what: String,
    /// Its gesso coats.
    pub coats: Vec<CoatMark>,
    /// How long it took in all, where that runs off the scale.
    pub later: Option<String>,
    /// Its checks, round by round, rows from the top.
    pub maps: Vec<Vec<Vec<Low>>>,
    /// The cursor is on it.
    pub on: bool,
    /// It is chosen.
    pub chosen: bool,
}

/// One coat on the line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoatMark {
    /// Where, in parts of the scale.
    pub share: f64,
    /// On the back.
    pub back: bool,
    /// Stipple or coat.
    pub kind: Kind,
    /// In which direction.
    pub direction: Option<Direction>,
    /// Laid early.
    pub early: bool,
    /// Laid on a bone-dry coat.
    pub gap: bool,
}
