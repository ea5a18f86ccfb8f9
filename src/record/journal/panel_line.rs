//! How the facts of a panel stand on a line.
//!
//! A stage is `{kind, face, number, of, direction}`; a map its digits, rows from the top, `000/010`; waits are in
//! minutes, masses in grams, lengths in millimetres; the recipe is its own JSON form.

use super::borrowed_json::BorrowedValue;
use super::common_line;
use super::line::{Fields, Header, JournalEvent, MemberError, MemberWriter};
use crate::craft::materials::Support;
use crate::craft::recipe::{Direction, Paint};
use crate::units::{Entry, Id, Length, Span};
use crate::work::panel::correction::PanelCorrection;
use crate::work::panel::event::{
    CheckMap, Face, Flaw, Grain, PanelEvent, PanelOpened, Stage, StageDone, StageKind, Wait, WaitOrigin,
};
use crate::work::panel::ground_test::PencilGrade;
use crate::work::panel::inspection::{Bow, Crack, Inspection};
use crate::work::panel::story::PanelStory;
use crate::work::panel::whereabouts::Whereabouts;
use crate::work::story::{CommonEvent, StoryEvent};
use serde::Serialize;

impl JournalEvent for PanelEvent {
    const FORMAT: &'static str = "sottile-panel";

    fn event_name(&self) -> &str {
        self.name()
    }

    fn header(&self) -> Option<Header<'_>> {
        if let PanelEvent::Opened(opened) = self {
            Some(Header { id: Some(&opened.id), label: &opened.label })
        } else {
            None
        }
    }

    fn required_version(&self) -> u64 {
        match self {
            PanelEvent::Extra { face: Some(_) }
            | PanelEvent::Thick { .. }
            | PanelEvent::Placed { .. }
            | PanelEvent::Corrected(_)
            | PanelEvent::Common(CommonEvent::Filed(_)) => 2,
            PanelEvent::Extra { face: None }
            | PanelEvent::Opened(_)
            | PanelEvent::Started { .. }
            | PanelEvent::Done(_)
            | PanelEvent::Dull
            | PanelEvent::Repeated { .. }
            | PanelEvent::Skipped { .. }
            | PanelEvent::Away
            | PanelEvent::Back
            | PanelEvent::Abandoned { .. }
            | PanelEvent::Common(_) => 1,
            // Of a look that tells of younger tests alone an older program would find that it tells nothing.
            PanelEvent::Inspected(seen) => 1 + u64::from(seen.has_only_later_tests()),
        }
    }

    fn write_members(&self, to: &mut MemberWriter) {
        match self {
            PanelEvent::Opened(opened) => write_opened(opened, to),
            PanelEvent::Started { stage } => to.put("stage", &stage.map(StageKeys::from)),
            PanelEvent::Done(done) => write_done(done, to),
            PanelEvent::Dull | PanelEvent::Away | PanelEvent::Back => {}
            PanelEvent::Extra { face } => to.put("face", &face.map(Face::name)),
            PanelEvent::Repeated { why } => to.put("why", why.name()),
            PanelEvent::Skipped { stage, why } => {
                to.put("stage", &stage.map(StageKeys::from));
                to.put("why", why);
            }
            PanelEvent::Abandoned { why } => to.put("why", why),
            PanelEvent::Inspected(seen) => write_inspection(seen, to),
            PanelEvent::Thick { points } => {
                to.put("thick_mm", &points.iter().map(|p| p.mm()).collect::<Vec<_>>());
            }
            PanelEvent::Placed { whereabouts, to: owner } => {
                to.put("whereabouts", whereabouts.name());
                to.put("to", owner);
            }
            PanelEvent::Corrected(correction) => write_correction(correction, to),
            PanelEvent::Common(common) => common_line::write_members(common, to),
        }
    }

    fn parse_members(word: &str, from: &Fields<'_>) -> Result<Option<Self>, MemberError> {
        Ok(Some(match word {
            "opened" => PanelEvent::Opened(Box::new(parse_opened(from)?)),
            "started" => PanelEvent::Started { stage: parse_stage(from)? },
            "done" => PanelEvent::Done(Box::new(parse_done(from)?)),
            "dull" => PanelEvent::Dull,
            "extra" => PanelEvent::Extra { face: from.optional("face", |f| f.parse_text("face", Face::from_name))? },
            "repeated" => PanelEvent::Repeated { why: from.parse_text("why", Flaw::from_name)? },
            "skipped" => PanelEvent::Skipped { stage: parse_stage(from)?, why: from.text("why")?.to_owned() },
            "away" => PanelEvent::Away,
            "back" => PanelEvent::Back,
            "abandoned" => PanelEvent::Abandoned { why: from.text("why")?.to_owned() },
            "inspected" => PanelEvent::Inspected(Box::new(parse_inspection(from)?)),
            "thick" => PanelEvent::Thick { points: parse_points(from)? },
            "placed" => PanelEvent::Placed {
                whereabouts: from.parse_text("whereabouts", Whereabouts::from_name)?,
                to: from.optional("to", |f| f.text("to").map(str::to_owned))?,
            },
            "corrected" => PanelEvent::Corrected(Box::new(parse_correction(from)?)),
            _ => return Ok(common_line::parse_members(word, from)?.map(PanelEvent::Common)),
        }))
    }

    fn filed_as(&self) -> Option<&Id> {
        self.filing().map(|filing| &filing.id)
    }

    fn current_label(entries: Vec<Entry<Self>>) -> Option<String> {
        Some(PanelStory::fold(entries).ok()?.state().opened().label.clone())
    }

    fn from_newer_name(word: &str) -> Self {
        PanelEvent::Common(CommonEvent::Unknown { name: word.to_owned() })
    }
}

