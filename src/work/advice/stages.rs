//! What makes each stage come out right: a few lines, the weightiest first, from the recipe and the craft's sources.
//!
//! A screen with little room shows the first line alone. Absent on purpose: what can hurt (`cautions`), what can be
//! prepared meanwhile (`offers`), verdicts.

use super::Tip;
use super::source::*;
use super::words::figure;
use crate::craft::materials::Support;
use crate::craft::recipe::{Faces, Paint, ReadySign, Recipe, Scrape, SealWith};
use crate::work::panel::event::{Face, Kind, Opened, Stage};

/// The most characters of a maker's word (a grit, a time) that go into a line; longer ones are left out.
const WORD_MAX: usize = 26;

/// The tips of a stage of that panel, the weightiest first. `due` is the time a cure, drying or rest ends, as text that
/// can follow "before": "tomorrow at 14:05".
pub fn tips(stage: &Stage, panel: &Opened, due: Option<&str>) -> Vec<Tip> {
    let recipe = &panel.recipe;
    match stage.kind {
        Kind::Prepare => prepare(panel.support),
        Kind::Size => size(stage, panel),
        Kind::Cloth => cloth(),
        Kind::Cure => cure(recipe, due),
        Kind::Stipple => stipple(),
        Kind::Coat => coat(stage, recipe),
        Kind::Dry => dry(recipe, due),
        Kind::Scrape => scrape(stage, recipe),
        Kind::Polish => polish(stage, recipe, panel.paint),
        Kind::Check => check(panel.paint),
        Kind::Rest => rest(due),
        Kind::Seal => seal(recipe, panel.paint),
        Kind::Sand => sand(recipe),
    }
}

/// Lines as they stand.
fn lines(pairs: &[(&'static str, &'static str)]) -> Vec<Tip> {
    pairs.iter().map(|(text, source)| Tip::new(*text, source)).collect()
}

fn prepare(support: Support) -> Vec<Tip> {
    let mut tips = lines(&[
        ("Pencil the name and an arrow on the back: the arrow points up.", COMMON),
        ("Break every edge now, before size: coats thin and crack there.", TEMPERA_FORUM),
    ]);
    tips.push(key(support));
    tips.extend(lines(&[
        ("Dust off, then wipe with spirit to degrease; let it dry.", KAY),
        ("Let the board live in the workroom for a week or more first.", COMMON),
    ]));
    tips
}

/// How a face of that board is given a key.
fn key(support: Support) -> Tip {
    match support {
        Support::Mdf => Tip::new("Key both faces with 80-100 grit.", GERMAN_HANDBOOK),
        Support::Hardboard => Tip::new("Rub the faces until the shine is gone.", KAY),
        Support::BirchPlywood | Support::PoplarPlywood | Support::Other => {
            Tip::new("Key both faces with medium paper.", KAY)
        }
        Support::OakWhite
        | Support::OakRed
        | Support::YellowPoplar
        | Support::Lime
        | Support::Birch
        | Support::Beech
        | Support::MapleSugar
        | Support::WalnutBlack
        | Support::CherryBlack
        | Support::PineWhite
        | Support::Mahogany => Tip::new("Roughen, do not score: gesso can crack along scores.", RUSSIAN_ATELIER),
    }
}

fn size(stage: &Stage, panel: &Opened) -> Vec<Tip> {
    let mut tips = lines(&[
        ("Hot and thin, scrubbed in: no puddles, no runs.", THOMPSON_SIZE),
        ("Once dry the wood must not shine: a shine is too much size.", RIVERS_SIZE),
    ]);
    let edges_here = match panel.recipe.size.faces {
        Faces::Front => true,
        Faces::Both => stage.face == Some(Face::Back),
    };
    if edges_here {
        tips.push(Tip::new("The edges get size as well.", COMMON));
    } else {
        tips.push(Tip::new("The other face follows at once; the wait comes after both.", COMMON));
    }
    if panel.support == Support::Mdf {
        tips.push(Tip::new("On MDF two thin coats are better than one thick.", GERMAN_HANDBOOK));
    }
    if stage.number.is_some_and(|n| n > 1) {
        tips.push(Tip::new("Ready for it: not cool to the back of the hand, not tacky.", COMMON));
    }
    tips
}

fn cloth() -> Vec<Tip> {
    lines(&[
        ("Press bubbles and folds out from the middle to the edges.", RUSSIAN_ATELIER),
        ("Old washed linen, thin and free of grease; new cloth shrinks.", CLOTH),
        ("Cut it 6 mm too large: it shrinks as it dries.", SCHOOL_PAGE),
        ("Soak it in size before it is laid.", RUSSIAN_ATELIER),
    ])
}

