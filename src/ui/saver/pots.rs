//! The pots and the air, as far as the thread that owns the journals sees to them.

use super::Desk;
use crate::app::view::{Kept, PotKept, PotRequest};
use crate::bench::{Bench, Told};
use crate::units::Id;
use crate::work::air::Air;
use crate::work::pot::fold::Pot;
use std::collections::HashMap;

/// How much of pots and air the screen has been told.
#[derive(Debug, Default)]
pub(super) struct Known {
    pots: HashMap<Id, (usize, bool)>,
    air: Option<u64>,
}

impl Known {
    fn tell(&mut self, told: &[Told<Pot>]) {
        self.pots.extend(told.iter().map(|t| (t.id.clone(), extent(t))));
    }
}

fn extent(told: &Told<Pot>) -> (usize, bool) {
    (told.story.as_ref().map_or(0, |s| s.entries().len()), told.damage.is_some())
}

/// How long the journal of the air is, so that it is read only where it grew.
fn air_length(bench: &Bench) -> Option<u64> {
    bench.shelf().disk().read(&bench.shelf().air_file()).and_then(|mut handle| handle.size()).ok()
}

/// The air; one that cannot be read counts as none, and `verify` tells of it.
fn air(bench: &mut Bench) -> Air {
    bench.air().unwrap_or_default()
}

impl Desk {
    /// Every pot and the air, told once the first picture is drawn.
    pub fn begins(&mut self) -> Kept {
        let pots = self.bench.bring_pots().unwrap_or_default();
        self.pots.tell(&pots);
        self.pots.air = air_length(&self.bench);
        PotKept::All(pots, air(&mut self.bench)).into()
    }

    /// Does what was asked about pots and the air.
    pub(super) fn pot_outcome(&mut self, request: PotRequest) -> Option<Kept> {
        let now = &*self.now;
        let bench = &mut self.bench;
        let kept = match request {
            PotRequest::Record(id, ask) => bench.record_pot(&id, &ask, now).map_or_else(PotKept::Not, PotKept::Changed),
            PotRequest::Open(opening) => bench.open_pot(&opening, now).map_or_else(PotKept::Not, PotKept::Opened),
            // A call that another window wrote first, or that cannot be written, has rung here all the same.
            PotRequest::Notice(id, event) => PotKept::News(vec![bench.notice_pot(&id, event, now).ok()?]),
            PotRequest::Air(reading) => match bench.record_air(&[reading], now) {
                Ok(_) => {
                    self.pots.air = air_length(bench);
                    PotKept::Air(air(bench))
                }
                Err((why, _)) => PotKept::Not(why),
            },
        };
        match &kept {
            PotKept::Changed(told) | PotKept::Opened(told) => self.pots.tell(std::slice::from_ref(told)),
            PotKept::News(told) | PotKept::All(told, _) => self.pots.tell(told),
            PotKept::Air(_) | PotKept::AirNews(_) | PotKept::Not(_) => {}
        }
        Some(kept.into())
    }

    /// Takes in what others wrote about pots and the air.
    pub fn reads_on_pots(&mut self) -> Vec<Kept> {
        self.bench.read_on_pots();
        self.pot_news()
    }

    /// Whatever those journals hold that the screen was not told.
    pub(super) fn pot_news(&mut self) -> Vec<Kept> {
        let told = self.bench.told_pots();
        let new: Vec<Told<Pot>> = told.into_iter().filter(|t| self.pots.pots.get(&t.id) != Some(&extent(t))).collect();
        self.pots.tell(&new);
        let mut news: Vec<Kept> = Vec::new();
        if !new.is_empty() {
            news.push(PotKept::News(new).into());
        }
        let length = air_length(&self.bench);
        if length != self.pots.air {
            self.pots.air = length;
            news.push(PotKept::AirNews(air(&mut self.bench)).into());
        }
        news
    }
}
