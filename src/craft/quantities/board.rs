//! What a board does when the air changes, and how a ground on one face bends it.
//!
//! The board's own cupping is not in it: its rings are not recorded.

use super::Advice;
use crate::craft::materials::Support;
use crate::craft::materials::supports::SheetMovement;
use crate::craft::physics::bow::{self, PlateLayer};
use crate::craft::physics::wood::{self, BoardCut};
use crate::craft::physics::{OutOfRange, check_range};
use crate::craft::recipe::Direction;
use crate::units::{Humidity, Length, Size, Temperature};

/// Modulus of a dry gesso, GPa, where the maker gives none (Heritage Science 2022, READ: about 2 GPa).
pub const GESSO_MODULUS_GPA: f64 = 2.0;
/// Poisson's ratio of a dry gesso: assumed.
pub const GESSO_POISSON_RATIO: f64 = 0.2;
/// Strain at which a brittle gesso yields (Richard, Mecklenburg and Tumosa, Getty 1998, READ).
const GESSO_YIELD_STRAIN: f64 = 0.0025;

/// A dry film on one face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Film {
    /// Its thickness, micrometres.
    pub thickness_um: f64,
    /// How hard it pulls, MPa; gelatin coatings were measured at 10 to 40 (IS&T 1996, READ), a gesso never.
    pub stress_mpa: f64,
    /// Its modulus, GPa; [`GESSO_MODULUS_GPA`] where not given.
    pub modulus_gpa: Option<f64>,
}

/// A board and what becomes of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoardInputs {
    /// The board.
    pub size: Size,
    /// What it is made of.
    pub support: Support,
    /// How it was cut; sheets have none.
    pub cut: BoardCut,
    /// Which way its grain runs (a sheet's: that of its face); `None`: along the longer side.
    pub grain: Option<Direction>,
    /// The air it comes from.
    pub from_air: (Temperature, Humidity),
    /// The air it goes to.
    pub to_air: (Temperature, Humidity),
    /// A film on one face, if its bow is asked for.
    pub film: Option<Film>,
}

/// How a film on one face bends a board; a formula that does not reach so far is `None`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FilmBow {
    /// Radius by Stoney's formula, mm; `None` also where the film does not pull.
    pub radius_mm: Option<f64>,
    /// Rise over the span by Stoney's formula, mm.
    pub sag_mm_stoney: Option<f64>,
    /// Rise over the span by Timoshenko's two layers, mm: better where the film is not thin.
    pub sag_mm_timoshenko: Option<f64>,
    /// The span: the longer side, mm.
    pub span_mm: f64,
    /// Rise with the same film on both faces, mm.
    pub balanced_sag_mm: f64,
}

/// What becomes of a board. Growth is positive.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardMovement {
    /// Moisture it settles at in the first air, per cent.
    pub emc_from_pct: f64,
    /// Moisture it settles at in the second, per cent.
    pub emc_to_pct: f64,
    /// How far it grows across its grain, mm; `None` where nothing is known of it.
    pub across_mm: Option<f64>,
    /// How far it grows along its grain, mm; `None` for solid wood, which hardly does, and where nothing is known.
    pub along_mm: Option<f64>,
    /// How a film on one face bends it; `None` without a film, a thickness, or figures for the support.
    pub bow: Option<FilmBow>,
    /// What may be said of it.
    pub advice: Vec<Advice>,
}

