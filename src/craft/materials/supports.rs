//! The boards in figures: how they move with moisture, and how stiff they are.
//!
//! Absent on purpose: movement of one board (`physics::wood`, `quantities::board`); a species nobody has named.

use super::{Figure, Status, Support};
use crate::craft::physics::wood::{Cut, Movement};

/// How a species moves across its grain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Species {
    /// The wood the figures are of, which may be a near relation of the one on the bench.
    pub wood: &'static str,
    /// Radial coefficient, per % of moisture.
    pub radial_per_pct: Figure,
    /// Tangential coefficient, per % of moisture.
    pub tangential_per_pct: Figure,
    /// Radial shrinkage, %.
    pub radial_shrinkage_pct: Figure,
    /// Tangential shrinkage, %.
    pub tangential_shrinkage_pct: Figure,
}

impl Species {
    /// The movement of its width when cut so.
    pub const fn movement(&self, cut: Cut) -> Movement {
        let (coefficient, shrinkage) = match cut {
            Cut::Flat => (self.tangential_per_pct, self.tangential_shrinkage_pct),
            Cut::Quarter => (self.radial_per_pct, self.radial_shrinkage_pct),
        };
        Movement { coefficient_per_pct: coefficient.value, shrinkage_pct: shrinkage.value }
    }
}

/// How a sheet moves in its own plane, by one source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum InPlane {
    /// Per cent for each per cent of moisture.
    ByMoisture {
        /// Along the grain of the face.
        along: Figure,
        /// Across the grain of the face.
        across: Figure,
    },
    /// Per cent for each per cent of relative humidity, alike both ways.
    ByHumidity(Figure),
}

/// How stiff a board is in one direction of its face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stiffness {
    /// Modulus of elasticity, GPa.
    pub e_gpa: Figure,
    /// Poisson's ratio for bending that way.
    pub nu: Figure,
}

const C_READ: &str = "Wood Handbook FPL-GTR-190 Table 13-5";
const S_READ: &str = "Wood Handbook FPL-GTR-190 Table 4-3";
const E_READ: &str = "Wood Handbook figures at 12 % moisture as quoted in two tables";
const RATIOS: &str = "Wood Handbook FPL-GTR-190 Tables 5-1 and 5-2, from memory";

