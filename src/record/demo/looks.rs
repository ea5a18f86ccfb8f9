//! What is seen on a panel in the months after it was finished, and why.
//!
//! The same panels, pots and air can be given one of two ends: cracks that come with an overheated pot, or cracks that come
//! by chance alone. Absent on purpose: any claim that real panels fare so.

use super::chance::Chance;
use super::days::{DAY_S, day_of, moment, opened_on};
use super::{Cause, words};
use crate::craft::recipe::Paint;
use crate::units::{Entry, Length, Span, Stamp};
use crate::work::panel::act::Act;
use crate::work::panel::event::Face;
use crate::work::panel::inspection::{Bow, Crack, CrackAt, CrackRun, Inspection};
use crate::work::panel::refusal::Refusal;
use crate::work::panel::story::Story;

/// The days after finishing on which the studio looks.
const DAYS: [i64; 4] = [1, 7, 28, 90];
/// A crack is this bad at most after a quarter of a year.
const WORST: u8 = 4;

/// What a panel comes to.
#[derive(Debug, Clone)]
struct Fares {
    /// The first crack: where and how it runs, and the day on which it is first there.
    crack: Option<(CrackAt, CrackRun, i64)>,
    /// A second one that follows it at the next look.
    second: Option<(CrackAt, CrackRun)>,
    pinholes: u32,
    /// Lifting, mm, on the last day.
    lift_mm: Option<f64>,
    /// The bow it comes to, mm.
    bow_mm: f64,
    nail: u8,
}

impl Fares {
    fn of(story: &Story, hot: bool, cause: Cause, chance: &mut Chance) -> Fares {
        let spoiled = hot && cause == Cause::Overheated;
        let cracks = match cause {
            Cause::Overheated if hot => !chance.one_in(12),
            Cause::Overheated => chance.one_in(20),
            Cause::Chance => chance.one_in(4),
        };
        // Drawn whatever comes of it, so that what follows is the same for every cause.
        let (field, second) = (chance.one_in(2), chance.one_in(2));
        let day = if spoiled { [7, 7, 28] } else { [7, 28, 90] }[chance.between(0, 2) as usize];
        let (few, many) = (chance.between(0, 3), chance.between(5, 14));
        let (lifts, lift) = (chance.one_in(3), chance.between(1, 5));
        let drying = (if field { CrackAt::Field } else { CrackAt::Edge }, CrackRun::Across);
        let first = if spoiled || field { drying } else { (CrackAt::Edge, CrackRun::Along) };
        Fares {
            crack: cracks.then_some((first.0, first.1, day)),
            second: (cracks && spoiled && second).then_some((CrackAt::Field, CrackRun::Along)),
            pinholes: if spoiled { many } else { few }.unsigned_abs() as u32,
            lift_mm: (cracks && spoiled && lifts).then_some(lift as f64 / 10.0),
            bow_mm: bow_mm(story, chance),
            nail: if spoiled { 0 } else { 1 },
        }
    }
}

/// What a board bends to: the more coats its face has over its back, and the thinner it is, the more (Stoney 1909 for the
/// shape of it; the size is assumed).
fn bow_mm(story: &Story, chance: &mut Chance) -> f64 {
    let panel = story.panel();
    let size = panel.opened().size;
    let thick = size.thickness.map_or(9.0, |t| t.mm());
    let over = panel.coats(Face::Front) as f64 - panel.coats(Face::Back) as f64;
    let span = size.width.mm().max(size.height.mm());
    let flat = chance.between(-2, 2) as f64 / 10.0;
    0.11 * over * (span / 400.0) * (span / 400.0) * (12.0 / thick) * (12.0 / thick) + flat
}

/// The story with what was seen afterwards. `hot` tells that a coat of it came from a pot forgotten in its bath. A panel
/// that was given up is not looked at.
pub(super) fn look(story: &Story, hot: bool, cause: Cause, seed: u64) -> Result<Story, Refusal> {
    let mut story = story.clone();
    if story.panel().given_up().is_some() {
        return Ok(story);
    }
    let label = story.panel().opened().label.clone();
    let fares = Fares::of(&story, hot, cause, &mut Chance::new(seed, &format!("fares {label}")));
    let mut chance = Chance::new(seed, &format!("looks {label}"));
    let finished = story.last_at();
    let mut grade = 0;
    for day in DAYS {
        let missed = chance.one_in(match day {
            28 => 12,
            7 => 3,
            _ => 5,
        });
        let grows = !chance.one_in(3);
        if fares.crack.is_some_and(|(_, _, from)| day >= from) && (grade == 0 || grows) {
            grade = WORST.min(grade + 1);
        }
        let seen = seen(&story, &fares, day, grade, &mut chance);
        if !missed {
            story = told(&story, &seen, on(finished, day) - chance.seconds(0, 40 * 60))?;
        }
    }
    Ok(story)
}

/// The hour of the finish on that day; where nobody is there, a day sooner, or later if that would be the very day.
fn on(finished: Stamp, day: i64) -> Stamp {
    let at = finished + Span::from_s(day * DAY_S);
    let shifted = Span::from_s(if day > 1 { -DAY_S } else { DAY_S });
    if opened_on(day_of(at)) { at } else { at + shifted }
}

fn told(story: &Story, seen: &Inspection, at: Stamp) -> Result<Story, Refusal> {
    let event = story.complete(&Act::Inspect(Box::new(seen.clone())), moment(at))?;
    let seq = story.entries().len() as u64;
    story.with(Entry { seq, at, written: moment(at), raw_wall: None, event })
}

/// One look, on that day, at a panel whose first crack has that grade by then.
fn seen(story: &Story, fares: &Fares, day: i64, grade: u8, chance: &mut Chance) -> Inspection {
    let crack = |(at, run): (CrackAt, CrackRun), grade: u8| (grade > 0).then_some(Crack { at, grade, run });
    let first = fares.crack.and_then(|(at, run, _)| crack((at, run), grade));
    let second = fares.second.and_then(|where_| crack(where_, grade.saturating_sub(1)));
    let cracks: Vec<Crack> = first.into_iter().chain(second).collect();
    let lift = fares.lift_mm.filter(|_| day == 90).map(Length::from_mm);
    let words = chance.of(&words::CRACKED).map(|w| (*w).to_owned());
    let noted = chance.one_in(3);
    let measured = day == 1 || chance.one_in(2);
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
    let mut drops = || chance.between(18, 60) as f64;
    let thirst = [drops(), drops(), drops()];
    Inspection {
        sound: cracks.is_empty() && lift.is_none(),
        note: words.filter(|_| noted && !cracks.is_empty()),
        cracks,
        pinholes: (day >= 7).then_some(fares.pinholes),
        lift,
        bow: measured.then_some(bow),
        nail: (day == 28).then_some(fares.nail),
        rub: None,
        drop_s: (day == 28 && story.panel().opened().paint == Paint::Tempera).then_some(thirst),
        mould: false,
        no_mould: false,
        photo: None,
    }
}
