//! What is seen when a panel is looked over: cracks and where they run, pinholes, lifting, bow, the small tests of the
//! ground.
//!
//! A thing that was not looked at is unknown, not sound: every part may be absent.

use super::ground_test::{GroundTest, PencilGrade};
use crate::craft::physics::bow::radius_from_sag_mm;
use crate::units::{Length, Span, written_words};
use std::fmt;
use strum::{VariantArray, VariantNames};

/// Where a crack is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum CrackPlace {
    /// Along an edge of the board.
    Edge,
    /// In the middle of the face.
    Field,
    /// Over a joint of the board.
    Joint,
}
written_words!(CrackPlace);

/// How a crack runs. It is cheap to see and tells much: along it follows the wood, across it the drying ground
/// (Michalski 1991).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum CrackDirection {
    /// With the grain.
    Along,
    /// Against the grain.
    Across,
}
written_words!(CrackDirection);

/// The worst grade a crack can have.
pub const CRACK_GRADE_MAX: u8 = 4;

/// One crack, or several alike in one place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Crack {
    /// Where.
    pub place: CrackPlace,
    /// 0 looked for and not there, 1 hardly seen, to 4 lifting at its sides (common practice, no source).
    pub grade: u8,
    /// Which way, by the grain.
    pub direction: CrackDirection,
}

impl Crack {
    /// The form of the command line: `WHERE:GRADE:along|across`.
    pub fn parse(text: &str) -> Option<Crack> {
        let mut parts = text.split(':');
        let (at, grade, run) = (parts.next()?, parts.next()?, parts.next()?);
        let grade: u8 = Some(grade).filter(|g| g.len() == 1)?.parse().ok()?;
        let crack = Crack { place: CrackPlace::from_name(at)?, grade, direction: CrackDirection::from_name(run)? };
        (parts.next().is_none() && grade <= CRACK_GRADE_MAX).then_some(crack)
    }
}

impl fmt::Display for Crack {
    /// Writes the form [`Crack::parse`] reads.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}:{}", self.place.name(), self.grade, self.direction.name())
    }
}

/// How far a board has bent: the rise in the middle of a straight edge of that length laid on the face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bow {
    /// The rise; negative where the face is hollow the other way.
    pub sag: Length,
    /// The length it was measured over.
    pub span: Length,
}

impl Bow {
    /// The radius it is bent to, by [`radius_from_sag_mm`]; nothing for a flat board.
    pub fn radius(&self) -> Option<Length> {
        radius_from_sag_mm(self.span.mm(), self.sag.mm().abs()).ok().map(Length::from_mm)
    }
    /// The rise in per cent of the span.
    pub fn pct_of_span(&self) -> f64 {
        self.sag.mm() / self.span.mm() * 100.0
    }
}

/// The most cracks told of in one look.
pub const CRACKS_MAX: usize = 100;

/// One look at a panel.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Inspection {
    /// It was looked over for cracks, lifting and mould, and none was found.
    pub sound: bool,
    /// The cracks seen, or looked for and not seen (grade 0).
    pub cracks: Vec<Crack>,
    /// Pinholes counted.
    pub pinholes: Option<u32>,
    /// How far the ground stands off the board at the worst place.
    pub lift: Option<Length>,
    /// How far the board has bent.
    pub bow: Option<Bow>,
    /// The nail: 0 no mark, 1 a faint line, 2 a groove, 3 a powdery groove (1 is what is wanted; common practice).
    pub nail: Option<u8>,
    /// The dark cloth, ten rubs: 0 nothing, to 3 a white smear.
    pub rub: Option<u8>,
    /// The same with a damp cloth.
    pub damp_rub: Option<u8>,
    /// Seconds in which a drop of water loses its gloss, at three places.
    pub drop_s: Option<[f64; 3]>,
    /// Powder on tape, at up to three places: 0 none, to 5 a dense film.
    pub powder: Vec<u8>,
    /// A cross cut and tape pulled off, at up to three places: 5 nothing comes off, to 0 more than the cross.
    pub tape: Vec<u8>,
    /// The hardest pencil that does not cut, at up to three places.
    pub pencil: Vec<PencilGrade>,
    /// How deep a strip is pressed in its middle when the ground cracks first.
    pub bend: Option<Length>,
    /// How long it was scraped until the face was even.
    pub scrape: Option<Span>,
    /// How many cycles of damp and dry air it had been through by then.
    pub cycles: Option<u32>,
    /// Mould was seen.
    pub mould: bool,
    /// Mould was looked for, and there is none.
    pub no_mould: bool,
    /// Where a photograph lies, as given.
    pub photo: Option<String>,
    /// The SHA-256 of the photograph that was kept, 64 small hexadecimal digits; none where only its name was.
    pub photo_sha256: Option<String>,
    /// Words of the maker.
    pub note: Option<String>,
}

