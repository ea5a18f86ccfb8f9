//! The fault that is asked about: which panels have it, and how early or how much.

use super::super::outcome::days_of_onset;
use super::super::panel_row::PanelRow;
use crate::stats::interval_censored::{Interval, log_rank_scores};
use crate::stats::permutation::ranks;
use crate::units::written_words;
use strum::{VariantArray, VariantNames};

/// What a comparison is asked about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum AskedFault {
    /// Which cracked, and how early.
    Cracks,
    /// How far the board bent.
    Bow,
    /// How many pinholes.
    Pinholes,
    /// How far the ground stands off.
    Lifting,
    /// How much it rubs off.
    Powder,
    /// Whether it moulded.
    Mould,
}
written_words!(AskedFault);

/// The words of a question.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FaultWords {
    /// Those that have it: "Cracked panels".
    pub subject: &'static str,
    /// What they did: "cracked".
    pub verb: &'static str,
    /// What they are: "cracked".
    pub with: &'static str,
    /// What the others are: "sound".
    pub without: &'static str,
    /// What goes with causes: "the cracks".
    pub noun: &'static str,
}

impl AskedFault {
    /// The question after this one; after the last the first.
    pub fn next(self) -> AskedFault {
        let all = AskedFault::ALL;
        let at = all.iter().position(|f| *f == self).map_or(0, |i| (i + 1) % all.len());
        all.get(at).copied().unwrap_or(self)
    }

    /// Its words.
    pub const fn words(self) -> FaultWords {
        let (subject, verb, with, without, noun) = match self {
            AskedFault::Cracks => ("Cracked panels", "cracked", "cracked", "sound", "the cracks"),
            AskedFault::Bow => ("Panels that bent more", "bent more", "bent more", "bent less", "the bow"),
            AskedFault::Pinholes => {
                ("Panels with more pinholes", "had more pinholes", "more pinholes", "fewer pinholes", "the pinholes")
            }
            AskedFault::Lifting => ("Panels that lift", "lift", "lifting", "not lifting", "the lifting"),
            AskedFault::Powder => ("Panels that powder more", "powder more", "powdery", "less powdery", "the powder"),
            AskedFault::Mould => ("Mouldy panels", "moulded", "mouldy", "not mouldy", "the mould"),
        };
        FaultWords { subject, verb, with, without, noun }
    }

    /// How much of it a panel has, as last looked for; nothing where nobody looked. Cracks are told by their age.
    fn measure(self, row: &PanelRow) -> Option<f64> {
        let seen = &row.story.outcome;
        match self {
            AskedFault::Cracks => {
                (!seen.verdicts.is_empty()).then(|| f64::from(u8::from(seen.verdicts.iter().any(|v| v.cracked))))
            }
            AskedFault::Bow => seen.bow_pct.map(f64::abs),
            AskedFault::Pinholes => seen.pinholes.map(f64::from),
            AskedFault::Lifting => seen.lift_mm.or((seen.sound == Some(true)).then_some(0.0)),
            AskedFault::Powder => seen.rub.map(f64::from),
            AskedFault::Mould => seen.mould_days.map(|(_, until)| f64::from(u8::from(until.is_finite()))),
        }
    }
}

impl AskedFault {
    /// Between which looks it came about, of what is there or not; graded and measured faults have no such time.
    fn onset(self, row: &PanelRow) -> Option<Interval> {
        let seen = &row.story.outcome;
        match self {
            AskedFault::Cracks => days_of_onset(seen.verdicts.iter().map(|v| (v.age_days, v.cracked))),
            AskedFault::Mould => seen.mould_days,
            AskedFault::Bow | AskedFault::Pinholes | AskedFault::Lifting | AskedFault::Powder => None,
        }
    }
}

/// A panel that was looked at for the fault.
#[derive(Debug, Clone, Copy)]
pub(super) struct LookedAtPanel<'a> {
    /// It.
    pub(super) row: &'a PanelRow,
    /// How early or how much it has the fault, against the others; the sum of all is 0.
    pub(super) score: f64,
    /// It has the fault; of what is measured, more of it than the middle one.
    pub(super) has_fault: bool,
}

/// The panels that were looked at for that fault. Nothing that was looked at is dropped, whatever its age.
pub(super) fn score_panels<'a>(asked: AskedFault, panels: &[&'a PanelRow]) -> Vec<LookedAtPanel<'a>> {
    let measured: Vec<(&PanelRow, f64)> = panels.iter().filter_map(|row| Some((*row, asked.measure(row)?))).collect();
    let values: Vec<f64> = measured.iter().map(|(_, v)| *v).collect();
    let scores = match asked {
        // What is there or not came between two looks.
        AskedFault::Cracks | AskedFault::Mould => {
            log_rank_scores(&measured.iter().filter_map(|(row, _)| asked.onset(row)).collect::<Vec<_>>())
        }
        AskedFault::Bow | AskedFault::Pinholes | AskedFault::Lifting | AskedFault::Powder => {
            let middle = (values.len() as f64 + 1.0) / 2.0;
            ranks(&values).into_iter().map(|r| r - middle).collect()
        }
    };
    let bound = fault_bound(asked, &values);
    let looked = measured.iter().zip(scores);
    looked.map(|((row, value), score)| LookedAtPanel { row, score, has_fault: *value > bound }).collect()
}

/// Above this a panel has the fault.
fn fault_bound(asked: AskedFault, values: &[f64]) -> f64 {
    match asked {
        AskedFault::Cracks | AskedFault::Lifting | AskedFault::Mould => 0.0,
        AskedFault::Bow | AskedFault::Pinholes | AskedFault::Powder => {
            let mut rising = values.to_vec();
            rising.sort_by(f64::total_cmp);
            rising.get(rising.len().saturating_sub(1) / 2).copied().unwrap_or(0.0)
        }
    }
}
