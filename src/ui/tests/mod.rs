//! Keys go in, the screen is read: the whole window but for the terminal and the threads.

mod bench_keys;
mod desk;
mod pot_keys;
mod room;
