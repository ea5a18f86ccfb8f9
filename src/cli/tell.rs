//! Panels and stories told in words, for a person at a shell.

use crate::bench::{Told, believed_now};
use crate::text::{Units, clean, countdown, date, fit, lasting, round_to, size, when, width};
use crate::units::{Entry, Moment};
use crate::work::advice::inspections::{self, Growth};
use crate::work::advice::told;
use crate::work::panel::event::{Event, Stage};
use crate::work::panel::phase::{Phase, Standing};
use crate::work::panel::story::Story;
use chrono::Local;

/// A stage with its direction.
pub(super) fn stage(stage: Stage) -> String {
    match stage.direction {
        Some(direction) => format!("{stage}, {}", direction.name()),
        None => stage.to_string(),
    }
}

/// Where a panel stands, in one sentence.
pub(super) fn standing(s: &Standing, now: Moment) -> String {
    let due = s.due_at.map(|due| when(due, now.wall, &Local));
    let name = |of: Option<Stage>| of.map_or_else(|| "nothing more".to_owned(), stage);
    match (s.phase, due, s.left) {
        (Phase::Finished, ..) => "finished".to_owned(),
        (Phase::Abandoned, ..) => "given up".to_owned(),
        (Phase::Working, ..) => format!("under way: {}", name(s.stage)),
        (Phase::Waiting, Some(due), Some(left)) => {
            format!("{} until {due} ({}), then {}", name(s.stage), countdown(left), name(s.next))
        }
        (Phase::Waiting, ..) => format!("{}, then {}", name(s.stage), name(s.next)),
        (Phase::Ready, Some(due), _) => format!("ready for {} since {due}", name(s.stage)),
        (Phase::Ready, ..) => format!("ready for {}", name(s.stage)),
    }
}

/// When a finished panel is to be looked over, in one sentence.
pub(super) fn inspection_due(story: &Story, now: Moment) -> Option<String> {
    let due = inspections::due(story, now)?;
    let day = if due.day == 1 { "1 day".to_owned() } else { format!("{} days", due.day) };
    Some(match due.now {
        true => format!("look it over: due {day} after finishing, since {}", when(due.at, now.wall, &Local)),
        false => format!("look it over {day} after finishing, {}", when(due.at, now.wall, &Local)),
    })
}

/// How a fault grew, in one line.
pub(super) fn grown(g: &Growth) -> String {
    let one = |(at, much): &(crate::units::Stamp, f64)| format!("{} {}", date(*at, &Local), round_to(*much, 2));
    let unit = if g.unit.is_empty() { String::new() } else { format!(" ({})", g.unit) };
    format!("  {}{unit}: {}: {}\n", g.fault, g.does(), g.seen.iter().map(one).collect::<Vec<_>>().join(", "))
}

/// What is said after something was recorded: how it stood to the wait before it, and where the panel then stands.
pub(super) fn recorded(story: &Story, now: Moment) -> String {
    let panel = story.panel();
    let label = clean(&panel.opened().label);
    let told = story.entries().last().map(|entry| told::told(story, entry));
    let stood = told.filter(|told| !told.stood.is_empty());
    let stood = stood.map_or_else(String::new, |told| format!(" {} ({});", told.what, told.stood.join(", ")));
    format!("{label}:{stood} {}\n", standing(&panel.standing(now), now))
}

/// The shelf, a line each.
pub(super) fn panels(told: &[Told], now: Moment) -> String {
    if told.is_empty() {
        return "no panels yet; open one with `sottile new LABEL --size 300x400x12mm`\n".to_owned();
    }
    let row = |t: &Told| match &t.story {
        Some(story) => {
            let now = believed_now(story, now);
            let damage = if t.damage.as_ref().is_some_and(|d| d.kind.blocks()) { "  DAMAGED, see verify" } else { "" };
            let panel = story.panel();
            let label = fit(&clean(&panel.opened().label), 24);
            let look = inspections::due(story, now).filter(|d| d.now);
            let look = look.and_then(|_| inspection_due(story, now)).map_or_else(String::new, |due| format!("; {due}"));
            (t.id.to_string(), label, standing(&panel.standing(now), now) + &look + damage)
        }
        None => (t.id.to_string(), String::new(), "DAMAGED: not even its opening can be read".to_owned()),
    };
    let rows: Vec<_> = told.iter().map(row).collect();
    let id_width = rows.iter().map(|r| r.0.len()).max().unwrap_or(0);
    let label_width = rows.iter().map(|r| width(&r.1)).max().unwrap_or(0);
    let line = |(id, label, said): &(String, String, String)| {
        let gap = " ".repeat(label_width - width(label));
        format!("{id:id_width$}  {label}{gap}  {said}\n")
    };
    rows.iter().map(line).collect()
}

/// A whole story.
pub(super) fn story(story: &Story, now: Moment, units: Units, remarks: &[(u64, String)]) -> String {
    let panel = story.panel();
    let opened = panel.opened();
    let mut text = format!(
        "{}  {} {}  {} for {}\n{}\n\n",
        clean(&opened.label),
        size(opened.size, units),
        opened.support.name(),
        opened.recipe.name,
        opened.paint.name(),
        standing(&panel.standing(now), now),
    );
    let said = |entry: &Entry<Event>| {
        let (at, mut what) = fact(story, entry, now);
        for (_, remark) in remarks.iter().filter(|(seq, _)| *seq == entry.seq) {
            what.push_str(&format!("  [{}]", clean(remark)));
        }
        (at, what)
    };
    let facts: Vec<_> = story.in_order().into_iter().map(said).collect();
    let when_width = facts.iter().map(|f| f.0.len()).max().unwrap_or(0);
    for (at, what) in facts {
        text.push_str(&format!("{at:when_width$}  {what}\n"));
    }
    let grown = inspections::growth(story);
    if !grown.is_empty() {
        text.push_str("\nFaults over time\n");
        text.extend(grown.iter().map(self::grown));
    }
    if let Some(due) = inspection_due(story, now) {
        text.push_str(&format!("\n{due}\n"));
    }
    text
}

/// When a fact happened, and what it was.
fn fact(story: &Story, entry: &Entry<Event>, now: Moment) -> (String, String) {
    let told = told::told(story, entry);
    let mut what = told.what;
    if let Some(why) = told.why {
        what += &format!(": {why}");
    }
    for stood in told.stood {
        what += &format!("  ({stood})");
    }
    if (entry.written.wall - entry.at).ms() > 60_000 {
        what += &format!("  [written {} later]", lasting(entry.written.wall - entry.at));
    }
    if let Some(no_effect) = told.no_effect {
        what += &format!("  [{no_effect}]");
    }
    (when(entry.at, now.wall, &Local), clean(&what))
}
