//! Press keys, read the screen: every key in every phase, and what must never happen by accident.

mod alarms;
mod fingers;
mod saving;
mod sitting;
mod table;
mod typing;