fn cure(recipe: &Recipe, due: Option<&str>) -> Vec<Tip> {
    let first = match due.filter(|d| d.chars().count() <= WORD_MAX) {
        Some(due) => Tip::new(format!("Gesso not before {due}."), RECIPE),
        None => {
            let hours = figure(recipe.size.cure_h);
            Tip::new(format!("Gesso not before the size has cured for {hours} h."), RECIPE)
        }
    };
    let mut tips = vec![first];
    tips.extend(lines(&[
        ("Never force it with warmth; days are better than hours.", THOMPSON_SIZE),
        ("Stand it on battens: air on both faces, no sun, no draught.", COMMON),
    ]));
    tips
}

fn stipple() -> Vec<Tip> {
    lines(&[
        ("Push it about first, into the grain; then tap it.", FIRST_COAT),
        ("Tap until the roughness is even all over.", COMMON),
        ("One consistency in the bowl, from the first dab to the last.", COMMON),
        ("A pinhole? Rub it in now, while it is wet.", HOBBY_NOTES),
        ("A cold board under warm gesso makes bubbles.", TEMPERA_FORUM),
    ])
}

fn coat(stage: &Stage, recipe: &Recipe) -> Vec<Tip> {
    let mut tips = vec![Tip::new("Thin, one pass, never back into it.", SLADE)];
    tips.push(match recipe.coats.ready_sign {
        ReadySign::Dull => Tip::new("Lay it when the gloss has gone: dull, not bone dry.", SLADE),
        ReadySign::Dry => Tip::new("This recipe lays it when the last is dry to the touch.", DRY_SCHOOL),
    });
    if stage.number.is_some() && stage.number == stage.of {
        tips.push(Tip::new("The last one: afterwards look whether grain shows.", COMMON));
    }
    if stage.number.is_some_and(|n| n > 2) {
        tips.push(Tip::new("Give back the water the pot has lost: never stronger than below.", RIVERS_COATS));
    }
    if recipe.coats.ready_sign == ReadySign::Dull {
        tips.push(Tip::new("Look along the face towards a light: wet places gleam.", "an oil painter's page"));
    }
    tips.extend(lines(&[
        ("Load the brush evenly; rinse it only between coats.", TIMED_LOG),
        ("Skin on the pot: push it aside, do not drag it on.", HOBBY_NOTES),
    ]));
    tips
}

fn dry(recipe: &Recipe, due: Option<&str>) -> Vec<Tip> {
    let mut tips = vec![Tip::new("Does any grain show? Then lay one more coat.", COMMON)];
    if let Some(due) = due.filter(|d| d.chars().count() <= WORD_MAX) {
        tips.push(Tip::new(format!("The ground is left alone until {due}."), RECIPE));
    }
    tips.push(Tip::new("No sun, heater or draught on one face: a skin cracks.", RIVERS_DRY));
    if recipe.coats.dry_min < 24.0 * 60.0 {
        let minutes = figure(recipe.coats.dry_min);
        tips.push(Tip::new(format!("Old practice waits two days here; this recipe {minutes} min."), CENNINI_DRY));
    }
    tips
}

/// What the scraping tool is, as far as its name tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tool {
    /// A steel edge with a burr.
    Blade,
    /// A flexible knife without one.
    Knife,
}

impl Tool {
    pub(super) fn of(scrape: &Scrape) -> Tool {
        if scrape.tool.to_lowercase().contains("knife") { Tool::Knife } else { Tool::Blade }
    }
}

fn scrape(stage: &Stage, recipe: &Recipe) -> Vec<Tip> {
    let usual = Scrape::default();
    let plan = recipe.scrape.as_ref().unwrap_or(&usual);
    let (angle, stroke) = (figure(plan.angle_deg), figure(plan.stroke_mm));
    let first = stage.number.is_none_or(|n| n == 1);
    let mut tips = match Tool::of(plan) {
        Tool::Blade => vec![
            Tip::new(format!("Blade at {angle} degrees, light strokes of {stroke} mm."), BLADE_ANGLE),
            Tip::new("Burr towards you, thumbs in the middle; pull.", THOMPSON_BLADE),
        ],
        Tool::Knife => vec![
            Tip::new(format!("Knife at {angle} degrees, light strokes of {stroke} mm."), RECIPE),
            Tip::new("Keep the knife stiff: bent, it digs into the hollows.", COMMON),
        ],
    };
    tips.extend(lines(&[
        ("Half the round one way, then across it.", THOMPSON_BLADE),
        ("Do not dwell: a spot scraped long is a hollow.", THOMPSON_BLADE),
        ("Vacuum the dust off before changing direction.", COMMON),
    ]));
    if first {
        tips.push(match Tool::of(plan) {
            Tool::Blade => Tip::new("Corners of the blade rounded, burr raised, before you begin.", COMMON),
            Tool::Knife => Tip::new("Corners of the knife rounded, edge clean, before you begin.", COMMON),
        });
        tips.push(Tip::new("Grain still showing? One more coat first, then scrape.", COMMON));
    } else {
        tips.push(Tip::new("Round the grey areas, not in them: bring the high down.", COMMON));
    }
    tips
}

