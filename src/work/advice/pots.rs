//! A pot's story in words: what happened to it, one fact a phrase.
//!
//! Absent on purpose: printing times of day, choosing what fits on a screen. Notes and reasons are as the maker typed them.

use super::words::{figure, lasting};
use crate::work::pot::event::Event;

/// What happened, as a phrase without capital and full stop.
pub fn fact(event: &Event) -> String {
    match event {
        Event::Opened(_) => "opened".to_owned(),
        Event::Soaked => "glue put to soak".to_owned(),
        Event::Melt => "into the bath".to_owned(),
        Event::Out => "out of the bath".to_owned(),
        Event::Liquid => "liquid".to_owned(),
        Event::Temp { temp } => format!("{:.1} C", temp.c()),
        Event::Made => "made".to_owned(),
        Event::Strained => "strained".to_owned(),
        Event::Gelled => "gelled".to_owned(),
        Event::Water { mass } => format!("{} g of water given back", figure(mass.g())),
        Event::Weighed { mass } => format!("weighed {} g", figure(mass.g())),
        Event::Noted { text } => format!("note: {text}"),
        Event::Emptied => "used up".to_owned(),
        Event::Discarded { why } => format!("thrown away: {why}"),
        Event::Undone { .. } => "last fact taken back".to_owned(),
        Event::Alert { call, .. } => format!("called: {}", call.name()),
        Event::ClockStepped { by } => format!("the clock jumped by {}", lasting(*by)),
        Event::Slept { span } => format!("the machine slept {}", lasting(*span)),
        Event::Newer { fact } => format!("\"{fact}\", from a newer version"),
    }
}
