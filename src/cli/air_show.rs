//! `air --show`: what was recorded of the room's air, read back.

use super::args_pot::AirArgs;
use super::context::CliContext;
use super::json::{FORMAT_VERSION, format_local_rfc3339};
use super::output;
use super::story::check_air;
use crate::text::{
    UnitSystem, format_count, format_duration, format_humidity, format_temperature, format_times_once_a_day,
};
use crate::units::Stamp;
use crate::work::air::{Air, AirReading};
use anyhow::Result;
use chrono::Local;
use serde::Serialize;

/// A person is told of no more readings.
const SHOWN_MAX: usize = 20;

#[derive(Serialize)]
struct ReadingJson {
    at: String,
    temp_c: f64,
    rh_pct: f64,
}

/// What `air --show --json` prints.
#[derive(Serialize)]
struct AirShownJson {
    format: u32,
    /// The reading that holds at that time.
    holds: Option<ReadingJson>,
    /// Every reading until then, the first first.
    readings: Vec<ReadingJson>,
}

impl From<&AirReading> for ReadingJson {
    fn from(r: &AirReading) -> ReadingJson {
        ReadingJson { at: format_local_rfc3339(r.at), temp_c: r.temp.c(), rh_pct: r.rh.pct() }
    }
}

/// Tells the readings until now, or until the time asked for.
pub(super) fn run(context: &CliContext, args: &AirArgs) -> Result<()> {
    let now = context.clock.now().wall;
    let at = context.parse_at(args.at.as_ref())?.unwrap_or(now);
    let air = context.bench().load_air();
    let readings = &air.readings()[..air.readings().partition_point(|r| r.at <= at)];
    if args.json {
        output::print_json(&AirShownJson {
            format: FORMAT_VERSION,
            holds: air.reading_as_of(at).map(ReadingJson::from),
            readings: readings.iter().map(ReadingJson::from).collect(),
        })?;
    } else {
        output::print_text(&format_readings(&air, readings, at, now, context.settings.unit_system.value))?;
    }
    Ok(check_air(&air)?)
}

fn format_readings(air: &Air, readings: &[AirReading], at: Stamp, now: Stamp, units: UnitSystem) -> String {
    let Some(last) = readings.last() else {
        return "no reading of the air yet; record one with `sottile air 20C 50%`\n".to_owned();
    };
    let figures = |r: &AirReading| format!("{}  {}", format_temperature(r.temp, units), format_humidity(r.rh));
    let mut text = match air.reading_as_of(at) {
        Some(r) => format!("{}\n\n", figures(r)),
        None => format!("not known: the last reading is {} old\n\n", format_duration(at - last.at)),
    };
    let shown: Vec<&AirReading> = readings.iter().rev().take(SHOWN_MAX).collect();
    let stamps: Vec<Stamp> = shown.iter().map(|r| r.at).collect();
    for (when, r) in format_times_once_a_day(&stamps, now, &Local).iter().zip(&shown) {
        text += &format!("{when}  {}\n", figures(r));
    }
    if readings.len() > shown.len() {
        let before = format_count(readings.len() - shown.len(), "reading");
        text += &format!("and {before} before them; `sottile export --table air --as csv -o FILE` tells all\n");
    }
    text
}
