//! What can happen to a panel: the closed list of facts.
//!
//! Absent on purpose: how a fact is written to a line (`record::journal::panel_line`), whether it can be true (`fold`).

use super::inspection::Inspection;
use crate::craft::materials::Support;
use crate::craft::recipe::{Direction, Paint, Recipe};
use crate::units::{Id, Size, Span};
use crate::work::story::{CommonEvent, StoryCall, StoryEvent};
use std::sync::Arc;

/// The kind of a stage.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StageKind {
    /// Name and arrow on the back, edges broken, faces keyed and degreased.
    Prepare,
    /// A coat of size.
    Size,
    /// Linen laid in size.
    Cloth,
    /// The size cures.
    Cure,
    /// The first gesso coat, tapped in.
    Stipple,
    /// A brushed gesso coat.
    Coat,
    /// The ground dries.
    Dry,
    /// A round of scraping.
    Scrape,
    /// The barely damp cloth.
    Polish,
    /// The dark powder.
    Check,
    /// The ground rests.
    Rest,
    /// A coat of shellac or thin glue.
    Seal,
    /// The last fine pass.
    Sand,
}

impl StageKind {
    /// Every kind, in the order of the work.
    pub const ALL: [StageKind; 13] = [
        StageKind::Prepare,
        StageKind::Size,
        StageKind::Cloth,
        StageKind::Cure,
        StageKind::Stipple,
        StageKind::Coat,
        StageKind::Dry,
        StageKind::Scrape,
        StageKind::Polish,
        StageKind::Check,
        StageKind::Rest,
        StageKind::Seal,
        StageKind::Sand,
    ];
    /// The word written in journals and JSON.
    pub const fn name(self) -> &'static str {
        match self {
            StageKind::Prepare => "prepare",
            StageKind::Size => "size",
            StageKind::Cloth => "cloth",
            StageKind::Cure => "cure",
            StageKind::Stipple => "stipple",
            StageKind::Coat => "coat",
            StageKind::Dry => "dry",
            StageKind::Scrape => "scrape",
            StageKind::Polish => "polish",
            StageKind::Check => "check",
            StageKind::Rest => "rest",
            StageKind::Seal => "seal",
            StageKind::Sand => "sand",
        }
    }
    /// The kind of that name.
    pub fn from_name(name: &str) -> Option<StageKind> {
        StageKind::ALL.into_iter().find(|k| k.name() == name)
    }
    /// Whether it begins and ends by itself, as a wait.
    pub const fn ends_by_itself(self) -> bool {
        matches!(self, StageKind::Cure | StageKind::Dry | StageKind::Rest)
    }
}

/// A face of the board.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Face {
    /// The face that will be painted.
    Front,
    /// The other.
    Back,
    /// Both together.
    Both,
}

impl Face {
    /// The word written in journals and JSON.
    pub const fn name(self) -> &'static str {
        match self {
            Face::Front => "front",
            Face::Back => "back",
            Face::Both => "both",
        }
    }
    /// The face of that name.
    pub fn from_name(name: &str) -> Option<Face> {
        [Face::Front, Face::Back, Face::Both].into_iter().find(|f| f.name() == name)
    }
}

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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WaitOrigin {
    /// The recipe's minutes as they stand.
    Recipe,
    /// The recipe's minutes, lengthened by the air.
    RecipeAir,
    /// The maker's own minutes.
    Maker,
}

impl WaitOrigin {
    /// The words written in journals and JSON.
    pub const fn name(self) -> &'static str {
        match self {
            WaitOrigin::Recipe => "recipe",
            WaitOrigin::RecipeAir => "recipe x air",
            WaitOrigin::Maker => "maker",
        }
    }
    /// The one of that name.
    pub fn from_name(name: &str) -> Option<WaitOrigin> {
        [WaitOrigin::Recipe, WaitOrigin::RecipeAir, WaitOrigin::Maker].into_iter().find(|w| w.name() == name)
    }
}

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
    /// A map of those rows; none if they are empty, ragged, or more than [`MAP_MAX`] either way.
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs, reason = "the names are the words themselves")]
pub enum Flaw {
    Lumpy,
    Thick,
    Thin,
    Direction,
    Other,
}

impl Flaw {
    /// Every flaw, in the order they are told.
    pub const ALL: [Flaw; 5] = [Flaw::Lumpy, Flaw::Thick, Flaw::Thin, Flaw::Direction, Flaw::Other];
    /// The word for it.
    pub const fn name(self) -> &'static str {
        match self {
            Flaw::Lumpy => "lumpy",
            Flaw::Thick => "thick",
            Flaw::Thin => "thin",
            Flaw::Direction => "direction",
            Flaw::Other => "other",
        }
    }
    /// The flaw of that name.
    pub fn from_name(name: &str) -> Option<Flaw> {
        Flaw::ALL.into_iter().find(|f| f.name() == name)
    }
}

/// Which way the grain of the face runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Grain {
    /// Along the width.
    Width,
    /// Along the height.
    Height,
}

impl Grain {
    /// The word for it.
    pub const fn name(self) -> &'static str {
        match self {
            Grain::Width => "width",
            Grain::Height => "height",
        }
    }
    /// The grain of that name.
    pub fn from_name(name: &str) -> Option<Grain> {
        [Grain::Width, Grain::Height].into_iter().find(|g| g.name() == name)
    }
}

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
    /// A check's map; none means clear.
    pub map: Option<CheckMap>,
    /// The wait after it, fixed here.
    pub wait: Option<Wait>,
}

/// A call that is raised once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PanelCall {
    /// Look whether the gloss is gone.
    LookDull,
    /// See to the pot.
    Pot,
    /// The next act is due.
    Due,
}

impl StoryCall for PanelCall {
    const ALL: &'static [PanelCall] = &[PanelCall::LookDull, PanelCall::Pot, PanelCall::Due];

    fn name(self) -> &'static str {
        match self {
            PanelCall::LookDull => "look for dull",
            PanelCall::Pot => "see to the pot",
            PanelCall::Due => "due",
        }
    }
}

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
    /// One more of the act last done is added.
    Extra,
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
            PanelEvent::Extra => "extra",
            PanelEvent::Repeated { .. } => "repeated",
            PanelEvent::Skipped { .. } => "skipped",
            PanelEvent::Away => "away",
            PanelEvent::Back => "back",
            PanelEvent::Abandoned { .. } => "abandoned",
            PanelEvent::Inspected(_) => "inspected",
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
            | PanelEvent::Extra
            | PanelEvent::Repeated { .. }
            | PanelEvent::Skipped { .. }
            | PanelEvent::Away
            | PanelEvent::Back
            | PanelEvent::Inspected(_)
            | PanelEvent::Abandoned { .. } => true,
        }
    }

    fn as_common(&self) -> Option<&CommonEvent<PanelCall>> {
        if let PanelEvent::Common(common) = self { Some(common) } else { None }
    }
}
