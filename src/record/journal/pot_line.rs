//! How the facts of a pot stand on a line: masses in grams, volumes in millilitres, temperatures in degrees Celsius; the
//! recipe is its own JSON form.

use super::borrowed_json::BorrowedValue;
use super::common_line;
use super::line::{Fields, Header, JournalEvent, MemberError, MemberWriter};
use crate::craft::materials::Filler;
use crate::units::{Id, Mass, Temperature, Volume};
use crate::work::pot::event::{PotEvent, PotKind, PotOpened};
use crate::work::pot::weighed::WeighedParts;
use crate::work::story::{CommonEvent, StoryEvent};
use serde::Serialize;

impl JournalEvent for PotEvent {
    const FORMAT: &'static str = "sottile-pot";

    fn event_name(&self) -> &str {
        self.name()
    }

    fn header(&self) -> Option<Header<'_>> {
        if let PotEvent::Opened(opened) = self {
            Some(Header { id: Some(&opened.id), label: &opened.label })
        } else {
            None
        }
    }

    fn required_version(&self) -> u64 {
        match self {
            PotEvent::Brix { .. } | PotEvent::Common(CommonEvent::Filed(_)) => 2,
            // What was weighed is new in an old word: without it a pot still stands where it stands.
            PotEvent::Made(_)
            | PotEvent::Opened(_)
            | PotEvent::Soaked
            | PotEvent::Melt
            | PotEvent::OutOfBath
            | PotEvent::Liquid
            | PotEvent::Temp { .. }
            | PotEvent::Strained
            | PotEvent::Gelled
            | PotEvent::Water { .. }
            | PotEvent::Emptied
            | PotEvent::Discarded { .. }
            | PotEvent::Common(_) => 1,
        }
    }

    fn write_members(&self, to: &mut MemberWriter) {
        match self {
            PotEvent::Opened(opened) => write_opened(opened, to),
            PotEvent::Soaked
            | PotEvent::Melt
            | PotEvent::OutOfBath
            | PotEvent::Liquid
            | PotEvent::Strained
            | PotEvent::Gelled
            | PotEvent::Emptied => {}
            PotEvent::Made(parts) => write_weighed(parts, to),
            PotEvent::Brix { brix } => to.put("brix", brix),
            PotEvent::Temp { temp } => to.put("temp_c", &temp.c()),
            PotEvent::Water { mass } => to.put("mass_g", &mass.g()),
            PotEvent::Discarded { why } => to.put("why", why),
            PotEvent::Common(common) => common_line::write_members(common, to),
        }
    }

    fn parse_members(word: &str, from: &Fields<'_>) -> Result<Option<Self>, MemberError> {
        Ok(Some(match word {
            "opened" => PotEvent::Opened(Box::new(parse_opened(from)?)),
            "soaked" => PotEvent::Soaked,
            "melt" => PotEvent::Melt,
            "out" => PotEvent::OutOfBath,
            "liquid" => PotEvent::Liquid,
            "temp" => PotEvent::Temp { temp: Temperature::from_c(from.number("temp_c")?) },
            "made" => PotEvent::Made(Box::new(parse_weighed(from)?)),
            "brix" => PotEvent::Brix { brix: from.number("brix")? },
            "strained" => PotEvent::Strained,
            "gelled" => PotEvent::Gelled,
            "water" => PotEvent::Water { mass: Mass::from_g(from.number("mass_g")?) },
            "emptied" => PotEvent::Emptied,
            "discarded" => PotEvent::Discarded { why: from.text("why")?.to_owned() },
            _ => return Ok(common_line::parse_members(word, from)?.map(PotEvent::Common)),
        }))
    }

    fn filed_as(&self) -> Option<&Id> {
        self.filing().map(|filing| &filing.id)
    }

    fn from_newer_name(word: &str) -> Self {
        PotEvent::Common(CommonEvent::Unknown { name: word.to_owned() })
    }
}

#[derive(Serialize)]
struct FillerKeys {
    name: &'static str,
    mass_g: f64,
}

/// Younger than the format: each is written only where it was weighed.
fn write_weighed(parts: &WeighedParts, to: &mut MemberWriter) {
    let WeighedParts { glue, water, fillers } = parts;
    if let Some(glue) = glue {
        to.put("glue_g", &glue.g());
    }
    if let Some(water) = water {
        to.put("water_g", &water.g());
    }
    if !fillers.is_empty() {
        let keys = fillers.iter().map(|(filler, mass)| FillerKeys { name: filler.name(), mass_g: mass.g() });
        to.put("fillers", &keys.collect::<Vec<_>>());
    }
}

fn parse_weighed(from: &Fields<'_>) -> Result<WeighedParts, MemberError> {
    let mass = |name: &str| Ok::<_, MemberError>(from.optional(name, |f| f.number(name))?.map(Mass::from_g));
    let mut parts = WeighedParts { glue: mass("glue_g")?, water: mass("water_g")?, fillers: Vec::new() };
    let Some(value) = from.get("fillers") else { return Ok(parts) };
    let malformed = || MemberError::Malformed("`fillers` is no list of objects".to_owned());
    for one in value.as_list().ok_or_else(malformed)? {
        let BorrowedValue::Object(keys) = one else { return Err(malformed()) };
        let keys = keys.fields();
        let filler = keys.parse_text("name", Filler::from_name)?;
        parts.fillers.push((filler, Mass::from_g(keys.number("mass_g")?)));
    }
    Ok(parts)
}

fn write_opened(opened: &PotOpened, to: &mut MemberWriter) {
    to.put("id", opened.id.as_str());
    to.put("label", &opened.label);
    to.put("kind", opened.kind.name());
    to.put("parent", &opened.parent.as_ref().map(Id::as_str));
    to.put("size_ml", &opened.size_ml.map(Volume::ml));
    to.put("lot", &opened.lot);
    to.put("recipe", opened.recipe.as_ref());
    to.put("for", &opened.for_group.as_ref().map(Id::as_str));
    // Younger than the format: written only where it was said.
    if let Some(lot) = &opened.filler_lot {
        to.put("filler_lot", lot);
    }
    common_line::write_trial_run(opened.trial.as_ref(), to);
}

fn parse_opened(from: &Fields<'_>) -> Result<PotOpened, MemberError> {
    Ok(PotOpened {
        id: from.parse_text("id", Id::new)?,
        label: from.text("label")?.to_owned(),
        kind: from.parse_text("kind", PotKind::from_name)?,
        parent: from.optional("parent", |f| f.parse_text("parent", Id::new))?,
        recipe: common_line::parse_recipe(from)?,
        size_ml: from.optional("size_ml", |f| f.number("size_ml"))?.map(Volume::from_ml),
        lot: from.optional("lot", |f| f.text("lot").map(str::to_owned))?,
        filler_lot: from.optional("filler_lot", |f| f.text("filler_lot").map(str::to_owned))?,
        for_group: from.optional("for", |f| f.parse_text("for", Id::new))?,
        trial: common_line::parse_trial_run(from)?,
    })
}
