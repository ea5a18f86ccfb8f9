//! What is looked at: one struct for each view, and what a key does to it.
//!
//! `scene`, `sheets` and `page` are what is drawn, as plain data; `sitting` a look over the finished panels; `action` what a key can mean; `view` the bench and all that lies
//! over it; `picture` makes the scene from what is true. Absent on purpose: what is true (`bench`), how it is drawn
//! (`ui`), clocks, files, terminal.

pub mod bench_view_model;
pub mod comparison_model;
pub mod message;
pub mod model;
pub mod overlay_view_models;
pub mod page_view_model;
pub mod sitting;
pub mod view_model;
