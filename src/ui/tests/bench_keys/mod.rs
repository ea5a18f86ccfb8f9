//! Press keys, read the screen: every key in every phase, and what must never happen by accident.

mod alarms;
mod clock;
mod fingers;
mod saving;
mod sitting;
mod table;
mod typing;
