//! Press keys, read the screen: every key in every phase, and what must never happen by accident.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

#[path = "bench_keys/alarms.rs"]
mod alarms;
#[path = "bench_keys/desk.rs"]
mod desk;
#[path = "bench_keys/fingers.rs"]
mod fingers;
#[path = "bench_keys/saving.rs"]
mod saving;
#[path = "bench_keys/sitting.rs"]
mod sitting;
#[path = "bench_keys/table.rs"]
mod table;
#[path = "bench_keys/typing.rs"]
mod typing;
