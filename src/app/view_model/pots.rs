//! The pots in a few lines beside the bench, the air, and the pages of the pots.

use super::advice_page::{build_forecast_paragraph, build_soak_tip};
use super::context::ViewContext;
use super::status_line::format_alert;
use crate::app::bench_view_model::PotLines;
use crate::app::keymap::KeyGroup;
use crate::app::message::{InputMode, Message, PotCommand};
use crate::app::model::Model;
use crate::app::page_view_model::{PageViewModel, Paragraph, ParagraphKind};
use crate::bench::{Snapshot, trusted_now};
use crate::text::{
    format_count, format_countdown, format_hhmm, format_temperature, format_times, format_times_once_a_day, format_when,
};
use crate::units::{Moment, Span, Stamp};
use crate::work::advice::fact_text::format_pot_fact;
use crate::work::panel;
use crate::work::pot::event::PotKind;
use crate::work::pot::fold::{GlueState, Pot};
use crate::work::pot::forecast::PotForecast;
use crate::work::pot::phase::{PotPhase, PotStatus};
use crate::work::pot::story::PotStory;
use chrono::TimeZone;
use std::fmt::Display;

/// The most lines of one pot beside the bench.
const LINES_MAX: usize = 4;

/// The pots beside the bench, the one in use first; without any, the recipe's plain line.
pub(super) fn build_pots<Z: TimeZone<Offset: Display>>(
    model: &Model,
    panel: &panel::story::PanelStory,
    status: &panel::phase::PanelStatus,
    at: &ViewContext<'_, Z>,
) -> Vec<PotLines> {
    let current = model.current_pot().map(|t| t.id.clone());
    let mut list = model.pot_list();
    list.retain(|t| t.is_in_use() || t.story.is_none());
    list.sort_by_key(|t| Some(&t.id) != current.as_ref());
    let of_current = |t: &Snapshot<Pot>| Some(&t.id) == current.as_ref();
    let lines = list.iter().map(|t| {
        let told = t.sound_story().map(|story| build_pot_lines(model, story, at));
        (of_current(t), told.unwrap_or_else(|| build_damaged_pot_lines(t)))
    });
    // Of the others only those that want something, or change by themselves, need be seen from afar.
    let mut lines: Vec<PotLines> =
        lines.filter(|(current, l)| *current || l.is_action_needed).map(|(_, l)| l).collect();
    if !has_pot_for_coat(model) {
        lines.extend(build_recipe_pot_lines(panel, status, at));
    }
    lines
}

/// What a pot is called: its id where not even its opening can be read.
fn pot_label(snapshot: &Snapshot<Pot>) -> String {
    snapshot.story.as_ref().map_or_else(|| snapshot.id.to_string(), |s| s.pot().opened().label.clone())
}

/// What stands in place of how a pot is whose journal cannot be relied on.
fn describe_damage(snapshot: &Snapshot<Pot>) -> &'static str {
    match snapshot.blocking_damage() {
        Some(damage) if !damage.kind.is_damage() => "newer version, see verify",
        Some(_) | None => "damaged, see verify",
    }
}

fn build_damaged_pot_lines(snapshot: &Snapshot<Pot>) -> PotLines {
    PotLines { label: pot_label(snapshot), lines: vec![describe_damage(snapshot).to_owned()], is_action_needed: true }
}

/// Where nothing is known of the pot but the recipe's minutes: when to melt it again and thin the bowl, during a wait before
/// gesso.
fn build_recipe_pot_lines<Z: TimeZone<Offset: Display>>(
    panel: &panel::story::PanelStory,
    status: &panel::phase::PanelStatus,
    at: &ViewContext<'_, Z>,
) -> Vec<PotLines> {
    let gesso = status.next_stage.is_some_and(|s| s.kind.is_gesso());
    let (panel::phase::PanelPhase::Waiting, true, Some(due)) = (status.phase, gesso, status.due_at) else {
        return Vec::new();
    };
    let recipe = &panel.panel().recipe().gesso;
    let bowl_at = due - Span::from_min(recipe.bowl_min);
    let bath_at = bowl_at - Span::from_min(recipe.melt_min);
    let now = at.now.wall;
    let told = |what: &str, then: Stamp| {
        if then <= now { format!("{what} now") } else { format!("{what} at {}", format_when(then, now, at.zone)) }
    };
    let bath = (now < bowl_at).then(|| told("into the bath", bath_at));
    let lines = bath.into_iter().chain([told("thin the bowl", bowl_at)]).collect();
    vec![PotLines { label: "Gesso".to_owned(), lines, is_action_needed: bath_at <= now }]
}

