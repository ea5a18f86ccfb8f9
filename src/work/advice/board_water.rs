//! Water in a board, in sentences: what the model makes of the cure, and what weighings make of the board.
//!
//! A range is said for the cure, and that nobody measured it; that a board is ready is said by weighings alone.

use super::Tip;
use super::source::{DRY_RULE, SLAB_MODEL};
use super::words::{format_figure, support_text};
use crate::craft::materials::supports::BoardBuild;
use crate::craft::quantities::wet_face::{WET_FACE_SOURCE, one_face_bow_bound_mm};
use crate::craft::recipe::Faces;
use crate::text::{UnitSystem, format_count, format_fine_length, format_length, format_mass};
use crate::units::{Length, Mass, Stamp};
use crate::work::panel::board_moisture::{MoistureLeft, air_gain_pct};
use crate::work::panel::dryness::{DRY_ENOUGH_PART, Dryness, DrynessReport, Settling, WEIGHINGS_MIN};
use crate::work::panel::event::StageKind;
use crate::work::panel::phase::PanelStatus;
use crate::work::panel::state::Panel;

/// What a part is called.
fn part_text(part: f64) -> &'static str {
    const PARTS: [(f64, &str); 9] = [
        (0.02, "almost nothing"),
        (0.075, "a twentieth"),
        (0.15, "a tenth"),
        (0.225, "a fifth"),
        (0.29, "a quarter"),
        (0.42, "a third"),
        (0.59, "a half"),
        (0.71, "two thirds"),
        (0.8, "three quarters"),
    ];
    PARTS.iter().find(|(most, _)| part < *most).map_or("nearly all", |(_, words)| words)
}

/// Why the model says nothing of that board.
fn no_figure_sentence(panel: &Panel) -> String {
    let opened = panel.opened();
    match (opened.support.build(), opened.size.thickness) {
        (BoardBuild::Fibreboard, _) => format!(
            "How fast {} lets the size's water go is not known here: no figure was found. Weighing tells.",
            support_text(opened.support)
        ),
        (BoardBuild::Unknown, _) => {
            "How fast this board lets the size's water go is not known: nobody said what it is made of. \
                                     Weighing tells."
                .to_owned()
        }
        (BoardBuild::Plywood | BoardBuild::SolidWood, _) => {
            "How fast the size's water goes depends on the thickness, and nobody said how thick it is. Weighing tells."
                .to_owned()
        }
    }
}

/// What size on one face alone does to the board on the way.
fn one_face_sentence(panel: &Panel, units: UnitSystem) -> Option<String> {
    let opened = panel.opened();
    if panel.recipe().size.faces != Faces::Front {
        return None;
    }
    let bound =
        one_face_bow_bound_mm(opened.size, opened.support, Some(opened.grain.direction())).map(|(sag, span)| {
            let [sag, span] =
                [(sag, 1), (span, 0)].map(|(mm, digits)| format_fine_length(Length::from_mm(mm), digits, units));
            format!(", up to about {sag} over {span} across the grain; on both faces alike it stays flat")
        });
    Some(format!(
        "Size on one face alone bows the board on the way too: it swells there first{}, and comes back as it dries.",
        bound.unwrap_or_default()
    ))
}

/// What the model makes of the recipe's cure, as one sentence each for a board on battens and for one lying flat; or why
/// nothing is said of such a board.
pub fn cure_sentences(panel: &Panel, units: UnitSystem) -> Vec<String> {
    let opened = panel.opened();
    let Some((thickness, left)) = opened.size.thickness.zip(panel.moisture_after_cure()) else {
        return vec![no_figure_sentence(panel)];
    };
    let MoistureLeft { open, flat } = left;
    let hours = format_figure(panel.recipe().size.cure_h);
    let water = format_mass(Mass::from_g(panel.size_water_g()), units);
    vec![
        format!(
            "{}, air on both faces: after {hours} h about {} to {} of the size's water ({water}) is still in the wood; \
             nobody has measured yours.",
            format_length(thickness, units),
            part_text(open.0),
            part_text(open.1)
        ),
        format!(
            "Lying flat on the bench, one face closed, {} to {}: raise it on battens.",
            part_text(flat.0),
            part_text(flat.1)
        ),
        "The recipe's hours stand; a longer cure, and weighing, are yours to choose.".to_owned(),
    ]
}

/// Whether the board is in its cure, or has it before it.
fn is_curing(status: &PanelStatus) -> bool {
    [status.stage, status.next_stage].into_iter().flatten().any(|stage| stage.kind == StageKind::Cure)
}

