//! What a maker asks to have recorded, and how it becomes a fact: direction and wait are filled in from where the panel
//! stood at that time.

use super::correction::PanelCorrection;
use super::event::{CheckMap, Face, Flaw, PanelEvent, PanelOpened, Stage, StageDone, Wait, WaitOrigin};
use super::inspection::Inspection;
use super::measured::POINTS_MAX;
use super::phase::PanelPhase;
use super::refusal::PanelRefusal;
use super::state::Panel;
use super::story::PanelStory;
use super::whereabouts::Whereabouts;
use crate::craft::recipe::Direction;
use crate::units::{Id, Length, Mass, Moment, Size};
use crate::work::story::{CommonEvent, StoryState, validate_text};

/// What a maker asks to have recorded.
#[derive(Debug, Clone, PartialEq)]
pub enum PanelAct {
    /// The act at hand is begun.
    Start,
    /// The act at hand is done.
    Done {
        /// The direction taken, where it is not the one at hand.
        direction: Option<Direction>,
        /// The pot it came from.
        pot: Option<Id>,
        /// A check's map; none means clear.
        map: Option<CheckMap>,
        /// Who was at the brush.
        by: Option<String>,
    },
    /// The gloss is gone.
    Dull,
    /// Words.
    Note(String),
    /// The panel's weight, and that of a bare offcut of the same sheet beside it.
    Weigh(Mass, Option<Mass>),
    /// Its thickness at points.
    Thick(Vec<Length>),
    /// One more of what was last done on that face; without a face, of the act last done.
    Extra(Option<Face>),
    /// The act last done is to be done again.
    Repeat(Flaw),
    /// Leave the act at hand out, or end the wait.
    Skip(String),
    /// Leaving the bench.
    Away,
    /// Back at the bench.
    Back,
    /// Take the last recorded fact back.
    Undo {
        /// The `seq` the maker saw as the last; refused if it is another by now.
        seen: Option<u64>,
    },
    /// Give the panel up.
    Abandon(String),
    /// What was seen on it.
    Inspect(Box<Inspection>),
    /// What became of it, and to whom it went.
    Place(Whereabouts, Option<String>),
    /// What was said of it when it was opened is put right.
    Correct(Box<PanelCorrection>),
}

impl PanelAct {
    /// Done, as planned.
    pub const fn done_as_planned() -> PanelAct {
        PanelAct::Done { direction: None, pot: None, map: None, by: None }
    }
}

impl Panel {
    /// The act at hand at that moment, whether or not a wait still runs before it.
    pub fn stage_at_hand(&self) -> Option<Stage> {
        self.index_at_hand().map(|at| self.stage_at(at))
    }

    /// What a skip would leave out or end at that moment.
    pub fn skippable_stage(&self, m: Moment) -> Option<Stage> {
        let wait = self.current_wait().filter(|w| w.is_running_at(m)).and_then(|w| w.self_ending_index);
        wait.map(|at| self.stage_at(at)).or_else(|| self.stage_at_hand())
    }

    /// The gloss gone from the gesso on top. Whether any coat lies there is the fold's to say.
    fn build_dull(&self) -> Result<PanelEvent, PanelRefusal> {
        match self.drying_index().map(|at| self.stage_at(at)).filter(|stage| !stage.kind.is_gesso()) {
            Some(stage) => Err(PanelRefusal::NoGessoDrying { stage }),
            None => Ok(PanelEvent::Dull),
        }
    }

    fn build_placed(&self, whereabouts: Whereabouts, to: Option<&str>, m: Moment) -> Result<PanelEvent, PanelRefusal> {
        match self.phase_at(m) {
            PanelPhase::Finished | PanelPhase::Abandoned => {}
            PanelPhase::Ready | PanelPhase::Waiting | PanelPhase::Working => return Err(PanelRefusal::NotFinished),
        }
        Ok(PanelEvent::Placed { whereabouts, to: to.map(validate_text).transpose()? })
    }

    fn build_done(
        &self,
        direction: Option<Direction>,
        pot: Option<Id>,
        map: Option<CheckMap>,
        by: Option<String>,
    ) -> StageDone {
        let stage = self.stage_at_hand();
        let wait = stage.and_then(|s| self.recipe_wait(s.kind));
        StageDone {
            direction: direction.or(stage.and_then(|s| s.direction)),
            pot,
            by,
            map,
            wait: wait.map(|span| Wait { span, origin: WaitOrigin::Recipe }),
            air_factor: None,
            stage,
        }
    }
}