/// Whether a pot of the kind the coat at hand needs is in use.
fn has_pot_for_coat(model: &Model) -> bool {
    let kind = model.story().and_then(|s| s.panel().stage_at_hand()).and_then(|s| s.kind.row().pot);
    let has = |t: &&Snapshot<Pot>| t.is_in_use() && t.story.as_ref().map(|s| s.pot().opened().kind) == kind;
    model.pot_survey().pots.iter().any(|t| has(&t))
}

/// One pot: what is wanted first, then how it stands, then the forecast.
fn build_pot_lines<Z: TimeZone<Offset: Display>>(model: &Model, story: &PotStory, at: &ViewContext<'_, Z>) -> PotLines {
    let now = trusted_now(story, at.now);
    let pot = story.pot();
    let status = model.pot_survey().usage().status(pot, now);
    let mut wanted = Vec::new();
    let mut lines = describe_pot_body(pot, &status, now, at.zone);
    if let Some(span) = status.bath_span {
        let over = span >= Span::from_min(pot.recipe().gesso.melt_min);
        if over {
            wanted.push("out of the bath now".to_owned());
        }
        lines.insert(0, format!("in the bath {}", format_count_up(span)));
    }
    if let Some(soak) = status.soak.filter(|s| s.time_left <= Span::ZERO) {
        wanted.push(format!("soaked since {}: melt it", format_when(soak.due_at, now.wall, at.zone)));
    }
    if status.overheated_at.is_some() {
        lines.push("overheated: try if it gels".to_owned());
    }
    let forecast = model.pot_survey().forecast(pot);
    if let Some(coat) = model.pot_survey().coat_preparation(pot, forecast.as_ref(), at.now) {
        let mut say = |what: &str, stamp: Stamp| match stamp <= now.wall {
            true => wanted.push(format!("{what} now")),
            false => lines.push(format!("{what} at {}", format_hhmm(stamp, at.zone))),
        };
        if let Some(by) = coat.bath_by {
            say("into the bath", by);
        }
        if coat.bath_by.is_none_or(|by| by > now.wall) {
            say("thin the bowl", coat.bowl_at);
        }
    }
    if let Some(f) = forecast.filter(|_| pot.glue_state() == GlueState::Liquid && pot.current_bath().is_none()) {
        lines.insert(1.min(lines.len()), format_gel_interval(&f, now));
    }
    let calls = !wanted.is_empty();
    wanted.extend(lines);
    wanted.truncate(LINES_MAX);
    PotLines { label: pot.opened().label.clone(), lines: wanted, is_action_needed: calls }
}

/// Between when and when nine pots of ten gel, the early end first: by that the maker acts.
fn format_gel_interval(f: &PotForecast, now: Moment) -> String {
    let left = |stamp: Stamp| (stamp - now.wall).minutes();
    match (left(f.earliest).max(0.0), left(f.latest)) {
        (_, latest) if latest <= 0.0 => "estimate: a jelly by now".to_owned(),
        (earliest, latest) => format!("9 in 10: gels in {:.0}-{:.0} min", earliest.floor(), latest.ceil()),
    }
}

/// A time that counts up.
fn format_count_up(span: Span) -> String {
    format_countdown(Span::ZERO - span.abs()).trim_start_matches('+').to_owned()
}

