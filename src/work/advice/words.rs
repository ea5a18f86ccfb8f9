//! How an act, a direction, a fact and a length of time are said on the bench.
//!
//! Absent on purpose: how a fact stood to its wait (`told`), times of day (`text` prints those), colours.

use crate::craft::materials::Support;
use crate::craft::recipe::{Direction, Paint, Recipe, SealWith};
use crate::text;
use crate::units::{Size, Span};
use crate::work::panel::event::{CheckMap, Done, Event, Face, Flaw, Kind, Low, Stage};
use crate::work::panel::story::Story;

/// A board whose sides differ by no more than this share has no long side that an eye could tell (assumed).
pub const SQUARE_WITHIN: f64 = 0.02;

/// An act as the bench says it: "Lay" "coat 4" "of 6", "along the long side".
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ActWords {
    /// The verb, with a capital.
    pub verb: &'static str,
    /// What is acted on.
    pub object: String,
    /// Of how many, where more than one are known.
    pub of: Option<String>,
    /// How its direction lies on this board, where it has one.
    pub along: Option<&'static str>,
    /// What recording it is called: "laid".
    pub done: &'static str,
}

impl ActWords {
    /// Verb, object and total in one line: "Lay coat 4 of 6".
    pub fn line(&self) -> String {
        let of = self.of.as_ref().map_or(String::new(), |of| format!(" {of}"));
        format!("{} {}{of}", self.verb, self.object)
    }
}

/// The words for an act on a board of that size.
pub fn act(stage: &Stage, recipe: &Recipe, size: &Size) -> ActWords {
    let (verb, done) = verb(stage.kind);
    ActWords {
        verb,
        object: object(stage, recipe),
        of: stage.of.filter(|of| *of > 1).map(|of| format!("of {of}")),
        along: stage.direction.map(|d| along(d, size)),
        done,
    }
}

/// The verb as it is told, and what recording it is called.
const fn verb(kind: Kind) -> (&'static str, &'static str) {
    match kind {
        Kind::Prepare => ("Prepare", "prepared"),
        Kind::Size => ("Brush size on", "sized"),
        Kind::Cloth => ("Lay", "laid"),
        Kind::Cure => ("Let", "cured"),
        Kind::Stipple => ("Tap in", "tapped in"),
        Kind::Coat => ("Lay", "laid"),
        Kind::Dry => ("Let", "dried"),
        Kind::Scrape => ("Scrape", "scraped"),
        Kind::Polish => ("Polish", "polished"),
        Kind::Check => ("Check", "checked"),
        Kind::Rest => ("Let", "rested"),
        Kind::Seal => ("Seal", "sealed"),
        Kind::Sand => ("Sand", "sanded"),
    }
}

/// What the verb is done to. A number is said only where there is more than one.
fn object(stage: &Stage, recipe: &Recipe) -> String {
    let number = stage.number.filter(|n| *n > 1 || stage.of.is_some_and(|of| of > 1));
    let counted = |first: &str| number.map_or(first.to_owned(), |n| format!("{first}, coat {n}"));
    match stage.kind {
        Kind::Prepare => "the board".to_owned(),
        Kind::Size => counted(match stage.face {
            Some(Face::Back) => "the back and the edges",
            Some(Face::Front) | None => "the front",
            Some(Face::Both) => "both faces",
        }),
        Kind::Cloth => "the cloth in size".to_owned(),
        Kind::Cure => "the size cure".to_owned(),
        Kind::Stipple => number.map_or("the first gesso".to_owned(), |n| format!("first gesso {n}")),
        Kind::Coat => {
            let coat = if stage.face == Some(Face::Back) { "back coat" } else { "coat" };
            stage.number.map_or(coat.to_owned(), |n| format!("{coat} {n}"))
        }
        Kind::Dry => "the ground dry".to_owned(),
        Kind::Scrape => stage.number.map_or("the ground".to_owned(), |n| format!("round {n}")),
        Kind::Polish => "with a barely damp cloth".to_owned(),
        Kind::Check => {
            let round = stage.number.filter(|n| *n > 1);
            round.map_or("with dark powder".to_owned(), |n| format!("with dark powder, round {n}"))
        }
        Kind::Rest => "the panel rest".to_owned(),
        Kind::Seal => counted(match recipe.seal.with {
            SealWith::Shellac => "with shellac",
            SealWith::Glue => "with thin glue",
            SealWith::None => "the ground",
        }),
        Kind::Sand => "lightly".to_owned(),
    }
}

