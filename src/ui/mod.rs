//! What is seen and pressed.

pub mod alert;
pub mod beside;
pub mod draw;
pub mod hatch;
pub mod keys;
pub mod run;
pub mod saver;
mod screen;
pub mod signals;
#[cfg(test)]
mod tests;
pub mod theme;
pub mod wakeful;
