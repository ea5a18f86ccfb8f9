//! Everything that is to be known before the act at hand, whole, each line with where it comes from: what the bench itself
//! has room for only by turns.

use super::context::ViewContext;
use super::status_line::format_alert;
use crate::app::message::{InputMode, Message, PotCommand};
use crate::app::model::Model;
use crate::app::page_view_model::{PageViewModel, Paragraph, ParagraphKind};
use crate::bench::trusted_now;
use crate::text::format_when;
use crate::work::advice::making::soak_tonight_tip;
use crate::work::advice::{Tip, board_water, cautions, offers, stages, tables, waits};
use crate::work::panel::event::{Stage, StageKind};
use crate::work::panel::phase::{PanelPhase, PanelStatus};
use crate::work::panel::story::PanelStory;
use crate::work::pot;
use crate::work::pot::event::PotKind;
use chrono::TimeZone;
use std::fmt::Display;
use std::sync::Arc;

fn build_paragraph(lead: ParagraphKind, text: impl Display, source: impl Display) -> Paragraph {
    Paragraph { kind: lead, text: text.to_string(), source: source.to_string() }
}

/// What a gap means and what is to be said of the pot; on what the estimates rest; what makes the act come out right; what
/// tables say of its paper and its dust; what can hurt.
pub fn build_advice_page<Z: TimeZone<Offset: Display>>(
    model: &Model,
    offset: usize,
    at: &ViewContext<'_, Z>,
) -> PageViewModel {
    let wanted = model.gap_meanings().iter().map(|m| build_paragraph(ParagraphKind::Wanted, m, m.source()));
    let mut paragraphs: Vec<Paragraph> = wanted.collect();
    paragraphs.extend(model.remarks(at.now).iter().map(|r| build_paragraph(ParagraphKind::Wanted, r, r.source())));
    paragraphs.extend(model.story().into_iter().flat_map(|story| build_panel_paragraphs(model, story, at)));
    if paragraphs.is_empty() {
        paragraphs.push(Paragraph::new(ParagraphKind::Plain, "nothing is to be said before this act"));
    }
    let label = model.story().map(|s| s.panel().opened().label.clone()).unwrap_or_default();
    PageViewModel {
        title: format!("{label}: what is to be known now"),
        paragraphs,
        offset,
        keys: vec![
            model.keymap().hint_as(InputMode::List, &[Message::Up, Message::Down], "scroll"),
            model.keymap().hint_as(InputMode::List, &[Message::Leave], "back to the bench"),
        ],
        alert: format_alert(model, at.now),
        ..PageViewModel::default()
    }
}

/// That glue must soak before there is size, and how much of it, while the board is prepared and no pot of size is there.
pub(super) fn build_soak_tip(model: &Model, hand: Option<Stage>) -> Option<Tip> {
    let prepares = hand.is_some_and(|stage| stage.kind == StageKind::Prepare);
    let has_size = || {
        let mut stories = model.pot_survey().pots.iter().filter(|t| t.is_in_use()).filter_map(|t| t.story.as_ref());
        stories.any(|s| s.pot().opened().kind == PotKind::Size)
    };
    if !prepares || has_size() {
        return None;
    }
    let recipe = Arc::clone(&model.story()?.panel().opened().recipe);
    let batch = model.batch_amounts(&recipe)?;
    let pots = model.keymap().label(&Message::ShowPots, InputMode::Bench);
    let lead = model.keymap().label(&Message::Pot(PotCommand::StartMaking), InputMode::Pots);
    Some(soak_tonight_tip(&recipe, batch.glue_g(), batch.water_ml(), &format!("{pots}, then {lead},")))
}

/// What can be prepared during the wait, then what makes the act come out right.
pub(super) fn collect_tips<Z: TimeZone<Offset: Display>>(
    story: &PanelStory,
    status: &PanelStatus,
    hand: Option<Stage>,
    at: &ViewContext<'_, Z>,
) -> Vec<Tip> {
    let panel = story.panel();
    let mut tips = Vec::new();
    if let (PanelPhase::Waiting, Some(stage), Some(left)) = (status.phase, status.stage, status.time_left) {
        let due = status.due_at.map(|due| format_when(due, at.now.wall, at.zone));
        if stage.kind.ends_by_itself() {
            let rule = stages::stage_tips(&stage, panel.opened(), due.as_deref());
            let (first, others) = rule.split_at(rule.len().min(1));
            tips.extend_from_slice(first);
            tips.extend(board_water::cure_line(panel, status, at.units));
            tips.extend_from_slice(others);
        }
        tips.extend(offers::wait_offers(&stage, status.next_stage.as_ref(), panel.recipe(), left));
    }
    tips.extend(hand.iter().flat_map(|h| stages::stage_tips(h, panel.opened(), None)));
    tips
}

fn build_panel_paragraphs<Z: TimeZone<Offset: Display>>(
    model: &Model,
    story: &PanelStory,
    at: &ViewContext<'_, Z>,
) -> Vec<Paragraph> {
    let now = trusted_now(story, at.now);
    let panel = story.panel();
    let status = panel.status(now);
    let hand = status.stage_shown();
    let plain = |tip: Tip| build_paragraph(ParagraphKind::Plain, tip.text, tip.source);
    let wait = waits::wait_advice(panel, &model.studio.air, &model.studio.learned);
    let dew = hand.and_then(|h| waits::sealing_tip(&h, model.studio.air.reading_as_of(now.wall), at.units));
    let usual = hand.map(|h| cautions::stage_cautions(&h, panel.recipe(), panel.opened().paint)).unwrap_or_default();
    let pot = model.current_pot().and_then(|t| t.story.clone());
    let soak = build_soak_tip(model, status.stage_shown());
    let mut all: Vec<Paragraph> = soak.into_iter().map(plain).collect();
    all.extend(wait.tips.into_iter().chain(wait.missing_tip).chain(wait.limits_tip).map(plain));
    all.extend(pot.and_then(|pot| build_forecast_paragraph(model, &pot, at)));
    all.extend(collect_tips(story, &status, hand, at).into_iter().map(plain));
    let when = |stamp| format_when(stamp, at.now.wall, at.zone);
    all.extend(board_water::cure_tips(panel, &status, &when, at.units).into_iter().map(plain));
    all.extend(dew.map(|tip| build_paragraph(ParagraphKind::Caution, tip.text, tip.source)));
    if let Some(hand) = hand {
        let figures = tables::grains(&hand, panel.recipe()).into_iter().chain(tables::dust(&hand, panel.recipe()));
        all.extend(figures.map(plain));
    }
    all.extend(usual.iter().map(|c| build_paragraph(ParagraphKind::Caution, c.text, c.source)));
    all
}

/// When a pot gels, and on what that rests.
pub(super) fn build_forecast_paragraph<Z: TimeZone<Offset: Display>>(
    model: &Model,
    story: &pot::story::PotStory,
    at: &ViewContext<'_, Z>,
) -> Option<Paragraph> {
    let f = model.pot_survey().forecast(story.pot())?;
    let label = &story.pot().opened().label;
    let told = |stamp| format_when(stamp, at.now.wall, at.zone);
    let (earliest, latest) = (told(f.earliest), told(f.latest));
    Some(build_paragraph(
        ParagraphKind::Plain,
        format!(
            "{label} gels between {earliest} and {latest}, 9 in 10: an estimate, in the middle {}",
            told(f.gels_at)
        ),
        f.basis,
    ))
}
