//! Waits in the air as a table: what the recipe says, what the air was, what is fixed.

use super::adjusted_wait::{DryingEstimate, adjust_wait};
use super::event::{Stage, StageDone, StageKind, Wait, WaitOrigin};
use crate::craft::recipe::{Coats, Recipe, shipped};
use crate::units::{Humidity, Span, Temperature};

fn recipe(long_gap_min: f64) -> Recipe {
    let plain = shipped::find_shipped_recipe(shipped::DEFAULT_RECIPE_NAME).unwrap();
    Recipe { coats: Coats { long_gap_min, ..plain.coats.clone() }, ..plain }
}

fn in_air(t: f64, rh: f64) -> DryingEstimate {
    DryingEstimate::from_air(Some((Temperature::from_c(t), Humidity::from_pct(rh))))
}

/// Kind, recipe's minutes, long-gap bound, air, leave to shorten; minutes fixed (within a hundredth), and on what they rest.
type Row = (StageKind, f64, f64, DryingEstimate, bool, f64, WaitOrigin);

#[test]
fn the_air_lengthens_and_only_with_leave_shortens() {
    use WaitOrigin::{Recipe, RecipeAir};
    let damp = in_air(20.0, 65.0); // 1.4794 by the reference table
    let dry = in_air(20.0, 30.0); // 0.6801
    let most = in_air(20.0, 95.0).factor().unwrap();
    let rows: [Row; 15] = [
        (StageKind::Coat, 15.0, 60.0, damp, false, 22.19, RecipeAir),
        (StageKind::Stipple, 15.0, 60.0, damp, false, 22.19, RecipeAir),
        (StageKind::Size, 30.0, 60.0, damp, false, 44.38, RecipeAir),
        // The seal is spirit: this air says nothing of it.
        (StageKind::Seal, 60.0, 60.0, damp, false, 60.0, Recipe),
        (StageKind::Coat, 15.0, 60.0, dry, false, 15.0, Recipe),
        (StageKind::Coat, 15.0, 60.0, dry, true, 10.20, RecipeAir),
        // 20 C and 90 %: 5.476 times. A coat stops at the bound, a size coat has none.
        (StageKind::Coat, 15.0, 60.0, in_air(20.0, 90.0), false, 60.0, RecipeAir),
        (StageKind::Size, 30.0, 60.0, in_air(20.0, 90.0), false, 164.3, RecipeAir),
        // A recipe that waits beyond its own bound is not shortened by it.
        (StageKind::Coat, 90.0, 60.0, in_air(20.0, 90.0), false, 90.0, Recipe),
        // Above 95 %: a coat holds at its bound, size at what 95 % asks; neither falls back to the recipe.
        (StageKind::Coat, 15.0, 60.0, in_air(20.0, 97.0), false, 60.0, RecipeAir),
        (StageKind::Coat, 2.0, 60.0, in_air(20.0, 100.0), false, 60.0, RecipeAir),
        (StageKind::Size, 30.0, 60.0, in_air(20.0, 97.0), false, 30.0 * most, RecipeAir),
        (StageKind::Coat, 15.0, 60.0, in_air(-30.0, 50.0), true, 15.0, Recipe),
        (StageKind::Coat, 15.0, 60.0, DryingEstimate::Unread, true, 15.0, Recipe),
        (StageKind::Coat, 15.0, 60.0, in_air(20.0, 50.0), true, 15.0, Recipe),
    ];
    for (kind, minutes, gap, drying, shorten, fixed, from) in rows {
        let got = adjust_wait(kind, Span::from_min(minutes), &recipe(gap), drying, shorten);
        let tolerance = fixed * 0.005;
        assert!((got.span.minutes() - fixed).abs() < tolerance.max(0.01), "{kind:?} {drying:?}: {got:?}");
        assert_eq!(got.origin, from, "{kind:?} {drying:?}");
    }
}

#[test]
fn very_damp_air_and_no_air_are_told_apart() {
    let most = in_air(20.0, 95.0).factor().unwrap();
    assert_eq!(in_air(20.0, 95.1), DryingEstimate::TooDamp(most));
    assert_eq!(in_air(20.0, 100.0), DryingEstimate::TooDamp(most));
    assert!(matches!(in_air(20.0, 100.1), DryingEstimate::Unknown(range) if range.hi == 95.0));
    assert_eq!(DryingEstimate::from_air(None), DryingEstimate::Unread);
}

#[test]
fn a_fact_keeps_all_but_its_wait() {
    let stage = Stage { kind: StageKind::Coat, face: None, number: Some(1), total: Some(6), direction: None };
    let of = |span, from| Some(Wait { span: Span::from_min(span), origin: from });
    let done = StageDone { stage: Some(stage), wait: of(15.0, WaitOrigin::Recipe), ..StageDone::default() };
    let damp = done.clone().with_adjusted_wait(&recipe(60.0), DryingEstimate::Factor(2.0), false);
    assert_eq!(damp, StageDone { wait: of(30.0, WaitOrigin::RecipeAir), air_factor: Some(2.0), ..done.clone() });
    // What the air did is kept also where it moves no wait; of a seal it says nothing.
    let dry = done.clone().with_adjusted_wait(&recipe(60.0), DryingEstimate::Factor(0.5), false);
    assert_eq!(dry, StageDone { air_factor: Some(0.5), ..done.clone() });
    let seal = StageDone { stage: Some(Stage { kind: StageKind::Seal, ..stage }), ..done.clone() };
    assert_eq!(seal.clone().with_adjusted_wait(&recipe(60.0), DryingEstimate::Factor(2.0), false), seal);
    // Twice the same air does not lengthen twice, and the maker's own minutes stay.
    assert_eq!(damp.clone().with_adjusted_wait(&recipe(60.0), DryingEstimate::Factor(2.0), false), damp);
    let own = StageDone { wait: of(12.0, WaitOrigin::Maker), ..done.clone() };
    let in_damp = StageDone { air_factor: Some(2.0), ..own.clone() };
    assert_eq!(own.clone().with_adjusted_wait(&recipe(60.0), DryingEstimate::Factor(2.0), false), in_damp);
    // Their own minutes take the place of whatever stood there, never past the long gap and never none.
    for (minutes, fixed) in [(12.0, 12.0), (90.0, 60.0), (0.2, 1.0)] {
        let set = damp.clone().with_own_wait(&recipe(60.0), Span::from_min(minutes));
        assert_eq!(set.wait, of(fixed, WaitOrigin::Maker), "{minutes}");
    }
    let waitless = StageDone { wait: None, ..done };
    let same = waitless.clone().with_adjusted_wait(&recipe(60.0), DryingEstimate::Factor(2.0), false);
    assert_eq!(same.wait, None);
    assert_eq!(waitless.with_own_wait(&recipe(60.0), Span::from_min(12.0)).wait, None);
}
