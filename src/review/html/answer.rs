//! What a comparison answers, as the page says it first: one place, so that the page follows the comparison.

use crate::review::compare::Comparison;
use crate::text::sanitize;

/// The answer in a sentence; nothing where no two sides were held against each other.
pub fn answer_sentence(c: &Comparison) -> Option<String> {
    let contrast = c.contrast.as_ref()?;
    let told = c.differences.iter().find(|d| d.p_value.is_some()).map(|d| format!("Furthest apart: {}.", d.text));
    let cannot = contrast.no_cause_reason.clone();
    let too_few = || "Too few panels and pots to tell chance from cause.".to_owned();
    Some(sanitize(&cannot.or(told).unwrap_or_else(too_few)))
}

/// The fields that were tested, those the answer speaks of first. What could not be tested has no picture: it would show
/// a cause where none can be told.
pub fn answer_fields(c: &Comparison) -> Vec<&'static str> {
    c.differences.iter().filter(|d| d.p_value.is_some()).map(|d| d.field).collect()
}
