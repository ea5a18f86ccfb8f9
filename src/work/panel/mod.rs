//! One panel: the facts of its story, the stages its recipe makes, and where it stands.
//!
//! `event` is what can happen, `stage` what is to be done, `refusal` why a fact cannot be true, `fold` the state and
//! its one `after`, `phase` the view of it at a moment, `story` all entries together with take-backs and late facts.
//! Absent on purpose: clocks, files, serde, terminal.

pub mod event;
pub mod phase;
