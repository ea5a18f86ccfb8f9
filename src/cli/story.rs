//! What the commands of panels and those of pots do alike: telling it as of a time, telling of damage.

use super::context::CliContext;
use super::error::CliError;
use super::output;
use crate::bench::{Bench, RecordError, Snapshot, trusted_now};
use crate::record::journal::{DamageKind, JournalError};
use crate::record::shelf::Shelf;
use crate::text::{display_width, format_duration, format_times_once_a_day, sanitize, truncate_to_width};
use crate::units::{Id, Moment, Stamp};
use crate::work::advice::fact_text::FactText;
use crate::work::air::Air;
use crate::work::story::{Story, StoryState};
use chrono::Local;
use rayon::prelude::*;
use std::sync::Arc;

/// A word where the last line of a story was written by a clock that was not believed.
pub(super) fn warn_if_clock_behind<F: StoryState>(story: &Story<F>) {
    if story.entries().last().is_some_and(|e| e.raw_wall.is_some()) {
        output::print_message(
            "sottile: the computer's clock was not believed, since it disagrees with the records: the time was worked out from the last entry; set the clock when you can",
        );
    }
}

/// The widest label of a list, in columns.
const LABEL_WIDTH_MAX: usize = 24;

/// The label a thing is opened with; `help` is said where there is none.
pub(super) fn require_label(label: &str, help: &str) -> Result<String, CliError> {
    let label = label.trim();
    if label.is_empty() { Err(CliError::usage(help)) } else { Ok(label.to_owned()) }
}

/// Whether nothing is wrong with it but that a newer version wrote it.
pub(super) fn is_newer<F: StoryState>(snapshot: &Snapshot<F>) -> bool {
    snapshot.damage.as_ref().is_some_and(|d| d.kind == DamageKind::NewerVersion)
}

/// Whether its file was made and never begun, so that there is no story and nothing is lost.
fn is_empty<F: StoryState>(snapshot: &Snapshot<F>) -> bool {
    snapshot.damage.as_ref().is_some_and(|d| d.kind == DamageKind::Empty)
}

/// The story, if so much as its opening can be read.
pub(super) fn require_story<F: StoryState>(snapshot: &Snapshot<F>) -> Result<&Arc<Story<F>>, CliError> {
    snapshot.story.as_ref().ok_or_else(|| {
        let damage = snapshot.damage.as_ref().map(ToString::to_string);
        let message = damage.unwrap_or_else(|| RecordError::NoStory(snapshot.id.clone()).to_string());
        if is_newer(snapshot) || is_empty(snapshot) { CliError::failed(message) } else { CliError::damaged(message) }
    })
}

/// The story as it stood at that time, or stands now, and the moment that is.
pub(super) fn story_at<F: StoryState>(
    context: &CliContext,
    snapshot: &Snapshot<F>,
    at: Option<Stamp>,
) -> Result<(Arc<Story<F>>, Moment), CliError> {
    let story = require_story(snapshot)?;
    let now = context.clock.now();
    let Some(at) = at else { return Ok((Arc::clone(story), trusted_now(story, now))) };
    let then = story.as_of(at);
    let then = then.ok_or_else(|| CliError::failed(format!("the {} was not yet opened at that time", F::NOUN)))?;
    Ok((Arc::new(then), Moment { offset_min: now.offset_min, ..Moment::from_wall(at) }))
}

/// Whether anything of it is lost. What a newer version wrote is not, though this one may not so much as read its opening.
pub(super) fn is_damaged<F: StoryState>(snapshot: &Snapshot<F>) -> bool {
    let is_damage = snapshot.damage.as_ref().is_some_and(|d| d.kind.is_damage());
    is_damage || (snapshot.story.is_none() && !is_newer(snapshot) && !is_empty(snapshot))
}

/// Fails where the journal of what was just told is damaged; says so where a newer version wrote in it.
pub(super) fn check_undamaged<F: StoryState>(snapshot: &Snapshot<F>) -> Result<(), CliError> {
    match snapshot.damage.as_ref().filter(|d| d.kind.is_blocking()) {
        Some(damage) if !damage.kind.is_damage() => {
            output::print_message(&format!(
                "sottile: {} is shown as far as this version reads it: {damage}",
                snapshot.id
            ));
            Ok(())
        }
        Some(damage) => Err(CliError::damaged(format!("{} is damaged: {damage}; see `sottile verify`", snapshot.id))),
        None => Ok(()),
    }
}