/// Why an inspection cannot be true.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "the names say it")]
pub enum InspectionError {
    Empty,
    SoundAndFaulty,
    MouldAndNoMould,
    CrackGradeOutOfRange,
    NotOnScale { test: GroundTest },
    BowOutOfRange,
    MeasureOutOfRange { what: &'static str },
    TooManyCracks,
    PhotoSumMalformed,
}

impl fmt::Display for InspectionError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            InspectionError::Empty => {
                f.write_str("an inspection tells something; if nothing is wrong, say that it is sound")
            }
            InspectionError::SoundAndFaulty => {
                f.write_str("a panel with a crack, lifting or mould is not sound; leave one of them out")
            }
            InspectionError::MouldAndNoMould => f.write_str("mould is either seen or not"),
            InspectionError::CrackGradeOutOfRange => write!(f, "cracks have grades from 0 to {CRACK_GRADE_MAX}"),
            InspectionError::NotOnScale { test } => write!(f, "{}: write {}", test.name(), test.form()),
            InspectionError::BowOutOfRange => f.write_str("a bow is a rise over a span, and at most half of it"),
            InspectionError::MeasureOutOfRange { what } => write!(f, "{what} is nought or more, and within reason"),
            InspectionError::TooManyCracks => write!(f, "at most {CRACKS_MAX} cracks are told of in one look"),
            InspectionError::PhotoSumMalformed => {
                f.write_str("the sum of a photograph is 64 hexadecimal digits, and goes with its name")
            }
        }
    }
}

impl Inspection {
    /// Whether a fault was seen: a crack of grade 1 or more, lifting, mould.
    pub fn is_faulty(&self) -> bool {
        self.is_cracked() || self.mould || self.lift.is_some_and(|l| l.mm() > 0.0)
    }
    /// Whether a crack was seen.
    pub fn is_cracked(&self) -> bool {
        self.cracks.iter().any(|c| c.grade > 0)
    }
    /// Whether it tells anything of cracks.
    pub fn has_crack_finding(&self) -> bool {
        self.sound || !self.cracks.is_empty()
    }
    /// Sound or not, where it tells: a fault is not sound; sound only where that was said, or cracks were looked for and
    /// none was there. A bow alone says neither.
    pub fn verdict(&self) -> Option<bool> {
        if self.is_faulty() { Some(false) } else { self.has_crack_finding().then_some(true) }
    }

