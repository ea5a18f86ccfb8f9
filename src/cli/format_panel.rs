//! Panels and stories told in words, for a person at a shell.

use super::story::{StoryListRow, format_facts, format_list};
use crate::bench::{Snapshot, trusted_now};
use crate::text::{
    UnitSystem, format_count, format_countdown, format_date, format_number, format_size, format_when, sanitize,
};
use crate::units::Moment;
use crate::work::advice::board_water;
use crate::work::advice::fact_text;
use crate::work::advice::inspections::{self, FaultGrowth};
use crate::work::panel::event::{PanelEvent, Stage};
use crate::work::panel::phase::{PanelPhase, PanelStatus};
use crate::work::panel::story::PanelStory;
use crate::work::panel::whereabouts::Beholder;
use crate::work::story::StoryEvent;
use chrono::Local;
use std::collections::HashMap;

/// A stage with its direction.
pub(super) fn format_stage(stage: Stage) -> String {
    match stage.direction {
        Some(direction) => format!("{stage}, {}", direction.name()),
        None => stage.to_string(),
    }
}

/// Where a panel stands, in one sentence.
pub(super) fn format_panel_status(s: &PanelStatus, now: Moment) -> String {
    let due = s.due_at.map(|due| format_when(due, now.wall, &Local));
    let name = |of: Option<Stage>| of.map_or_else(|| "nothing more".to_owned(), format_stage);
    match (s.phase, due, s.time_left) {
        (PanelPhase::Finished, ..) => "finished".to_owned(),
        (PanelPhase::Abandoned, ..) => "given up".to_owned(),
        (PanelPhase::Working, ..) => format!("under way: {}", name(s.stage)),
        (PanelPhase::Waiting, Some(due), Some(left)) => {
            format!("{} until {due} ({}), then {}", name(s.stage), format_countdown(left), name(s.next_stage))
        }
        (PanelPhase::Waiting, ..) => format!("{}, then {}", name(s.stage), name(s.next_stage)),
        (PanelPhase::Ready, Some(due), _) => format!("ready for {} since {due}", name(s.stage)),
        (PanelPhase::Ready, ..) => format!("ready for {}", name(s.stage)),
    }
}

/// When a finished panel is to be looked over, in one sentence.
pub(super) fn format_inspection_due(story: &PanelStory, now: Moment) -> Option<String> {
    let due = inspections::due_inspection(story, now)?;
    let day = format_count(due.day, "day");
    let asked = match story.panel().beholder() {
        Beholder::Maker => "look it over",
        Beholder::Owner => "ask the owner how it is",
        Beholder::Nobody => return None,
    };
    Some(match due.is_due {
        true => format!("{asked}: due {day} after finishing, since {}", format_when(due.at, now.wall, &Local)),
        false => format!("{asked} {day} after finishing, {}", format_when(due.at, now.wall, &Local)),
    })
}

/// How a fault grew, in one line.
pub(super) fn format_growth(g: &FaultGrowth) -> String {
    let one =
        |(at, much): &(crate::units::Stamp, f64)| format!("{} {}", format_date(*at, &Local), format_number(*much, 2));
    let unit = if g.unit.is_empty() { String::new() } else { format!(" ({})", g.unit) };
    format!("  {}{unit}: {}: {}\n", g.fault, g.trend(), g.measurements.iter().map(one).collect::<Vec<_>>().join(", "))
}

/// What became of a panel, where that was said: "sold to the library, 3 March".
pub(super) fn format_placement(story: &PanelStory, now: Moment) -> Option<String> {
    let placement = story.panel().placement()?;
    let to = placement.to.as_ref().map_or_else(String::new, |to| format!(" to {to}"));
    let since = format_when(placement.since.wall, now.wall, &Local);
    Some(format!("{}{to}, {since}", placement.whereabouts.words()))
}

