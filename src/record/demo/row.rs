//! A row of panels and one pair of hands: whichever panel wants them soonest is seen to next, in the hours of the studio.
//!
//! Here is the place for what panels of a row share: its pots (made before the first size coat and before the stipple;
//! their ids go into [`Act::Done`] in `tale`), the air of its days, and the inspections months later.

use super::chance::Chance;
use super::days::open_at;
use super::studio::Row;
use super::tale::Tale;
use super::words;
use crate::units::{Id, Span, Stamp};
use crate::work::panel::act::Act;
use crate::work::panel::event::{Grain, Opened};
use crate::work::panel::refusal::Refusal;
use std::sync::Arc;

/// More than any row takes; so that no mistake here can run for ever.
const ACTS_MAX: usize = 4000;

/// Works a row from its first morning on. `ids` are those its panels are filed under. Returns the stories in the order
/// of the row and when the hands are free again.
pub(super) fn work(row: &Row, ids: &[Id], seed: u64, begin: Stamp) -> Result<(Vec<Tale>, Stamp), Refusal> {
    let mut hands = open_at(begin, Span::ZERO);
    let mut tales = open(row, ids, seed, hands)?;
    for _ in 0..ACTS_MAX {
        let soonest = tales.iter().enumerate().filter_map(|(i, t)| Some((t.wants()?, i))).min();
        let Some((wants, i)) = soonest else { break };
        hands = hands.max(wants);
        if !tales[i].goes_on() {
            hands = open_at(hands, tales[i].needs());
        }
        hands = tales[i].work(hands)?;
        if tales[i].called {
            hands = leave(&mut tales, hands, &mut Chance::new(seed, ids[i].as_str()))?;
        }
    }
    Ok((tales, hands))
}

fn open(row: &Row, ids: &[Id], seed: u64, morning: Stamp) -> Result<Vec<Tale>, Refusal> {
    let mut chance = Chance::new(seed, "opening");
    let mut at = morning;
    let mut tales = Vec::new();
    for (bare, id) in row.panels.iter().zip(ids) {
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
        tales.push(Tale::open(opened, bare.fate, Chance::new(seed, &bare.label), at)?);
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
