//! What was answered for one board, as typed, and the look it comes to.

use super::inspection_question::{InspectionQuestion, format_bow_and_radius, test_unit};
use super::typed_readings::{TypedReadings, push_figure};
use crate::app::form::edit_text;
use crate::app::message::Message;
use crate::text::format_number;
use crate::units::Length;
use crate::work::advice::inspections::cracks_all_absent;
use crate::work::panel::inspection::{Bow, CRACK_GRADE_MAX, Crack, CrackDirection, CrackPlace, Inspection};
use tui_input::Input;

/// The crack being told: nothing of it is taken for granted.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct PartialCrack {
    at: Option<CrackPlace>,
    grade: Option<u8>,
    run: Option<CrackDirection>,
}

impl PartialCrack {
    fn to_crack(self) -> Option<Crack> {
        Some(Crack { place: self.at?, grade: self.grade?, direction: self.run? })
    }
    /// "edge, grade 2, along or across?"
    fn describe(self) -> String {
        let at = self.at.map_or("edge, field or joint?", CrackPlace::name);
        let grade = self.grade.map_or_else(|| "grade?".to_owned(), |g| g.to_string());
        format!("{at} {grade} {}", self.run.map_or("along or across?", CrackDirection::name))
    }
}

/// The answers for one board. What is empty was not looked at.
#[derive(Debug, Clone, Default)]
pub(super) struct BoardAnswers {
    cracks: Vec<Crack>,
    no_crack: bool,
    partial_crack: PartialCrack,
    pinholes: String,
    lift: String,
    bow: String,
    tests: TypedReadings,
    cycles: String,
    mould: Option<bool>,
    sound: bool,
    photo: Input,
    note: Input,
}

impl PartialEq for BoardAnswers {
    fn eq(&self, other: &Self) -> bool {
        InspectionQuestion::ALL.iter().all(|q| self.answer_text(*q) == other.answer_text(*q))
    }
}

impl BoardAnswers {
    /// Takes in a key for that question; `span_mm` is the span a straight edge had last time. Tells whether it meant
    /// anything.
    pub(super) fn edit(&mut self, question: InspectionQuestion, message: &Message, span_mm: f64) -> bool {
        match (question, message) {
            (InspectionQuestion::Photo, message) => edit_text(&mut self.photo, message),
            (InspectionQuestion::Note, message) => edit_text(&mut self.note, message),
            (_, Message::DeleteForward) => self.clear(question),
            (_, Message::DeleteBackward) => self.erase(question),
            (_, Message::TypeChar(c)) => self.type_char(question, *c),
            (InspectionQuestion::Cracks, Message::AnswerCrackPlace(place)) => {
                self.partial_crack.at = Some(*place);
                self.finish_crack_part()
            }
            (InspectionQuestion::Cracks, Message::AnswerCrackDirection(direction)) => {
                self.partial_crack.run = Some(*direction);
                self.finish_crack_part()
            }
            (InspectionQuestion::Bow, Message::AnswerLastSpan) => self.append_span(span_mm),
            (InspectionQuestion::Sound, Message::AnswerSound) => {
                self.sound = true;
                true
            }
            (_, _) => false,
        }
    }

    fn type_char(&mut self, question: InspectionQuestion, c: char) -> bool {
        let digit = c.to_digit(10).and_then(|d| u8::try_from(d).ok());
        match question {
            InspectionQuestion::Cracks => self.set_crack_grade(digit),
            InspectionQuestion::Pinholes => push_figure(&mut self.pinholes, c, ""),
            InspectionQuestion::Lift => push_figure(&mut self.lift, c, "."),
            InspectionQuestion::Bow => push_figure(&mut self.bow, c, "./-"),
            InspectionQuestion::Test(test) => self.tests.type_char(test, c),
            InspectionQuestion::Cycles => push_figure(&mut self.cycles, c, ""),
            InspectionQuestion::Mould => {
                self.mould = digit.filter(|d| *d < 2).map(|d| d == 1).or(self.mould);
                digit.is_some()
            }
            InspectionQuestion::Sound | InspectionQuestion::Photo | InspectionQuestion::Note => false,
        }
    }