#[derive(Serialize)]
struct StageKeys {
    kind: &'static str,
    face: Option<&'static str>,
    number: Option<u32>,
    of: Option<u32>,
    direction: Option<&'static str>,
}

impl From<Stage> for StageKeys {
    fn from(stage: Stage) -> Self {
        StageKeys {
            kind: stage.kind.name(),
            face: stage.face.map(Face::name),
            number: stage.number,
            of: stage.total,
            direction: stage.direction.map(Direction::name),
        }
    }
}

fn parse_stage(from: &Fields<'_>) -> Result<Option<Stage>, MemberError> {
    from.optional("stage", |from| {
        let keys = from.object("stage")?;
        let small = |name: &str| keys.optional(name, |f| f.small(name));
        Ok(Stage {
            kind: keys.parse_text("kind", StageKind::from_name)?,
            face: keys.optional("face", |f| f.parse_text("face", Face::from_name))?,
            number: small("number")?,
            total: small("of")?,
            direction: parse_direction(&keys)?,
        })
    })
}

fn parse_direction(from: &Fields<'_>) -> Result<Option<Direction>, MemberError> {
    from.optional("direction", |f| f.parse_text("direction", Direction::from_name))
}

fn write_done(done: &StageDone, to: &mut MemberWriter) {
    // Every field is named, so that a new one cannot be forgotten here and lost.
    let StageDone { stage, direction, pot, by, map, wait, air_factor } = done;
    to.put("stage", &stage.map(StageKeys::from));
    to.put("direction", &direction.map(Direction::name));
    to.put("pot", &pot.as_ref().map(Id::as_str));
    if let Some(by) = by {
        to.put("by", by);
    }
    to.put("map", &map.as_ref().map(CheckMap::to_string));
    to.put("wait_min", &wait.map(|w| w.span.minutes()));
    to.put("wait_from", &wait.map(|w| w.origin.name()));
    // Younger than the format: written only where the air was read.
    if let Some(factor) = air_factor {
        to.put("air_factor", factor);
    }
}

fn parse_done(from: &Fields<'_>) -> Result<StageDone, MemberError> {
    let wait = from.optional("wait_min", |f| {
        Ok(Wait {
            span: Span::from_min(f.number("wait_min")?),
            origin: f.parse_text("wait_from", WaitOrigin::from_name)?,
        })
    })?;
    Ok(StageDone {
        stage: parse_stage(from)?,
        direction: parse_direction(from)?,
        pot: from.optional("pot", |f| f.parse_text("pot", Id::new))?,
        by: from.optional("by", |f| f.parse_text("by", |text| Some(text.to_owned())))?,
        map: from.optional("map", |f| f.parse_text("map", CheckMap::parse))?,
        wait,
        air_factor: from.optional("air_factor", |f| f.number("air_factor"))?,
    })
}

/// Only what is put right is written.
fn write_correction(correction: &PanelCorrection, to: &mut MemberWriter) {
    let PanelCorrection { label, size, support, grain, paint } = correction;
    if let Some(label) = label {
        to.put("label", label);
    }
    if let Some(size) = size {
        common_line::write_size(*size, to);
    }
    let words =
        [("support", support.map(Support::name)), ("grain", grain.map(Grain::name)), ("paint", paint.map(Paint::name))];
    for (name, word) in words {
        if let Some(word) = word {
            to.put(name, word);
        }
    }
}

