use super::*;
use crate::units::Moment;

fn weighed(hours: f64, g: f64, offcut_g: Option<f64>) -> PanelWeighing {
    let at = Moment::from_wall(Stamp::from_ms(0) + Span::from_h(hours));
    PanelWeighing { at, mass: Mass::from_g(g), offcut: offcut_g.map(Mass::from_g) }
}

fn judged(weighings: &[PanelWeighing]) -> Dryness {
    let has_offcut = weighings.iter().all(|w| w.offcut.is_some());
    judge(weighings, *weighings.last().unwrap(), has_offcut, slowest_time_constant_h(Some(12.0)))
}

fn plain(figures: &[(f64, f64)]) -> Dryness {
    judged(&figures.iter().map(|(h, g)| weighed(*h, *g, None)).collect::<Vec<_>>())
}

/// 800 + 14 exp(-t/20), as a scale of that step shows it.
fn seven(step: f64) -> Vec<(f64, f64)> {
    let each = |t: &f64| (*t, ((800.0 + 14.0 * (-t / 20.0).exp()) / step).round() * step);
    [0.0, 2.0, 4.0, 8.0, 24.0, 32.0, 48.0].iter().map(each).collect()
}

#[test]
fn seven_weighings_say_what_is_left_and_a_finer_scale_says_it_is_dry() {
    let Dryness::Settling(fine) = plain(&seven(0.1)) else { panic!("{:?}", plain(&seven(0.1))) };
    // 14 exp(-48/20) = 1.27 g is left, and 1.6 g is looked for.
    assert!((fine.left_g - 1.27).abs() < 0.1 && fine.upper_g < 1.5 && fine.is_dry_enough(), "{fine:?}");
    let Dryness::Settling(coarse) = plain(&seven(1.0)) else { panic!("{:?}", plain(&seven(1.0))) };
    assert!((coarse.left_g - 1.27).abs() < 0.5 && coarse.upper_g > 1.6 && !coarse.is_dry_enough(), "{coarse:?}");
    let again = (coarse.weigh_again_at.unwrap() - (Stamp::from_ms(0) + Span::from_h(48.0))).hours();
    assert!((4.0..=24.0).contains(&again), "{again}");
}

#[test]
fn what_cannot_be_said_is_told() {
    assert_eq!(plain(&[(0.0, 812.0), (24.0, 806.0)]), Dryness::TooFew { weighings: 2 });
    assert!(matches!(plain(&[(0.0, 812.0), (24.0, 806.0), (48.0, 809.0)]), Dryness::Grew { by_g } if by_g == 3.0));
    assert!(matches!(plain(&[(0.0, 812.0), (24.0, 806.0), (48.0, 800.0)]), Dryness::NotSlowing { .. }));
    assert!(matches!(plain(&[(0.0, 812.0), (24.0, 808.0), (48.0, 801.0)]), Dryness::NotSlowing { .. }));
    // A fifth of a per cent of 120 g is 0.24 g.
    assert!(
        matches!(plain(&[(0.0, 122.0), (24.0, 121.0), (48.0, 121.0)]), Dryness::TooCoarse { step_g, .. } if step_g == 1.0)
    );
    // Two in one minute are one.
    assert_eq!(plain(&[(0.0, 812.0), (24.0, 806.0), (24.0, 806.1)]), Dryness::TooFew { weighings: 2 });
}

#[test]
fn weighings_that_lose_as_fast_as_before_never_make_it_dry() {
    for loss in [0.0, 1.0, 2.0, 4.0] {
        let figures: Vec<_> = (0..6).map(|i| (f64::from(i) * 24.0, 810.0 - loss * f64::from(i))).collect();
        let dry = matches!(plain(&figures), Dryness::Settling(s) if s.is_dry_enough());
        assert!(!dry || loss == 0.0, "{loss}: {:?}", plain(&figures));
    }
}

#[test]
fn a_bare_offcut_takes_the_air_off() {
    // The air gets damper: both grow by 1 % at the end, and the board comes to rest all the same.
    let air = [1.0, 1.0, 1.002, 1.004, 1.006, 1.008, 1.01];
    let each = |((t, g), air): (&(f64, f64), f64)| {
        (*t, ((g * air) * 10.0).round() / 10.0, (60.0 * air * 100.0).round() / 100.0)
    };
    let damp: Vec<_> = seven(0.1).iter().zip(air).map(each).collect();
    let alone: Vec<_> = damp.iter().map(|(t, g, _)| (*t, *g)).collect();
    // Without it what the air brings hides what is still to go.
    assert!(matches!(plain(&alone), Dryness::Settling(s) if s.left_g < 0.6), "{:?}", plain(&alone));
    let both: Vec<_> = damp.iter().map(|(t, g, o)| weighed(*t, *g, Some(*o))).collect();
    let Dryness::Settling(s) = judged(&both) else { panic!("{:?}", judged(&both)) };
    assert!((s.left_g - 1.27).abs() < 0.4, "{s:?}");
    // An offcut of 20 g on a scale of a gram cannot carry that: one step of it is 40 g of the board.
    let coarse: Vec<_> = damp.iter().map(|(t, g, _)| weighed(*t, *g, Some(20.0))).collect();
    assert!(matches!(judged(&coarse), Dryness::TooCoarse { .. }), "{:?}", judged(&coarse));
}

#[test]
fn a_scale_shows_its_step() {
    for (masses, step) in [
        (&[812.0, 806.0, 803.0][..], 1.0),
        (&[812.4, 806.0, 803.1], 0.1),
        (&[810.0, 805.0, 800.0], 5.0),
        (&[812.25, 806.01], 0.01),
        (&[1.8 * Mass::G_PER_LB, 1.7 * Mass::G_PER_LB], Mass::G_PER_LB / 10.0),
        (&[28.5 * Mass::G_PER_LB / 16.0], Mass::G_PER_LB / 160.0),
    ] {
        let masses: Vec<Mass> = masses.iter().map(|g| Mass::from_g(*g)).collect();
        assert!((scale_step_g(&masses) - step).abs() < 1e-9, "{masses:?}: {}", scale_step_g(&masses));
    }
}
