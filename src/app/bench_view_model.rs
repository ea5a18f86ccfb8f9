//! The bench as plain data: everything its screen shows, in words.
//!
//! Whoever makes a scene has already asked the clock, the zone and the stories; a moment arrives here as text. A text
//! that has nothing to say is empty.

use super::keymap::KeyHint;
use crate::craft::recipe::Direction;
use crate::work::panel::event::{Face, Roughness, StageKind};
use crate::work::panel::phase::PanelPhase;

/// Everything the bench shows of one panel and what stands around it.
#[derive(Debug, Clone, PartialEq)]
pub struct BenchViewModel {
    /// Which panel this is.
    pub header: PanelHeader,
    /// The board in block letters: the shortest beginning of its label that no other on the rack has, 3 to 6 capitals;
    /// empty where there is only one.
    pub block_name: String,
    /// What is asked, or must be known, at the size of the act and in its place; none where the act stands there.
    pub block_card: Option<BlockCard>,
    /// The boards in their places, left to right as they lie; empty where there is only one.
    pub places: Vec<PlaceViewModel>,
    /// What comes, in order, over all boards and pots, without the act on the screen.
    pub queue: Vec<QueueItem>,
    /// When it ends: "last coat of all four about 16:05"; empty where nothing is laid.
    pub session_end: String,
    /// How many boards the hands keep going, how to start them, and when two fall due together; empty with one board.
    pub hands_advice: String,
    /// The pot's own band, once it wants something or soon will.
    pub pot_band: Option<BandViewModel>,
    /// Another board that calls while this one is shown.
    pub call_band: Option<BandViewModel>,
    /// The local time, as it is to be read: "Tue 14:07".
    pub clock: String,
    /// Where the panel stands.
    pub phase: PanelPhase,
    /// The act that is called for, or that is under way.
    pub act: ActViewModel,
    /// How pressing it is.
    pub urgency: Urgency,
    /// The large digits; none where nothing counts.
    pub timer: Option<TimerViewModel>,
    /// What stands under the digits: "look for dull from 14:11, due 14:14".
    pub due: String,
    /// What being late, early or away means, in words.
    pub explanation: String,
    /// What is to be known before the act: what a gap means, what is to be said of the pot.
    pub remark: String,
    /// The panel cut open.
    pub cross_section: CrossSectionViewModel,
    /// The pots, the one in use first.
    pub pots: Vec<PotLines>,
    /// The other panels, the soonest call first.
    pub rack: Vec<RackLine>,
    /// The air of the room: "19 C 55 %".
    pub air: String,
    /// Finished panels to be looked over: "Inspection due: Wren (day 28), 2 more: key l", then the
    /// same in fewer words; empty if none.
    pub inspections_due: Vec<String>,
    /// What comes after the act: "then coat 5, horizontal".
    pub next_act: String,
    /// The sentence a newcomer is led by; empty outside a rehearsal.
    pub guidance: String,
    /// A tip of this stage.
    pub tip: String,
    /// A caution of this stage.
    pub caution: String,
    /// The keys worth naming now, the most needed first.
    pub keys: Vec<KeyHint>,
    /// A word about the recording.
    pub status_line: Option<StatusLine>,
    /// What a second press would answer: "4 min early - press again to record".
    pub confirmation: Option<String>,
    /// The fact just recorded, while its time may still be stepped.
    pub recent_fact: Option<RecentFactViewModel>,
    /// Whether the maker wants only what is readable from afar.
    pub distance_mode: bool,
}

/// Which panel this is.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelHeader {
    /// What the maker calls it, as typed.
    pub label: String,
    /// Width and height in millimetres, width first with the arrow up.
    pub size_mm: (f64, f64),
    /// The size as it is to be read: "300 x 400 x 12 mm".
    pub size: String,
    /// What the board is made of.
    pub support: String,
    /// The recipe's name.
    pub recipe: String,
}

/// What takes the place of the act in block letters.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BlockCard {
    /// One or two lines of at most 16 letters, the board's name among them: "BAY 8 EARLY", "AGAIN?".
    pub lines: Vec<String>,
    /// What a press does, in words: "Space again lays it, any other key: no".
    pub explanation: String,
    /// Whether a press would go against what the program advises, so that it stands inside out.
    pub is_warning: bool,
}

/// A band along the lower edge, in block letters.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BandViewModel {
    /// The letters, at most 16: "POT OUT 2:10", "ASH NOW".
    pub text: String,
    /// What to do, in words: "p: out of the bath".
    pub explanation: String,
    /// It calls now: it stands inside out. Otherwise it only counts, and gives way where there is no room.
    pub is_calling: bool,
}

/// One board in its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlaceViewModel {
    /// Its block name, with a capital: "Ash".
    pub name: String,
    /// Time left or over: "2:10", "+0:40", "now", "21 h".
    pub time: String,
    /// It is the one on the screen.
    pub is_shown: bool,
    /// Its act is due or under way.
    pub is_due: bool,
}

