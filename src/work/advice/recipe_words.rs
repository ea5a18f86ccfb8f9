//! What a recipe means for whoever chooses one: its coats, its days, its powders.

use super::words::format_figure;
use crate::craft::recipe::{Faces, Paint, Recipe, SealMaterial};
use crate::text::format_count;

/// The recipe in a few lines, each short enough to stand beside a form.
pub fn describe_recipe(recipe: &Recipe) -> Vec<String> {
    let mut lines = vec![format!("at least {}, mostly waiting", format_count(least_days(recipe), "day"))];
    lines.push(match recipe.size.faces {
        Faces::Front => format!("{} of glue size, front", format_count(recipe.size.coats_per_face, "coat")),
        Faces::Both => format!("{} of glue size, both faces", format_count(recipe.size.coats_per_face, "coat")),
    });
    if recipe.cloth.is_some() {
        lines.push("linen under the ground".to_owned());
    }
    let tapped = if recipe.stipple.coats > 0 { "1 tapped in, " } else { "" };
    let tapped =
        if recipe.stipple.coats > 1 { format!("{} tapped in, ", recipe.stipple.coats) } else { tapped.to_owned() };
    let back = if recipe.coats.back > 0 { format!(", {} on the back", recipe.coats.back) } else { String::new() };
    lines.push(format!("gesso: {tapped}{}{back}", format_count(recipe.coats.front, "coat")));
    lines.push(format!("{} min between coats", format_figure(recipe.coats.wait_min)));
    lines.extend(recipe.gesso.fillers.iter().map(|part| format!("of {}", part.filler.name())));
    lines.push(
        match (&recipe.scrape, recipe.seal.with) {
            (Some(_), SealMaterial::Shellac) => "scraped, sealed with shellac",
            (Some(_), SealMaterial::Glue) => "scraped, sealed with glue",
            (Some(_), SealMaterial::None) => "scraped, left absorbent",
            (None, SealMaterial::Shellac) => "not scraped, shellac on top",
            (None, SealMaterial::Glue) => "not scraped, glue on top",
            (None, SealMaterial::None) => "not scraped, left absorbent",
        }
        .to_owned(),
    );
    let paints: Vec<&str> = recipe.suits.iter().map(|paint: &Paint| paint.name()).collect();
    lines.push(format!("for {}", paints.join(", ")));
    lines
}

/// The days a panel takes when nothing has to be waited for but the recipe, the evening on which the glue is put to soak
/// among them: every wait in it, in days begun.
fn least_days(recipe: &Recipe) -> u32 {
    let coats = f64::from(recipe.coats.front + recipe.coats.back) * recipe.coats.wait_min
        + f64::from(recipe.stipple.coats) * recipe.stipple.wait_min
        + recipe.coats.dry_min;
    let size = f64::from(recipe.size.coats_per_face) * recipe.size.wait_min;
    let seal = match recipe.seal.with {
        SealMaterial::None => 0.0,
        SealMaterial::Shellac | SealMaterial::Glue => f64::from(recipe.seal.coats) * recipe.seal.wait_min,
    };
    let cloth_h = recipe.cloth.as_ref().map_or(0.0, |cloth| cloth.rest_h);
    let hours = recipe.size.soak_h + cloth_h + recipe.size.cure_h + recipe.rest.hours + (size + coats + seal) / 60.0;
    let days = (hours / 24.0).ceil().clamp(1.0, 10_000.0);
    days as u32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::craft::recipe::shipped;

    #[test]
    fn a_recipe_is_told_by_its_coats_days_and_powders() {
        for (name, lines) in [
            (
                "gypsum-titanium",
                &[
                    "at least 3 days",
                    "2 coats of glue size, both faces",
                    "1 tapped in, 6 coats",
                    "of titanium white",
                    "sealed with shellac",
                    "for oil",
                ][..],
            ),
            ("whiting-tempera", &["left absorbent", "for tempera"]),
            ("balanced-ply", &["linen under the ground", " on the back"]),
        ] {
            let told = describe_recipe(&shipped::find_shipped_recipe(name).unwrap());
            for line in lines {
                assert!(told.iter().any(|t| t.contains(line)), "{name}: no {line} in {told:?}");
            }
            assert!(told.iter().all(|t| t.chars().count() <= 44), "{told:?}");
        }
    }
}