/// How it stands by its marks.
fn describe_pot_body<Z: TimeZone<Offset: Display>>(
    pot: &Pot,
    status: &PotStatus,
    now: Moment,
    zone: &Z,
) -> Vec<String> {
    let since = |word: &str| format!("{word} since {}", format_when(status.since, now.wall, zone));
    vec![match (status.phase, status.soak) {
        (PotPhase::Soaking, Some(soak)) if soak.time_left > Span::ZERO => {
            format!("soak until {}", format_when(soak.due_at, now.wall, zone))
        }
        (PotPhase::Soaking, Some(_)) => return Vec::new(),
        (PotPhase::Soaking, None) if pot.opened().kind == PotKind::Size => "dry glue, to be soaked".to_owned(),
        (PotPhase::Soaking, None) => "nothing marked yet".to_owned(),
        (PotPhase::Melting, _) => since("melting"),
        (PotPhase::Liquid, _) => since("liquid"),
        (PotPhase::Gelled, _) => since("gelled"),
        (PotPhase::Empty, _) => since("used up"),
        (PotPhase::Discarded, _) => since("thrown away"),
    }]
}

/// What is to be known before the coat at hand: what a gap means, else what is to be said of the pot.
pub(super) fn format_remark(model: &Model, now: Moment) -> String {
    let remarks = model.remarks(now);
    let (first, more, put_away) = match (model.gap_meanings(), &remarks[..]) {
        ([first, more @ ..], _) => (first.to_string(), more.len() + remarks.len(), true),
        ([], [first, more @ ..]) => (first.to_string(), more.len(), false),
        ([], []) => return format_soak_remark(model, now),
    };
    let more = if more > 0 { format!("{more} more") } else { "where from".to_owned() };
    let key = |message| model.keymap().label(&message, InputMode::Bench);
    let put_away = if put_away { format!(", {} puts it away", key(Message::DismissGap)) } else { String::new() };
    format!("({}: {more}{put_away}) {first}", key(Message::ShowAdvice))
}

/// While the board is prepared: the glue that has to soak.
fn format_soak_remark(model: &Model, now: Moment) -> String {
    let hand = model.panel_status(now).and_then(|status| status.stage_shown());
    build_soak_tip(model, hand).map_or_else(String::new, |tip| tip.text.into_owned())
}

/// The pots, and the one under the cursor in full.
pub fn build_pots_page<Z: TimeZone<Offset: Display>>(
    model: &Model,
    cursor: usize,
    at: &ViewContext<'_, Z>,
) -> PageViewModel {
    let list = model.pot_list();
    let in_use = model.current_pot().map(|t| t.id.clone());
    let usage = model.pot_survey().usage();
    let choice = |t: &&Snapshot<Pot>| {
        let Some(story) = t.sound_story() else { return (pot_label(t), describe_damage(t).to_owned()) };
        let now = trusted_now(story, at.now);
        let status = usage.status(story.pot(), now);
        let mut messages = describe_pot_body(story.pot(), &status, now, at.zone);
        if let Some(into) = status.in_bath_since {
            messages.push(format!("in the bath since {}", format_when(into, now.wall, at.zone)));
        }
        if let Some(soak) = status.soak.filter(|s| s.time_left <= Span::ZERO) {
            messages.push(format!("soaked since {}", format_when(soak.due_at, now.wall, at.zone)));
        }
        if Some(&t.id) == in_use.as_ref() {
            messages.insert(0, "IN USE".to_owned());
        }
        let opened = story.pot().opened();
        let kind = if opened.label.contains(opened.kind.name()) { "" } else { opened.kind.name() };
        (format!("{} {kind}", opened.label).trim().to_owned(), messages.join(", "))
    };
    let details = |t: &&Snapshot<Pot>| match (t.sound_story(), t.blocking_damage()) {
        (Some(story), _) => build_pot_details(model, story, at),
        (None, damage) => {
            let damage = damage.map_or_else(String::new, ToString::to_string);
            let said = format!("nothing can be recorded, and nothing is told of it: {damage}");
            vec![Paragraph::new(ParagraphKind::Caution, said)]
        }
    };
    let mut paragraphs: Vec<Paragraph> = list.get(cursor).map(details).unwrap_or_default();
    if list.is_empty() {
        let key = |message| model.keymap().label(&message, InputMode::Pots);
        let (open, make) = (key(Message::OpenForm), key(Message::Pot(PotCommand::StartMaking)));
        paragraphs.push(Paragraph::new(
            ParagraphKind::Plain,
            format!("No pot is recorded yet. {open} opens one; {make} leads through the making."),
        ));
    }
    PageViewModel {
        title: "The pots".to_owned(),
        choices: list.iter().map(choice).collect(),
        cursor,
        paragraphs,
        offset: 0,
        alert: format_alert(model, at.now),
        keys: model.keymap().screen_hints(InputMode::Pots, KeyGroup::PotList),
    }
}

