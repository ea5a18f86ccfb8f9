//! What is asked, in order, and what earlier looks said to it.

use crate::app::keymap::Keymap;
use crate::app::message::{InputMode, Message};
use crate::text::{UnitSystem, format_fine_length, format_number};
use crate::work::advice::ground_tests::{CYCLES_GUIDE, test_guide};
use crate::work::advice::inspections::FaultMeasure;
use crate::work::panel::ground_test::{GroundTest, TestScale};
use crate::work::panel::inspection::{Bow, CrackDirection, CrackPlace, Inspection};

/// One question of the sitting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs, reason = "the names say it")]
pub enum InspectionQuestion {
    Cracks,
    Pinholes,
    Lift,
    Bow,
    /// A small test of the ground.
    Test(GroundTest),
    Cycles,
    Mould,
    Sound,
    Photo,
    Note,
}

impl InspectionQuestion {
    /// Every one, in the order in which they are asked: the tests from the harmless ones on.
    pub const ALL: [InspectionQuestion; 18] = [
        InspectionQuestion::Cracks,
        InspectionQuestion::Pinholes,
        InspectionQuestion::Lift,
        InspectionQuestion::Bow,
        InspectionQuestion::Test(GroundTest::Scrape),
        InspectionQuestion::Test(GroundTest::Drop),
        InspectionQuestion::Test(GroundTest::Rub),
        InspectionQuestion::Test(GroundTest::DampRub),
        InspectionQuestion::Test(GroundTest::Powder),
        InspectionQuestion::Test(GroundTest::Nail),
        InspectionQuestion::Test(GroundTest::Pencil),
        InspectionQuestion::Test(GroundTest::Tape),
        InspectionQuestion::Test(GroundTest::Bend),
        InspectionQuestion::Cycles,
        InspectionQuestion::Mould,
        InspectionQuestion::Sound,
        InspectionQuestion::Photo,
        InspectionQuestion::Note,
    ];

    /// Its place among them.
    pub(super) fn place(self) -> usize {
        InspectionQuestion::ALL.iter().position(|q| *q == self).unwrap_or(0)
    }

