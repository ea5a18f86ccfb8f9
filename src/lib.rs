//! placeholder

pub mod clock;
// config
pub mod craft;
pub mod text;
pub mod units;
pub mod work;
