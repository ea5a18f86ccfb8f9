//! `mix`: what to weigh and scoop, as a sheet to tape to the wall; on asking, what ground that makes.

use super::args_calculation::MixArgs as Asked;
use super::calculation_json::MixJson;
use super::context::CliContext;
use super::error::CliError;
use super::pot_survey::load_pot_survey;
use super::wrap::{format_note, wrap_hanging};
use super::{output, recipe};
use crate::craft::materials::ReferenceValue;
use crate::craft::physics::film::{GLUE_G_PER_ML, LINSEED_G_PER_ML, WATER_G_PER_ML};
use crate::craft::quantities::SizeMix;
use crate::craft::quantities::consumption::{CONSUMPTION_SOURCE, MixRange, OwnConsumption, compute_mix_range};
use crate::craft::quantities::mix::{FillerMix, Ground, Mix, MixInputs, SealMix};
use crate::craft::recipe::{Recipe, SealMaterial};
use crate::text::{self, UnitSystem, format_count, format_number, parse_size, parse_volume, sanitize};
use crate::units::{Mass, Volume};
use anyhow::Result;

/// Tells what a job takes.
pub(super) fn run(context: &CliContext, args: &Asked) -> Result<()> {
    let size = parse_size(&args.size).map_err(|e| CliError::usage(format!("--size: {e}")))?;
    let scoop = args.scoop.as_deref().map(parse_volume).transpose();
    let scoop = scoop.map_err(|e| CliError::usage(format!("--scoop: {e}")))?;
    let recipe = recipe::find_recipe(context, &args.recipe)?;
    let bulk = context.settings.bulk_densities();
    let inputs = MixInputs { recipe: &recipe, size, panels: args.panels, faces: args.faces, scoop, bulk: &bulk };
    let own = read_own_consumption(context);
    let range = compute_mix_range(&inputs, own).map_err(CliError::failed)?;
    if args.json {
        return output::print_json(&MixJson::from(&range));
    }
    let found = &range.best;
    let told = MixFormatter { ask: &inputs, mix: found, range: &range, own, units: context.settings.unit_system.value };
    let mut lines = told.sheet_lines();
    if args.detail {
        lines.extend(told.detail_lines());
    } else {
        let notes = format_count(found.advice.len(), "note");
        lines.push(format!("With --detail: ratios, the ground it makes, and {notes} with their sources."));
    }
    output::print_text(&(lines.join("\n") + "\n"))
}

/// What the maker's own pots say; nothing where they cannot be read: amounts are then what is published.
fn read_own_consumption(context: &CliContext) -> Option<OwnConsumption> {
    load_pot_survey(context, context.bench()).ok()?.consumption
}

/// A job and how it is told.
struct MixFormatter<'a> {
    ask: &'a MixInputs<'a>,
    mix: &'a Mix,
    range: &'a MixRange,
    own: Option<OwnConsumption>,
    units: UnitSystem,
}

