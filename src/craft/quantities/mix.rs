//! What a recipe takes for so many panels: size for the wood, gesso, seal; and what ground that makes.

use super::board::{checked_sides_mm, checked_thickness_mm};
use super::{Advice, SizeMix, compute_size_mix};
use crate::craft::materials::Filler;
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::physics::film::{self, GLUE_G_PER_ML, Powder, WATER_G_PER_ML};
use crate::craft::physics::{OutOfRange, check_range, shellac};
use crate::craft::recipe::{Faces, FillerAmount, FillerPart, Gesso, Recipe, Seal, SealMaterial};
use crate::units::{Size, Volume};

/// Below so much dry glue to 100 g of filler expect powder; above so much cracking has been reported. Derived from a
/// university conservators' forum, 2016 to 2024: with one and a half volumes of chalk 1:20 by weight (friable) is 3.8 g, 1:12
/// (cracks) 6.2, or 4.8 to 7.5 as the chalk lies; hypotheses, and gilders' gesso goes higher.
pub const GLUE_RANGE_G_PER_100G_FILLER: (f64, f64) = (4.0, 8.0);
/// From so much on it has been reported now and then.
const GLUE_CAUTION_G_PER_100G_FILLER: f64 = 6.0;
/// The same forum's limits for the size itself, g of glue to a litre of water: 1:20 and 1:12 by weight.
pub const SIZE_RANGE_G_PER_L: (f64, f64) = (50.0, 83.0);
const FORUM_SOURCE: &str = "a university conservators' forum on artists' materials, 2016-2024";

/// A job to reckon.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MixInputs<'a> {
    /// The plan.
    pub recipe: &'a Recipe,
    /// One panel.
    pub size: Size,
    /// How many.
    pub panels: u32,
    /// The faces that get gesso; `None`: the recipe's back coats say. `Both` on a recipe without back coats gives the back as
    /// many as the front has brushed ones.
    pub faces: Option<Faces>,
    /// The maker's scoop.
    pub scoop: Option<Volume>,
    /// Loose weights of the fillers.
    pub bulk: &'a BulkDensities,
}

/// One filler of the gesso.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FillerMix {
    /// Which.
    pub filler: Filler,
    /// How much, g.
    pub mass_g: f64,
    /// The same loosely filled, ml.
    pub bulk_ml: f64,
    /// The same in scoops; `None` without a scoop.
    pub scoops: Option<f64>,
}

/// The gesso.
#[derive(Debug, Clone, PartialEq)]
pub struct GessoMix {
    /// The whole, thinning water and losses included, ml.
    pub volume_ml: f64,
    /// Size in it, ml.
    pub size_ml: f64,
    /// Dry glue in it, g.
    pub glue_g: f64,
    /// Water of the size, g.
    pub water_g: f64,
    /// Its powders.
    pub fillers: Vec<FillerMix>,
    /// Water given at the end, ml.
    pub thinning_ml: f64,
}

/// What closes the ground: shellac in spirit, or thin glue.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SealMix {
    /// The whole, ml.
    pub solution_ml: f64,
    /// Shellac, g; `None` where the recipe does not say how strong, and for glue.
    pub resin_g: Option<f64>,
    /// Spirit, ml; where the strength is unknown at most so much, the whole; `None` for glue.
    pub spirit_ml: Option<f64>,
    /// Shellac to a litre of spirit, g.
    pub g_per_l_spirit: Option<f64>,
    /// The same as a pound cut.
    pub pound_cut: Option<f64>,
    /// Thin glue: the size it is; `None` for shellac, and where the recipe does not say how strong.
    pub glue: Option<SizeMix>,
}

/// The ground that comes of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ground {
    /// Dry glue to 100 g of dry filler, g.
    pub glue_per_100g_filler_g: f64,
    /// The same, lowest and highest, for all that is known of how the fillers lie in a cup.
    pub glue_per_100g_filler_range_g: [f64; 2],
    /// Powder in powder and glue, per cent by volume.
    pub pvc_pct: f64,
    /// Where the glue would just fill the gaps, per cent.
    pub cpvc_pct: f64,
    /// Air in the dry ground, per cent.
    pub void_pct: f64,
    /// Solids in the wet gesso, per cent by volume.
    pub volume_solids_pct: f64,
    /// The same with the air they keep.
    pub effective_volume_solids_pct: f64,
    /// A coat wet, micrometres.
    pub wet_um_per_coat: f64,
    /// A coat dry, micrometres; an estimate.
    pub dry_um_per_coat: f64,
    /// Stipple and every coat on the front, dry, micrometres; before scraping.
    pub dry_um_total: f64,
}