fn polish(stage: &Stage, recipe: &Recipe, paint: Paint) -> Vec<Tip> {
    let mut tips = lines(&[
        ("Cloth barely damp, wrung nearly dry, or it lifts the ground.", COMMON),
        ("Small circles, briefly; then let it dry.", COMMON),
    ]);
    if paint == Paint::Tempera {
        tips.push(Tip::new("Never rubbed glossy: tempera slips on a slick ground.", TEMPERA_FORUM));
    }
    if recipe.scrape.is_none() && stage.number.is_none_or(|n| n == 1) {
        tips.push(Tip::new("Grain still showing? One more coat first, then the cloth.", COMMON));
    }
    tips
}

fn check(paint: Paint) -> Vec<Tip> {
    let mut tips = lines(&[
        ("Dust the powder on thinly; wipe it off with cloth or feather.", THOMPSON_BLADE),
        ("Grey that stays is low; white is level or high.", CENNINI_DRY),
        ("Mark each area: none, some or much grey.", COMMON),
        ("The powder: charcoal crushed fine, shaken through a cloth.", COMMON),
        ("Look again with the light from the side.", COMMON),
    ]);
    match paint {
        Paint::Oil | Paint::Tempera => {
            tips.push(Tip::new("Not graphite under pale paint: it stays in the pores.", COMMON));
        }
        Paint::Gilding => {}
    }
    tips
}

fn rest(due: Option<&str>) -> Vec<Tip> {
    let mut tips = Vec::new();
    if let Some(due) = due.filter(|d| d.chars().count() <= WORD_MAX) {
        tips.push(Tip::new(format!("Leave it alone until {due}."), RECIPE));
    }
    tips.extend(lines(&[
        ("On battens, both faces to the air.", COMMON),
        ("Slow and even: no sun, heater or draught on one face.", RIVERS_DRY),
        ("Rested when its weight stands still for a day.", DERIVED),
    ]));
    tips
}

fn seal(recipe: &Recipe, paint: Paint) -> Vec<Tip> {
    let mut tips = vec![Tip::new("Wipe off dust and powder first, and let the ground dry.", COMMON)];
    match recipe.seal.with {
        SealWith::Shellac => tips.extend(lines(&[
            ("Spirit stays away from the hot plate: pot off, plate cold.", COMMON),
            ("Thin, into the ground and not on it: no gloss.", CONSERVATORS),
            ("Dewaxed and fresh: a drop on glass must dry hard.", COMMON),
            ("In cold or damp air shellac dries to a haze: wait for a dry day.", COMMON),
        ])),
        SealWith::Glue => {
            tips.push(match recipe.seal.glue_g_per_l_water {
                Some(g) => Tip::new(format!("Weak glue, {} g to the litre, warm, in one pass.", figure(g)), RECIPE),
                None => Tip::new("Weak glue, about 3 %, warm, in one pass.", MATERIALS_MAKER),
            });
            tips.push(Tip::new("Do not rub: warm glue opens the ground.", COMMON));
        }
        SealWith::None => {}
    }
    if paint == Paint::Oil {
        tips.push(Tip::new("Before oil paint leave it overnight.", COMMON));
    }
    tips
}

fn sand(recipe: &Recipe) -> Vec<Tip> {
    let grit = recipe.sand.as_ref().map(|s| s.grit.trim()).filter(|g| (1..=WORD_MAX).contains(&g.chars().count()));
    let first = match grit {
        Some(grit) => Tip::new(format!("Paper {grit} on a hard block; little weight."), RECIPE),
        None => Tip::new("Fine paper on a hard block; little weight.", COMMON),
    };
    let mut tips = vec![first];
    tips.extend(lines(&[
        ("Paper that clogs says the ground is damp still: wait.", PAINTER_2012),
        ("Look with the light from the side: scratches show as lines.", COMMON),
        ("Wipe the dust off damp; do not blow it about.", COMMON),
    ]));
    tips
}
