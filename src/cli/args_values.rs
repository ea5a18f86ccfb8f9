//! How single values on the command line are read: one of some words, a length.

use crate::craft::materials::Support;
use crate::work::panel::event::Flaw;
use clap::builder::{PossibleValuesParser, TypedValueParser};

/// A parser for one of some words, told in the help.
pub(super) fn word_parser(words: &[&'static str]) -> PossibleValuesParser {
    PossibleValuesParser::new(words.to_vec())
}

/// A parser for what a board is made of.
pub(super) fn support_parser() -> impl TypedValueParser<Value = Support> {
    word_parser(Support::WORDS).try_map(|w| Support::from_name(&w).ok_or("no such support"))
}

/// A parser for what is wrong with a coat.
pub(super) fn flaw_parser() -> impl TypedValueParser<Value = Flaw> {
    word_parser(Flaw::WORDS).try_map(|w| Flaw::from_name(&w).ok_or("no such word"))
}

/// A length in millimetres: 2, 2mm, 0.2cm.
pub(super) fn parse_millimetres(text: &str) -> Result<f64, String> {
    let text = text.trim();
    let units = [("mm", 1.0), ("cm", 10.0), ("in", 25.4)];
    let unit = units.into_iter().find_map(|(name, mm)| Some((text.strip_suffix(name)?, mm)));
    let (figure, mm) = unit.unwrap_or((text, 1.0));
    let length = figure.trim().parse::<f64>().map(|figure| figure * mm).ok().filter(|mm| mm.is_finite());
    length.ok_or_else(|| "write millimetres, as in 2 or 2.5mm".to_owned())
}