    /// What a test came to, a figure for each place, in the unit of its scale; none where it was not made.
    pub fn readings(&self, test: GroundTest) -> Vec<f64> {
        let grades = |all: &[u8]| all.iter().copied().map(f64::from).collect();
        match test {
            GroundTest::Scrape => self.scrape.iter().map(|s| s.minutes()).collect(),
            GroundTest::Drop => self.drop_s.iter().flatten().copied().collect(),
            GroundTest::Rub => grades(self.rub.as_slice()),
            GroundTest::DampRub => grades(self.damp_rub.as_slice()),
            GroundTest::Powder => grades(&self.powder),
            GroundTest::Nail => grades(self.nail.as_slice()),
            GroundTest::Pencil => self.pencil.iter().map(|p| f64::from(p.steps())).collect(),
            GroundTest::Tape => grades(&self.tape),
            GroundTest::Bend => self.bend.iter().map(|b| b.mm()).collect(),
        }
    }
    /// The mean of those.
    pub fn mean_reading(&self, test: GroundTest) -> Option<f64> {
        let readings = self.readings(test);
        (!readings.is_empty()).then(|| readings.iter().sum::<f64>() / readings.len() as f64)
    }
    /// Whether it tells of nothing but tests that came after the first format of journals.
    pub fn has_only_later_tests(&self) -> bool {
        let without = Inspection {
            damp_rub: None,
            powder: Vec::new(),
            tape: Vec::new(),
            pencil: Vec::new(),
            bend: None,
            scrape: None,
            cycles: None,
            ..self.clone()
        };
        without == Inspection::default()
    }
    /// The first test of it that a panel to be painted is spared.
    pub fn spoiling_test(&self) -> Option<GroundTest> {
        GroundTest::ALL.into_iter().find(|test| test.spoils_a_panel() && !self.readings(*test).is_empty())
    }

