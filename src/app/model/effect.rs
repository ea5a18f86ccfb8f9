//! What is asked of the program, what came of it, and what is still to be answered.

use super::alert_text::AlertText;
use crate::bench::{
    FinishedPanel, PanelOpening, PassEntry, PassRecorded, PassRefusals, PlanHabits, PotOpening, RecordError,
    RecordRequest, Snapshot,
};
use crate::review::compared_panels::ComparedPanels;
use crate::units::{Id, Moment, Span, Stamp};
use crate::work::air::{Air, AirReading};
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{PanelCall, Stage};
use crate::work::plan::calendar::kept::KeptPlan;
use crate::work::pot::act::PotAct;
use crate::work::pot::event::PotCall;
use crate::work::pot::fold::Pot;
use crate::work::story::CommonEvent;
use std::sync::Arc;

/// What a view asks of the program.
#[derive(Debug, Clone, PartialEq)]
pub enum Effect {
    /// Record an act on a panel.
    Record(Id, RecordRequest),
    /// Record the facts of a pass, all or none.
    RecordPass(Vec<PassEntry>),
    /// Take the facts of a pass back, all or none: panel and `seq` of each.
    UndoPass(Vec<(Id, u64)>),
    /// Move the fact of that `seq` to another time.
    Retime(Id, u64, Stamp),
    /// Write what the program noticed by itself.
    RecordNotice(Id, CommonEvent<PanelCall>),
    /// Open panels.
    OpenPanels(Box<PanelOpening>),
    /// Keep the places in which the boards lie, from left to right.
    KeepPlaces(Vec<Id>),
    /// Record an act on a pot.
    RecordPot(Id, PotAct),
    /// Write what the program noticed by itself of a pot.
    RecordPotNotice(Id, CommonEvent<PotCall>),
    /// Open a pot.
    OpenPot(Box<PotOpening>),
    /// Record the air.
    RecordAir(AirReading),
    /// Plan every unfinished panel anew, and keep the plan.
    Replan(Box<PlanHabits>),
    /// Read the shelf, to set panels side by side.
    ReadComparison,
    /// Read the finished panels of the shelf, to look them over.
    ReadFinishedPanels,
    /// Record a look at a finished panel, or take one back.
    RecordInspection(Id, RecordRequest),
    /// Sound that call once.
    RingBell(PanelCall),
    /// Tell the desktop and the maker's own command of that call.
    SendAlert(Box<AlertText>),
    /// Say that aloud, where the maker wants to hear it.
    Speak(String),
    /// Put the hurried clock of a rehearsal forward, and tell [`Model::shift_moments`](super::Model::shift_moments).
    AdvanceClock(Span),
    /// The time runs on from there with the boot clock: until the wall clock is ahead of it, or for good.
    RunClockFrom(Stamp, bool),
    /// Give the terminal back until the program is continued.
    Suspend,
    /// Leave the bench.
    Quit,
}

/// What came of a request to the journals.
#[derive(Debug, Clone, PartialEq)]
pub enum Reply {
    /// These panels changed, the one named in the request first.
    Changed(Vec<Snapshot>),
    /// These panels changed, and those others it concerns could not be written to.
    PartlyRecorded(Vec<Snapshot>, Vec<(Id, RecordError)>),
    /// The facts of a pass are on disk, or taken back, but for those that could not be written.
    PassRecorded(PassRecorded),
    /// Nothing of the pass was recorded or taken back: the place of each fact that cannot be, and why.
    PassRefused(PassRefusals),
    /// These panels were opened.
    Opened(Vec<Snapshot>),
    /// Others recorded something on these.
    ChangedElsewhere(Vec<Snapshot>),
    /// The shelf was read: its panels, and the stories that could not be.
    ComparisonRead(ComparedPanels),
    /// The finished panels were read, and so many others were not.
    FinishedPanelsRead(Vec<FinishedPanel>, usize),
    /// A look at this one is on disk, or was taken back.
    InspectionRecorded(Snapshot),
    /// Nothing was recorded of that look.
    InspectionFailed(Id, RecordError),
    /// What the program noticed is written on this one.
    NoticeRecorded(Snapshot, CommonEvent<PanelCall>),
    /// What the program noticed is not written.
    NoticeFailed(Id, CommonEvent<PanelCall>, RecordError),
    /// Nothing was recorded.
    Failed(RecordError),
    /// This plan was made and is kept; what it does otherwise than the one before, in lines.
    Planned(Box<KeptPlan>, Vec<String>),
    /// No plan was made, and why.
    PlanFailed(String),
    /// So few megabytes are left on the disk of the journals.
    LowSpace(u64),
    /// The program panicked while it recorded; from here on it records nothing.
    RecordingStopped,
    /// These are the pots there are, and the air: told once at the beginning.
    PotsLoaded(Vec<Snapshot<Pot>>, Arc<Air>),
    /// This pot changed by the maker's press.
    PotChanged(Snapshot<Pot>),
    /// This pot was opened.
    PotOpened(Snapshot<Pot>),
    /// Something is new about these pots, the maker's own press apart.
    PotsChangedElsewhere(Vec<Snapshot<Pot>>),
    /// The air was recorded by the maker's press.
    AirRecorded(Arc<Air>),
    /// The air was recorded by somebody else.
    AirChangedElsewhere(Arc<Air>),
}

/// A request the journals have not answered yet. They answer in the order asked.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct PendingEffect {
    pub(super) since: Moment,
    pub(super) kind: PendingKind,
}

/// What a request is for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum PendingKind {
    /// An act done, of that stage where the maker saw one.
    Done(Option<Stage>),
    /// An act done on several boards, of the stage pressed last.
    Pass(Stage),
    /// Any other fact.
    OtherFact,
    /// The time of that stage's fact, so many minutes earlier.
    Retime { stage: Stage, min: u32 },
    /// Panels opened.
    OpenPanels,
    /// Something about pots or the air.
    Pot,
    /// The shelf read.
    ReadShelf,
    /// A look at a finished panel.
    Inspection,
}

impl PendingKind {
    pub(super) fn from_act(act: &PanelAct, seen: Option<Stage>) -> PendingKind {
        match act {
            PanelAct::Done { .. } => PendingKind::Done(seen),
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
            | PanelAct::Abandon(_) => PendingKind::OtherFact,
        }
    }
}
