//! placeholder

pub mod clock;
pub mod craft;
pub mod record;
pub mod units;
pub mod work;