/// What a job takes.
#[derive(Debug, Clone, PartialEq)]
pub struct Mix {
    /// One face of one panel, m2.
    pub face_area_m2: f64,
    /// Size for the wood.
    pub size_for_wood: SizeMix,
    /// The gesso.
    pub gesso: GessoMix,
    /// What closes the ground, if anything does.
    pub seal: Option<SealMix>,
    /// The ground.
    pub ground: Ground,
    /// What may be said of it.
    pub advice: Vec<Advice>,
}

/// Areas of one panel, m2.
#[derive(Debug, Clone, Copy)]
struct PanelAreas {
    face: f64,
    /// Nought where the thickness is not known.
    edges: f64,
}

/// A filler of 100 ml of size, with what is known of it.
#[derive(Debug, Clone, Copy)]
struct FillerMass {
    filler: Filler,
    mass_g: f64,
    lightest_g: f64,
    heaviest_g: f64,
}

impl FillerMass {
    fn to_powder(self) -> Powder {
        Powder {
            mass_g: self.mass_g,
            density_g_per_ml: self.filler.density_g_per_ml().value,
            oil_absorption_g_per_100g: self.filler.oil_absorption_g_per_100g().value,
        }
    }
}

/// What a job takes.
///
/// Errors: a size, count, scoop or figure of the recipe outside its range.
pub fn compute_mix(inputs: &MixInputs<'_>) -> Result<Mix, OutOfRange> {
    let areas = compute_areas(inputs.size)?;
    let panels = check_range("panels", f64::from(inputs.panels), 1.0, 1000.0, "")?;
    let recipe = inputs.recipe;
    let with_waste = 1.0 + check_range("waste", recipe.gesso.waste_pct, 0.0, 500.0, "%")? / 100.0;
    let parts = filler_masses(&recipe.gesso, inputs.bulk)?;
    let back = count_back_coats(inputs);
    let front = count_front_coats(recipe);

    let size_area = f64::from(recipe.size.coats_per_face) * sized_area_m2(areas, recipe.size.faces, back);
    let size_ml = size_area * checked_coat_ml(recipe.size.ml_per_m2)? * with_waste * panels;
    let gesso_area = f64::from(front) * (areas.face + areas.edges) + f64::from(back) * areas.face;
    let loss = check_range("what cloth, sieve and bowl keep", recipe.gesso.loss_ml, 0.0, 1e5, "ml")?;
    let gesso_ml = gesso_area * checked_coat_ml(recipe.gesso.ml_per_m2)? * with_waste * panels + loss;
    let seal_area = f64::from(recipe.seal.coats) * (areas.face + areas.edges);
    let seal_ml = seal_area * checked_coat_ml(recipe.seal.ml_per_m2)? * with_waste * panels;

    let ground = compute_ground(recipe, &parts)?;
    Ok(Mix {
        face_area_m2: areas.face,
        size_for_wood: compute_size_mix(size_ml, recipe.size.glue_g_per_l_water)?,
        gesso: compute_gesso_mix(inputs, &parts, gesso_ml)?,
        seal: compute_seal_mix(&recipe.seal, seal_ml)?,
        ground,
        advice: collect_advice(inputs, &ground, &parts, back),
    })
}

fn compute_areas(size: Size) -> Result<PanelAreas, OutOfRange> {
    let (width, height) = checked_sides_mm(size)?;
    let thick = checked_thickness_mm(size)?.unwrap_or(0.0);
    Ok(PanelAreas { face: width * height / 1e6, edges: 2.0 * (width + height) * thick / 1e6 })
}

fn checked_coat_ml(ml_per_m2: f64) -> Result<f64, OutOfRange> {
    check_range("millilitres to a square metre and coat", ml_per_m2, 0.0, 5000.0, "ml")
}

/// Gesso coats on the front, the stipple among them.
const fn count_front_coats(recipe: &Recipe) -> u32 {
    recipe.stipple.coats + recipe.coats.front
}

/// Gesso coats on the back.
fn count_back_coats(inputs: &MixInputs<'_>) -> u32 {
    let coats = &inputs.recipe.coats;
    match inputs.faces {
        None => coats.back,
        Some(Faces::Front) => 0,
        Some(Faces::Both) if coats.back > 0 => coats.back,
        Some(Faces::Both) => coats.front,
    }
}

