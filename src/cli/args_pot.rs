//! What may be written after `pot` and `air`.

use super::args_calculation::ForecastArgs;
use super::args_values::word_parser;
use crate::work::pot::event::PotKind;
use clap::builder::TypedValueParser;
use clap::{Args, Subcommand};
use std::path::PathBuf;

/// `pot`.
#[derive(Debug, Subcommand)]
pub enum PotSubcommand {
    /// Opens a pot and prints its id
    New(PotNewArgs),
    /// Records what happened to a pot
    Mark(PotMarkArgs),
    /// Tells one pot's story, where it stands, and when it gels
    Show {
        /// Its id, its label, or the beginning of either
        pot: String,
        /// As of that time: HH:MM, -4m, or RFC 3339
        #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
        at: Option<String>,
        /// As JSON
        #[arg(long)]
        json: bool,
    },
    /// Reckons from thermometer readings when a pot gels
    Forecast(ForecastArgs),
}

/// `pot new`.
#[derive(Debug, Args)]
pub struct PotNewArgs {
    /// What you call it
    pub label: String,
    /// What is in it
    #[arg(long, value_parser = word_parser(PotKind::WORDS).try_map(|w| PotKind::from_name(&w).ok_or("no such kind")))]
    pub kind: PotKind,
    /// The pot of size it is poured from
    #[arg(long, value_name = "POT")]
    pub from: Option<String>,
    /// A recipe's name, or a recipe file; without it, that of the pot it is poured from, else gypsum-titanium
    #[arg(long, value_name = "NAME|FILE")]
    pub recipe: Option<String>,
    /// How much size: all of it, or what goes into the gesso, ml
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=1_000_000))]
    pub size_ml: Option<u32>,
    /// The lot of the glue, as printed on the packet
    #[arg(long, value_name = "TEXT")]
    pub lot: Option<String>,
    /// The lot of the filler, as printed on the bag
    #[arg(long, value_name = "TEXT")]
    pub filler_lot: Option<String>,
    /// The panels it is for: the id of a group, or the id or label of one of its panels
    #[arg(long = "for", value_name = "GROUP")]
    pub for_group: Option<String>,
    /// When it was opened: HH:MM, -4m, or RFC 3339
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub at: Option<String>,
}

/// `pot mark`.
#[derive(Debug, Args)]
pub struct PotMarkArgs {
    /// Its id, its label, or the beginning of either
    pub pot: String,
    /// What happened
    #[command(subcommand)]
    pub act: PotMarkCommand,
    /// When it happened: HH:MM, -4m, or RFC 3339; without it, now
    #[arg(long, global = true, value_name = "TIME", allow_hyphen_values = true)]
    pub at: Option<String>,
    /// Print where the pot then stands, as JSON
    #[arg(long, global = true)]
    pub json: bool,
}

/// What can be marked of a pot.
#[derive(Debug, Subcommand)]
pub enum PotMarkCommand {
    /// The glue is in cold water
    Soak,
    /// Into the warm bath
    Melt,
    /// Out of the bath
    Out,
    /// It is liquid
    Liquid,
    /// A thermometer reading
    Temp {
        /// With its unit: 48C, 118F
        #[arg(allow_hyphen_values = true)]
        temperature: String,
    },
    /// The size, or the gesso, is made; of what was weighed, where it was not what the recipe asks for
    Made {
        /// Dry glue, with its unit: 71g
        #[arg(long, value_name = "MASS")]
        glue: Option<String>,
        /// The water it was dissolved in: 1000g
        #[arg(long, value_name = "MASS")]
        water: Option<String>,
        /// A powder: "zinc white=310g"; as often as there are powders
        #[arg(long, value_name = "NAME=MASS")]
        filler: Vec<String>,
    },
    /// A refractometer reading of the clear size, always as warm; pots with glue and water weighed tell what it means
    Brix {
        /// Degrees: 8.2
        #[arg(allow_hyphen_values = true)]
        degrees: String,
    },
    /// It was worked through sieve and cloth
    Strained,
    /// It is a jelly
    Gelled,
    /// Water was given back
    Water {
        /// With its unit: 20g
        mass: String,
    },
    /// What it weighs, always the same way
    Weigh {
        /// With its unit: 812g
        mass: String,
    },
    /// Words of your own
    Note {
        /// The words
        text: String,
    },
    /// It is used up
    Empty,
    /// It is thrown away
    Discard {
        /// Why
        #[arg(long)]
        why: String,
    },
    /// Takes back what was recorded last
    Undo,
}

/// `air`.
#[derive(Debug, Args)]
pub struct AirArgs {
    /// The temperature, with its unit: 20C, 68F
    #[arg(required_unless_present_any = ["from", "show"], allow_hyphen_values = true)]
    pub temperature: Option<String>,
    /// The relative humidity: 50%
    #[arg(required_unless_present_any = ["from", "show"], allow_hyphen_values = true)]
    pub humidity: Option<String>,
    /// When: HH:MM, -4m, or RFC 3339; without it, now
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub at: Option<String>,
    /// A logger's file with the columns time, temp_c, rh_pct; - for standard input
    #[arg(long, value_name = "FILE", conflicts_with_all = ["temperature", "humidity", "at"])]
    pub from: Option<PathBuf>,
    /// Only tell what this air means for drying, wood and dew; nothing is recorded
    #[arg(long, group = "told", conflicts_with_all = ["from", "at"])]
    pub only: bool,
    /// The temperature of a surface to be sealed, to hear whether dew is near
    #[arg(long, value_name = "T", requires = "only", allow_hyphen_values = true)]
    pub surface: Option<String>,
    /// Tells what was recorded, the last first; with --at, as of that time
    #[arg(long, group = "told", conflicts_with_all = ["temperature", "humidity", "from", "only"])]
    pub show: bool,
    /// As JSON
    #[arg(long, requires = "told")]
    pub json: bool,
}
