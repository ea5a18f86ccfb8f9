//! A recipe of what was done on a panel, to make another like it: the coats laid, the waits kept, what was left out.
//!
//! What no fact tells stays as the panel's own recipe has it. Absent on purpose: where it is written.

use super::facts::{gesso, laid};
use crate::craft::recipe::keys::{COATS, Range, SIZE, Shape, Table};
use crate::craft::recipe::{Cloth, Faces, Recipe, SealWith};
use crate::figures::median;
use crate::text::clean;
use crate::units::Moment;
use crate::work::panel::event::{Face, Kind};
use crate::work::panel::fold::Panel;
use crate::work::panel::story::Story;
use crate::work::panel::wait::elapsed;

/// A recipe of what was done. It passes every check of a recipe file.
pub fn again(story: &Story) -> Recipe {
    let panel = story.panel();
    let mut recipe = panel.recipe().clone();
    let done = Done { panel };
    recipe.name = name(&recipe.name, panel.opened().id.as_str());
    recipe.title = format!("As done on {}", short(&panel.opened().label, 150));
    recipe.source = format!("what was done on {}", panel.opened().id);
    done.size(&mut recipe);
    done.gesso(&mut recipe);
    done.finish(&mut recipe);
    recipe
}

/// What was done on one panel.
struct Done<'a> {
    panel: &'a Panel,
}

impl Done<'_> {
    fn count(&self, kind: Kind, face: Option<Face>) -> u32 {
        laid(self.panel).filter(|(s, _)| s.place.kind == kind && (face.is_none() || s.place.face == face)).count()
            as u32
    }

    /// Minutes from each act of that kind to the next thing done, where that is of one of those kinds too.
    fn waits(&self, of: Kind, next: &[Kind]) -> Option<f64> {
        let acts: Vec<_> = laid(self.panel).collect();
        let pairs = acts.windows(2).filter(|w| w[0].0.place.kind == of && next.contains(&w[1].0.place.kind));
        // The faces of one size coat follow each other; the wait comes after both.
        let pairs = pairs.filter(|w| of != Kind::Size || w[0].0.place.number != w[1].0.place.number);
        let minutes: Vec<f64> =
            pairs.map(|w| rounded(elapsed(w[0].1.done, w[1].1.began.unwrap_or(w[1].1.done)).minutes())).collect();
        median(&minutes)
    }

    /// From the last act of those kinds to the first act of the next stage, hours.
    fn hours_to(&self, of: &[Kind], next: &[Kind]) -> Option<f64> {
        let end = |of: &[Kind]| {
            laid(self.panel).filter(|(s, _)| of.contains(&s.place.kind)).map(|(_, l)| l.done).max_by_key(|m| m.wall)
        };
        let begin = laid(self.panel)
            .filter(|(s, _)| next.contains(&s.place.kind))
            .map(|(_, l)| l.began.unwrap_or(l.done))
            .min_by_key(|m| m.wall);
        let (from, to): (Moment, Moment) = end(of).zip(begin)?;
        Some(elapsed(from, to).hours()).filter(|h| *h >= 0.0).map(|h| (h * 10.0).round() / 10.0)
    }

    fn size(&self, recipe: &mut Recipe) {
        let (front, back) = (self.count(Kind::Size, Some(Face::Front)), self.count(Kind::Size, Some(Face::Back)));
        if front > 0 {
            recipe.size.coats_per_face = within(&SIZE, "coats_per_face", front);
            recipe.size.faces = if back > 0 { Faces::Both } else { Faces::Front };
        }
        put(&mut recipe.size.wait_min, self.waits(Kind::Size, &[Kind::Size]), &SIZE, "wait_min");
        if self.count(Kind::Cloth, None) > 0 {
            recipe.cloth.get_or_insert_with(Cloth::default);
        } else if self.reached(Kind::Stipple) {
            recipe.cloth = None;
        }
        let cured = self.hours_to(&[Kind::Size], &[Kind::Stipple, Kind::Coat]).filter(|_| recipe.cloth.is_none());
        put(&mut recipe.size.cure_h, cured, &SIZE, "cure_h");
    }

    fn gesso(&self, recipe: &mut Recipe) {
        if self.reached(Kind::Coat) {
            recipe.stipple.coats = self.count(Kind::Stipple, None).min(10);
            recipe.coats.front = within(&COATS, "front", self.count(Kind::Coat, Some(Face::Front)));
            recipe.coats.back = within(&COATS, "back", self.count(Kind::Coat, Some(Face::Back)));
        }
        let first = laid(self.panel).find(|(s, l)| s.place.kind == Kind::Coat && l.fact.direction.is_some());
        if let Some(direction) = first.and_then(|(_, l)| l.fact.direction) {
            recipe.coats.first = direction;
        }
        put(&mut recipe.stipple.wait_min, self.waits(Kind::Stipple, &[Kind::Coat]), &COATS, "wait_min");
        put(&mut recipe.coats.wait_min, self.waits(Kind::Coat, &[Kind::Coat]), &COATS, "wait_min");
        // A wait that was kept is not to be called a gap.
        recipe.coats.long_gap_min = recipe.coats.long_gap_min.max(recipe.coats.wait_min).max(recipe.stipple.wait_min);
        recipe.coats.one_day = recipe.coats.one_day && !self.over_night();
    }

    fn finish(&self, recipe: &mut Recipe) {
        // How it was finished is known once something after the gesso was done or left out.
        if !self.panel.steps().iter().any(|s| !s.open() && after_gesso(s.place.kind)) {
            return;
        }
        if self.count(Kind::Scrape, None) == 0 {
            recipe.scrape = None;
        }
        if self.count(Kind::Check, None) == 0 {
            recipe.check = None;
        }
        if self.count(Kind::Sand, None) == 0 {
            recipe.sand = None;
        }
        match self.count(Kind::Seal, None) {
            0 => recipe.seal.with = SealWith::None,
            coats => recipe.seal.coats = coats.min(10),
        }
    }

    /// Whether anything of that kind was done or left out.
    fn reached(&self, kind: Kind) -> bool {
        self.panel.steps().iter().any(|s| s.place.kind == kind && !s.open())
    }

    /// Whether more than eight hours lay between two gesso coats.
    fn over_night(&self) -> bool {
        let coats: Vec<_> = laid(self.panel).filter(|(s, _)| gesso(s.place.kind)).map(|(_, l)| l.done).collect();
        coats.windows(2).any(|w| elapsed(w[0], w[1]).hours() > 8.0)
    }
}

