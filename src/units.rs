//! Quantities: what a number means, so that minutes are never added to millimetres.
//!
//! Each kind of quantity is a newtype over one fixed unit; the unit is named wherever a bare number goes in or comes
//! out.

mod natural_order;
mod words;

pub use natural_order::{NameKey, compare_names};
pub(crate) use words::{all_variants, written_words};

use std::cmp::Ordering;
use std::fmt;
use std::ops::{Add, Neg, Sub};
use std::sync::Arc;

/// A moment of wall-clock time: milliseconds since 1970-01-01T00:00:00Z.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Stamp(i64);

impl Stamp {
    /// From milliseconds since the Unix epoch, UTC.
    pub const fn from_ms(ms: i64) -> Self {
        Stamp(ms)
    }
    /// Milliseconds since the Unix epoch, UTC.
    pub const fn ms(self) -> i64 {
        self.0
    }
}

/// A length of time, possibly negative: milliseconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span(i64);

impl Span {
    /// No time at all.
    pub const ZERO: Span = Span(0);

    /// From milliseconds.
    pub const fn from_ms(ms: i64) -> Self {
        Span(ms)
    }
    /// From whole seconds.
    pub const fn from_s(s: i64) -> Self {
        Span(s.saturating_mul(1000))
    }
    /// From minutes; not-a-number counts as none.
    pub fn from_min(min: f64) -> Self {
        Span((min * 60_000.0).round() as i64)
    }
    /// From hours; not-a-number counts as none.
    pub fn from_h(h: f64) -> Self {
        Span::from_min(h * 60.0)
    }
    /// Milliseconds.
    pub const fn ms(self) -> i64 {
        self.0
    }
    /// Minutes.
    pub fn minutes(self) -> f64 {
        self.0 as f64 / 60_000.0
    }
    /// Hours.
    pub fn hours(self) -> f64 {
        self.0 as f64 / 3_600_000.0
    }
    /// Seconds.
    pub fn seconds(self) -> f64 {
        self.0 as f64 / 1000.0
    }
    /// The same length counted forwards.
    pub const fn abs(self) -> Span {
        Span(self.0.saturating_abs())
    }
}

impl Sub for Stamp {
    type Output = Span;
    fn sub(self, earlier: Stamp) -> Span {
        Span(self.0.saturating_sub(earlier.0))
    }
}
impl Add<Span> for Stamp {
    type Output = Stamp;
    fn add(self, span: Span) -> Stamp {
        Stamp(self.0.saturating_add(span.0))
    }
}
impl Sub<Span> for Stamp {
    type Output = Stamp;
    fn sub(self, span: Span) -> Stamp {
        Stamp(self.0.saturating_sub(span.0))
    }
}
impl Add for Span {
    type Output = Span;
    fn add(self, other: Span) -> Span {
        Span(self.0.saturating_add(other.0))
    }
}
impl Sub for Span {
    type Output = Span;
    fn sub(self, other: Span) -> Span {
        Span(self.0.saturating_sub(other.0))
    }
}
impl Neg for Span {
    type Output = Span;
    fn neg(self) -> Span {
        Span(self.0.saturating_neg())
    }
}

/// Where the machine's own clock stood: it counts sleep, never jumps, and starts anew at each boot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct BootMark {
    /// Which boot this is: the system's boot identity as a 128-bit number.
    pub boot_id: u128,
    /// Milliseconds since that boot, sleep included.
    pub ms: i64,
}

/// One moment as every clock of the machine saw it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Moment {
    /// The wall clock.
    pub wall: Stamp,
    /// The boot clock, where the platform has one.
    pub boot: Option<BootMark>,
    /// Local time minus UTC, minutes, as the maker saw it.
    pub offset_min: i32,
    /// What the wall clock itself said, where `wall` runs on from the last line instead.
    pub raw_wall: Option<Stamp>,
}

impl Moment {
    /// A moment known by the wall clock alone, told in UTC.
    pub const fn from_wall(wall: Stamp) -> Self {
        Moment { wall, boot: None, offset_min: 0, raw_wall: None }
    }

