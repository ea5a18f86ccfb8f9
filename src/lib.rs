//! Sottile keeps a glue-gesso panel on the bench: what to do next, in which direction, and when.
//!
//! The five-minute map. Each room may use only the rooms above it; `tests/stair.rs` reads the source and holds that.
//!
//! - `units`, `clock`, `text`, `stats`: what a number means; the one room that reads a clock; what is typed and
//!   said back; the median, the permutation test, chance from a seed.
//! - `craft`: what is known of the craft. Figures with their sources, recipes, formulas. Nothing happens here.
//! - `config`: settings, each with where it came from.
//! - `work`: what happens. Pure state machines (start with `work::panel`), and what follows from them (`work::advice`).
//! - `record`: what is kept. Journals of JSON lines that only grow, and the shelf they lie on.
//! - `review`: what is learned afterwards. One story as a row, many rows against each other, pages and tables.
//! - `bench`: what is true now. Panels with their journals, and the one way a fact gets in: `bench::Bench::record`.
//! - `app`: what is looked at. One struct for each view, and what an action does to it.
//! - `ui`: what is seen and pressed. The loop, keys, the terminal, drawing.
//! - `cli`: what is asked from a shell.
//!
//! A key press travels `ui::keys` -> `app::keymap::Keymap::decode` -> `app::message::Message` -> `app::model::Model::update`
//! -> `app::model::Effect` -> `ui::saving_thread` -> `bench::Bench::record` -> disk -> `app::model::Model::handle_reply` ->
//! `app::view_model` -> `ui::render`.
//! A line of a journal travels `record::journal` -> `units::Entry` -> `work::panel::story::Story::fold`.

mod app;
mod bench;
mod cli;
mod clock;
mod config;
mod craft;
mod record;
mod review;
mod stats;
mod text;
mod ui;
mod units;
mod work;

/// What the program and its benches take from the rooms; for nobody else.
#[doc(hidden)]
pub mod inside {
    pub use crate::app::model::{Model, ModelSettings};
    pub use crate::app::view_model::{self, ViewContext};
    pub use crate::bench::{Bench, PanelOpening, RecordRequest, Snapshot, StoryReader};
    pub use crate::cli::run;
    pub use crate::craft::materials::Support;
    pub use crate::craft::materials::fillers::BulkDensities;
    pub use crate::craft::recipe::{Paint, shipped};
    pub use crate::record::journal::line::{append_crc, relink, verify_crc};
    pub use crate::record::shelf::{Drawer, Shelf};
    pub use crate::review::GroupBy;
    pub use crate::review::compare::compare_panels;
    pub use crate::text::{UnitSystem, parse_size};
    pub use crate::ui::render;
    pub use crate::ui::theme::{ColorScheme, Theme};
    pub use crate::units::{Id, Length, Moment, Size, Span, Stamp};
    pub use crate::work::panel::act::PanelAct;
    pub use crate::work::panel::story::PanelStory;
}