fn parse_correction(from: &Fields<'_>) -> Result<PanelCorrection, MemberError> {
    Ok(PanelCorrection {
        label: from.optional("label", |f| f.text("label").map(str::to_owned))?,
        size: from.optional("size", |_| common_line::parse_size(from))?,
        support: from.optional("support", |f| f.parse_text("support", Support::from_name))?,
        grain: from.optional("grain", |f| f.parse_text("grain", Grain::from_name))?,
        paint: from.optional("paint", |f| f.parse_text("paint", Paint::from_name))?,
    })
}

fn write_opened(opened: &PanelOpened, to: &mut MemberWriter) {
    to.put("id", opened.id.as_str());
    to.put("label", &opened.label);
    common_line::write_size(opened.size, to);
    to.put("support", opened.support.name());
    to.put("grain", opened.grain.name());
    to.put("paint", opened.paint.name());
    to.put("recipe", opened.recipe.as_ref());
    to.put("group", &opened.group.as_ref().map(Id::as_str));
    to.put("witness", &opened.is_witness);
    // Younger than the format: written only where it was said.
    if let Some(sheet) = &opened.sheet {
        to.put("sheet", sheet);
    }
    common_line::write_trial_run(opened.trial.as_ref(), to);
}

fn parse_opened(from: &Fields<'_>) -> Result<PanelOpened, MemberError> {
    Ok(PanelOpened {
        id: from.parse_text("id", Id::new)?,
        label: from.text("label")?.to_owned(),
        size: common_line::parse_size(from)?,
        support: from.parse_text("support", Support::from_name)?,
        grain: from.parse_text("grain", Grain::from_name)?,
        paint: from.parse_text("paint", Paint::from_name)?,
        recipe: common_line::parse_recipe(from)?,
        group: from.optional("group", |f| f.parse_text("group", Id::new))?,
        sheet: from.optional("sheet", |f| f.text("sheet").map(str::to_owned))?,
        is_witness: from.optional("witness", |f| f.flag("witness"))?.unwrap_or(false),
        trial: common_line::parse_trial_run(from)?,
    })
}

fn write_inspection(seen: &Inspection, to: &mut MemberWriter) {
    to.put("sound", &seen.sound);
    to.put("cracks", &seen.cracks.iter().map(Crack::to_string).collect::<Vec<_>>());
    to.put("pinholes", &seen.pinholes);
    to.put("lift_mm", &seen.lift.map(Length::mm));
    to.put("bow_mm", &seen.bow.map(|b| b.sag.mm()));
    to.put("span_mm", &seen.bow.map(|b| b.span.mm()));
    to.put("nail", &seen.nail);
    to.put("rub", &seen.rub);
    to.put("drop_s", &seen.drop_s);
    to.put("mould", &seen.mould);
    // Younger than the format: written only where it tells something.
    if seen.no_mould {
        to.put("no_mould", &true);
    }
    write_later_tests(seen, to);
    to.put("photo", &seen.photo);
    if seen.photo_sha256.is_some() {
        to.put("photo_sha256", &seen.photo_sha256);
    }
    to.put("note", &seen.note);
}

/// The tests that are younger than the format, each where it was made.
fn write_later_tests(seen: &Inspection, to: &mut MemberWriter) {
    if let Some(grade) = &seen.damp_rub {
        to.put("damp_rub", grade);
    }
    if !seen.powder.is_empty() {
        to.put("powder", &seen.powder);
    }
    if !seen.tape.is_empty() {
        to.put("tape", &seen.tape);
    }
    if !seen.pencil.is_empty() {
        to.put("pencil", &seen.pencil.iter().map(|p| p.name()).collect::<Vec<_>>());
    }
    if let Some(bend) = seen.bend {
        to.put("bend_mm", &bend.mm());
    }
    if let Some(scrape) = seen.scrape {
        to.put("scrape_min", &scrape.minutes());
    }
    if let Some(cycles) = &seen.cycles {
        to.put("cycles", cycles);
    }
}

