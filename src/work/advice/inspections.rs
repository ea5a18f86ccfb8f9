//! Looking a finished panel over: how a look is told, when the next is due, and whether a fault grows.

use super::ground_tests::format_readings;
use crate::text::{UnitSystem, format_count, format_fine_length, format_number};
use crate::units::{Length, Moment, Span, Stamp};
use crate::work::panel::event::PanelEvent;
use crate::work::panel::ground_test::GroundTest;
use crate::work::panel::inspection::{Bow, Crack, CrackDirection, CrackPlace, Inspection};
use crate::work::panel::phase::PanelPhase;
use crate::work::panel::story::PanelStory;
use crate::work::panel::whereabouts::Beholder;

/// The days after finishing on which a look is worth while: common practice, no source. Cracks have been told of weeks
/// after painting, on grounds months old.
pub const INSPECTION_DAYS: [u32; 7] = [1, 3, 7, 14, 28, 90, 365];

/// A look may come this much before its day, in parts of the days, and still be the look of that day (assumed).
pub const EARLY_SHARE: f64 = 0.1;

/// One look at a panel, in a sentence without capital and full stop.
pub fn format_inspection(seen: &Inspection, units: UnitSystem) -> String {
    let mut parts: Vec<String> = Vec::new();
    if seen.sound {
        parts.push("sound".to_owned());
    }
    match is_crack_free(seen) {
        true => parts.push("no crack".to_owned()),
        false => parts.extend(seen.cracks.iter().map(format_crack)),
    }
    parts.extend(seen.pinholes.map(|n| format_count(n, "pinhole")));
    parts.extend(seen.lift.map(|l| format!("lifting by {}", format_fine_length(l, 2, units))));
    parts.extend(seen.bow.as_ref().map(|bow| format_bow(bow, units)));
    parts.extend(GroundTest::ALL.into_iter().filter_map(|test| format_readings(seen, test)));
    parts.extend(seen.cycles.map(|n| format!("after {} of damp and dry air", format_count(n, "cycle"))));
    if seen.mould {
        parts.push("mould".to_owned());
    }
    if seen.no_mould {
        parts.push("no mould".to_owned());
    }
    parts.extend(seen.photo.as_ref().map(|p| format!("photo {p}")));
    parts.extend(seen.note.as_ref().map(|n| format!("note: {n}")));
    format!("inspected: {}", parts.join("; "))
}

/// Looked for in every place and both ways, and not there.
pub fn cracks_all_absent() -> Vec<Crack> {
    let ways = |at| CrackDirection::ALL.map(|run| Crack { place: at, grade: 0, direction: run });
    CrackPlace::ALL.into_iter().flat_map(ways).collect()
}

fn is_crack_free(seen: &Inspection) -> bool {
    !seen.is_cracked() && cracks_all_absent().iter().all(|none| seen.cracks.contains(none))
}

fn format_crack(c: &Crack) -> String {
    match c.grade {
        0 => format!("no crack {}, {} the grain", crack_place_text(c.place), c.direction.name()),
        grade => format!("crack {}, {} the grain, grade {grade} of 4", crack_place_text(c.place), c.direction.name()),
    }
}

const fn crack_place_text(at: CrackPlace) -> &'static str {
    match at {
        CrackPlace::Edge => "at an edge",
        CrackPlace::Field => "in the field",
        CrackPlace::Joint => "over a joint",
    }
}

/// A bow with what it comes to: "bow 2 mm over 400 mm (0.5 % of the span, radius 10 m)".
pub fn format_bow(bow: &Bow, units: UnitSystem) -> String {
    let radius = bow.radius().map_or_else(|| "flat".to_owned(), |r| format!("radius {}", format_radius(r, units)));
    let pct = format_number(bow.pct_of_span(), 3);
    format!(
        "bow {} over {} ({pct} % of the span, {radius})",
        format_fine_length(bow.sag, 2, units),
        format_fine_length(bow.span, 1, units)
    )
}

/// A radius: metres, or feet.
fn format_radius(radius: Length, units: UnitSystem) -> String {
    match units {
        UnitSystem::Metric => format!("{} m", format_number(radius.mm() / 1000.0, 2)),
        UnitSystem::Imperial => format!("{} ft", format_number(radius.mm() / (12.0 * Length::MM_PER_IN), 1)),
    }
}

