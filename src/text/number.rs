//! Numbers as a workshop writes them: `12`, `0.5`, `0,5`, `1/2`, `12 1/2`, `12-1/2`, `½`; and a number with its unit.
//!
//! Thousands separators are refused: "1,000" is one thing here and another there. So are exponents and infinity.

use super::parse_error::ParseErrorKind;

/// Reads a number of at most nine digits before the point; a sign only where `signed`.
pub(super) fn parse_number(text: &str, signed: bool) -> Result<f64, ParseErrorKind> {
    let wrong = || ParseErrorKind::NotANumber(text.to_owned());
    let trimmed = text.trim();
    let (sign, body) = match trimmed.strip_prefix(['-', '−']) {
        Some(body) => (-1.0, body.trim_start()),
        None => (1.0, trimmed.strip_prefix('+').filter(|_| signed).unwrap_or(trimmed)),
    };
    let value = parse_unsigned(body).ok_or_else(wrong)?;
    if sign < 0.0 && !signed { Err(ParseErrorKind::Negative) } else { Ok(sign * value) }
}

fn parse_unsigned(body: &str) -> Option<f64> {
    let spelled = body.replace('½', " 1/2").replace('¼', " 1/4").replace('¾', " 3/4").replace('⁄', "/");
    let spelled = spelled.trim();
    let Some((before, below)) = spelled.split_once('/') else {
        return parse_decimal(spelled);
    };
    let (whole, above) = match before.trim_end().rsplit_once([' ', '-']) {
        Some((whole, above)) => (parse_digits(whole.trim_end())?, above),
        None => (0.0, before.trim_end()),
    };
    let below = parse_digits(below.trim_start())?;
    (below > 0.0).then_some(whole + parse_digits(above)? / below)
}

fn parse_decimal(text: &str) -> Option<f64> {
    let (whole, part) = match text.split_once(['.', ',']) {
        None => return parse_digits(text),
        Some((whole, part)) => (whole, part),
    };
    let thousands = text.contains(',') && part.len() == 3;
    let all_digits = part.bytes().all(|b| b.is_ascii_digit()) && (1..=9).contains(&part.len());
    if thousands || !all_digits {
        return None;
    }
    let whole = if whole.is_empty() { 0.0 } else { parse_digits(whole)? };
    Some(whole + format!("0.{part}").parse::<f64>().ok()?)
}

fn parse_digits(text: &str) -> Option<f64> {
    let fits = (1..=9).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
    if fits { text.parse().ok() } else { None }
}

/// Splits `12 1/2 in` into `12 1/2` and `in`: the unit is the tail without digits.
pub(super) fn split_unit(text: &str) -> (&str, &str) {
    let text = text.trim();
    let begins = text
        .char_indices()
        .rev()
        .take_while(|&(_, c)| !c.is_ascii_digit() && !matches!(c, '.' | ',' | '/' | '½' | '¼' | '¾'))
        .last()
        .map_or(text.len(), |(at, _)| at);
    let (number, unit) = text.split_at(begins);
    (number.trim_end(), unit.trim())
}

/// A bare number to read, with at most `decimals` after the point and no zeros at its end.
pub fn format_number(value: f64, decimals: usize) -> String {
    let printed = format!("{value:.decimals$}");
    let short = if printed.contains('.') { printed.trim_end_matches('0').trim_end_matches('.') } else { &printed };
    if short == "-0" { "0".to_owned() } else { short.to_owned() }
}