fn parse_inspection(from: &Fields<'_>) -> Result<Inspection, MemberError> {
    let flag = |name: &str| Ok::<_, MemberError>(from.optional(name, |f| f.flag(name))?.unwrap_or(false));
    let small = |name: &str| from.optional(name, |f| f.small::<u8>(name));
    let words = |name: &str| from.optional(name, |f| f.text(name).map(str::to_owned));
    let length = |name: &str| Ok::<_, MemberError>(from.optional(name, |f| f.number(name))?.map(Length::from_mm));
    let bow = match length("bow_mm")? {
        Some(sag) => Some(Bow { sag, span: Length::from_mm(from.number("span_mm")?) }),
        None => None,
    };
    let seen = Inspection {
        sound: flag("sound")?,
        cracks: parse_cracks(from)?,
        pinholes: from.optional("pinholes", |f| f.small("pinholes"))?,
        lift: length("lift_mm")?,
        bow,
        nail: small("nail")?,
        rub: small("rub")?,
        damp_rub: small("damp_rub")?,
        drop_s: parse_drops(from)?,
        powder: parse_grades(from, "powder")?,
        tape: parse_grades(from, "tape")?,
        pencil: parse_pencils(from)?,
        bend: length("bend_mm")?,
        scrape: from.optional("scrape_min", |f| f.number("scrape_min"))?.map(Span::from_min),
        cycles: from.optional("cycles", |f| f.small("cycles"))?,
        mould: flag("mould")?,
        no_mould: flag("no_mould")?,
        photo: words("photo")?,
        photo_sha256: words("photo_sha256")?,
        note: words("note")?,
    };
    // What is not possible here may be in a newer version, with members this one does not know.
    seen.validate().map_err(|error| MemberError::NotKnown(error.to_string()))?;
    Ok(seen)
}

fn parse_cracks(from: &Fields<'_>) -> Result<Vec<Crack>, MemberError> {
    parse_texts(from, "cracks", Crack::parse)
}

fn parse_pencils(from: &Fields<'_>) -> Result<Vec<PencilGrade>, MemberError> {
    parse_texts(from, "pencil", PencilGrade::from_name)
}

fn parse_texts<T>(from: &Fields<'_>, name: &str, read: fn(&str) -> Option<T>) -> Result<Vec<T>, MemberError> {
    let Some(value) = from.get(name) else { return Ok(Vec::new()) };
    let texts: Option<Vec<&str>> = value.as_list().and_then(|all| all.iter().map(BorrowedValue::as_str).collect());
    let texts = texts.ok_or_else(|| MemberError::Malformed(format!("`{name}` is no list of texts")))?;
    let one = |text: &str| {
        read(text).ok_or_else(|| MemberError::NotKnown(format!("`{name}` says \"{text}\", which is not known")))
    };
    texts.into_iter().map(one).collect()
}

fn parse_grades(from: &Fields<'_>, name: &str) -> Result<Vec<u8>, MemberError> {
    let Some(value) = from.get(name) else { return Ok(Vec::new()) };
    let numbers: Option<Vec<f64>> = value.as_list().and_then(|all| all.iter().map(BorrowedValue::as_f64).collect());
    let numbers = numbers.ok_or_else(|| MemberError::Malformed(format!("`{name}` is no list of numbers")))?;
    let grade = |number: f64| {
        let known = (0..=u8::MAX).find(|grade| f64::from(*grade) == number);
        known.ok_or_else(|| MemberError::NotKnown(format!("`{name}` says {number}, which is no grade")))
    };
    numbers.into_iter().map(grade).collect()
}

fn parse_points(from: &Fields<'_>) -> Result<Vec<Length>, MemberError> {
    let list = from.get("thick_mm").and_then(BorrowedValue::as_list);
    let points: Option<Vec<f64>> = list.and_then(|all| all.iter().map(BorrowedValue::as_f64).collect());
    let points = points.ok_or_else(|| MemberError::Malformed("`thick_mm` is no list of numbers".to_owned()))?;
    Ok(points.into_iter().map(Length::from_mm).collect())
}

fn parse_drops(from: &Fields<'_>) -> Result<Option<[f64; 3]>, MemberError> {
    let Some(value) = from.get("drop_s") else { return Ok(None) };
    let drops: Option<Vec<f64>> = value.as_list().and_then(|all| all.iter().map(BorrowedValue::as_f64).collect());
    let three = drops.and_then(|d| <[f64; 3]>::try_from(d).ok());
    three.map(Some).ok_or_else(|| MemberError::Malformed("`drop_s` is not three times in seconds".to_owned()))
}
