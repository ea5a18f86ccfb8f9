//! A recipe: the plan for a panel, checked. Its fields are the keys of the recipe file, and its JSON form has the
//! same shape, since every panel carries its own copy in the first line of its journal.
//!
//! The files: `schema` describes every key once; `cautions` holds the sentences a recipe may call for; `parser` reads a
//! recipe's text and tells every problem in it; `toml_writer` writes one; `shipped` holds those that come with the program.

pub mod cautions;
mod defaults;
pub mod parser;
pub mod schema;
pub mod shipped;
mod toml_writer;

#[cfg(test)]
mod tests;

use super::materials::Filler;
use crate::units::written_words;
use serde::{Deserialize, Serialize};
use strum::{VariantArray, VariantNames};

/// The recipe file format this program reads and writes.
pub const RECIPE_FORMAT: u32 = 1;

/// What will be painted on the ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, VariantArray, VariantNames)]
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "lowercase")]
pub enum Paint {
    /// Oil paint.
    Oil,
    /// Egg tempera and other paints that want an absorbent ground.
    Tempera,
    /// Leaf over bole.
    Gilding,
}
written_words!(Paint);

/// Which faces of the board are treated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, VariantArray, VariantNames)]
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "lowercase")]
pub enum Faces {
    /// The front alone.
    Front,
    /// Front and back.
    Both,
}
written_words!(Faces);

/// The way the brush or blade goes, with the arrow on the back pointing up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, VariantArray, VariantNames)]
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "lowercase")]
pub enum Direction {
    /// Along the width.
    Horizontal,
    /// Along the height.
    Vertical,
}
written_words!(Direction);

impl Direction {
    /// At right angles.
    pub const fn perpendicular(self) -> Direction {
        match self {
            Direction::Horizontal => Direction::Vertical,
            Direction::Vertical => Direction::Horizontal,
        }
    }
}

/// What tells that a coat may be covered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, VariantArray, VariantNames)]
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "lowercase")]
pub enum ReadySign {
    /// The gloss is gone.
    Dull,
    /// Dry to the touch.
    Dry,
}
written_words!(ReadySign);

/// What closes the ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, VariantArray, VariantNames)]
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "lowercase")]
pub enum SealMaterial {
    /// Shellac in spirit.
    Shellac,
    /// Thin glue.
    Glue,
    /// Nothing: the paint wants an absorbent ground.
    None,
}
written_words!(SealMaterial);

/// A checked recipe.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Recipe {
    /// Always `RECIPE_FORMAT`.
    pub format: u32,
    /// The name it is asked for by, `[a-z0-9-]`.
    pub name: String,
    /// What it is, in words.
    pub title: String,
    /// The paints it suits.
    pub suits: Vec<Paint>,
    /// Where it comes from.
    #[serde(default)]
    pub source: String,
    /// Keys of cautions the program knows.
    #[serde(default)]
    pub cautions: Vec<String>,
    /// The size on the wood.
    pub size: SizeCoats,
    /// Linen overlay, if any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cloth: Option<Cloth>,
    /// The gesso.
    pub gesso: Gesso,
    /// The first, tapped coat.
    #[serde(default)]
    pub stipple: Stipple,
    /// The brushed coats.
    pub coats: Coats,
    /// Scraping, if any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scrape: Option<Scrape>,
    /// The dark-powder check, if any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub check: Option<Check>,
    /// The rest before sealing.
    #[serde(default)]
    pub rest: Rest,
    /// What closes the ground.
    #[serde(default)]
    pub seal: Seal,
    /// The last fine pass, if any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sand: Option<Sand>,
    /// Hands-on minutes, for planning.
    #[serde(default)]
    pub minutes: Minutes,
}

/// The most places the counts of a recipe may make together, as a story is folded. A recipe file's own ranges are narrower;
/// those may change, and a story told under wider ones stays sound.
pub const PLACES_MAX: u64 = 400;

impl Recipe {
    /// How many places its counts make together: coats on both faces, and the sides of a check's map.
    pub fn count_places(&self) -> u64 {
        let check = self.check.as_ref().map_or(0, |c| u64::from(c.columns) + u64::from(c.rows));
        let coats = [self.size.coats_per_face, self.size.coats_per_face, self.stipple.coats, self.coats.front];
        coats.iter().chain(&[self.coats.back, self.seal.coats]).map(|n| u64::from(*n)).sum::<u64>() + check
    }
}

/// `[size]`: thin glue that soaks into the wood.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct SizeCoats {
    /// Grams of dry glue to a litre of water.
    pub glue_g_per_l_water: f64,
    /// Hours the glue soaks.
    pub soak_h: f64,
    /// The faces sized.
    pub faces: Faces,
    /// Coats on each face.
    pub coats_per_face: u32,
    /// Millilitres to a square metre and coat.
    pub ml_per_m2: f64,
    /// Minutes between coats.
    pub wait_min: f64,
    /// Hours from the last size coat to the next thing.
    pub cure_h: f64,
}

/// `[cloth]`: linen laid in size.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Cloth {
    /// Hours it rests.
    pub rest_h: f64,
}