/// Something that comes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct QueueItem {
    /// Whose: "Ash", "POT".
    pub name: String,
    /// What: "coat 4", "IN", "OUT".
    pub what: String,
    /// In which direction.
    pub direction: Option<Direction>,
    /// When: "now", "2:10".
    pub time: String,
    /// It wants doing now.
    pub is_now: bool,
    /// It is a pot's.
    pub is_pot: bool,
}

/// One act as a verb and its object.
#[derive(Debug, Clone, PartialEq)]
pub struct ActViewModel {
    /// The kind of the stage it belongs to; the hatching follows from it.
    pub kind: StageKind,
    /// The face it is done on.
    pub face: Option<Face>,
    /// The direction it is to be done in.
    pub direction: Option<Direction>,
    /// What to do: "lay".
    pub verb: String,
    /// To what: "coat 4".
    pub object: String,
    /// The act in block letters, at most 14: "COAT 4".
    pub block: String,
    /// Of how many: "of 6".
    pub total: String,
    /// The direction by the panel's shape: "the long way", "across".
    pub orientation: String,
    /// How: "thin, one pass, do not go back in".
    pub how: String,
    /// Where the last check found the ground low, rows from the top: what the hands need while they scrape.
    pub lows: Option<Vec<Vec<Roughness>>>,
}

/// How pressing the act is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Urgency {
    /// Nothing counts.
    Idle,
    /// A wait runs.
    Counting,
    /// The wait is nearly over.
    Soon,
    /// The wait is over.
    Overdue,
    /// The wait is over, and the alarm rings.
    Ringing,
}

impl Urgency {
    /// Whether the wait is over, ringing or not.
    pub const fn is_overdue(self) -> bool {
        matches!(self, Urgency::Overdue | Urgency::Ringing)
    }
}

/// The large digits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimerViewModel {
    /// Whole seconds, counted from what `reads` says.
    pub seconds: u64,
    /// What the seconds are.
    pub kind: TimerKind,
    /// How much of the wait is gone, 0 to 1, where that is known.
    pub progress: Option<f64>,
}

/// What the large digits are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TimerKind {
    /// Time left until the act is due.
    Remaining,
    /// Time gone since it fell due.
    Overdue,
    /// Time since the act was begun.
    Elapsed,
}

/// The panel cut open.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CrossSectionViewModel {
    /// The wood as it is to be read: "birch ply 12 mm".
    pub wood: String,
    /// What lies or will lie on the front, from the wood outwards.
    pub front: Vec<LayerViewModel>,
    /// What lies or will lie on the back, from the wood outwards.
    pub back: Vec<LayerViewModel>,
}

/// One layer of the section.
#[derive(Debug, Clone, PartialEq)]
pub struct LayerViewModel {
    /// What it is; kinds that leave nothing behind are drawn as a line.
    pub kind: StageKind,
    /// Its number within kind and face.
    pub number: Option<u32>,
    /// The direction it was or will be laid in.
    pub direction: Option<Direction>,
    /// Whether it is there yet.
    pub state: LayerState,
    /// When it was laid, or what else names it: "13:59", "size x2 Mon".
    pub caption: String,
    /// What differed from the plan: "2 min early".
    pub deviation: String,
}

/// Whether a layer is there yet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LayerState {
    /// It lies there.
    Laid,
    /// It is the one called for.
    Next,
    /// It comes later.
    Coming,
    /// It was left out.
    Skipped,
    /// It lies there and was done again.
    Repeated,
}

/// One pot in a few lines.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PotLines {
    /// What the maker calls it, as typed.
    pub label: String,
    /// How it stands, the most needed first: "liquid since 13:58", "into the bath at 14:10".
    pub lines: Vec<String>,
    /// Whether it wants something done now.
    pub is_action_needed: bool,
}

/// Another panel on the rack.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RackLine {
    /// What the maker calls it, as typed.
    pub label: String,
    /// Its next act: "coat 3 of 6".
    pub act: String,
    /// The direction of that act.
    pub direction: Option<Direction>,
    /// Time left or over: "6:10", "+2:05", "21 h".
    pub time: String,
    /// Whether its wait is over.
    pub overdue: bool,
}

/// A word about the recording.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StatusLine {
    /// The words: "saving", "recorded at 14:02 by another window".
    pub text: String,
    /// Whether something is wrong, so that it must not be overlooked: "not saved".
    pub urgent: bool,
}

/// A fact just recorded, while its time may still be stepped.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecentFactViewModel {
    /// Whose, in capitals where there are several boards: "ASH".
    pub name: String,
    /// What was recorded: "coat 3 laid".
    pub what: String,
    /// At which local time it now stands: "14:02".
    pub at: String,
    /// How long ago that is: "2 min ago", "just now".
    pub ago: String,
}
