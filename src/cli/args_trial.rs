//! What may be written after `trial`.

use super::args_values::{support_parser, word_parser};
use crate::craft::materials::Support;
use crate::craft::recipe::shipped::DEFAULT_RECIPE_NAME;
use crate::work::trial::questions::TrialQuestion;
use clap::builder::TypedValueParser;
use clap::{Args, Subcommand};

/// `trial`.
#[derive(Debug, Subcommand)]
pub enum TrialSubcommand {
    /// Draws the lots of a trial and opens its pots and boards; prints its id
    New(Box<TrialNewArgs>),
    /// Tells what a trial answers, or what is still to be laid
    Show {
        /// Its id, its label, or the beginning of either
        trial: String,
        /// As JSON
        #[arg(long)]
        json: bool,
    },
    /// Tells how small boards are tested: each test with its scale, its source and its limits, and where it goes
    Tests {
        /// The board that is drawn: width x height, with a unit
        #[arg(long, default_value = "100x100mm")]
        size: String,
    },
}

/// `trial new`.
#[derive(Debug, Args)]
pub struct TrialNewArgs {
    /// What you call it
    pub label: String,
    /// What is varied and its levels: glue, thinning (given to pots), wait, coats, first, faces, cloth (given to boards)
    #[arg(long, value_name = "KEY=A,B[,C]", required_unless_present = "ask")]
    pub vary: Vec<String>,
    /// A ready question, with levels, pots, boards and size that go with it
    #[arg(long, value_name = "QUESTION", value_parser = word_parser(TrialQuestion::WORDS).try_map(|w| TrialQuestion::from_name(&w).ok_or("no such question")))]
    pub ask: Option<TrialQuestion>,
    /// How many pots: a pot counts once, however many boards are laid from it
    #[arg(long, value_name = "N")]
    pub pots: Option<u32>,
    /// How many boards
    #[arg(long, value_name = "N")]
    pub boards: Option<u32>,
    /// The boards, with a unit: 100x100x6mm
    #[arg(long)]
    pub size: Option<String>,
    /// What the boards are made of
    #[arg(long, value_name = "NAME", default_value = "birch-plywood", value_parser = support_parser())]
    pub support: Support,
    /// The recipe that is varied: its name, or a recipe file
    #[arg(long, value_name = "NAME|FILE", default_value = DEFAULT_RECIPE_NAME)]
    pub recipe: String,
    /// What the lots are drawn from; the same number draws the same lots
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32))]
    pub seed: Option<u32>,
    /// How fine the scale is: 1g, 0.1g
    #[arg(long, value_name = "MASS", default_value = "1g")]
    pub balance: String,
    /// Says what can be told and what it takes, and draws nothing
    #[arg(long)]
    pub only: bool,
    /// Draws a trial that can tell nothing for certain
    #[arg(long)]
    pub anyway: bool,
    /// When it was drawn: HH:MM, -4m, or RFC 3339
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub at: Option<String>,
}
