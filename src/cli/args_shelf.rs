//! What may be written of panels that are put right and traced, and of shelves that move.

use super::args_values::{support_parser, word_parser};
use crate::craft::materials::Support;
use crate::craft::recipe::Paint;
use crate::work::panel::event::Grain;
use clap::Args;
use clap::builder::TypedValueParser;
use std::path::PathBuf;

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

/// `pack`.
#[derive(Debug, Args)]
#[command(
    after_help = "The pack is a tar of plain files with their SHA-256 sums, and a page that explains them to somebody \
                        without this program. The same shelf gives the same bytes.\n\n\
                        Example:\n  sottile pack -o studio.tar"
)]
pub struct PackArgs {
    /// The file to write; - for standard output
    #[arg(short, value_name = "FILE.tar")]
    pub output: PathBuf,
    /// Write over a file that is there
    #[arg(long)]
    pub force: bool,
}

/// `bring`.
#[derive(Debug, Args)]
#[command(
    after_help = "A story is known by its first line, and its bytes are copied as they are. What the other side merely \
                        went on with is continued; another board of the same id gets a new one; where both sides went on, \
                        both are kept. What is planned and what is in the cupboard are not merged. Interrupted, it can be run \
                        again.\n\nExamples:\n  sottile bring studio.tar --dry-run      tells what it would do\n  \
                        sottile bring /media/stick/panels       another data directory"
)]
pub struct BringArgs {
    /// A data directory, or a pack
    #[arg(value_name = "DIR|FILE.tar")]
    pub source: PathBuf,
    /// Tell what would be done, and write nothing
    #[arg(long)]
    pub dry_run: bool,
}
