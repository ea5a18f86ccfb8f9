//! What is known around the pots, read for a command.

use super::context::CliContext;
use super::error::CliError;
use crate::bench::{Bench, PotSurvey};

/// What is known around a pot: the other pots, the panels their coats went to, the air.
pub(super) fn load_pot_survey(context: &CliContext, mut bench: Bench) -> Result<PotSurvey, CliError> {
    let pots = bench.load_pots()?;
    for id in bench.shelf().panel_ids()? {
        // A panel that cannot be read is told of by `panels`.
        let _ = bench.load(&id);
    }
    let air = bench.load_air();
    let survey =
        PotSurvey { pots, panels: bench.snapshots(), air, bulk: context.settings.bulk_densities(), consumption: None };
    Ok(survey.with_own_consumption())
}
