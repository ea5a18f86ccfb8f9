//! Why a fact of a pot cannot be true, and what is doubtful about one that can. Each is one sentence for the maker.
//!
//! A refusal keeps a fact out; a question lets it in and stays beside it.

use super::event::PotCall;
use crate::units::{Id, Mass, Span, Stamp, Temperature};
use crate::work::story::{OrderRefusal, StoryCall, TextRefusal};
use std::fmt;

/// Why a fact was refused.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "the fields are what the sentence names")]
pub enum PotRefusal {
    /// It has no place in the story.
    Order(OrderRefusal<PotRefusal>),
    /// Its words cannot be taken in.
    Text(TextRefusal),
    /// An opening inside a story.
    AlreadyOpened,
    /// Poured from a pot that is no size.
    ParentNotSize { parent: Id },
    /// Poured from itself.
    ParentIsItself,
    /// In the bath already.
    AlreadyInBath { since: Stamp },
    /// Not in the bath.
    NotInBath,
    /// Soaking already.
    AlreadySoaking,
    /// Past soaking.
    AlreadyMelted,
    /// Made already.
    AlreadyMade,
    /// A jelly already.
    AlreadyGelled,
    /// Dry glue does not gel before it was liquid.
    NothingToGel,
    /// Used up.
    UsedUp,
    /// Thrown away.
    ThrownAway,
    /// No pot of water is that hot.
    AboveBoiling { temp: Temperature },
    /// No room and no freezer is that cold.
    TooCold { temp: Temperature },
    /// Not a number of degrees.
    InvalidTemperature,
    /// No weight.
    InvalidMass,
    /// Heavier than any pot of this trade.
    TooHeavy { most: Mass },
    /// A powder in a pot of size.
    FillerInSize,
    /// A refractometer does not see through gesso.
    BrixOfGesso,
    /// Not a reading of a refractometer.
    InvalidBrix,
    /// The call was raised already.
    AlreadyRaised { call: PotCall },
}

impl fmt::Display for PotRefusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PotRefusal::Order(refusal) => refusal.fmt(f),
            PotRefusal::Text(refusal) => refusal.fmt(f),
            PotRefusal::AlreadyOpened => f.write_str("the pot is open already"),
            PotRefusal::ParentNotSize { parent } => {
                write!(f, "\"{parent}\" is no size; a pot is poured from a pot of size")
            }
            PotRefusal::ParentIsItself => {
                f.write_str("a pot cannot be poured from itself; name the pot of size it came from")
            }
            PotRefusal::AlreadyInBath { .. } => f.write_str("it is in the bath already; mark \"out\" first"),
            PotRefusal::NotInBath => {
                f.write_str("it is not in the bath; if it was, mark \"melt\" first, with the time it went in")
            }
            PotRefusal::AlreadySoaking => {
                f.write_str("it is soaking already; take that back to mark it at another time")
            }
            PotRefusal::AlreadyMelted => {
                f.write_str("it was melted already; open another pot for glue that is soaked anew")
            }
            PotRefusal::AlreadyMade => {
                f.write_str("it is marked made already; take that back to mark it at another time")
            }
            PotRefusal::AlreadyGelled => f.write_str("it is marked gelled already; mark \"melt\" or \"liquid\" first"),
            PotRefusal::NothingToGel => {
                f.write_str("it was never liquid, so it cannot have gelled; mark \"melt\" or \"liquid\" first")
            }
            PotRefusal::UsedUp => f.write_str("this pot is used up; take that back first"),
            PotRefusal::ThrownAway => f.write_str("this pot was thrown away; take that back first"),
            PotRefusal::AboveBoiling { temp } => {
                write!(f, "an open pot does not get hotter than 100 C, and that is {:.1} C; is it in F?", temp.c())
            }
            PotRefusal::TooCold { temp } => {
                write!(f, "{:.1} C is colder than any workroom or freezer; read the thermometer again", temp.c())
            }
            PotRefusal::InvalidTemperature => f.write_str("that is no temperature; give one as in \"48C\""),
            PotRefusal::InvalidMass => f.write_str("that is no weight; give one above nothing, as in \"812g\""),
            PotRefusal::TooHeavy { most } => {
                write!(f, "that is more than {:.0} kg; give the weight of this pot", most.g() / 1000.0)
            }
            PotRefusal::FillerInSize => {
                f.write_str("a pot of size has no filler; name it where the gesso is marked made")
            }
            PotRefusal::BrixOfGesso => {
                f.write_str("a refractometer needs clear size; read the pot of size this gesso is poured from")
            }
            PotRefusal::InvalidBrix => {
                f.write_str("that is no reading of a refractometer; give degrees above nothing, as in 8.2")
            }
            PotRefusal::AlreadyRaised { call } => write!(f, "the call \"{}\" was raised already", call.name()),
        }
    }
}

