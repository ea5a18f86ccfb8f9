//! `pot forecast`: when a pot gels, from thermometer readings.

use super::args_calculation::ForecastArgs as Asked;
use super::calculation_json::GelForecastJson;
use super::context::CliContext;
use super::error::CliError;
use super::input::InputKind;
use super::{output, recipe};
use crate::craft::physics::cooling::ThermometerReading;
use crate::craft::quantities::gel_forecast::{GelForecast, forecast_gelling};
use crate::text::{UnitSystem, format_temperature, parse_temperature, sanitize};
use crate::units::Temperature;
use anyhow::Result;

/// Tells when a pot gels.
pub(super) fn run(context: &CliContext, args: &Asked) -> Result<()> {
    let degrees =
        |option: &str, text: &str| parse_temperature(text).map_err(|e| CliError::usage(format!("{option}: {e}")));
    let room = degrees("--room", &args.room)?;
    let gels_at = degrees("--gels-at", &args.gels_at)?;
    let readings = match &args.readings {
        Some(file) => {
            let wrong = |e| CliError::failed(format!("{}: {e}", file.display()));
            parse_readings_csv(&InputKind::Readings.read_text(file)?).map_err(wrong)?
        }
        None => args.reading.iter().map(|text| parse_reading_option(text)).collect::<Result<Vec<_>, _>>()?,
    };
    let recipe = recipe::find_recipe(context, &args.recipe)?;
    let found = forecast_gelling(room, gels_at, &readings, recipe.gesso.time_constant_min).map_err(CliError::failed)?;
    for sentence in &found.notes {
        output::print_message(&format!("sottile: {sentence}"));
    }
    if args.json {
        return output::print_json(&GelForecastJson::from(&found));
    }
    output::print_text(&format_forecast(&found, room, gels_at, context.settings.unit_system.value))
}

/// `15=42C`.
fn parse_reading_option(text: &str) -> Result<ThermometerReading, CliError> {
    let wrong = |reason: &str| CliError::usage(format!("--reading \"{}\": {reason}", sanitize(text)));
    let (minutes, temp) = text.split_once('=').ok_or_else(|| wrong("write minutes and temperature, as in 15=42C"))?;
    let time_min = minutes.trim().trim_end_matches("min").trim_end();
    let time_min = time_min.parse().map_err(|_| wrong("the minutes are not a number; write for example 15=42C"))?;
    let temp = parse_temperature(temp).map_err(|e| wrong(&e.to_string()))?;
    Ok(ThermometerReading { time_min, temp_c: temp.c() })
}

/// Lines of minutes and degrees C under their heading; the columns may stand in either order and beside others.
fn parse_readings_csv(text: &str) -> Result<Vec<ThermometerReading>, String> {
    let mut lines = text.trim_start_matches('\u{feff}').lines().enumerate().filter(|(_, l)| !l.trim().is_empty());
    let heading = lines.next().map(|(_, l)| split_cells(l)).unwrap_or_default();
    let column = |name: &str| {
        let at = heading.iter().position(|cell| cell.eq_ignore_ascii_case(name));
        at.ok_or_else(|| format!("the heading has no {name}; it should be time_min,temp_c"))
    };
    let (time, temp) = (column("time_min")?, column("temp_c")?);
    lines
        .map(|(at, line)| {
            let cells = split_cells(line);
            let figure = |column: usize| cells.get(column).and_then(|cell| cell.parse().ok());
            let both = figure(time).zip(figure(temp));
            both.map(|(time_min, temp_c)| ThermometerReading { time_min, temp_c }).ok_or_else(|| {
                format!("line {}: \"{}\" is no reading; write for example 15,42", at + 1, sanitize(line))
            })
        })
        .collect()
}

fn split_cells(line: &str) -> Vec<&str> {
    line.split(',').map(|cell| cell.trim().trim_matches('"')).collect()
}

fn format_forecast(found: &GelForecast, room: Temperature, gels_at: Temperature, units: UnitSystem) -> String {
    let c = |temp| format_temperature(temp, units);
    let when = match (found.gels_after_min, found.interval) {
        (Some(minutes), Some(told)) => format!(
            "gels at {}, 9 in 10: between {:.0} and {:.0} min after minute 0; by the readings about {minutes:.0} min",
            c(gels_at),
            told.earliest.floor(),
            told.latest.ceil()
        ),
        (Some(minutes), None) => format!("gels at {} about {minutes:.0} min after minute 0", c(gels_at)),
        (None, _) => format!("when it gels at {} cannot be told", c(gels_at)),
    };
    let three = found
        .three_readings_width_min
        .map(|wide| format!("three readings in the first eight minutes leave it {wide:.0} min wide"));
    let tau = format!(
        "cooling time {:.1} min: so long until the distance to the room ({}) falls to 37 %",
        found.time_constant_min,
        c(room)
    );
    let start = format!("at minute 0 it stood at {}", c(Temperature::from_c(found.start_c)));
    let basis = match found.readings {
        1 => "rests on: Newton's law of cooling, one reading and the recipe's cooling time".to_owned(),
        n => format!(
            "rests on: Newton's law of cooling, least squares in temperature over {n} readings ({:.2} K off), room fixed; the \
             nine in ten also on the recipe's cooling time",
            found.rms_c
        ),
    };
    let lines: Vec<String> = [when].into_iter().chain(three).chain([start, tau, basis]).collect();
    lines.join("\n") + "\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn readings_are_read_and_bad_ones_named() {
        let read =
            |text: &str| parse_readings_csv(text).map(|r| r.iter().map(|r| (r.time_min, r.temp_c)).collect::<Vec<_>>());
        let two = Ok(vec![(0.0, 50.0), (15.0, 42.5)]);
        assert_eq!(read("time_min,temp_c\n0,50\n15,42.5\n"), two);
        assert_eq!(read("\u{feff}temp_c,time_min,who\r\n50,0,a\r\n\r\n42.5,15,b\r\n"), two);
        for (text, message) in [
            ("", "the heading has no time_min; it should be time_min,temp_c"),
            ("time_min,temp_f\n0,50", "the heading has no temp_c; it should be time_min,temp_c"),
            ("time_min,temp_c\n0", "line 2: \"0\" is no reading; write for example 15,42"),
            ("time_min,temp_c\n0,hot", "line 2: \"0,hot\" is no reading; write for example 15,42"),
        ] {
            assert_eq!(read(text), Err(message.to_owned()));
        }
    }
}
