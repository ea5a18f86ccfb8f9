//! A row of panels and one pair of hands: whichever panel wants them soonest is seen to next, in the hours of the studio.
//!
//! Absent on purpose: what is in the pots (`pots` tells them afterwards), what is seen months later (`looks`).

use super::chance::Chance;
use super::days::open_at;
use super::kettle::Forgotten;
use super::pots::{MAKING, RowPots};
use super::studio::Row;
use super::tale::{Tale, With};
use super::weather::Weather;
use super::words;
use crate::units::{Id, Span, Stamp};
use crate::work::panel::act::Act;
use crate::work::panel::event::{Grain, Opened};
use crate::work::panel::refusal::Refusal;
use std::collections::BTreeSet;
use std::sync::Arc;

/// More than any row takes; so that no mistake here can run for ever.
const ACTS_MAX: usize = 4000;

/// A row that was worked.
#[derive(Debug)]
pub(super) struct Worked {
    /// The stories, in the order of the row.
    pub(super) tales: Vec<Tale>,
    /// When the hands are free again.
    pub(super) free: Stamp,
    /// The pot of gesso that was forgotten in its bath, and when.
    pub(super) forgotten: Option<(Id, Forgotten)>,
}

/// Works a row from its first morning on. `ids` are those its panels are filed under.
pub(super) fn work(
    row: &Row,
    ids: &[Id],
    pots: &RowPots,
    weather: Weather,
    seed: u64,
    begin: Stamp,
) -> Result<Worked, Refusal> {
    let mut hands = open_at(begin, Span::ZERO);
    let mut tales = open(row, ids, pots, weather, seed, hands)?;
    let mut made: BTreeSet<Id> = BTreeSet::new();
    let mut forgotten = None;
    for _ in 0..ACTS_MAX {
        let soonest = tales.iter().enumerate().filter_map(|(i, t)| Some((t.wants()?, i))).min();
        let Some((wants, i)) = soonest else { break };
        hands = hands.max(wants);
        // A pot is made before its first coat is laid, and all the gesso of a row at one go.
        let new: Vec<&Id> = tales[i].pot().into_iter().flat_map(|pot| pots.made_with(pot)).collect();
        let making = if new.iter().any(|pot| made.insert((*pot).clone())) { MAKING } else { Span::ZERO };
        made.extend(new.into_iter().cloned());
        if !tales[i].goes_on() {
            hands = open_at(hands, tales[i].needs() + making);
        }
        hands = tales[i].work(hands + making)?;
        if tales[i].called {
            let pot = tales[i].gesso().clone();
            let from = hands;
            hands = leave(&mut tales, hands, &mut Chance::new(seed, ids[i].as_str()))?;
            forgotten = Some((pot, (from, hands)));
            hands = hands + Span::from_s(180);
        }
    }
    Ok(Worked { tales, free: hands, forgotten })
}

fn open(
    row: &Row,
    ids: &[Id],
    pots: &RowPots,
    weather: Weather,
    seed: u64,
    morning: Stamp,
) -> Result<Vec<Tale>, Refusal> {
    let mut chance = Chance::new(seed, "opening");
    let mut at = morning;
    let mut tales = Vec::new();
    for (nth, (bare, id)) in row.panels.iter().zip(ids).enumerate() {
        at = at + chance.minutes(2, 6);
        let wide = bare.size.width.mm() > bare.size.height.mm();
        let opened = Opened {
            id: id.clone(),
            label: bare.label.clone(),
            size: bare.size,
            support: bare.support,
            grain: if wide { Grain::Width } else { Grain::Height },
            paint: row.paint,
            recipe: Arc::clone(&row.recipe),
        };
        let with = With { size: pots.size.id.clone(), gesso: pots.gesso_of(nth).id.clone(), weather };
        tales.push(Tale::open(opened, bare.fate, with, Chance::new(seed, &bare.label), at)?);
    }
    Ok(tales)
}

/// The maker is called away for longer than any coat waits.
fn leave(tales: &mut [Tale], at: Stamp, chance: &mut Chance) -> Result<Stamp, Refusal> {
    let back = at + chance.minutes(64, 95);
    for tale in tales {
        if tale.called {
            tale.note(words::CALLED, at)?;
        }
        tale.leave_off();
        tale.away_or_back(&Act::Away, at + Span::from_s(20))?;
        tale.away_or_back(&Act::Back, back)?;
    }
    Ok(back)
}