/// What one coat of size covers: the sized faces and the edges; a back that gets gesso is sized in any case.
fn sized_area_m2(areas: PanelAreas, faces: Faces, back_coats: u32) -> f64 {
    match (faces, back_coats) {
        (Faces::Front, 0) => areas.face + areas.edges,
        (Faces::Front | Faces::Both, _) => 2.0 * areas.face + areas.edges,
    }
}

/// The fillers of 100 ml of size, in grams.
fn filler_masses(gesso: &Gesso, bulk: &BulkDensities) -> Result<Vec<FillerMass>, OutOfRange> {
    gesso.fillers.iter().map(|part| filler_mass(*part, bulk)).collect()
}

fn filler_mass(FillerPart { filler, amount }: FillerPart, bulk: &BulkDensities) -> Result<FillerMass, OutOfRange> {
    match amount {
        FillerAmount::Grams(g) => {
            let g = check_range("filler to 100 ml of size", g, 0.0, 1000.0, "g")?;
            Ok(FillerMass { filler, mass_g: g, lightest_g: g, heaviest_g: g })
        }
        FillerAmount::LooseMl(ml) => {
            let ml = check_range("filler to 100 ml of size", ml, 0.0, 2000.0, "ml")?;
            let loose = bulk.bulk_g_per_ml(filler);
            Ok(FillerMass { filler, mass_g: ml * loose.value, lightest_g: ml * loose.lo, heaviest_g: ml * loose.hi })
        }
    }
}

/// What a millilitre of that gesso weighs, wet and thinned, g.
pub(super) fn wet_gesso_g_per_ml(recipe: &Recipe, bulk: &BulkDensities) -> Result<f64, OutOfRange> {
    let parts = filler_masses(&recipe.gesso, bulk)?;
    let size = compute_size_mix(100.0, recipe.gesso.glue_g_per_l_water)?;
    let unthinned_ml = 100.0 + total_powder_ml(&parts)?;
    let thinning_ml = unthinned_ml * thinning_ratio(&recipe.gesso)?;
    let powder_g: f64 = parts.iter().map(|part| part.mass_g).sum();
    Ok((size.glue_g + size.water_g + powder_g + thinning_ml * WATER_G_PER_ML) / (unthinned_ml + thinning_ml))
}

/// What fills `volume_ml` of gesso: size, its powders, and the thinning water on top.
fn compute_gesso_mix(inputs: &MixInputs<'_>, parts: &[FillerMass], volume_ml: f64) -> Result<GessoMix, OutOfRange> {
    let recipe = &inputs.recipe.gesso;
    let unthinned_ml = volume_ml / (1.0 + thinning_ratio(recipe)?);
    let size_ml = unthinned_ml * 100.0 / (100.0 + total_powder_ml(parts)?);
    let size = compute_size_mix(size_ml, recipe.glue_g_per_l_water)?;
    let scoop_ml = inputs.scoop.map(|s| check_range("scoop", s.ml(), 0.1, 1e5, "ml")).transpose()?;
    let fillers = parts
        .iter()
        .map(|part| {
            let mass_g = part.mass_g * size_ml / 100.0;
            let bulk_ml = mass_g / inputs.bulk.bulk_g_per_ml(part.filler).value;
            FillerMix { filler: part.filler, mass_g, bulk_ml, scoops: scoop_ml.map(|scoop| bulk_ml / scoop) }
        })
        .collect();
    Ok(GessoMix {
        volume_ml,
        size_ml,
        glue_g: size.glue_g,
        water_g: size.water_g,
        fillers,
        thinning_ml: volume_ml - unthinned_ml,
    })
}

/// Thinning water in parts of the gesso it is given to.
fn thinning_ratio(gesso: &Gesso) -> Result<f64, OutOfRange> {
    Ok(check_range("thinning", gesso.thinning_pct, 0.0, 200.0, "%")? / 100.0)
}

/// The powders of 100 ml of size without the air between, ml.
fn total_powder_ml(parts: &[FillerMass]) -> Result<f64, OutOfRange> {
    parts.iter().map(|part| film::powder_volume_ml(&part.to_powder())).sum()
}

