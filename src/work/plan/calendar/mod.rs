//! The calendar: which act of which board when, so that all is ready soonest, or begun latest for a day of painting.
//!
//! `windows` are the hours in which somebody works. `board_tasks` is what one board still asks for, with what it must
//! wait for; `bench_time` what is taken already: hands, baths, wet boards, dust. `placing` puts one piece of one board into
//! it, `search` all of them, several times over in other orders, and keeps the best. `planned` is what comes of it, and
//! `wish` the answer to a day of painting, `ways` what would make it possible, `kept` the plan that is kept, `drift` how far a board is from it, and `replan` one made anew near it, `measure` how far plans are from what no plan can beat.
//!
//! Inside all is in whole minutes since 1970; work and waits are rounded up, so that none is shorter than it should be.

pub mod bench_time;
pub mod board_tasks;
pub mod drift;
pub mod hands_figures;
pub mod kept;
pub mod measure;
pub mod placing;
pub mod planned;
pub mod planned_pot;
pub mod replan;
pub mod search;
pub mod ways;
pub mod windows;
pub mod wish;

#[cfg(test)]
mod kept_tests;
#[cfg(test)]
mod tests;
