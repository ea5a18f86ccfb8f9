//! Waits in the air as a table: what the recipe says, what the air was, what is fixed.

use super::event::{Done, Kind, Stage, Wait, WaitFrom};
use super::fixed::{Drying, wait};
use crate::craft::recipe::{Coats, Recipe, shipped};
use crate::units::{Humidity, Span, Temperature};

fn recipe(long_gap_min: f64) -> Recipe {
    let plain = shipped::named(shipped::FIRST).unwrap();
    Recipe { coats: Coats { long_gap_min, ..plain.coats.clone() }, ..plain }
}

fn in_air(t: f64, rh: f64) -> Drying {
    Drying::of(Some((Temperature::from_c(t), Humidity::from_pct(rh))))
}

/// Kind, recipe's minutes, long-gap bound, air, leave to shorten; minutes fixed (within a hundredth), and on what they rest.
type Row = (Kind, f64, f64, Drying, bool, f64, WaitFrom);

#[test]
fn the_air_lengthens_and_only_with_leave_shortens() {
    use WaitFrom::{Recipe, RecipeAir};
    let damp = in_air(20.0, 65.0); // 1.4794 by the reference table
    let dry = in_air(20.0, 30.0); // 0.6801
    let rows: [Row; 13] = [
        (Kind::Coat, 15.0, 60.0, damp, false, 22.19, RecipeAir),
        (Kind::Stipple, 15.0, 60.0, damp, false, 22.19, RecipeAir),
        (Kind::Size, 30.0, 60.0, damp, false, 44.38, RecipeAir),
        // The seal is spirit: this air says nothing of it.
        (Kind::Seal, 60.0, 60.0, damp, false, 60.0, Recipe),
        (Kind::Coat, 15.0, 60.0, dry, false, 15.0, Recipe),
        (Kind::Coat, 15.0, 60.0, dry, true, 10.20, RecipeAir),
        // 20 C and 90 %: 5.476 times. A coat stops at the bound, a size coat has none.
        (Kind::Coat, 15.0, 60.0, in_air(20.0, 90.0), false, 60.0, RecipeAir),
        (Kind::Size, 30.0, 60.0, in_air(20.0, 90.0), false, 164.3, RecipeAir),
        // A recipe that waits beyond its own bound is not shortened by it.
        (Kind::Coat, 90.0, 60.0, in_air(20.0, 90.0), false, 90.0, Recipe),
        (Kind::Coat, 15.0, 60.0, in_air(20.0, 97.0), false, 15.0, Recipe),
        (Kind::Coat, 15.0, 60.0, in_air(-30.0, 50.0), true, 15.0, Recipe),
        (Kind::Coat, 15.0, 60.0, Drying::Unread, true, 15.0, Recipe),
        (Kind::Coat, 15.0, 60.0, in_air(20.0, 50.0), true, 15.0, Recipe),
    ];
    for (kind, minutes, gap, drying, shorten, fixed, from) in rows {
        let got = wait(kind, Span::from_min(minutes), &recipe(gap), drying, shorten);
        let tolerance = fixed * 0.005;
        assert!((got.span.minutes() - fixed).abs() < tolerance.max(0.01), "{kind:?} {drying:?}: {got:?}");
        assert_eq!(got.from, from, "{kind:?} {drying:?}");
    }
}

#[test]
fn very_damp_air_and_no_air_are_told_apart() {
    assert!(matches!(in_air(20.0, 95.1), Drying::Unknown(range) if range.hi == 95.0));
    assert!(in_air(20.0, 95.0).factor().is_some());
    assert_eq!(Drying::of(None), Drying::Unread);
}

#[test]
fn a_fact_keeps_all_but_its_wait() {
    let stage = Stage { kind: Kind::Coat, face: None, number: Some(1), of: Some(6), direction: None };
    let of = |span, from| Some(Wait { span: Span::from_min(span), from });
    let done = Done { stage: Some(stage), wait: of(15.0, WaitFrom::Recipe), ..Done::default() };
    let damp = done.clone().in_air(&recipe(60.0), Drying::Factor(2.0), false);
    assert_eq!(damp, Done { wait: of(30.0, WaitFrom::RecipeAir), ..done.clone() });
    // Twice the same air does not lengthen twice, and the maker's own minutes stay.
    assert_eq!(damp.clone().in_air(&recipe(60.0), Drying::Factor(2.0), false), damp);
    let own = Done { wait: of(12.0, WaitFrom::Maker), ..done.clone() };
    assert_eq!(own.clone().in_air(&recipe(60.0), Drying::Factor(2.0), false), own);
    let waitless = Done { wait: None, ..done };
    assert_eq!(waitless.clone().in_air(&recipe(60.0), Drying::Factor(2.0), false), waitless);
}