fn compute_seal_mix(seal: &Seal, solution_ml: f64) -> Result<Option<SealMix>, OutOfRange> {
    let nothing =
        SealMix { solution_ml, resin_g: None, spirit_ml: None, g_per_l_spirit: None, pound_cut: None, glue: None };
    Ok(match (seal.with, seal.resin_g_per_l_spirit) {
        (SealMaterial::None, _) => None,
        (SealMaterial::Shellac, Some(strength)) => {
            let jar = shellac::mix_shellac(solution_ml, strength)?;
            Some(SealMix {
                resin_g: Some(jar.resin_g),
                spirit_ml: Some(jar.spirit_ml),
                g_per_l_spirit: Some(strength),
                pound_cut: Some(shellac::pound_cut_from_g_per_l_spirit(strength)?),
                ..nothing
            })
        }
        (SealMaterial::Shellac, None) => Some(SealMix { spirit_ml: Some(solution_ml), ..nothing }),
        (SealMaterial::Glue, _) => {
            let glue = seal.glue_g_per_l_water.map(|strength| compute_size_mix(solution_ml, strength)).transpose()?;
            Some(SealMix { glue, ..nothing })
        }
    })
}

/// The ground a recipe gives; it is the same on any board.
///
/// # Errors
/// A figure of the recipe outside its range.
pub fn compute_recipe_ground(recipe: &Recipe, bulk: &BulkDensities) -> Result<Ground, OutOfRange> {
    compute_ground(recipe, &filler_masses(&recipe.gesso, bulk)?)
}

/// The ground of 100 ml of size and its powders.
fn compute_ground(recipe: &Recipe, parts: &[FillerMass]) -> Result<Ground, OutOfRange> {
    let gesso = &recipe.gesso;
    let glue_g = compute_size_mix(100.0, gesso.glue_g_per_l_water)?.glue_g;
    let grams = |mass: fn(&FillerMass) -> f64| -> Result<f64, OutOfRange> {
        check_range("filler to 100 ml of size", parts.iter().map(mass).sum(), 0.001, 1e4, "g")
    };
    let (filler_g, lightest_g, heaviest_g) = (grams(|p| p.mass_g)?, grams(|p| p.lightest_g)?, grams(|p| p.heaviest_g)?);
    let powders: Vec<Powder> = parts.iter().copied().map(FillerMass::to_powder).collect();
    let (powder_ml, glue_ml) = (total_powder_ml(parts)?, glue_g / GLUE_G_PER_ML);
    let full = film::pigment_volume(&powders, glue_ml)?;
    let wet_ml = (100.0 + powder_ml) * (1.0 + thinning_ratio(gesso)?);
    let effective = film::effective_volume_solids_pct(powder_ml, glue_ml, wet_ml, full.cpvc_pct)?;
    let wet_um = film::wet_film_um(checked_coat_ml(gesso.ml_per_m2)?, 1.0)?;
    let dry_um = film::dry_film_um(wet_um, effective)?;
    Ok(Ground {
        glue_per_100g_filler_g: 100.0 * glue_g / filler_g,
        glue_per_100g_filler_range_g: [100.0 * glue_g / heaviest_g, 100.0 * glue_g / lightest_g],
        pvc_pct: full.pvc_pct,
        cpvc_pct: full.cpvc_pct,
        void_pct: full.void_pct,
        volume_solids_pct: film::volume_solids_pct(powder_ml, glue_ml, wet_ml)?,
        effective_volume_solids_pct: effective,
        wet_um_per_coat: wet_um,
        dry_um_per_coat: dry_um,
        dry_um_total: dry_um * f64::from(count_front_coats(recipe)),
    })
}

fn collect_advice(inputs: &MixInputs<'_>, ground: &Ground, parts: &[FillerMass], back_coats: u32) -> Vec<Advice> {
    let mut all = Vec::new();
    add_ground_strength_advice(ground, &mut all);
    if ground.effective_volume_solids_pct >= 100.0 {
        all.push(Advice::new(
            "There is more powder here than the size can wet: it will not pour.",
            "oil absorption of the fillers; a model",
        ));
    }
    add_strength_order_advice(inputs.recipe, &mut all);
    add_filler_advice(inputs, parts, &mut all);
    add_coverage_advice(inputs, back_coats, &mut all);
    all
}

/// Too weak, too strong, or perhaps so, since the fillers were measured by the cup.
fn add_ground_strength_advice(ground: &Ground, all: &mut Vec<Advice>) {
    let ([lo, hi], (weak, strong)) = (ground.glue_per_100g_filler_range_g, GLUE_RANGE_G_PER_100G_FILLER);
    let told = if (hi - lo) < 0.05 { format!("{lo:.1}") } else { format!("{lo:.1} to {hi:.1}") };
    if lo < weak {
        let may = if hi < weak { "is likely to be" } else { "may be" };
        all.push(Advice::new(
            format!("Hypothesis: with {told} g of glue to 100 g of filler the ground {may} powdery (below {weak} g)."),
            format!("threshold derived from {FORUM_SOURCE}: 1:20 is friable"),
        ));
    }
    if hi > GLUE_CAUTION_G_PER_100G_FILLER {
        let is = if lo > strong { "is" } else { "may be" };
        all.push(Advice::new(
            format!(
                "Hypothesis: {told} g of glue to 100 g of filler {is} strong: above {GLUE_CAUTION_G_PER_100G_FILLER} to \
                 {strong} g cracking has been reported; gilders' gesso goes higher."
            ),
            format!("derived from {FORUM_SOURCE}: 1:12 with one and a half volumes of chalk"),
        ));
    }
}

