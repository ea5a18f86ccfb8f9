//! The pots and the air, as far as the thread that owns the journals sees to them.

use super::{EffectRunner, pot_extent};
use crate::app::model::{PotEffect, PotReply, Reply};
use crate::bench::{Bench, Snapshot};
use crate::work::air::Air;
use crate::work::pot::fold::Pot;

/// How long the journal of the air is, so that it is read only where it grew.
fn air_journal_length(bench: &Bench) -> Option<u64> {
    bench.shelf().storage().open_read(&bench.shelf().air_path()).and_then(|mut handle| handle.size()).ok()
}

/// The air; one that cannot be read counts as none, and `verify` tells of it.
fn read_air(bench: &mut Bench) -> Air {
    bench.load_air().unwrap_or_default()
}

impl EffectRunner {
    /// Every pot and the air, told once the first picture is drawn.
    pub fn load_pots(&mut self) -> Reply {
        let pots = self.bench.load_pots().unwrap_or_default();
        self.sent_pots.mark_sent(&pots);
        self.sent_pots.air_length = air_journal_length(&self.bench);
        PotReply::Loaded(pots, read_air(&mut self.bench)).into()
    }

    /// Does what was asked about pots and the air.
    pub(super) fn apply_pot_effect(&mut self, request: PotEffect) -> Option<Reply> {
        let now = &*self.now;
        let bench = &mut self.bench;
        let kept = match request {
            PotEffect::Record(id, ask) => {
                bench.record_pot(&id, &ask, now).map_or_else(PotReply::Failed, PotReply::Changed)
            }
            PotEffect::Open(opening) => bench.open_pot(&opening, now).map_or_else(PotReply::Failed, PotReply::Opened),
            // A call that another window wrote first, or that cannot be written, has rung here all the same.
            PotEffect::RecordNotice(id, event) => {
                PotReply::ChangedElsewhere(vec![bench.record_pot_notice(&id, event, now).ok()?])
            }
            PotEffect::RecordAir(reading) => match bench.record_air(&[reading], now) {
                Ok(_) => {
                    self.sent_pots.air_length = air_journal_length(bench);
                    PotReply::AirRecorded(read_air(bench))
                }
                Err((why, _)) => PotReply::Failed(why),
            },
        };
        match &kept {
            PotReply::Changed(told) | PotReply::Opened(told) => self.sent_pots.mark_sent(std::slice::from_ref(told)),
            PotReply::ChangedElsewhere(told) | PotReply::Loaded(told, _) => self.sent_pots.mark_sent(told),
            PotReply::AirRecorded(_) | PotReply::AirChangedElsewhere(_) | PotReply::Failed(_) => {}
        }
        Some(kept.into())
    }

    /// Takes in what others wrote about pots and the air.
    pub fn refresh_pots(&mut self) -> Vec<Reply> {
        self.bench.refresh_pots();
        self.collect_pot_changes()
    }

    /// Whatever those journals hold that the screen was not told.
    pub(super) fn collect_pot_changes(&mut self) -> Vec<Reply> {
        let told = self.bench.pot_snapshots();
        let new: Vec<Snapshot<Pot>> =
            told.into_iter().filter(|t| self.sent_pots.pots.get(&t.id) != Some(&pot_extent(t))).collect();
        self.sent_pots.mark_sent(&new);
        let mut news: Vec<Reply> = Vec::new();
        if !new.is_empty() {
            news.push(PotReply::ChangedElsewhere(new).into());
        }
        let length = air_journal_length(&self.bench);
        if length != self.sent_pots.air_length {
            self.sent_pots.air_length = length;
            news.push(PotReply::AirChangedElsewhere(read_air(&mut self.bench)).into());
        }
        news
    }
}
