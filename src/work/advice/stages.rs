//! What makes each stage come out right: a few lines, the weightiest first, from the recipe and the craft's sources.
//!
//! A screen with little room shows the first line alone.

use super::Tip;
use super::source::*;
use super::words::format_figure;
use crate::craft::materials::Support;
use crate::craft::materials::supports::BoardBuild;
use crate::craft::recipe::{Faces, Paint, ReadySign, Recipe, Scrape, SealMaterial};
use crate::work::panel::event::{Face, PanelOpened, Stage, StageKind};

/// The most characters of a maker's word (a grit, a time) that go into a line; longer ones are left out.
const WORD_CHARS_MAX: usize = 26;

/// The tips of a stage of that panel, the weightiest first. `due` is the time a cure, drying or rest ends, as text that
/// can follow "before": "tomorrow at 14:05".
pub fn stage_tips(stage: &Stage, panel: &PanelOpened, due: Option<&str>) -> Vec<Tip> {
    let recipe = &panel.recipe;
    match stage.kind {
        StageKind::Prepare => prepare_tips(panel.support),
        StageKind::Size => size_tips(stage, panel),
        StageKind::Cloth => cloth_tips(),
        StageKind::Cure => cure_tips(recipe, due),
        StageKind::Stipple => stipple_tips(),
        StageKind::Coat => coat_tips(stage, recipe),
        StageKind::Dry => dry_tips(recipe, due),
        StageKind::Scrape => scrape_tips(stage, recipe),
        StageKind::Polish => polish_tips(stage, recipe, panel.paint),
        StageKind::Check => check_tips(panel.paint),
        StageKind::Rest => rest_tips(due),
        StageKind::Seal => seal_tips(recipe, panel.paint),
        StageKind::Sand => sand_tips(recipe),
    }
}

/// A word of the bench before an act, and never a stage: nothing is recorded of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TurnOverTip {
    /// In block letters.
    pub block: &'static str,
    /// How the board is laid down.
    pub tip: Tip,
}

/// What is said before the act at hand where the board has to be turned over for it: the back of a size coat, whose front
/// has just been laid and is wet; the first coat of gesso on the back.
pub fn turn_over_tip(stage: &Stage, recipe: &Recipe) -> Option<TurnOverTip> {
    let on_back = stage.face == Some(Face::Back);
    let text = match stage.kind {
        StageKind::Size if on_back && recipe.size.faces == Faces::Both => {
            "Wet front down on two battens: they touch only its edges."
        }
        StageKind::Coat if on_back && stage.number.is_none_or(|n| n == 1) => {
            "Front down on two battens or pins: they touch only its edges."
        }
        StageKind::Size
        | StageKind::Coat
        | StageKind::Prepare
        | StageKind::Cloth
        | StageKind::Cure
        | StageKind::Stipple
        | StageKind::Dry
        | StageKind::Scrape
        | StageKind::Polish
        | StageKind::Check
        | StageKind::Rest
        | StageKind::Seal
        | StageKind::Sand => return None,
    };
    Some(TurnOverTip { block: "TURN IT OVER", tip: Tip::new(text, COMMON) })
}

/// Lines as they stand.
fn tips_from_pairs(pairs: &[(&'static str, &'static str)]) -> Vec<Tip> {
    pairs.iter().map(|(text, source)| Tip::new(*text, source)).collect()
}

fn prepare_tips(support: Support) -> Vec<Tip> {
    let mut tips = tips_from_pairs(&[
        ("Pencil the name and an arrow on the back: the arrow points up.", COMMON),
        ("The name on tape on an edge as well: read as the board lies.", COMMON),
        ("Break every edge now, before size: coats thin and crack there.", TEMPERA_FORUM),
    ]);
    tips.push(keying_tip(support));
    tips.extend(tips_from_pairs(&[
        ("Dust off, then wipe with spirit to degrease; let it dry.", KAY),
        ("Let the board live in the workroom for a week or more first.", COMMON),
    ]));
    tips
}

/// How a face of that board is given a key.
fn keying_tip(support: Support) -> Tip {
    match support.build() {
        BoardBuild::Fibreboard if support == Support::Mdf => {
            Tip::new("Key both faces with 80-100 grit.", GERMAN_HANDBOOK)
        }
        BoardBuild::Fibreboard => Tip::new("Rub the faces until the shine is gone.", KAY),
        BoardBuild::Plywood | BoardBuild::Unknown => Tip::new("Key both faces with medium paper.", KAY),
        BoardBuild::SolidWood => Tip::new("Roughen, do not score: gesso can crack along scores.", RUSSIAN_ATELIER),
    }
}

