//! What is looked at: one struct for each view, and what a key does to it.
//!
//! `scene`, `sheets` and `page` are what is drawn, as plain data; `sitting` a look over the finished panels; `action` what a key can mean; `view` the bench and all that lies
//! over it; `picture` makes the scene from what is true. Absent on purpose: what is true (`bench`), how it is drawn
//! (`ui`), clocks, files, terminal.

pub mod action;
pub mod compare;
pub mod page;
pub mod picture;
pub mod scene;
pub mod sheets;
pub mod sitting;
pub mod view;
