//! One panel: the facts of its story, the stages its recipe makes, and where it stands.
//!
//! From the ground up: `ground_test` the small tests of a ground; `inspection` what is seen afterwards; `test_readings`
//! what a test came to, as typed; `whereabouts` what became of it; `grain` which way the wood runs; `correction` what was
//! said at the opening, put right; `event` what can happen; `stage_kind` and `stage_table`
//! what each kind of stage is; `stage` what is to be done; `refusal` why a fact cannot be true;
//! `measured` what balance and calliper say (taken in by `measuring`); `state` a panel as its facts leave it; `wait` the wait in force and how a fact is judged by it; `phase` the view at
//! a moment; `fold` the one way it changes; `story` all entries with take-backs and late facts; `adjusted_wait` the wait
//! after a coat in the air of its time; `board_moisture` the water that is likely to be in the board; `dryness` whether its weighings
//! have come to rest; `act` what a maker asks to have recorded.

pub mod act;
pub mod adjusted_wait;
pub mod board_moisture;
pub mod correction;
pub mod dryness;
pub mod event;
pub mod fold;
pub mod grain;
pub mod ground_test;
pub mod inspection;
pub mod measured;
mod measuring;
pub mod phase;
pub mod refusal;
pub mod stage;
pub mod stage_kind;
pub mod stage_table;
pub mod state;
pub mod story;
mod test_readings;
pub mod wait;
pub mod whereabouts;

#[cfg(test)]
mod adjusted_wait_tests;
#[cfg(test)]
mod tests;
