//! How an act, a direction and a length of time are said on the bench.

use crate::craft::materials::Support;
use crate::craft::recipe::{Direction, Recipe, SealMaterial};
use crate::text;
use crate::units::Size;
use crate::work::panel::event::{Face, Stage, StageKind};

/// A board whose sides differ by no more than this share has no long side that an eye could tell (assumed).
pub const SQUARE_WITHIN: f64 = 0.02;

/// The most block letters of one line: an eye at three metres takes in no more at once (assumed).
#[cfg(test)]
pub(super) const BLOCK_LETTERS_MAX: usize = 14;

/// An act as the bench says it: "Lay" "coat 4" "of 6", "the long way".
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ActWords {
    /// The verb, with a capital.
    pub verb: &'static str,
    /// What is acted on.
    pub object: String,
    /// Of how many, where more than one are known.
    pub total_text: Option<String>,
    /// The act in block letters, read across the room: at most 14 letters in capitals. A cure, a drying
    /// and a rest are what is to be let be.
    pub block: String,
    /// Its direction in block letters, where it has one: `HORIZONTAL`, `VERTICAL`.
    pub block_direction: Option<&'static str>,
    /// How its direction lies on this board, where it has one.
    pub direction_text: Option<&'static str>,
    /// What recording it is called: "laid".
    pub done_word: &'static str,
}

/// The words for an act on a board of that size.
pub fn act_words(stage: &Stage, recipe: &Recipe, size: &Size) -> ActWords {
    let row = stage.kind.row();
    ActWords {
        verb: row.verb,
        object: object_words(stage, recipe),
        total_text: stage.total.filter(|of| *of > 1).map(|of| format!("of {of}")),
        block: block_words(stage),
        block_direction: stage.direction.map(|direction| match direction {
            Direction::Horizontal => "HORIZONTAL",
            Direction::Vertical => "VERTICAL",
        }),
        direction_text: stage.direction.map(|d| direction_on_board(d, size)),
        done_word: row.done_word,
    }
}

/// What the verb is done to. A number is said only where there is more than one.
fn object_words(stage: &Stage, recipe: &Recipe) -> String {
    let number = stage.number.filter(|n| *n > 1 || stage.total.is_some_and(|of| of > 1));
    let counted = |first: &str| number.map_or(first.to_owned(), |n| format!("{first}, coat {n}"));
    match stage.kind {
        StageKind::Prepare => "the board".to_owned(),
        StageKind::Size => counted(match stage.face {
            Some(Face::Back) => "the back and the edges",
            Some(Face::Front) | None => "the front",
            Some(Face::Both) => "both faces",
        }),
        StageKind::Cloth => "the cloth in size".to_owned(),
        StageKind::Cure => "the size cure".to_owned(),
        StageKind::Stipple => number.map_or("the first gesso".to_owned(), |n| format!("first gesso {n}")),
        StageKind::Coat => {
            let coat = if stage.face == Some(Face::Back) { "back coat" } else { "coat" };
            stage.number.map_or(coat.to_owned(), |n| format!("{coat} {n}"))
        }
        StageKind::Dry => "the ground dry".to_owned(),
        StageKind::Scrape => stage.number.map_or("the ground".to_owned(), |n| format!("round {n}")),
        StageKind::Polish => "with a barely damp cloth".to_owned(),
        StageKind::Check => {
            let round = stage.number.filter(|n| *n > 1);
            round.map_or("with dark powder".to_owned(), |n| format!("with dark powder, round {n}"))
        }
        StageKind::Rest => "the panel rest".to_owned(),
        StageKind::Seal => counted(match recipe.seal.with {
            SealMaterial::Shellac => "with shellac",
            SealMaterial::Glue => "with thin glue",
            SealMaterial::None => "the ground",
        }),
        StageKind::Sand => "lightly".to_owned(),
    }
}

