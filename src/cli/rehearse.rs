//! `rehearse`: a whole panel in some minutes, on the same bench.
//!
//! It lies in a temporary directory that is removed on every way out the program can see: leaving, a failure, a panic, a
//! signal. After SIGKILL `sottile-rehearsal-...` stays in the system's temporary directory, which the system clears.

use super::args::Rehearse;
use super::failure::Fault;
use super::{Here, bench, out, recipe};
use crate::app::view::Manner;
use crate::bench::{Bench, Opening};
use crate::clock::Clock;
use crate::craft::materials::Support;
use crate::craft::recipe::Paint;
use crate::record::files::boot_id;
use crate::record::shelf::Shelf;
use crate::ui::alert::Ways;
use crate::ui::run::{Run, run as open};
use crate::ui::signals;
use crate::units::{Length, Size, Span};
use anyhow::{Context, Result};
use std::path::Path;
use std::sync::Arc;

/// Opens the bench over a panel for practice.
pub(super) fn run(here: &Here, asked: &Rehearse) -> Result<()> {
    bench::needs_a_screen()?;
    let recipe = Arc::new(recipe::find(here, &asked.recipe)?);
    let place = tempfile::Builder::new().prefix("sottile-rehearsal-").tempdir();
    let place = place.context("no temporary directory can be made")?;
    let path = place.path().to_owned();
    signals::at_end(move || remove(&path));
    let clock = Clock::paced(boot_id(), f64::from(asked.pace));
    let mut bench = Bench::new(Shelf::open(place.path()));
    let opening = Opening {
        label: "Rehearsal: Wren".to_owned(),
        size: Size {
            width: Length::from_mm(300.0),
            height: Length::from_mm(400.0),
            thickness: Some(Length::from_mm(12.0)),
        },
        support: Support::BirchPlywood,
        grain: None,
        paint: recipe.suits.first().copied().unwrap_or(Paint::Oil),
        recipe,
        count: 1,
        at: None,
    };
    bench.open(&opening, &|| clock.now()).map_err(|(why, _)| Fault::from(why))?;
    let settings = &here.settings;
    let how = Run {
        clock,
        theme: bench::theme(settings),
        units: settings.units.value,
        // The bell rings as on any day; the desktop and the maker's own command are left in peace.
        ways: Ways { desktop: false, command: Vec::new(), ..bench::ways(settings) },
        manner: Manner {
            night: None,
            ring_for: Span::from_min(settings.alarm.repeat_min.value),
            recipes: recipe::choices(here),
            shelved: Vec::new(),
        },
        loose_g_per_ml: super::pot::loose(here),
        sitting: false,
    };
    let left = open(bench, how);
    remove(place.path());
    left.context("the terminal failed")?;
    out::text("The rehearsal is over; nothing of it is kept. `sottile` opens the bench for a panel of your own.\n")
}

/// Removes the directory. The thread that saves may still be writing a last line, so it is tried more than once.
fn remove(place: &Path) {
    for _ in 0..20 {
        match std::fs::remove_dir_all(place) {
            Err(_) if place.exists() => std::thread::yield_now(),
            Ok(()) | Err(_) => return,
        }
    }
}