impl std::error::Error for PotRefusal {}

impl From<OrderRefusal<PotRefusal>> for PotRefusal {
    fn from(refusal: OrderRefusal<PotRefusal>) -> PotRefusal {
        PotRefusal::Order(refusal)
    }
}

impl From<TextRefusal> for PotRefusal {
    fn from(refusal: TextRefusal) -> PotRefusal {
        PotRefusal::Text(refusal)
    }
}

/// What is doubtful about a fact that was taken in.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "the fields are what the sentence names")]
pub enum PotQuestion {
    /// Liquid, and never in the bath.
    NeverMelted,
    /// Liquid again after it had gelled, without the bath.
    LiquidWithoutBath,
    /// A jelly while it stands in the bath.
    GelledInBath,
    /// Out of the bath before it was marked liquid.
    OutBeforeLiquid,
    /// Melted though no soak was marked.
    NeverSoaked,
    /// Melted before the recipe's soak was over.
    SoakTooShort { by: Span },
    /// Dry glue in a pot that was poured from another.
    SoakedThoughPoured,
    /// Made while it was no liquid.
    MadeBeforeLiquid,
    /// A gesso poured from no pot, or from one that is not named.
    NoParent,
    /// Below freezing.
    Frozen { temp: Temperature },
    /// What was weighed makes a strength that no recipe has.
    StrengthFarOff { strength: f64, planned: f64 },
    /// A powder its recipe does not have.
    OtherFiller { name: &'static str },
    /// Heavier than before, and no water was given.
    HeavierWithoutWater { by: Mass },
    /// Lighter by more than half of what it weighed.
    MuchLighter { by: Mass },
}

impl fmt::Display for PotQuestion {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PotQuestion::NeverMelted => f.write_str("marked liquid, but it was never in the bath: was that left out?"),
            PotQuestion::LiquidWithoutBath => {
                f.write_str("it had gelled and is liquid again without the bath: was that left out?")
            }
            PotQuestion::GelledInBath => f.write_str("gelled while it stands in the bath: has the bath gone cold?"),
            PotQuestion::OutBeforeLiquid => f.write_str("out of the bath before it was marked liquid: is it liquid?"),
            PotQuestion::NeverSoaked => f.write_str("melted, but no soak was marked: is the glue swollen through?"),
            PotQuestion::SoakTooShort { by } => {
                write!(f, "it soaked {:.1} h less than the recipe says: is the glue swollen through?", by.hours())
            }
            PotQuestion::SoakedThoughPoured => {
                f.write_str("glue was put to soak in a pot that was poured from another: is it the right pot?")
            }
            PotQuestion::MadeBeforeLiquid => f.write_str("marked made while it was not liquid: was a mark left out?"),
            PotQuestion::NoParent => f.write_str("no pot of size is named for this gesso: where is its glue from?"),
            PotQuestion::Frozen { temp } => write!(f, "{:.1} C is below freezing: is that right?", temp.c()),
            PotQuestion::StrengthFarOff { strength, planned } => write!(
                f,
                "that makes {strength:.0} g of glue to a litre, where the recipe has {planned:.0}: are both masses right?"
            ),
            PotQuestion::OtherFiller { name } => {
                write!(f, "{name} is not in the recipe of this pot: is it the right powder?")
            }
            PotQuestion::HeavierWithoutWater { by } => {
                write!(f, "{:.1} g heavier than before, and no water was marked: how much was given?", by.g())
            }
            PotQuestion::MuchLighter { by } => {
                write!(f, "{:.1} g lighter than before, more than half: was it weighed the same way?", by.g())
            }
        }
    }
}