    /// A word for it.
    pub const fn name(self) -> &'static str {
        match self {
            InspectionQuestion::Cracks => "cracks",
            InspectionQuestion::Pinholes => "pinholes",
            InspectionQuestion::Lift => "lifting",
            InspectionQuestion::Bow => "bow",
            InspectionQuestion::Test(GroundTest::Scrape) => "scraping",
            InspectionQuestion::Test(GroundTest::Drop) => "drops",
            InspectionQuestion::Test(GroundTest::Rub) => "rub",
            InspectionQuestion::Test(GroundTest::DampRub) => "damp rub",
            InspectionQuestion::Test(GroundTest::Powder) => "powder",
            InspectionQuestion::Test(GroundTest::Nail) => "nail",
            InspectionQuestion::Test(GroundTest::Pencil) => "pencil",
            InspectionQuestion::Test(GroundTest::Tape) => "cross",
            InspectionQuestion::Test(GroundTest::Bend) => "bending",
            InspectionQuestion::Cycles => "cycles",
            InspectionQuestion::Mould => "mould",
            InspectionQuestion::Sound => "sound",
            InspectionQuestion::Photo => "photo",
            InspectionQuestion::Note => "note",
        }
    }

    /// Whether it is asked of every board; else of those alone that nothing is painted on.
    pub(super) const fn is_of_every_board(self) -> bool {
        !matches!(self, InspectionQuestion::Test(_) | InspectionQuestion::Cycles)
    }

    /// What is to be looked for.
    pub(super) const fn prompt(self) -> &'static str {
        match self {
            InspectionQuestion::Cracks => "Cracks? Light from one side, along every edge, over joints, then the field.",
            InspectionQuestion::Pinholes => "Pinholes on the front, how many?",
            InspectionQuestion::Lift => "Lifting: how far does the ground stand off at its worst place, mm?",
            InspectionQuestion::Bow => {
                "Bow: the rise in the middle of a straight edge laid on the face, over its length, mm?"
            }
            InspectionQuestion::Test(test) => test_guide(test).asks,
            InspectionQuestion::Cycles => "Cycles of damp and dry air so far, how many?",
            InspectionQuestion::Mould => "Mould, on the back too?",
            InspectionQuestion::Sound => "Sound?",
            InspectionQuestion::Photo => "A photograph: where does it lie?",
            InspectionQuestion::Note => "A note?",
        }
    }

    /// What can be typed.
    pub(super) fn help(self, keymap: &Keymap) -> String {
        let key = |message| keymap.label(&message, self.input_mode());
        let help = match self {
            InspectionQuestion::Cracks => {
                let [edge, field, joint] = [CrackPlace::Edge, CrackPlace::Field, CrackPlace::Joint]
                    .map(|place| key(Message::AnswerCrackPlace(place)));
                let [along, across] = [CrackDirection::Along, CrackDirection::Across]
                    .map(|direction| key(Message::AnswerCrackDirection(direction)));
                return format!(
                    "0 none anywhere. A crack: 1 hardly seen to 4 lifting at its sides; {edge} edge, {field} field, \
                     {joint} joint; {along} along the grain, {across} across. Then the next one."
                );
            }
            InspectionQuestion::Pinholes => "a number; 0 for none",
            InspectionQuestion::Lift => "mm; 0 for none",
            InspectionQuestion::Bow => {
                let last = key(Message::AnswerLastSpan);
                return format!(
                    "rise / span, as in 1.5/400; {last} takes the span of last time; 0 rise for flat, - for hollow"
                );
            }
            InspectionQuestion::Test(test) => return format_test_help(test),
            InspectionQuestion::Cycles => return format!("a number. {CYCLES_GUIDE}"),
            InspectionQuestion::Mould => "0 none, 1 seen",
            InspectionQuestion::Sound => {
                let sound = key(Message::AnswerSound);
                return format!("{sound} says: cracks, lifting and mould were looked for, and there is none");
            }
            InspectionQuestion::Photo => "the name of the file; the picture itself is not kept",
            InspectionQuestion::Note => "words of your own",
        };
        help.to_owned()
    }

    /// Where the keys go while it is asked of a board.
    pub(super) const fn input_mode(self) -> InputMode {
        match self {
            InspectionQuestion::Cracks => InputMode::SittingCracks,
            InspectionQuestion::Bow => InputMode::SittingBow,
            InspectionQuestion::Sound => InputMode::SittingVerdict,
            InspectionQuestion::Pinholes
            | InspectionQuestion::Lift
            | InspectionQuestion::Test(_)
            | InspectionQuestion::Cycles
            | InspectionQuestion::Mould
            // Without a board there is nothing to type words for.
            | InspectionQuestion::Photo
            | InspectionQuestion::Note => InputMode::Sitting,
        }
    }

    /// Whether it is answered in words.
    pub const fn is_text(self) -> bool {
        match self {
            InspectionQuestion::Photo | InspectionQuestion::Note => true,
            InspectionQuestion::Cracks
            | InspectionQuestion::Pinholes
            | InspectionQuestion::Lift
            | InspectionQuestion::Bow
            | InspectionQuestion::Test(_)
            | InspectionQuestion::Cycles
            | InspectionQuestion::Mould
            | InspectionQuestion::Sound => false,
        }
    }

    /// What of it grows, where it is measured.
    pub(super) const fn measured(self) -> Option<FaultMeasure> {
        match self {
            InspectionQuestion::Cracks => Some(FaultMeasure::Cracks),
            InspectionQuestion::Pinholes => Some(FaultMeasure::Pinholes),
            InspectionQuestion::Lift => Some(FaultMeasure::Lift),
            InspectionQuestion::Bow => Some(FaultMeasure::Bow),
            InspectionQuestion::Test(_)
            | InspectionQuestion::Cycles
            | InspectionQuestion::Mould
            | InspectionQuestion::Sound
            | InspectionQuestion::Photo
            | InspectionQuestion::Note => None,
        }
    }

    /// What a look said to it; nothing where it was not looked at.
    pub(super) fn format_answer(self, seen: &Inspection, units: UnitSystem) -> Option<String> {
        let sound = |word: &str| seen.sound.then(|| word.to_owned());
        match self {
            InspectionQuestion::Cracks if seen.is_cracked() => Some(format_cracks(seen)),
            InspectionQuestion::Cracks => seen.has_crack_finding().then(|| "none".to_owned()),
            InspectionQuestion::Pinholes => seen.pinholes.map(|n| n.to_string()),
            InspectionQuestion::Lift => seen.lift.map(|l| format_fine_length(l, 2, units)).or_else(|| sound("none")),
            InspectionQuestion::Bow => seen.bow.as_ref().map(|bow| format_bow(bow, units)),
            InspectionQuestion::Test(test) => format_answer_of_test(seen, test),
            InspectionQuestion::Cycles => seen.cycles.map(|n| n.to_string()),
            InspectionQuestion::Mould if seen.mould => Some("seen".to_owned()),
            InspectionQuestion::Mould => (seen.no_mould || seen.sound).then(|| "none".to_owned()),
            InspectionQuestion::Sound => {
                seen.verdict().map(|sound| if sound { "sound" } else { "not sound" }.to_owned())
            }
            InspectionQuestion::Photo => seen.photo.clone(),
            InspectionQuestion::Note => seen.note.clone(),
        }
    }
}

