//! How readings get into the journal of the air, and the wait the air gives a coat.
//!
//! A logger's file is written in batches. Each is made ready without the lock, and is one write and one sync under it, so
//! that whoever lays a coat meanwhile finds it free.

use super::Bench;
use super::air::AirRecorded;
use super::journaled_story::RecordError;
use super::studio_knowledge::load_learned_times;
use crate::record::journal::{Damage, JournalError};
use crate::units::{Moment, Span, Stamp};
use crate::work::air::{Air, AirFault, AirReading};
use crate::work::learn::LearnedTimes;
use crate::work::panel::act::PanelAct;
use crate::work::panel::adjusted_wait::DryingEstimate;
use crate::work::panel::event::{PanelEvent, StageDone, Wait, WaitOrigin};
use crate::work::panel::refusal::PanelRefusal;
use crate::work::panel::story::PanelStory;
use crate::work::story::{AHEAD_MAX, OrderRefusal};
use std::sync::Arc;

/// How many readings are written at once: a month of one every ten minutes.
const BATCH_SIZE: usize = 4096;

/// The readings of the air, and whether they may shorten a wait; what the maker's own marks teach, where they set it.
#[derive(Debug, Default)]
pub(super) struct AirNow {
    readings: Arc<Air>,
    air_may_shorten: bool,
    own_times: Option<Arc<LearnedTimes>>,
}

impl Bench {
    /// The readings of the air; none, and what is wrong, where its journal is damaged or cannot be read.
    pub fn load_air(&mut self) -> Arc<Air> {
        let fault = match self.air.refresh(&self.shelf) {
            Ok(()) => self
                .air
                .blocking_damage()
                .map(|damage| AirFault { message: damage.to_string(), is_damage: damage.kind.is_damage() }),
            // Whatever lies there instead of a journal: the readings are missing.
            Err(error) => Some(AirFault { message: Damage::from_read_error(&error).to_string(), is_damage: true }),
        };
        fault.map_or_else(|| Arc::clone(&self.air.readings), |fault| Arc::new(Air::unreadable(fault)))
    }

    /// Records readings of the air; one that says what holds at its time already is passed over.
    ///
    /// # Errors
    /// [`RecordError`], and what was written all the same: batches before the one that failed. Where one reading lies
    /// too far ahead, nothing is.
    #[allow(clippy::result_large_err, reason = "the air is recorded seldom, and both parts are told")]
    pub fn record_air(
        &mut self,
        readings: &[AirReading],
        now: &dyn Fn() -> Moment,
    ) -> Result<AirRecorded, (RecordError, AirRecorded)> {
        self.record_air_in_batches(BATCH_SIZE, readings, now)
    }

    /// The same with so many readings in a batch.
    #[allow(clippy::result_large_err, reason = "the air is recorded seldom, and both parts are told")]
    pub(super) fn record_air_in_batches(
        &mut self,
        size: usize,
        readings: &[AirReading],
        now: &dyn Fn() -> Moment,
    ) -> Result<AirRecorded, (RecordError, AirRecorded)> {
        let mut taken = AirRecorded::default();
        // A long journal is read before the lock is taken; under it only what came since.
        self.air.refresh(&self.shelf).map_err(|error| (error.into(), taken))?;
        let here = self.air.trusted_time(now()).0.wall;
        if let Some(by) = readings.iter().map(|r| r.at - here).max().filter(|by| *by > AHEAD_MAX) {
            return Err((PanelRefusal::from(OrderRefusal::TooFarAhead { by }).into(), taken));
        }
        for batch in readings.chunks(size) {
            self.record_air_batch(batch, now, &mut taken).map_err(|error| (error.into(), taken))?;
        }
        Ok(taken)
    }

    fn record_air_batch(
        &mut self,
        batch: &[AirReading],
        now: &dyn Fn() -> Moment,
        taken: &mut AirRecorded,
    ) -> Result<(), JournalError> {
        // Made ready before the lock is taken, so that others have their turn between two batches; and anew if they took it.
        let ready = self.air.prepare_batch(batch, now())?;
        let lock = self.shelf.lock()?;
        self.air.refresh(&self.shelf)?;
        let ready = if self.air.is_current(&ready) { ready } else { self.air.prepare_batch(batch, now())? };
        self.air.write_batch(&self.shelf, &lock, &ready, &mut taken.written)?;
        taken.already_known += ready.already_known;
        Ok(())
    }

    /// Reads what that act will ask of the air, before the lock is taken: under it only what came since is left to read.
    pub(super) fn preload_air(&mut self, act: &PanelAct) {
        let air = self.air_for_act(act);
        if self.own_times.is_some() && matches!(act, PanelAct::Done { .. }) {
            self.own_times = Some(Arc::new(load_learned_times(&self.shelf, &air.readings)));
        }
    }

    /// What the air says to that act; only a coat asks it. Air that cannot be read costs a coat its estimate and nothing else.
    pub(super) fn air_for_act(&mut self, act: &PanelAct) -> AirNow {
        match act {
            PanelAct::Done { .. } => AirNow {
                readings: self.load_air(),
                air_may_shorten: self.air_may_shorten,
                own_times: self.own_times.clone(),
            },
            PanelAct::Start
            | PanelAct::Dull
            | PanelAct::Note(_)
            | PanelAct::Weigh(..)
            | PanelAct::Thick(_)
            | PanelAct::Extra(_)
            | PanelAct::Repeat(_)
            | PanelAct::Skip(_)
            | PanelAct::Away
            | PanelAct::Back
            | PanelAct::Undo { .. }
            | PanelAct::Inspect(_)
            | PanelAct::Place(..)
            | PanelAct::Correct(_)
            | PanelAct::Abandon(_) => AirNow::default(),
        }
    }
}

impl AirNow {
    /// The same fact; the wait after a coat is fixed by the air as of the time the coat was laid.
    pub(super) fn adjust_wait(&self, event: PanelEvent, story: &PanelStory, at: Stamp) -> PanelEvent {
        let PanelEvent::Done(done) = event else { return event };
        let drying = DryingEstimate::from_air(self.readings.reading_as_of(at).map(|r| (r.temp, r.rh)));
        let recipe = story.panel().recipe();
        let own = self.own_times.as_ref().and_then(|own| own_wait(own, &done, story, drying));
        let done = done.with_adjusted_wait(recipe, drying, self.air_may_shorten);
        PanelEvent::Done(Box::new(match own {
            Some(own) => done.with_own_wait(recipe, own),
            None => done,
        }))
    }
}

/// How long the maker's own marks say to wait after that coat, where going dull is what it is waited for.
fn own_wait(own: &LearnedTimes, done: &StageDone, story: &PanelStory, drying: DryingEstimate) -> Option<Span> {
    let kind = done.stage?.kind;
    own.own_wait(kind, story.panel().recipe(), story.panel().recipe_wait(kind)?, drying)
}

/// A fact that is moved to another time, with the recipe's wait again, which the air of the new time then fixes.
pub(super) fn reset_recipe_wait(event: PanelEvent, story: &PanelStory) -> PanelEvent {
    let PanelEvent::Done(done) = event else { return event };
    let of_recipe = |wait: Wait| match wait.origin {
        WaitOrigin::Recipe | WaitOrigin::RecipeAir | WaitOrigin::Maker => {
            let span = done.stage.and_then(|s| story.panel().recipe_wait(s.kind)).unwrap_or(wait.span);
            Wait { span, origin: WaitOrigin::Recipe }
        }
    };
    PanelEvent::Done(Box::new(StageDone { wait: done.wait.map(of_recipe), ..*done }))
}