/// A pot in full: strength, melts, forecast, where it is from, and its last facts.
fn build_pot_details<Z: TimeZone<Offset: Display>>(
    model: &Model,
    story: &PotStory,
    at: &ViewContext<'_, Z>,
) -> Vec<Paragraph> {
    let now = trusted_now(story, at.now);
    let survey = model.pot_survey();
    let s = survey.usage().status(story.pot(), now);
    let id = &story.pot().opened().id;
    let mut messages = Vec::new();
    if let Some(strength) = s.water.glue_g_per_l_water {
        let lost = s.water.lost_pct.map_or_else(String::new, |pct| format!(", {pct:.1} % of its water lost"));
        messages.push(format!("glue {strength:.1} g per litre of water{lost}"));
    }
    if let Some(per_100) = s.water.glue_per_100g_filler_g {
        messages.push(format!("glue {per_100:.1} g per 100 g of filler"));
    }
    let old = s.age.hours() / 24.0;
    let age = if old >= 1.0 { format!("{} old, ", format_count(old.round(), "day")) } else { String::new() };
    messages.push(format!("{age}melted {}, {:.0} min in the bath", format_times(s.melts), s.bath_total.minutes()));
    if let Some(lot) = survey.glue_lot(id) {
        messages.push(format!("glue lot {lot}"));
    }
    let line = survey.ancestors(id);
    if line.len() > 1 {
        messages
            .push(format!("from {}", line[1..].iter().map(ToString::to_string).collect::<Vec<_>>().join(", from ")));
    }
    let panels = survey.panels_from(id);
    messages.extend(panels.iter().map(|(panel, n)| format!("{} on {panel}", format_count(*n, "coat"))));
    let mut paragraphs = vec![Paragraph::new(ParagraphKind::Plain, messages.join("; "))];
    if s.overheated_at.is_some() {
        let hot = s.max_temp.map_or_else(String::new, |t| format_temperature(t, at.units));
        paragraphs.push(Paragraph {
            kind: ParagraphKind::Caution,
            text: format!("overheated ({hot}): the whole batch counts as overheated; try whether it still gels firmly"),
            source: "S. Rivers & N. Umney 2003, p. 648".to_owned(),
        });
    }
    paragraphs.extend(build_forecast_paragraph(model, story, at));
    let facts = story.entries_in_order();
    let shown: Vec<_> = facts.iter().rev().filter(|e| !story.is_taken_back(e.seq)).take(6).collect();
    let stamps: Vec<Stamp> = shown.iter().map(|e| e.at).collect();
    let times = format_times_once_a_day(&stamps, now.wall, at.zone);
    paragraphs.extend(times.into_iter().zip(shown).map(|(when, e)| {
        let fact = format_pot_fact(story, e, at.units);
        let remarks: Vec<String> = fact.remarks.iter().chain(&fact.no_effect_reason).cloned().collect();
        let remarks = if remarks.is_empty() { String::new() } else { format!(" ({})", remarks.join(" ")) };
        let text = format!("{}  {}{remarks}", when.trim_start(), fact.text_with_reason());
        Paragraph::new(ParagraphKind::Plain, text)
    }));
    paragraphs
}
