//! Why a fact of a pot cannot be true, and what is doubtful about one that can. Each is one sentence for the maker.
//!
//! A refusal keeps a fact out; a question lets it in and stays beside it. Absent on purpose: advice about what is merely
//! unwise.

use super::event::Call;
use crate::units::{Id, Mass, Span, Stamp, Temperature};
use std::fmt;

/// Why a fact was refused.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "the fields are what the sentence names")]
pub enum Refusal {
    /// The first fact of a story is not its opening.
    NotOpened,
    /// An opening inside a story.
    AlreadyOpened,
    /// Poured from a pot that is no size.
    ParentIsNoSize { parent: Id },
    /// Poured from itself.
    OwnParent,
    /// In the bath already.
    InTheBath { since: Stamp },
    /// Not in the bath.
    NotInTheBath,
    /// Soaking already.
    AlreadySoaking,
    /// Past soaking.
    PastSoaking,
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
    NoTemperature,
    /// No weight.
    NoMass,
    /// Heavier than any pot of this trade.
    TooHeavy { most: Mass },
    /// Nothing can be taken back.
    NothingToTakeBack,
    /// A take-back that does not name the last standing fact.
    NotTheLastFact { seq: u64 },
    /// The last fact is not the one the maker saw.
    AnotherFactSince,
    /// Before the pot was opened.
    BeforeOpening { opened_at: Stamp },
    /// Too far ahead of the clock.
    Ahead { by: Span },
    /// A later fact would become impossible.
    StoryBreaks { at: Stamp, fact: String, because: Box<Refusal> },
    /// Words are missing.
    NoWords,
    /// More words than fit in a line.
    TooManyWords { most: usize },
    /// The call was raised already.
    AlreadyRaised { call: Call },
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Refusal::NotOpened => f.write_str("the story does not begin with its opening"),
            Refusal::AlreadyOpened => f.write_str("the pot is open already"),
            Refusal::ParentIsNoSize { parent } => {
                write!(f, "\"{parent}\" is no size; a pot is poured from a pot of size")
            }
            Refusal::OwnParent => f.write_str("a pot cannot be poured from itself; name the pot of size it came from"),
            Refusal::InTheBath { .. } => f.write_str("it is in the bath already; mark \"out\" first"),
            Refusal::NotInTheBath => {
                f.write_str("it is not in the bath; if it was, mark \"melt\" first, with the time it went in")
            }
            Refusal::AlreadySoaking => f.write_str("it is soaking already; take that back to mark it at another time"),
            Refusal::PastSoaking => f.write_str("it was melted already; open another pot for glue that is soaked anew"),
            Refusal::AlreadyMade => f.write_str("it is marked made already; take that back to mark it at another time"),
            Refusal::AlreadyGelled => f.write_str("it is marked gelled already; mark \"melt\" or \"liquid\" first"),
            Refusal::NothingToGel => {
                f.write_str("it was never liquid, so it cannot have gelled; mark \"melt\" or \"liquid\" first")
            }
            Refusal::UsedUp => f.write_str("this pot is used up; take that back first"),
            Refusal::ThrownAway => f.write_str("this pot was thrown away; take that back first"),
            Refusal::AboveBoiling { temp } => {
                write!(f, "an open pot does not get hotter than 100 C, and that is {:.1} C; is it in F?", temp.c())
            }
            Refusal::TooCold { temp } => {
                write!(f, "{:.1} C is colder than any workroom or freezer; read the thermometer again", temp.c())
            }
            Refusal::NoTemperature => f.write_str("that is no temperature; give one as in \"48C\""),
            Refusal::NoMass => f.write_str("that is no weight; give one above nothing, as in \"812g\""),
            Refusal::TooHeavy { most } => {
                write!(f, "that is more than {:.0} kg; give the weight of this pot", most.g() / 1000.0)
            }
            Refusal::NothingToTakeBack => f.write_str("nothing is left to take back; the opening stays"),
            Refusal::NotTheLastFact { seq } => write!(f, "fact {seq} is not the last one standing"),
            Refusal::AnotherFactSince => f.write_str("another fact was recorded since; look again before taking back"),
            Refusal::BeforeOpening { .. } => f.write_str("that lies before the pot was opened; give a later time"),
            Refusal::Ahead { by } => {
                write!(f, "that lies {:.0} min ahead; a fact can be recorded once it has happened", by.minutes())
            }
            Refusal::StoryBreaks { fact, because, .. } => {
                write!(f, "then a later fact ({fact}) could not be true: {because}")
            }
            Refusal::NoWords => f.write_str("it needs a word or two"),
            Refusal::TooManyWords { most } => write!(f, "that is too long; at most {most} characters are kept"),
            Refusal::AlreadyRaised { call } => write!(f, "the call \"{}\" was raised already", call.name()),
        }
    }
}

impl std::error::Error for Refusal {}

/// What is doubtful about a fact that was taken in.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "the fields are what the sentence names")]
pub enum Question {
    /// Liquid, and never in the bath.
    NeverMelted,
    /// Liquid again after it had gelled, without the bath.
    LiquidWithoutBath,
    /// A jelly while it stands in the bath.
    GelledInBath,
    /// Out of the bath before it was marked liquid.
    OutUnmelted,
    /// Melted though no soak was marked.
    NeverSoaked,
    /// Melted before the recipe's soak was over.
    SoakedShort { by: Span },
    /// Dry glue in a pot that was poured from another.
    SoakedThoughPoured,
    /// Made while it was no liquid.
    MadeUnmelted,
    /// A gesso poured from no pot, or from one that is not named.
    NoParent,
    /// Below freezing.
    Frozen { temp: Temperature },
    /// Heavier than before, and no water was given.
    HeavierWithoutWater { by: Mass },
    /// Lighter by more than half of what it weighed.
    MuchLighter { by: Mass },
}

impl fmt::Display for Question {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Question::NeverMelted => f.write_str("marked liquid, but it was never in the bath: was that left out?"),
            Question::LiquidWithoutBath => {
                f.write_str("it had gelled and is liquid again without the bath: was that left out?")
            }
            Question::GelledInBath => f.write_str("gelled while it stands in the bath: has the bath gone cold?"),
            Question::OutUnmelted => f.write_str("out of the bath before it was marked liquid: is it liquid?"),
            Question::NeverSoaked => f.write_str("melted, but no soak was marked: is the glue swollen through?"),
            Question::SoakedShort { by } => {
                write!(f, "it soaked {:.1} h less than the recipe says: is the glue swollen through?", by.hours())
            }
            Question::SoakedThoughPoured => {
                f.write_str("glue was put to soak in a pot that was poured from another: is it the right pot?")
            }
            Question::MadeUnmelted => f.write_str("marked made while it was not liquid: was a mark left out?"),
            Question::NoParent => f.write_str("no pot of size is named for this gesso: where is its glue from?"),
            Question::Frozen { temp } => write!(f, "{:.1} C is below freezing: is that right?", temp.c()),
            Question::HeavierWithoutWater { by } => {
                write!(f, "{:.1} g heavier than before, and no water was marked: how much was given?", by.g())
            }
            Question::MuchLighter { by } => {
                write!(f, "{:.1} g lighter than before, more than half: was it weighed the same way?", by.g())
            }
        }
    }
}