impl PanelStory {
    /// The fact that act would be, happening at that moment.
    ///
    /// # Errors
    /// A [`PanelRefusal`] where the act cannot even be put into a fact; whether the fact can be true is told by [`PanelStory::with_entry`].
    pub fn build_event(&self, act: &PanelAct, m: Moment) -> Result<PanelEvent, PanelRefusal> {
        let then = self.as_of(m.wall);
        let panel = then.as_ref().map_or(self.panel(), PanelStory::panel);
        Ok(match act {
            PanelAct::Start => PanelEvent::Started { stage: panel.stage_at_hand() },
            PanelAct::Done { direction, pot, map, by } => {
                let by = by.as_deref().map(validate_text).transpose()?;
                PanelEvent::Done(Box::new(panel.build_done(*direction, pot.clone(), map.clone(), by)))
            }
            PanelAct::Dull => panel.build_dull()?,
            PanelAct::Note(text) => PanelEvent::Common(CommonEvent::Noted { text: validate_text(text)? }),
            PanelAct::Weigh(mass, offcut) => build_weighed(*mass, *offcut)?,
            PanelAct::Thick(points) => PanelEvent::Thick { points: check_points(points)? },
            PanelAct::Extra(face) => PanelEvent::Extra { face: *face },
            PanelAct::Repeat(why) => PanelEvent::Repeated { why: *why },
            PanelAct::Skip(reason) => {
                PanelEvent::Skipped { stage: panel.skippable_stage(m), why: validate_text(reason)? }
            }
            PanelAct::Away => PanelEvent::Away,
            PanelAct::Back => PanelEvent::Back,
            PanelAct::Undo { seen } => self.build_take_back(*seen)?,
            PanelAct::Abandon(reason) => PanelEvent::Abandoned { why: validate_text(reason)? },
            PanelAct::Inspect(seen) => PanelEvent::Inspected(Box::new(validate_inspection(seen, panel)?)),
            PanelAct::Place(whereabouts, to) => panel.build_placed(*whereabouts, to.as_deref(), m)?,
            // As it is said now, not as it was said then.
            PanelAct::Correct(correction) => {
                PanelEvent::Corrected(Box::new(find_changes(correction, self.panel().opened())?))
            }
        })
    }

    fn build_take_back(&self, seen: Option<u64>) -> Result<PanelEvent, PanelRefusal> {
        Ok(PanelEvent::Common(CommonEvent::Undone { takes_back: self.take_back_seq(seen)? }))
    }

    /// Refuses a start or done meant for a stage that is no longer at hand.
    ///
    /// # Errors
    /// [`PanelRefusal::NoLongerAtHand`].
    pub fn check_still_at_hand(&self, seen: &Stage, m: Moment) -> Result<(), PanelRefusal> {
        let panel = self.panel();
        let here = panel.stage_at_hand().is_some_and(|s| s.is_same_slot(seen));
        if here || panel.phase_at(m) == PanelPhase::Abandoned {
            return Ok(());
        }
        let recorded_at = self.last_standing_entry().map_or(panel.opened_at().wall, |e| e.at);
        Err(PanelRefusal::NoLongerAtHand { seen: *seen, recorded_at })
    }
}

fn build_weighed(mass: Mass, offcut: Option<Mass>) -> Result<PanelEvent, PanelRefusal> {
    let fits = |m: Mass| m.g().is_finite() && m.g() > 0.0;
    if fits(mass) && offcut.is_none_or(fits) {
        Ok(PanelEvent::Common(CommonEvent::Weighed { mass, offcut }))
    } else {
        Err(PanelRefusal::InvalidMass)
    }
}

/// What would change of that opening: words trimmed, and a thickness that is not said again kept.
fn find_changes(said: &PanelCorrection, opened: &PanelOpened) -> Result<PanelCorrection, PanelRefusal> {
    let label = said.label.as_deref().map(validate_text).transpose()?;
    let size = said.size.map(|size| Size { thickness: size.thickness.or(opened.size.thickness), ..size });
    let changes = PanelCorrection {
        label: label.filter(|label| *label != opened.label),
        size: size.filter(|size| *size != opened.size),
        support: said.support.filter(|support| *support != opened.support),
        grain: said.grain.filter(|grain| *grain != opened.grain),
        paint: said.paint.filter(|paint| *paint != opened.paint),
    };
    if changes == PanelCorrection::default() { Err(PanelRefusal::NothingToCorrect) } else { Ok(changes) }
}

fn check_points(points: &[Length]) -> Result<Vec<Length>, PanelRefusal> {
    let fits = |p: &Length| p.mm().is_finite() && p.mm() > 0.0;
    if (1..=POINTS_MAX).contains(&points.len()) && points.iter().all(fits) {
        Ok(points.to_vec())
    } else {
        Err(PanelRefusal::InvalidThickness { most: POINTS_MAX })
    }
}

/// An inspection as it is kept: its words trimmed, and refused where it cannot be true.
fn validate_inspection(seen: &Inspection, panel: &Panel) -> Result<Inspection, PanelRefusal> {
    let mut kept = seen.clone();
    kept.note = kept.note.as_deref().map(validate_text).transpose()?;
    kept.photo = kept.photo.as_deref().map(validate_text).transpose()?;
    kept.validate().map_err(|why| PanelRefusal::InvalidInspection { error: why })?;
    match kept.spoiling_test() {
        Some(test) if panel.opened().is_to_be_painted() => Err(PanelRefusal::ToBePainted { test }),
        Some(_) | None => Ok(kept),
    }
}
