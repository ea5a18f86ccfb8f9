//! What is looked at: one struct for each view, and what a key does to it.
//!
//! `model` is the bench and all that lies over it, `sitting` a look over the finished panels, `message` what a key press
//! can ask for and `keymap` which key asks for it, `block_names` what each board is called in block letters. `view_model` makes from what is true what is drawn, as plain data:
//! `bench_view_model`, `overlay_view_models`, `page_view_model`. How it is drawn is the `ui`'s.

mod batch_amounts;
pub mod bench_view_model;
mod block_names;
pub mod comparison_model;
pub mod form;
pub mod key;
pub mod keymap;
pub mod message;
pub mod model;
pub mod overlay_view_models;
pub mod page_view_model;
pub mod plan_view_model;
pub mod sitting;
pub mod view_model;
