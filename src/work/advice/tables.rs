//! What tables say of the act at hand: how coarse the recipe's paper is, and what of a dust may be breathed at work.
//!
//! Lines for a page that has room; the bench itself shows none of them.

use super::Tip;
use crate::craft::materials::exposure_limits::{ExposureLimit, exposure_limits_for};
use crate::craft::physics::abrasives::{ambiguity_warning, parse_grades};
use crate::craft::recipe::Recipe;
use crate::work::panel::event::{Stage, StageKind};
use crate::work::panel::stage_kind::StageHazard;

/// Where the sizes of grains come from.
const GRADES: &str = "FEPA 43, ISO 6344 and ANSI B74.18 as commonly tabulated, partly from memory";

/// How coarse the grains of the recipe's paper are, where it names grades that are known; and what must be looked for on a
/// sheet whose bare number means two.
pub fn grains(stage: &Stage, recipe: &Recipe) -> Vec<Tip> {
    let Some(sand) = recipe.sand.as_ref().filter(|_| stage.kind == StageKind::Sand) else { return Vec::new() };
    let papers = || sand.grit.split([',', ';']).map(|paper| paper.trim().trim_start_matches("then ").trim());
    let sizes: Vec<String> = papers()
        .filter_map(|paper| match *parse_grades(paper).ok()? {
            [grade] => Some(format!("{grade} {} um", grade.size_um)),
            _ => None,
        })
        .collect();
    let grains = (!sizes.is_empty()).then(|| format!("Grains of the paper: {}.", sizes.join(", ")));
    let doubts = papers().filter_map(|paper| ambiguity_warning(paper).ok()?);
    grains.into_iter().chain(doubts.map(|doubt| format!("{doubt}."))).map(|text| Tip::new(text, GRADES)).collect()
}

/// What may be breathed at work of the dust of the recipe's powders, where powder is weighed out or ground comes off dry.
pub fn dust(stage: &Stage, recipe: &Recipe) -> Vec<Tip> {
    if !stage.kind.row().hazards.contains(&StageHazard::Powders) {
        return Vec::new();
    }
    let mut limits: Vec<ExposureLimit> = Vec::new();
    for limit in recipe.gesso.fillers.iter().flat_map(|part| exposure_limits_for(part.filler)) {
        if !limits.contains(&limit) {
            limits.push(limit);
        }
    }
    let alike =
        |a: &ExposureLimit, b: &ExposureLimit| (a.substance, a.unit, a.source) == (b.substance, b.unit, b.source);
    let tip = |of: &[ExposureLimit]| {
        let first = of.first()?;
        let each: Vec<String> = of.iter().map(|l| format!("{} {}", l.name, l.value)).collect();
        let text = format!("Limit at work, {}: {} {}.", first.substance, each.join(", "), first.unit);
        Some(Tip::new(text, first.source))
    };
    limits.chunk_by(alike).filter_map(tip).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::craft::recipe::{Sand, shipped};
    use crate::work::panel::event::Face;

    fn said(tips: &[Tip]) -> Vec<&str> {
        tips.iter().map(|tip| tip.text.as_ref()).collect()
    }

    fn stage(kind: StageKind) -> Stage {
        Stage { kind, face: Some(Face::Front), number: None, total: None, direction: None }
    }

    #[test]
    fn the_papers_of_a_recipe_are_told_in_micrometres() {
        let mut recipe = shipped::find_shipped_recipe("gypsum-zinc").unwrap();
        for (grit, lines) in [
            ("P400", &["Grains of the paper: P400 35 um."][..]),
            ("P280, then P600, P1000", &["Grains of the paper: P280 52.2 um, P600 25.8 um, P1000 18.3 um."]),
            (
                "400",
                &[
                    "\"400\" may mean P400 (35 um) or CAMI 400 (23.6 um, about P800): look for a P on the back of the sheet.",
                ],
            ),
            ("fine", &[]),
        ] {
            recipe.sand = Some(Sand { grit: grit.to_owned() });
            assert_eq!(said(&grains(&stage(StageKind::Sand), &recipe)), lines, "{grit}");
            assert_eq!(grains(&stage(StageKind::Scrape), &recipe), [], "{grit}");
        }
    }

    #[test]
    fn the_dust_of_each_powder_has_its_limits_and_their_source() {
        let recipe = shipped::find_shipped_recipe("gypsum-zinc").unwrap();
        let tips = dust(&stage(StageKind::Scrape), &recipe);
        assert_eq!(
            said(&tips),
            [
                "Limit at work, calcium sulfate / gypsum: NIOSH REL total 10, NIOSH REL respirable 5, OSHA PEL total 15, \
                 OSHA PEL respirable 5 mg/m3.",
                "Limit at work, zinc oxide dust: NIOSH REL 5, OSHA PEL total 15, OSHA PEL respirable 5 mg/m3.",
            ]
        );
        assert!(tips.iter().all(|tip| tip.source.contains("NIOSH")), "{tips:?}");
        assert_eq!(dust(&stage(StageKind::Coat), &recipe), []);
    }
}
