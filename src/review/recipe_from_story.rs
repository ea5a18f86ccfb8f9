//! A recipe of what was done on a panel, to make another like it: the coats laid, the waits kept, what was left out.
//!
//! What no fact tells stays as the panel's own recipe has it.

use super::standing_steps::standing_steps;
use crate::craft::recipe::schema::{COATS, FILLER, GESSO, NumberRange, SIZE, Table, ValueType};
use crate::craft::recipe::{Cloth, Faces, FillerAmount, Gesso, Recipe, SealMaterial};
use crate::stats::median;
use crate::text::sanitize;
use crate::units::{Id, Moment};
use crate::work::panel::event::{Face, StageKind};
use crate::work::panel::state::Panel;
use crate::work::panel::story::PanelStory;
use crate::work::panel::wait::elapsed;
use crate::work::pot::usage::PotUsage;

/// A recipe of what was done. It passes every check of a recipe file.
pub fn recipe_from_story(story: &PanelStory) -> Recipe {
    let panel = story.panel();
    let mut recipe = panel.recipe().clone();
    let done = PanelWork { panel };
    recipe.name = recipe_name(&recipe.name, panel.opened().id.as_str());
    recipe.title = format!("As done on {}", clean_prefix(&panel.opened().label, 150));
    recipe.source = format!("what was done on {}", panel.opened().id);
    done.fill_size(&mut recipe);
    done.fill_gesso(&mut recipe);
    done.fill_finish(&mut recipe);
    recipe
}

/// The same, with size and gesso of the pots it was really coated from: what was weighed into them, or read by
/// refractometer, where it was, and their own recipe's figure where not. Of several pots that of most coats counts.
pub fn recipe_as_coated(story: &PanelStory, pots: &PotUsage<'_>) -> Recipe {
    let mut recipe = recipe_from_story(story);
    let mut sources = Vec::new();
    if let Some(id) = main_pot(story, StageKind::is_gesso)
        && let Some(gesso) = pots.gesso_as_made(&id)
        && let Some((strength, source)) = pots.strength_as_made(&id)
    {
        recipe.gesso = Gesso { glue_g_per_l_water: strength, ..gesso };
        sources.push(("gesso", source));
    }
    if let Some(id) = main_pot(story, |kind| kind == StageKind::Size)
        && let Some((strength, source)) = pots.strength_as_made(&id)
    {
        recipe.size.glue_g_per_l_water = strength;
        sources.push(("size", source));
    }
    for (place, table) in [(&mut recipe.gesso.glue_g_per_l_water, &GESSO), (&mut recipe.size.glue_g_per_l_water, &SIZE)]
    {
        let rounded = (*place * 10.0).round() / 10.0;
        set_clamped(place, Some(rounded), table, "glue_g_per_l_water");
    }
    for part in &mut recipe.gesso.fillers {
        if let FillerAmount::Grams(g) = &mut part.amount {
            let rounded = (*g * 10.0).round() / 10.0;
            set_clamped(g, Some(rounded), &FILLER, "g_per_100_ml_size");
        }
    }
    for (what, source) in sources {
        recipe.source.push_str(&format!("; glue of the {what} {}", source.card_words()));
    }
    recipe
}

/// The pot most of its standing coats of those kinds came from; of several the last.
fn main_pot(story: &PanelStory, of: impl Fn(StageKind) -> bool) -> Option<Id> {
    let mut counts: Vec<(Id, usize)> = Vec::new();
    for (_, laid) in standing_steps(story.panel()).filter(|(s, _)| of(s.slot.kind)) {
        let Some(pot) = &laid.event.pot else { continue };
        match counts.iter_mut().find(|(id, _)| id == pot) {
            Some((_, n)) => *n += 1,
            None => counts.push((pot.clone(), 1)),
        }
    }
    counts.into_iter().max_by_key(|(_, n)| *n).map(|(id, _)| id)
}

/// What was done on one panel.
struct PanelWork<'a> {
    panel: &'a Panel,
}

