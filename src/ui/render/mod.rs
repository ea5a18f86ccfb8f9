//! Draws views. A draw function reads: it takes what is looked at by reference, and keeps nothing.
//!
//! Everything that must be seen from a distance is large before it is coloured; a state is told by its word and its
//! shape.

mod alphabet;
mod bands;
mod bench;
mod bench_parts;
mod bench_plan;
mod canvas;
mod comparison;
mod cross_section;
mod digits;
mod distance_layout;
mod footer;
mod form;
mod headline;
mod keys;
mod letters;
mod making;
mod map;
mod page;
mod panel_outline;
mod partial_redraw;
mod pass_sheet;
mod plan;
mod rack_lines;
mod round_lines;
mod sitting;
mod small_layout;
mod soonest_call;
mod story;
mod tall_layout;
mod wide_layout;

#[cfg(test)]
pub mod letter_reader;
#[cfg(test)]
mod round_tests;
#[cfg(test)]
pub mod samples;
#[cfg(test)]
mod tests;

pub use bench::render_bench;
pub use comparison::render_comparison;
pub use form::render_form;
pub use keys::render_keys;
pub use making::render_making;
pub use map::render_map;
pub use page::render_page;
pub use partial_redraw::RenderCache;
pub use pass_sheet::render_pass_sheet;
pub use plan::render_plan;
pub use sitting::render_sitting;
pub use soonest_call::render_over_call;
pub use story::render_story;