/// Says that the air's journal cannot be relied on, and fails: what was told lacks its figures.
pub(super) fn check_air(air: &Air) -> Result<(), CliError> {
    let Some(fault) = air.fault() else { return Ok(()) };
    let message = format!("the air is left out: {}; see `sottile verify`", sanitize(&fault.message));
    Err(if fault.is_damage { CliError::damaged(message) } else { CliError::failed(message) })
}

/// What is made of every story that can be read, in the order they were opened, and whether anything is lost of one; that is
/// said. A story is let go before the next is read, since a shelf may hold thousands.
pub(super) fn map_panel_stories<T: Send>(
    shelf: &Shelf,
    ids: &[Id],
    make: impl Fn(&Snapshot) -> T + Sync,
) -> (Vec<T>, bool) {
    let one = |id: &Id| {
        let snapshot = Bench::new(shelf.clone()).load(id)?;
        let opened_at = snapshot.story.as_ref().map(|story| story.panel().opened_at().wall);
        Ok::<_, JournalError>((opened_at, is_damaged(&snapshot), make(&snapshot)))
    };
    let mut made = Vec::with_capacity(ids.len());
    let mut some_damaged = false;
    for read in ids.par_iter().map(one).collect::<Vec<_>>() {
        match read {
            Ok((opened_at, is_damaged, one)) => {
                some_damaged |= is_damaged;
                made.push((opened_at, one));
            }
            Err(error) => {
                some_damaged = true;
                output::print_message(&format!("sottile: {error}"));
            }
        }
    }
    // Ids come in their order, and those opened at once stay in it.
    made.sort_by_key(|(opened_at, _)| *opened_at);
    (made.into_iter().map(|(_, one)| one).collect(), some_damaged)
}

/// What a list says of one story: id, label, where it stands.
pub(super) struct StoryListRow {
    id: String,
    label: String,
    status: String,
}

impl StoryListRow {
    /// Where a story stands, as `format_status` says.
    pub(super) fn from_snapshot<F: StoryState>(
        t: &Snapshot<F>,
        label: impl Fn(&F) -> &str,
        format_status: impl Fn(&Story<F>) -> String,
    ) -> StoryListRow {
        let (label, status) = match &t.story {
            Some(story) => {
                let damage = match &t.damage {
                    Some(damage) if damage.kind.is_damage() => "  DAMAGED, see verify",
                    Some(_) if is_newer(t) => "  NEWER VERSION, see verify",
                    Some(_) | None => "",
                };
                let label = truncate_to_width(&sanitize(label(story.state())), LABEL_WIDTH_MAX);
                (label, format_status(story) + damage)
            }
            None if is_newer(t) => (String::new(), "NEWER VERSION: this one cannot read its opening".to_owned()),
            None if is_empty(t) => {
                (String::new(), "EMPTY: nothing was ever recorded here; `verify --mend` puts it aside".to_owned())
            }
            None => (String::new(), "DAMAGED: not even its opening can be read".to_owned()),
        };
        StoryListRow { id: t.id.to_string(), label, status }
    }
}

/// A line for each.
pub(super) fn format_list(rows: &[StoryListRow]) -> String {
    let id_width = rows.iter().map(|row| row.id.len()).max().unwrap_or(0);
    let label_width = rows.iter().map(|row| display_width(&row.label)).max().unwrap_or(0);
    let mut text = String::new();
    for StoryListRow { id, label, status } in rows {
        let gap = " ".repeat(label_width - display_width(label));
        text.extend([&format!("{id:id_width$}  "), label, gap.as_str(), "  ", status, "\n"]);
    }
    text
}

/// A line for each fact: when it happened, what it was, and what is to be said of it.
pub(super) fn format_facts(facts: &[FactText], now: Moment) -> String {
    let stamps: Vec<Stamp> = facts.iter().map(|f| f.at).collect();
    let times = format_times_once_a_day(&stamps, now.wall, &Local);
    times.iter().zip(facts).map(|(at, fact)| format!("{at}  {}\n", format_fact(fact))).collect()
}

fn format_fact(fact: &FactText) -> String {
    let remarks = fact.remarks.iter().map(|remark| format!("  ({remark})"));
    let next = match fact.written_later_next {
        0 => String::new(),
        1 => ", and so is the next line".to_owned(),
        lines => format!(", and so are the next {lines} lines"),
    };
    let later = fact.written_later.map(|span| format!("  [written {} later{next}]", format_duration(span)));
    let no_effect = fact.no_effect_reason.as_ref().map(|reason| format!("  [{reason}]"));
    let around = fact.pot_remarks.iter().map(|remark| format!("  [{remark}]"));
    let notes: String = remarks.chain(later).chain(no_effect).chain(around).collect();
    sanitize(&(fact.text_with_reason() + &notes))
}
