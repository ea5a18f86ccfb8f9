//! How the facts of a pot stand on a line: masses in grams, volumes in millilitres, temperatures in degrees Celsius; the
//! recipe is its own JSON form.

use super::common_line;
use super::line::{Fields, Header, JournalEvent, MemberError, MemberWriter};
use crate::units::{Id, Mass, Temperature, Volume};
use crate::work::pot::event::{PotEvent, PotKind, PotOpened};
use crate::work::story::{CommonEvent, StoryEvent};

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
            "made" => PotEvent::Made,
            "strained" => PotEvent::Strained,
            "gelled" => PotEvent::Gelled,
            "water" => PotEvent::Water { mass: Mass::from_g(from.number("mass_g")?) },
            "emptied" => PotEvent::Emptied,
            "discarded" => PotEvent::Discarded { why: from.text("why")?.to_owned() },
            _ => return Ok(common_line::parse_members(word, from)?.map(PotEvent::Common)),
        }))
    }

    fn from_newer_name(word: &str) -> Self {
        PotEvent::Common(CommonEvent::Unknown { name: word.to_owned() })
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
    to.put("for", &opened.for_group.as_ref().map(Id::as_str));
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
        for_group: from.optional("for", |f| f.parse_text("for", Id::new))?,
    })
}