/// How much of a filler goes into 100 ml of size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FillerAmount {
    /// Grams per 100 ml of size.
    Grams(f64),
    /// Millilitres, loosely filled, per 100 ml of size.
    LooseMl(f64),
}

/// One filler of a gesso and its amount.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "FillerKeys", into = "FillerKeys")]
pub struct FillerPart {
    /// Which powder.
    pub filler: Filler,
    /// How much.
    pub amount: FillerAmount,
}

/// The keys of a filler as they stand in the file.
#[derive(Debug, Clone, Serialize, Deserialize)]
struct FillerKeys {
    name: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    g_per_100_ml_size: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    ml_per_100_ml_size: Option<f64>,
}

impl TryFrom<FillerKeys> for FillerPart {
    type Error = String;
    fn try_from(keys: FillerKeys) -> Result<Self, String> {
        let filler = Filler::from_name(&keys.name).ok_or_else(|| format!("no filler is called \"{}\"", keys.name))?;
        let amount = match (keys.g_per_100_ml_size, keys.ml_per_100_ml_size) {
            (Some(g), None) => FillerAmount::Grams(g),
            (None, Some(ml)) => FillerAmount::LooseMl(ml),
            (Some(_), Some(_)) | (None, None) => return Err("a filler is given by weight or by volume".to_owned()),
        };
        Ok(FillerPart { filler, amount })
    }
}

impl From<FillerPart> for FillerKeys {
    fn from(part: FillerPart) -> Self {
        let (g, ml) = match part.amount {
            FillerAmount::Grams(g) => (Some(g), None),
            FillerAmount::LooseMl(ml) => (None, Some(ml)),
        };
        FillerKeys { name: part.filler.name().to_owned(), g_per_100_ml_size: g, ml_per_100_ml_size: ml }
    }
}

/// `[gesso]`: what is in the pot and how it is kept.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Gesso {
    /// Grams of dry glue to a litre of water.
    pub glue_g_per_l_water: f64,
    /// The white powders.
    pub fillers: Vec<FillerPart>,
    /// Water given at the end, per cent of the volume.
    pub thinning_pct: f64,
    /// Millilitres to a square metre and coat.
    pub ml_per_m2: f64,
    /// Allowance, per cent.
    pub waste_pct: f64,
    /// What cloth, sieve and bowl keep, ml.
    pub loss_ml: f64,
    /// Working temperatures, lowest and highest, C.
    pub work_c: [f64; 2],
    /// Where a caution is due, C.
    pub caution_c: f64,
    /// Where the batch counts as overheated, C.
    pub overheat_c: f64,
    /// Where it gels, C.
    pub gels_at_c: f64,
    /// Time constant of cooling, minutes.
    pub time_constant_min: f64,
    /// Minutes in the bath to melt again.
    pub melt_min: f64,
    /// Minutes before a coat falls due at which the bowl is thinned.
    pub bowl_min: f64,
}

/// `[stipple]`: the first gesso coat, tapped in.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Stipple {
    /// How many.
    pub coats: u32,
    /// Minutes after it.
    pub wait_min: f64,
}

/// `[coats]`: the brushed coats.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Coats {
    /// On the front.
    pub front: u32,
    /// On the back.
    pub back: u32,
    /// The direction of the first.
    pub first: Direction,
    /// Minutes between coats.
    pub wait_min: f64,
    /// What tells that the next may go on.
    pub ready_sign: ReadySign,
    /// Longer than this and the surface is bone dry, minutes.
    pub long_gap_min: f64,
    /// Minutes after the last coat.
    pub dry_min: f64,
    /// No night between stipple and last coat.
    pub one_day: bool,
}

/// `[scrape]`: levelling with a blade.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Scrape {
    /// The tool.
    pub tool: String,
    /// Its angle to the ground, degrees.
    pub angle_deg: f64,
    /// Length of a stroke, mm.
    pub stroke_mm: f64,
}

/// `[check]`: the coarse map of the dark-powder check.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Check {
    /// Areas across.
    pub columns: u32,
    /// Areas down.
    pub rows: u32,
}

/// `[rest]`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Rest {
    /// Hours.
    pub hours: f64,
}

/// `[seal]`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Seal {
    /// What with.
    pub with: SealMaterial,
    /// Shellac: grams of resin to a litre of spirit, when known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub resin_g_per_l_spirit: Option<f64>,
    /// Glue: grams to a litre of water.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub glue_g_per_l_water: Option<f64>,
    /// How many coats.
    pub coats: u32,
    /// Millilitres to a square metre and coat.
    pub ml_per_m2: f64,
    /// Minutes after each.
    pub wait_min: f64,
}

/// `[sand]`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Sand {
    /// The grade, as printed on the paper.
    pub grit: String,
}

/// `[minutes]`: hands-on time for a panel of 0.12 m2, minutes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default)]
#[allow(missing_docs, reason = "each is the minutes of the stage it is named after")]
pub struct Minutes {
    pub size: f64,
    pub stipple: f64,
    pub coat: f64,
    pub scrape: f64,
    pub check: f64,
    pub seal: f64,
}
