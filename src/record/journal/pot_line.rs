//! How the facts of a pot stand on a line: masses in grams, volumes in millilitres, temperatures in degrees Celsius; the
//! recipe is its own JSON form.
//!
//! Absent on purpose: the line around them (`line`), whether a fact can be true (`work::pot`).

use super::line::{Fact, Fields, Header, Members};
use crate::craft::recipe::Recipe;
use crate::units::{Id, Mass, Span, Temperature, Volume};
use crate::work::pot::event::{Call, Event, Kind, Opened};
use std::sync::Arc;

impl Fact for Event {
    const FORMAT: &'static str = "sottile-pot";

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
            Event::Soaked
            | Event::Melt
            | Event::Out
            | Event::Liquid
            | Event::Made
            | Event::Strained
            | Event::Gelled
            | Event::Emptied => {}
            Event::Temp { temp } => to.put("temp_c", &temp.c()),
            Event::Water { mass } | Event::Weighed { mass } => to.put("mass_g", &mass.g()),
            Event::Noted { text } => to.put("text", text),
            Event::Discarded { why } => to.put("why", why),
            Event::Undone { takes_back } => to.put("takes_back", takes_back),
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
        let mass = || from.number("mass_g").map(Mass::from_g);
        Ok(Some(match word {
            "opened" => Event::Opened(Box::new(take_opened(from)?)),
            "soaked" => Event::Soaked,
            "melt" => Event::Melt,
            "out" => Event::Out,
            "liquid" => Event::Liquid,
            "temp" => Event::Temp { temp: Temperature::from_c(from.number("temp_c")?) },
            "made" => Event::Made,
            "strained" => Event::Strained,
            "gelled" => Event::Gelled,
            "water" => Event::Water { mass: mass()? },
            "weighed" => Event::Weighed { mass: mass()? },
            "noted" => Event::Noted { text: from.text("text")?.to_owned() },
            "emptied" => Event::Emptied,
            "discarded" => Event::Discarded { why: from.text("why")?.to_owned() },
            "undone" => Event::Undone { takes_back: from.count("takes_back")? },
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

fn put_opened(opened: &Opened, to: &mut Members) {
    to.put("id", opened.id.as_str());
    to.put("label", &opened.label);
    to.put("kind", opened.kind.name());
    to.put("parent", &opened.parent.as_ref().map(Id::as_str));
    to.put("size_ml", &opened.size_ml.map(Volume::ml));
    to.put("lot", &opened.lot);
    to.put("recipe", opened.recipe.as_ref());
}

fn take_opened(from: &Fields<'_>) -> Result<Opened, String> {
    let recipe = from.some("recipe").ok_or("`recipe` is missing")?;
    let recipe: Recipe = recipe.read().map_err(|e| format!("`recipe` cannot be read: {e}"))?;
    Ok(Opened {
        id: from.word("id", Id::new)?,
        label: from.text("label")?.to_owned(),
        kind: from.word("kind", Kind::named)?,
        parent: from.maybe("parent", |f| f.word("parent", Id::new))?,
        recipe: Arc::new(recipe),
        size_ml: from.maybe("size_ml", |f| f.number("size_ml"))?.map(Volume::from_ml),
        lot: from.maybe("lot", |f| f.text("lot").map(str::to_owned))?,
    })
}
