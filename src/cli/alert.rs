//! `alert test`: rings what the bench would ring, so that a maker knows beforehand what will be heard and seen.

use super::{Here, bench, out};
use crate::ui::alert::{CALLS, rehearse, words};
use crate::ui::wakeful;
use anyhow::Result;

/// What stands for the panel.
const LABEL: &str = "Wren";

/// Rings each pattern and tells what was tried.
pub(super) fn test(here: &Here) -> Result<()> {
    let ways = bench::ways(&here.settings);
    for call in CALLS {
        let tried = rehearse(&ways, call, LABEL);
        let tried = if tried.is_empty() { "nothing: no way is chosen".to_owned() } else { tried.join("; ") };
        out::text(&format!("{} (\"{}\"): {tried}\n", call.name(), words(call)))?;
        if call != CALLS[CALLS.len() - 1] {
            std::thread::sleep(std::time::Duration::from_secs(2));
        }
    }
    if !wakeful::ASKS {
        out::text("this build does not ask the computer to stay awake during a wait\n")?;
    }
    let file = here.settings.file.as_ref().map_or_else(String::new, |f| format!(" in {}", f.value.display()));
    out::text(&format!("What is tried is chosen{file}, table alarm: bell, desktop, command.\n"))
}
