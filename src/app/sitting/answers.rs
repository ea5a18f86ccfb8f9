//! What was answered for one board, as typed, and the look it comes to.

use super::question::{Question, bow_and_radius};
use crate::app::action::Action;
use crate::app::view::edit;
use crate::text::round_to;
use crate::units::Length;
use crate::work::advice::inspections::no_crack;
use crate::work::panel::inspection::{Bow, Crack, CrackAt, CrackRun, GRADE_MAX, Inspection, TEST_MAX};
use tui_input::Input;

/// Longer figures nobody measures, characters.
const FIGURES_MAX: usize = 20;

/// The crack being told: nothing of it is taken for granted.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Part {
    at: Option<CrackAt>,
    grade: Option<u8>,
    run: Option<CrackRun>,
}

impl Part {
    fn whole(self) -> Option<Crack> {
        Some(Crack { at: self.at?, grade: self.grade?, run: self.run? })
    }
    /// "edge, grade 2, along or across?"
    fn told(self) -> String {
        let at = self.at.map_or("edge, field or joint?", CrackAt::name);
        let grade = self.grade.map_or_else(|| "grade?".to_owned(), |g| g.to_string());
        format!("{at} {grade} {}", self.run.map_or("along or across?", CrackRun::name))
    }
}

/// The answers for one board. What is empty was not looked at.
#[derive(Debug, Clone, Default)]
pub(super) struct Answers {
    cracks: Vec<Crack>,
    no_crack: bool,
    part: Part,
    pinholes: String,
    lift: String,
    bow: String,
    nail: Option<u8>,
    rub: Option<u8>,
    drops: String,
    mould: Option<bool>,
    sound: bool,
    photo: Input,
    note: Input,
}

impl PartialEq for Answers {
    fn eq(&self, other: &Self) -> bool {
        Question::ALL.iter().all(|q| self.now(*q) == other.now(*q))
    }
}

impl Answers {
    /// Takes in a key for that question; `span_mm` is the span a straight edge had last time. Tells whether it meant
    /// anything.
    pub(super) fn take(&mut self, question: Question, action: &Action, span_mm: f64) -> bool {
        match (question, action) {
            (Question::Photo, action) => edit(&mut self.photo, action),
            (Question::Note, action) => edit(&mut self.note, action),
            (_, Action::EraseAhead) => self.clear(question),
            (_, Action::Erase) => self.erase(question),
            (_, Action::Type(c)) => self.typed(question, *c, span_mm),
            (_, _) => false,
        }
    }

    fn typed(&mut self, question: Question, c: char, span_mm: f64) -> bool {
        let digit = c.to_digit(10).and_then(|d| u8::try_from(d).ok());
        match question {
            Question::Cracks => self.crack(c),
            Question::Pinholes => figures(&mut self.pinholes, c, ""),
            Question::Lift => figures(&mut self.lift, c, "."),
            Question::Bow if c == 's' => self.span(span_mm),
            Question::Bow => figures(&mut self.bow, c, "./-"),
            Question::Nail => grade(&mut self.nail, digit),
            Question::Rub => grade(&mut self.rub, digit),
            Question::Drops => figures(&mut self.drops, c, "./"),
            Question::Mould => {
                self.mould = digit.filter(|d| *d < 2).map(|d| d == 1).or(self.mould);
                digit.is_some()
            }
            Question::Sound => {
                self.sound |= c == 's';
                c == 's'
            }
            Question::Photo | Question::Note => false,
        }
    }

