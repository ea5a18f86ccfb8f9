//! Pots told in words, for a person at a shell.

use super::story::{StoryListRow, format_facts, format_list};
use crate::bench::{PotSurvey, Snapshot, trusted_now};
use crate::text::{UnitSystem, format_count, format_duration, format_temperature, format_when, sanitize};
use crate::units::{Id, Moment, Stamp};
use crate::work::advice::fact_text::{format_pot_fact, say_written_later_once};
use crate::work::pot::fold::Pot;
use crate::work::pot::phase::PotPhase;
use crate::work::pot::story::PotStory;
use crate::work::pot::water::WaterInputs;
use chrono::Local;

/// Where a pot stands, in a few words.
pub(super) fn format_pot_status(story: &PotStory, now: Moment) -> String {
    let s = story.pot().status(now, &WaterInputs::default());
    let since = |stamp: Stamp| format_when(stamp, now.wall, &Local);
    let body = match (s.phase, s.soak) {
        (PotPhase::Soaking, Some(soak)) if soak.time_left.ms() > 0 => {
            format!("soaking until {} ({} left)", since(soak.due_at), format_duration(soak.time_left))
        }
        (PotPhase::Soaking, Some(_)) => "soaked; melt it gently in the bath".to_owned(),
        (PotPhase::Soaking, None) => "dry glue; soak it".to_owned(),
        (PotPhase::Melting, _) => format!("melting since {}", since(s.since)),
        (PotPhase::Liquid, _) => format!("liquid since {}", since(s.since)),
        (PotPhase::Gelled, _) => format!("gelled since {}", since(s.since)),
        (PotPhase::Empty, _) => format!("used up {}", since(s.since)),
        (PotPhase::Discarded, _) => format!("thrown away {}", since(s.since)),
    };
    match s.in_bath_since {
        Some(into) => format!("{body}, in the bath since {}", since(into)),
        None => body,
    }
}

/// Every pot, a line each.
pub(super) fn format_pot_list(snapshots: &[Snapshot<Pot>], now: Moment) -> String {
    if snapshots.is_empty() {
        return "no pots yet; open one with `sottile pot new LABEL --kind size`\n".to_owned();
    }
    let status = |story: &PotStory| {
        format!("{:5}  {}", story.pot().opened().kind.name(), format_pot_status(story, trusted_now(story, now)))
    };
    let row = |t| StoryListRow::from_snapshot(t, |pot: &Pot| pot.opened().label.as_str(), status);
    format_list(&snapshots.iter().map(row).collect::<Vec<_>>())
}

/// A pot's whole story: where it stands, what is in it, when it gels, where it came from and went to.
pub(super) fn format_pot_story(story: &PotStory, now: Moment, survey: &PotSurvey, units: UnitSystem) -> String {
    let pot = story.pot();
    let opened = pot.opened();
    let s = survey.usage().status(pot, now);
    let mut lines = vec![
        format!("{}  {} by {}", sanitize(&opened.label), opened.kind.name(), opened.recipe.name),
        format_pot_status(story, now),
    ];
    if let Some(strength) = s.water.glue_g_per_l_water {
        let lost = s.water.lost_pct.map_or_else(String::new, |pct| format!(", {pct:.1} % of its water lost"));
        let sd = s.water.strength_sd.map_or_else(String::new, |sd| format!(", give or take {sd:.1}"));
        lines.push(format!("glue {strength:.1} g per litre of water{sd}{lost} (from {})", s.water.basis()));
    }
    if let Some(per_100) = s.water.glue_per_100g_filler_g {
        let by = if s.water.is_filler_weighed { "as weighed" } else { "by the recipe" };
        lines.push(format!("glue {per_100:.1} g per 100 g of filler (filler {by})"));
    }
    lines.push(format!("{}, {:.0} min in the bath in all", format_count(s.melts, "melt"), s.bath_total.minutes()));
    if let Some(max) = s.max_temp {
        let over = if s.overheated_at.is_some() { ", OVERHEATED" } else { "" };
        lines.push(format!("hottest reading {}{over}", format_temperature(max, units)));
    }
    lines.extend(format_gelling(story, now, survey));
    lines.extend(format_lineage(&opened.id, survey));
    let facts = story.entries_in_order().into_iter().map(|entry| format_pot_fact(story, entry, units));
    let mut facts: Vec<_> = facts.collect();
    say_written_later_once(&mut facts);
    format!("{}\n\n{}", lines.join("\n"), format_facts(&facts, now))
}

fn format_gelling(story: &PotStory, now: Moment, survey: &PotSurvey) -> Vec<String> {
    let Some(f) = survey.forecast(story.pot()) else { return Vec::new() };
    let told = |stamp| format_when(stamp, now.wall, &Local);
    let [earliest, middle, latest] = [f.earliest, f.gels_at, f.latest].map(told);
    let mut lines = vec![format!(
        "gels, 9 in 10: between {earliest} and {latest}, in the middle {middle}; an estimate from {}",
        f.basis
    )];
    if let Some(coat) = survey.coat_preparation(story.pot(), Some(&f), now) {
        let bath = coat.bath_by.map_or_else(String::new, |by| format!("into the bath by {}, ", told(by)));
        lines.push(format!("for the next coat: {bath}thin the bowl at {}", told(coat.bowl_at)));
    }
    lines
}

fn format_lineage(id: &Id, survey: &PotSurvey) -> Vec<String> {
    let mut lines = Vec::new();
    let line = survey.ancestors(id);
    if line.len() > 1 {
        lines.push(format!("poured from {}", line[1..].iter().map(Id::as_str).collect::<Vec<_>>().join(", from ")));
    }
    if let Some(lot) = survey.glue_lot(id) {
        lines.push(format!("glue lot {}", sanitize(&lot)));
    }
    if let Some(lot) = survey.filler_lot(id) {
        lines.push(format!("filler lot {}", sanitize(&lot)));
    }
    let poured = survey.pots_poured_from(id);
    if !poured.is_empty() {
        lines.push(format!("poured into {}", poured.iter().map(Id::as_str).collect::<Vec<_>>().join(", ")));
    }
    for (panel, coats) in survey.panels_from(id) {
        lines.push(format!("{} on {panel}", format_count(coats, "coat")));
    }
    lines
}
