//! What is seen on a panel in the months after it was finished, and why.
//!
//! In the studio cracks come with an overheated pot; on shelves with a cause planted (`planted`) with that. Neither is a
//! claim of how real panels fare.

use super::calendar::{DAY_S, day_number, is_open_day, studio_moment};
use super::rng::Rng;
use super::words;
use crate::record::journal::next_seq;
use crate::units::{Entry, Length, Span, Stamp, written_words};
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::Face;
use crate::work::panel::inspection::{Bow, Crack, CrackDirection, CrackPlace, Inspection};
use crate::work::panel::refusal::PanelRefusal;
use crate::work::panel::story::PanelStory;
use strum::{VariantArray, VariantNames};

/// The days after finishing on which the studio looks.
const INSPECTION_DAYS: [i64; 4] = [1, 7, 28, 90];
/// A crack is this bad at most after a quarter of a year.
const WORST_GRADE: u8 = 4;

/// Why panels of an invented shelf crack. The work is the same for every cause; what comes of it differs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum CrackCause {
    /// The gesso of a pot that was forgotten in its bath cracks; one in twenty of the others does, by chance.
    Overheated,
    /// Strong glue, in half of the pots. This and the following are planted on shelves of their own kind.
    Strength,
    /// A lot of glue.
    Lot,
    /// Gesso made too hot.
    Heat,
    /// Dry days.
    #[strum(serialize = "dry-air")]
    DryAir,
    /// Boards of 6 mm among such of 12.
    #[strum(serialize = "thin-board")]
    ThinBoard,
    /// More than an hour between two coats.
    #[strum(serialize = "long-gap")]
    LongGap,
    /// A short cure of the size.
    Cure,
    /// None: so many panels crack by chance, whatever was done to them.
    None,
}
written_words!(CrackCause);

impl CrackCause {
    /// As many panels as a shelf of its kind has, where nobody says.
    pub const fn default_panels(self) -> u16 {
        // A dozen of fates; two panels from each of twelve pots.
        if self.is_planted() { 24 } else { 12 }
    }

    /// Whether it is planted on a shelf of pairs, rather than befalling one pot of a studio.
    pub const fn is_planted(self) -> bool {
        match self {
            CrackCause::Overheated => false,
            CrackCause::Strength
            | CrackCause::Lot
            | CrackCause::Heat
            | CrackCause::DryAir
            | CrackCause::ThinBoard
            | CrackCause::LongGap
            | CrackCause::Cure
            | CrackCause::None => true,
        }
    }
}

/// What a panel comes to.
#[derive(Debug, Clone)]
struct PanelOutcome {
    /// The first crack: where and how it runs, and the day on which it is first there.
    first_crack: Option<(CrackPlace, CrackDirection, i64)>,
    /// A second one that follows it at the next look.
    second: Option<(CrackPlace, CrackDirection)>,
    pinholes: u32,
    /// Lifting, mm, on the last day.
    lift_mm: Option<f64>,
    /// The bow it comes to, mm.
    bow_mm: f64,
    nail: u8,
}

impl PanelOutcome {
    fn draw(story: &PanelStory, spoiled: bool, chance: &mut Rng) -> PanelOutcome {
        let cracks = if spoiled { !chance.draw_one_in(12) } else { chance.draw_one_in(20) };
        let (field, second) = (chance.draw_one_in(2), chance.draw_one_in(2));
        let day = if spoiled { [7, 7, 28] } else { [7, 28, 90] }[chance.draw_int(0, 2) as usize];
        let (few, many) = (chance.draw_int(0, 3), chance.draw_int(5, 14));
        let (lifts, lift) = (chance.draw_one_in(3), chance.draw_int(1, 5));
        let drying = (if field { CrackPlace::Field } else { CrackPlace::Edge }, CrackDirection::Across);
        let first = if spoiled || field { drying } else { (CrackPlace::Edge, CrackDirection::Along) };
        PanelOutcome {
            first_crack: cracks.then_some((first.0, first.1, day)),
            second: (cracks && spoiled && second).then_some((CrackPlace::Field, CrackDirection::Along)),
            pinholes: if spoiled { many } else { few }.unsigned_abs() as u32,
            lift_mm: (cracks && spoiled && lifts).then_some(lift as f64 / 10.0),
            bow_mm: draw_bow_mm(story, chance),
            nail: if spoiled { 0 } else { 1 },
        }
    }
}