    /// A grade, a place, a way, in any order; with all three the crack is told and the next may follow.
    fn crack(&mut self, c: char) -> bool {
        let grade = c.to_digit(10).and_then(|d| u8::try_from(d).ok()).filter(|g| *g <= GRADE_MAX);
        match (grade, c) {
            (Some(0), _) if self.cracks.is_empty() && self.part == Part::default() => self.no_crack = true,
            (Some(grade), _) => self.part.grade = Some(grade),
            (None, 'e') => self.part.at = Some(CrackAt::Edge),
            (None, 'f') => self.part.at = Some(CrackAt::Field),
            (None, 'j') => self.part.at = Some(CrackAt::Joint),
            (None, 'a') => self.part.run = Some(CrackRun::Along),
            (None, 'x') => self.part.run = Some(CrackRun::Across),
            (None, _) => return false,
        }
        if self.no_crack && self.part != Part::default() {
            // The nought before it was its grade.
            self.part.grade = self.part.grade.or(Some(0));
            self.no_crack = false;
        }
        if let Some(crack) = self.part.whole() {
            self.part = Part::default();
            self.cracks.retain(|known| (known.at, known.run) != (crack.at, crack.run));
            self.cracks.push(crack);
        }
        true
    }

    fn span(&mut self, span_mm: f64) -> bool {
        let open = !self.bow.is_empty() && !self.bow.contains('/');
        if open {
            self.bow = format!("{}/{}", self.bow, round_to(span_mm, 1));
        }
        open
    }

    /// Takes the last part of an answer away.
    fn erase(&mut self, question: Question) -> bool {
        match question {
            Question::Cracks if self.part != Part::default() => self.part = Part::default(),
            Question::Cracks if self.no_crack => self.no_crack = false,
            Question::Cracks => _ = self.cracks.pop(),
            Question::Pinholes => _ = self.pinholes.pop(),
            Question::Lift => _ = self.lift.pop(),
            Question::Bow => _ = self.bow.pop(),
            Question::Drops => _ = self.drops.pop(),
            Question::Nail | Question::Rub | Question::Mould | Question::Sound => return self.clear(question),
            Question::Photo | Question::Note => return false,
        }
        true
    }

    /// Not looked at, as it was before.
    fn clear(&mut self, question: Question) -> bool {
        match question {
            Question::Cracks => {
                self.part = Part::default();
                self.no_crack = false;
                self.cracks.clear();
            }
            Question::Pinholes => self.pinholes.clear(),
            Question::Lift => self.lift.clear(),
            Question::Bow => self.bow.clear(),
            Question::Nail => self.nail = None,
            Question::Rub => self.rub = None,
            Question::Drops => self.drops.clear(),
            Question::Mould => self.mould = None,
            Question::Sound => self.sound = false,
            Question::Photo => self.photo = Input::default(),
            Question::Note => self.note = Input::default(),
        }
        true
    }

    /// What stands there for that question, as it is to be read; empty where it was not looked at.
    pub(super) fn now(&self, question: Question) -> String {
        let unit = |figures: &str, unit: &str| {
            if figures.is_empty() { String::new() } else { format!("{figures}{unit}") }
        };
        match question {
            Question::Cracks => self.cracks_now(),
            Question::Pinholes => self.pinholes.clone(),
            Question::Lift => unit(&self.lift, " mm"),
            Question::Bow => self.bow_now(),
            Question::Nail => self.nail.map_or_else(String::new, |g| g.to_string()),
            Question::Rub => self.rub.map_or_else(String::new, |g| g.to_string()),
            Question::Drops => unit(&self.drops, " s"),
            Question::Mould => match self.mould {
                Some(true) => "seen".to_owned(),
                Some(false) => "none".to_owned(),
                None => String::new(),
            },
            Question::Sound => if self.sound { "sound" } else { "" }.to_owned(),
            Question::Photo => self.photo.value().to_owned(),
            Question::Note => self.note.value().to_owned(),
        }
    }

    fn cracks_now(&self) -> String {
        if self.no_crack {
            return "none".to_owned();
        }
        let told = self.cracks.iter().map(|c| format!("{} {} {}", c.at.name(), c.grade, c.run.name()));
        let part = (self.part != Part::default()).then(|| self.part.told());
        told.chain(part).collect::<Vec<_>>().join(", ")
    }

    /// As typed, until both figures are there: then with what they come to.
    fn bow_now(&self) -> String {
        match self.bow() {
            Ok(Some(bow)) => bow_and_radius(&bow),
            Ok(None) | Err(_) => self.bow.clone(),
        }
    }

