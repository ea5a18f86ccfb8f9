//! What every command is given, and finding the panel or pot one is about.

use super::args::GlobalArgs;
use super::error::CliError;
use super::output;
use crate::bench::{Bench, PlanHabits};
use crate::clock::Clock;
use crate::config::{ColorMode, Options, Settings, WaitSource};
use crate::record::files::read_boot_id;
use crate::record::journal::JournalEvent;
use crate::record::shelf::{Drawer, Shelf};
use crate::text::{WorkWeek, parse_time, sanitize};
use crate::units::{Id, Stamp};
use crate::work::panel::event::PanelEvent;
use crate::work::pot::event::PotEvent;
use crate::work::trial::event::TrialEvent;
use chrono::Local;
use std::cell::Cell;

/// What every command is given: the settings of this run and the clock.
pub(super) struct CliContext {
    pub(super) settings: Settings,
    pub(super) clock: Clock,
    is_shelf_opened: Cell<bool>,
}

impl CliContext {
    pub(super) fn load(everywhere: &GlobalArgs) -> Result<CliContext, CliError> {
        let color = everywhere.color.as_deref();
        let options = Options {
            config_file: everywhere.config.clone(),
            data_dir: everywhere.data.clone(),
            unit_system: everywhere.units,
            color_mode: color.and_then(ColorMode::from_name),
            ascii: everywhere.ascii,
        };
        let settings = Settings::load(&options).map_err(CliError::failed)?;
        for unknown in &settings.unknown_settings {
            output::print_message(&format!("sottile: {unknown}"));
        }
        Ok(CliContext { settings, clock: Clock::new(read_boot_id()), is_shelf_opened: Cell::new(false) })
    }

    /// The shelf. What is passed over on it is named, once.
    pub(super) fn shelf(&self) -> Shelf {
        let shelf = Shelf::open(self.settings.data_dir.value.clone());
        if !self.is_shelf_opened.replace(true) {
            for passed_over in shelf.find_passed_over() {
                output::print_message(&format!("sottile: {passed_over}"));
            }
        }
        shelf
    }

    /// A time as typed after `--at`, or nothing.
    pub(super) fn parse_at(&self, text: Option<&String>) -> Result<Option<Stamp>, CliError> {
        let now = self.clock.now().wall;
        text.map(|t| parse_time(t, now, &Local).map_err(|e| CliError::usage(format!("--at: {e}")))).transpose()
    }

    /// When and how somebody works here, for a plan.
    pub(super) fn plan_habits(&self) -> PlanHabits {
        let settings = &self.settings;
        let (hours, off) = (settings.hours.value.clone(), settings.off.value.clone());
        PlanHabits {
            week: WorkWeek { hours, days: settings.days.value, off },
            hands: usize::from(settings.hands.value),
            air_may_shorten: settings.air_may_shorten.value,
            own_waits: settings.waits.value == WaitSource::Own,
        }
    }

    pub(super) fn bench(&self) -> Bench {
        let settings = &self.settings;
        Bench::new(self.shelf())
            .with_air_may_shorten(settings.air_may_shorten.value)
            .with_own_waits(settings.waits.value == WaitSource::Own)
    }
}

/// The panel of that id, label, or beginning of either.
pub(super) fn find_panel(bench: &Bench, query: &str) -> Result<Id, CliError> {
    find_story::<PanelEvent>(bench, Drawer::Panels, query)
}

/// The pot of that id, label, or beginning of either.
pub(super) fn find_pot(bench: &Bench, query: &str) -> Result<Id, CliError> {
    find_story::<PotEvent>(bench, Drawer::Pots, query)
}

/// The trial of that id, label, or beginning of either.
pub(super) fn find_trial(shelf: &Shelf, query: &str) -> Result<Id, CliError> {
    shelf.find::<TrialEvent>(Drawer::Trials, query)?.map_err(|e| CliError::failed(sanitize(&e.to_string())))
}

fn find_story<E: JournalEvent>(bench: &Bench, drawer: Drawer, query: &str) -> Result<Id, CliError> {
    bench.shelf().find::<E>(drawer, query)?.map_err(|e| CliError::failed(sanitize(&e.to_string())))
}
