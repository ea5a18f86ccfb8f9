//! Keys go in, the screen is read: the whole window but for the terminal and the threads.

mod bench_keys;
pub mod contrast;
mod desk;
mod legibility;
mod plan_keys;
mod pot_keys;
mod room;
mod round_keys;
mod rounds;
#[cfg(unix)]
pub mod stand_in;
mod words;
