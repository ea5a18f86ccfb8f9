//! `demo`: invented stories, to look at.

use super::args::Demo;
use super::failure::Fault;
use super::out;
use crate::record::demo::{Asked, DemoFailure, write};
use anyhow::Result;

/// Writes the stories and prints the id of each.
pub(super) fn run(asked: &Demo) -> Result<()> {
    let stories = Asked { panels: asked.panels, seed: asked.seed, cause: asked.cause, force: asked.force };
    let ids = write(&asked.into, &stories).map_err(Fault::from)?;
    out::text(&ids.iter().map(|id| format!("{id}\n")).collect::<String>())?;
    let dir = asked.into.display();
    out::say(&format!("sottile: {} invented panels; look at them with `sottile --data {dir} panels`", ids.len()));
    Ok(())
}

impl From<DemoFailure> for Fault {
    fn from(failure: DemoFailure) -> Self {
        match failure {
            DemoFailure::Journal(failure) => failure.into(),
            DemoFailure::HasStories { .. } | DemoFailure::Refused(_) | DemoFailure::Trouble { .. } => {
                Fault::not_done(failure)
            }
        }
    }
}