/// The act in block letters. A number is said only where there is more than one, but for coats and scraping, which
/// everybody counts.
fn block_words(stage: &Stage) -> String {
    let number = stage.number.filter(|n| *n > 1 || stage.total.is_some_and(|of| of > 1));
    let counted = |words: &str, number: Option<u32>| number.map_or(words.to_owned(), |n| format!("{words} {n}"));
    match stage.kind {
        StageKind::Prepare => "PREPARE".to_owned(),
        StageKind::Size => counted(
            match stage.face {
                Some(Face::Front) => "SIZE FRONT",
                Some(Face::Back) => "SIZE BACK",
                Some(Face::Both) | None => "SIZE",
            },
            number,
        ),
        StageKind::Cloth => "CLOTH".to_owned(),
        StageKind::Cure => "LET IT CURE".to_owned(),
        StageKind::Stipple => counted("TAP IN", number),
        StageKind::Coat => counted(if stage.face == Some(Face::Back) { "BACK COAT" } else { "COAT" }, stage.number),
        StageKind::Dry => "LET IT DRY".to_owned(),
        StageKind::Scrape => counted("SCRAPE", stage.number),
        StageKind::Polish => "POLISH".to_owned(),
        StageKind::Check => counted("CHECK", number),
        StageKind::Rest => "LET IT REST".to_owned(),
        StageKind::Seal => counted("SEAL", number),
        StageKind::Sand => "SAND".to_owned(),
    }
}

/// How a direction lies on a board: the long way or across; on a square board by width and height.
pub fn direction_on_board(direction: Direction, size: &Size) -> &'static str {
    let (width, height) = (size.width.mm(), size.height.mm());
    let square = (width - height).abs() <= SQUARE_WITHIN * width.max(height);
    match (direction, square) {
        (Direction::Horizontal, true) => "along the width",
        (Direction::Vertical, true) => "along the height",
        (Direction::Horizontal, false) if width > height => "the long way",
        (Direction::Vertical, false) if height > width => "the long way",
        (Direction::Horizontal | Direction::Vertical, false) => "across",
    }
}

/// The act as something that happened: "coat 2 laid, vertical".
pub fn format_past(stage: &Stage) -> String {
    let nth = |first: &str| stage.number.map_or(first.to_owned(), |n| format!("{first} {n}"));
    let many = |first: &str| if stage.total == Some(1) { first.to_owned() } else { nth(first) };
    let message = match stage.kind {
        StageKind::Prepare => "board prepared".to_owned(),
        StageKind::Size => match stage.face {
            Some(face) => format!("{} laid on the {}", many("glue size"), face_text(face)),
            None => format!("{} laid", many("glue size")),
        },
        StageKind::Cloth => "cloth laid".to_owned(),
        StageKind::Cure => "size cured".to_owned(),
        StageKind::Stipple => format!("{} tapped in", many("first gesso")),
        StageKind::Coat if stage.face == Some(Face::Back) => format!("{} laid on the back", nth("coat")),
        StageKind::Coat => format!("{} laid", nth("coat")),
        StageKind::Dry => "ground dried".to_owned(),
        StageKind::Scrape => format!("scraped, {}", nth("round")),
        StageKind::Polish => "polished with the damp cloth".to_owned(),
        StageKind::Check => format!("{} made", nth("check")),
        StageKind::Rest => "rested".to_owned(),
        StageKind::Seal => format!("{} laid", many("seal")),
        StageKind::Sand => "sanded".to_owned(),
    };
    match stage.direction {
        Some(direction) => format!("{message}, {}", direction.name()),
        None => message,
    }
}

fn face_text(face: Face) -> &'static str {
    match face {
        Face::Front => "front",
        Face::Back => "back",
        Face::Both => "both faces",
    }
}

/// A figure of a recipe, without noughts behind the point.
pub(super) fn format_figure(value: f64) -> String {
    text::format_number((value * 10.0).round() / 10.0, 1)
}

/// What the board is made of, as it is said.
pub const fn support_text(support: Support) -> &'static str {
    match support {
        Support::BirchPlywood => "birch plywood",
        Support::PoplarPlywood => "poplar plywood",
        Support::Mdf => "MDF",
        Support::Hardboard => "hardboard",
        Support::OakWhite => "white oak",
        Support::OakRed => "red oak",
        Support::YellowPoplar => "yellow poplar",
        Support::Lime => "lime",
        Support::Birch => "birch",
        Support::Beech => "beech",
        Support::MapleSugar => "sugar maple",
        Support::WalnutBlack => "black walnut",
        Support::CherryBlack => "black cherry",
        Support::PineWhite => "white pine",
        Support::Mahogany => "mahogany",
        Support::Other => "another board",
    }
}