    /// Whether it can be true.
    ///
    /// # Errors
    /// [`InspectionError`].
    pub fn validate(&self) -> Result<(), InspectionError> {
        if *self == Inspection::default() {
            return Err(InspectionError::Empty);
        }
        if self.sound && self.is_faulty() {
            return Err(InspectionError::SoundAndFaulty);
        }
        if self.mould && self.no_mould {
            return Err(InspectionError::MouldAndNoMould);
        }
        // It becomes the name of a file.
        let is_sum = |sum: &String| sum.len() == 64 && sum.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'));
        if self.photo_sha256.as_ref().is_some_and(|sum| !is_sum(sum) || self.photo.is_none()) {
            return Err(InspectionError::PhotoSumMalformed);
        }
        if self.cracks.len() > CRACKS_MAX {
            return Err(InspectionError::TooManyCracks);
        }
        if self.cracks.iter().any(|c| c.grade > CRACK_GRADE_MAX) {
            return Err(InspectionError::CrackGradeOutOfRange);
        }
        if let Some(test) = GroundTest::ALL.into_iter().find(|test| !test.allows(&self.readings(*test))) {
            return Err(InspectionError::NotOnScale { test });
        }
        let measured = |mm: f64, most: f64| mm.is_finite() && (0.0..=most).contains(&mm);
        if self.lift.is_some_and(|l| !measured(l.mm(), 1000.0)) {
            return Err(InspectionError::MeasureOutOfRange { what: "lifting" });
        }
        let bends = |b: &Bow| b.span.mm() > 0.0 && b.span.mm() <= 1e5 && b.sag.mm().abs() <= b.span.mm() / 2.0;
        if self.bow.is_some_and(|b| !bends(&b)) {
            return Err(InspectionError::BowOutOfRange);
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bow(sag: f64, span: f64) -> Bow {
        Bow { sag: Length::from_mm(sag), span: Length::from_mm(span) }
    }

    /// Radii worked out by hand from the exact formula.
    #[test]
    fn a_rise_gives_a_radius() {
        for (span, sag, radius) in [
            (300.0, 1.0, 11250.5),
            (400.0, 2.0, 10001.0),
            (600.0, 3.0, 15001.5),
            (500.0, 10.0, 3130.0),
            (500.0, -10.0, 3130.0),
        ] {
            let is = bow(sag, span).radius().unwrap().mm();
            assert!((is - radius).abs() < 1e-9, "{span}/{sag}: {is}");
        }
        assert_eq!(bow(0.0, 400.0).radius(), None);
        assert!((bow(1.75, 760.0).pct_of_span() - 0.230).abs() < 0.001);
    }

    #[test]
    fn only_what_can_be_true_is_taken() {
        let crack = |text: &str| Crack::parse(text).unwrap();
        let none = Inspection::default();
        let check = |seen: Inspection, says: Result<(), InspectionError>| assert_eq!(seen.validate(), says, "{seen:?}");
        check(none.clone(), Err(InspectionError::Empty));
        check(Inspection { sound: true, ..none.clone() }, Ok(()));
        let cracked = Inspection { cracks: vec![crack("edge:1:along")], ..none.clone() };
        check(Inspection { sound: true, ..cracked.clone() }, Err(InspectionError::SoundAndFaulty));
        check(Inspection { sound: true, mould: true, ..none.clone() }, Err(InspectionError::SoundAndFaulty));
        check(Inspection { sound: true, cracks: vec![crack("edge:0:along")], ..none.clone() }, Ok(()));
        check(Inspection { no_mould: true, ..none.clone() }, Ok(()));
        check(Inspection { mould: true, no_mould: true, ..none.clone() }, Err(InspectionError::MouldAndNoMould));
        check(
            Inspection { nail: Some(4), ..none.clone() },
            Err(InspectionError::NotOnScale { test: GroundTest::Nail }),
        );
        check(Inspection { bow: Some(bow(201.0, 400.0)), ..none.clone() }, Err(InspectionError::BowOutOfRange));
        check(Inspection { bow: Some(bow(f64::NAN, 400.0)), ..none.clone() }, Err(InspectionError::BowOutOfRange));
        check(Inspection { bow: Some(bow(1.0, 0.0)), ..none.clone() }, Err(InspectionError::BowOutOfRange));
        check(
            Inspection { drop_s: Some([1.0, -1.0, 2.0]), ..none.clone() },
            Err(InspectionError::NotOnScale { test: GroundTest::Drop }),
        );
        check(
            Inspection { pencil: vec![PencilGrade::Hb; 4], ..none.clone() },
            Err(InspectionError::NotOnScale { test: GroundTest::Pencil }),
        );
        let photo =
            |sum: &str| Inspection { photo: Some("a.jpg".into()), photo_sha256: Some(sum.into()), ..none.clone() };
        check(photo(&"0f".repeat(32)), Ok(()));
        check(photo("../../x"), Err(InspectionError::PhotoSumMalformed));
        check(photo(&"0F".repeat(32)), Err(InspectionError::PhotoSumMalformed));
        let lone = Inspection { photo: None, ..photo(&"0f".repeat(32)) };
        check(lone, Err(InspectionError::PhotoSumMalformed));
        check(Inspection { cracks: vec![crack("edge:1:along"); 101], ..none }, Err(InspectionError::TooManyCracks));
    }

    #[test]
    fn a_verdict_needs_a_look_for_cracks() {
        let check = |seen: Inspection, verdict: Option<bool>| assert_eq!(seen.verdict(), verdict, "{seen:?}");
        check(Inspection { bow: Some(bow(1.0, 400.0)), ..Inspection::default() }, None);
        check(Inspection { sound: true, ..Inspection::default() }, Some(true));
        check(Inspection { cracks: vec![Crack::parse("field:0:along").unwrap()], ..Inspection::default() }, Some(true));
        check(
            Inspection { cracks: vec![Crack::parse("field:1:along").unwrap()], ..Inspection::default() },
            Some(false),
        );
        check(Inspection { mould: true, ..Inspection::default() }, Some(false));
    }

    #[test]
    fn a_crack_is_read_and_written() {
        for (text, reads) in [
            ("edge:2:along", true),
            ("joint:0:across", true),
            ("field:5:along", false),
            ("field:+1:along", false),
            ("field::along", false),
            ("edge:2", false),
            ("edge:2:along:more", false),
            ("Edge:2:along", false),
            ("", false),
        ] {
            let crack = Crack::parse(text);
            assert_eq!(crack.is_some(), reads, "{text}");
            assert!(crack.is_none_or(|c| c.to_string() == text));
        }
    }
}
