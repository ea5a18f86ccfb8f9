//! Text made safe to show; sizes, times and amounts parsed and formatted.
//!
//! `sanitize` guards the display against what text can carry; `parse_error` says what is wrong with something typed, in one
//! sentence, `file_error` what the system says of a file; `amount`, `size` and `time` read and print. What is printed can
//! be typed in again.

mod amount;
mod count;
mod file_error;
mod nearest;
mod number;
mod parse_error;
mod sanitize;
mod size;
mod time;
mod work_week;
mod wrap;

#[cfg(test)]
mod tests;

use crate::units::written_words;
use strum::{VariantArray, VariantNames};

pub use amount::{
    format_humidity, format_mass, format_temperature, format_temperature_difference, format_volume, parse_humidity,
    parse_mass, parse_temperature, parse_volume,
};
pub use count::{format_count, format_entries, format_number_word, format_times};
pub use file_error::FileError;
pub use nearest::find_nearest_word;
pub use number::format_number;
pub use parse_error::ParseError;
pub use sanitize::{
    display_width, quote_word, sanitize, sanitize_for_osc, sanitize_lines, truncate_to_width, truncate_to_width_ascii,
};
pub use size::{format_fine_length, format_length, format_size, parse_length, parse_size};
pub use time::{
    format_countdown, format_date, format_date_words, format_day_and_time, format_duration, format_hhmm,
    format_lateness, format_rfc3339, format_times_once_a_day, format_utc, format_wait_span, format_weekday_hhmm,
    format_when, local_day, local_minute, parse_iso_day, parse_minute_of_day, parse_time,
};
pub use work_week::{DaysOff, HoursOfWeek, WeekDays, WorkWeek, WorkWeekError};
pub use wrap::wrap_words;

/// The units a maker reads and writes in. Inside, everything is metric; JSON always is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum UnitSystem {
    /// Millimetres, grams, millilitres, degrees Celsius.
    #[default]
    Metric,
    /// Inches, ounces and pounds, US fluid ounces, degrees Fahrenheit.
    Imperial,
}
written_words!(UnitSystem);
