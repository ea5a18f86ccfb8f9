//! What a test came to, read from what was typed.

use super::ground_test::{GroundTest, PencilGrade};
use super::inspection::{Inspection, InspectionError};
use crate::units::{Length, Span};

impl Inspection {
    /// Puts in what a test came to, its places parted by commas or strokes: `HB,F,F`; millimetres, minutes and seconds are
    /// bare figures.
    ///
    /// # Errors
    /// [`InspectionError::NotOnScale`], where that is not what the test comes to.
    pub fn set_readings(&mut self, test: GroundTest, text: &str) -> Result<(), InspectionError> {
        let parts: Vec<&str> = text.split([',', '/']).map(str::trim).collect();
        match self.with_readings(test, &parts).filter(|seen| test.allows(&seen.readings(test))) {
            Some(seen) => *self = seen,
            None => return Err(InspectionError::NotOnScale { test }),
        }
        Ok(())
    }

    fn with_readings(&self, test: GroundTest, parts: &[&str]) -> Option<Inspection> {
        let mut seen = self.clone();
        match test {
            GroundTest::Pencil => seen.pencil = read_each(parts, PencilGrade::parse)?,
            GroundTest::Powder => seen.powder = read_each(parts, parse_grade)?,
            GroundTest::Tape => seen.tape = read_each(parts, parse_grade)?,
            GroundTest::Rub => seen.rub = Some(read_one(parts, parse_grade)?),
            GroundTest::DampRub => seen.damp_rub = Some(read_one(parts, parse_grade)?),
            GroundTest::Nail => seen.nail = Some(read_one(parts, parse_grade)?),
            GroundTest::Drop => seen.drop_s = Some(read_each(parts, parse_figure)?.try_into().ok()?),
            GroundTest::Bend => seen.bend = Some(Length::from_mm(read_one(parts, parse_figure)?)),
            GroundTest::Scrape => seen.scrape = Some(Span::from_min(read_one(parts, parse_figure)?)),
        }
        Some(seen)
    }
}

fn read_each<T>(parts: &[&str], read: impl Fn(&str) -> Option<T>) -> Option<Vec<T>> {
    parts.iter().map(|part| read(part)).collect()
}

fn read_one<T>(parts: &[&str], read: impl Fn(&str) -> Option<T>) -> Option<T> {
    let [part] = parts else { return None };
    read(part)
}

fn parse_grade(text: &str) -> Option<u8> {
    text.parse().ok().filter(|_| text.len() == 1)
}

fn parse_figure(text: &str) -> Option<f64> {
    text.parse().ok().filter(|figure: &f64| figure.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn readings_are_taken_as_they_are_written_or_refused_whole() {
        for (test, text, comes_to) in [
            (GroundTest::Pencil, "HB,F,h", &[6.0, 7.0, 8.0][..]),
            (GroundTest::Pencil, "2h/3H", &[9.0, 10.0]),
            (GroundTest::Pencil, "HB,", &[]),
            (GroundTest::Pencil, "HB,HB,HB,HB", &[]),
            (GroundTest::Powder, "0,5,2", &[0.0, 5.0, 2.0]),
            (GroundTest::Powder, "6", &[]),
            (GroundTest::Tape, "4", &[4.0]),
            (GroundTest::Tape, "+4", &[]),
            (GroundTest::Drop, "40,45,38.5", &[40.0, 45.0, 38.5]),
            (GroundTest::Drop, "40,45", &[]),
            (GroundTest::Drop, "40,45,inf", &[]),
            (GroundTest::Rub, "3", &[3.0]),
            (GroundTest::Rub, "1,2", &[]),
            (GroundTest::DampRub, "4", &[]),
            (GroundTest::Nail, "0", &[0.0]),
            (GroundTest::Bend, "5.5", &[5.5]),
            (GroundTest::Bend, "0", &[]),
            (GroundTest::Scrape, "12", &[12.0]),
            (GroundTest::Scrape, "-1", &[]),
        ] {
            let mut seen = Inspection::default();
            let set = seen.set_readings(test, text);
            assert_eq!(seen.readings(test), comes_to, "{test:?} {text}");
            assert_eq!(set.is_ok(), !comes_to.is_empty(), "{test:?} {text}");
            assert_eq!(set.is_err(), seen == Inspection::default(), "{test:?} {text}: nothing of it is kept");
        }
    }
}
