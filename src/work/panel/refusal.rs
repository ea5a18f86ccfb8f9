//! Why a fact cannot be true, and what to do instead. Each is one sentence for the maker.
//!
//! Absent on purpose: advice about what is merely unwise; that is recorded and told of afterwards.

use super::event::{Call, Stage};
use super::inspection::NotSeen;
use crate::units::{Span, Stamp};
use std::fmt;

/// Why a fact was refused.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "the fields are what the sentence names")]
pub enum Refusal {
    /// The first fact of a story is not its opening.
    NotOpened,
    /// An opening inside a story.
    AlreadyOpened,
    /// Begun already.
    AlreadyBegun { stage: Stage },
    /// Everything is done.
    NothingLeft,
    /// The panel was given up.
    GivenUp,
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
    NoAwayHere,
    /// A map belongs to a check.
    NoMapHere { stage: Stage },
    /// The map does not fit the recipe.
    MapShape { columns: u32, rows: u32 },
    /// The act has no direction.
    NoDirectionHere { stage: Stage },
    /// Nothing can be taken back.
    NothingToTakeBack,
    /// A take-back that does not name the last standing fact.
    NotTheLastFact { seq: u64 },
    /// The last fact is not the one the maker saw.
    AnotherFactSince,
    /// Before the panel was opened.
    BeforeOpening { opened_at: Stamp },
    /// Too far ahead of the clock.
    Ahead { by: Span },
    /// A later fact would become impossible.
    StoryBreaks { at: Stamp, fact: String, because: Box<Refusal> },
    /// The stage the maker saw is no longer at hand.
    NoLongerAtHand { seen: Stage, recorded_at: Stamp },
    /// More than any panel could have.
    TooMany { most: usize },
    /// Words are missing.
    NoWords,
    /// More words than fit in a line.
    TooManyWords { most: usize },
    /// The call was raised already.
    AlreadyRaised { call: Call },
    /// An inspection that cannot be true.
    NotSeen { why: NotSeen },
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Refusal::NotOpened => f.write_str("the story does not begin with its opening"),
            Refusal::AlreadyOpened => f.write_str("the panel is open already"),
            Refusal::AlreadyBegun { stage } => {
                write!(f, "{stage} is begun already; record it as done, or take the start back")
            }
            Refusal::NothingLeft => {
                f.write_str("everything on this panel is done; add one more with \"extra\", or inspect it")
            }
            Refusal::GivenUp => f.write_str("this panel was given up; take that back first"),
            Refusal::NothingDoneYet => f.write_str("nothing has been done on this panel yet"),
            Refusal::UnderWay { stage } => {
                write!(f, "{stage} is under way; record it as done, or take the start back, first")
            }
            Refusal::NothingDrying => f.write_str("no coat is drying, so none can have gone dull"),
            Refusal::AlreadyDull { stage } => {
                write!(f, "{stage} is marked dull already; take that back to mark it at another time")
            }
            Refusal::AlreadyAway => f.write_str("away already; mark \"back\" first"),
            Refusal::NotAway => f.write_str("not away, so not back either"),
            Refusal::NoAwayHere => {
                f.write_str("being away matters only between the stipple and the last coat; nothing to record")
            }
            Refusal::NoMapHere { stage } => write!(f, "a map belongs to a check, and {stage} is none"),
            Refusal::MapShape { columns, rows } => {
                write!(
                    f,
                    "the map of this panel has {rows} rows of {columns} areas, as in \"{}\"",
                    example(*columns, *rows)
                )
            }
            Refusal::NoDirectionHere { stage } => write!(f, "{stage} has no direction; leave it out"),
            Refusal::NothingToTakeBack => f.write_str("nothing is left to take back; the opening stays"),
            Refusal::NotTheLastFact { seq } => write!(f, "fact {seq} is not the last one standing"),
            Refusal::AnotherFactSince => f.write_str("another fact was recorded since; look again before taking back"),
            Refusal::BeforeOpening { .. } => f.write_str("that lies before the panel was opened; give a later time"),
            Refusal::Ahead { by } => {
                write!(f, "that lies {:.0} min ahead; a fact can be recorded once it has happened", by.minutes())
            }
            Refusal::StoryBreaks { fact, because, .. } => {
                write!(f, "then a later fact ({fact}) could not be true: {because}")
            }
            Refusal::NoLongerAtHand { seen, .. } => write!(f, "{seen} is no longer at hand"),
            Refusal::TooMany { most } => write!(f, "a panel takes at most {most} stages"),
            Refusal::NoWords => f.write_str("it needs a word or two"),
            Refusal::TooManyWords { most } => write!(f, "that is too long; at most {most} characters are kept"),
            Refusal::AlreadyRaised { call } => write!(f, "the call \"{}\" was raised already", call.name()),
            Refusal::NotSeen { why } => why.fmt(f),
        }
    }
}

impl std::error::Error for Refusal {}

/// A clear map of that shape, as an example.
fn example(columns: u32, rows: u32) -> String {
    let row = "0".repeat(columns as usize);
    vec![row; rows as usize].join("/")
}
