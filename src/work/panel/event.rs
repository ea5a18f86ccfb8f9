//! What can happen to a panel: the closed list of facts.

use super::correction::PanelCorrection;
pub use super::grain::Grain;
use super::inspection::Inspection;
pub use super::stage_kind::StageKind;
use super::whereabouts::Whereabouts;
use crate::craft::materials::Support;
use crate::craft::recipe::{Direction, Paint, Recipe};
use crate::units::{Id, Length, Size, Span, written_words};
use crate::work::story::{CommonEvent, Filing, StoryCall, StoryEvent, TrialRun};
use std::sync::Arc;
use strum::{IntoStaticStr, VariantArray, VariantNames};

/// A face of the board.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum Face {
    /// The face that will be painted.
    Front,
    /// The other.
    Back,
    /// Both together.
    Both,
}
written_words!(Face);

/// One stage by name: what is to be done, where, and which of how many.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Stage {
    /// What is to be done.
    pub kind: StageKind,
    /// On which face, where that means something.
    pub face: Option<Face>,
    /// Which one, counted from 1 within kind and face; for scrape and check the round.
    pub number: Option<u32>,
    /// Of how many; not known for scrape and check.
    pub total: Option<u32>,
    /// The direction it is to be laid in, where it has one.
    pub direction: Option<Direction>,
}

impl Stage {
    /// Whether `other` names the same place in the work, whatever the total and the direction.
    pub fn is_same_slot(&self, other: &Stage) -> bool {
        (self.kind, self.face, self.number) == (other.kind, other.face, other.number)
    }
}

/// Where a wait came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum WaitOrigin {
    /// The recipe's minutes as they stand.
    Recipe,
    /// The recipe's minutes, lengthened by the air.
    #[strum(serialize = "recipe x air")]
    RecipeAir,
    /// The maker's own minutes.
    Maker,
}
written_words!(WaitOrigin);

/// A wait, fixed when the coat is laid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wait {
    /// How long.
    pub span: Span,
    /// On what it rests.
    pub origin: WaitOrigin,
}

/// How rough an area still is under the dark powder.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Roughness {
    /// White all over: smooth.
    None,
    /// Some grey.
    Some,
    /// Much grey.
    Much,
}

/// The coarse map of a check: rows from the top, each with the same number of areas from the left.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct CheckMap {
    rows: Vec<Vec<Roughness>>,
}

/// The largest number of areas across or down a map may have.
pub const MAP_MAX: usize = 24;

impl CheckMap {
    /// A map of those rows; none if they are empty, ragged, or more than `MAP_MAX` either way.
    pub fn new(rows: Vec<Vec<Roughness>>) -> Option<CheckMap> {
        let across = rows.first()?.len();
        let fits = (1..=MAP_MAX).contains(&across) && rows.len() <= MAP_MAX && rows.iter().all(|r| r.len() == across);
        fits.then_some(CheckMap { rows })
    }
    /// The form of the command line: rows from the top separated by `/`, one digit an area, 0 none, 1 some, 2 much.
    pub fn parse(text: &str) -> Option<CheckMap> {
        let row = |r: &str| {
            r.chars()
                .map(|c| match c {
                    '0' => Some(Roughness::None),
                    '1' => Some(Roughness::Some),
                    '2' => Some(Roughness::Much),
                    _ => None,
                })
                .collect::<Option<Vec<_>>>()
        };
        CheckMap::new(text.split('/').map(row).collect::<Option<Vec<_>>>()?)
    }
    /// The rows from the top.
    pub fn rows(&self) -> &[Vec<Roughness>] {
        &self.rows
    }
    /// Whether nothing stays grey.
    pub fn is_clear(&self) -> bool {
        self.rows.iter().flatten().all(|low| *low == Roughness::None)
    }
}

impl std::fmt::Display for CheckMap {
    /// Writes the form [`CheckMap::parse`] reads.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for (i, row) in self.rows.iter().enumerate() {
            if i > 0 {
                f.write_str("/")?;
            }
            for low in row {
                write!(f, "{}", *low as u8)?;
            }
        }
        Ok(())
    }
}

