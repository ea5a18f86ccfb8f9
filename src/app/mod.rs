//! What is looked at: one struct for each view.
//!
//! Absent on purpose: what is true (`bench`), how it is drawn (`ui`), clocks, files, terminal.

pub mod scene;
pub mod sheets;
