//! Why a fact cannot be true, and what to do instead. Each is one sentence for the maker.
//!
//! Absent on purpose: advice about what is merely unwise; that is recorded and told of afterwards.

use super::event::{PanelCall, Stage};
use super::inspection::InspectionError;
use crate::units::{Span, Stamp};
use std::fmt;

/// Why a fact was refused.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "the fields are what the sentence names")]
pub enum PanelRefusal {
    /// The first fact of a story is not its opening.
    NotOpened,
    /// An opening inside a story.
    AlreadyOpened,
    /// Begun already.
    AlreadyBegun { stage: Stage },
    /// Everything is done.
    NothingLeft,
    /// The panel was given up.
    Abandoned,
    /// Nothing was done yet that could be repeated or added to.
    NothingDoneYet,
    /// Something is under way.
    UnderWay { stage: Stage },
    /// No coat is drying.
    NothingDrying,
    /// The coat was marked dull already.
    AlreadyDull { stage: Stage },
    /// Away already.
    AlreadyAway,
    /// Not away.
    NotAway,
    /// Away matters only between stipple and last coat.
    AwayNotAllowed,
    /// A map belongs to a check.
    MapNotAllowed { stage: Stage },
    /// The map does not fit the recipe.
    MapShapeMismatch { columns: u32, rows: u32 },
    /// The act has no direction.
    DirectionNotAllowed { stage: Stage },
    /// Nothing can be taken back.
    NothingToTakeBack,
    /// A take-back that does not name the last standing fact.
    NotTheLastFact { seq: u64 },
    /// The last fact is not the one the maker saw.
    LastFactChanged,
    /// Before the panel was opened.
    BeforeOpening { opened_at: Stamp },
    /// Too far ahead of the clock.
    TooFarAhead { by: Span },
    /// A later fact would become impossible.
    StoryBreaks { at: Stamp, fact: String, cause: Box<PanelRefusal> },
    /// The stage the maker saw is no longer at hand.
    NoLongerAtHand { seen: Stage, recorded_at: Stamp },
    /// More than any panel could have.
    TooManyStages { most: usize },
    /// Words are missing.
    EmptyText,
    /// More words than fit in a line.
    TextTooLong { most: usize },
    /// The call was raised already.
    AlreadyRaised { call: PanelCall },
    /// An inspection that cannot be true.
    InvalidInspection { error: InspectionError },
}

impl fmt::Display for PanelRefusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PanelRefusal::NotOpened => f.write_str("the story does not begin with its opening"),
            PanelRefusal::AlreadyOpened => f.write_str("the panel is open already"),
            PanelRefusal::AlreadyBegun { stage } => {
                write!(f, "{stage} is begun already; record it as done, or take the start back")
            }
            PanelRefusal::NothingLeft => {
                f.write_str("everything on this panel is done; add one more with \"extra\", or inspect it")
            }
            PanelRefusal::Abandoned => f.write_str("this panel was given up; take that back first"),
            PanelRefusal::NothingDoneYet => f.write_str("nothing has been done on this panel yet"),
            PanelRefusal::UnderWay { stage } => {
                write!(f, "{stage} is under way; record it as done, or take the start back, first")
            }
            PanelRefusal::NothingDrying => f.write_str("no coat is drying, so none can have gone dull"),
            PanelRefusal::AlreadyDull { stage } => {
                write!(f, "{stage} is marked dull already; take that back to mark it at another time")
            }
            PanelRefusal::AlreadyAway => f.write_str("away already; mark \"back\" first"),
            PanelRefusal::NotAway => f.write_str("not away, so not back either"),
            PanelRefusal::AwayNotAllowed => {
                f.write_str("being away matters only between the stipple and the last coat; nothing to record")
            }
            PanelRefusal::MapNotAllowed { stage } => write!(f, "a map belongs to a check, and {stage} is none"),
            PanelRefusal::MapShapeMismatch { columns, rows } => {
                write!(
                    f,
                    "the map of this panel has {rows} rows of {columns} areas, as in \"{}\"",
                    example_map(*columns, *rows)
                )
            }
            PanelRefusal::DirectionNotAllowed { stage } => write!(f, "{stage} has no direction; leave it out"),
            PanelRefusal::NothingToTakeBack => f.write_str("nothing is left to take back; the opening stays"),
            PanelRefusal::NotTheLastFact { seq } => write!(f, "fact {seq} is not the last one standing"),
            PanelRefusal::LastFactChanged => {
                f.write_str("another fact was recorded since; look again before taking back")
            }
            PanelRefusal::BeforeOpening { .. } => {
                f.write_str("that lies before the panel was opened; give a later time")
            }
            PanelRefusal::TooFarAhead { by } => {
                write!(f, "that lies {:.0} min ahead; a fact can be recorded once it has happened", by.minutes())
            }
            PanelRefusal::StoryBreaks { fact, cause: because, .. } => {
                write!(f, "then a later fact ({fact}) could not be true: {because}")
            }
            PanelRefusal::NoLongerAtHand { seen, .. } => write!(f, "{seen} is no longer at hand"),
            PanelRefusal::TooManyStages { most } => write!(f, "a panel takes at most {most} stages"),
            PanelRefusal::EmptyText => f.write_str("it needs a word or two"),
            PanelRefusal::TextTooLong { most } => write!(f, "that is too long; at most {most} characters are kept"),
            PanelRefusal::AlreadyRaised { call } => write!(f, "the call \"{}\" was raised already", call.name()),
            PanelRefusal::InvalidInspection { error: why } => why.fmt(f),
        }
    }
}

impl std::error::Error for PanelRefusal {}

/// A clear map of that shape, as an example.
fn example_map(columns: u32, rows: u32) -> String {
    let row = "0".repeat(columns as usize);
    vec![row; rows as usize].join("/")
}