/// What becomes of a board.
///
/// Errors: a side outside 1 to 5000 mm, a thickness outside 0.1 to 200 mm, air outside the range of wood moisture.
pub fn compute_board_movement(inputs: &BoardInputs) -> Result<BoardMovement, OutOfRange> {
    let (width, height) = checked_sides_mm(inputs.size)?;
    let emc_from_pct = wood::emc_pct(inputs.from_air.0.c(), inputs.from_air.1.pct())?;
    let emc_to_pct = wood::emc_pct(inputs.to_air.0.c(), inputs.to_air.1.pct())?;
    let grain = inputs.grain.unwrap_or(if width > height { Direction::Horizontal } else { Direction::Vertical });
    let (along, across) = match grain {
        Direction::Horizontal => (width, height),
        Direction::Vertical => (height, width),
    };
    let mut advice = Vec::new();
    let moisture = (emc_from_pct, emc_to_pct);
    let (across_mm, along_mm) = match inputs.support.species() {
        Some(species) => {
            let mm = wood::movement_mm(across, species.movement(inputs.cut), emc_from_pct, emc_to_pct)?;
            advice.push(species_advice(species.wood, moisture));
            (Some(mm), None)
        }
        None => compute_sheet_movement(inputs, (along, across), moisture, &mut advice)?,
    };
    let bow = match inputs.film {
        Some(film) => compute_film_bow(inputs, film, along >= across, width.max(height), &mut advice)?,
        None => None,
    };
    add_general_advice(inputs, across_mm.map(|mm| mm / across), &mut advice);
    Ok(BoardMovement { emc_from_pct, emc_to_pct, across_mm, along_mm, bow, advice })
}

/// Width and height of a believable board, mm.
pub(super) fn checked_sides_mm(size: Size) -> Result<(f64, f64), OutOfRange> {
    let side = |what, length: Length| check_range(what, length.mm(), 1.0, 5000.0, "mm");
    Ok((side("width", size.width)?, side("height", size.height)?))
}

/// Its thickness, if one is given, mm.
pub(super) fn checked_thickness_mm(size: Size) -> Result<Option<f64>, OutOfRange> {
    size.thickness.map(|t| check_range("thickness", t.mm(), 0.1, 200.0, "mm")).transpose()
}

/// Which wood the figures are of, and which formula they went into.
fn species_advice(species: &str, (from, to): (f64, f64)) -> Advice {
    let (lo, hi) = wood::COEFFICIENT_RANGE_PCT;
    let formula = if [from, to].iter().all(|m| (lo..=hi).contains(m)) {
        "its coefficient between 6 and 14 % moisture"
    } else {
        "its shrinkage, since the moisture leaves 6 to 14 %"
    };
    Advice::new(
        format!("Movement is that of {species}, by {formula}; a board of your own may differ by a quarter."),
        "Wood Handbook FPL-GTR-190, chapter 13; the quarter is assumed",
    )
}

/// Growth of a sheet across and along the grain of its face by the best source, the others told as advice.
fn compute_sheet_movement(
    inputs: &BoardInputs,
    (along, across): (f64, f64),
    (from, to): (f64, f64),
    advice: &mut Vec<Advice>,
) -> Result<(Option<f64>, Option<f64>), OutOfRange> {
    let (rh_from, rh_to) = (inputs.from_air.1.pct(), inputs.to_air.1.pct());
    let mut best = (None, None);
    for (rank, source) in inputs.support.sheet_movements().iter().enumerate() {
        let (across_mm, along_mm, message) = match source {
            SheetMovement::ByMoisture { along: a, across: c } => (
                wood::sheet_movement_by_moisture_mm(across, c.value, from, to)?,
                wood::sheet_movement_by_moisture_mm(along, a.value, from, to)?,
                c.source,
            ),
            SheetMovement::ByHumidity(rate) => (
                wood::sheet_movement_by_humidity_mm(across, rate.value, rh_from, rh_to)?,
                wood::sheet_movement_by_humidity_mm(along, rate.value, rh_from, rh_to)?,
                rate.source,
            ),
        };
        if rank == 0 {
            best = (Some(across_mm), Some(along_mm));
            advice.push(Advice::new("Movement in the plane of the sheet, both ways.", message));
        } else {
            let text =
                format!("Another source says {across_mm:.2} mm across and {along_mm:.2} mm along: they disagree.");
            advice.push(Advice::new(text, message));
        }
    }
    if inputs.support.sheet_movements().is_empty() {
        advice.push(Advice::new("Nothing is known of how this support moves.", "no source"));
    }
    Ok(best)
}