/// The looks that stand, in the order they happened.
pub fn story_inspections(story: &PanelStory) -> Vec<(Stamp, &Inspection)> {
    // Few of a story's facts are looks, so these are picked before anything is put in order.
    let looks = story.entries().iter().filter_map(|e| match &e.event {
        PanelEvent::Inspected(seen) => Some((e.at, e.seq, &**seen)),
        _ => None,
    });
    let stands = |seq: u64| !story.is_taken_back(seq) && story.refusal_of(seq).is_none();
    let mut looks: Vec<_> = looks.filter(|(_, seq, _)| stands(*seq)).collect();
    looks.sort_by_key(|(at, seq, _)| (*at, *seq));
    looks.into_iter().map(|(at, _, seen)| (at, seen)).collect()
}

/// The look that is due or comes next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DueInspection {
    /// The day after finishing it belongs to.
    pub day: u32,
    /// When that day comes.
    pub at: Stamp,
    /// Whether it is due now.
    pub is_due: bool,
}

fn days_span(n: u32) -> Span {
    Span::from_h(f64::from(n) * 24.0)
}

/// The look due now, else the next one to come; nothing while the panel is not finished, or once all are done. A day
/// that was missed falls away when the next has come.
pub fn due_inspection(story: &PanelStory, now: Moment) -> Option<DueInspection> {
    let status = story.panel().status(now);
    if status.phase != PanelPhase::Finished || story.panel().beholder() == Beholder::Nobody {
        return None;
    }
    due_inspection_after(status.since, story_inspections(story).last().map(|(at, _)| *at), now.wall)
}

/// [`due_inspection`], of a panel finished then and last looked over then.
pub fn due_inspection_after(finished: Stamp, last: Option<Stamp>, now: Stamp) -> Option<DueInspection> {
    let done = |day: u32| {
        last.is_some_and(|at| (at - finished).ms() as f64 >= days_span(day).ms() as f64 * (1.0 - EARLY_SHARE))
    };
    let come = INSPECTION_DAYS.into_iter().rev().find(|d| finished + days_span(*d) <= now);
    if let Some(day) = come.filter(|d| !done(*d)) {
        return Some(DueInspection { day, at: finished + days_span(day), is_due: true });
    }
    let next = INSPECTION_DAYS.into_iter().find(|d| finished + days_span(*d) > now && !done(*d))?;
    Some(DueInspection { day: next, at: finished + days_span(next), is_due: false })
}

/// For so long the bench reminds of the last look of all, days; a day before it is told of until the next comes. Assumed.
pub const LAST_REMINDER_DAYS: u32 = 90;

/// After so long a panel is no longer reminded of, whether or not it was looked over.
pub fn reminder_period() -> Span {
    days_span(INSPECTION_DAYS.into_iter().max().expect("the list is not empty") + LAST_REMINDER_DAYS)
}

/// The moment after that one at which what is due of a panel finished then may change by itself, if it ever does.
pub fn next_due_change(finished: Stamp, now: Stamp) -> Option<Stamp> {
    let changes = INSPECTION_DAYS.into_iter().map(|d| finished + days_span(d)).chain([finished + reminder_period()]);
    changes.filter(|at| *at > now).min()
}

/// What the bench says of looks that are due, the longest due by name; then the same in fewer words. Nothing where none is.
pub fn format_reminder(due: &[(&str, u32)]) -> Vec<String> {
    let Some(((label, day), more)) = due.split_first() else { return Vec::new() };
    let more = match more.len() {
        0 => String::new(),
        n => format!(", {n} more"),
    };
    let short = format!("{} due", format_count(due.len(), "inspection"));
    vec![format!("Inspection due: {label} (day {day}){more}"), short]
}

/// What of a panel is measured at each look, so that its growth can be told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs, reason = "the names say it")]
pub enum FaultMeasure {
    Cracks,
    Pinholes,
    Lift,
    Bow,
}

/// One fault as it was seen over several looks.
#[derive(Debug, Clone, PartialEq)]
pub struct FaultGrowth {
    /// What was measured.
    pub measure: FaultMeasure,
    /// The fault: "crack at an edge, along the grain".
    pub fault: String,
    /// The unit of its figures; empty for grades and counts.
    pub unit: &'static str,
    /// When it was looked at, and how much of it there was; two or more.
    pub measurements: Vec<(Stamp, f64)>,
}

impl FaultGrowth {
    /// What it does since the look before. A crack does not heal: one that is graded less is to be looked at again.
    pub fn trend(&self) -> &'static str {
        match (self.change(), self.measure) {
            (c, _) if c > 0.0 => "growing",
            (c, FaultMeasure::Cracks) if c < 0.0 => "less than last time, look again",
            (c, _) if c < 0.0 => "less than before",
            _ => "unchanged",
        }
    }
    fn change(&self) -> f64 {
        let size = |x: Option<&(Stamp, f64)>| x.map_or(0.0, |(_, v)| v.abs());
        size(self.measurements.last()) - size(self.measurements.iter().nth_back(1))
    }
}