/// What a board bends to: the more coats its face has over its back, and the thinner it is, the more (Stoney 1909 for the
/// shape of it; the size is assumed).
fn draw_bow_mm(story: &PanelStory, chance: &mut Rng) -> f64 {
    let panel = story.panel();
    let size = panel.opened().size;
    let thick = size.thickness.map_or(9.0, |t| t.mm());
    let over = panel.count_coats(Face::Front) as f64 - panel.count_coats(Face::Back) as f64;
    let span = size.width.mm().max(size.height.mm());
    let flat = chance.draw_int(-2, 2) as f64 / 10.0;
    0.11 * over * (span / 400.0) * (span / 400.0) * (12.0 / thick) * (12.0 / thick) + flat
}

/// The story with what was seen afterwards. `hot` tells that a coat of it came from a pot forgotten in its bath. A panel
/// that was given up is not looked at.
pub(super) fn add_inspections(story: &PanelStory, hot: bool, seed: u64) -> Result<PanelStory, PanelRefusal> {
    let mut story = story.clone();
    if story.panel().abandon_reason().is_some() {
        return Ok(story);
    }
    let label = story.panel().opened().label.clone();
    let fares = PanelOutcome::draw(&story, hot, &mut Rng::new(seed, &format!("fares {label}")));
    let mut chance = Rng::new(seed, &format!("looks {label}"));
    let finished = story.last_fact_at();
    let mut grade = 0;
    for day in INSPECTION_DAYS {
        let missed = chance.draw_one_in(match day {
            28 => 12,
            7 => 3,
            _ => 5,
        });
        let grows = !chance.draw_one_in(3);
        if fares.first_crack.is_some_and(|(_, _, from)| day >= from) && (grade == 0 || grows) {
            grade = WORST_GRADE.min(grade + 1);
        }
        let seen = build_inspection(&story, &fares, day, grade, &mut chance);
        if !missed {
            story = record_inspection(&story, &seen, inspection_time(finished, day) - chance.draw_seconds(0, 40 * 60))?;
        }
    }
    Ok(story)
}

/// The hour of the finish on that day; where nobody is there, a day sooner, or later if that would be the very day.
fn inspection_time(finished: Stamp, day: i64) -> Stamp {
    let at = finished + Span::from_s(day * DAY_S);
    let shifted = Span::from_s(if day > 1 { -DAY_S } else { DAY_S });
    if is_open_day(day_number(at)) { at } else { at + shifted }
}

pub(super) fn record_inspection(story: &PanelStory, seen: &Inspection, at: Stamp) -> Result<PanelStory, PanelRefusal> {
    let event = story.build_event(&PanelAct::Inspect(Box::new(seen.clone())), studio_moment(at))?;
    let seq = next_seq(story.entries());
    story.with_entry(Entry { seq, at, written: studio_moment(at), raw_wall: None, replaces: None, event })
}

/// One look, on that day, at a panel whose first crack has that grade by then.
fn build_inspection(story: &PanelStory, fares: &PanelOutcome, day: i64, grade: u8, chance: &mut Rng) -> Inspection {
    let crack = |(at, run): (CrackPlace, CrackDirection), grade: u8| {
        (grade > 0).then_some(Crack { place: at, grade, direction: run })
    };
    let first = fares.first_crack.and_then(|(at, run, _)| crack((at, run), grade));
    let second = fares.second.and_then(|where_| crack(where_, grade.saturating_sub(1)));
    let cracks: Vec<Crack> = first.into_iter().chain(second).collect();
    let lift = fares.lift_mm.filter(|_| day == 90).map(Length::from_mm);
    let words = chance.pick(&words::CRACKED).map(|w| (*w).to_owned());
    let noted = chance.draw_one_in(3);
    let measured = day == 1 || chance.draw_one_in(2);
    let span = story.panel().opened().size;
    // Most of a bow is there after a week.
    let share = match day {
        ..7 => 0.4,
        7..28 => 0.8,
        28.. => 1.0,
    };
    let bow = Bow {
        sag: Length::from_mm((fares.bow_mm * share * 10.0).round() / 10.0),
        span: Length::from_mm(span.width.mm().max(span.height.mm())),
    };
    Inspection {
        sound: cracks.is_empty() && lift.is_none(),
        note: words.filter(|_| noted && !cracks.is_empty()),
        cracks,
        pinholes: (day >= 7).then_some(fares.pinholes),
        lift,
        bow: measured.then_some(bow),
        nail: (day == 28).then_some(fares.nail),
        ..Inspection::default()
    }
}
