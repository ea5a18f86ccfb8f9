//! Abrasive grades: how coarse the grains of a paper are, and what a bare number may mean.
//!
//! Two scales are printed with the same numbers. They agree to about 220; above it "400" may be P400 (35 um) or the
//! older American 400 (23.6 um, which is P800), half as coarse again.

use std::fmt;

/// Who made the scale.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum GritScale {
    /// FEPA 43, ISO 6344: "P" before the number; median grain.
    FepaP,
    /// ANSI/CAMI B74.18: a bare number; average grain.
    Cami,
}

/// One grade of one scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GritGrade {
    /// Whose.
    pub scale: GritScale,
    /// The number.
    pub number: u32,
    /// Its grain, micrometres.
    pub size_um: f64,
    /// Whether the size was READ in a source as it stands; otherwise it is from memory and agrees with a published chart.
    pub is_sourced: bool,
}

impl fmt::Display for GritGrade {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.scale {
            GritScale::FepaP => write!(f, "P{}", self.number),
            GritScale::Cami => write!(f, "CAMI {}", self.number),
        }
    }
}

const fn fepa_p(number: u32, size_um: f64, read: bool) -> GritGrade {
    GritGrade { scale: GritScale::FepaP, number, size_um, is_sourced: read }
}
const fn cami(number: u32, size_um: f64, read: bool) -> GritGrade {
    GritGrade { scale: GritScale::Cami, number, size_um, is_sourced: read }
}

/// Every grade known, coarse to fine, P first.
///
/// FEPA 43 and ISO 6344 medians, and ANSI B74.18 averages as commonly tabulated; the standards themselves were not opened.
pub const GRADES: [GritGrade; 34] = [
    fepa_p(80, 201.0, true),
    fepa_p(100, 162.0, true),
    fepa_p(120, 125.0, true),
    fepa_p(150, 100.0, false),
    fepa_p(180, 82.0, false),
    fepa_p(220, 68.0, false),
    fepa_p(240, 58.5, false),
    fepa_p(280, 52.2, false),
    fepa_p(320, 46.2, false),
    fepa_p(360, 40.5, false),
    fepa_p(400, 35.0, true),
    fepa_p(500, 30.2, false),
    fepa_p(600, 25.8, true),
    fepa_p(800, 21.8, false),
    fepa_p(1000, 18.3, false),
    fepa_p(1200, 15.3, false),
    fepa_p(1500, 12.6, false),
    fepa_p(2000, 10.3, false),
    fepa_p(2500, 8.4, true),
    cami(80, 192.0, true),
    cami(100, 141.0, true),
    cami(120, 116.0, false),
    cami(150, 93.0, false),
    cami(180, 78.0, false),
    cami(220, 66.0, false),
    cami(240, 53.5, false),
    cami(280, 44.0, false),
    cami(320, 36.0, false),
    cami(360, 28.8, false),
    cami(400, 23.6, true),
    cami(500, 19.7, false),
    cami(600, 16.0, true),
    cami(800, 12.2, false),
    cami(1000, 10.3, true),
];

/// Text that names no grade known here.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnknownGrade {
    /// What was written.
    pub input: String,
}

impl fmt::Display for UnknownGrade {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "\"{}\" is no grade known here; write P80 to P2500, or CAMI 80 to CAMI 1000", self.input)
    }
}

impl std::error::Error for UnknownGrade {}

/// Every grade that `written` may mean: one for "P400" or "CAMI 400", one or two for a bare "400" or "400 grit".
pub fn parse_grades(written: &str) -> Result<Vec<GritGrade>, UnknownGrade> {
    let unknown = || UnknownGrade { input: written.to_owned() };
    let lower = written.trim().trim_start_matches('#').to_ascii_lowercase();
    let (only, rest) = if let Some(rest) = lower.strip_prefix("cami") {
        (Some(GritScale::Cami), rest)
    } else if let Some(rest) = lower.strip_prefix('p') {
        (Some(GritScale::FepaP), rest)
    } else {
        (None, lower.as_str())
    };
    let digits = rest.trim().trim_end_matches("grit").trim_end();
    let number: u32 = digits.parse().map_err(|_| unknown())?;
    let fits = |grade: &GritGrade| grade.number == number && only.is_none_or(|scale| scale == grade.scale);
    let found: Vec<GritGrade> = GRADES.into_iter().filter(fits).collect();
    if found.is_empty() { Err(unknown()) } else { Ok(found) }
}

/// The grade of the other scale whose grain is nearest.
pub fn nearest_grade(grade: GritGrade) -> GritGrade {
    let distance = |other: &GritGrade| (other.size_um - grade.size_um).abs();
    GRADES
        .into_iter()
        .filter(|other| other.scale != grade.scale)
        .min_by(|a, b| distance(a).total_cmp(&distance(b)))
        .expect("both scales have grades")
}

/// What must be said of a bare number that means two things; `None` where the two grains are within a tenth.
pub fn ambiguity_warning(written: &str) -> Result<Option<String>, UnknownGrade> {
    let found = parse_grades(written)?;
    let [one, other] = found[..] else { return Ok(None) };
    if (one.size_um / other.size_um).max(other.size_um / one.size_um) < 1.1 {
        return Ok(None);
    }
    Ok(Some(format!(
        "\"{}\" may mean {one} ({} um) or {other} ({} um, about {}): look for a P on the back of the sheet",
        written.trim(),
        one.size_um,
        other.size_um,
        nearest_grade(other),
    )))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bare_number_may_mean_two_grades() {
        for (written, said) in [
            ("P400", Ok("P400")),
            ("p 400", Ok("P400")),
            ("400", Ok("P400 CAMI 400")),
            (" #400 ", Ok("P400 CAMI 400")),
            ("400 grit", Ok("P400 CAMI 400")),
            ("CAMI 400", Ok("CAMI 400")),
            ("2000", Ok("P2000")),
            ("440", Err(())),
            ("P401", Err(())),
            ("fine", Err(())),
            ("", Err(())),
            ("-400", Err(())),
        ] {
            let got =
                parse_grades(written).map(|all| all.iter().map(GritGrade::to_string).collect::<Vec<_>>().join(" "));
            assert_eq!(got.as_deref().map_err(|_| ()), said, "{written}");
        }
    }

    #[test]
    fn four_hundred_is_told_apart_and_eighty_is_not() {
        assert_eq!(
            ambiguity_warning("400").unwrap().unwrap(),
            "\"400\" may mean P400 (35 um) or CAMI 400 (23.6 um, about P800): look for a P on the back of the sheet"
        );
        assert_eq!(ambiguity_warning("80").unwrap(), None);
        assert_eq!(ambiguity_warning("P400").unwrap(), None);
    }

    #[test]
    fn finer_numbers_are_finer_grains() {
        for pair in GRADES.windows(2) {
            if pair[0].scale == pair[1].scale {
                assert!(pair[0].number < pair[1].number && pair[0].size_um > pair[1].size_um, "{}", pair[1]);
            }
        }
    }
}