/// What is said of water while the board cures: what its weighings say, else what the model makes of the cure.
pub fn cure_tips(panel: &Panel, status: &PanelStatus, when: &dyn Fn(Stamp) -> String, units: UnitSystem) -> Vec<Tip> {
    let weighed = panel.dryness().map_or_else(Vec::new, |report| dryness_sentences(&report, when, units));
    let weighed: Vec<Tip> = weighed.into_iter().map(|text| Tip::new(text, DRY_RULE)).collect();
    if !is_curing(status) {
        return weighed;
    }
    let modelled = cure_sentences(panel, units).into_iter().map(|text| Tip::new(text, SLAB_MODEL));
    let one_face = one_face_sentence(panel, units).map(|text| Tip::new(text, WET_FACE_SOURCE));
    weighed.into_iter().chain(modelled).chain(one_face).collect()
}

/// The same in one line, for the bench.
pub fn cure_line(panel: &Panel, status: &PanelStatus, units: UnitSystem) -> Option<Tip> {
    if !is_curing(status) {
        return None;
    }
    if let Some(DrynessReport { dryness: Dryness::Settling(s), .. }) = panel.dryness() {
        let [left, upper, sought] = [s.left_g, s.upper_g, s.sought_g].map(|g| format_small_mass(g, units));
        let text = match s.is_dry_enough() {
            true => format!("Dry enough: {left} left to lose, 9 in 10 under {upper}."),
            false => format!("{left} left to lose, 9 in 10 under {upper}; sought {sought}."),
        };
        return Some(Tip::new(text, DRY_RULE));
    }
    let Some(MoistureLeft { open, .. }) = panel.moisture_after_cure() else {
        return Some(Tip::new("How fast its water goes is not known here: weighing tells.", SLAB_MODEL));
    };
    let text = format!("On battens {} to {} of its water may still be in then.", part_text(open.0), part_text(open.1));
    Some(Tip::new(text, SLAB_MODEL))
}

/// What the weighings since the last coat say, in sentences; `when` tells a time. Nothing where none was weighed.
pub fn dryness_sentences(report: &DrynessReport, when: &dyn Fn(Stamp) -> String, units: UnitSystem) -> Vec<String> {
    let mass = |g: f64| format_small_mass(g, units);
    let first = match report.dryness {
        Dryness::TooFew { weighings } => {
            let more = WEIGHINGS_MIN.saturating_sub(weighings);
            let (done, more) = (times_text(weighings), times_text(more));
            format!("Weighed {done} since the last coat; weigh it {more} more to hear what is left.")
        }
        Dryness::TooCoarse { step_g, sought_g } => format!(
            "What is looked for is {}, and one step of the scale comes to {}: it takes a finer scale, or a larger offcut.",
            mass(sought_g),
            mass(step_g)
        ),
        Dryness::Grew { by_g } => {
            let air = if report.has_offcut { "" } else { "Damper air? " };
            format!(
                "It grew by {} since the time before. {air}Another scale? A coat that was not recorded?",
                mass(by_g)
            )
        }
        Dryness::NotSlowing { weigh_again_at } => format!(
            "It loses as fast as before, so what is left cannot be told; weigh it again {}.",
            when(weigh_again_at)
        ),
        Dryness::Settling(settling) => settling_sentence(report.weighings, settling, &mass, when),
    };
    let air = (!report.has_offcut && report.weighings + 1 >= WEIGHINGS_MIN).then(air_sentence);
    std::iter::once(first).chain(air).collect()
}

fn settling_sentence(
    weighings: usize,
    s: Settling,
    mass: &dyn Fn(f64) -> String,
    when: &dyn Fn(Stamp) -> String,
) -> String {
    let left = format!("{} left to lose, 9 in 10 less than {}", mass(s.left_g), mass(s.upper_g));
    let sought = format!("{} ({} % of it)", mass(s.sought_g), format_figure(100.0 * DRY_ENOUGH_PART));
    let weighed = times_text(weighings);
    match s.weigh_again_at {
        None => format!("Dry enough: weighed {weighed}, {left}; that is under {sought}."),
        Some(again) => {
            format!("Weighed {weighed}: {left}; dry enough is under {sought}. Weigh it again {}.", when(again))
        }
    }
}

fn times_text(times: usize) -> String {
    match times {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        n => format!("{n} times"),
    }
}

/// Grams to a tenth; ounces to a hundredth.
fn format_small_mass(g: f64, units: UnitSystem) -> String {
    match units {
        UnitSystem::Metric => format!("{g:.1} g"),
        UnitSystem::Imperial => format_mass(Mass::from_g(g), units),
    }
}

