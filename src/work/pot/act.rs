//! What a maker asks to have recorded of a pot, and how it becomes a fact.

use super::event::{PotEvent, PotKind, PotOpened};
use super::fold::{Pot, check_mass};
use super::refraction::BRIX_MAX;
use super::refusal::PotRefusal;
use super::story::PotStory;
use super::weighed::WeighedParts;
use crate::units::{Mass, Temperature};
use crate::work::story::{CommonEvent, validate_text};

/// What a maker asks to have recorded.
#[derive(Debug, Clone, PartialEq)]
pub enum PotAct {
    /// Glue into cold water.
    Soak,
    /// Into the bath.
    Melt,
    /// Out of the bath.
    OutOfBath,
    /// It is liquid.
    Liquid,
    /// A thermometer reading.
    Temp(Temperature),
    /// Made, of what was weighed.
    Made(Box<WeighedParts>),
    /// A refractometer reading, degrees.
    Brix(f64),
    /// Strained.
    Strained,
    /// It is a jelly.
    Gelled,
    /// Water given back.
    Water(Mass),
    /// The pot's weight.
    Weigh(Mass),
    /// Words.
    Note(String),
    /// Used up.
    Empty,
    /// Thrown away.
    Discard(String),
    /// Take the last recorded fact back.
    Undo {
        /// The `seq` the maker saw as the last; refused if it is another by now.
        seen: Option<u64>,
    },
}

impl PotAct {
    /// Made, and nothing is said of what was weighed.
    pub fn made_as_asked() -> PotAct {
        PotAct::Made(Box::new(WeighedParts::NONE))
    }
}

impl Pot {
    /// What the one key of the bath does now: into it, or out of it.
    pub fn bath_act(&self) -> PotAct {
        if self.current_bath().is_some() { PotAct::OutOfBath } else { PotAct::Melt }
    }
}

impl PotOpened {
    /// Whether this pot can have been poured from that one.
    ///
    /// # Errors
    /// [`PotRefusal::ParentIsItself`]; [`PotRefusal::ParentNotSize`].
    pub fn check_parent(&self, parent: &PotOpened) -> Result<(), PotRefusal> {
        if parent.id == self.id {
            return Err(PotRefusal::ParentIsItself);
        }
        match parent.kind {
            PotKind::Size => Ok(()),
            PotKind::Gesso => Err(PotRefusal::ParentNotSize { parent: parent.id.clone() }),
        }
    }
}

impl PotStory {
    /// The fact that act would be.
    ///
    /// # Errors
    /// A [`PotRefusal`] where the act cannot even be put into a fact; whether the fact can be true is told by
    /// [`Story::with_entry`](crate::work::story::Story::with_entry).
    pub fn build_event(&self, act: &PotAct) -> Result<PotEvent, PotRefusal> {
        Ok(match act {
            PotAct::Soak => PotEvent::Soaked,
            PotAct::Melt => PotEvent::Melt,
            PotAct::OutOfBath => PotEvent::OutOfBath,
            PotAct::Liquid => PotEvent::Liquid,
            PotAct::Temp(temp) => PotEvent::Temp { temp: *temp },
            PotAct::Made(parts) => PotEvent::Made(Box::new(self.check_weighed(parts)?)),
            PotAct::Brix(brix) => PotEvent::Brix { brix: self.check_brix(*brix)? },
            PotAct::Strained => PotEvent::Strained,
            PotAct::Gelled => PotEvent::Gelled,
            PotAct::Water(mass) => PotEvent::Water { mass: *mass },
            PotAct::Weigh(mass) => PotEvent::Common(CommonEvent::Weighed { mass: *mass, offcut: None }),
            PotAct::Note(text) => PotEvent::Common(CommonEvent::Noted { text: validate_text(text)? }),
            PotAct::Empty => PotEvent::Emptied,
            PotAct::Discard(reason) => PotEvent::Discarded { why: validate_text(reason)? },
            PotAct::Undo { seen } => PotEvent::Common(CommonEvent::Undone { takes_back: self.take_back_seq(*seen)? }),
        })
    }

    fn check_weighed(&self, parts: &WeighedParts) -> Result<WeighedParts, PotRefusal> {
        parts.masses().try_for_each(|(_, mass)| check_mass(mass))?;
        match self.pot().opened().kind {
            PotKind::Size if !parts.fillers.is_empty() => Err(PotRefusal::FillerInSize),
            PotKind::Size | PotKind::Gesso => Ok(parts.clone()),
        }
    }

    fn check_brix(&self, brix: f64) -> Result<f64, PotRefusal> {
        match self.pot().opened().kind {
            PotKind::Gesso => Err(PotRefusal::BrixOfGesso),
            PotKind::Size if brix > 0.0 && brix <= BRIX_MAX => Ok(brix),
            PotKind::Size => Err(PotRefusal::InvalidBrix),
        }
    }
}
