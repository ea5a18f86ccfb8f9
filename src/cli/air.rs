//! `air`: records the air of the room, or only tells what it means.

use super::args_pot::AirArgs;
use super::calculation_json::AirJson;
use super::context::CliContext;
use super::error::CliError;
use super::input::InputKind;
use super::output;
use super::wrap::wrap_hanging;
use crate::bench::{AirRecorded, RecordError};
use crate::craft::quantities::air_properties::{
    AirProperties, MAX_SEAL_HUMIDITY_PCT, MIN_SEAL_MARGIN_C, compute_air_properties,
};
use crate::text::{UnitSystem, format_humidity, format_temperature, parse_humidity, parse_temperature};
use crate::units::{Humidity, Stamp, Temperature};
use crate::work::air::{AirReading, logger};
use anyhow::Result;
use chrono::Local;

/// Records the air of the room, one reading or a logger's file; with `--only` tells what it means and records nothing.
pub(super) fn run(context: &CliContext, args: &AirArgs) -> Result<()> {
    let typed = args.temperature.as_ref().zip(args.humidity.as_ref());
    let readings = match (&args.from, typed) {
        (Some(file), _) => {
            let logged =
                logger::parse_logger_file(&InputKind::Readings.read_text(file)?, &Local, context.clock.now().wall);
            for bad in &logged.bad_lines {
                output::print_message(&format!("sottile: {}: {bad}", file.display()));
            }
            if logged.readings.is_empty() {
                let message =
                    "no reading in it; it takes lines of time, temp_c, rh_pct, as in 2026-11-25 14:05,19.5,52";
                return Err(CliError::failed(format!("{}: {message}", file.display())).into());
            }
            logged.readings
        }
        (None, Some((temperature, humidity))) => {
            let temp = parse_temperature(temperature).map_err(CliError::usage)?;
            let rh = parse_humidity(humidity).map_err(CliError::usage)?;
            if args.only {
                return print_air_meaning(context, args, temp, rh);
            }
            vec![AirReading::new(reading_time(context, args)?, temp, rh).map_err(CliError::usage)?]
        }
        (None, None) => return Err(CliError::usage("give a temperature and a humidity, as in 20C 50%").into()),
    };
    let recorded = context.bench().record_air(&readings, &|| context.clock.now());
    let AirRecorded { written, already_known: known } =
        recorded.map_err(|(error, taken)| partial_record_error(error, taken))?;
    let already = if known > 0 { format!("; {known} stood there already") } else { String::new() };
    output::allow_untold(output::print_text(&format!("air: {written} recorded{already}\n")))
}

/// Why not all was recorded, and what was all the same.
fn partial_record_error(error: RecordError, taken: AirRecorded) -> CliError {
    let error = CliError::from(error);
    match taken.written {
        0 => error,
        n => CliError {
            message: format!("{}; {n} recorded before that, give the same file again for the rest", error.message),
            ..error
        },
    }
}

fn reading_time(context: &CliContext, args: &AirArgs) -> Result<Stamp, CliError> {
    Ok(context.parse_at(args.at.as_ref())?.unwrap_or(context.clock.now().wall))
}

/// Tells what that air means; a figure out of its formula's range is told of on stderr and left unknown.
fn print_air_meaning(context: &CliContext, args: &AirArgs, temp: Temperature, rh: Humidity) -> Result<()> {
    let surface = args.surface.as_deref().map(parse_temperature).transpose();
    let surface = surface.map_err(|e| CliError::usage(format!("--surface: {e}")))?;
    let meaning = compute_air_properties(temp, rh, surface);
    for range in &meaning.out_of_range {
        output::print_message(&format!("sottile: {range}; what rests on it is not known"));
    }
    if args.json {
        return output::print_json(&AirJson::from(&meaning));
    }
    output::print_text(&format_air_meaning(temp, rh, surface, &meaning, context.settings.unit_system.value))
}

/// One figure: its name, the figure, and on what it rests.
type AirFigureRow = (&'static str, Option<String>, &'static str);

fn format_air_meaning(
    temp: Temperature,
    rh: Humidity,
    surface: Option<Temperature>,
    a: &AirProperties,
    units: UnitSystem,
) -> String {
    let c = |c: f64| format_temperature(Temperature::from_c(c), units);
    let pa = |pa: f64| format!("{pa:.0} Pa");
    const ASHRAE: &str = "ASHRAE 2017 ch. 1, after Hyland and Wexler";
    let rows: [AirFigureRow; 10] = [
        ("saturation", a.saturation_pressure_pa.map(pa), ASHRAE),
        ("vapour", a.vapour_pressure_pa.map(pa), "that times the humidity"),
        ("deficit", a.vapour_pressure_deficit_pa.map(pa), "the difference"),
        ("dew point", a.dew_point_c.map(c), "saturation turned round; below 0 C frost"),
        ("a wet cloth", a.wet_bulb_c.map(c), "as cold as it gets: ASHRAE Eq. 33 and 35, from memory; below 0 C iced"),
        ("water in the air", a.absolute_humidity_g_m3.map(|g| format!("{g:.1} g/m3")), "the ideal gas law"),
        ("humidity ratio", a.humidity_ratio_kg_kg.map(|r| format!("{:.1} g/kg", 1000.0 * r)), ASHRAE),
        ("wood settles at", a.wood_emc_pct.map(|m| format!("{m:.1} %")), "Wood Handbook FPL-GTR-190 Eq. 4-5"),
        ("drying force", a.drying_force_pa.map(pa), "saturation at the wet cloth less the vapour"),
        ("waits take", a.wait_factor.map(|f| format!("x {f:.2}")), "as long as at 20 C 50 %: a model, not measured"),
    ];
    let mut lines = vec![format!("{} {}", format_temperature(temp, units), format_humidity(rh)), String::new()];
    let row = |(name, figure, basis): AirFigureRow| {
        format!("{name:17} {:>10}   {basis}", figure.unwrap_or_else(|| "not known".to_owned()))
    };
    lines.extend(rows.into_iter().map(row));
    lines.extend(surface.map(|surface| format_sealing(&c(surface.c()), a)));
    lines.join("\n") + "\n"
}

/// Whether dew is far enough from a surface to be sealed.
fn format_sealing(surface: &str, a: &AirProperties) -> String {
    let rule = format!(
        "at least {MIN_SEAL_MARGIN_C} K above the dew point and at most {MAX_SEAL_HUMIDITY_PCT} %; ISO 8502-4 and 12944-7 as quoted \
         by trade pages, for steel, borrowed as a caution"
    );
    let verdict = match (a.surface_margin_c, a.can_seal) {
        (Some(margin), Some(true)) => format!("{margin:.1} K above the dew point: far enough to seal"),
        (Some(margin), _) if margin < MIN_SEAL_MARGIN_C => {
            format!("{margin:.1} K above the dew point: too near; a seal may haze")
        }
        (Some(margin), _) => format!("{margin:.1} K above the dew point, but the air is damp; a seal may haze"),
        (None, _) => "not known".to_owned(),
    };
    format!("a surface at {surface}: {verdict}\n{}", wrap_hanging("  rule: ", &rule))
}
