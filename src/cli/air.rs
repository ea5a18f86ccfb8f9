//! `air`: records the air of the room, or only tells what it means.

use super::args_pot::AirArgs;
use super::calculation_json::AirJson;
use super::context::CliContext;
use super::error::CliError;
use super::input::InputKind;
use super::output;
use super::wrap::wrap_hanging;
use crate::bench::{AirRecorded, RecordError, StudioKnowledge};
use crate::craft::materials::Support;
use crate::craft::physics::drying;
use crate::craft::physics::wood::{self, BoardCut};
use crate::craft::quantities::air_properties::{
    AirProperties, MAX_SEAL_HUMIDITY_PCT, MIN_SEAL_MARGIN_C, compute_air_properties,
};
use crate::text::{
    UnitSystem, format_count, format_humidity, format_length, format_temperature, format_temperature_difference,
    parse_humidity, parse_temperature,
};
use crate::units::{Humidity, Length, Stamp, Temperature};
use crate::work::advice::waits;
use crate::work::air::{AirReading, logger};
use crate::work::learn::DullPrediction;
use crate::work::panel::adjusted_wait::DryingEstimate;
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
            if let Some(first) = logged.twice.first() {
                let lines = format_count(logged.twice.len(), "line");
                output::print_message(&format!(
                    "sottile: {}: {lines}, from line {first} on, of an hour that came twice when the clocks were put back: \
                     each is taken for the first, and where its time stands there once more, for the second. If that is \
                     wrong, write times with their offset: 2026-10-25T02:30+01:00",
                    file.display()
                ));
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
    let units = context.settings.unit_system.value;
    let own = StudioKnowledge::load(&context.shelf()).learned.own_coat_time(DryingEstimate::from_air(Some((temp, rh))));
    let heading = format!("{} {}\n", format_temperature(temp, units), format_humidity(rh));
    let means = format_air_consequences(rh, surface, &meaning, own, units);
    output::print_text(&format!("{heading}\n{means}\n{}", format_air_figures(&meaning, units)))
}

/// What it means for whoever works in it: how long coats take, whether to seal, what the wood does.
fn format_air_consequences(
    rh: Humidity,
    surface: Option<Temperature>,
    a: &AirProperties,
    own: Option<(DullPrediction, usize)>,
    units: UnitSystem,
) -> String {
    let mut said = vec![match a.wait_factor_range {
        Some((low, high)) => format!(
            "A coat takes {} times as long as at {}: a model, no gesso was measured; a draught can halve it.",
            waits::format_factor_range(low, high),
            format_reference_room(units),
        ),
        None if rh.pct() > drying::MAX_HUMIDITY_PCT => {
            "Too damp to foretell how long a coat takes: look at it, and lay nothing by the clock.".to_owned()
        }
        None => "How long a coat takes here is not known.".to_owned(),
    }];
    said.extend(
        own.map(|(when, marks)| format!("Your own coats: dull after {}.", waits::format_own_dull_time(&when, marks))),
    );
    said.push(match (surface, a.dew_point_c) {
        (Some(surface), _) => format_sealing(&format_temperature(surface, units), a, units),
        (None, _) if rh.pct() > MAX_SEAL_HUMIDITY_PCT => {
            format!("Do not seal: above {MAX_SEAL_HUMIDITY_PCT} % a seal may haze ({SEAL_RULE_SOURCE}).")
        }
        (None, Some(dew)) => format!(
            "Seal only what is warmer than {} ({} above the dew point; {SEAL_RULE_SOURCE}).",
            format_temperature(Temperature::from_c(dew + MIN_SEAL_MARGIN_C), units),
            format_temperature_difference(MIN_SEAL_MARGIN_C, units),
        ),
        (None, None) => "Whether to seal is not known.".to_owned(),
    });
    said.extend(format_wood_movement(a, units));
    said.iter().map(|line| wrap_hanging("", line) + "\n").collect()
}

/// The room for which a recipe's waits are meant.
fn format_reference_room(units: UnitSystem) -> String {
    let (c, pct) = drying::REFERENCE_AIR;
    format!("{} {}", format_temperature(Temperature::from_c(c), units), format_humidity(Humidity::from_pct(pct)))
}

