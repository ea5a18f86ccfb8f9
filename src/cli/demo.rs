//! `demo`: invented stories, to look at.

use super::args::DemoArgs;
use super::error::CliError;
use super::output;
use crate::record::demo::{DemoError, DemoOptions, write_demo};
use anyhow::Result;

/// Writes the stories and prints the id of each.
pub(super) fn run(asked: &DemoArgs) -> Result<()> {
    let stories = DemoOptions { panels: asked.panels, seed: asked.seed, cause: asked.cause, force: asked.force };
    let ids = write_demo(&asked.into, &stories).map_err(CliError::from)?;
    output::print_text(&ids.iter().map(|id| format!("{id}\n")).collect::<String>())?;
    let dir = asked.into.display();
    output::print_message(&format!(
        "sottile: {} invented panels; look at them with `sottile --data {dir} panels`",
        ids.len()
    ));
    Ok(())
}

impl From<DemoError> for CliError {
    fn from(failure: DemoError) -> Self {
        match failure {
            DemoError::Journal(failure) => failure.into(),
            DemoError::HasStories { .. } | DemoError::Refused(_) | DemoError::Io { .. } => CliError::failed(failure),
        }
    }
}
