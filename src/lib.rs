//! placeholder

pub mod app;
pub mod bench;
pub mod cli;
pub mod clock;
pub mod config;
pub mod craft;
pub mod record;
pub mod text;
pub mod ui;
pub mod units;
pub mod work;
