//! `trial show`.

use super::context::{CliContext, find_trial};
use super::error::CliError;
use super::output;
use super::trial_plan::{say_amounts, say_plan, say_power};
use crate::bench::load_trial;
use crate::work::trial::amounts::compute_trial_amounts;
use anyhow::Result;

/// Tells what a trial answers, or what is still to be laid.
pub(super) fn show_trial(context: &CliContext, query: &str, _json: bool) -> Result<()> {
    let shelf = context.shelf();
    let id = find_trial(&shelf, query)?;
    let kept = load_trial(&shelf, &id).map_err(CliError::from)?;
    let amounts = compute_trial_amounts(&kept.trial, &context.settings.bulk_densities()).map_err(CliError::failed)?;
    let mut lines = say_power(&kept.trial);
    lines.extend(say_amounts(&kept.trial, &amounts));
    lines.extend(say_plan(&kept.trial, &amounts));
    output::print_text(&(lines.join("\n") + "\n"))
}