/// How a direction lies on a board: along the long side or across; on a square board by width and height.
pub fn along(direction: Direction, size: &Size) -> &'static str {
    let (width, height) = (size.width.mm(), size.height.mm());
    let square = (width - height).abs() <= SQUARE_WITHIN * width.max(height);
    match (direction, square) {
        (Direction::Horizontal, true) => "along the width",
        (Direction::Vertical, true) => "along the height",
        (Direction::Horizontal, false) if width > height => "along the long side",
        (Direction::Vertical, false) if height > width => "along the long side",
        (Direction::Horizontal | Direction::Vertical, false) => "across",
    }
}

/// The act as something that happened: "coat 2 laid, vertical".
pub fn past(stage: &Stage) -> String {
    let nth = |first: &str| stage.number.map_or(first.to_owned(), |n| format!("{first} {n}"));
    let many = |first: &str| if stage.of == Some(1) { first.to_owned() } else { nth(first) };
    let said = match stage.kind {
        Kind::Prepare => "board prepared".to_owned(),
        Kind::Size => match stage.face {
            Some(face) => format!("{} laid on the {}", many("size"), face_words(face)),
            None => format!("{} laid", many("size")),
        },
        Kind::Cloth => "cloth laid".to_owned(),
        Kind::Cure => "size cured".to_owned(),
        Kind::Stipple => format!("{} tapped in", many("first gesso")),
        Kind::Coat if stage.face == Some(Face::Back) => format!("{} laid on the back", nth("coat")),
        Kind::Coat => format!("{} laid", nth("coat")),
        Kind::Dry => "ground dried".to_owned(),
        Kind::Scrape => format!("scraped, {}", nth("round")),
        Kind::Polish => "polished with the damp cloth".to_owned(),
        Kind::Check => format!("{} made", nth("check")),
        Kind::Rest => "rested".to_owned(),
        Kind::Seal => format!("{} laid", many("seal")),
        Kind::Sand => "sanded".to_owned(),
    };
    match stage.direction {
        Some(direction) => format!("{said}, {}", direction.name()),
        None => said,
    }
}

fn face_words(face: Face) -> &'static str {
    match face {
        Face::Front => "front",
        Face::Back => "back",
        Face::Both => "both faces",
    }
}

/// What happened, as a sentence without capital and full stop. `stage` is the stage as the story now numbers it; without
/// it the stage the fact was recorded for is told. A take-back tells what it took back.
pub fn fact(event: &Event, stage: Option<Stage>, story: &Story) -> String {
    let takes_back = if let Event::Undone { takes_back } = event { Some(*takes_back) } else { None };
    let gone = takes_back.and_then(|seq| story.entries().iter().find(|e| e.seq == seq));
    match gone {
        Some(entry) => format!("taken back: {}", sentence(&entry.event, None)),
        None => sentence(event, stage),
    }
}