/// What was wrong with a coat that is done again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, VariantArray, VariantNames)]
#[allow(missing_docs, reason = "the names are the words themselves")]
#[strum(serialize_all = "lowercase")]
pub enum Flaw {
    Lumpy,
    Thick,
    Thin,
    Direction,
    Other,
}
written_words!(Flaw);

/// What is said of a panel when it is opened.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelOpened {
    /// What it is filed under.
    pub id: Id,
    /// What the maker calls it, as typed.
    pub label: String,
    /// The board.
    pub size: Size,
    /// What the board is made of.
    pub support: Support,
    /// Which way its grain runs.
    pub grain: Grain,
    /// What will be painted on it.
    pub paint: Paint,
    /// The panel's own copy of the plan.
    pub recipe: Arc<Recipe>,
    /// The first of the panels it was opened together with, if there were several: what they share.
    pub group: Option<Id>,
    /// The sheet of board it was cut from, in the maker's words.
    pub sheet: Option<String>,
    /// It is an offcut that is coated with the boards of its group, to be tried out: nothing is painted on it.
    pub is_witness: bool,
    /// The trial it was opened for, and its place in it: nothing is painted on such a board.
    pub trial: Option<TrialRun>,
}

impl PanelOpened {
    /// As it should have been said.
    pub fn correct(&mut self, correction: &PanelCorrection) {
        let PanelCorrection { label, size, support, grain, paint } = correction;
        if let Some(label) = label {
            self.label.clone_from(label);
        }
        self.size = size.unwrap_or(self.size);
        self.support = support.unwrap_or(self.support);
        self.grain = grain.unwrap_or(self.grain);
        self.paint = paint.unwrap_or(self.paint);
    }

    /// Whether anything is to be painted on it, so that no test may leave a mark there.
    pub const fn is_to_be_painted(&self) -> bool {
        !self.is_witness && self.trial.is_none()
    }
}

/// An act finished: the fact that matters.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StageDone {
    /// The stage it was recorded for; where late facts shift the numbers, the story tells the stage, not this.
    pub stage: Option<Stage>,
    /// The direction actually taken.
    pub direction: Option<Direction>,
    /// The pot it came from.
    pub pot: Option<Id>,
    /// Who was at the brush, in the maker's words.
    pub by: Option<String>,
    /// A check's map; none means clear.
    pub map: Option<CheckMap>,
    /// The wait after it, fixed here.
    pub wait: Option<Wait>,
    /// How many times as long as at 20 C and 50 % a coat took in the air of its time, where that was read.
    pub air_factor: Option<f64>,
}

/// A call that is raised once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, VariantArray, IntoStaticStr)]
#[strum(serialize_all = "lowercase")]
pub enum PanelCall {
    /// Look whether the gloss is gone.
    #[strum(serialize = "look for dull")]
    LookDull,
    /// See to the pot.
    #[strum(serialize = "see to the pot")]
    Pot,
    /// The next act is due.
    Due,
}

impl StoryCall for PanelCall {}

/// Everything that can be a fact of a panel's story.
#[derive(Debug, Clone, PartialEq)]
pub enum PanelEvent {
    /// The panel was opened; always the first fact.
    Opened(Box<PanelOpened>),
    /// An act was begun.
    Started {
        /// The stage it was recorded for.
        stage: Option<Stage>,
    },
    /// An act was finished.
    Done(Box<StageDone>),
    /// The gloss is gone from the last coat.
    Dull,
    /// One more of an act done is added.
    Extra {
        /// One more of what was last done on that face; without it, of the act last done.
        face: Option<Face>,
    },
    /// The act last done is to be done again.
    Repeated {
        /// What was wrong.
        why: Flaw,
    },
    /// The act at hand is left out, or a wait ended.
    Skipped {
        /// The stage it was recorded for.
        stage: Option<Stage>,
        /// Why, in the maker's words.
        why: String,
    },
    /// The maker left the bench.
    Away,
    /// The maker came back.
    Back,
    /// The panel was given up.
    Abandoned {
        /// Why, in the maker's words.
        why: String,
    },
    /// The panel was looked over.
    Inspected(Box<Inspection>),
    /// Its thickness was measured; the first time as the bare board.
    Thick {
        /// At points, in the same order each time.
        points: Vec<Length>,
    },
    /// It was painted on, left the studio, broke, or came back.
    Placed {
        /// What became of it.
        whereabouts: Whereabouts,
        /// To whom it went, in the maker's words.
        to: Option<String>,
    },
    /// What was said of it when it was opened is put right, for the whole story.
    Corrected(Box<PanelCorrection>),
    /// What can happen to a panel and a pot alike.
    Common(CommonEvent<PanelCall>),
}