    fn set_crack_grade(&mut self, digit: Option<u8>) -> bool {
        match digit.filter(|grade| *grade <= CRACK_GRADE_MAX) {
            Some(0) if self.cracks.is_empty() && self.partial_crack == PartialCrack::default() => self.no_crack = true,
            Some(grade) => self.partial_crack.grade = Some(grade),
            None => return false,
        }
        self.finish_crack_part()
    }

    /// A grade, a place and a direction come in any order; with all three the crack is told and the next may follow.
    fn finish_crack_part(&mut self) -> bool {
        if self.no_crack && self.partial_crack != PartialCrack::default() {
            // The nought before it was its grade.
            self.partial_crack.grade = self.partial_crack.grade.or(Some(0));
            self.no_crack = false;
        }
        if let Some(crack) = self.partial_crack.to_crack() {
            self.partial_crack = PartialCrack::default();
            self.cracks.retain(|known| (known.place, known.direction) != (crack.place, crack.direction));
            self.cracks.push(crack);
        }
        true
    }

    fn append_span(&mut self, span_mm: f64) -> bool {
        let open = !self.bow.is_empty() && !self.bow.contains('/');
        if open {
            self.bow = format!("{}/{}", self.bow, format_number(span_mm, 1));
        }
        open
    }

    /// Takes the last part of an answer away.
    fn erase(&mut self, question: InspectionQuestion) -> bool {
        match question {
            InspectionQuestion::Cracks if self.partial_crack != PartialCrack::default() => {
                self.partial_crack = PartialCrack::default()
            }
            InspectionQuestion::Cracks if self.no_crack => self.no_crack = false,
            InspectionQuestion::Cracks => _ = self.cracks.pop(),
            InspectionQuestion::Pinholes => _ = self.pinholes.pop(),
            InspectionQuestion::Lift => _ = self.lift.pop(),
            InspectionQuestion::Bow => _ = self.bow.pop(),
            InspectionQuestion::Test(test) => self.tests.erase(test),
            InspectionQuestion::Cycles => _ = self.cycles.pop(),
            InspectionQuestion::Mould | InspectionQuestion::Sound => return self.clear(question),
            InspectionQuestion::Photo | InspectionQuestion::Note => return false,
        }
        true
    }

    /// Not looked at, as it was before.
    fn clear(&mut self, question: InspectionQuestion) -> bool {
        match question {
            InspectionQuestion::Cracks => {
                self.partial_crack = PartialCrack::default();
                self.no_crack = false;
                self.cracks.clear();
            }
            InspectionQuestion::Pinholes => self.pinholes.clear(),
            InspectionQuestion::Lift => self.lift.clear(),
            InspectionQuestion::Bow => self.bow.clear(),
            InspectionQuestion::Test(test) => self.tests.clear(test),
            InspectionQuestion::Cycles => self.cycles.clear(),
            InspectionQuestion::Mould => self.mould = None,
            InspectionQuestion::Sound => self.sound = false,
            InspectionQuestion::Photo => self.photo = Input::default(),
            InspectionQuestion::Note => self.note = Input::default(),
        }
        true
    }

    /// What stands there for that question, as it is to be read; empty where it was not looked at.
    pub(super) fn answer_text(&self, question: InspectionQuestion) -> String {
        let unit = |figures: &str, unit: &str| {
            if figures.is_empty() { String::new() } else { format!("{figures}{unit}") }
        };
        match question {
            InspectionQuestion::Cracks => self.cracks_text(),
            InspectionQuestion::Pinholes => self.pinholes.clone(),
            InspectionQuestion::Lift => unit(&self.lift, " mm"),
            InspectionQuestion::Bow => self.bow_text(),
            InspectionQuestion::Test(test) => unit(self.tests.text(test), test_unit(test)),
            InspectionQuestion::Cycles => self.cycles.clone(),
            InspectionQuestion::Mould => match self.mould {
                Some(true) => "seen".to_owned(),
                Some(false) => "none".to_owned(),
                None => String::new(),
            },
            InspectionQuestion::Sound => if self.sound { "sound" } else { "" }.to_owned(),
            InspectionQuestion::Photo => self.photo.value().to_owned(),
            InspectionQuestion::Note => self.note.value().to_owned(),
        }
    }