/// The bow of a film on one face, over the longer side.
fn compute_film_bow(
    inputs: &BoardInputs,
    film: Film,
    grain_along_span: bool,
    span_mm: f64,
    advice: &mut Vec<Advice>,
) -> Result<Option<FilmBow>, OutOfRange> {
    let Some(thickness_mm) = checked_thickness_mm(inputs.size)? else {
        advice.push(Advice::new("Give the board's thickness to hear how far it bows.", "the formula needs it"));
        return Ok(None);
    };
    let Some(stiffness) = inputs.support.stiffness(grain_along_span, inputs.cut) else {
        advice.push(Advice::new("Nothing is known of how stiff this support is.", "no source"));
        return Ok(None);
    };
    let plate = PlateLayer {
        thickness_mm,
        modulus_gpa: stiffness.modulus_gpa.value,
        poisson_ratio: stiffness.poisson_ratio.value,
    };
    let film_mm = check_range("film thickness", film.thickness_um, 0.001, 1e5, "um")? / 1000.0;
    let pull = check_range("film stress", film.stress_mpa, 0.0, 1000.0, "MPa")?;
    let coat = PlateLayer {
        thickness_mm: film_mm,
        modulus_gpa: film.modulus_gpa.unwrap_or(GESSO_MODULUS_GPA),
        poisson_ratio: GESSO_POISSON_RATIO,
    };
    let mismatch = bow::strain_mismatch(coat, pull)?;
    let mut known = |figure: Result<f64, OutOfRange>| match figure {
        Ok(value) => Some(value),
        Err(refusal) => {
            advice.push(Advice::new(format!("{refusal}."), "the formula's range"));
            None
        }
    };
    let stoney = known(bow::stoney_curvature_per_mm(plate, film_mm, pull));
    let timoshenko = known(bow::timoshenko_curvature_per_mm(plate, coat, mismatch));
    let balanced = bow::stoney_two_face_curvature_per_mm(plate, (film_mm, pull), (film_mm, pull));
    let found = FilmBow {
        radius_mm: stoney.filter(|per_mm| *per_mm > 0.0).map(|per_mm| 1.0 / per_mm),
        sag_mm_stoney: stoney.and_then(|per_mm| known(bow::sag_from_curvature_mm(span_mm, per_mm))),
        sag_mm_timoshenko: timoshenko.and_then(|per_mm| known(bow::sag_from_curvature_mm(span_mm, per_mm))),
        span_mm,
        balanced_sag_mm: balanced.and_then(|per_mm| bow::sag_from_curvature_mm(span_mm, per_mm)).unwrap_or(0.0),
    };
    advice.push(Advice::new(
        format!(
            "The bow is reckoned with a board of {:.2} GPa ({}).",
            plate.modulus_gpa,
            stiffness.modulus_gpa.confidence.description()
        ),
        stiffness.modulus_gpa.source,
    ));
    Ok(Some(found))
}

