//! What a wait is good for: things that can be prepared while it runs, offered only while there is time enough for them.
//!
//! How long each takes is common practice without a source, unless the recipe has a figure.

use super::Tip;
use super::source::*;
use super::stages::ScrapeTool;
use super::words::format_figure;
use crate::craft::recipe::{Recipe, SealMaterial};
use crate::units::Span;
use crate::work::panel::event::{Stage, StageKind};

/// An offer and the least minutes that must be left for it.
struct WaitOffer {
    least_min: f64,
    tip: Tip,
}

fn new_offer(least_min: f64, text: impl Into<std::borrow::Cow<'static, str>>, source: &'static str) -> WaitOffer {
    WaitOffer { least_min, tip: Tip::new(text, source) }
}

/// What can be prepared while the wait of `stage` runs, with `left` of it to go: for the act that comes `next`, the
/// weightiest first.
pub fn wait_offers(stage: &Stage, next: Option<&Stage>, recipe: &Recipe, left: Span) -> Vec<Tip> {
    let list = match stage.kind {
        StageKind::Size | StageKind::Cloth => size_offers(next),
        StageKind::Cure => gesso_offers(recipe),
        StageKind::Stipple | StageKind::Coat => coat_offers(recipe),
        StageKind::Dry => finish_offers(recipe),
        StageKind::Rest | StageKind::Seal => last_stage_offers(next, recipe),
        StageKind::Prepare | StageKind::Scrape | StageKind::Polish | StageKind::Check | StageKind::Sand => Vec::new(),
    };
    let minutes = left.minutes();
    list.into_iter().filter(|o| minutes >= o.least_min).map(|o| o.tip).collect()
}

fn size_offers(next: Option<&Stage>) -> Vec<WaitOffer> {
    let mut list = vec![new_offer(5.0, "Cover the size and keep it hot: water leaves, glue stays.", COMMON)];
    if next.is_some_and(|s| s.kind == StageKind::Cloth) {
        list.insert(0, new_offer(10.0, "Cut the linen now, 6 mm too large all round.", SCHOOL_PAGE));
    }
    list
}

fn gesso_offers(recipe: &Recipe) -> Vec<WaitOffer> {
    let soak = format_figure(recipe.size.soak_h);
    vec![
        new_offer(recipe.size.soak_h * 60.0 + 60.0, format!("Put glue for the gesso to soak: {soak} h, cold."), RECIPE),
        new_offer(60.0, "Weigh and sift the white powders now, mask on.", COMMON),
        new_offer(30.0, "Sift powder on to the warm size; stir only once it has sunk.", COMMON),
        new_offer(15.0, "Strain the gesso and let it stand: bubbles rise.", COMMON),
    ]
}

fn coat_offers(recipe: &Recipe) -> Vec<WaitOffer> {
    let (melt, bowl) = (recipe.gesso.melt_min, recipe.gesso.bowl_min);
    vec![
        new_offer(
            melt + bowl + 1.0,
            format!("Gelled? Melt it again: {} min in the bath, then off.", format_figure(melt)),
            THOMPSON_POT,
        ),
        new_offer(bowl, format!("Thin the bowl {} min before the coat falls due.", format_figure(bowl)), RECIPE),
        new_offer(5.0, "Weigh the pot: what it lost is water; give that back.", DERIVED),
    ]
}

fn finish_offers(recipe: &Recipe) -> Vec<WaitOffer> {
    let mut list = Vec::new();
    if let Some(scrape) = &recipe.scrape {
        list.push(match ScrapeTool::from_scrape(scrape) {
            ScrapeTool::Blade => new_offer(10.0, "See to the blade: round its corners, raise its burr.", COMMON),
            ScrapeTool::Knife => new_offer(5.0, "See to the knife: round its corners, clean its edge.", COMMON),
        });
    }
    if recipe.check.is_some() {
        list.push(new_offer(5.0, "Crush charcoal for the dark powder; shake it through cloth.", COMMON));
    }
    list.push(new_offer(2.0, "Wash a soft cloth for polishing and wring it out.", COMMON));
    list
}

fn last_stage_offers(next: Option<&Stage>, recipe: &Recipe) -> Vec<WaitOffer> {
    match next.map(|s| s.kind) {
        Some(StageKind::Seal) => match recipe.seal.with {
            SealMaterial::Shellac => vec![
                new_offer(12.0 * 60.0, "Put shellac flakes to dissolve, away from heat: a night.", COMMON),
                new_offer(10.0, "Find another place to seal than where the pot stands.", COMMON),
                new_offer(10.0, "Try a drop of the shellac on glass: it must dry hard.", COMMON),
            ],
            SealMaterial::Glue => {
                let soak = recipe.size.soak_h;
                vec![new_offer(
                    soak * 60.0,
                    format!("Put a little glue to soak: {} h, cold.", format_figure(soak)),
                    RECIPE,
                )]
            }
            SealMaterial::None => Vec::new(),
        },
        Some(StageKind::Sand) => vec![new_offer(5.0, "Cut fine paper to the block.", COMMON)],
        Some(
            StageKind::Prepare
            | StageKind::Size
            | StageKind::Cloth
            | StageKind::Cure
            | StageKind::Stipple
            | StageKind::Coat
            | StageKind::Dry
            | StageKind::Scrape
            | StageKind::Polish
            | StageKind::Check
            | StageKind::Rest,
        )
        | None => Vec::new(),
    }
}
