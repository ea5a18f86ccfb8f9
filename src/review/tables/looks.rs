//! The looks: every inspection that stands.

use super::cell::CellReader::{Count, Figure, Flag, Text, Time};
use super::cell::{Cell, TidyColumn, row_cells};
use crate::review::standing_steps::last_act_moment;
use crate::units::{Id, Stamp};
use crate::work::panel::event::PanelEvent;
use crate::work::panel::ground_test::GroundTest;
use crate::work::panel::inspection::{Crack, CrackDirection, Inspection};
use crate::work::panel::story::PanelStory;
use crate::work::story::StoryState;

/// One look.
#[derive(Debug)]
pub struct LookRow {
    panel: Id,
    seq: u64,
    looked_at: Stamp,
    age_days: f64,
    seen: Inspection,
}

/// What that look says of cracks; nothing where it says nothing.
fn of_cracks<T>(look: &LookRow, tell: impl Fn(&[Crack]) -> T) -> Option<T> {
    look.seen.has_crack_finding().then(|| tell(&look.seen.cracks))
}

fn count_cracks(cracks: &[Crack]) -> u64 {
    cracks.iter().filter(|c| c.grade > 0).count() as u64
}

/// The columns.
#[rustfmt::skip]
pub const LOOKS: &[TidyColumn<LookRow>] = &[
    TidyColumn::joining("panels.id", "panel", Text(|l| Some(l.panel.to_string())), "the panel"),
    TidyColumn::new("seq", Count(|l| Some(l.seq)), "its place in the panel's story; with panel the key"),
    TidyColumn::new("looked_at", Time(|l| Some(l.looked_at)), "when it was looked over"),
    TidyColumn::new("age_days", Figure(|l| Some(l.age_days)), "days from the last act done on it; below 0 before that"),
    TidyColumn::new("sound", Flag(|l| l.seen.verdict()), "nothing was wrong; empty where the look does not say"),
    TidyColumn::new("cracks", Count(|l| of_cracks(l, count_cracks)), "cracks seen; empty where nobody looked for them"),
    TidyColumn::new("crack_grade", Count(|l| of_cracks(l, |all| all.iter().map(|c| c.grade).max().unwrap_or(0).into())), "the worst of them, 0 to 4"),
    TidyColumn::new("cracks_along", Count(|l| of_cracks(l, |all| count_cracks(&along(all)))), "those along the grain"),
    TidyColumn::new("crack_list", Text(|l| Some(crack_list(&l.seen)).filter(|text| !text.is_empty())), "WHERE:GRADE:along|across of each, with blanks between; grade 0 was looked for and not there"),
    TidyColumn::new("pinholes", Count(|l| l.seen.pinholes.map(u64::from)), "pinholes counted"),
    TidyColumn::new("lift_mm", Figure(|l| l.seen.lift.map(|lift| lift.mm())), "how far the ground stands off at the worst place"),
    TidyColumn::new("bow_mm", Figure(|l| l.seen.bow.map(|bow| bow.sag.mm())), "the rise in the middle of a straight edge; negative where hollow"),
    TidyColumn::new("span_mm", Figure(|l| l.seen.bow.map(|bow| bow.span.mm())), "the length that rise was measured over"),
    TidyColumn::new("nail_grade", Count(|l| l.seen.nail.map(u64::from)), "the nail, 0 no mark to 3 a powdery groove"),
    TidyColumn::new("rub_grade", Count(|l| l.seen.rub.map(u64::from)), "a dark cloth, 0 nothing to 3 a white smear"),
    TidyColumn::new("drop_1_s", Figure(|l| l.seen.drop_s.map(|drops| drops[0])), "until a drop of water lost its gloss, first place"),
    TidyColumn::new("drop_2_s", Figure(|l| l.seen.drop_s.map(|drops| drops[1])), "second place"),
    TidyColumn::new("drop_3_s", Figure(|l| l.seen.drop_s.map(|drops| drops[2])), "third place"),
    TidyColumn::new("damp_rub_grade", Count(|l| l.seen.damp_rub.map(u64::from)), "a damp dark cloth, 0 nothing to 3 a white smear"),
    TidyColumn::new("powder_mean", Figure(|l| l.seen.mean_reading(GroundTest::Powder)), "powder on tape, 0 none to 5 a dense film; the mean of its places"),
    TidyColumn::new("powder_list", Text(|l| list_readings(l, GroundTest::Powder)), "its grade at each place, with blanks between"),
    TidyColumn::new("pencil_mean", Figure(|l| l.seen.mean_reading(GroundTest::Pencil)), "the hardest pencil that does not cut, in steps above 6B (HB 6, F 7, H 8); the mean of its places"),
    TidyColumn::new("pencil_list", Text(|l| list_readings(l, GroundTest::Pencil)), "the pencil at each place, with blanks between"),
    TidyColumn::new("tape_mean", Figure(|l| l.seen.mean_reading(GroundTest::Tape)), "tape off a cut cross, 5 nothing comes off to 0 more than the cross; the mean of its places"),
    TidyColumn::new("tape_list", Text(|l| list_readings(l, GroundTest::Tape)), "its grade at each place, with blanks between"),
    TidyColumn::new("bend_mm", Figure(|l| l.seen.bend.map(|bend| bend.mm())), "how deep a strip was pressed in its middle at its first crack"),
    TidyColumn::new("scrape_min", Figure(|l| l.seen.scrape.map(|scrape| scrape.minutes())), "minutes of scraping until the face was even"),
    TidyColumn::new("cycles", Count(|l| l.seen.cycles.map(u64::from)), "cycles of damp and dry air it had been through"),
    TidyColumn::new("mould", Flag(|l| mould(&l.seen)), "mould was seen; empty where nobody looked for it"),
    TidyColumn::new("photo", Text(|l| l.seen.photo.clone()), "the photograph, as it was named"),
    TidyColumn::new("photo_sha256", Text(|l| l.seen.photo_sha256.clone()), "the sum it is kept under, in the folder photos"),
    TidyColumn::new("note", Text(|l| l.seen.note.clone()), "words of the maker"),
];

