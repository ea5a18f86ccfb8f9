//! What is seen and pressed.

pub mod alert;
pub mod event_loop;
pub mod hatch;
pub mod keys;
pub mod render;
pub mod saving_thread;
mod screen;
pub mod signals;
pub mod sleep_inhibitor;
pub mod studio_thread;
#[cfg(test)]
mod tests;
pub mod theme;
pub mod voice;
