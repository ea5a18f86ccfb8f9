//! Everything that is to be known before the act at hand, whole, each line with where it comes from: what the bench itself
//! has room for only by turns.
//!
//! Absent on purpose: drawing.

use super::pots::problem;
use super::sheets::key;
use super::{Telling, tips};
use crate::app::page::{Lead, Page, Paragraph};
use crate::app::view::View;
use crate::bench::believed_now;
use crate::text::{lasting, when};
use crate::work::advice::{Tip, cautions, tables, waits};
use crate::work::panel::story::Story;
use crate::work::pot;
use chrono::TimeZone;
use std::fmt::Display;

fn told(lead: Lead, text: impl Display, source: impl Display) -> Paragraph {
    Paragraph { lead, text: text.to_string(), source: source.to_string() }
}

/// What a gap means and what is to be said of the pot; on what the estimates rest; what makes the act come out right; what
/// tables say of its paper and its dust; what can hurt.
pub fn known_page<Z: TimeZone<Offset: Display>>(view: &View, at: &Telling<'_, Z>) -> Page {
    let wanted = view.gap().iter().map(|m| told(Lead::Wanted, m, m.source()));
    let mut paragraphs: Vec<Paragraph> = wanted.collect();
    paragraphs.extend(view.remarks(at.now).iter().map(|r| told(Lead::Wanted, r, r.source())));
    paragraphs.extend(view.story().into_iter().flat_map(|story| of_panel(view, story, at)));
    if paragraphs.is_empty() {
        paragraphs.push(Paragraph::new(Lead::Plain, "nothing is to be said before this act"));
    }
    let label = view.story().map(|s| s.panel().opened().label.clone()).unwrap_or_default();
    Page {
        title: format!("{label}: what is to be known now"),
        paragraphs,
        keys: vec![key("any key", "back to the bench")],
        problem: problem(view, at.now),
        ..Page::default()
    }
}

fn of_panel<Z: TimeZone<Offset: Display>>(view: &View, story: &Story, at: &Telling<'_, Z>) -> Vec<Paragraph> {
    let now = believed_now(story, at.now);
    let panel = story.panel();
    let standing = panel.standing(now);
    let hand = View::hand(&standing).or(standing.stage);
    let plain = |tip: Tip| told(Lead::Plain, tip.text, tip.source);
    let wait = waits::waits(panel, &view.room.air, &view.room.learned);
    let dew = hand.and_then(|h| waits::before_sealing(&h, view.room.air.as_of(now.wall)));
    let usual = hand.map(|h| cautions::cautions(&h, panel.recipe(), panel.opened().paint)).unwrap_or_default();
    let pot = view.current_pot().and_then(|t| t.story.clone());
    let mut all: Vec<Paragraph> = wait.beside.into_iter().chain(wait.missing).map(plain).collect();
    all.extend(pot.and_then(|pot| forecast(view, &pot, at)));
    all.extend(tips(story, &standing, hand, at).into_iter().map(plain));
    all.extend(dew.map(|tip| told(Lead::Caution, tip.text, tip.source)));
    if let Some(hand) = hand {
        let figures = tables::grains(&hand, panel.recipe()).into_iter().chain(tables::dust(&hand, panel.recipe()));
        all.extend(figures.map(plain));
    }
    all.extend(usual.iter().map(|c| told(Lead::Caution, c.text, c.source)));
    all
}

/// When a pot gels, and on what that rests.
pub(super) fn forecast<Z: TimeZone<Offset: Display>>(
    view: &View,
    story: &pot::story::Story,
    at: &Telling<'_, Z>,
) -> Option<Paragraph> {
    let f = view.around().forecast(story.pot())?;
    let label = &story.pot().opened().label;
    let (gels, spread) = (when(f.gels_at, at.now.wall, at.zone), lasting(f.spread));
    Some(told(Lead::Plain, format!("{label} gels about {gels}, give or take {spread}: an estimate"), f.basis))
}