/// Every fault that was measured at two looks or more, and is or was there. A look that does not tell of a fault says
/// nothing of it; one that says "sound" says that there is no crack and no lifting.
pub fn fault_growth(story: &PanelStory) -> Vec<FaultGrowth> {
    fault_growth_over(&story_inspections(story))
}

/// [`fault_growth`], over those looks in their order.
pub fn fault_growth_over(looks: &[(Stamp, &Inspection)]) -> Vec<FaultGrowth> {
    let mut grown = Vec::new();
    for where_ in CrackPlace::ALL {
        for run in CrackDirection::ALL {
            let worst = |seen: &Inspection| {
                let here = seen.cracks.iter().filter(|c| c.place == where_ && c.direction == run);
                here.map(|c| f64::from(c.grade)).reduce(f64::max).or(seen.sound.then_some(0.0))
            };
            let fault = format!("crack {}, {} the grain", crack_place_text(where_), run.name());
            grown.push(measure_growth(looks, FaultMeasure::Cracks, fault, &worst));
        }
    }
    let lift = |s: &Inspection| s.lift.map(|l| l.mm()).or(s.sound.then_some(0.0));
    grown.push(measure_growth(looks, FaultMeasure::Pinholes, "pinholes".to_owned(), &|s| s.pinholes.map(f64::from)));
    grown.push(measure_growth(looks, FaultMeasure::Lift, "lifting".to_owned(), &lift));
    grown.push(measure_growth(looks, FaultMeasure::Bow, "bow".to_owned(), &|s| s.bow.map(|b| b.pct_of_span())));
    grown.into_iter().flatten().collect()
}

