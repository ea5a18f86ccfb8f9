//! One panel: the facts of its story, the stages its recipe makes, and where it stands.
//!
//! From the ground up: `inspection` what is seen afterwards; `event` what can happen; `stage` what is to be done; `refusal` why a fact cannot be true;
//! `state` a panel as its facts leave it; `wait` the wait in force and how a fact is judged by it; `phase` the view at
//! a moment; `fold` the one way it changes; `story` all entries with take-backs and late facts; `adjusted_wait` the wait
//! after a coat in the air of its time; `act` what a maker asks to have recorded.

pub mod act;
pub mod adjusted_wait;
pub mod event;
pub mod fold;
pub mod inspection;
pub mod phase;
pub mod refusal;
pub mod stage;
pub mod state;
pub mod story;
pub mod wait;

#[cfg(test)]
mod adjusted_wait_tests;
#[cfg(test)]
mod tests;