/// What is said after something was recorded: how it stood to the wait before it, and where the panel then stands.
pub(super) fn format_recorded(story: &PanelStory, now: Moment, units: UnitSystem) -> String {
    let panel = story.panel();
    let label = sanitize(&panel.opened().label);
    let told = story.entries().last().map(|entry| fact_text::format_fact(story, entry, units));
    let stood = told.filter(|told| !told.remarks.is_empty());
    let stood = stood.map_or_else(String::new, |told| format!(" {} ({});", told.text, told.remarks.join(", ")));
    let placed = match story.entries().last().map(|entry| &entry.event) {
        Some(PanelEvent::Placed { .. }) => format_placement(story, now).map(|place| format!("; {}", sanitize(&place))),
        _ => None,
    };
    let status = format_panel_status(&panel.status(now), now);
    format!("{label}:{stood} {status}{}\n", placed.unwrap_or_default())
}

/// Which fact the last one took back, to stand behind where the panel is then.
pub(super) fn format_taken_back(story: &PanelStory, units: UnitSystem) -> Option<String> {
    let undone = story.entries().last().and_then(|last| story.entry(last.event.takes_back()?))?;
    let text = fact_text::format_panel_event(&undone.event, None, units);
    Some(format!("; {} taken back", sanitize(&text)))
}

/// The shelf, a line each.
pub(super) fn format_panel_list(rows: &[StoryListRow]) -> String {
    if rows.is_empty() {
        return "no panels yet; open one with `sottile new LABEL --size 300x400x12mm`\n".to_owned();
    }
    format_list(rows)
}

/// What the list says of one panel.
pub(super) fn panel_list_row(snapshot: &Snapshot, now: Moment) -> StoryListRow {
    let status = |story: &PanelStory| {
        let now = trusted_now(story, now);
        let look = inspections::due_inspection(story, now).filter(|d| d.is_due);
        let look =
            look.and_then(|_| format_inspection_due(story, now)).map_or_else(String::new, |due| format!("; {due}"));
        let place = story.panel().placement().map_or_else(String::new, |p| format!("; {}", p.whereabouts.words()));
        format_panel_status(&story.panel().status(now), now) + &place + &look
    };
    StoryListRow::from_snapshot(snapshot, |panel| &panel.opened().label, status)
}

/// What weighings, calliper and, in the cure, the model say of the board; a line each.
pub(super) fn format_measured(story: &PanelStory, now: Moment, units: UnitSystem) -> Vec<String> {
    let panel = story.panel();
    let when = |stamp| format_when(stamp, now.wall, &Local);
    let water = board_water::cure_tips(panel, &panel.status(now), &when, units);
    water.into_iter().map(|tip| tip.text.into_owned()).chain(board_water::build_sentence(panel)).collect()
}

/// A whole story, with what is to be said of the wait that runs.
pub(super) fn format_panel_story(
    story: &PanelStory,
    now: Moment,
    units: UnitSystem,
    remarks: &[(u64, String)],
    wait_lines: &[String],
) -> String {
    let panel = story.panel();
    let opened = panel.opened();
    let mut text = format!(
        "{}  {} {}{}  {} for {}\n{}{}\n\n",
        sanitize(&opened.label),
        format_size(opened.size, units),
        opened.support.name(),
        opened.sheet.as_ref().map_or_else(String::new, |sheet| format!(", sheet {}", sanitize(sheet))),
        opened.recipe.name,
        opened.paint.name(),
        format_panel_status(&panel.status(now), now),
        format_placement(story, now).map_or_else(String::new, |place| format!("; {}", sanitize(&place))),
    );
    let measured = format_measured(story, now, units);
    if !measured.is_empty() {
        text.truncate(text.trim_end().len());
        text.push_str(&format!("\n{}\n\n", measured.join("\n")));
    }
    let mut facts = fact_text::format_story(story, units);
    let mut by_fact: HashMap<u64, Vec<String>> = HashMap::new();
    for (seq, remark) in remarks {
        by_fact.entry(*seq).or_default().push(remark.clone());
    }
    for fact in &mut facts {
        fact.pot_remarks = by_fact.remove(&fact.seq).unwrap_or_default();
    }
    text.push_str(&format_facts(&facts, now));
    let grown = inspections::fault_growth(story);
    if !grown.is_empty() {
        text.push_str("\nFaults over time\n");
        text.extend(grown.iter().map(self::format_growth));
    }
    if let Some(due) = format_inspection_due(story, now) {
        text.push_str(&format!("\n{due}\n"));
    }
    if !wait_lines.is_empty() {
        text.push_str(&format!("\n{}\n", wait_lines.join("\n")));
    }
    text
}
