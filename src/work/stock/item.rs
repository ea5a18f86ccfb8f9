//! What can lie in the cupboard, and in what it is counted.

use crate::craft::materials::Filler;
use crate::text::{parse_mass, parse_size, parse_volume, quote_word};
use crate::units::{Size, written_words};
use strum::{VariantArray, VariantNames};

/// In what something is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum StockUnit {
    /// Grams.
    G,
    /// Millilitres.
    Ml,
    /// Pieces.
    Pieces,
}
written_words!(StockUnit);

/// The size of boards that are alike, tenths of a millimetre: nobody saws finer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct BoardSize {
    width: u32,
    height: u32,
    thickness: Option<u32>,
}

impl BoardSize {
    /// The size of a board.
    pub fn from_size(size: Size) -> BoardSize {
        let tenths = |mm: f64| (mm * 10.0).round().clamp(0.0, f64::from(u32::MAX)) as u32;
        BoardSize {
            width: tenths(size.width.mm()),
            height: tenths(size.height.mm()),
            thickness: size.thickness.map(|thickness| tenths(thickness.mm())),
        }
    }

    /// Whether such a board serves for another, turned or not; a thickness not known is no hindrance.
    pub fn serves_for(&self, other: &BoardSize) -> bool {
        let sides = |size: &BoardSize| (size.width.min(size.height), size.width.max(size.height));
        let is_thick = self.thickness.zip(other.thickness).is_none_or(|(own, wanted)| own == wanted);
        sides(self) == sides(other) && is_thick
    }
}

/// What can lie in the cupboard.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum StockItem {
    /// Dry glue, g.
    Glue,
    /// A white powder, g.
    Filler(Filler),
    /// Another pigment, by its name, g.
    Pigment(String),
    /// Dry shellac, g.
    Shellac,
    /// Shellac in spirit, ml.
    ShellacSolution,
    /// Spirit, ml.
    Spirit,
    /// Boards, of that size where it was said.
    Boards(Option<BoardSize>),
}

/// The longest name of a pigment, letters.
const PIGMENT_MAX: usize = 60;

impl StockItem {
    /// The names that stand for one thing alone.
    pub fn plain_names() -> Vec<&'static str> {
        let fillers = Filler::ALL.into_iter().map(Filler::name);
        ["glue"].into_iter().chain(fillers).chain(["shellac", "shellac solution", "spirit", "boards"]).collect()
    }

    /// Its name, as it is written and read.
    pub fn name(&self) -> String {
        let tenths =
            |n: u32| if n.is_multiple_of(10) { (n / 10).to_string() } else { format!("{}.{}", n / 10, n % 10) };
        match self {
            StockItem::Glue => "glue".to_owned(),
            StockItem::Filler(filler) => filler.name().to_owned(),
            StockItem::Pigment(name) => format!("pigment {name}"),
            StockItem::Shellac => "shellac".to_owned(),
            StockItem::ShellacSolution => "shellac solution".to_owned(),
            StockItem::Spirit => "spirit".to_owned(),
            StockItem::Boards(None) => "boards".to_owned(),
            StockItem::Boards(Some(size)) => {
                let thickness = size.thickness.map_or_else(String::new, |thickness| format!("x{}", tenths(thickness)));
                format!("boards {}x{}{thickness}mm", tenths(size.width), tenths(size.height))
            }
        }
    }

    /// In what it is counted.
    pub const fn unit(&self) -> StockUnit {
        match self {
            StockItem::Glue | StockItem::Filler(_) | StockItem::Pigment(_) | StockItem::Shellac => StockUnit::G,
            StockItem::ShellacSolution | StockItem::Spirit => StockUnit::Ml,
            StockItem::Boards(_) => StockUnit::Pieces,
        }
    }

    /// The thing of that name.
    pub fn parse(name: &str) -> Option<StockItem> {
        let name = name.split_whitespace().collect::<Vec<_>>().join(" ");
        let small = name.to_lowercase();
        let behind = |word: &str| small.strip_prefix(word).and_then(|rest| rest.strip_prefix(' '));
        Some(match small.as_str() {
            "glue" | "dry glue" => StockItem::Glue,
            "shellac" | "shellac flakes" => StockItem::Shellac,
            "shellac solution" => StockItem::ShellacSolution,
            "spirit" | "ethanol" | "alcohol" => StockItem::Spirit,
            "boards" | "board" => StockItem::Boards(None),
            _ => {
                if let Some(filler) = Filler::from_name(&small) {
                    return Some(StockItem::Filler(filler));
                }
                if let Some(pigment) = behind("pigment") {
                    let fits = !pigment.chars().any(char::is_control) && pigment.chars().count() <= PIGMENT_MAX;
                    return fits.then(|| StockItem::Pigment(pigment.to_owned()));
                }
                let size = behind("boards").or_else(|| behind("board"))?;
                StockItem::Boards(Some(BoardSize::from_size(parse_size(size).ok()?)))
            }
        })
    }

    /// Reads an amount of it, in its unit: `500g`, `1.2l`, `4`.
    ///
    /// # Errors
    /// A sentence.
    pub fn parse_amount(&self, text: &str) -> Result<f64, String> {
        match self.unit() {
            StockUnit::G => parse_mass(text).map(|mass| mass.g()).map_err(|e| e.to_string()),
            StockUnit::Ml => parse_volume(text).map(|volume| volume.ml()).map_err(|e| e.to_string()),
            StockUnit::Pieces => {
                let digits = text.trim().trim_end_matches("pieces").trim_end_matches("pcs").trim();
                let count = digits.parse::<u32>().ok().filter(|count| *count <= 100_000);
                let wrong = || format!("{} is no number of pieces; write for example 12", quote_word(text));
                count.map(f64::from).ok_or_else(wrong)
            }
        }
    }
}
