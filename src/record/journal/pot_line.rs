//! How the facts of a pot stand on a line: masses in grams, volumes in millilitres, temperatures in degrees Celsius; the
//! recipe is its own JSON form.
//!
//! Absent on purpose: the line around them (`line`), whether a fact can be true (`work::pot`).

use super::line::{Fields, Header, JournalEvent, MemberError, MemberWriter};
use crate::units::{Id, Mass, Span, Temperature, Volume};
use crate::work::pot::event::{PotCall, PotEvent, PotKind, PotOpened};
use std::sync::Arc;

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

    fn write_members(&self, to: &mut MemberWriter) {
        match self {
            PotEvent::Opened(opened) => write_opened(opened, to),
            PotEvent::Soaked
            | PotEvent::Melt
            | PotEvent::OutOfBath
            | PotEvent::Liquid
            | PotEvent::Made
            | PotEvent::Strained
            | PotEvent::Gelled
            | PotEvent::Emptied => {}
            PotEvent::Temp { temp } => to.put("temp_c", &temp.c()),
            PotEvent::Water { mass } | PotEvent::Weighed { mass } => to.put("mass_g", &mass.g()),
            PotEvent::Noted { text } => to.put("text", text),
            PotEvent::Discarded { why } => to.put("why", why),
            PotEvent::Undone { takes_back } => to.put("takes_back", takes_back),
            PotEvent::Alert { call, fact_seq: of } => {
                to.put("call", call.name());
                to.put("of", of);
            }
            PotEvent::ClockStepped { by } => to.put("by_ms", &by.ms()),
            PotEvent::Slept { span } => to.put("slept_ms", &span.ms()),
            PotEvent::Unknown { name: fact } => to.set_error(&format!("\"{fact}\" is a fact of a newer version")),
        }
    }

    fn parse_members(word: &str, from: &Fields<'_>) -> Result<Option<Self>, MemberError> {
        let mass = || from.number("mass_g").map(Mass::from_g);
        Ok(Some(match word {
            "opened" => PotEvent::Opened(Box::new(parse_opened(from)?)),
            "soaked" => PotEvent::Soaked,
            "melt" => PotEvent::Melt,
            "out" => PotEvent::OutOfBath,
            "liquid" => PotEvent::Liquid,
            "temp" => PotEvent::Temp { temp: Temperature::from_c(from.number("temp_c")?) },
            "made" => PotEvent::Made,
            "strained" => PotEvent::Strained,
            "gelled" => PotEvent::Gelled,
            "water" => PotEvent::Water { mass: mass()? },
            "weighed" => PotEvent::Weighed { mass: mass()? },
            "noted" => PotEvent::Noted { text: from.text("text")?.to_owned() },
            "emptied" => PotEvent::Emptied,
            "discarded" => PotEvent::Discarded { why: from.text("why")?.to_owned() },
            "undone" => PotEvent::Undone { takes_back: from.unsigned("takes_back")? },
            "alert" => {
                PotEvent::Alert { call: from.parse_text("call", PotCall::from_name)?, fact_seq: from.unsigned("of")? }
            }
            "clock_stepped" => PotEvent::ClockStepped { by: Span::from_ms(from.integer("by_ms")?) },
            "slept" => PotEvent::Slept { span: Span::from_ms(from.integer("slept_ms")?) },
            _ => return Ok(None),
        }))
    }

    fn from_newer_name(word: &str) -> Self {
        PotEvent::Unknown { name: word.to_owned() }
    }
}

fn write_opened(opened: &PotOpened, to: &mut MemberWriter) {
    to.put("id", opened.id.as_str());
    to.put("label", &opened.label);
    to.put("kind", opened.kind.name());
    to.put("parent", &opened.parent.as_ref().map(Id::as_str));
    to.put("size_ml", &opened.size_ml.map(Volume::ml));
    to.put("lot", &opened.lot);
    to.put("recipe", opened.recipe.as_ref());
}

fn parse_opened(from: &Fields<'_>) -> Result<PotOpened, MemberError> {
    let recipe = from.recipe("recipe")?;
    Ok(PotOpened {
        id: from.parse_text("id", Id::new)?,
        label: from.text("label")?.to_owned(),
        kind: from.parse_text("kind", PotKind::from_name)?,
        parent: from.optional("parent", |f| f.parse_text("parent", Id::new))?,
        recipe: Arc::new(recipe),
        size_ml: from.optional("size_ml", |f| f.number("size_ml"))?.map(Volume::from_ml),
        lot: from.optional("lot", |f| f.text("lot").map(str::to_owned))?,
    })
}