    /// The value and the cursor of words being typed.
    pub(super) fn field(&self, question: Question) -> Option<(String, usize)> {
        let of = |input: &Input| (input.value().to_owned(), input.cursor());
        match question {
            Question::Photo => Some(of(&self.photo)),
            Question::Note => Some(of(&self.note)),
            Question::Cracks
            | Question::Pinholes
            | Question::Lift
            | Question::Bow
            | Question::Nail
            | Question::Rub
            | Question::Drops
            | Question::Mould
            | Question::Sound => None,
        }
    }

    /// Whether anything was answered.
    pub(super) fn any(&self) -> bool {
        Question::ALL.iter().any(|q| !self.now(*q).is_empty())
    }

    fn bow(&self) -> Result<Option<Bow>, String> {
        const FORM: &str = "a bow is a rise over a span, as in 1.5/400";
        if self.bow.is_empty() {
            return Ok(None);
        }
        let (sag, span) = self.bow.split_once('/').ok_or(FORM)?;
        let bow =
            Bow { sag: Length::from_mm(number(sag).ok_or(FORM)?), span: Length::from_mm(number(span).ok_or(FORM)?) };
        Inspection { bow: Some(bow), ..Inspection::default() }.check().map_err(|why| why.to_string())?;
        Ok(Some(bow))
    }

    fn drops(&self) -> Result<Option<[f64; 3]>, String> {
        if self.drops.is_empty() {
            return Ok(None);
        }
        let times: Option<Vec<f64>> = self.drops.split('/').map(number).collect();
        let three = times.and_then(|t| <[f64; 3]>::try_from(t).ok());
        three.map(Some).ok_or_else(|| "drops are three times in seconds, as in 40/45/38".to_owned())
    }

    /// The look these answers come to; none where nothing was answered.
    pub(super) fn seen(&self) -> Result<Option<Inspection>, String> {
        if !self.any() {
            return Ok(None);
        }
        if self.part != Part::default() {
            return Err(format!("a crack is not told whole: {}", self.part.told()));
        }
        let words = |input: &Input| Some(input.value().trim().to_owned()).filter(|w| !w.is_empty());
        let mut seen = Inspection {
            sound: self.sound,
            cracks: if self.no_crack { no_crack() } else { self.cracks.clone() },
            pinholes: whole("pinholes", &self.pinholes)?,
            lift: read("lifting", &self.lift)?.map(Length::from_mm),
            bow: self.bow()?,
            nail: self.nail,
            rub: self.rub,
            drop_s: self.drops()?,
            mould: self.mould == Some(true),
            no_mould: self.mould == Some(false),
            photo: words(&self.photo),
            note: words(&self.note),
        };
        // Blanks alone are no words.
        if seen == Inspection::default() {
            return Ok(None);
        }
        seen.cracks.sort_by_key(|c| (c.at, c.run));
        seen.check().map_err(|why| why.to_string())?;
        Ok(Some(seen))
    }
}

/// Adds a digit or one of those marks.
fn figures(to: &mut String, c: char, marks: &str) -> bool {
    let c = if c == ',' { '.' } else { c };
    let fits = (c.is_ascii_digit() || marks.contains(c)) && to.len() < FIGURES_MAX;
    if fits {
        to.push(c);
    }
    fits
}

fn grade(to: &mut Option<u8>, digit: Option<u8>) -> bool {
    let digit = digit.filter(|d| *d <= TEST_MAX);
    *to = digit.or(*to);
    digit.is_some()
}

fn number(text: &str) -> Option<f64> {
    text.parse().ok().filter(|n: &f64| n.is_finite())
}

fn read(what: &str, text: &str) -> Result<Option<f64>, String> {
    if text.is_empty() {
        return Ok(None);
    }
    number(text).map(Some).ok_or_else(|| format!("{what}: {text} is no number"))
}

fn whole(what: &str, text: &str) -> Result<Option<u32>, String> {
    if text.is_empty() {
        return Ok(None);
    }
    text.parse().map(Some).map_err(|_| format!("{what}: {text} is too large a number"))
}
