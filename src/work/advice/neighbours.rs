//! What on the same bench makes the act at hand dangerous, to itself or to another board: said before it is done.

use crate::craft::recipe::{Recipe, SealMaterial};
use crate::work::panel::event::StageKind;
use crate::work::panel::stage_kind::StageHazard;
use std::fmt;

/// What is too near for the act at hand. Spirit beside heat is the usual caution of its label; dust settles in what is wet
/// (both common practice, no source; local rules come first).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DangerousNeighbour {
    /// Spirit is used, and a bath is on.
    BathOn,
    /// Powder or dust comes off, and a coat lies wet.
    WetBoard,
}

impl DangerousNeighbour {
    /// What is too near for an act of that kind, while a bath is on, or a coat lies wet on another board.
    pub fn find(kind: StageKind, recipe: &Recipe, is_bath_on: bool, is_board_wet: bool) -> Option<DangerousNeighbour> {
        let spirit = kind.row().hazards.iter().any(|hazard| match hazard {
            StageHazard::Spirit => true,
            StageHazard::SealMaterial => recipe.seal.with == SealMaterial::Shellac,
            StageHazard::HotGlue
            | StageHazard::Dust
            | StageHazard::Powders
            | StageHazard::Lead
            | StageHazard::Blade
            | StageHazard::PaintOverPowders => false,
        });
        let dusty = matches!(kind, StageKind::Scrape | StageKind::Check | StageKind::Sand);
        if spirit && is_bath_on {
            Some(DangerousNeighbour::BathOn)
        } else if dusty && is_board_wet {
            Some(DangerousNeighbour::WetBoard)
        } else {
            None
        }
    }

    /// In block letters.
    pub const fn block_word(self) -> &'static str {
        match self {
            DangerousNeighbour::BathOn => "BATH OFF FIRST",
            DangerousNeighbour::WetBoard => "WET BOARD NEAR",
        }
    }
}

impl fmt::Display for DangerousNeighbour {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            DangerousNeighbour::BathOn => {
                "spirit near a bath that is on can catch fire: bath off, cable away, window open"
            }
            DangerousNeighbour::WetBoard => "dust settles in a coat that is wet: take one of the two into another room",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::craft::recipe::shipped;

    #[test]
    fn spirit_beside_a_bath_and_dust_beside_a_wet_coat() {
        use DangerousNeighbour::{BathOn, WetBoard};
        // Kind, recipe, bath on, board wet, what is said.
        for (kind, recipe, bath, wet, wants) in [
            (StageKind::Prepare, "gypsum-zinc", true, false, Some(BathOn)),
            (StageKind::Prepare, "gypsum-zinc", false, true, None),
            (StageKind::Seal, "gypsum-zinc", true, true, Some(BathOn)),
            (StageKind::Seal, "whiting-tempera", true, true, None),
            (StageKind::Sand, "gypsum-zinc", false, true, Some(WetBoard)),
            (StageKind::Scrape, "gypsum-zinc", true, true, Some(WetBoard)),
            (StageKind::Check, "gypsum-zinc", false, true, Some(WetBoard)),
            (StageKind::Sand, "gypsum-zinc", true, false, None),
            (StageKind::Coat, "gypsum-zinc", true, true, None),
        ] {
            let recipe = shipped::find_shipped_recipe(recipe).unwrap();
            assert_eq!(DangerousNeighbour::find(kind, &recipe, bath, wet), wants, "{kind:?} {bath} {wet}");
        }
    }
}
