//! placeholder

pub mod app;
pub mod clock;
pub mod craft;
pub mod text;
pub mod ui;
pub mod units;
pub mod work;
