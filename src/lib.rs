//! Sottile keeps a glue-gesso panel on the bench: what to do next, in which direction, and when.
//!
//! What a program may ask of it are three modules: [`session`], panels, pots and air with their journals; [`recipes`], the
//! plans; [`comparison`], what many panels say together. Everything else is private.
//!
//! ```
//! use sottile::recipes::find_shipped_recipe;
//! use sottile::session::{
//!     Bench, Length, Moment, Paint, PanelAct, PanelOpening, PanelPhase, RecordRequest, Shelf, Size, Span, Stamp, Support,
//! };
//! use std::sync::Arc;
//!
//! let dir = tempfile::tempdir()?;
//! let mut bench = Bench::new(Shelf::open(dir.path()));
//! let start = Moment::from_wall(Stamp::from_ms(1_700_000_000_000));
//! let recipe = find_shipped_recipe("gypsum-zinc").ok_or("this recipe comes with the program")?;
//! let opening = PanelOpening {
//!     sheet: None,
//!     label: "Wren".to_owned(),
//!     size: Size { width: Length::from_mm(300.0), height: Length::from_mm(400.0), thickness: None },
//!     support: Support::BirchPlywood,
//!     grain: None,
//!     paint: Paint::Oil,
//!     recipe: Arc::new(recipe),
//!     count: 1,
//!     at: None,
//!     witness: false,
//! };
//! let opened = bench.open_panels(&opening, &|| start).map_err(|(error, _)| error)?;
//!
//! // A fact is on disk when `record` returns.
//! let later = Moment::from_wall(start.wall + Span::from_min(30.0));
//! let done = RecordRequest::from_act(PanelAct::done_as_planned());
//! let recorded = bench.record(&opened[0].id, &done, &|| later)?;
//!
//! let story = recorded.changed[0].story.as_ref().ok_or("its journal has a beginning")?;
//! let status = story.panel().status(later);
//! assert_eq!(status.since, later.wall);
//! assert_ne!(status.phase, PanelPhase::Finished);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # The five-minute map
//!
//! Each room may use only the rooms above it; `tests/stair.rs` reads the source and holds that. DEVELOPERS.md tells more.
//!
//! - `units`, `clock`, `text`, `stats`: what a number means; the one room that reads a clock; what is parsed and
//!   formatted; the median, the permutation test, chance from a seed.
//! - `craft`: what is known of the craft. Figures with their sources, recipes, formulas. Nothing happens here.
//! - `config`: settings, each with where it came from.
//! - `work`: what happens. Pure state machines (start with `work::panel`), and what follows from them (`work::advice`).
//! - `record`: what is kept. Journals of JSON lines that only grow, and the shelf they lie on.
//! - `review`: what is learned afterwards. One story as a row, many rows against each other, pages and tables.
//! - `bench`: what is true now. Panels and pots with their journals, and the one way a fact gets in: `Bench::record`.
//! - `app`: what a key does. The model, and view models as plain data.
//! - `ui`: what is seen and pressed. The event loop, the terminal, the saving thread, rendering.
//! - `cli`: what is asked from a shell.
//!
//! A key travels `ui::keys` -> `app::keymap::Keymap::decode` -> `Message` -> `Model::update` -> `Effect` ->
//! `ui::saving_thread` -> `Bench::record` -> disk -> `Reply` -> `Model::handle_reply` -> `app::view_model` -> `ui::render`.
//! A line of a journal travels `record::journal` -> `units::Entry` -> `work::story::Story::fold`.

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