fn along(cracks: &[Crack]) -> Vec<Crack> {
    cracks.iter().copied().filter(|c| c.direction == CrackDirection::Along).collect()
}

fn crack_list(seen: &Inspection) -> String {
    seen.cracks.iter().map(Crack::to_string).collect::<Vec<_>>().join(" ")
}

/// What a test came to at each place.
fn list_readings(look: &LookRow, test: GroundTest) -> Option<String> {
    let seen = &look.seen;
    let places: Vec<String> = if test == GroundTest::Pencil {
        seen.pencil.iter().map(|p| p.name().to_owned()).collect()
    } else {
        seen.readings(test).iter().map(f64::to_string).collect()
    };
    (!places.is_empty()).then(|| places.join(" "))
}

/// Sound says that mould was looked for.
const fn mould(seen: &Inspection) -> Option<bool> {
    if seen.mould {
        Some(true)
    } else if seen.no_mould || seen.sound {
        Some(false)
    } else {
        None
    }
}

/// The looks of a story that stand, in the order of time.
pub fn look_rows(story: &PanelStory) -> Vec<Vec<Cell>> {
    let panel = story.panel();
    let from = last_act_moment(panel).map_or(panel.opened_at().wall, |m| m.wall);
    let stands = |seq: u64| !story.is_taken_back(seq) && story.refusal_of(seq).is_none();
    let looks = story.entries_in_order().into_iter().filter(|e| stands(e.seq)).filter_map(|e| match &e.event {
        PanelEvent::Inspected(seen) => Some(LookRow {
            panel: panel.opened().id.clone(),
            seq: e.seq,
            looked_at: e.at,
            age_days: (e.at - from).hours() / 24.0,
            seen: (**seen).clone(),
        }),
        _ => None,
    });
    looks.map(|look| row_cells(LOOKS, &look)).collect()
}