impl MixFormatter<'_> {
    /// To a tenth of a gram as far as a kitchen scale goes so fine.
    fn format_grams(&self, g: f64) -> String {
        match self.units {
            UnitSystem::Metric if g < 99.95 => format!("{} g", format_number(g, 1)),
            units => text::format_mass(Mass::from_g(g), units),
        }
    }
    fn format_ml(&self, ml: f64) -> String {
        text::format_volume(Volume::from_ml(ml), self.units)
    }
    /// An amount and what it is of.
    fn format_line(&self, amount: String, what: impl AsRef<str>) -> String {
        format!("  {amount:>9}  {}", what.as_ref())
    }

    /// What to weigh or scoop, in the order of the work.
    fn sheet_lines(&self) -> Vec<String> {
        let (inputs, mix) = (self.ask, self.mix);
        let recipe = inputs.recipe;
        let panels = format_count(inputs.panels, "panel");
        let mut lines = vec![
            format!("{}  {}", recipe.name, sanitize(&recipe.title)),
            format!("{panels} of {}", text::format_size(inputs.size, self.units)),
            String::new(),
            wrap_hanging("", &self.describe_amounts()),
            String::new(),
        ];
        let size = self.format_volume_range(mix.size_for_wood.volume_ml, |mix| mix.size_for_wood.volume_ml);
        lines.push(format!("GLUE SIZE FOR THE WOOD  {size}"));
        lines.extend(self.glue_lines(&mix.size_for_wood));
        lines.push(format!("  Soak {} h, melt warm, never boil.", format_number(recipe.size.soak_h, 1)));
        lines.push(String::new());
        lines.extend(self.gesso_lines());
        lines.push(String::new());
        if let Some(seal) = &mix.seal {
            lines.extend(self.seal_lines(seal));
            lines.push(String::new());
        }
        lines
    }

    /// What the amounts rest on, and how far they may be off.
    fn describe_amounts(&self) -> String {
        match self.own {
            Some(own) => format!(
                "Gesso by your own pots: {} ml to a square metre and coat, from {} to {} ({}).",
                format_number(own.best, 0),
                format_number(own.low, 0),
                format_number(own.high, 0),
                format_count(own.coats, "coat")
            ),
            None => "What is used differs several-fold from source to source: least and most stand in brackets. Weigh a pot \
                     before and after a coat, and your own takes their place."
                .to_owned(),
        }
    }

    /// A volume, and in brackets the least and the most.
    fn format_volume_range(&self, best_ml: f64, of: impl Fn(&Mix) -> f64) -> String {
        let [low, high] = [&self.range.low, &self.range.high].map(|mix| self.format_ml(of(mix)));
        format!("{} ({low} to {high})", self.format_ml(best_ml))
    }

    fn glue_lines(&self, size: &SizeMix) -> Vec<String> {
        vec![
            self.format_line(self.format_grams(size.glue_g), self.glue_name(size.glue_g)),
            self.format_line(self.format_grams(size.water_g), "cold water"),
        ]
    }

    /// Dry glue, in scoops as well where the maker has one.
    fn glue_name(&self, glue_g: f64) -> String {
        let bulk_ml = glue_g / self.ask.bulk.glue_bulk_g_per_ml().value;
        match self.ask.scoop {
            Some(scoop) => format!(
                "dry glue ({} loosely filled, {} scoops of {})",
                self.format_ml(bulk_ml),
                format_number(bulk_ml / scoop.ml(), 1),
                text::format_volume(scoop, self.units)
            ),
            None => "dry glue".to_owned(),
        }
    }

    fn gesso_lines(&self) -> Vec<String> {
        let (gesso, recipe) = (&self.mix.gesso, self.ask.recipe);
        let whole = self.format_volume_range(gesso.volume_ml, |mix| mix.gesso.volume_ml);
        let mut lines = vec![format!("GESSO  {whole}")];
        lines.push(self.format_line(self.format_grams(gesso.glue_g), self.glue_name(gesso.glue_g)));
        lines.push(self.format_line(
            self.format_grams(gesso.water_g),
            format!("cold water: {} of size", self.format_ml(gesso.size_ml)),
        ));
        lines.extend(gesso.fillers.iter().map(|f| self.filler_line(f)));
        if gesso.thinning_ml > 0.0 {
            lines.push(self.format_line(self.format_ml(gesso.thinning_ml), "warm water, at the end"));
        }
        let [lo, hi] =
            recipe.gesso.work_c.map(|c| text::format_temperature(crate::units::Temperature::from_c(c), self.units));
        lines.push(format!("  Powder into warm size, not the other way. Work it at {lo} to {hi}."));
        let (wood, own) = (recipe.size.glue_g_per_l_water, recipe.gesso.glue_g_per_l_water);
        if (wood - own).abs() < 1e-9 {
            let (a, b) = (&self.mix.size_for_wood, gesso);
            lines.push(format!(
                "  One strength for wood and gesso: soak {} of glue in {} of water.",
                self.format_grams(a.glue_g + b.glue_g),
                self.format_grams(a.water_g + b.water_g)
            ));
        }
        lines
    }

    fn filler_line(&self, f: &FillerMix) -> String {
        let scoops = f.scoops.zip(self.ask.scoop).map(|(n, scoop)| {
            format!(", {} scoops of {}", format_number(n, 1), text::format_volume(scoop, self.units))
        });
        let loose =
            format!("{} ({} loosely filled{})", f.filler.name(), self.format_ml(f.bulk_ml), scoops.unwrap_or_default());
        self.format_line(self.format_grams(f.mass_g), loose)
    }

    fn seal_lines(&self, seal: &SealMix) -> Vec<String> {
        let whole = self.format_volume_range(seal.solution_ml, |mix| mix.seal.map_or(0.0, |seal| seal.solution_ml));
        let mut lines = vec![format!("SEAL  {whole}")];
        match (self.ask.recipe.seal.with, seal.resin_g, seal.spirit_ml, &seal.glue) {
            (SealMaterial::Shellac, Some(resin), Some(spirit), _) => {
                lines.push(self.format_line(self.format_grams(resin), "dewaxed shellac flakes"));
                lines.push(
                    self.format_line(self.format_ml(spirit), "spirit (ethanol), cold, away from flame and spark"),
                );
            }
            (SealMaterial::Shellac, ..) => {
                lines.push("  Shellac of a strength the recipe does not say: so much of it ready mixed.".to_owned());
            }
            (SealMaterial::Glue, _, _, Some(glue)) => lines.extend(self.glue_lines(glue)),
            (SealMaterial::Glue, _, _, None) => {
                lines.push("  Thin glue of a strength the recipe does not say: so much of it ready made.".to_owned());
            }
            (SealMaterial::None, ..) => {}
        }
        lines
    }

    /// Ratios, the ground they make, and what the craft says of it.
    fn detail_lines(&self) -> Vec<String> {
        let mix = self.mix;
        let mut lines = vec!["RATIOS".to_owned()];
        let loose = self.ask.bulk.glue_bulk_g_per_ml();
        let wood = self.ask.recipe.size.glue_g_per_l_water;
        lines.extend(strength_lines("size for the wood", &mix.size_for_wood, wood, loose));
        let own = SizeMix { volume_ml: mix.gesso.size_ml, glue_g: mix.gesso.glue_g, water_g: mix.gesso.water_g };
        lines.extend(strength_lines("size in the gesso", &own, self.ask.recipe.gesso.glue_g_per_l_water, loose));
        lines.extend(self.filler_ratio_lines());
        lines.extend(self.seal_strength_line());
        lines.push(String::new());
        lines.extend(ground_lines(&mix.ground, self.ask.recipe));
        lines.push(String::new());
        lines.push("NOTES".to_owned());
        lines.extend(mix.advice.iter().map(|a| format_note(&a.text, &a.source)));
        let (size, gesso) = (self.ask.recipe.size.ml_per_m2, self.ask.recipe.gesso.ml_per_m2);
        let amounts = format!(
            "The amounts are an estimate: the recipe has {} ml of size and {} ml of gesso to a square metre and coat; size and \
             seal are taken from half to double.",
            format_number(size, 1),
            format_number(gesso, 1)
        );
        let source = format!(
            "the recipe; least and most of the gesso by the filler to a square metre, {CONSUMPTION_SOURCE}: they differ four to \
             six times; half and double are assumed"
        );
        lines.push(format_note(&amounts, &source));
        lines
    }

    fn filler_ratio_lines(&self) -> Vec<String> {
        let gesso = &self.mix.gesso;
        let (mass, bulk): (f64, f64) = gesso.fillers.iter().fold((0.0, 0.0), |(m, b), f| (m + f.mass_g, b + f.bulk_ml));
        let mut lines = vec![format!(
            "  filler to size       {} : 1 by weight, {} : 1 by volume (loosely filled)",
            format_number(mass / (gesso.glue_g + gesso.water_g), 2),
            format_number(bulk / gesso.size_ml, 2)
        )];
        let share = |f: &FillerMix| {
            format!(
                "    {:18} {} % by weight, {} % by volume (loosely filled)",
                f.filler.name(),
                format_number(100.0 * f.mass_g / mass, 0),
                format_number(100.0 * f.bulk_ml / bulk, 0)
            )
        };
        if gesso.fillers.len() > 1 {
            lines.extend(gesso.fillers.iter().map(share));
        }
        lines
    }

    fn seal_strength_line(&self) -> Option<String> {
        let seal = self.mix.seal?;
        let (strength, cut) = seal.g_per_l_spirit.zip(seal.pound_cut)?;
        let strength = format_number(strength, 1);
        Some(format!("  shellac              {strength} g to a litre of spirit, a {}-pound cut", format_number(cut, 2)))
    }
}