fn measure_growth(
    looks: &[(Stamp, &Inspection)],
    of: FaultMeasure,
    fault: String,
    much: &dyn Fn(&Inspection) -> Option<f64>,
) -> Option<FaultGrowth> {
    let unit = match of {
        FaultMeasure::Cracks | FaultMeasure::Pinholes => "",
        FaultMeasure::Lift => "mm",
        FaultMeasure::Bow => "% of the span",
    };
    let seen: Vec<(Stamp, f64)> = looks.iter().filter_map(|(at, look)| Some((*at, much(look)?))).collect();
    let there = seen.len() > 1 && seen.iter().any(|(_, v)| *v != 0.0);
    there.then_some(FaultGrowth { measure: of, fault, unit, measurements: seen })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::craft::materials::Support;
    use crate::craft::recipe::{Paint, shipped};
    use crate::units::{Entry, Id, Length, Size};
    use crate::work::panel::act::PanelAct;
    use crate::work::panel::event::{Grain, PanelOpened};
    use std::sync::Arc;

    fn moment(day: f64) -> Moment {
        Moment::from_wall(Stamp::from_ms(1_800_000_000_000) + Span::from_h(day * 24.0))
    }

    /// A panel everything of which was left out but the opening: finished at once.
    fn finished() -> PanelStory {
        let opened = PanelOpened {
            sheet: None,
            id: Id::new("wren").unwrap(),
            label: "Wren".into(),
            size: Size { width: Length::from_mm(300.0), height: Length::from_mm(400.0), thickness: None },
            support: Support::BirchPlywood,
            grain: Grain::Height,
            paint: Paint::Oil,
            recipe: Arc::new(shipped::find_shipped_recipe("gypsum-zinc").unwrap()),
            group: None,
            is_witness: false,
            trial: None,
        };
        let event = PanelEvent::Opened(Box::new(opened));
        let entry = Entry { seq: 0, at: moment(0.0).wall, written: moment(0.0), raw_wall: None, replaces: None, event };
        let mut story = PanelStory::fold(vec![entry]).unwrap();
        while story.panel().phase_at(moment(0.0)) != PanelPhase::Finished {
            story = with(&story, &PanelAct::Skip("not for this".into()), 0.0);
        }
        story
    }

    fn with(story: &PanelStory, act: &PanelAct, day: f64) -> PanelStory {
        let event = story.build_event(act, moment(day)).unwrap();
        let seq = story.entries().len() as u64;
        story
            .with_entry(Entry {
                seq,
                at: moment(day).wall,
                written: moment(day),
                raw_wall: None,
                replaces: None,
                event,
            })
            .unwrap()
    }

    fn seen(cracks: &[&str]) -> Inspection {
        let cracks: Vec<Crack> = cracks.iter().map(|c| Crack::parse(c).unwrap()).collect();
        Inspection { sound: cracks.is_empty(), cracks, ..Inspection::default() }
    }

    fn look(story: &PanelStory, seen: Inspection, day: f64) -> PanelStory {
        with(story, &PanelAct::Inspect(Box::new(seen)), day)
    }

    #[test]
    fn looks_fall_due_on_their_days() {
        let check = |looks: &[f64], now: f64, due_is: Option<(u32, bool)>| {
            let story = looks.iter().fold(finished(), |s, day| look(&s, seen(&[]), *day));
            assert_eq!(
                due_inspection(&story, moment(now)).map(|d| (d.day, d.is_due)),
                due_is,
                "looks {looks:?}, now day {now}"
            );
        };
        check(&[], 0.5, Some((1, false)));
        check(&[], 1.0, Some((1, true)));
        check(&[], 8.0, Some((7, true)));
        check(&[1.0], 1.5, Some((3, false)));
        check(&[1.0], 3.0, Some((3, true)));
        check(&[6.4], 7.5, Some((14, false)));
        check(&[6.2], 7.5, Some((7, true)));
        check(&[1.0, 30.0], 89.0, Some((90, false)));
        check(&[340.0], 341.0, None);
        check(&[], 4000.0, Some((365, true)));
    }

    #[test]
    fn a_fault_grows_or_not() {
        let check = |looks: &[(f64, &[&str])], grown: &[(&str, &str)]| {
            let story = looks.iter().fold(finished(), |s, (day, cracks)| look(&s, seen(cracks), *day));
            let told: Vec<_> = fault_growth(&story).iter().map(|g| (g.fault.clone(), g.trend())).collect();
            let told: Vec<_> = told.iter().map(|(f, d)| (f.as_str(), *d)).collect();
            assert_eq!(told, grown, "{looks:?}");
        };
        let edge = "crack at an edge, along the grain";
        let field = "crack in the field, across the grain";
        check(&[(1.0, &[]), (7.0, &[])], &[]);
        check(&[(1.0, &[]), (7.0, &["edge:2:along"])], &[(edge, "growing")]);
        check(&[(1.0, &["edge:2:along"]), (7.0, &["edge:2:along"])], &[(edge, "unchanged")]);
        check(&[(1.0, &["field:3:across"]), (7.0, &["field:1:across"])], &[(field, "less than last time, look again")]);
        // Against the look before, not the first.
        check(
            &[(1.0, &["field:1:across"]), (7.0, &["field:3:across"]), (28.0, &["field:2:across"])],
            &[(field, "less than last time, look again")],
        );
        check(
            &[(1.0, &["field:3:across"]), (7.0, &["field:1:across"]), (28.0, &["field:2:across"])],
            &[(field, "growing")],
        );
        check(&[(1.0, &["edge:1:along"]), (7.0, &["field:1:across"])], &[]);
    }

    #[test]
    fn a_look_is_told_whole() {
        let seen = Inspection {
            bow: Some(Bow { sag: Length::from_mm(2.0), span: Length::from_mm(400.0) }),
            pinholes: Some(1),
            mould: true,
            ..seen(&["edge:2:along", "joint:0:across"])
        };
        assert_eq!(
            format_inspection(&seen, UnitSystem::Metric),
            "inspected: crack at an edge, along the grain, grade 2 of 4; no crack over a joint, across the grain; \
             1 pinhole; bow 2 mm over 400 mm (0.5 % of the span, radius 10 m); mould"
        );
        // 2 mm are 0.079 in, 400 mm 15.75 in, 10.001 m 32.8 ft.
        let imperial = format_inspection(&seen, UnitSystem::Imperial);
        assert!(imperial.contains("bow 0.079 in over 15.75 in (0.5 % of the span, radius 32.8 ft)"), "{imperial}");
    }

    #[test]
    fn a_reminder_names_the_first_and_counts_the_others() {
        let check = |due: &[(&str, u32)], says: &[&str]| assert_eq!(format_reminder(due), says);
        check(&[], &[]);
        check(&[("Wren", 1)], &["Inspection due: Wren (day 1)", "1 inspection due"]);
        check(
            &[("Wren", 28), ("Robin", 3), ("Siskin", 3)],
            &["Inspection due: Wren (day 28), 2 more", "3 inspections due"],
        );
    }

    #[test]
    fn no_crack_anywhere_is_told_in_two_words_and_counts_as_looked_for() {
        let none = Inspection { cracks: cracks_all_absent(), no_mould: true, ..Inspection::default() };
        assert_eq!(format_inspection(&none, UnitSystem::Metric), "inspected: no crack; no mould");
        assert_eq!(none.verdict(), Some(true));
    }

    #[test]
    fn a_look_taken_back_is_none() {
        let story = with(&look(&finished(), seen(&["edge:2:along"]), 2.0), &PanelAct::Undo { seen: None }, 2.0);
        assert_eq!(story_inspections(&story), vec![]);
    }
}
