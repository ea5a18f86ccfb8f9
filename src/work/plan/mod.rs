//! What comes next over all boards and pots, and how far one pair of hands gets with them.
//!
//! `queue` is the order in which boards and pots want somebody. `board_load` is what one board still asks of the hands,
//! `round` plays all of them forward; from that `hands` tells how many boards are kept going, and `session_end` when the
//! last coat is laid. `calendar` is the whole work over days;
//! `bench_sheet` what is left of it, for paper,
//! `board_needs` what it still takes from the cupboard. Foretold; `event` is that a plan is kept.

pub mod bench_sheet;
pub mod board_load;
pub mod board_needs;
pub mod calendar;
pub mod event;
pub mod hands;
pub mod queue;
pub mod round;
pub mod session_end;

#[cfg(test)]
mod tests;
