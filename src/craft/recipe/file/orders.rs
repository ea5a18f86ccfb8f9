//! The figures of a file that must stand in order: a caution before the harm, and the like.
//!
//! Absent on purpose: which they are (`keys`).

use super::finds::Finds;
use super::values::{Plain, Spans, path};
use crate::craft::recipe::keys::{Figure, ORDERS};

/// Checks the figures that must stand in order, as far as they are sound.
pub(super) fn hold(plain: &Plain, spans: &Spans, finds: &mut Finds<'_>) {
    for order in &ORDERS {
        let (Some(lower), Some(higher)) = (standing(plain, spans, order.lower), standing(plain, spans, order.higher))
        else {
            continue;
        };
        if lower < higher || (order.may_be_equal && lower == higher) {
            continue;
        }
        let span_of = |(table, key, _): Figure| spans.get(&(table.name, key));
        let (figure, span) = match (span_of(order.lower), span_of(order.higher)) {
            (Some(span), _) => (order.lower, span),
            (None, Some(span)) => (order.higher, span),
            (None, None) => continue,
        };
        let bound = if order.may_be_equal { "not be above" } else { "be below" };
        let (low, high) = (shown(order.lower), shown(order.higher));
        let said = format!("`{low}` ({lower}) must {bound} `{high}` ({higher}): {}.", order.why);
        finds.add(span, &shown(figure), said);
    }
}

fn shown((table, key, at): Figure) -> String {
    at.map_or_else(|| path(table, key), |i| format!("{}[{i}]", path(table, key)))
}

/// The figure that stands in the file, or its usual one if the file says nothing; none if what it says is unsound.
fn standing(plain: &Plain, spans: &Spans, (table, key, at): Figure) -> Option<f64> {
    let usual = table.key(key)?.usual();
    let value = match plain.get(table.name).and_then(|inside| inside.get(key)) {
        Some(value) => value,
        None if spans.contains_key(&(table.name, key)) => return None,
        None => &usual,
    };
    at.map_or(value.as_f64(), |i| value.get(i)?.as_f64())
}
