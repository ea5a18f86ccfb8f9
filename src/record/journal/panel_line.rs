//! How the facts of a panel stand on a line.
//!
//! A stage is `{kind, face, number, of, direction}`; a map its digits, rows from the top, `000/010`; waits are in
//! minutes, masses in grams, lengths in millimetres; the recipe is its own JSON form. Absent on purpose: the line
//! around them (`line`), whether a fact can be true (`work::panel`).

use super::flat::Member;
use super::line::{Fact, Fields, Header, Members};
use crate::craft::materials::Support;
use crate::craft::recipe::{Direction, Paint, Recipe};
use crate::units::{Id, Length, Mass, Size, Span};
use crate::work::panel::event::{Call, CheckMap, Done, Event, Face, Flaw, Grain, Kind, Opened, Stage, Wait, WaitFrom};
use crate::work::panel::inspection::{Bow, Crack, Inspection};
use serde::Serialize;
use serde::de::value::StrDeserializer;
use serde::de::{DeserializeOwned, IntoDeserializer};
use std::sync::Arc;

impl Fact for Event {
    const FORMAT: &'static str = "sottile-panel";

    fn word(&self) -> &str {
        self.name()
    }

    fn header(&self) -> Option<Header<'_>> {
        if let Event::Opened(opened) = self {
            Some(Header { id: Some(&opened.id), label: &opened.label })
        } else {
            None
        }
    }

    fn put(&self, to: &mut Members) {
        match self {
            Event::Opened(opened) => put_opened(opened, to),
            Event::Started { stage } => to.put("stage", &stage.map(StageKeys::from)),
            Event::Done(done) => put_done(done, to),
            Event::Dull | Event::Extra | Event::Away | Event::Back => {}
            Event::Noted { text } => to.put("text", text),
            Event::Weighed { mass } => to.put("mass_g", &mass.g()),
            Event::Repeated { why } => to.put("why", why.name()),
            Event::Skipped { stage, why } => {
                to.put("stage", &stage.map(StageKeys::from));
                to.put("why", why);
            }
            Event::Undone { takes_back } => to.put("takes_back", takes_back),
            Event::Abandoned { why } => to.put("why", why),
            Event::Inspected(seen) => put_inspection(seen, to),
            Event::Alert { call, of } => {
                to.put("call", call.name());
                to.put("of", of);
            }
            Event::ClockStepped { by } => to.put("by_ms", &by.ms()),
            Event::Slept { span } => to.put("slept_ms", &span.ms()),
            Event::Newer { fact } => to.refuse(&format!("\"{fact}\" is a fact of a newer version")),
        }
    }

    fn take(word: &str, from: &Fields<'_>) -> Result<Option<Self>, String> {
        Ok(Some(match word {
            "opened" => Event::Opened(Box::new(take_opened(from)?)),
            "started" => Event::Started { stage: take_stage(from)? },
            "done" => Event::Done(Box::new(take_done(from)?)),
            "dull" => Event::Dull,
            "noted" => Event::Noted { text: from.text("text")?.to_owned() },
            "weighed" => Event::Weighed { mass: Mass::from_g(from.number("mass_g")?) },
            "extra" => Event::Extra,
            "repeated" => Event::Repeated { why: from.word("why", Flaw::named)? },
            "skipped" => Event::Skipped { stage: take_stage(from)?, why: from.text("why")?.to_owned() },
            "away" => Event::Away,
            "back" => Event::Back,
            "undone" => Event::Undone { takes_back: from.count("takes_back")? },
            "abandoned" => Event::Abandoned { why: from.text("why")?.to_owned() },
            "inspected" => Event::Inspected(Box::new(take_inspection(from)?)),
            "alert" => Event::Alert { call: from.word("call", Call::named)?, of: from.count("of")? },
            "clock_stepped" => Event::ClockStepped { by: Span::from_ms(from.whole("by_ms")?) },
            "slept" => Event::Slept { span: Span::from_ms(from.whole("slept_ms")?) },
            _ => return Ok(None),
        }))
    }

    fn newer(word: &str) -> Self {
        Event::Newer { fact: word.to_owned() }
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
            of: stage.of,
            direction: stage.direction.map(Direction::name),
        }
    }
}

fn take_stage(from: &Fields<'_>) -> Result<Option<Stage>, String> {
    from.maybe("stage", |from| {
        let keys = from.object("stage")?;
        let small = |name: &str| {
            keys.maybe(name, |f| u32::try_from(f.count(name)?).map_err(|_| format!("`{name}` is too large")))
        };
        Ok(Stage {
            kind: keys.word("kind", Kind::named)?,
            face: keys.maybe("face", |f| f.word("face", Face::named))?,
            number: small("number")?,
            of: small("of")?,
            direction: take_direction(&keys)?,
        })
    })
}

fn take_direction(from: &Fields<'_>) -> Result<Option<Direction>, String> {
    from.maybe("direction", |f| f.word("direction", serde_word))
}

/// The value a word stands for, where the type reads itself.
fn serde_word<T: DeserializeOwned>(word: &str) -> Option<T> {
    let word: StrDeserializer<'_, serde::de::value::Error> = word.into_deserializer();
    T::deserialize(word).ok()
}

