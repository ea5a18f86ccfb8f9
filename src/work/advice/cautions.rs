//! The usual caution at each stage where work can hurt, the board included.
//!
//! Limits and scald times are standard values from memory, said so. Where health is concerned local rules, the label
//! and qualified advice come first, and a line says that. The long sentence of a recipe's own cautions is the recipe's.
//! They forbid nothing and give no medical advice.

use super::CautionLine;
use super::source::*;
use crate::craft::materials::{Filler, Support};
use crate::craft::recipe::{Paint, Recipe, SealMaterial};
use crate::units::Size;
use crate::work::panel::event::{Stage, StageKind};
use crate::work::panel::stage_kind::StageHazard;

const fn caution(text: &'static str, source: &'static str) -> CautionLine {
    CautionLine { text, source }
}

/// The bath stands while anyone works.
pub const BATH: CautionLine = caution("Hot bath: cable away, handles in, never boiled dry.", COMMON);
/// How fast hot water scalds.
pub const SCALD: CautionLine = caution("Scalds deeply: at 60 C in about 5 s, at 55 C in about 30 s.", SCALDS);
/// Spoiled glue.
pub const MOULD: CautionLine = caution("Mould or a foul smell: throw it out, no sniffing close up.", COMMON);
/// Spirit on a rag or in a dish.
pub const SPIRIT_HEAT: CautionLine = caution("Spirit never near hot plate, flame or spark; air the room.", SPIRIT);
/// Where rags go.
pub const RAGS: CautionLine = caution("Spirit rags: laid flat outside until dry, never in a heap.", COMMON);
/// Dust of any kind.
pub const RESPIRATOR: CautionLine = caution("Fine dust: FFP2 or better; wipe up wet, never sweep.", DUST);
/// Powders that may hold quartz.
pub const QUARTZ: CautionLine = caution("Chalk and natural gypsum may hold quartz: keep the dust down.", DUST);
/// Zinc oxide.
pub const ZINC_DUST: CautionLine = caution("Zinc white: dust limit 5 mg/m3; no wash water to the drain.", DUST_ZINC);
/// Titanium dioxide.
pub const TITANIUM_DUST: CautionLine = caution("Titanium white: dust limit 2.4 mg/m3 for fine powder.", DUST_TITANIUM);
/// The edge.
pub const BLADE: CautionLine = caution("Blade: both hands on it, never towards a hand; sheathe it.", COMMON);
/// Zinc white under oil.
pub const ZINC_OIL: CautionLine = caution("Zinc white forms soaps with oil: brittle, it can come away.", ZINC_STUDY);
/// What to take for it.
pub const TITANIUM_INSTEAD: CautionLine =
    caution("Take titanium white instead, a tenth of the filler.", TITANIUM_SHARE);
/// Old recipes.
pub const LEAD: CautionLine = caution("Lead white, in old recipes: not for a home ground.", COMMON);
/// Who is asked first.
pub const LOCAL_RULES_FIRST: CautionLine =
    caution("Labels, local rules and a doctor's advice come before these lines.", COMMON);

/// The cautions of a stage, the weightiest first; none where nothing in it can hurt.
pub fn stage_cautions(stage: &Stage, recipe: &Recipe, paint: Paint) -> Vec<CautionLine> {
    let hazards = stage.kind.row().hazards.iter();
    let mut list: Vec<_> = hazards.flat_map(|hazard| hazard_cautions(*hazard, recipe, paint)).collect();
    let own = KEYED_CAUTIONS.iter().filter(|k| k.kind == stage.kind && recipe.cautions.iter().any(|key| key == k.key));
    list.extend(own.map(|k| k.caution));
    let health = [RESPIRATOR, MOULD, SPIRIT_HEAT];
    if list.iter().any(|caution| health.contains(caution)) {
        list.push(LOCAL_RULES_FIRST);
    }
    list
}

fn hazard_cautions(hazard: StageHazard, recipe: &Recipe, paint: Paint) -> Vec<CautionLine> {
    match hazard {
        StageHazard::HotGlue => vec![BATH, SCALD, MOULD],
        StageHazard::Spirit => vec![SPIRIT_HEAT],
        StageHazard::Dust => vec![RESPIRATOR],
        StageHazard::Powders => powder_cautions(recipe),
        StageHazard::Lead => vec![LEAD],
        StageHazard::Blade => vec![BLADE],
        StageHazard::PaintOverPowders => paint_cautions(recipe, paint),
        StageHazard::SealMaterial => match recipe.seal.with {
            SealMaterial::Shellac => vec![SPIRIT_HEAT, RAGS],
            SealMaterial::Glue => vec![BATH, SCALD],
            SealMaterial::None => Vec::new(),
        },
    }
}

