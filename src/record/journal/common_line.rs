//! How the facts that panels and pots have in common stand on a line, and what openings carry: recipe, board, place in a
//! trial.

use super::line::{Fields, MemberError, MemberWriter};
use crate::craft::recipe::{PLACES_MAX, Recipe};
use crate::units::{Id, Length, Mass, Size, Span};
use crate::work::story::{CommonEvent, Filing, StoryCall, TrialRun};
use serde::Serialize;
use std::collections::BTreeMap;
use std::sync::Arc;

pub(super) fn write_members<C: StoryCall>(common: &CommonEvent<C>, to: &mut MemberWriter) {
    match common {
        CommonEvent::Noted { text } => to.put("text", text),
        CommonEvent::Weighed { mass, offcut } => {
            to.put("mass_g", &mass.g());
            // Younger than the format: written only where there was one.
            if let Some(offcut) = offcut {
                to.put("offcut_g", &offcut.g());
            }
        }
        CommonEvent::Undone { takes_back } => to.put("takes_back", takes_back),
        CommonEvent::Alert { call, fact_seq } => {
            to.put("call", call.name());
            to.put("of", fact_seq);
        }
        CommonEvent::ClockStepped { by } => to.put("by_ms", &by.ms()),
        CommonEvent::Slept { span } => to.put("slept_ms", &span.ms()),
        CommonEvent::Filed(filing) => {
            let pots: BTreeMap<&str, &str> =
                filing.pots.iter().map(|(old, new)| (old.as_str(), new.as_str())).collect();
            to.put("id", filing.id.as_str());
            to.put("pots", &pots);
            to.put("group", &filing.group.as_ref().map(Id::as_str));
        }
        CommonEvent::Unknown { name } => to.set_error(&format!("\"{name}\" is a word of a newer version")),
    }
}

pub(super) fn parse_members<C: StoryCall>(
    word: &str,
    from: &Fields<'_>,
) -> Result<Option<CommonEvent<C>>, MemberError> {
    Ok(Some(match word {
        "noted" => CommonEvent::Noted { text: from.text("text")?.to_owned() },
        "weighed" => CommonEvent::Weighed {
            mass: Mass::from_g(from.number("mass_g")?),
            offcut: from.optional("offcut_g", |f| f.number("offcut_g"))?.map(Mass::from_g),
        },
        "undone" => CommonEvent::Undone { takes_back: from.unsigned("takes_back")? },
        "alert" => CommonEvent::Alert { call: from.parse_text("call", C::from_name)?, fact_seq: from.unsigned("of")? },
        "clock_stepped" => CommonEvent::ClockStepped { by: Span::from_ms(from.integer("by_ms")?) },
        "slept" => CommonEvent::Slept { span: Span::from_ms(from.integer("slept_ms")?) },
        "filed" => CommonEvent::Filed(Box::new(Filing {
            id: from.parse_text("id", Id::new)?,
            pots: parse_pot_ids(from)?,
            group: from.optional("group", |f| f.parse_text("group", Id::new))?,
        })),
        _ => return Ok(None),
    }))
}

fn parse_pot_ids(from: &Fields<'_>) -> Result<BTreeMap<Id, Id>, MemberError> {
    let malformed = || MemberError::Malformed("`pots` does not name a pot for each pot".to_owned());
    let pots = from.get("pots").ok_or_else(malformed)?;
    let pots: BTreeMap<String, String> = pots.deserialize_into().map_err(|_| malformed())?;
    let pair = |(old, new): (String, String)| Id::new(&old).zip(Id::new(&new));
    pots.into_iter().map(pair).collect::<Option<_>>().ok_or_else(malformed)
}

/// What a recipe lacks, or has of another type, is damage; a word it has that is not known is a newer version's. It is held
/// to no range of a recipe file, since one that is narrowed later must not turn an old story into damage; only counts
/// that would take the memory are refused. A number is finite wherever it comes from JSON.
pub(super) fn parse_recipe(from: &Fields<'_>) -> Result<Arc<Recipe>, MemberError> {
    let recipe = from.get("recipe").ok_or_else(|| MemberError::Malformed("`recipe` is missing".to_owned()))?;
    let recipe: Recipe = recipe.deserialize_into().map_err(|e| {
        let reason = e.to_string();
        // Serde tells in its sentence alone which of both it is.
        let malformed = ["missing field", "invalid type", "invalid length"].iter().any(|s| reason.starts_with(s));
        let reason = format!("`recipe` cannot be read: {reason}");
        if malformed { MemberError::Malformed(reason) } else { MemberError::NotKnown(reason) }
    })?;
    let places = recipe.count_places();
    if places > PLACES_MAX {
        let reason =
            format!("`recipe` cannot be read: its counts make {places} places, and a story has at most {PLACES_MAX}");
        return Err(MemberError::Malformed(reason));
    }
    Ok(Arc::new(recipe))
}

#[derive(Serialize)]
struct SizeKeys {
    width_mm: f64,
    height_mm: f64,
    thickness_mm: Option<f64>,
}

pub(super) fn write_size(size: Size, to: &mut MemberWriter) {
    let keys = SizeKeys {
        width_mm: size.width.mm(),
        height_mm: size.height.mm(),
        thickness_mm: size.thickness.map(Length::mm),
    };
    to.put("size", &keys);
}

pub(super) fn parse_size(from: &Fields<'_>) -> Result<Size, MemberError> {
    let size = from.object("size")?;
    Ok(Size {
        width: Length::from_mm(size.number("width_mm")?),
        height: Length::from_mm(size.number("height_mm")?),
        thickness: size.optional("thickness_mm", |f| f.number("thickness_mm"))?.map(Length::from_mm),
    })
}

#[derive(Serialize)]
struct TrialRunKeys<'a> {
    id: &'a str,
    run: u32,
    jar: u32,
}

/// Younger than the format: written only on what was opened for a trial.
pub(super) fn write_trial_run(trial: Option<&TrialRun>, to: &mut MemberWriter) {
    if let Some(TrialRun { trial, run, jar }) = trial {
        to.put("trial", &TrialRunKeys { id: trial.as_str(), run: *run, jar: *jar });
    }
}

pub(super) fn parse_trial_run(from: &Fields<'_>) -> Result<Option<TrialRun>, MemberError> {
    from.optional("trial", |from| {
        let keys = from.object("trial")?;
        Ok(TrialRun { trial: keys.parse_text("id", Id::new)?, run: keys.small("run")?, jar: keys.small("jar")? })
    })
}
