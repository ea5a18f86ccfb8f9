//! What came of a panel, as far as it was looked at. What was not looked at is not called sound.

use super::standing_steps::last_act_moment;
use crate::units::Stamp;
use crate::work::advice::inspections::story_inspections;
use crate::work::panel::ground_test::GroundTest;
use crate::work::panel::inspection::Inspection;
use crate::work::panel::story::PanelStory;
use crate::work::story::StoryState;

/// What came of a panel, as far as it was looked at.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Outcome {
    /// Whether it was looked over at all.
    pub inspected: bool,
    /// Days from the last act done on it to the last look.
    pub age_days: Option<f64>,
    /// Cracks seen at the last look that tells of any.
    pub cracks: Option<u32>,
    /// The worst grade of those, 0 to 4.
    pub crack_grade: Option<u8>,
    /// Pinholes at the last look that tells of them.
    pub pinholes: Option<u32>,
    /// Bow at the last look that tells of it, mm.
    pub bow_mm: Option<f64>,
    /// The same in per cent of the span.
    pub bow_pct: Option<f64>,
    /// Lifting at the last look that tells of it, mm.
    pub lift_mm: Option<f64>,
    /// Days between which mould came: the last look without any, and the first with it, infinite where none was seen.
    /// Nothing where nobody looked for it.
    pub mould_days: Option<(f64, f64)>,
    /// The dark cloth at the last look that tells of it, 0 to 3.
    pub rub: Option<u8>,
    /// The mean reading of each small test, at the last look that tells of it.
    pub test_means: [Option<f64>; GroundTest::ALL.len()],
    /// Sound at the last look that says so or otherwise, made after the last act; a crack counts whenever it was seen.
    /// Nothing where no look says.
    pub sound: Option<bool>,
    /// Every look that says sound or not: age in days (below 0 before the last act), and whether cracked, whether sound.
    pub verdicts: Vec<Verdict>,
}

/// What one look says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Verdict {
    /// Days from the last act done.
    pub age_days: f64,
    /// A crack was seen.
    pub cracked: bool,
    /// Nothing was wrong.
    pub sound: bool,
}

/// What the looks say. The age of a ground counts from the last act done on the panel.
pub fn outcome_from_story(story: &PanelStory) -> Outcome {
    let looks = story_inspections(story);
    let panel = story.panel();
    let from = last_act_moment(panel).map_or(panel.opened_at().wall, |m| m.wall);
    let age = |at: Stamp| (at - from).hours() / 24.0;
    let last = |of: &dyn Fn(&Inspection) -> Option<f64>| looks.iter().rev().find_map(|(_, seen)| of(seen));
    let cracks =
        |seen: &Inspection| seen.has_crack_finding().then(|| seen.cracks.iter().filter(|c| c.grade > 0).count() as u32);
    let grade =
        |seen: &Inspection| seen.has_crack_finding().then(|| seen.cracks.iter().map(|c| c.grade).max().unwrap_or(0));
    let mould = |seen: &Inspection| {
        let is_told = seen.mould || seen.no_mould || seen.sound;
        is_told.then_some(seen.mould)
    };
    let verdict = |(at, seen): &(Stamp, &Inspection)| {
        let sound = seen.verdict()?;
        Some(Verdict { age_days: age(*at), cracked: seen.is_cracked(), sound })
    };
    let verdicts: Vec<Verdict> = looks.iter().filter_map(verdict).collect();
    let said = verdicts.iter().rev().find(|v| !v.sound || v.age_days >= 0.0);
    let cracked = verdicts.iter().any(|v| v.cracked);
    Outcome {
        inspected: !looks.is_empty(),
        age_days: looks.last().map(|(at, _)| age(*at)),
        cracks: looks.iter().rev().find_map(|(_, seen)| cracks(seen)),
        crack_grade: looks.iter().rev().find_map(|(_, seen)| grade(seen)),
        pinholes: looks.iter().rev().find_map(|(_, seen)| seen.pinholes),
        bow_mm: last(&|s| s.bow.map(|b| b.sag.mm())),
        bow_pct: last(&|s| s.bow.map(|b| b.pct_of_span())),
        lift_mm: last(&|s| s.lift.map(|l| l.mm())),
        mould_days: days_of_onset(looks.iter().filter_map(|(at, seen)| Some((age(*at), mould(seen)?)))),
        test_means: GroundTest::ALL.map(|test| last(&|s| s.mean_reading(test))),
        rub: looks.iter().rev().find_map(|(_, seen)| seen.rub),
        sound: if cracked { Some(false) } else { said.map(|v| v.sound) },
        verdicts,
    }
}

/// Between which looks something came about, in whole days: the last look without it, and the first with it, infinite where
/// none saw it. Nothing where nobody looked.
pub fn days_of_onset(looks: impl Iterator<Item = (f64, bool)> + Clone) -> Option<(f64, f64)> {
    let day = |age: f64| age.max(0.0).floor();
    let first = looks.clone().filter(|(_, seen)| *seen).map(|(age, _)| day(age)).reduce(f64::min);
    let until = first.map_or(f64::INFINITY, |d| d.max(0.5));
    let clear = looks.clone().filter(|(_, seen)| !seen).map(|(age, _)| day(age)).filter(|d| *d < until);
    let from = clear.fold(0.0, f64::max);
    looks.clone().next().map(|_| (from, until))
}
