//! How a ground is tried out: what is done, on which scale, after whom, and what it cannot say. The order is that of
//! [`GroundTest`]: what leaves least behind comes first.

use crate::text::format_number;
use crate::work::panel::ground_test::GroundTest;
use crate::work::panel::inspection::Inspection;

/// What is to be known of a test.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TestGuide {
    /// The test.
    pub test: GroundTest,
    /// What is done, as a question.
    pub asks: &'static str,
    /// What its figures mean.
    pub scale: &'static str,
    /// After whom.
    pub source: &'static str,
    /// What it cannot say, and what to look out for.
    pub limits: &'static str,
}

/// That guide.
pub const fn test_guide(test: GroundTest) -> TestGuide {
    let (asks, scale, source, limits) = match test {
        GroundTest::Scrape => (
            "Scraping: how many minutes until the face was even?",
            "minutes; more is harder, or a duller blade",
            "common practice, no source",
            "The same blade, freshly burred for each board, and the same hand.",
        ),
        GroundTest::Drop => (
            "A drop of water from 10 mm, at three places: after how many seconds is its mirror gone?",
            "seconds at three places; stop at 60",
            "after AATCC 79, which takes five drops",
            "Tells how thirsty the face is, not how strong. Dry a day before the next test.",
        ),
        GroundTest::Rub => (
            "A dark dry cloth, ten strokes of 104 mm or the board's length, a kilo on 16 mm: what smear?",
            "0 nothing, 1, 2, to 3 a white smear",
            "after ISO 105-X12 (9 N, 104 mm); the grades are common practice, no source",
            "Dust left by scraping smears as weak gesso does: brush it off first.",
        ),
        GroundTest::DampRub => (
            "The same with a cloth damped and wrung out: what smear?",
            "0 nothing, 1, 2, to 3 a white smear",
            "after ISO 105-X12; the grades are common practice, no source",
            "Glue swells in water, so that every ground gives something. A place of its own.",
        ),
        GroundTest::Powder => (
            "Clear tape pressed on and pulled off, laid on dark card: how much powder?",
            "0 none, to 5 a dense film",
            "ISO 4628-6, ASTM D4214: titles read, the scale from memory",
            "One roll of tape, the same thumb. Brush the dust of scraping off first.",
        ),
        GroundTest::Nail => (
            "The thumbnail, drawn lightly over a corner?",
            "0 no mark, 1 a faint line, 2 a groove, 3 a powdery groove",
            "common practice, no source",
            "Coarse: it tells too hard (0) and too soft (3), and little between. 1 is wanted.",
        ),
        GroundTest::Pencil => (
            "Pencils at 45 degrees, lead ground flat, pushed from hard to soft: the hardest that does not cut?",
            "6B to 9H",
            "ASTM D3363, ISO 15184",
            "One box of one make. Two readings more than a grade apart: try again. Tells large differences only; on a soft \
             board its give is measured too.",
        ),
        GroundTest::Tape => (
            "A cross cut to the board at 45 degrees to the grain, tape pulled off it: what came away?",
            "5 nothing, 4 at the cuts, to 0 more than the cross",
            "ASTM D3359 A, above 125 um; the lattice of ISO 2409 is not for grounds, thicker than 250 um",
            "Tells whether it holds or not, in steps; a fresh blade for each board.",
        ),
        GroundTest::Bend => (
            "A strip on supports 200 mm apart, ground below, pressed in the middle: how deep at the first crack?",
            "mm; on 3 mm board some 4 to 8",
            "strain 6 D d / L2, after ISO 178 and ASTM D790",
            "Glasses on, it can snap. Press slowly, light from one side. No crack to be had: leave it out and say so in a note.",
        ),
    };
    TestGuide { test, asks, scale, source, limits }
}

/// What is to be known of cycles of damp and dry air.
pub const CYCLES_GUIDE: &str = "A closed box over wet salt at 20 C: sodium chloride holds 75 %, magnesium chloride 33 % \
     (handbook constants); no other salts. Keep the brine off metal; look for mould every second day at 75 %.";

/// What that test came to, in a sentence without capital and full stop; nothing where it was not made.
pub fn format_readings(seen: &Inspection, test: GroundTest) -> Option<String> {
    let readings = seen.readings(test);
    let [first, ..] = readings.as_slice() else { return None };
    let figures: Vec<String> = match test {
        GroundTest::Pencil => seen.pencil.iter().map(|p| p.name().to_owned()).collect(),
        GroundTest::Scrape
        | GroundTest::Drop
        | GroundTest::Rub
        | GroundTest::DampRub
        | GroundTest::Powder
        | GroundTest::Nail
        | GroundTest::Tape
        | GroundTest::Bend => readings.iter().map(|r| format_number(*r, 1)).collect(),
    };
    let listed = join_places(&figures);
    Some(match test {
        GroundTest::Scrape => format!("scraped for {} min", format_number(*first, 1)),
        GroundTest::Drop => format!("drops dull after {listed} s"),
        GroundTest::Rub => format!("rub {listed} of 3"),
        GroundTest::DampRub => format!("damp rub {listed} of 3"),
        GroundTest::Powder => format!("powder on tape {listed} of 5"),
        GroundTest::Nail => format!("nail {listed} of 3"),
        GroundTest::Pencil => format!("pencil {listed}"),
        GroundTest::Tape => format!("tape off a cross {listed} of 5"),
        GroundTest::Bend => format!("first crack bent by {} mm", format_number(*first, 2)),
    })
}

/// "40, 45 and 38".
fn join_places(figures: &[String]) -> String {
    match figures.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, before)) => format!("{} and {last}", before.join(", ")),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_test_is_told_with_its_scale_its_source_and_its_limits() {
        for test in GroundTest::ALL {
            let guide = test_guide(test);
            assert!(guide.asks.ends_with('?'), "{}", guide.asks);
            assert!(guide.limits.ends_with('.'), "{}", guide.limits);
            assert!(!guide.scale.is_empty() && !guide.source.is_empty(), "{test:?}");
        }
    }

    #[test]
    fn readings_are_told_with_their_scale() {
        for (test, text, says) in [
            (GroundTest::Pencil, "HB", "pencil HB"),
            (GroundTest::Pencil, "HB,F,2H", "pencil HB, F and 2H"),
            (GroundTest::Drop, "40,45,38.5", "drops dull after 40, 45 and 38.5 s"),
            (GroundTest::Tape, "4,5", "tape off a cross 4 and 5 of 5"),
            (GroundTest::Bend, "5.25", "first crack bent by 5.25 mm"),
        ] {
            let mut seen = Inspection::default();
            assert_eq!(format_readings(&seen, test), None);
            seen.set_readings(test, text).unwrap();
            assert_eq!(format_readings(&seen, test).as_deref(), Some(says));
        }
    }
}