/// What the paint and the powders together call for: zinc white under oil, with what to take instead. Said once when a
/// panel is opened, and again before its first gesso.
pub fn paint_cautions(recipe: &Recipe, paint: Paint) -> Vec<CautionLine> {
    let named = recipe.cautions.iter().any(|key| key == "zinc-with-oil");
    match paint {
        Paint::Oil if named || has_any_filler(recipe, &[Filler::ZincWhite]) => vec![ZINC_OIL, TITANIUM_INSTEAD],
        Paint::Oil | Paint::Tempera | Paint::Gilding => Vec::new(),
    }
}

/// The cautions of a panel at its opening: its paint's and its board's.
pub fn opening_cautions(recipe: &Recipe, paint: Paint, size: &Size, support: Support) -> Vec<CautionLine> {
    paint_cautions(recipe, paint).into_iter().chain(board_caution(size, support)).collect()
}

/// The one sentence said when zinc white would lie under oil paint; none where it would not.
pub fn zinc_under_oil_caution(recipe: &Recipe, paint: Paint) -> Option<&'static str> {
    let told = !paint_cautions(recipe, paint).is_empty();
    told.then_some(crate::craft::recipe::cautions::RecipeCaution::ZincWithOil.text())
}

/// The dust of the powders in the recipe.
fn powder_cautions(recipe: &Recipe) -> Vec<CautionLine> {
    let of = [
        (has_any_filler(recipe, &[Filler::Gypsum, Filler::Chalk]), QUARTZ),
        (has_any_filler(recipe, &[Filler::ZincWhite]), ZINC_DUST),
        (has_any_filler(recipe, &[Filler::TitaniumWhite]), TITANIUM_DUST),
    ];
    of.into_iter().filter_map(|(there, caution)| there.then_some(caution)).collect()
}

fn has_any_filler(recipe: &Recipe, fillers: &[Filler]) -> bool {
    recipe.gesso.fillers.iter().any(|part| fillers.contains(&part.filler))
}

/// A caution that a recipe calls for by its key, at one stage.
pub(super) struct KeyedCaution {
    pub(super) key: &'static str,
    kind: StageKind,
    caution: CautionLine,
}

/// The recipe's keys as short lines, each at the stage where it still helps. What the stages say anyway (zinc, dust, spirit)
/// is not said twice.
pub(super) const KEYED_CAUTIONS: [KeyedCaution; 7] = [
    keyed_caution(
        "titanium-share",
        StageKind::Stipple,
        "More than a tenth of titanium makes a powdery ground.",
        TITANIUM_SHARE,
    ),
    keyed_caution(
        "cloth-pinholes",
        StageKind::Stipple,
        "Linen breeds pinholes: tap and rub until none shows.",
        CONSERVATORS,
    ),
    keyed_caution(
        "veneer-checks",
        StageKind::Prepare,
        "Plywood veneer cracks through in time: linen helps.",
        CONSERVATORS,
    ),
    keyed_caution(
        "shellac-in-damp-air",
        StageKind::Seal,
        "Shellac in cold or damp air can dry to a white haze.",
        COMMON,
    ),
    keyed_caution(
        "strong-binder",
        StageKind::Coat,
        "A ground rich in glue: thin coats, water given back.",
        CONSERVATORS,
    ),
    keyed_caution("lean-binder", StageKind::Scrape, "A ground lean in glue: soft, so a light hand.", CONSERVATORS),
    keyed_caution("second-batch", StageKind::Coat, "A second batch: equal or weaker, never stronger.", RIVERS_COATS),
];

const fn keyed_caution(key: &'static str, kind: StageKind, text: &'static str, source: &'static str) -> KeyedCaution {
    KeyedCaution { key, kind, caution: caution(text, source) }
}

/// Under this thickness a board may bow, mm; hardboard is sold thinner (practitioners' pages: 10-18 mm plywood).
pub const THIN_MM: f64 = 10.0;
/// The same for hardboard, mm.
pub const THIN_HARDBOARD_MM: f64 = 6.0;
/// A board of about 12 mm is said to serve up to about this side, mm.
pub const LARGE_MM: f64 = 500.0;
/// Up to this thickness a large board is spoken of, mm.
pub const LARGE_UP_TO_MM: f64 = 12.0;

/// The caution a board calls for by its size; none if it is stout enough or its thickness is unknown.
pub fn board_caution(size: &Size, support: Support) -> Option<CautionLine> {
    let thick = size.thickness?.mm();
    let longer = size.width.mm().max(size.height.mm());
    let hardboard = support == Support::Hardboard;
    if hardboard && thick < THIN_HARDBOARD_MM {
        Some(caution("Hardboard under 6 mm may bow: brace it, coat both faces alike.", CONSERVATORS))
    } else if !hardboard && thick < THIN_MM {
        Some(caution("Under 10 mm it may bow: brace it, or coat both faces alike.", PLY_PAGES))
    } else if thick <= LARGE_UP_TO_MM && longer > LARGE_MM {
        Some(caution("Large for its thickness: brace it, and coat both faces alike.", PLY_PAGES))
    } else {
        None
    }
}
