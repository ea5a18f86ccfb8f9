//! What the commands of panels and those of pots do alike: telling it as of a time, telling of damage.

use super::context::CliContext;
use super::error::CliError;
use super::output;
use crate::bench::{RecordError, Snapshot, trusted_now};
use crate::record::journal::{DamageKind, JournalError};
use crate::text::{display_width, format_duration, format_times_once_a_day, sanitize, truncate_to_width};
use crate::units::{Id, Moment, Stamp};
use crate::work::advice::fact_text::FactText;
use crate::work::air::Air;
use crate::work::story::{Story, StoryState};
use chrono::Local;
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

/// Every story that can be read, and whether one cannot; that is said.
pub(super) fn load_stories<F: StoryState>(
    ids: &[Id],
    mut load: impl FnMut(&Id) -> Result<Snapshot<F>, JournalError>,
) -> (Vec<Snapshot<F>>, bool) {
    let mut snapshots = Vec::new();
    for id in ids {
        match load(id) {
            Ok(snapshot) => snapshots.push(snapshot),
            Err(error) => output::print_message(&format!("sottile: {error}")),
        }
    }
    let some_unread = snapshots.len() < ids.len();
    (snapshots, some_unread)
}

/// A line for each: id, label, and where it stands as `format_status` says.
pub(super) fn format_list<F: StoryState>(
    snapshots: &[Snapshot<F>],
    label: impl Fn(&F) -> &str,
    format_status: impl Fn(&Story<F>) -> String,
) -> String {
    let row = |t: &Snapshot<F>| match &t.story {
        Some(story) => {
            let damage = match &t.damage {
                Some(damage) if damage.kind.is_damage() => "  DAMAGED, see verify",
                Some(_) if is_newer(t) => "  NEWER VERSION, see verify",
                Some(_) | None => "",
            };
            let label = truncate_to_width(&sanitize(label(story.state())), LABEL_WIDTH_MAX);
            (t.id.to_string(), label, format_status(story) + damage)
        }
        None if is_newer(t) => {
            (t.id.to_string(), String::new(), "NEWER VERSION: this one cannot read its opening".to_owned())
        }
        None if is_empty(t) => (
            t.id.to_string(),
            String::new(),
            "EMPTY: nothing was ever recorded here; `verify --mend` puts it aside".to_owned(),
        ),
        None => (t.id.to_string(), String::new(), "DAMAGED: not even its opening can be read".to_owned()),
    };
    let rows: Vec<_> = snapshots.iter().map(row).collect();
    let id_width = rows.iter().map(|r| r.0.len()).max().unwrap_or(0);
    let label_width = rows.iter().map(|r| display_width(&r.1)).max().unwrap_or(0);
    let line = |(id, label, message): &(String, String, String)| {
        let gap = " ".repeat(label_width - display_width(label));
        format!("{id:id_width$}  {label}{gap}  {message}\n")
    };
    rows.iter().map(line).collect()
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