/// Strength should not rise from the wood outwards; and the size's own limits.
fn add_strength_order_advice(recipe: &Recipe, all: &mut Vec<Advice>) {
    let (size, gesso) = (recipe.size.glue_g_per_l_water, recipe.gesso.glue_g_per_l_water);
    const OUTWARDS: &str = "Rivers and Umney, Conservation of Furniture, 2003; a furniture conservator's page";
    if gesso > size {
        all.push(Advice::new(
            format!(
                "Hypothesis: the gesso's size ({gesso} g/l) is stronger than the size on the wood ({size} g/l); strength \
                 should not rise from the wood outwards."
            ),
            OUTWARDS,
        ));
    }
    if let (SealMaterial::Glue, Some(seal)) = (recipe.seal.with, recipe.seal.glue_g_per_l_water)
        && seal > gesso
    {
        all.push(Advice::new(
            format!("Hypothesis: the seal ({seal} g/l) is stronger than the gesso's size ({gesso} g/l) below it."),
            OUTWARDS,
        ));
    }
    let (weak, strong) = SIZE_RANGE_G_PER_L;
    if gesso < weak {
        let text = format!("Hypothesis: gesso from size below 1:20 by weight ({weak} g/l) is friable.");
        all.push(Advice::new(text, FORUM_SOURCE));
    }
    if gesso > strong {
        let text = format!("Hypothesis: gesso from size above 1:12 by weight ({strong} g/l) may crack.");
        all.push(Advice::new(text, FORUM_SOURCE));
    }
}

/// Too much of one powder, and cups nobody has weighed.
fn add_filler_advice(inputs: &MixInputs<'_>, parts: &[FillerMass], all: &mut Vec<Advice>) {
    let whole: f64 = parts.iter().map(|p| p.mass_g).sum();
    let titanium: f64 = parts.iter().filter(|p| p.filler == Filler::TitaniumWhite).map(|p| p.mass_g).sum();
    if titanium > 0.25 * whole {
        all.push(Advice::new(
            "Hypothesis: titanium white above a quarter of the filler makes a powdery ground; a tenth is usual.",
            "tempera and oil painters' pages; R. Kay 1983",
        ));
    }
    let unweighed: Vec<&str> = inputs
        .recipe
        .gesso
        .fillers
        .iter()
        .filter(|part| inputs.scoop.is_some() || matches!(part.amount, FillerAmount::LooseMl(_)))
        .filter(|part| !inputs.bulk.is_weighed(part.filler))
        .map(|part| part.filler.name())
        .collect();
    if !unweighed.is_empty() {
        all.push(Advice::new(
            format!(
                "Weigh a cup of your own: how {} lies in a cup is assumed; so are scoops, and what was measured in them.",
                unweighed.join(" and ")
            ),
            "assumed, from memory",
        ));
    }
}

/// What was left out of the amounts, and what one face alone does.
fn add_coverage_advice(inputs: &MixInputs<'_>, back_coats: u32, all: &mut Vec<Advice>) {
    if inputs.size.thickness.is_none() {
        all.push(Advice::new("The edges are not counted: the thickness is not known.", "the board's size as given"));
    }
    if inputs.recipe.cloth.is_some() {
        all.push(Advice::new("The size in which the linen is laid is not counted.", "no figure was found"));
    }
    if inputs.recipe.seal.with == SealMaterial::Shellac && inputs.recipe.seal.resin_g_per_l_spirit.is_none() {
        all.push(Advice::new("The shellac's strength is not known: the spirit is at most the whole.", "the recipe"));
    }
    if back_coats == 0 {
        all.push(Advice::new(
            "Hypothesis: gesso on the front alone bends the board, four times as far at half the thickness (1/t2); coats on \
             the back balance it.",
            "Stoney's formula as given by Feng, Huang and Rosakis 2007; painters disagree about the back",
        ));
    }
}

#[cfg(test)]
mod tests;
