//! `alert test`: rings what the bench would ring, so that a maker knows beforehand what will be heard and seen.

use super::context::CliContext;
use super::{bench, output};
use crate::ui::alert::{CALLS, call_text, play_alert};
use crate::ui::sleep_inhibitor;
use anyhow::Result;

/// What stands for the panel.
const EXAMPLE_LABEL: &str = "Wren";

/// Rings each pattern and tells what was tried.
pub(super) fn test_alerts(here: &CliContext) -> Result<()> {
    let ways = bench::alert_ways_from_settings(&here.settings);
    for call in CALLS {
        let tried = play_alert(&ways, call, EXAMPLE_LABEL);
        let tried = if tried.is_empty() { "nothing: no way is chosen".to_owned() } else { tried.join("; ") };
        output::print_text(&format!("{} (\"{}\"): {tried}\n", call.name(), call_text(call)))?;
        if call != CALLS[CALLS.len() - 1] {
            std::thread::sleep(std::time::Duration::from_secs(2));
        }
    }
    if !sleep_inhibitor::IS_SUPPORTED {
        output::print_text("this build does not ask the computer to stay awake during a wait\n")?;
    }
    let file = here.settings.config_file.as_ref().map_or_else(String::new, |f| format!(" in {}", f.value.display()));
    output::print_text(&format!("What is tried is chosen{file}, table alarm: bell, desktop, command.\n"))
}
