//! What may be varied in a trial, its levels, and what a level changes in a recipe.

use crate::craft::recipe::parser::{Diagnostic, parse_recipe};
use crate::craft::recipe::{Direction, Faces, Recipe};
use crate::units::written_words;
use strum::{VariantArray, VariantNames};

/// What may be varied.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum FactorKey {
    /// Grams of glue to a litre of water, in the gesso.
    Glue,
    /// Water given to the gesso at the end, per cent.
    Thinning,
    /// Minutes between the coats of gesso.
    Wait,
    /// Brushed coats on the front.
    Coats,
    /// The direction of the first coat.
    First,
    /// Gesso on one face or on both.
    Faces,
    /// Linen under the ground.
    Cloth,
}
written_words!(FactorKey);

/// To what a level is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum FactorUnit {
    /// To a whole jar: all boards from it have it.
    Pot,
    /// To a board, within every jar.
    Board,
}
written_words!(FactorUnit);

impl FactorKey {
    /// To what its levels are given.
    pub const fn unit(self) -> FactorUnit {
        match self {
            FactorKey::Glue | FactorKey::Thinning => FactorUnit::Pot,
            FactorKey::Wait | FactorKey::Coats | FactorKey::First | FactorKey::Faces | FactorKey::Cloth => {
                FactorUnit::Board
            }
        }
    }

    /// Its levels where they are words, the first at level 0; none where they are figures.
    pub const fn words(self) -> Option<[&'static str; 2]> {
        match self {
            FactorKey::Glue | FactorKey::Thinning | FactorKey::Wait | FactorKey::Coats => None,
            FactorKey::First => Some([Direction::Horizontal.name(), Direction::Vertical.name()]),
            FactorKey::Faces => Some([Faces::Front.name(), Faces::Both.name()]),
            FactorKey::Cloth => Some(["no", "yes"]),
        }
    }

    /// The unit behind a figure.
    pub const fn suffix(self) -> &'static str {
        match self {
            FactorKey::Glue => " g/l",
            FactorKey::Thinning => " %",
            FactorKey::Wait => " min",
            FactorKey::Coats => " coats",
            FactorKey::First | FactorKey::Faces | FactorKey::Cloth => "",
        }
    }

    /// What it is, in words, before its levels.
    pub const fn noun(self) -> &'static str {
        match self {
            FactorKey::Glue => "glue",
            FactorKey::Thinning => "thinning",
            FactorKey::Wait => "wait",
            FactorKey::Coats => "number of coats",
            FactorKey::First => "direction of the first coat",
            FactorKey::Faces => "gesso on both faces",
            FactorKey::Cloth => "cloth",
        }
    }

    /// Why a look at its boards cannot be blind, where it cannot.
    pub const fn shows_itself(self) -> Option<&'static str> {
        match self {
            FactorKey::Coats => Some("how many coats lie on a board is seen at its edge"),
            FactorKey::Faces => Some("gesso on the back is seen"),
            FactorKey::Cloth => Some("cloth is seen and felt"),
            FactorKey::Glue | FactorKey::Thinning | FactorKey::Wait | FactorKey::First => None,
        }
    }

    /// A level as it is written: the figure, or the word.
    pub fn format_level(self, level: f64) -> String {
        match self.words() {
            Some(words) => words[usize::from(level >= 0.5)].to_owned(),
            None => level.to_string(),
        }
    }

    fn parse_level(self, text: &str) -> Result<f64, FactorFault> {
        let told = || FactorFault::LevelUnknown { key: self, text: text.to_owned() };
        match self.words() {
            Some(words) => words.iter().position(|word| *word == text).map(|n| n as f64).ok_or_else(told),
            None => {
                let figure = text.strip_suffix(self.suffix().trim()).unwrap_or(text).trim();
                figure.parse().ok().filter(|level: &f64| level.is_finite() && *level >= 0.0).ok_or_else(told)
            }
        }
    }
}

/// Something varied, with its levels from the lowest up.
#[derive(Debug, Clone, PartialEq)]
pub struct Factor {
    /// What.
    pub key: FactorKey,
    /// Its levels, rising; of a key of words the number of the word.
    pub levels: Vec<f64>,
}