/// What can be typed, what it means and what it cannot say.
fn format_test_help(test: GroundTest) -> String {
    let guide = test_guide(test);
    let places = if test.places().1 > 1 { "; places parted by /" } else { "" };
    format!("{}{places}. {} ({})", guide.scale, guide.limits, guide.source)
}

/// "40/45/38 s".
fn format_answer_of_test(seen: &Inspection, test: GroundTest) -> Option<String> {
    let places: Vec<String> = match test.scale() {
        TestScale::Pencil => seen.pencil.iter().map(|p| p.name().to_owned()).collect(),
        TestScale::Grade { .. } | TestScale::Seconds | TestScale::Minutes | TestScale::Millimetres => {
            seen.readings(test).iter().map(|r| format_number(*r, 2)).collect()
        }
    };
    (!places.is_empty()).then(|| format!("{}{}", places.join("/"), test_unit(test)))
}

/// The unit behind a figure of that test.
pub(super) const fn test_unit(test: GroundTest) -> &'static str {
    match test.scale() {
        TestScale::Grade { .. } | TestScale::Pencil => "",
        TestScale::Seconds => " s",
        TestScale::Minutes => " min",
        TestScale::Millimetres => " mm",
    }
}

/// "2/400 mm, 0.5 %".
fn format_bow(b: &Bow, units: UnitSystem) -> String {
    let pct = format_number(b.pct_of_span(), 2);
    match units {
        UnitSystem::Metric => {
            format!("{}/{} mm, {pct} %", format_number(b.sag.mm(), 2), format_number(b.span.mm(), 1))
        }
        UnitSystem::Imperial => {
            format!("{}/{}, {pct} %", format_fine_length(b.sag, 2, units), format_fine_length(b.span, 1, units))
        }
    }
}

/// The same with its radius, in the millimetres in which it is typed: "2/400 mm, 0.5 %, radius 10 m".
pub(super) fn format_bow_and_radius(b: &Bow) -> String {
    let radius =
        b.radius().map_or_else(|| "flat".to_owned(), |r| format!("radius {} m", format_number(r.mm() / 1000.0, 2)));
    format!("{}, {radius}", format_bow(b, UnitSystem::Metric))
}

/// "edge 2 along, field 1 across".
fn format_cracks(seen: &Inspection) -> String {
    let there = seen.cracks.iter().filter(|c| c.grade > 0);
    there.map(|c| format!("{} {} {}", c.place.name(), c.grade, c.direction.name())).collect::<Vec<_>>().join(", ")
}
