//! `board`: how a board moves with the air, and how a ground bends it.

use super::args_calculation::BoardArgs;
use super::calculation_json::BoardJson;
use super::context::CliContext;
use super::error::CliError;
use super::output;
use super::wrap::{format_note, wrap_hanging};
use crate::craft::physics::wood::BoardCut;
use crate::craft::quantities::board::{
    ASSUMED_PULL_MPA, BoardInputs, BoardMovement, Film, FilmBow, GESSO_MODULUS_GPA, ORDINARY_GROUND,
    compute_board_movement,
};
use crate::text::{
    UnitSystem, format_fine_length, format_length, format_number, format_size, parse_humidity, parse_size,
    parse_temperature,
};
use crate::units::{Humidity, Length, Temperature};
use crate::work::panel::event::Grain;
use anyhow::Result;

/// Tells what becomes of a board.
pub(super) fn run(context: &CliContext, args: &BoardArgs) -> Result<()> {
    let inputs = BoardInputs {
        size: parse_size(&args.size).map_err(|e| CliError::usage(format!("--size: {e}")))?,
        support: args.support,
        cut: args.cut,
        grain: args.grain.map(Grain::direction),
        from_air: parse_air("--from", &args.from)?,
        to_air: parse_air("--to", &args.to)?,
        film: args.film_um.map(|thickness_um| Film {
            thickness_um,
            stress_mpa: args.film_mpa.unwrap_or(ASSUMED_PULL_MPA),
            modulus_gpa: args.film_gpa,
        }),
    };
    let inputs = if args.json { inputs } else { add_ordinary_ground(inputs) };
    let meaning = compute_board_movement(&inputs).map_err(CliError::failed)?;
    if args.json {
        return output::print_json(&BoardJson::from(&meaning));
    }
    output::print_text(&format_board(&inputs, &meaning, args.film_mpa.is_none(), context.settings.unit_system.value))
}

/// `20C,50%`.
pub(super) fn parse_air(option: &str, text: &str) -> Result<(Temperature, Humidity), CliError> {
    let two = text.rsplit_once([',', ' ']).filter(|(t, _)| !t.trim().is_empty());
    let (t, rh) =
        two.ok_or_else(|| CliError::usage(format!("{option}: write temperature and humidity, as in 20C,50%")))?;
    let wrong = |e: crate::text::ParseError| CliError::usage(format!("{option}: {e}"));
    Ok((parse_temperature(t.trim_end_matches([',', ' '])).map_err(wrong)?, parse_humidity(rh).map_err(wrong)?))
}

/// How far a ground bows it, where the maker named none and asked for none in JSON: an ordinary one.
fn add_ordinary_ground(inputs: BoardInputs) -> BoardInputs {
    BoardInputs { film: inputs.film.or_else(|| inputs.size.thickness.map(|_| ORDINARY_GROUND)), ..inputs }
}

fn format_board(inputs: &BoardInputs, b: &BoardMovement, is_pull_assumed: bool, units: UnitSystem) -> String {
    let cut = match (inputs.support.species().is_some(), inputs.cut) {
        (false, _) => "",
        (true, BoardCut::Flat) => ", flat-sawn",
        (true, BoardCut::Quarter) => ", quarter-sawn",
    };
    let mut lines = vec![
        format!("{} of {}{cut}", format_size(inputs.size, units), inputs.support.name()),
        String::new(),
        format!("wood moisture      {:.1} % now, {:.1} % then, once it has settled", b.emc_from_pct, b.emc_to_pct),
        "                   rests on: Wood Handbook FPL-GTR-190 Eq. 4-5, a mean of all species".to_owned(),
        format_movement("across the grain", b.across_mm, units),
    ];
    lines.push(match (b.along_mm, inputs.support.species()) {
        (None, Some(_)) => format!("{:17}  hardly moves (solid wood)", "along the grain"),
        (along, _) => format_movement("along the grain", along, units),
    });
    if let (Some(bow), Some(film)) = (&b.bow, inputs.film) {
        lines.push(String::new());
        lines.extend(format_bow(bow, &film, is_pull_assumed, units));
    }
    lines.push(String::new());
    lines.extend(b.advice.iter().map(|a| format_note(&a.text, &a.source)));
    lines.join("\n") + "\n"
}

fn format_movement(way: &str, mm: Option<f64>, units: UnitSystem) -> String {
    match mm {
        Some(mm) => {
            let verb = if mm < 0.0 { "shrinks" } else { "grows" };
            format!("{way:17}  {verb} {}", format_fine_length(Length::from_mm(mm.abs()), 2, units))
        }
        None => format!("{way:17}  not known"),
    }
}

fn format_bow(bow: &FilmBow, film: &Film, is_pull_assumed: bool, units: UnitSystem) -> Vec<String> {
    let pull = format_number(film.stress_mpa, 2);
    let rests = if is_pull_assumed {
        format!("{pull} MPa is assumed: nobody has measured how hard a gesso pulls")
    } else {
        format!("{pull} MPa, as you say: nobody has measured how hard a gesso pulls")
    };
    let mut lines = vec![format!(
        "A ground {} thick, {} GPa stiff, bows it",
        format_fine_length(Length::from_mm(film.thickness_um / 1000.0), 3, units),
        format_number(film.modulus_gpa.unwrap_or(GESSO_MODULUS_GPA), 2),
    )];
    for (way, bow) in [("along the grain", bow.along), ("across the grain", bow.across)] {
        let sag = |sag: Option<f64>| sag.map(|mm| format_fine_length(Length::from_mm(mm), 3, units));
        let best = sag(bow.sag_mm_timoshenko).unwrap_or_else(|| "out of the formula's range".to_owned());
        let beside = sag(bow.sag_mm_stoney).map_or_else(
            || match sag(bow.most_mm) {
                Some(most) => format!("; {most} at most, should the ground pull as hard when the wood has given way"),
                None => "; too thick or stiff for the thin-film formula".to_owned(),
            },
            |sag| format!("; {sag} as a thin film (Stoney)"),
        );
        lines.push(format!(
            "{way:17}  {best} over {} (two layers, Timoshenko){beside}",
            format_length(Length::from_mm(bow.span_mm), units)
        ));
    }
    lines.push(format!("{:17}  nothing where both faces are coated alike: the pulls cancel", "on both faces"));
    lines.push(wrap_hanging("                   rests on: ", &format!("even layers; {rests}; Timoshenko from memory")));
    lines
}