/// What is wrong with something that is to be varied.
#[derive(Debug, Clone, PartialEq)]
pub enum FactorFault {
    /// Not written as `key=a,b`.
    NotAPair(String),
    /// There is no such key.
    KeyUnknown(String),
    /// A level is none.
    LevelUnknown {
        /// Of which key.
        key: FactorKey,
        /// As written.
        text: String,
    },
    /// Fewer than two different levels.
    OneLevel(FactorKey),
    /// A level the recipe cannot have.
    OutsideRecipe {
        /// Of which key.
        key: FactorKey,
        /// The level, as written.
        level: String,
        /// What the recipe's own check says.
        message: String,
    },
}

impl std::fmt::Display for FactorFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            FactorFault::NotAPair(text) => {
                write!(f, "\"{text}\" is not KEY=A,B; write what is varied and its levels, as in glue=60,80")
            }
            FactorFault::KeyUnknown(key) => {
                write!(f, "\"{key}\" cannot be varied; these can: {}", FactorKey::WORDS.join(", "))
            }
            FactorFault::LevelUnknown { key, text } => match key.words() {
                Some(words) => write!(f, "\"{text}\" is no level of {}; it has {}", key.name(), words.join(" and ")),
                None => write!(f, "\"{text}\" is no level of {}; write figures, as in {}", key.name(), key.example()),
            },
            FactorFault::OneLevel(key) => {
                write!(f, "{} has one level, and one alone compares nothing; give two or three", key.name())
            }
            FactorFault::OutsideRecipe { key, level, message } => {
                write!(f, "{}={level} is nothing this recipe can have: {message}", key.name())
            }
        }
    }
}

impl FactorKey {
    const fn example(self) -> &'static str {
        match self {
            FactorKey::Glue => "glue=60,80",
            FactorKey::Thinning => "thinning=0,10",
            FactorKey::Wait => "wait=12,25",
            FactorKey::Coats => "coats=4,6,8",
            FactorKey::First => "first=horizontal,vertical",
            FactorKey::Faces => "faces=front,both",
            FactorKey::Cloth => "cloth=no,yes",
        }
    }
}

impl Factor {
    /// Reads `key=a,b`.
    ///
    /// # Errors
    /// A `FactorFault` with what would be right.
    pub fn parse(text: &str) -> Result<Factor, FactorFault> {
        let (name, levels) = text.split_once('=').ok_or_else(|| FactorFault::NotAPair(text.to_owned()))?;
        let key = FactorKey::from_name(name.trim()).ok_or_else(|| FactorFault::KeyUnknown(name.trim().to_owned()))?;
        let mut levels =
            levels.split(',').map(|level| key.parse_level(level.trim())).collect::<Result<Vec<f64>, _>>()?;
        levels.sort_by(f64::total_cmp);
        levels.dedup();
        if levels.len() < 2 { Err(FactorFault::OneLevel(key)) } else { Ok(Factor { key, levels }) }
    }
}

/// That recipe with a level of that key, held to the ranges of a recipe file.
///
/// # Errors
/// [`FactorFault::OutsideRecipe`].
pub fn recipe_with_level(recipe: &Recipe, key: FactorKey, level: f64) -> Result<Recipe, FactorFault> {
    let told = |message: String| FactorFault::OutsideRecipe { key, level: key.format_level(level), message };
    let whole = || {
        let count = level.round();
        let is_count = (count - level).abs() < 1e-9 && (0.0..=1000.0).contains(&count);
        if is_count { Ok(count as u32) } else { Err(told("coats are counted whole".to_owned())) }
    };
    let mut changed = recipe.clone();
    let is_second = level >= 0.5;
    match key {
        FactorKey::Glue => changed.gesso.glue_g_per_l_water = level,
        FactorKey::Thinning => changed.gesso.thinning_pct = level,
        FactorKey::Wait => {
            changed.coats.wait_min = level;
            changed.stipple.wait_min = level;
        }
        FactorKey::Coats => changed.coats.front = whole()?,
        FactorKey::First => changed.coats.first = if is_second { Direction::Vertical } else { Direction::Horizontal },
        FactorKey::Faces => {
            changed.coats.back = if is_second { changed.coats.back.max(changed.coats.front) } else { 0 };
        }
        FactorKey::Cloth => changed.cloth = is_second.then(|| recipe.cloth.clone().unwrap_or_default()),
    }
    let told_line = |d: &Diagnostic| d.message.trim_end_matches('.').to_owned();
    let read = parse_recipe(&changed.to_toml());
    read.recipe.ok_or_else(|| told(read.diagnostics.first().map_or_else(String::new, told_line)))
}