const fn after_gesso(kind: Kind) -> bool {
    matches!(kind, Kind::Scrape | Kind::Polish | Kind::Check | Kind::Seal | Kind::Sand)
}

fn rounded(minutes: f64) -> f64 {
    (minutes * 2.0).round() / 2.0
}

/// Puts a figure where its key stands, kept to the key's range.
fn put(place: &mut f64, value: Option<f64>, table: &Table, key: &str) {
    let range = table.key(key).map(|k| k.shape);
    if let (Some(value), Some(Shape::Number { range: Range { lowest, highest, .. }, .. })) = (value, range) {
        *place = value.clamp(lowest, highest);
    }
}

fn within(table: &Table, key: &str, value: u32) -> u32 {
    match table.key(key).map(|k| k.shape) {
        Some(Shape::Count { lowest, highest, .. }) => value.clamp(lowest, highest),
        Some(_) | None => value,
    }
}

/// A name that is free of what the recipe was called before: "gypsum-zinc-like-wren".
fn name(recipe: &str, id: &str) -> String {
    let base = recipe.split("-like-").next().unwrap_or(recipe);
    let name = format!("{base}-like-{id}");
    let name = if name.len() > 64 { format!("like-{id}") } else { name };
    name.chars().take(64).collect::<String>().trim_matches('-').to_owned()
}

fn short(text: &str, most: usize) -> String {
    clean(text).chars().take(most).collect()
}