pub(super) fn sentence(event: &Event, stage: Option<Stage>) -> String {
    let of = |recorded: &Option<Stage>| stage.or(*recorded);
    match event {
        Event::Opened(o) => format!(
            "opened: {}, {}, recipe {}",
            support(o.support),
            match o.paint {
                Paint::Oil => "for oil",
                Paint::Tempera => "for tempera",
                Paint::Gilding => "for gilding",
            },
            o.recipe.name
        ),
        Event::Started { stage: recorded } => of(recorded).map_or("begun".to_owned(), |s| format!("{s} begun")),
        Event::Done(done) => finished(done, of(&done.stage)),
        Event::Dull => stage.map_or("the gloss gone: dull".to_owned(), |s| format!("{s} gone dull")),
        Event::Noted { text } => format!("note: {text}"),
        Event::Weighed { mass } => format!("weighed: {} g", figure(mass.g())),
        Event::Extra => stage.map_or("one more added".to_owned(), |s| format!("one more added: {s}")),
        Event::Repeated { .. } => stage.map_or("to be done again".to_owned(), |s| format!("{s} to be done again")),
        Event::Skipped { stage: recorded, .. } => match of(recorded) {
            Some(s) if s.kind.by_itself() => format!("{s} ended before its time"),
            Some(s) => format!("{s} left out"),
            None => "left out".to_owned(),
        },
        Event::Away => "away from the bench".to_owned(),
        Event::Back => "back at the bench".to_owned(),
        Event::Undone { takes_back } => format!("fact {takes_back} taken back"),
        Event::Abandoned { .. } => "given up".to_owned(),
        Event::Alert { call, .. } => format!("called: {}", call.name()),
        Event::ClockStepped { by } if *by < Span::ZERO => format!("the clock was set back by {}", lasting(*by)),
        Event::ClockStepped { by } => format!("the clock was set on by {}", lasting(*by)),
        Event::Slept { span } => format!("the computer slept for {}", lasting(*span)),
        Event::Newer { fact } => format!("a fact this version does not know: {fact}"),
    }
}

/// An act done; a direction recorded goes before the one planned, and a check tells what it showed.
fn finished(done: &Done, stage: Option<Stage>) -> String {
    let Some(stage) = stage else { return "done".to_owned() };
    let stage = Stage { direction: done.direction.or(stage.direction), ..stage };
    match (stage.kind, &done.map) {
        (Kind::Check, map) => format!("{}: {}", past(&stage), map.as_ref().map_or("clear".to_owned(), showed)),
        (_, None) | (_, Some(_)) => past(&stage),
    }
}

/// What a check's map showed: "clear", "3 of 9 areas grey, 1 of them much".
pub fn showed(map: &CheckMap) -> String {
    let areas: Vec<Low> = map.rows().iter().flatten().copied().collect();
    let grey = areas.iter().filter(|low| **low != Low::None).count();
    let much = areas.iter().filter(|low| **low == Low::Much).count();
    match (grey, much) {
        (0, _) => "clear".to_owned(),
        (_, 0) => format!("{grey} of {} areas grey", areas.len()),
        (_, _) => format!("{grey} of {} areas grey, {much} of them much", areas.len()),
    }
}

/// What was wrong with an act, as a reason.
pub const fn flaw(flaw: Flaw) -> &'static str {
    match flaw {
        Flaw::Lumpy => "lumpy",
        Flaw::Thick => "too thick",
        Flaw::Thin => "too thin",
        Flaw::Direction => "laid in the wrong direction",
        Flaw::Other => "another reason",
    }
}

/// The longest wait of which minutes are said rather than hours: the waits of a recipe are minutes (assumed).
const MINUTES_UP_TO: i64 = 180;

/// A length of time as it is said of waits, early and late: "2 min", "100 min", "5 h 20 min". Its sign is not told.
pub fn lasting(span: Span) -> String {
    let minutes = (span.abs().minutes().round() as i64).max(1);
    if minutes <= MINUTES_UP_TO {
        format!("{minutes} min")
    } else {
        text::lasting(Span::from_s(minutes.saturating_mul(60)))
    }
}

/// A figure of a recipe, without noughts behind the point.
pub(super) fn figure(value: f64) -> String {
    let rounded = (value * 10.0).round() / 10.0;
    if rounded.fract() == 0.0 { format!("{rounded:.0}") } else { format!("{rounded:.1}") }
}

/// What the board is made of, as it is said.
pub const fn support(support: Support) -> &'static str {
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