/// How far a common board comes in this air; nothing where the formula does not reach.
fn format_wood_movement(a: &AirProperties, units: UnitSystem) -> Option<String> {
    let (c, pct) = drying::REFERENCE_AIR;
    let to = a.wood_emc_pct?;
    let from = wood::emc_pct(c, pct).ok()?;
    let width = Length::from_mm(match units {
        UnitSystem::Metric => 300.0,
        UnitSystem::Imperial => 12.0 * 25.4,
    });
    let lime = Support::Lime.species()?.movement(BoardCut::Flat);
    let moves = wood::movement_mm(width.mm(), lime, from, to).ok()?;
    let way = if moves < 0.0 { "narrower" } else { "wider" };
    Some(format!(
        "Wood comes to hold {to:.1} % of water; a flat-sawn lime board of {} is then {} {way} than at {}, a sheet hardly \
         (sottile board says yours).",
        format_length(width, units),
        format_length(Length::from_mm(moves.abs()), units),
        format_reference_room(units),
    ))
}

/// Where the rule for sealing comes from.
const SEAL_RULE_SOURCE: &str = "ISO 8502-4 and 12944-7 as quoted by trade pages, for steel, borrowed as a caution";

/// One figure: its name, the figure, and on what it rests.
type AirFigureRow = (&'static str, Option<String>, &'static str);

fn format_air_figures(a: &AirProperties, units: UnitSystem) -> String {
    let c = |c: f64| format_temperature(Temperature::from_c(c), units);
    let pa = |pa: f64| format!("{pa:.0} Pa");
    const ASHRAE: &str = "ASHRAE 2017 ch. 1, after Hyland and Wexler";
    let rows: [AirFigureRow; 11] = [
        ("saturation", a.saturation_pressure_pa.map(pa), ASHRAE),
        ("vapour", a.vapour_pressure_pa.map(pa), "that times the humidity"),
        ("deficit", a.vapour_pressure_deficit_pa.map(pa), "the difference"),
        ("dew point", a.dew_point_c.map(c), "saturation turned round; below 0 C frost"),
        ("a wet cloth", a.wet_bulb_c.map(c), "as cold as it gets: ASHRAE Eq. 33 and 35, from memory; below 0 C iced"),
        ("water in the air", a.absolute_humidity_g_m3.map(|g| format!("{g:.1} g/m3")), "the ideal gas law"),
        ("humidity ratio", a.humidity_ratio_kg_kg.map(|r| format!("{:.1} g/kg", 1000.0 * r)), ASHRAE),
        ("wood settles at", a.wood_emc_pct.map(|m| format!("{m:.1} %")), "Wood Handbook FPL-GTR-190 Eq. 4-5"),
        ("drying force", a.drying_force_pa.map(pa), "saturation at the wet cloth less the vapour"),
        ("waits take", a.wait_factor.map(|f| format!("x {f:.2}")), "that force at the reference room over this one"),
        (
            "as warm as the air",
            a.wait_factor_range
                .map(|(low, high)| format!("x {:.2}", if a.wait_factor == Some(low) { high } else { low })),
            "the same for a film as warm as the air: the deficits' ratio",
        ),
    ];
    let row = |(name, figure, basis): AirFigureRow| {
        format!("{name:18} {:>10}   {basis}", figure.unwrap_or_else(|| "not known".to_owned()))
    };
    rows.into_iter().map(row).collect::<Vec<_>>().join("\n") + "\n"
}

/// Whether dew is far enough from a surface to be sealed.
fn format_sealing(surface: &str, a: &AirProperties, units: UnitSystem) -> String {
    let least = format_temperature_difference(MIN_SEAL_MARGIN_C, units);
    let rule =
        format!("at least {least} above the dew point and at most {MAX_SEAL_HUMIDITY_PCT} %; {SEAL_RULE_SOURCE}");
    let apart = |margin: f64| format_temperature_difference(margin, units);
    let verdict = match (a.surface_margin_c, a.can_seal) {
        (Some(margin), Some(true)) => format!("{} above the dew point: far enough to seal", apart(margin)),
        (Some(margin), _) if margin <= 0.0 => format!("{} below the dew point: dew lies on it", apart(-margin)),
        (Some(margin), _) if margin < MIN_SEAL_MARGIN_C => {
            format!("{} above the dew point: too near; a seal may haze", apart(margin))
        }
        (Some(margin), _) => format!("{} above the dew point, but the air is damp; a seal may haze", apart(margin)),
        (None, _) => "not known".to_owned(),
    };
    format!("A surface at {surface}: {verdict} (rule: {rule}).")
}
