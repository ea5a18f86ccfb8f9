//! What is seen and pressed.

pub mod draw;
pub mod hatch;
pub mod legibility;
pub mod theme;
