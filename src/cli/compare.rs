//! `compare`: panels side by side.

use super::args::CompareArgs;
use super::context::CliContext;
use super::output;
use super::progress::with_progress;
use super::read_stories::{format_time, formula_guard, print_unreadable, read_rows, require_all_readable};
use crate::review::compare::{Comparison, DRAWS, compare_panels_asking};
use crate::review::comparison_text;
use crate::review::csv::format_csv;
use crate::review::json::CompareJson;
use crate::review::panel_row::PanelRow;
use crate::text::{format_count, sanitize};
use anyhow::Result;

/// Sets panels side by side.
pub(super) fn run(context: &CliContext, args: &CompareArgs) -> Result<()> {
    let compared = with_progress(|progress| {
        let mut rows = read_rows(context, progress, &args.panels)?;
        if args.panels.is_empty() {
            leave_out_trials(&mut rows.rows);
        }
        progress.start_activity("comparing", 0);
        Ok(compare_panels_asking(rows.rows, args.by, rows.unreadable_stories, args.of, DRAWS))
    })?;
    if args.json {
        output::print_json(&CompareJson::from_comparison(&compared, &format_time))?;
    } else if args.csv {
        output::print_text(&format_csv(&compared.panels, &format_time, formula_guard(args.raw)))?;
        print_unreadable(&compared.unreadable_stories);
    } else if args.all || compared.asked.is_none() || compared.panels.is_empty() {
        output::print_text(&comparison_text::format_comparison(&compared))?;
        output::print_text(&suggest_sound_recipe(&compared))?;
    } else {
        output::print_text(&comparison_text::format_answer(&compared))?;
        output::print_text("Every panel, group and figure: sottile compare --all\n")?;
        output::print_text(&suggest_sound_recipe(&compared))?;
    }
    require_all_readable(&compared.unreadable_stories)
}

/// The boards of trials answer a question of their own, and are told by `trial show`.
fn leave_out_trials(rows: &mut Vec<PanelRow>) {
    let before = rows.len();
    rows.retain(|row| row.story.trial.is_none());
    let boards = before - rows.len();
    if boards > 0 {
        output::print_message(&format!(
            "sottile: without the {} of trials; `sottile trial show NAME` tells what they say",
            format_count(boards, "board")
        ));
    }
}

/// Where a sound panel stands among others, another like it may be wanted.
fn suggest_sound_recipe(c: &Comparison) -> String {
    let sound = c.panels.iter().filter(|row| row.story.outcome.sound == Some(true));
    let oldest = sound.max_by(|a, b| {
        let age = |row: &PanelRow| row.story.outcome.age_days.unwrap_or(0.0);
        age(a).total_cmp(&age(b))
    });
    oldest.map_or_else(String::new, |row| {
        format!("Another like {}: sottile recipe from {}\n", sanitize(&row.story.label), row.story.id)
    })
}
