//! `board`: how a board moves with the air, and how a ground bends it.

use super::args_reckon::Board;
use super::failure::Fault;
use super::reckon_json::BoardJson;
use super::wrap::note;
use super::{Here, out};
use crate::craft::physics::wood::Cut;
use crate::craft::quantities::board::{BoardAsk, BoardMeaning, Bow, Film, GESSO_GPA, board};
use crate::craft::recipe::Direction;
use crate::text::{Units, parse_humidity, parse_size, parse_temperature, round_to, size};
use crate::units::{Humidity, Temperature};
use crate::work::panel::event::Grain;
use anyhow::Result;

/// Tells what becomes of a board.
pub(super) fn run(here: &Here, asked: &Board) -> Result<()> {
    let ask = BoardAsk {
        size: parse_size(&asked.size).map_err(|e| Fault::usage(format!("--size: {e}")))?,
        support: asked.support,
        cut: asked.cut,
        grain: asked.grain.map(|grain| match grain {
            Grain::Width => Direction::Horizontal,
            Grain::Height => Direction::Vertical,
        }),
        from: air("--from", &asked.from)?,
        to: air("--to", &asked.to)?,
        film: asked.film_um.zip(asked.film_mpa).map(|(thickness_um, pull_mpa)| Film {
            thickness_um,
            pull_mpa,
            e_gpa: asked.film_gpa,
        }),
    };
    let meaning = board(&ask).map_err(Fault::not_done)?;
    if asked.json {
        return out::json(&BoardJson::from(&meaning));
    }
    out::text(&told(&ask, &meaning, here.settings.units.value))
}

/// `20C,50%`.
fn air(option: &str, text: &str) -> Result<(Temperature, Humidity), Fault> {
    let two = text.rsplit_once([',', ' ']).filter(|(t, _)| !t.trim().is_empty());
    let (t, rh) =
        two.ok_or_else(|| Fault::usage(format!("{option}: write temperature and humidity, as in 20C,50%")))?;
    let wrong = |e: crate::text::Unreadable| Fault::usage(format!("{option}: {e}"));
    Ok((parse_temperature(t.trim_end_matches([',', ' '])).map_err(wrong)?, parse_humidity(rh).map_err(wrong)?))
}

fn told(ask: &BoardAsk, b: &BoardMeaning, units: Units) -> String {
    let cut = match (ask.support.species().is_some(), ask.cut) {
        (false, _) => "",
        (true, Cut::Flat) => ", flat-sawn",
        (true, Cut::Quarter) => ", quarter-sawn",
    };
    let mut lines = vec![
        format!("{} of {}{cut}", size(ask.size, units), ask.support.name()),
        String::new(),
        format!("wood moisture      {:.1} % now, {:.1} % then, once it has settled", b.emc_from_pct, b.emc_to_pct),
        "                   rests on: Wood Handbook FPL-GTR-190 Eq. 4-5, a mean of all species".to_owned(),
        movement("across the grain", b.across_mm),
    ];
    lines.push(match (b.along_mm, ask.support.species()) {
        (None, Some(_)) => format!("{:17}  hardly moves (solid wood)", "along the grain"),
        (along, _) => movement("along the grain", along),
    });
    if let (Some(bow), Some(film)) = (&b.bow, ask.film) {
        lines.push(String::new());
        lines.extend(bend(bow, &film));
    }
    lines.push(String::new());
    lines.extend(b.advice.iter().map(|a| note(&a.said, &a.source)));
    lines.join("\n") + "\n"
}

fn movement(way: &str, mm: Option<f64>) -> String {
    match mm {
        Some(mm) if mm < 0.0 => format!("{way:17}  shrinks {:.2} mm", -mm),
        Some(mm) => format!("{way:17}  grows {mm:.2} mm"),
        None => format!("{way:17}  not known"),
    }
}

fn bend(bow: &Bow, film: &Film) -> Vec<String> {
    let mm =
        |sag: Option<f64>| sag.map_or("out of the formula's range".to_owned(), |mm| format!("{} mm", round_to(mm, 3)));
    vec![
        format!(
            "A ground {} um thick, pulling {} MPa, {} GPa stiff, over {} mm:",
            round_to(film.thickness_um, 1),
            round_to(film.pull_mpa, 2),
            round_to(film.e_gpa.unwrap_or(GESSO_GPA), 2),
            round_to(bow.span_mm, 1)
        ),
        format!("on one face        {} by Stoney (thin film)", mm(bow.sag_mm_stoney)),
        format!("                   {} by Timoshenko (two layers; formula from memory)", mm(bow.sag_mm_timoshenko)),
        format!("on both faces      {} mm: the pulls cancel", round_to(bow.balanced_sag_mm, 3)),
        "                   rests on: even layers; nobody has measured how hard a gesso pulls".to_owned(),
    ]
}
