//! placeholder

pub mod clock;
pub mod craft;
pub mod units;
pub mod work;
