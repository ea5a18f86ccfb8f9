//! What may be written of panels that are put right, traced, packed and brought.

use super::args_values::{support_parser, word_parser};
use crate::craft::materials::Support;
use crate::craft::recipe::Paint;
use crate::work::panel::event::Grain;
use clap::Args;
use clap::builder::TypedValueParser;

/// `correct`.
#[derive(Debug, Args)]
#[command(
    after_help = "It holds for the whole story, also for what was recorded before; `sottile mark PANEL undo` takes it back. \
                        The id stays, and so does the file.\n\n\
                        Examples:\n  sottile correct wren --size 300x420x12mm\n  sottile correct wren --label \"Wren II\""
)]
pub struct CorrectArgs {
    /// Its id, its label, or the beginning of either
    pub panel: String,
    /// What you call it
    #[arg(long, value_name = "TEXT")]
    pub label: Option<String>,
    /// Width x height, or width x height x thickness, with a unit; a thickness that is not said stays
    #[arg(long, value_name = "SIZE")]
    pub size: Option<String>,
    /// What the board is made of
    #[arg(long, value_name = "NAME", value_parser = support_parser())]
    pub support: Option<Support>,
    /// Which way its grain runs
    #[arg(long, value_parser = word_parser(Grain::WORDS).try_map(|w| Grain::from_name(&w).ok_or("no such grain")))]
    pub grain: Option<Grain>,
    /// What will be painted on it
    #[arg(long, value_parser = word_parser(Paint::WORDS).try_map(|w| Paint::from_name(&w).ok_or("no such paint")))]
    pub paint: Option<Paint>,
    /// Print where the panel then stands, as JSON
    #[arg(long)]
    pub json: bool,
}

/// `trace`.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  sottile trace 4711          every panel with glue or filler of that lot\n  \
                        sottile trace gesso-2       every panel with a coat from that pot")]
pub struct TraceArgs {
    /// A lot of glue or filler, a sheet of board, or a pot
    #[arg(value_name = "LOT|POT")]
    pub query: String,
    /// As JSON
    #[arg(long)]
    pub json: bool,
}