    fn cracks_text(&self) -> String {
        if self.no_crack {
            return "none".to_owned();
        }
        let told = self.cracks.iter().map(|c| format!("{} {} {}", c.place.name(), c.grade, c.direction.name()));
        let part = (self.partial_crack != PartialCrack::default()).then(|| self.partial_crack.describe());
        told.chain(part).collect::<Vec<_>>().join(", ")
    }

    /// As typed, until both figures are there: then with what they come to.
    fn bow_text(&self) -> String {
        match self.parse_bow() {
            Ok(Some(bow)) => format_bow_and_radius(&bow),
            Ok(None) | Err(_) => self.bow.clone(),
        }
    }

    /// The value and the cursor of words being typed.
    pub(super) fn text_field(&self, question: InspectionQuestion) -> Option<(String, usize)> {
        let of = |input: &Input| (input.value().to_owned(), input.cursor());
        match question {
            InspectionQuestion::Photo => Some(of(&self.photo)),
            InspectionQuestion::Note => Some(of(&self.note)),
            InspectionQuestion::Cracks
            | InspectionQuestion::Pinholes
            | InspectionQuestion::Lift
            | InspectionQuestion::Bow
            | InspectionQuestion::Test(_)
            | InspectionQuestion::Cycles
            | InspectionQuestion::Mould
            | InspectionQuestion::Sound => None,
        }
    }

    /// Whether anything was answered.
    pub(super) fn has_answers(&self) -> bool {
        InspectionQuestion::ALL.iter().any(|q| !self.answer_text(*q).is_empty())
    }

    fn parse_bow(&self) -> Result<Option<Bow>, String> {
        const FORM: &str = "a bow is a rise over a span, as in 1.5/400";
        if self.bow.is_empty() {
            return Ok(None);
        }
        let (sag, span) = self.bow.split_once('/').ok_or(FORM)?;
        let bow = Bow {
            sag: Length::from_mm(parse_number(sag).ok_or(FORM)?),
            span: Length::from_mm(parse_number(span).ok_or(FORM)?),
        };
        Inspection { bow: Some(bow), ..Inspection::default() }.validate().map_err(|error| error.to_string())?;
        Ok(Some(bow))
    }

    /// The look these answers come to; none where nothing was answered.
    pub(super) fn to_inspection(&self) -> Result<Option<Inspection>, String> {
        if !self.has_answers() {
            return Ok(None);
        }
        if self.partial_crack != PartialCrack::default() {
            return Err(format!("a crack is not told whole: {}", self.partial_crack.describe()));
        }
        let words = |input: &Input| Some(input.value().trim().to_owned()).filter(|w| !w.is_empty());
        let mut seen = Inspection {
            sound: self.sound,
            cracks: if self.no_crack { cracks_all_absent() } else { self.cracks.clone() },
            pinholes: parse_optional_count("pinholes", &self.pinholes)?,
            lift: parse_optional_number("lifting", &self.lift)?.map(Length::from_mm),
            bow: self.parse_bow()?,
            cycles: parse_optional_count("cycles", &self.cycles)?,
            mould: self.mould == Some(true),
            no_mould: self.mould == Some(false),
            photo: words(&self.photo),
            note: words(&self.note),
            ..Inspection::default()
        };
        self.tests.put_into(&mut seen)?;
        // Blanks alone are no words.
        if seen == Inspection::default() {
            return Ok(None);
        }
        seen.cracks.sort_by_key(|c| (c.place, c.direction));
        seen.validate().map_err(|error| error.to_string())?;
        Ok(Some(seen))
    }
}

fn parse_number(text: &str) -> Option<f64> {
    text.parse().ok().filter(|n: &f64| n.is_finite())
}

fn parse_optional_number(what: &str, text: &str) -> Result<Option<f64>, String> {
    if text.is_empty() {
        return Ok(None);
    }
    parse_number(text).map(Some).ok_or_else(|| format!("{what}: {text} is no number"))
}

fn parse_optional_count(what: &str, text: &str) -> Result<Option<u32>, String> {
    if text.is_empty() {
        return Ok(None);
    }
    text.parse().map(Some).map_err(|_| format!("{what}: {text} is too large a number"))
}