/// Coefficients and shrinkages, radial then tangential, each pair with its status.
const fn species(
    wood: &'static str,
    coefficients: (f64, f64, Status),
    shrinkages: (f64, f64, Status, &'static str),
) -> Species {
    let (cr, ct, c) = coefficients;
    let (sr, st, s, source) = shrinkages;
    Species {
        wood,
        radial_per_pct: Figure::one(cr, c, C_READ),
        tangential_per_pct: Figure::one(ct, c, C_READ),
        radial_shrinkage_pct: Figure::one(sr, s, source),
        tangential_shrinkage_pct: Figure::one(st, s, source),
    }
}

impl Support {
    /// Whether it is a sheet glued or pressed together rather than solid wood; `None` where it is not known.
    pub const fn is_sheet(self) -> Option<bool> {
        match self {
            Support::BirchPlywood | Support::PoplarPlywood | Support::Mdf | Support::Hardboard => Some(true),
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
            | Support::Mahogany => Some(false),
            Support::Other => None,
        }
    }

    /// How solid wood of it moves; `None` for sheets and for what is not known.
    pub const fn species(self) -> Option<Species> {
        use Status::{Derived, Memory, Read};
        const FROM_C: &str = "the shrinkage that gives the coefficient back, 3000/(1/C + 20)";
        Some(match self {
            Support::OakWhite => species("commercial white oak", (0.001_80, 0.003_65, Read), (5.6, 10.5, Read, S_READ)),
            Support::OakRed => {
                species("commercial red oak", (0.001_58, 0.003_69, Read), (4.595, 10.31, Derived, FROM_C))
            }
            Support::YellowPoplar => species("yellow-poplar", (0.001_58, 0.002_89, Derived), (4.6, 8.2, Read, S_READ)),
            Support::Lime => species("American basswood", (0.002_30, 0.003_30, Read), (6.6, 9.3, Memory, S_READ)),
            Support::Birch => species("yellow birch", (0.002_56, 0.003_38, Read), (7.3, 9.5, Read, S_READ)),
            Support::Beech => species("American beech", (0.001_90, 0.004_31, Read), (5.5, 11.9, Read, S_READ)),
            Support::MapleSugar => species("sugar maple", (0.001_65, 0.003_53, Read), (4.8, 9.9, Memory, S_READ)),
            Support::WalnutBlack => species("black walnut", (0.001_90, 0.002_74, Read), (5.5, 7.8, Read, S_READ)),
            Support::CherryBlack => species("black cherry", (0.001_26, 0.002_48, Read), (3.7, 7.1, Memory, S_READ)),
            Support::PineWhite => {
                species("eastern white pine", (0.000_71, 0.002_12, Memory), (2.1, 6.1, Memory, S_READ))
            }
            // The two do not follow one from the other as they do for every other wood: to be verified.
            Support::Mahogany => {
                species("mahogany (Swietenia)", (0.001_72, 0.002_38, Memory), (3.0, 4.1, Memory, S_READ))
            }
            Support::BirchPlywood | Support::PoplarPlywood | Support::Mdf | Support::Hardboard | Support::Other => {
                return None;
            }
        })
    }

    /// How a sheet of it moves in its own plane, best source first; sources that disagree stand side by side.
    pub const fn in_plane(self) -> &'static [InPlane] {
        match self {
            Support::BirchPlywood | Support::PoplarPlywood => &PLYWOOD,
            Support::Mdf => &MDF,
            Support::Hardboard => &HARDBOARD,
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
            | Support::Mahogany
            | Support::Other => &[],
        }
    }

    /// How stiff it is along the grain of its face, or across it; `None` for what is not known.
    #[allow(clippy::approx_constant, reason = "a Poisson's ratio of 0.318 is not 1/pi")]
    pub const fn stiffness(self, along: bool, cut: Cut) -> Option<Stiffness> {
        match self {
            Support::BirchPlywood => {
                Some(sheet(along, 9.5, 7.5, Status::Memory, "Handbook of Finnish Plywood, 12 mm, from memory"))
            }
            Support::PoplarPlywood => Some(sheet(along, 6.5, 4.5, Status::Assumed, "a lighter wood than birch")),
            Support::Mdf => Some(sheet(along, 4.0, 4.0, Status::Read, "a database of materials")),
            Support::Hardboard => {
                Some(sheet(along, 4.5, 4.5, Status::Memory, "Wood Handbook, 3.1 to 5.5 for hardboard"))
            }
            Support::Lime => Some(wood(along, cut, 10.1, Status::Read, [0.066, 0.027, 0.364, 0.406], RATIOS)),
            Support::Birch => Some(wood(along, cut, 13.9, Status::Read, [0.078, 0.050, 0.426, 0.451], RATIOS)),
            Support::OakWhite => Some(wood(along, cut, 12.3, Status::Memory, [0.163, 0.072, 0.369, 0.428], RATIOS)),
            Support::OakRed => Some(wood(along, cut, 12.5, Status::Memory, [0.154, 0.082, 0.350, 0.448], RATIOS)),
            Support::YellowPoplar => Some(wood(along, cut, 10.9, Status::Memory, [0.092, 0.043, 0.318, 0.392], RATIOS)),
            Support::WalnutBlack => Some(wood(along, cut, 11.6, Status::Memory, [0.106, 0.056, 0.495, 0.632], RATIOS)),
            Support::Mahogany => Some(wood(along, cut, 10.3, Status::Memory, [0.107, 0.064, 0.314, 0.533], RATIOS)),
            Support::MapleSugar => Some(wood(along, cut, 12.6, Status::Memory, [0.132, 0.065, 0.424, 0.476], RATIOS)),
            Support::CherryBlack => Some(wood(along, cut, 10.3, Status::Memory, [0.197, 0.086, 0.392, 0.428], RATIOS)),
            Support::Beech => Some(wood(
                along,
                cut,
                11.9,
                Status::Read,
                [0.132, 0.065, 0.424, 0.476],
                "assumed: the ratios of sugar maple; none were found for beech",
            )),
            Support::PineWhite => Some(wood(
                along,
                cut,
                8.5,
                Status::Memory,
                [0.078, 0.038, 0.329, 0.344],
                "assumed: the ratios of western white pine, from memory",
            )),
            Support::Other => None,
        }
    }
}

/// A sheet: moduli along and across the grain of its face, GPa. No Poisson's ratio of a sheet was found.
const fn sheet(along: bool, e_along: f64, e_across: f64, status: Status, source: &'static str) -> Stiffness {
    let e = if along { e_along } else { e_across };
    let nu = Figure::of(0.2, 0.1, 0.3, Status::Assumed, "not found; about 0.1 to 0.3");
    Stiffness { e_gpa: Figure::one(e, status, source), nu }
}

