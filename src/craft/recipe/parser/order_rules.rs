//! The figures of a file that must stand in order: a caution before the harm, and the like.
//!
//! Absent on purpose: which they are (`keys`).

use super::diagnostics::Diagnostics;
use super::values::{JsonTable, KeySpans, key_path};
use crate::craft::recipe::schema::{KeyRef, ORDER_RULES};

/// Checks the figures that must stand in order, as far as they are sound.
pub(super) fn check_order_rules(plain: &JsonTable, spans: &KeySpans, finds: &mut Diagnostics<'_>) {
    for order in &ORDER_RULES {
        let (Some(lower), Some(higher)) =
            (effective_number(plain, spans, order.lower), effective_number(plain, spans, order.higher))
        else {
            continue;
        };
        if lower < higher || (order.allows_equal && lower == higher) {
            continue;
        }
        let span_of = |(table, key, _): KeyRef| spans.get(&(table.name, key));
        let (figure, span) = match (span_of(order.lower), span_of(order.higher)) {
            (Some(span), _) => (order.lower, span),
            (None, Some(span)) => (order.higher, span),
            (None, None) => continue,
        };
        let bound = if order.allows_equal { "not be above" } else { "be below" };
        let (low, high) = (key_ref_path(order.lower), key_ref_path(order.higher));
        let said = format!("`{low}` ({lower}) must {bound} `{high}` ({higher}): {}.", order.reason);
        finds.report(span, &key_ref_path(figure), said);
    }
}

fn key_ref_path((table, key, at): KeyRef) -> String {
    at.map_or_else(|| key_path(table, key), |i| format!("{}[{i}]", key_path(table, key)))
}

/// The figure that stands in the file, or its usual one if the file says nothing; none if what it says is unsound.
fn effective_number(plain: &JsonTable, spans: &KeySpans, (table, key, at): KeyRef) -> Option<f64> {
    let usual = table.find_key(key)?.default_value();
    let value = match plain.get(table.name).and_then(|inside| inside.get(key)) {
        Some(value) => value,
        None if spans.contains_key(&(table.name, key)) => return None,
        None => &usual,
    };
    at.map_or(value.as_f64(), |i| value.get(i)?.as_f64())
}
