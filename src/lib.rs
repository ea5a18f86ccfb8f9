//! placeholder

pub mod clock;
pub mod config;
pub mod craft;
pub mod text;
pub mod units;
pub mod work;
