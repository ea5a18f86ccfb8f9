//! `air`: records the air of the room, or only tells what it means.

use super::args_pot::Air;
use super::failure::Fault;
use super::input::Text;
use super::reckon_json::AirJson;
use super::wrap::hung;
use super::{Here, out};
use crate::bench::{AirTaken, NotRecorded};
use crate::craft::quantities::air::{AirMeaning, SEAL_DAMPEST_PCT, SEAL_MARGIN_C, air};
use crate::text::{Units, humidity, parse_humidity, parse_temperature, temperature};
use crate::units::{Humidity, Stamp, Temperature};
use crate::work::air::{Reading, logger};
use anyhow::Result;
use chrono::Local;

/// Records the air of the room, one reading or a logger's file; with `--only` tells what it means and records nothing.
pub(super) fn run(here: &Here, asked: &Air) -> Result<()> {
    let typed = asked.temperature.as_ref().zip(asked.humidity.as_ref());
    let readings = match (&asked.from, typed) {
        (Some(file), _) => {
            let logged = logger::read(&Text::Readings.of(file)?, &Local, here.clock.now().wall);
            for bad in &logged.bad {
                out::say(&format!("sottile: {}: {bad}", file.display()));
            }
            if logged.readings.is_empty() {
                let said = "no reading in it; it takes lines of time, temp_c, rh_pct, as in 2026-11-25 14:05,19.5,52";
                return Err(Fault::not_done(format!("{}: {said}", file.display())).into());
            }
            logged.readings
        }
        (None, Some((temperature, humidity))) => {
            let temp = parse_temperature(temperature).map_err(Fault::usage)?;
            let rh = parse_humidity(humidity).map_err(Fault::usage)?;
            if asked.only {
                return only(here, asked, temp, rh);
            }
            vec![Reading::new(at(here, asked)?, temp, rh).map_err(Fault::usage)?]
        }
        (None, None) => return Err(Fault::usage("give a temperature and a humidity, as in 20C 50%").into()),
    };
    let recorded = here.bench().record_air(&readings, &|| here.clock.now());
    let AirTaken { written, known } = recorded.map_err(|(why, taken)| not_all(why, taken))?;
    let already = if known > 0 { format!("; {known} stood there already") } else { String::new() };
    out::text(&format!("air: {written} recorded{already}\n"))
}

/// Why not all was recorded, and what was all the same.
fn not_all(why: NotRecorded, taken: AirTaken) -> Fault {
    let fault = Fault::from(why);
    match taken.written {
        0 => fault,
        n => Fault {
            said: format!("{}; {n} recorded before that, give the same file again for the rest", fault.said),
            ..fault
        },
    }
}

fn at(here: &Here, asked: &Air) -> Result<Stamp, Fault> {
    Ok(here.time(asked.at.as_ref())?.unwrap_or(here.clock.now().wall))
}

/// Tells what that air means; a figure out of its formula's range is told of on stderr and left unknown.
fn only(here: &Here, asked: &Air, temp: Temperature, rh: Humidity) -> Result<()> {
    let surface = asked.surface.as_deref().map(parse_temperature).transpose();
    let surface = surface.map_err(|e| Fault::usage(format!("--surface: {e}")))?;
    let meaning = air(temp, rh, surface);
    for range in &meaning.said {
        out::say(&format!("sottile: {range}; what rests on it is not known"));
    }
    if asked.json {
        return out::json(&AirJson::from(&meaning));
    }
    out::text(&told(temp, rh, surface, &meaning, here.settings.units.value))
}

/// One figure: its name, the figure, and on what it rests.
type Row = (&'static str, Option<String>, &'static str);

fn told(temp: Temperature, rh: Humidity, surface: Option<Temperature>, a: &AirMeaning, units: Units) -> String {
    let c = |c: f64| temperature(Temperature::from_c(c), units);
    let pa = |pa: f64| format!("{pa:.0} Pa");
    const ASHRAE: &str = "ASHRAE 2017 ch. 1, after Hyland and Wexler";
    let rows: [Row; 10] = [
        ("saturation", a.saturation_pa.map(pa), ASHRAE),
        ("vapour", a.vapour_pa.map(pa), "that times the humidity"),
        ("deficit", a.vpd_pa.map(pa), "the difference"),
        ("dew point", a.dew_point_c.map(c), "saturation turned round; below 0 C frost"),
        ("wet bulb", a.wet_bulb_c.map(c), "ASHRAE Eq. 33 and 35, from memory; below 0 C iced"),
        ("water in the air", a.absolute_humidity_g_m3.map(|g| format!("{g:.1} g/m3")), "the ideal gas law"),
        ("humidity ratio", a.humidity_ratio_kg_kg.map(|r| format!("{:.1} g/kg", 1000.0 * r)), ASHRAE),
        ("wood settles at", a.wood_emc_pct.map(|m| format!("{m:.1} %")), "Wood Handbook FPL-GTR-190 Eq. 4-5"),
        ("drying force", a.drying_force_pa.map(pa), "saturation at the wet bulb less the vapour"),
        ("waits take", a.wait_factor.map(|f| format!("x {f:.2}")), "as long as at 20 C 50 %: a model, not measured"),
    ];
    let mut lines = vec![format!("{} {}", temperature(temp, units), humidity(rh)), String::new()];
    let row = |(name, figure, basis): Row| {
        format!("{name:17} {:>10}   {basis}", figure.unwrap_or_else(|| "not known".to_owned()))
    };
    lines.extend(rows.into_iter().map(row));
    lines.extend(surface.map(|surface| sealing(&c(surface.c()), a)));
    lines.join("\n") + "\n"
}

/// Whether dew is far enough from a surface to be sealed.
fn sealing(surface: &str, a: &AirMeaning) -> String {
    let rule = format!(
        "at least {SEAL_MARGIN_C} K above the dew point and at most {SEAL_DAMPEST_PCT} %; ISO 8502-4 and 12944-7 as quoted \
         by trade pages, for steel, borrowed as a caution"
    );
    let verdict = match (a.surface_margin_c, a.seal_ok) {
        (Some(margin), Some(true)) => format!("{margin:.1} K above the dew point: far enough to seal"),
        (Some(margin), _) if margin < SEAL_MARGIN_C => {
            format!("{margin:.1} K above the dew point: too near; a seal may haze")
        }
        (Some(margin), _) => format!("{margin:.1} K above the dew point, but the air is damp; a seal may haze"),
        (None, _) => "not known".to_owned(),
    };
    format!("a surface at {surface}: {verdict}\n{}", hung("  rule: ", &rule))
}