impl PanelWork<'_> {
    fn count_acts(&self, kind: StageKind, face: Option<Face>) -> u32 {
        standing_steps(self.panel)
            .filter(|(s, _)| s.slot.kind == kind && (face.is_none() || s.slot.face == face))
            .count() as u32
    }

    /// Minutes from each act of that kind to the next thing done, where that is of one of those kinds too.
    fn median_wait_min(&self, of: StageKind, next: &[StageKind]) -> Option<f64> {
        let acts: Vec<_> = standing_steps(self.panel).collect();
        let pairs = acts.windows(2).filter(|w| w[0].0.slot.kind == of && next.contains(&w[1].0.slot.kind));
        let pairs = pairs.filter(|w| !of.row().spans_faces || w[0].0.slot.number != w[1].0.slot.number);
        let minutes: Vec<f64> = pairs
            .map(|w| round_to_half(elapsed(w[0].1.done_at, w[1].1.began_at.unwrap_or(w[1].1.done_at)).minutes()))
            .collect();
        median(&minutes)
    }

    /// From the last act of those kinds to the first act of the next stage, hours.
    fn hours_until(&self, of: &[StageKind], next: &[StageKind]) -> Option<f64> {
        let end = |of: &[StageKind]| {
            standing_steps(self.panel)
                .filter(|(s, _)| of.contains(&s.slot.kind))
                .map(|(_, l)| l.done_at)
                .max_by_key(|m| m.wall)
        };
        let begin = standing_steps(self.panel)
            .filter(|(s, _)| next.contains(&s.slot.kind))
            .map(|(_, l)| l.began_at.unwrap_or(l.done_at))
            .min_by_key(|m| m.wall);
        let (from, to): (Moment, Moment) = end(of).zip(begin)?;
        Some(elapsed(from, to).hours()).filter(|h| *h >= 0.0).map(|h| (h * 10.0).round() / 10.0)
    }

    fn fill_size(&self, recipe: &mut Recipe) {
        let (front, back) =
            (self.count_acts(StageKind::Size, Some(Face::Front)), self.count_acts(StageKind::Size, Some(Face::Back)));
        if front > 0 {
            recipe.size.coats_per_face = clamp_count(&SIZE, "coats_per_face", front);
            recipe.size.faces = if back > 0 { Faces::Both } else { Faces::Front };
        }
        set_clamped(
            &mut recipe.size.wait_min,
            self.median_wait_min(StageKind::Size, &[StageKind::Size]),
            &SIZE,
            "wait_min",
        );
        if self.count_acts(StageKind::Cloth, None) > 0 {
            recipe.cloth.get_or_insert_with(Cloth::default);
        } else if self.has_reached(StageKind::Stipple) {
            recipe.cloth = None;
        }
        let cured = self
            .hours_until(&[StageKind::Size], &[StageKind::Stipple, StageKind::Coat])
            .filter(|_| recipe.cloth.is_none());
        set_clamped(&mut recipe.size.cure_h, cured, &SIZE, "cure_h");
    }

    fn fill_gesso(&self, recipe: &mut Recipe) {
        if self.has_reached(StageKind::Coat) {
            recipe.stipple.coats = self.count_acts(StageKind::Stipple, None).min(10);
            recipe.coats.front = clamp_count(&COATS, "front", self.count_acts(StageKind::Coat, Some(Face::Front)));
            recipe.coats.back = clamp_count(&COATS, "back", self.count_acts(StageKind::Coat, Some(Face::Back)));
        }
        let first =
            standing_steps(self.panel).find(|(s, l)| s.slot.kind == StageKind::Coat && l.event.direction.is_some());
        if let Some(direction) = first.and_then(|(_, l)| l.event.direction) {
            recipe.coats.first = direction;
        }
        set_clamped(
            &mut recipe.stipple.wait_min,
            self.median_wait_min(StageKind::Stipple, &[StageKind::Coat]),
            &COATS,
            "wait_min",
        );
        set_clamped(
            &mut recipe.coats.wait_min,
            self.median_wait_min(StageKind::Coat, &[StageKind::Coat]),
            &COATS,
            "wait_min",
        );
        // A wait that was kept is not to be called a gap.
        recipe.coats.long_gap_min = recipe.coats.long_gap_min.max(recipe.coats.wait_min).max(recipe.stipple.wait_min);
        recipe.coats.one_day = recipe.coats.one_day && !self.has_overnight_gap();
    }

    fn fill_finish(&self, recipe: &mut Recipe) {
        // How it was finished is known once something after the gesso was done or left out.
        if !self.panel.steps().iter().any(|s| !s.is_open() && is_after_gesso(s.slot.kind)) {
            return;
        }
        if self.count_acts(StageKind::Scrape, None) == 0 {
            recipe.scrape = None;
        }
        if self.count_acts(StageKind::Check, None) == 0 {
            recipe.check = None;
        }
        if self.count_acts(StageKind::Sand, None) == 0 {
            recipe.sand = None;
        }
        match self.count_acts(StageKind::Seal, None) {
            0 => recipe.seal.with = SealMaterial::None,
            coats => recipe.seal.coats = coats.min(10),
        }
    }

    /// Whether anything of that kind was done or left out.
    fn has_reached(&self, kind: StageKind) -> bool {
        self.panel.steps().iter().any(|s| s.slot.kind == kind && !s.is_open())
    }

    /// Whether more than eight hours lay between two gesso coats.
    fn has_overnight_gap(&self) -> bool {
        let coats: Vec<_> =
            standing_steps(self.panel).filter(|(s, _)| s.slot.kind.is_gesso()).map(|(_, l)| l.done_at).collect();
        coats.windows(2).any(|w| elapsed(w[0], w[1]).hours() > 8.0)
    }
}

fn is_after_gesso(kind: StageKind) -> bool {
    kind > StageKind::Dry && !kind.ends_by_itself()
}

fn round_to_half(minutes: f64) -> f64 {
    (minutes * 2.0).round() / 2.0
}

/// Puts a figure where its key stands, kept to the key's range.
fn set_clamped(place: &mut f64, value: Option<f64>, table: &Table, key: &str) {
    let range = table.find_key(key).map(|k| k.value_type);
    if let (Some(value), Some(ValueType::Number { range: NumberRange { min: lowest, max: highest, .. }, .. })) =
        (value, range)
    {
        *place = value.clamp(lowest, highest);
    }
}

fn clamp_count(table: &Table, key: &str, value: u32) -> u32 {
    match table.find_key(key).map(|k| k.value_type) {
        Some(ValueType::Integer { min: lowest, max: highest, .. }) => value.clamp(lowest, highest),
        Some(_) | None => value,
    }
}

/// A name that is free of what the recipe was called before: "gypsum-zinc-like-wren".
fn recipe_name(recipe: &str, id: &str) -> String {
    let base = recipe.split("-like-").next().unwrap_or(recipe);
    let name = format!("{base}-like-{id}");
    let name = if name.len() > 64 { format!("like-{id}") } else { name };
    name.chars().take(64).collect::<String>().trim_matches('-').to_owned()
}

fn clean_prefix(text: &str, most: usize) -> String {
    sanitize(text).chars().take(most).collect()
}