fn put_done(done: &Done, to: &mut Members) {
    to.put("stage", &done.stage.map(StageKeys::from));
    to.put("direction", &done.direction.map(Direction::name));
    to.put("pot", &done.pot.as_ref().map(Id::as_str));
    to.put("map", &done.map.as_ref().map(CheckMap::to_string));
    to.put("wait_min", &done.wait.map(|w| w.span.minutes()));
    to.put("wait_from", &done.wait.map(|w| w.from.name()));
}

fn take_done(from: &Fields<'_>) -> Result<Done, String> {
    let wait = from.maybe("wait_min", |f| {
        Ok(Wait { span: Span::from_min(f.number("wait_min")?), from: f.word("wait_from", WaitFrom::named)? })
    })?;
    Ok(Done {
        stage: take_stage(from)?,
        direction: take_direction(from)?,
        pot: from.maybe("pot", |f| f.word("pot", Id::new))?,
        map: from.maybe("map", |f| f.word("map", CheckMap::parse))?,
        wait,
    })
}

#[derive(Serialize)]
struct SizeKeys {
    width_mm: f64,
    height_mm: f64,
    thickness_mm: Option<f64>,
}

fn put_opened(opened: &Opened, to: &mut Members) {
    let size = SizeKeys {
        width_mm: opened.size.width.mm(),
        height_mm: opened.size.height.mm(),
        thickness_mm: opened.size.thickness.map(Length::mm),
    };
    to.put("id", opened.id.as_str());
    to.put("label", &opened.label);
    to.put("size", &size);
    to.put("support", opened.support.name());
    to.put("grain", opened.grain.name());
    to.put("paint", &opened.paint);
    to.put("recipe", opened.recipe.as_ref());
}

fn take_opened(from: &Fields<'_>) -> Result<Opened, String> {
    let size = from.object("size")?;
    let paint: Paint = from.word("paint", serde_word)?;
    let recipe = from.some("recipe").ok_or("`recipe` is missing")?;
    let recipe: Recipe = recipe.read().map_err(|e| format!("`recipe` cannot be read: {e}"))?;
    Ok(Opened {
        id: from.word("id", Id::new)?,
        label: from.text("label")?.to_owned(),
        size: Size {
            width: Length::from_mm(size.number("width_mm")?),
            height: Length::from_mm(size.number("height_mm")?),
            thickness: size.maybe("thickness_mm", |f| f.number("thickness_mm"))?.map(Length::from_mm),
        },
        support: from.word("support", Support::named)?,
        grain: from.word("grain", Grain::named)?,
        paint,
        recipe: Arc::new(recipe),
    })
}

fn put_inspection(seen: &Inspection, to: &mut Members) {
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
    to.put("photo", &seen.photo);
    to.put("note", &seen.note);
}

fn take_inspection(from: &Fields<'_>) -> Result<Inspection, String> {
    let flag =
        |name: &str| from.some(name).map_or(Ok(false), |v| v.as_bool().ok_or(format!("`{name}` is no yes or no")));
    let small =
        |name: &str| from.maybe(name, |f| u8::try_from(f.count(name)?).map_err(|_| format!("`{name}` is too large")));
    let words = |name: &str| from.maybe(name, |f| f.text(name).map(str::to_owned));
    let length = |name: &str| Ok::<_, String>(from.maybe(name, |f| f.number(name))?.map(Length::from_mm));
    let bow = match length("bow_mm")? {
        Some(sag) => Some(Bow { sag, span: Length::from_mm(from.number("span_mm")?) }),
        None => None,
    };
    let pinholes = from
        .maybe("pinholes", |f| u32::try_from(f.count("pinholes")?).map_err(|_| "`pinholes` is too large".to_owned()))?;
    let seen = Inspection {
        sound: flag("sound")?,
        cracks: take_cracks(from)?,
        pinholes,
        lift: length("lift_mm")?,
        bow,
        nail: small("nail")?,
        rub: small("rub")?,
        drop_s: take_drops(from)?,
        mould: flag("mould")?,
        no_mould: flag("no_mould")?,
        photo: words("photo")?,
        note: words("note")?,
    };
    seen.check().map_err(|why| why.to_string())?;
    Ok(seen)
}

fn take_cracks(from: &Fields<'_>) -> Result<Vec<Crack>, String> {
    let Some(value) = from.some("cracks") else { return Ok(Vec::new()) };
    let cracks = value.as_list().and_then(|all| all.iter().map(|c| Crack::parse(c.as_str()?)).collect());
    cracks.ok_or_else(|| "`cracks` is no list of WHERE:GRADE:along|across".to_owned())
}

fn take_drops(from: &Fields<'_>) -> Result<Option<[f64; 3]>, String> {
    let Some(value) = from.some("drop_s") else { return Ok(None) };
    let drops: Option<Vec<f64>> = value.as_list().and_then(|all| all.iter().map(Member::as_f64).collect());
    let three = drops.and_then(|d| <[f64; 3]>::try_from(d).ok());
    three.map(Some).ok_or_else(|| "`drop_s` is not three times in seconds".to_owned())
}