    /// The time since `earlier`: by the boot clock within one boot, else by the wall clock (K2, K7).
    pub fn since(self, earlier: Moment) -> Span {
        match (self.boot, earlier.boot) {
            (Some(now), Some(then)) if now.boot_id == then.boot_id => Span(now.ms.saturating_sub(then.ms)),
            (Some(_) | None, Some(_) | None) => self.wall - earlier.wall,
        }
    }

    /// The minute of the maker's day, 0 to 1439.
    pub const fn minute_of_day(self) -> u16 {
        (self.wall.0.div_euclid(60_000) + self.offset_min as i64).rem_euclid(24 * 60) as u16
    }

    /// The same clocks `span` earlier.
    pub fn earlier_by(self, span: Span) -> Moment {
        Moment {
            wall: self.wall - span,
            boot: self.boot.map(|b| BootMark { ms: b.ms.saturating_sub(span.0), ..b }),
            ..self
        }
    }
}

/// One journalled fact: what happened, when it happened, and when it was written.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry<E> {
    /// Place in the journal, from 0 without gaps.
    pub seq: u64,
    /// When it happened, as the program believes.
    pub at: Stamp,
    /// When it was written; its wall clock is the believed one.
    pub written: Moment,
    /// What the wall clock really said, where it was not believed.
    pub raw_wall: Option<Stamp>,
    /// The `seq` of the fact it stands in the place of, which it takes back.
    pub replaces: Option<u64>,
    /// What happened.
    pub event: E,
}

impl<E> Entry<E> {
    /// The moment at which it happened, on both clocks: a fact given for four minutes ago lies four minutes back on each.
    pub fn moment(&self) -> Moment {
        self.written.earlier_by(self.written.wall - self.at)
    }
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $from:ident, $get:ident, $unit:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);
        impl $name {
            #[doc = concat!("From ", $unit, ".")]
            pub const fn $from(value: f64) -> Self {
                $name(value)
            }
            #[doc = concat!("In ", $unit, ".")]
            pub const fn $get(self) -> f64 {
                self.0
            }
        }
    };
}

quantity!(
    /// A length.
    Length, from_mm, mm, "millimetres");
impl Length {
    /// Millimetres in an inch, exactly (international yard and pound agreement, 1959).
    pub const MM_PER_IN: f64 = 25.4;
}

quantity!(
    /// A mass.
    Mass, from_g, g, "grams");
impl Mass {
    /// Grams in an avoirdupois pound, exactly (international yard and pound agreement, 1959).
    pub const G_PER_LB: f64 = 453.592_37;
}

quantity!(
    /// A volume.
    Volume, from_ml, ml, "millilitres");
quantity!(
    /// A temperature.
    Temperature, from_c, c, "degrees Celsius");
quantity!(
    /// A relative humidity.
    Humidity, from_pct, pct, "per cent");

/// The size of a board: width first, with the arrow on its back pointing up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    /// Across the arrow.
    pub width: Length,
    /// Along the arrow.
    pub height: Length,
    /// Through the board; not always known.
    pub thickness: Option<Length>,
}

/// The name a thing is filed under: `[a-z0-9-]{1,64}`, beginning with a letter or digit. Ids stand as people count, `wren-2` before `wren-10`.
/// A copy shares the text, since a shelf of thousands names its pots a hundred thousand times.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Id(Arc<str>);

impl Ord for Id {
    fn cmp(&self, other: &Self) -> Ordering {
        if self.0 == other.0 { Ordering::Equal } else { compare_names(&self.0, &other.0) }
    }
}

impl PartialOrd for Id {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Id {
    /// The longest id, in bytes.
    pub const MAX_LEN: usize = 64;

    /// Takes `text` if it is a well-formed id.
    pub fn new(text: &str) -> Option<Id> {
        let fits = (1..=Self::MAX_LEN).contains(&text.len())
            && !text.starts_with('-')
            && text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
        fits.then(|| Id(text.into()))
    }
    /// The id as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_minute_of_the_day_is_the_makers_own() {
        for (min, offset_min, expected) in
            [(0, 0, 0), (1439, 0, 1439), (1440, 0, 0), (0, -60, 1380), (-1, 0, 1439), (-1, 1, 0), (1410, 345, 315)]
        {
            let moment = Moment { offset_min, ..Moment::from_wall(Stamp::from_ms(min * 60_000 + 59_999)) };
            assert_eq!(moment.minute_of_day(), expected, "{min} {offset_min}");
        }
    }
}
