//! What a wait is good for: things that can be prepared while it runs, offered only while there is time enough for them.
//!
//! How long each takes is common practice without a source, unless the recipe has a figure. Absent on purpose: calls
//! (`calls`), the pot's forecast.

use super::Tip;
use super::source::*;
use super::stages::Tool;
use super::words::figure;
use crate::craft::recipe::{Recipe, SealWith};
use crate::units::Span;
use crate::work::panel::event::{Kind, Stage};

/// An offer and the least minutes that must be left for it.
struct Offer {
    least_min: f64,
    tip: Tip,
}

fn offer(least_min: f64, text: impl Into<std::borrow::Cow<'static, str>>, source: &'static str) -> Offer {
    Offer { least_min, tip: Tip::new(text, source) }
}

/// What can be prepared while the wait of `stage` runs, with `left` of it to go: for the act that comes `next`, the
/// weightiest first.
pub fn offers(stage: &Stage, next: Option<&Stage>, recipe: &Recipe, left: Span) -> Vec<Tip> {
    let list = match stage.kind {
        Kind::Size | Kind::Cloth => for_size(next),
        Kind::Cure => for_gesso(recipe),
        Kind::Stipple | Kind::Coat => for_coat(recipe),
        Kind::Dry => for_finish(recipe),
        Kind::Rest | Kind::Seal => for_last(next, recipe),
        Kind::Prepare | Kind::Scrape | Kind::Polish | Kind::Check | Kind::Sand => Vec::new(),
    };
    let minutes = left.minutes();
    list.into_iter().filter(|o| minutes >= o.least_min).map(|o| o.tip).collect()
}

fn for_size(next: Option<&Stage>) -> Vec<Offer> {
    let mut list = vec![offer(5.0, "Cover the size and keep it hot: water leaves, glue stays.", COMMON)];
    if next.is_some_and(|s| s.kind == Kind::Cloth) {
        list.insert(0, offer(10.0, "Cut the linen now, 6 mm too large all round.", SCHOOL_PAGE));
    }
    list
}

fn for_gesso(recipe: &Recipe) -> Vec<Offer> {
    let soak = figure(recipe.size.soak_h);
    vec![
        offer(recipe.size.soak_h * 60.0 + 60.0, format!("Put glue for the gesso to soak: {soak} h, cold."), RECIPE),
        offer(60.0, "Weigh and sift the white powders now, mask on.", COMMON),
        offer(30.0, "Sift powder on to the warm size; stir only once it has sunk.", COMMON),
        offer(15.0, "Strain the gesso and let it stand: bubbles rise.", COMMON),
    ]
}

fn for_coat(recipe: &Recipe) -> Vec<Offer> {
    let (melt, bowl) = (recipe.gesso.melt_min, recipe.gesso.bowl_min);
    vec![
        offer(
            melt + bowl + 1.0,
            format!("Gelled? Melt it again: {} min in the bath, then off.", figure(melt)),
            THOMPSON_POT,
        ),
        offer(bowl, format!("Thin the bowl {} min before the coat falls due.", figure(bowl)), RECIPE),
        offer(5.0, "Weigh the pot: what it lost is water; give that back.", DERIVED),
    ]
}

fn for_finish(recipe: &Recipe) -> Vec<Offer> {
    let mut list = Vec::new();
    if let Some(scrape) = &recipe.scrape {
        list.push(match Tool::of(scrape) {
            Tool::Blade => offer(10.0, "See to the blade: round its corners, raise its burr.", COMMON),
            Tool::Knife => offer(5.0, "See to the knife: round its corners, clean its edge.", COMMON),
        });
    }
    if recipe.check.is_some() {
        list.push(offer(5.0, "Crush charcoal for the dark powder; shake it through cloth.", COMMON));
    }
    list.push(offer(2.0, "Wash a soft cloth for polishing and wring it out.", COMMON));
    list
}

fn for_last(next: Option<&Stage>, recipe: &Recipe) -> Vec<Offer> {
    match next.map(|s| s.kind) {
        Some(Kind::Seal) => match recipe.seal.with {
            SealWith::Shellac => vec![
                offer(12.0 * 60.0, "Put shellac flakes to dissolve, away from heat: a night.", COMMON),
                offer(10.0, "Find another place to seal than where the pot stands.", COMMON),
                offer(10.0, "Try a drop of the shellac on glass: it must dry hard.", COMMON),
            ],
            SealWith::Glue => {
                let soak = recipe.size.soak_h;
                vec![offer(soak * 60.0, format!("Put a little glue to soak: {} h, cold.", figure(soak)), RECIPE)]
            }
            SealWith::None => Vec::new(),
        },
        Some(Kind::Sand) => vec![offer(5.0, "Cut fine paper to the block.", COMMON)],
        Some(
            Kind::Prepare
            | Kind::Size
            | Kind::Cloth
            | Kind::Cure
            | Kind::Stipple
            | Kind::Coat
            | Kind::Dry
            | Kind::Scrape
            | Kind::Polish
            | Kind::Check
            | Kind::Rest,
        )
        | None => Vec::new(),
    }
}