/// A session over panels, pots and air: [`Bench`](session::Bench), and what its methods take and give.
///
/// Time is an argument: whoever records hands in a function that tells the moment, which is asked for under the lock.
pub mod session {
    pub use crate::bench::{
        AirRecorded, Bench, PanelOpening, PassEntry, PassFact, PassRecorded, PassRefusals, PotOpening, RecordError,
        RecordRequest, Recorded, Snapshot, trusted_now,
    };
    pub use crate::craft::materials::Support;
    pub use crate::craft::recipe::{Direction, Paint};
    pub use crate::record::journal::JournalError;
    pub use crate::record::shelf::Shelf;
    pub use crate::units::{Humidity, Id, Length, Mass, Moment, Size, Span, Stamp, Temperature, Volume};
    pub use crate::work::air::{Air, AirError, AirReading};
    pub use crate::work::panel::act::PanelAct;
    pub use crate::work::panel::event::{CheckMap, Face, Flaw, Grain, PanelCall, Stage};
    pub use crate::work::panel::inspection::{Inspection, InspectionError};
    pub use crate::work::panel::phase::{PanelPhase, PanelStatus};
    pub use crate::work::panel::refusal::PanelRefusal;
    pub use crate::work::panel::stage_kind::StageKind;
    pub use crate::work::panel::state::Panel;
    pub use crate::work::panel::story::PanelStory;
    pub use crate::work::pot::act::PotAct;
    pub use crate::work::pot::event::{PotCall, PotKind};
    pub use crate::work::pot::fold::Pot;
    pub use crate::work::pot::refusal::PotRefusal;
    pub use crate::work::pot::story::PotStory;
    pub use crate::work::story::CommonEvent;
}

/// Recipes: a file's text parsed and checked, and those that come with the program.
pub mod recipes {
    pub use crate::craft::recipe::Recipe;
    pub use crate::craft::recipe::parser::{Diagnostic, ParsedRecipe, parse_recipe};
    pub use crate::craft::recipe::shipped::{ShippedRecipe, find_shipped_recipe, shipped_recipes};
}

/// Many panels held against each other: a [`StoryReader`](comparison::StoryReader) makes a row of each story, and
/// [`compare_panels`](comparison::compare_panels) a comparison of the rows.
pub mod comparison {
    pub use crate::bench::{PanelRows, StoryReader};
    pub use crate::craft::materials::fillers::BulkDensities;
    pub use crate::review::GroupBy;
    pub use crate::review::compare::{Comparison, UnreadableStory, compare_panels};
    pub use crate::review::panel_row::PanelRow;
}

/// What the program and its benches take beyond that; for nobody else.
#[doc(hidden)]
pub mod inside {
    pub use crate::app::model::{Model, ModelSettings, Reply};
    pub use crate::app::view_model::{self, ViewContext};
    pub use crate::bench::{Bench, PanelOpening, PlanHabits, PotOpening, RecordRequest, Snapshot, StoryReader};
    pub use crate::cli::run;
    pub use crate::craft::materials::Support;
    pub use crate::craft::materials::fillers::BulkDensities;
    pub use crate::craft::recipe::{Paint, Recipe, shipped};
    pub use crate::record::demo::{CrackCause, DemoOptions, write_demo};
    pub use crate::record::journal::line::{append_crc, relink, verify_crc};
    pub use crate::record::shelf::{Drawer, Shelf};
    pub use crate::review::GroupBy;
    pub use crate::review::compare::{AnswerKind, Asked, AskedFault, DRAWS, compare_panels, compare_panels_asking};
    pub use crate::text::{UnitSystem, parse_size};
    pub use crate::ui::render;
    pub use crate::ui::theme::{ColorScheme, Theme};
    pub use crate::units::{Entry, Id, Length, Mass, Moment, Size, Span, Stamp, Temperature, Volume};
    pub use crate::work::air::Air;
    pub use crate::work::panel::act::PanelAct;
    pub use crate::work::panel::story::PanelStory;
    pub use crate::work::plan::calendar::measure::{RackMeasure, measure_rack};
    pub use crate::work::pot::act::PotAct;
    pub use crate::work::pot::event::{PotEvent, PotKind, PotOpened};
    pub use crate::work::pot::fill::PotUse;
    pub use crate::work::pot::forecast::ForecastInputs;
    pub use crate::work::pot::story::PotStory;
    pub use crate::work::trial::design::TrialDesign;
    pub use crate::work::trial::effects::compute_effect;
    pub use crate::work::trial::event::TrialOpened;
    pub use crate::work::trial::factor::Factor;
    pub use crate::work::trial::lots::draw_lots;
    pub use crate::work::trial::power::{PowerModel, PowerSimulation, TrialSpread};
    pub use crate::work::trial::questions::TrialQuestion;
}
