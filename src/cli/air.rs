//! `air`.

use super::args::Air;
use super::failure::Fault;
use super::{Here, out, recipe};
use crate::bench::AirTaken;
use crate::text::{parse_humidity, parse_temperature};
use crate::work::air::{Reading, logger};
use anyhow::Result;
use chrono::Local;

/// Records the air of the room, one reading or a logger's file.
pub(super) fn run(here: &Here, asked: &Air) -> Result<()> {
    let readings = match (&asked.from, &asked.temperature, &asked.humidity) {
        (Some(file), _, _) => {
            let logged = logger::read(&recipe::file_text(file)?, &Local);
            for bad in &logged.bad {
                out::say(&format!("sottile: {}: {bad}", file.display()));
            }
            if logged.readings.is_empty() {
                let said = "no reading in it; it takes lines of time, temp_c, rh_pct, as in 2026-11-25 14:05,19.5,52";
                return Err(Fault::not_done(format!("{}: {said}", file.display())).into());
            }
            logged.readings
        }
        (None, Some(temperature), Some(humidity)) => {
            let temp = parse_temperature(temperature).map_err(Fault::usage)?;
            let rh = parse_humidity(humidity).map_err(Fault::usage)?;
            let at = here.time(asked.at.as_ref())?.unwrap_or(here.clock.now().wall);
            vec![Reading::new(at, temp, rh).map_err(Fault::usage)?]
        }
        (None, _, _) => return Err(Fault::usage("give a temperature and a humidity, as in 20C 50%").into()),
    };
    let AirTaken { written, known } = here.bench().record_air(&readings, &|| here.clock.now()).map_err(Fault::from)?;
    let already = if known > 0 { format!("; {known} stood there already") } else { String::new() };
    out::text(&format!("air: {written} recorded{already}\n"))
}
