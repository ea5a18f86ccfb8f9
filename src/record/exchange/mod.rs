//! Records that move: a shelf packed into one file, and another shelf taken in.
//!
//! `pack` writes a shelf as a tar with the sum of each file, `unpack` takes such a file apart and holds it to its sums;
//! `story_lines` tells how two copies of a story stand to each other, `bring` takes another shelf in: `stories` its panels
//! and pots, `beside` its air, photographs and trials.

mod beside;
pub mod bring;
pub mod fate;
pub mod pack;
pub mod report;
mod stories;
mod story_lines;
pub mod unpack;

#[cfg(test)]
mod tests;
