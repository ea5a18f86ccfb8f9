//! placeholder


pub mod bench;

pub mod clock;
pub mod config;
pub mod craft;
pub mod record;
pub mod text;

pub mod units;
pub mod work;
