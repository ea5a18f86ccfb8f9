//! How the facts that panels and pots have in common stand on a line, and the recipe both carry in their opening.

use super::line::{Fields, MemberWriter};
use crate::craft::recipe::Recipe;
use crate::units::{Mass, Span};
use crate::work::story::{CommonEvent, StoryCall};
use std::sync::Arc;

pub(super) fn write_members<C: StoryCall>(common: &CommonEvent<C>, to: &mut MemberWriter) {
    match common {
        CommonEvent::Noted { text } => to.put("text", text),
        CommonEvent::Weighed { mass } => to.put("mass_g", &mass.g()),
        CommonEvent::Undone { takes_back } => to.put("takes_back", takes_back),
        CommonEvent::Alert { call, fact_seq } => {
            to.put("call", call.name());
            to.put("of", fact_seq);
        }
        CommonEvent::ClockStepped { by } => to.put("by_ms", &by.ms()),
        CommonEvent::Slept { span } => to.put("slept_ms", &span.ms()),
        CommonEvent::Unknown { name } => to.set_error(&format!("\"{name}\" is a fact of a newer version")),
    }
}

pub(super) fn parse_members<C: StoryCall>(word: &str, from: &Fields<'_>) -> Result<Option<CommonEvent<C>>, String> {
    Ok(Some(match word {
        "noted" => CommonEvent::Noted { text: from.text("text")?.to_owned() },
        "weighed" => CommonEvent::Weighed { mass: Mass::from_g(from.number("mass_g")?) },
        "undone" => CommonEvent::Undone { takes_back: from.unsigned("takes_back")? },
        "alert" => CommonEvent::Alert { call: from.parse_text("call", C::from_name)?, fact_seq: from.unsigned("of")? },
        "clock_stepped" => CommonEvent::ClockStepped { by: Span::from_ms(from.integer("by_ms")?) },
        "slept" => CommonEvent::Slept { span: Span::from_ms(from.integer("slept_ms")?) },
        _ => return Ok(None),
    }))
}

pub(super) fn parse_recipe(from: &Fields<'_>) -> Result<Arc<Recipe>, String> {
    let recipe = from.get("recipe").ok_or("`recipe` is missing")?;
    recipe.deserialize_into().map(Arc::new).map_err(|e| format!("`recipe` cannot be read: {e}"))
}