impl From<CommonEvent<PanelCall>> for PanelEvent {
    fn from(common: CommonEvent<PanelCall>) -> PanelEvent {
        PanelEvent::Common(common)
    }
}

impl StoryEvent for PanelEvent {
    type Call = PanelCall;

    fn name(&self) -> &str {
        match self {
            PanelEvent::Opened(_) => "opened",
            PanelEvent::Started { .. } => "started",
            PanelEvent::Done(_) => "done",
            PanelEvent::Dull => "dull",
            PanelEvent::Extra { .. } => "extra",
            PanelEvent::Repeated { .. } => "repeated",
            PanelEvent::Skipped { .. } => "skipped",
            PanelEvent::Away => "away",
            PanelEvent::Back => "back",
            PanelEvent::Abandoned { .. } => "abandoned",
            PanelEvent::Inspected(_) => "inspected",
            PanelEvent::Thick { .. } => "thick",
            PanelEvent::Placed { .. } => "placed",
            PanelEvent::Corrected(_) => "corrected",
            PanelEvent::Common(common) => common.name(),
        }
    }

    fn can_be_taken_back(&self) -> bool {
        match self {
            PanelEvent::Common(common) => common.can_be_taken_back(),
            PanelEvent::Opened(_) => false,
            PanelEvent::Started { .. }
            | PanelEvent::Done(_)
            | PanelEvent::Dull
            | PanelEvent::Extra { .. }
            | PanelEvent::Repeated { .. }
            | PanelEvent::Skipped { .. }
            | PanelEvent::Away
            | PanelEvent::Back
            | PanelEvent::Inspected(_)
            | PanelEvent::Thick { .. }
            | PanelEvent::Placed { .. }
            | PanelEvent::Corrected(_)
            | PanelEvent::Abandoned { .. } => true,
        }
    }

    fn holds_throughout(&self) -> bool {
        matches!(self, PanelEvent::Corrected(_))
    }

    fn named_pot(&self) -> Option<&Id> {
        if let PanelEvent::Done(done) = self { done.pot.as_ref() } else { None }
    }

    fn named_group(&self) -> Option<&Id> {
        if let PanelEvent::Opened(opened) = self { opened.group.as_ref() } else { None }
    }

    fn refile(&mut self, filing: &Filing) {
        match self {
            PanelEvent::Opened(opened) => {
                opened.id.clone_from(&filing.id);
                if let (Some(group), Some(new)) = (&mut opened.group, &filing.group) {
                    group.clone_from(new);
                }
            }
            PanelEvent::Done(done) => done.pot = done.pot.as_ref().map(|pot| filing.pot(pot)),
            PanelEvent::Started { .. }
            | PanelEvent::Dull
            | PanelEvent::Extra { .. }
            | PanelEvent::Repeated { .. }
            | PanelEvent::Skipped { .. }
            | PanelEvent::Away
            | PanelEvent::Back
            | PanelEvent::Abandoned { .. }
            | PanelEvent::Inspected(_)
            | PanelEvent::Thick { .. }
            | PanelEvent::Placed { .. }
            | PanelEvent::Corrected(_)
            | PanelEvent::Common(_) => {}
        }
    }

    fn as_common(&self) -> Option<&CommonEvent<PanelCall>> {
        if let PanelEvent::Common(common) = self { Some(common) } else { None }
    }
}
