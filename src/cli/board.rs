//! `board`: how a board moves with the air, and how a ground bends it.

use super::args_calculation::BoardArgs;
use super::calculation_json::BoardJson;
use super::context::CliContext;
use super::error::CliError;
use super::output;
use super::wrap::format_note;
use crate::craft::physics::wood::BoardCut;
use crate::craft::quantities::board::{
    BoardInputs, BoardMovement, Film, FilmBow, GESSO_MODULUS_GPA, compute_board_movement,
};
use crate::craft::recipe::Direction;
use crate::text::{UnitSystem, format_number, format_size, parse_humidity, parse_size, parse_temperature};
use crate::units::{Humidity, Temperature};
use crate::work::panel::event::Grain;
use anyhow::Result;

/// Tells what becomes of a board.
pub(super) fn run(context: &CliContext, args: &BoardArgs) -> Result<()> {
    let inputs = BoardInputs {
        size: parse_size(&args.size).map_err(|e| CliError::usage(format!("--size: {e}")))?,
        support: args.support,
        cut: args.cut,
        grain: args.grain.map(|grain| match grain {
            Grain::Width => Direction::Horizontal,
            Grain::Height => Direction::Vertical,
        }),
        from_air: parse_air("--from", &args.from)?,
        to_air: parse_air("--to", &args.to)?,
        film: args.film_um.zip(args.film_mpa).map(|(thickness_um, pull_mpa)| Film {
            thickness_um,
            stress_mpa: pull_mpa,
            modulus_gpa: args.film_gpa,
        }),
    };
    let meaning = compute_board_movement(&inputs).map_err(CliError::failed)?;
    if args.json {
        return output::print_json(&BoardJson::from(&meaning));
    }
    output::print_text(&format_board(&inputs, &meaning, context.settings.unit_system.value))
}

/// `20C,50%`.
pub(super) fn parse_air(option: &str, text: &str) -> Result<(Temperature, Humidity), CliError> {
    let two = text.rsplit_once([',', ' ']).filter(|(t, _)| !t.trim().is_empty());
    let (t, rh) =
        two.ok_or_else(|| CliError::usage(format!("{option}: write temperature and humidity, as in 20C,50%")))?;
    let wrong = |e: crate::text::ParseError| CliError::usage(format!("{option}: {e}"));
    Ok((parse_temperature(t.trim_end_matches([',', ' '])).map_err(wrong)?, parse_humidity(rh).map_err(wrong)?))
}

fn format_board(inputs: &BoardInputs, b: &BoardMovement, units: UnitSystem) -> String {
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
        format_movement("across the grain", b.across_mm),
    ];
    lines.push(match (b.along_mm, inputs.support.species()) {
        (None, Some(_)) => format!("{:17}  hardly moves (solid wood)", "along the grain"),
        (along, _) => format_movement("along the grain", along),
    });
    if let (Some(bow), Some(film)) = (&b.bow, inputs.film) {
        lines.push(String::new());
        lines.extend(format_bow(bow, &film));
    }
    lines.push(String::new());
    lines.extend(b.advice.iter().map(|a| format_note(&a.text, &a.source)));
    lines.join("\n") + "\n"
}

fn format_movement(way: &str, mm: Option<f64>) -> String {
    match mm {
        Some(mm) if mm < 0.0 => format!("{way:17}  shrinks {:.2} mm", -mm),
        Some(mm) => format!("{way:17}  grows {mm:.2} mm"),
        None => format!("{way:17}  not known"),
    }
}

fn format_bow(bow: &FilmBow, film: &Film) -> Vec<String> {
    let mm = |sag: Option<f64>| {
        sag.map_or("out of the formula's range".to_owned(), |mm| format!("{} mm", format_number(mm, 3)))
    };
    vec![
        format!(
            "A ground {} um thick, pulling {} MPa, {} GPa stiff, over {} mm:",
            format_number(film.thickness_um, 1),
            format_number(film.stress_mpa, 2),
            format_number(film.modulus_gpa.unwrap_or(GESSO_MODULUS_GPA), 2),
            format_number(bow.span_mm, 1)
        ),
        format!("on one face        {} by Stoney (thin film)", mm(bow.sag_mm_stoney)),
        format!("                   {} by Timoshenko (two layers; formula from memory)", mm(bow.sag_mm_timoshenko)),
        format!("on both faces      {} mm: the pulls cancel", format_number(bow.balanced_sag_mm, 3)),
        "                   rests on: even layers; nobody has measured how hard a gesso pulls".to_owned(),
    ]
}
