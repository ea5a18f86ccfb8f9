//! What may be written after `mix`, `board` and `pot forecast`.

use super::args_values::{support_parser, word_parser};
use crate::craft::materials::Support;
use crate::craft::physics::wood::BoardCut;
use crate::craft::recipe::Faces;
use crate::craft::recipe::shipped::DEFAULT_RECIPE_NAME;
use crate::work::panel::event::Grain;
use clap::Args;
use clap::builder::TypedValueParser;
use std::path::PathBuf;

/// `mix`.
#[derive(Debug, Args)]
#[command(
    after_long_help = "Amounts follow the recipe's millilitres to a square metre; what is published differs several-fold, \
                             so the least and the most stand beside them. Weigh a pot of gesso before and after its coats \
                             (pot mark POT weigh) and name it with the coats, and your own take their place. How fillers \
                             and glue lie in a cup is assumed until you weigh one (materials in the settings file).\n\n\
                             Example: sottile mix --size 300x400x12mm --panels 2 --scoop 30ml"
)]
pub struct MixArgs {
    /// Width x height, or width x height x thickness, with a unit: 300x400x12mm
    #[arg(long)]
    pub size: String,
    /// How many panels of that size
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=1000))]
    pub panels: u32,
    /// A recipe's name, or a recipe file
    #[arg(long, value_name = "NAME|FILE", default_value = DEFAULT_RECIPE_NAME)]
    pub recipe: String,
    /// The faces that get gesso; without it, as the recipe has it
    #[arg(long, value_parser = word_parser(Faces::WORDS).try_map(|w| Faces::from_name(&w).ok_or("no such faces")))]
    pub faces: Option<Faces>,
    /// Your scoop, to have the fillers in scoops as well: 30ml
    #[arg(long, value_name = "VOLUME")]
    pub scoop: Option<String>,
    /// Ratios, glue to filler, fullness, thickness, and what the craft says of them, with sources
    #[arg(long, conflicts_with = "json")]
    pub detail: bool,
    /// As JSON
    #[arg(long)]
    pub json: bool,
}

/// `board`.
#[derive(Debug, Args)]
#[command(
    after_long_help = "Wood moisture and movement follow the USDA Wood Handbook (FPL-GTR-190), bow the formulas of \
                             Stoney 1909 and, from memory, Timoshenko 1925; Stoney's is left out where the ground is too \
                             thick or too stiff for it. Plywood is reckoned by its veneers; most ratios of solid wood are from \
                             memory; the output says which. How hard a ground pulls nobody has measured: 2 MPa is \
                             assumed.\n\n\
                             Example: sottile board --size 300x400x12mm --support oak-white --from 20C,50% --to 20C,65%"
)]
pub struct BoardArgs {
    /// Width x height, or width x height x thickness, with a unit: 300x400x12mm
    #[arg(long)]
    pub size: String,
    /// What the board is made of
    #[arg(long, value_name = "NAME", value_parser = support_parser())]
    pub support: Support,
    /// How solid wood was cut
    #[arg(long, default_value = "flat", value_parser = word_parser(&["flat", "quarter"]).try_map(|w| parse_cut(&w).ok_or("no such cut")))]
    pub cut: BoardCut,
    /// Which way its grain runs; without it, along the longer side
    #[arg(long, value_parser = word_parser(Grain::WORDS).try_map(|w| Grain::from_name(&w).ok_or("no such grain")))]
    pub grain: Option<Grain>,
    /// The air it comes from: 20C,50%
    #[arg(long, value_name = "T,RH", allow_hyphen_values = true)]
    pub from: String,
    /// The air it goes to: 20C,65%
    #[arg(long, value_name = "T,RH", allow_hyphen_values = true)]
    pub to: String,
    /// The dry ground on one face, micrometres thick; without it an ordinary one is told of
    #[arg(long, value_name = "F", allow_hyphen_values = true)]
    pub film_um: Option<f64>,
    /// How hard that ground pulls, MPa; without it 2 is assumed
    #[arg(long, value_name = "S", requires = "film_um", allow_hyphen_values = true)]
    pub film_mpa: Option<f64>,
    /// How stiff that ground is, GPa; without it 2
    #[arg(long, value_name = "E", requires = "film_um", allow_hyphen_values = true)]
    pub film_gpa: Option<f64>,
    /// As JSON
    #[arg(long)]
    pub json: bool,
}

fn parse_cut(word: &str) -> Option<BoardCut> {
    match word {
        "flat" => Some(BoardCut::Flat),
        "quarter" => Some(BoardCut::Quarter),
        _ => None,
    }
}

/// `pot forecast`.
#[derive(Debug, Args)]
#[command(
    after_long_help = "Newton's law of cooling, least squares in temperature over every reading, the room held fixed. \
                             One reading alone takes the recipe's cooling time. Nine of ten such pots gel between the two \
                             minutes told, the recipe's cooling time having its say. From 55 C a pot falls faster than \
                             the law, by evaporation, and gels later than foretold.\n\n\
                             Example: sottile pot forecast --room 20C --gels-at 30C --reading 0=50C --reading 15=42C"
)]
pub struct ForecastArgs {
    /// The room
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    pub room: String,
    /// Where it gels
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    pub gels_at: String,
    /// A file of readings with the heading time_min,temp_c; - for standard input
    #[arg(long, value_name = "FILE", conflicts_with = "reading", required_unless_present = "reading")]
    pub readings: Option<PathBuf>,
    /// A reading: minutes since you began to count, and the thermometer: 15=42C; as often as you read
    #[arg(long, value_name = "MIN=T", num_args = 1..)]
    pub reading: Vec<String>,
    /// A recipe's name, or a recipe file, for how fast it cools, from one reading alone
    #[arg(long, value_name = "NAME|FILE", default_value = DEFAULT_RECIPE_NAME)]
    pub recipe: String,
    /// As JSON
    #[arg(long)]
    pub json: bool,
}