/// What the air does to a weighing without an offcut.
fn air_sentence() -> String {
    let gain = air_gain_pct();
    let times = match (gain / (100.0 * DRY_ENOUGH_PART)).round() as u32 {
        2 => "twice".to_owned(),
        3 => "three times".to_owned(),
        4 => "four times".to_owned(),
        n => format!("{n} times"),
    };
    format!("5 % more humid air adds {gain:.1} % by itself, {times} what you look for: weigh a bare offcut beside it.")
}

/// What lies on the bare board by calliper or film gauge.
pub fn build_sentence(panel: &Panel) -> Option<String> {
    let build = panel.build()?;
    let (thin, thick) = build.range_um;
    let points = format_count(build.points, "point");
    Some(match build.points {
        1 => format!("{:.0} um on the bare board, at {points}", build.mean_um),
        _ => format!("{:.0} um on the bare board, {thin:.0} to {thick:.0} over {points}", build.mean_um),
    })
}

/// The question of the last weighing, where the air is not that of the one before it and no offcut was weighed beside it;
/// `rh_at` tells the humidity then, per cent.
pub fn weighing_air_question(panel: &Panel, rh_at: &dyn Fn(Stamp) -> Option<f64>) -> Option<String> {
    let [.., before, last] = panel.weighings() else { return None };
    if last.offcut.is_some() {
        return None;
    }
    other_air_question(rh_at(before.at.wall)?, rh_at(last.at.wall)?)
}

/// A question where the air of a weighing is not that of the one before it.
fn other_air_question(before_rh_pct: f64, now_rh_pct: f64) -> Option<String> {
    let apart = now_rh_pct - before_rh_pct;
    // What 0.2 % of the mass comes to, from the same two figures.
    let bound = 5.0 * 100.0 * DRY_ENOUGH_PART / air_gain_pct().max(0.1);
    (apart.abs() >= bound.max(2.0)).then(|| {
        let way = if apart > 0.0 { "damper" } else { "drier" };
        format!(
            "the air is {way} than at the weighing before, {now_rh_pct:.0} against {before_rh_pct:.0} %, and wood follows it: \
             was a bare offcut weighed beside it?"
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Span;

    fn told(dryness: Dryness, has_offcut: bool, weighings: usize) -> String {
        let report = DrynessReport { dryness, weighings, has_offcut };
        dryness_sentences(&report, &|_| "at 14:00".to_owned(), UnitSystem::Metric).join(" ")
    }

    #[test]
    fn what_weighings_say_is_one_clear_sentence_and_what_the_air_does_another() {
        let at = Stamp::from_ms(0) + Span::from_h(1.0);
        let settling = |weigh_again_at| {
            Dryness::Settling(Settling { left_g: 1.27, upper_g: 1.43, sought_g: 1.602, weigh_again_at })
        };
        for (dryness, has_offcut, weighings, words) in [
            (
                settling(None),
                true,
                7,
                "Dry enough: weighed 7 times, 1.3 g left to lose, 9 in 10 less than 1.4 g; that is under 1.6 g (0.2 % of it).",
            ),
            (settling(Some(at)), true, 3, "dry enough is under 1.6 g (0.2 % of it). Weigh it again at 14:00."),
            (settling(Some(at)), false, 3, "5 % more humid air adds 0.8 % by itself, four times what you look for"),
            (
                Dryness::TooFew { weighings: 1 },
                false,
                1,
                "Weighed once since the last coat; weigh it twice more to hear what is left.",
            ),
            (Dryness::Grew { by_g: 3.0 }, false, 3, "It grew by 3.0 g since the time before. Damper air?"),
            (
                Dryness::TooCoarse { step_g: 1.0, sought_g: 0.24 },
                true,
                3,
                "What is looked for is 0.2 g, and one step of the scale comes to 1.0 g",
            ),
            (Dryness::NotSlowing { weigh_again_at: at }, true, 3, "It loses as fast as before"),
        ] {
            let text = told(dryness, has_offcut, weighings);
            assert!(text.contains(words), "{text}");
        }
    }

    #[test]
    fn other_air_is_asked_about_and_the_same_air_is_not() {
        assert!(other_air_question(50.0, 51.0).is_none());
        assert!(other_air_question(50.0, 60.0).unwrap().contains("damper"));
        assert!(other_air_question(60.0, 50.0).unwrap().contains("drier"));
    }
}