/// What holds for every board: its thickness, its two faces, its weeks in the room.
fn add_general_advice(inputs: &BoardInputs, strain: Option<f64>, advice: &mut Vec<Advice>) {
    if let Some(strain) = strain.filter(|strain| strain.abs() > GESSO_YIELD_STRAIN) {
        advice.push(Advice::new(
            format!(
                "Hypothesis: it moves {:.2} % across, more than the 0.25 % at which a brittle gesso yields.",
                100.0 * strain.abs()
            ),
            "Richard, Mecklenburg and Tumosa, The Structural Conservation of Panel Paintings, Getty 1998",
        ));
    }
    if inputs.film.is_some() || inputs.size.thickness.is_some_and(|t| t.mm() < 10.0) {
        advice.push(Advice::new(
            "A board half as thick bows four times as far under the same ground (1/t2).",
            "Stoney's formula as given by Feng, Huang and Rosakis 2007",
        ));
    }
    advice.push(Advice::new(
        "Hypothesis: coat both faces alike and the pulls cancel; painters disagree whether a gessoed back helps.",
        "the same formula; painters' pages",
    ));
    if inputs.support.is_sheet() != Some(true) {
        advice.push(Advice::new(
            "Let the board stand one to four weeks in the room where it is worked.",
            "common practice, no source",
        ));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn ask(support: Support, (w, h, t): (f64, f64, f64), from: (f64, f64), to: (f64, f64)) -> BoardInputs {
        let air = |(t, rh): (f64, f64)| (Temperature::from_c(t), Humidity::from_pct(rh));
        BoardInputs {
            size: Size {
                width: Length::from_mm(w),
                height: Length::from_mm(h),
                thickness: (t > 0.0).then_some(Length::from_mm(t)),
            },
            support,
            cut: BoardCut::Flat,
            grain: None,
            from_air: air(from),
            to_air: air(to),
            film: None,
        }
    }

    #[test]
    fn solid_wood_grows_across_its_grain() {
        // Yellow-poplar 300 x 400 mm, grain along the height, 20 C, 50 to 65 %: 300 * 0.00289 * (11.9963 - 9.2711) = 2.363 mm.
        let board_ = ask(Support::YellowPoplar, (300.0, 400.0, 12.0), (20.0, 50.0), (20.0, 65.0));
        let flat = compute_board_movement(&board_).unwrap();
        assert!((flat.across_mm.unwrap() - 2.363).abs() < 0.001 && flat.along_mm.is_none(), "{flat:?}");
        assert!((flat.emc_from_pct - 9.2711).abs() < 0.001 && (flat.emc_to_pct - 11.9963).abs() < 0.001);
        // Quarter-sawn, 300 * 0.00158 * 2.7252 = 1.2917; grain along the width: 400 * 0.00289 * 2.7252 = 3.1503.
        let quarter = compute_board_movement(&BoardInputs { cut: BoardCut::Quarter, ..board_ }).unwrap();
        assert!((quarter.across_mm.unwrap() - 1.2917).abs() < 0.001, "{quarter:?}");
        let turned = compute_board_movement(&BoardInputs { grain: Some(Direction::Horizontal), ..board_ }).unwrap();
        assert!((turned.across_mm.unwrap() - 3.1503).abs() < 0.001, "{turned:?}");
        // 0.79 % is beyond the yield of a brittle gesso.
        assert!(flat.advice.iter().any(|a| a.text.contains("yields")), "{:?}", flat.advice);
    }

    #[test]
    fn plywood_moves_both_ways_and_its_sources_disagree() {
        // 300 x 400 mm, 50 to 65 %: across 300 * 0.27/13/100 * 2.7252 = 0.1698, along 400 * 0.18/13/100 * 2.7252 = 0.1509;
        // the other source 300 * 0.002/100 * 15 = 0.09 and 0.12.
        let ply = compute_board_movement(&ask(Support::BirchPlywood, (300.0, 400.0, 9.0), (20.0, 50.0), (20.0, 65.0)))
            .unwrap();
        assert!((ply.across_mm.unwrap() - 0.1698).abs() < 0.001, "{ply:?}");
        assert!((ply.along_mm.unwrap() - 0.1509).abs() < 0.001, "{ply:?}");
        assert!(ply.advice.iter().any(|a| a.text.contains("0.09 mm across and 0.12 mm along")), "{:?}", ply.advice);
    }

    #[test]
    fn nothing_is_invented_for_an_unknown_support() {
        let film = Some(Film { thickness_um: 500.0, stress_mpa: 2.0, modulus_gpa: None });
        let plain = ask(Support::Other, (300.0, 400.0, 9.0), (20.0, 50.0), (20.0, 65.0));
        let other = compute_board_movement(&BoardInputs { film, ..plain }).unwrap();
        assert_eq!((other.across_mm, other.along_mm, other.bow), (None, None, None));
    }

    #[test]
    fn a_film_on_one_face_bows_the_board() {
        // Birch plywood 9 mm, grain along the 400 mm span: 9.5 GPa, 0.2; film 0.5 mm at 2 MPa:
        // 3 * 2 * 0.5 * 400^2 * 0.8/(4 * 9500 * 81) = 0.124756 mm; radius 400^2/8/0.124756 = 160312.5 mm.
        let half_mm = Film { thickness_um: 500.0, stress_mpa: 2.0, modulus_gpa: Some(2.0) };
        let film = Some(half_mm);
        let plain = ask(Support::BirchPlywood, (300.0, 400.0, 9.0), (20.0, 50.0), (20.0, 50.0));
        let bow = compute_board_movement(&BoardInputs { film, ..plain }).unwrap().bow.unwrap();
        assert!((bow.sag_mm_stoney.unwrap() / 0.124_756 - 1.0).abs() < 1e-4, "{bow:?}");
        assert!((bow.radius_mm.unwrap() / 160_312.5 - 1.0).abs() < 1e-4, "{bow:?}");
        assert!((bow.sag_mm_timoshenko.unwrap() / bow.sag_mm_stoney.unwrap() - 1.0).abs() < 0.02, "{bow:?}");
        assert_eq!((bow.span_mm, bow.balanced_sag_mm), (400.0, 0.0));
        // A film of 1 mm on 4 mm is too thick for Stoney: unknown and said, Timoshenko stays.
        let thin = ask(Support::BirchPlywood, (300.0, 400.0, 4.0), (20.0, 50.0), (20.0, 50.0));
        let thick =
            compute_board_movement(&BoardInputs { film: Some(Film { thickness_um: 1000.0, ..half_mm }), ..thin })
                .unwrap();
        let bow = thick.bow.unwrap();
        assert!(bow.sag_mm_stoney.is_none() && bow.radius_mm.is_none() && bow.sag_mm_timoshenko.is_some());
        assert!(
            thick.advice.iter().any(|a| a.text.contains("Stoney's formula: 1 mm is outside")),
            "{:?}",
            thick.advice
        );
        // Without a thickness there is nothing to bend.
        let unknown = ask(Support::BirchPlywood, (300.0, 400.0, 0.0), (20.0, 50.0), (20.0, 50.0));
        assert_eq!(compute_board_movement(&BoardInputs { film, ..unknown }).unwrap().bow, None);
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let plain = ask(Support::Lime, (300.0, 400.0, 12.0), (20.0, 50.0), (20.0, 65.0));
        let refused = |inputs: BoardInputs| compute_board_movement(&inputs).unwrap_err().quantity;
        let damp = (Temperature::from_c(20.0), Humidity::from_pct(97.0));
        assert_eq!(refused(BoardInputs { to_air: damp, ..plain }), "relative humidity for wood moisture");
        for bad in [f64::NAN, 0.0, 9000.0] {
            let size = Size { width: Length::from_mm(bad), ..plain.size };
            assert_eq!(refused(BoardInputs { size, ..plain }), "width");
        }
        for film in [
            Film { thickness_um: f64::NAN, stress_mpa: 2.0, modulus_gpa: None },
            Film { thickness_um: 500.0, stress_mpa: f64::NAN, modulus_gpa: None },
            Film { thickness_um: 500.0, stress_mpa: 2.0, modulus_gpa: Some(f64::NAN) },
        ] {
            assert!(compute_board_movement(&BoardInputs { film: Some(film), ..plain }).is_err(), "{film:?}");
        }
    }

    proptest! {
        #[test]
        fn there_and_back_within_the_coefficients_is_nothing(a in 40.0..65.0f64, b in 40.0..65.0f64) {
            let there = compute_board_movement(&ask(Support::Beech, (300.0, 400.0, 12.0), (20.0, a), (20.0, b))).unwrap();
            let back = compute_board_movement(&ask(Support::Beech, (300.0, 400.0, 12.0), (20.0, b), (20.0, a))).unwrap();
            prop_assert!((there.across_mm.unwrap() + back.across_mm.unwrap()).abs() < 1e-9);
        }
    }
}
