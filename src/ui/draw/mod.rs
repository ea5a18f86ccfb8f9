//! Draws views. A draw function reads: it takes what is looked at by reference, and keeps nothing.
//!
//! Everything that must be seen from a distance is large before it is coloured; a state is told by its word and its
//! shape. Absent on purpose: clocks, keys, deciding what is true.

mod bench;
mod board;
mod compare;
mod digits;
mod far;
mod form;
mod keys;
mod letters;
mod making;
mod map;
mod moving;
mod page;
mod parts;
mod pen;
mod section;
mod sitting;
mod small;
mod story;

#[cfg(test)]
mod samples;
#[cfg(test)]
mod tests;

pub use bench::bench;
pub use compare::compare;
pub use form::form;
pub use keys::keys;
pub use making::making;
pub use map::map;
pub use moving::Painted;
pub use page::page;
pub use sitting::sitting;
pub use story::story;
