//! Pots told in words, for a person at a shell.

use crate::bench::{Around, believed_now};
use crate::text::{clean, lasting, when};
use crate::units::{Entry, Id, Moment, Stamp};
use crate::work::advice::pots;
use crate::work::pot::event::Event;
use crate::work::pot::phase::Phase;
use crate::work::pot::story::Story;
use crate::work::pot::water::Known;
use chrono::Local;

/// Where a pot stands, in a few words.
pub(super) fn standing(story: &Story, now: Moment) -> String {
    let s = story.pot().standing(now, &Known::default());
    let since = |stamp: Stamp| when(stamp, now.wall, &Local);
    let body = match (s.phase, s.soak) {
        (Phase::Soaking, Some(soak)) if soak.left.ms() > 0 => {
            format!("soaking until {} ({} left)", since(soak.due_at), lasting(soak.left))
        }
        (Phase::Soaking, Some(_)) => "soaked; melt it gently in the bath".to_owned(),
        (Phase::Soaking, None) => "dry glue; soak it".to_owned(),
        (Phase::Melting, _) => format!("melting since {}", since(s.since)),
        (Phase::Liquid, _) => format!("liquid since {}", since(s.since)),
        (Phase::Gelled, _) => format!("gelled since {}", since(s.since)),
        (Phase::Empty, _) => format!("used up {}", since(s.since)),
        (Phase::Discarded, _) => format!("thrown away {}", since(s.since)),
    };
    match s.in_bath {
        Some(into) => format!("{body}, in the bath since {}", since(into)),
        None => body,
    }
}

/// Every pot, a line each.
pub(super) fn pots(around: &Around, now: Moment) -> String {
    if around.pots.is_empty() {
        return "no pots yet; open one with `sottile pot new LABEL --kind size`\n".to_owned();
    }
    let mut text = String::new();
    for told in &around.pots {
        let Some(story) = &told.story else {
            text += &format!("{}  DAMAGED: not even its opening can be read\n", told.id);
            continue;
        };
        let opened = story.pot().opened();
        let now = believed_now(story, now);
        text += &format!("{}  {}  {}  {}\n", told.id, clean(&opened.label), opened.kind.name(), standing(story, now));
    }
    text
}

/// A pot's whole story: where it stands, what is in it, when it gels, where it came from and went to.
pub(super) fn pot(story: &Story, now: Moment, around: &Around) -> String {
    let pot = story.pot();
    let opened = pot.opened();
    let s = around.standing(story, now);
    let mut lines = vec![
        format!("{}  {} by {}", clean(&opened.label), opened.kind.name(), opened.recipe.name),
        standing(story, now),
    ];
    if let Some(strength) = s.water.glue_g_per_l_water {
        let lost = s.water.lost_pct.map_or_else(String::new, |pct| format!(", {pct:.1} % of its water lost"));
        lines.push(format!("glue {strength:.1} g per litre of water{lost} (from {})", s.water.from));
    }
    if let Some(per_100) = s.water.glue_per_100g_filler_g {
        lines.push(format!("glue {per_100:.1} g per 100 g of filler"));
    }
    lines.push(format!(
        "{} {}, {:.0} min in the bath in all",
        s.melts,
        if s.melts == 1 { "melt" } else { "melts" },
        s.bath_all.minutes()
    ));
    if let Some(max) = s.max {
        let over = if s.overheated.is_some() { ", OVERHEATED" } else { "" };
        lines.push(format!("hottest reading {:.1} C{over}", max.c()));
    }
    lines.extend(gelling(story, now, around));
    lines.extend(family(&opened.id, around));
    lines.push(String::new());
    lines.extend(story.in_order().into_iter().map(|entry| fact(story, entry, now)));
    lines.join("\n") + "\n"
}

fn gelling(story: &Story, now: Moment, around: &Around) -> Vec<String> {
    let Some(f) = around.forecast(story.pot()) else { return Vec::new() };
    let told = |stamp| when(stamp, now.wall, &Local);
    let spread = lasting(f.spread);
    let mut lines =
        vec![format!("gels about {}, give or take {spread}; an estimate from {}", told(f.gels_at), f.basis)];
    if let Some(coat) = around.for_coat(story.pot(), Some(&f), now) {
        let bath = coat.bath_by.map_or_else(String::new, |by| format!("into the bath by {}, ", told(by)));
        lines.push(format!("for the next coat: {bath}thin the bowl at {}", told(coat.bowl_at)));
    }
    lines
}

fn family(id: &Id, around: &Around) -> Vec<String> {
    let mut lines = Vec::new();
    let line = around.line(id);
    if line.len() > 1 {
        lines.push(format!("poured from {}", line[1..].iter().map(Id::as_str).collect::<Vec<_>>().join(", from ")));
    }
    if let Some(lot) = around.lot(id) {
        lines.push(format!("glue lot {}", clean(&lot)));
    }
    let poured = around.poured(id);
    if !poured.is_empty() {
        lines.push(format!("poured into {}", poured.iter().map(Id::as_str).collect::<Vec<_>>().join(", ")));
    }
    for (panel, coats) in around.panels_from(id) {
        lines.push(format!("{coats} coats on {panel}"));
    }
    lines
}

fn fact(story: &Story, entry: &Entry<Event>, now: Moment) -> String {
    let mut what = pots::fact(&entry.event);
    for question in story.pot().questions_of(entry.seq) {
        what += &format!("  ({question})");
    }
    if story.was_taken_back(entry.seq) {
        what += "  [taken back]";
    }
    if let Some(refusal) = story.refusal_of(entry.seq) {
        what += &format!("  [has no effect: {refusal}]");
    }
    format!("{:10}  {}", when(entry.at, now.wall, &Local), clean(&what))
}
