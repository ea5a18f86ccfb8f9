//! A pot's story in words: what happened to it, one fact a phrase.
//!
//! Absent on purpose: printing times of day, choosing what fits on a screen. Notes and reasons are as the maker typed them.

use super::words::format_figure;
use crate::text::format_wait_span;
use crate::work::pot::event::PotEvent;

/// What happened, as a phrase without capital and full stop.
pub fn format_pot_event(event: &PotEvent) -> String {
    match event {
        PotEvent::Opened(_) => "opened".to_owned(),
        PotEvent::Soaked => "glue put to soak".to_owned(),
        PotEvent::Melt => "into the bath".to_owned(),
        PotEvent::OutOfBath => "out of the bath".to_owned(),
        PotEvent::Liquid => "liquid".to_owned(),
        PotEvent::Temp { temp } => format!("{:.1} C", temp.c()),
        PotEvent::Made => "made".to_owned(),
        PotEvent::Strained => "strained".to_owned(),
        PotEvent::Gelled => "gelled".to_owned(),
        PotEvent::Water { mass } => format!("{} g of water given back", format_figure(mass.g())),
        PotEvent::Weighed { mass } => format!("weighed {} g", format_figure(mass.g())),
        PotEvent::Noted { text } => format!("note: {text}"),
        PotEvent::Emptied => "used up".to_owned(),
        PotEvent::Discarded { why } => format!("thrown away: {why}"),
        PotEvent::Undone { .. } => "last fact taken back".to_owned(),
        PotEvent::Alert { call, .. } => format!("called: {}", call.name()),
        PotEvent::ClockStepped { by } => format!("the clock jumped by {}", format_wait_span(*by)),
        PotEvent::Slept { span } => format!("the machine slept {}", format_wait_span(*span)),
        PotEvent::Unknown { name: fact } => format!("\"{fact}\", from a newer version"),
    }
}