/// How strong a size is, by weight and by volume.
fn strength_lines(name: &str, size: &SizeMix, g_per_l: f64, bulk: ReferenceValue) -> Vec<String> {
    if size.glue_g <= 0.0 {
        return Vec::new();
    }
    let by_volume = (size.water_g / WATER_G_PER_ML) / (size.glue_g / bulk.value);
    vec![
        format!(
            "  {name:20} {} g to a litre of water: 1 : {} or {} % by weight",
            format_number(g_per_l, 1),
            format_number(size.water_g / size.glue_g, 1),
            format_number(100.0 * size.glue_g / (size.glue_g + size.water_g), 1)
        ),
        wrap_hanging(
            &" ".repeat(23),
            &format!("1 : {} by volume (granules, {} g/ml; {})", format_number(by_volume, 1), bulk.value, bulk.source),
        ),
    ]
}

/// The ground that comes of it.
fn ground_lines(g: &Ground, recipe: &Recipe) -> Vec<String> {
    let [lo, hi] = g.glue_per_100g_filler_range_g;
    let range = if hi - lo < 0.05 { String::new() } else { format!(" ({lo:.1} to {hi:.1} as they lie in the cup)") };
    let over = if g.pvc_pct > g.cpvc_pct {
        "it is more, so the ground takes up paint and keeps air"
    } else {
        "it is no more, so the glue fills every gap"
    };
    vec![
        "THE GROUND".to_owned(),
        format!("  glue                 {:.1} g to 100 g filler{range}", g.glue_per_100g_filler_g),
        wrap_hanging(
            "  powder by volume     ",
            &format!(
                "{:.1} % of powder and glue; at {:.1} % the glue would just fill the gaps: {over}",
                g.pvc_pct, g.cpvc_pct
            ),
        ),
        format!("  air in it            {:.0} %", g.void_pct),
        format!(
            "  solids by volume     {:.0} %, with their air {:.0} %",
            g.volume_solids_pct, g.effective_volume_solids_pct
        ),
        format!("  a coat               {:.0} um wet, about {:.0} um dry", g.wet_um_per_coat, g.dry_um_per_coat),
        format!(
            "  the front            about {:.0} um dry: {}, before scraping",
            g.dry_um_total,
            format_count(recipe.stipple.coats + recipe.coats.front, "coat")
        ),
        wrap_hanging(
            "      rests on: ",
            &format!(
                "the standard paint model (air 1 - gap-filling share/powder share, from memory; linseed {LINSEED_G_PER_ML} and glue \
                 {GLUE_G_PER_ML} g/ml); no gesso was measured"
            ),
        ),
    ]
}
