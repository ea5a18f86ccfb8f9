//! One pot of size or gesso: the facts of its story and where it stands.
//!
//! From the ground up: `weighed` what was weighed into it; `event` what can happen; `refusal` why a fact cannot be true, or is doubtful; `fold` the state
//! and its one `after`; `story` all entries with take-backs and late facts; `act` what a maker asks to have recorded;
//! `refraction` what a refractometer tells; `water` what is in it and `fill` how much is left; `phase` the view at a moment;
//! `forecast` when it gels and when it must into the bath, `forecast_basis` what that rests on; `lineage` lot, size, gesso,
//! coat, face; `usage` what was taken from pots and the water that leaves in them;
//! `consumption` what a square metre takes; `coat_remarks` what is to be said of a coat and its pot; `interruption` what a gap means for panel and pot.

pub mod weighed;

pub mod event;
pub mod refusal;

pub mod fold;
pub mod story;

pub mod act;
pub mod refraction;
pub mod water;

pub mod phase;

pub mod fill;
pub mod forecast;
pub mod forecast_basis;

pub mod coat_remarks;
pub mod consumption;
pub mod interruption;
pub mod lineage;
pub mod usage;

#[cfg(test)]
mod forecast_tests;
#[cfg(test)]
mod lineage_tests;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod weighed_tests;