fn size_tips(stage: &Stage, panel: &PanelOpened) -> Vec<Tip> {
    let mut tips = tips_from_pairs(&[
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

fn cloth_tips() -> Vec<Tip> {
    tips_from_pairs(&[
        ("Press bubbles and folds out from the middle to the edges.", RUSSIAN_ATELIER),
        ("Old washed linen, thin and free of grease; new cloth shrinks.", CLOTH),
        ("Cut it 6 mm too large: it shrinks as it dries.", SCHOOL_PAGE),
        ("Soak it in size before it is laid.", RUSSIAN_ATELIER),
    ])
}

fn cure_tips(recipe: &Recipe, due: Option<&str>) -> Vec<Tip> {
    let first = match due.filter(|d| d.chars().count() <= WORD_CHARS_MAX) {
        Some(due) => Tip::new(format!("Gesso not before {due}."), RECIPE),
        None => {
            let hours = format_figure(recipe.size.cure_h);
            Tip::new(format!("Gesso not before the size has cured for {hours} h."), RECIPE)
        }
    };
    let mut tips = vec![first];
    tips.extend(tips_from_pairs(&[
        ("Never force it with warmth; days are better than hours.", THOMPSON_SIZE),
        ("Stand it on battens: air on both faces, no sun, no draught.", COMMON),
    ]));
    tips
}

fn stipple_tips() -> Vec<Tip> {
    tips_from_pairs(&[
        ("Push it about first, into the grain; then tap it.", FIRST_COAT),
        ("Tap until the roughness is even all over.", COMMON),
        ("One consistency in the bowl, from the first dab to the last.", COMMON),
        ("A pinhole? Rub it in now, while it is wet.", HOBBY_NOTES),
        ("A cold board under warm gesso makes bubbles.", TEMPERA_FORUM),
    ])
}

fn coat_tips(stage: &Stage, recipe: &Recipe) -> Vec<Tip> {
    let mut tips = vec![Tip::new("Thin, one pass, never back into it.", SLADE)];
    tips.push(match recipe.coats.ready_sign {
        ReadySign::Dull => Tip::new("Lay it when the gloss has gone: dull, not bone dry.", SLADE),
        ReadySign::Dry => Tip::new("This recipe lays it when the last is dry to the touch.", DRY_SCHOOL),
    });
    if stage.number.is_some() && stage.number == stage.total {
        tips.push(Tip::new("The last one: afterwards look whether grain shows.", COMMON));
    }
    if stage.number.is_some_and(|n| n > 2) {
        tips.push(Tip::new("Give back the water the pot has lost: never stronger than below.", RIVERS_COATS));
    }
    if recipe.coats.ready_sign == ReadySign::Dull {
        tips.push(Tip::new("Look along the face towards a light: wet places gleam.", "an oil painter's page"));
    }
    tips.extend(tips_from_pairs(&[
        ("Load the brush evenly; rinse it only between coats.", TIMED_LOG),
        ("Skin on the pot: push it aside, do not drag it on.", HOBBY_NOTES),
    ]));
    tips
}

fn dry_tips(recipe: &Recipe, due: Option<&str>) -> Vec<Tip> {
    let mut tips = vec![Tip::new("Does any grain show? Then lay one more coat.", COMMON)];
    if let Some(due) = due.filter(|d| d.chars().count() <= WORD_CHARS_MAX) {
        tips.push(Tip::new(format!("The ground is left alone until {due}."), RECIPE));
    }
    tips.push(Tip::new("No sun, heater or draught on one face: a skin cracks.", RIVERS_DRY));
    if recipe.coats.dry_min < 24.0 * 60.0 {
        let minutes = format_figure(recipe.coats.dry_min);
        tips.push(Tip::new(format!("Old practice waits two days here; this recipe {minutes} min."), CENNINI_DRY));
    }
    tips
}

/// What the scraping tool is, as far as its name tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum ScrapeTool {
    /// A steel edge with a burr.
    Blade,
    /// A flexible knife without one.
    Knife,
}

impl ScrapeTool {
    pub(super) fn from_scrape(scrape: &Scrape) -> ScrapeTool {
        if scrape.tool.to_lowercase().contains("knife") { ScrapeTool::Knife } else { ScrapeTool::Blade }
    }
}

fn scrape_tips(stage: &Stage, recipe: &Recipe) -> Vec<Tip> {
    let usual = Scrape::default();
    let plan = recipe.scrape.as_ref().unwrap_or(&usual);
    let (angle, stroke) = (format_figure(plan.angle_deg), format_figure(plan.stroke_mm));
    let first = stage.number.is_none_or(|n| n == 1);
    let mut tips = match ScrapeTool::from_scrape(plan) {
        ScrapeTool::Blade => vec![
            Tip::new(format!("Blade at {angle} degrees, light strokes of {stroke} mm."), BLADE_ANGLE),
            Tip::new("Burr towards you, thumbs in the middle; pull.", THOMPSON_BLADE),
        ],
        ScrapeTool::Knife => vec![
            Tip::new(format!("Knife at {angle} degrees, light strokes of {stroke} mm."), RECIPE),
            Tip::new("Keep the knife stiff: bent, it digs into the hollows.", COMMON),
        ],
    };
    tips.extend(tips_from_pairs(&[
        ("Half the round one way, then across it.", THOMPSON_BLADE),
        ("Do not dwell: a spot scraped long is a hollow.", THOMPSON_BLADE),
        ("Vacuum the dust off before changing direction.", COMMON),
    ]));
    if first {
        tips.push(match ScrapeTool::from_scrape(plan) {
            ScrapeTool::Blade => Tip::new("Corners of the blade rounded, burr raised, before you begin.", COMMON),
            ScrapeTool::Knife => Tip::new("Corners of the knife rounded, edge clean, before you begin.", COMMON),
        });
        tips.push(Tip::new("Grain still showing? One more coat first, then scrape.", COMMON));
    } else {
        tips.push(Tip::new("Round the grey areas, not in them: bring the high down.", COMMON));
    }
    tips
}

fn polish_tips(stage: &Stage, recipe: &Recipe, paint: Paint) -> Vec<Tip> {
    let mut tips = tips_from_pairs(&[
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

fn check_tips(paint: Paint) -> Vec<Tip> {
    let mut tips = tips_from_pairs(&[
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

fn rest_tips(due: Option<&str>) -> Vec<Tip> {
    let mut tips = Vec::new();
    if let Some(due) = due.filter(|d| d.chars().count() <= WORD_CHARS_MAX) {
        tips.push(Tip::new(format!("Leave it alone until {due}."), RECIPE));
    }
    tips.extend(tips_from_pairs(&[
        ("On battens, both faces to the air.", COMMON),
        ("Slow and even: no sun, heater or draught on one face.", RIVERS_DRY),
        ("Rested when its weight stands still for a day.", DERIVED),
    ]));
    tips
}

fn seal_tips(recipe: &Recipe, paint: Paint) -> Vec<Tip> {
    let mut tips = vec![Tip::new("Wipe off dust and powder first, and let the ground dry.", COMMON)];
    match recipe.seal.with {
        SealMaterial::Shellac => tips.extend(tips_from_pairs(&[
            ("Spirit stays away from the hot plate: pot off, plate cold.", COMMON),
            ("Thin, into the ground and not on it: no gloss.", CONSERVATORS),
            ("Dewaxed and fresh: a drop on glass must dry hard.", COMMON),
            ("In cold or damp air shellac dries to a haze: wait for a dry day.", COMMON),
        ])),
        SealMaterial::Glue => {
            tips.push(match recipe.seal.glue_g_per_l_water {
                Some(g) => {
                    Tip::new(format!("Weak glue, {} g to the litre, warm, in one pass.", format_figure(g)), RECIPE)
                }
                None => Tip::new("Weak glue, about 3 %, warm, in one pass.", MATERIALS_MAKER),
            });
            tips.push(Tip::new("Do not rub: warm glue opens the ground.", COMMON));
        }
        SealMaterial::None => {}
    }
    if paint == Paint::Oil {
        tips.push(Tip::new("Before oil paint leave it overnight.", COMMON));
    }
    tips
}

fn sand_tips(recipe: &Recipe) -> Vec<Tip> {
    let grit =
        recipe.sand.as_ref().map(|s| s.grit.trim()).filter(|g| (1..=WORD_CHARS_MAX).contains(&g.chars().count()));
    let first = match grit {
        Some(grit) => Tip::new(format!("Paper {grit} on a hard block; little weight."), RECIPE),
        None => Tip::new("Fine paper on a hard block; little weight.", COMMON),
    };
    let mut tips = vec![first];
    tips.extend(tips_from_pairs(&[
        ("Paper that clogs says the ground is damp still: wait.", PAINTER_2012),
        ("Look with the light from the side: scratches show as lines.", COMMON),
        ("Wipe the dust off damp; do not blow it about.", COMMON),
    ]));
    tips
}
