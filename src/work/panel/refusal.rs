//! Why a fact cannot be true, and what to do instead. Each is one sentence for the maker. What is merely unwise is
//! recorded and told of afterwards.

use super::event::{Face, PanelCall, Stage};
use super::ground_test::GroundTest;
use super::inspection::InspectionError;
use crate::text::format_count;
use crate::units::Stamp;
use crate::work::story::{OrderRefusal, StoryCall, TextRefusal};
use std::fmt;

/// Why a fact was refused.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "the fields are what the sentence names")]
pub enum PanelRefusal {
    /// It has no place in the story.
    Order(OrderRefusal<PanelRefusal>),
    /// Its words cannot be taken in.
    Text(TextRefusal),
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
    /// Nothing was done yet on that face that could be added to.
    NothingDoneOnFace { face: Face },
    /// Something is under way.
    UnderWay { stage: Stage },
    /// No coat is drying.
    NothingDrying,
    /// What lies on top is no gesso. Held where the fact is made, and not when a story is read.
    NoGessoDrying { stage: Stage },
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
    /// The stage the maker saw is no longer at hand.
    NoLongerAtHand { seen: Stage, recorded_at: Stamp },
    /// More than any panel could have.
    TooManyStages { most: usize },
    /// The call was raised already.
    AlreadyRaised { call: PanelCall },
    /// Not a weight.
    InvalidMass,
    /// Not a thickness, or too many of them.
    InvalidThickness { most: usize },
    /// Nothing would be put right.
    NothingToCorrect,
    /// It did not go, so it cannot have come back.
    NotGone,
    /// It cannot be painted, sold or given before it is finished or given up. Held where the fact is made.
    NotFinished,
    /// An inspection that cannot be true.
    InvalidInspection { error: InspectionError },
    /// A test that leaves its mark. Held where the fact is made, and not when a story is read.
    ToBePainted { test: GroundTest },
}

impl fmt::Display for PanelRefusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PanelRefusal::Order(refusal) => refusal.fmt(f),
            PanelRefusal::Text(refusal) => refusal.fmt(f),
            PanelRefusal::AlreadyOpened => f.write_str("the panel is open already"),
            PanelRefusal::AlreadyBegun { stage } => {
                write!(f, "{stage} is begun already; record it as done, or take the start back")
            }
            PanelRefusal::NothingLeft => {
                f.write_str("everything on this panel is done; add one more with \"extra\", or inspect it")
            }
            PanelRefusal::Abandoned => f.write_str("this panel was given up; take that back first"),
            PanelRefusal::NothingDoneYet => f.write_str("nothing has been done on this panel yet"),
            PanelRefusal::NothingDoneOnFace { face } => {
                write!(f, "nothing has been done on the {} of this panel yet", face.name())
            }
            PanelRefusal::UnderWay { stage } => {
                write!(f, "{stage} is under way; record it as done, or take the start back, first")
            }
            PanelRefusal::NothingDrying => f.write_str("no coat is drying, so none can have gone dull"),
            PanelRefusal::NoGessoDrying { stage } => {
                write!(f, "{stage} is no gesso, and only gesso goes dull; when it is dry record the next act")
            }
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
                    "the map of this panel has {} of {}, as in \"{}\"",
                    format_count(*rows, "row"),
                    format_count(*columns, "area"),
                    example_map(*columns, *rows)
                )
            }
            PanelRefusal::DirectionNotAllowed { stage } => write!(f, "{stage} has no direction; leave it out"),
            PanelRefusal::NoLongerAtHand { seen, .. } => write!(f, "{seen} is no longer at hand"),
            PanelRefusal::TooManyStages { most } => write!(f, "a panel takes at most {most} stages"),
            PanelRefusal::AlreadyRaised { call } => write!(f, "the call \"{}\" was raised already", call.name()),
            PanelRefusal::InvalidMass => f.write_str("that is no weight; give one above nothing, as in \"812g\""),
            PanelRefusal::InvalidThickness { most } => {
                write!(f, "give 1 to {most} thicknesses above nothing, each with its unit, as in \"12.4mm\"")
            }
            PanelRefusal::NothingToCorrect => f.write_str("that is what it says already; nothing to put right"),
            PanelRefusal::NotGone => f.write_str("it was neither sold nor given, so it cannot have come back"),
            PanelRefusal::NotFinished => f.write_str(
                "this panel is not finished: record what is left, leave it out with \"skip\", or give it up with \"abandon\", first",
            ),
            PanelRefusal::InvalidInspection { error: why } => why.fmt(f),
            PanelRefusal::ToBePainted { test } => write!(
                f,
                "this panel is to be painted, and {} leaves a mark: test its witness or a trial board instead",
                test.noun()
            ),
        }
    }
}

impl std::error::Error for PanelRefusal {}

impl From<OrderRefusal<PanelRefusal>> for PanelRefusal {
    fn from(refusal: OrderRefusal<PanelRefusal>) -> PanelRefusal {
        PanelRefusal::Order(refusal)
    }
}

impl From<TextRefusal> for PanelRefusal {
    fn from(refusal: TextRefusal) -> PanelRefusal {
        PanelRefusal::Text(refusal)
    }
}

/// A clear map of that shape, as an example.
fn example_map(columns: u32, rows: u32) -> String {
    let row = "0".repeat(columns as usize);
    vec![row; rows as usize].join("/")
}
