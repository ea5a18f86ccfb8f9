//! What is kept: files that are whole or not there, journals that only grow, and the shelf on which they lie.
//!
//! `files` replaces, locks and reads the system's small facts; `journal` is one story on disk; `shelf` is where the
//! stories lie and how one is found; `demo` invents stories, `exchange` moves them from one shelf to another.

pub mod demo;
pub mod exchange;
pub mod files;
pub mod journal;
pub mod shelf;
pub mod watch;