/// Solid wood: the modulus along the grain, GPa; then radial and tangential parts of it, and Poisson's ratios for pull along
/// the grain (radial, tangential). Across the grain the ratio is that much smaller as the modulus is.
const fn wood(
    along: bool,
    cut: Cut,
    e_along: f64,
    status: Status,
    [radial, tangential, nu_radial, nu_tangential]: [f64; 4],
    ratios: &'static str,
) -> Stiffness {
    let (part, nu) = match cut {
        Cut::Flat => (tangential, nu_tangential),
        Cut::Quarter => (radial, nu_radial),
    };
    let weakest = if matches!(status, Status::Read) && along { Status::Read } else { Status::Memory };
    if along {
        Stiffness { e_gpa: Figure::one(e_along, weakest, E_READ), nu: Figure::one(nu, Status::Memory, ratios) }
    } else {
        Stiffness {
            e_gpa: Figure::one(e_along * part, weakest, ratios),
            nu: Figure::one(nu * part, Status::Memory, ratios),
        }
    }
}

/// Plywood: two sources that differ by about two.
static PLYWOOD: [InPlane; 2] = [
    InPlane::ByMoisture {
        along: Figure::one(
            0.18 / 13.0,
            Status::Derived,
            "Forest Products Research Laboratory (UK), mean of 22 species, 5 mm three-ply, 0.18 % for 7 to 20 % moisture",
        ),
        across: Figure::one(
            0.27 / 13.0,
            Status::Derived,
            "Forest Products Research Laboratory (UK), mean of 22 species, 5 mm three-ply, 0.27 % for 7 to 20 % moisture",
        ),
    },
    InPlane::ByHumidity(Figure::one(
        0.002,
        Status::Read,
        "a US plywood trade association as quoted in a woodworking forum, 0.02 % for each 10 % RH",
    )),
];

/// Medium-density fibreboard.
static MDF: [InPlane; 2] = [
    InPlane::ByHumidity(Figure::of(
        0.005,
        0.005,
        0.01,
        Status::Derived,
        "an industry page on MDF: 0.05 % for each % of its own moisture, 5 % of that from 35 to 85 % RH",
    )),
    InPlane::ByHumidity(Figure::one(0.01, Status::Derived, "a wood-trade column: about 0.5 % from 35 to 85 % RH")),
];

/// Hardboard.
static HARDBOARD: [InPlane; 1] = [InPlane::ByHumidity(Figure::of(
    0.0078,
    0.004,
    0.0125,
    Status::Assumed,
    "a former hardboard maker's recollection in a forum: 0.2 to 0.5 % for 40 to 50 % RH",
))];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::craft::physics::wood::movement_by_shrinkage_mm;

    #[test]
    fn coefficients_and_shrinkages_are_one_table() {
        for support in Support::ALL {
            let Some(species) = support.species() else { continue };
            for cut in [Cut::Flat, Cut::Quarter] {
                let movement = species.movement(cut);
                // At 10 % moisture, as the handbook made its own table: 1/(3000/S - 20).
                let predicted = movement_by_shrinkage_mm(1.0, movement.shrinkage_pct, 10.0, 11.0).unwrap();
                let off = (predicted - movement.coefficient_per_pct).abs();
                match support {
                    // A group average, and one that does not follow: both known.
                    Support::OakWhite => assert!(off < 0.000_15, "{support:?} {cut:?}: {predicted}"),
                    Support::Mahogany => assert!(off > 0.000_5, "{support:?} {cut:?}: {predicted}"),
                    _ => assert!(off < 0.000_006, "{support:?} {cut:?}: {predicted}"),
                }
            }
            let (flat, quarter) = (species.movement(Cut::Flat), species.movement(Cut::Quarter));
            assert!(flat.coefficient_per_pct > quarter.coefficient_per_pct);
        }
    }

    #[test]
    fn a_support_is_solid_or_a_sheet_and_knows_its_figures() {
        for support in Support::ALL {
            let (solid, sheet) = (support.species().is_some(), !support.in_plane().is_empty());
            assert_eq!(support.is_sheet(), (solid || sheet).then_some(sheet), "{support:?}");
            assert!(!(solid && sheet));
            for (along, cut) in [(true, Cut::Flat), (false, Cut::Flat), (true, Cut::Quarter), (false, Cut::Quarter)] {
                let stiffness = support.stiffness(along, cut);
                assert_eq!(stiffness.is_some(), solid || sheet);
                if let Some(s) = stiffness {
                    assert!(s.e_gpa.value > 0.2 && s.e_gpa.value < 20.0 && s.nu.value > 0.0 && s.nu.value < 0.65);
                    assert!(s.e_gpa.value <= support.stiffness(true, cut).unwrap().e_gpa.value);
                }
            }
        }
    }
}
