//! Pots nobody knows, drawn from a seed: each cools by its own law, gels at its own temperature, and its maker is late with
//! the marks and not always equally quick out of the bath. What the program sees of them is drawn here as well.

/// What befalls the pot, and what is told of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Arm {
    /// Nothing.
    Unchanged,
    /// Half of it is used before the third cooling; the coats name their pot.
    HalfByCoats,
    /// The same; the pot is weighed before and after.
    HalfByWeighing,
    /// The same; nobody says so.
    HalfUntold,
    /// The lid stays off from the third cooling on: it cools in six tenths of the time; nobody says so.
    LidOff,
    /// The jelly is found up to five minutes late.
    FoundLate,
    /// Taken from the bath as soon as it is liquid, near 36 C; the marks show it.
    JustLiquid,
    /// The same, where the marks do not show it.
    JustLiquidUntold,
    /// The thermometer is read once, early in each cooling.
    OneReading,
    /// The thermometer is read three times in the first eight minutes of each cooling.
    ThreeReadings,
    /// Every second cooling ends in the bath while it is liquid.
    BackWhileLiquid,
}

impl Arm {
    pub const ALL: [Arm; 11] = [
        Arm::Unchanged,
        Arm::HalfByCoats,
        Arm::HalfByWeighing,
        Arm::HalfUntold,
        Arm::LidOff,
        Arm::FoundLate,
        Arm::JustLiquid,
        Arm::JustLiquidUntold,
        Arm::OneReading,
        Arm::ThreeReadings,
        Arm::BackWhileLiquid,
    ];

    /// Whether nobody told of what befell the pot by this cooling, counted from 1: it is reported and not judged.
    pub fn is_untold(self, cooling: usize) -> bool {
        match self {
            Arm::HalfUntold | Arm::LidOff => cooling == 3,
            Arm::JustLiquidUntold => cooling == 1,
            Arm::Unchanged
            | Arm::HalfByCoats
            | Arm::HalfByWeighing
            | Arm::FoundLate
            | Arm::JustLiquid
            | Arm::OneReading
            | Arm::ThreeReadings
            | Arm::BackWhileLiquid => false,
        }
    }
}

/// Coolings drawn of each pot.
pub const COOLINGS: usize = 6;

/// One cooling as it really was, and what was seen of it. Minutes count from when it left the bath.
#[derive(Debug, Clone)]
pub struct DrawnCooling {
    /// The share of the pot still in it.
    pub left: f64,
    pub room_c: f64,
    /// It was marked liquid so long before it was taken out; less than nothing where both marks are late together.
    pub liquid_lead_min: f64,
    pub out_late_min: f64,
    pub gels_min: f64,
    /// When the jelly was marked; none where it went into the bath while liquid.
    pub marked_min: Option<f64>,
    /// When it went back into the bath.
    pub back_min: f64,
    pub readings: Vec<(f64, f64)>,
}

/// SplitMix64, as in `stats/split_mix.rs`.
struct Dice(u64);

impl Dice {
    fn between(&mut self, lo: f64, hi: f64) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        lo + (hi - lo) * ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    /// A normal number (Box and Muller 1958).
    fn normal(&mut self, sd: f64) -> f64 {
        let (u, turn) = (1.0 - self.between(0.0, 1.0), self.between(0.0, std::f64::consts::TAU));
        sd * (-2.0 * u.ln()).sqrt() * turn.cos()
    }
}

/// The coolings of the pot with that seed.
pub fn draw_pot(arm: Arm, seed: u64) -> Vec<DrawnCooling> {
    // Seeds of neighbouring pots lie far apart, and those of one pot in two arms are the same pot.
    let dice = &mut Dice(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15).rotate_left(31) ^ 0x5011_7e13);
    let (mut tau, gels, room, usual) =
        (dice.between(20.0, 60.0), dice.between(28.0, 32.0), dice.between(17.0, 23.0), dice.between(42.0, 50.0));
    let reading_sd = dice.between(0.5, 1.5);
    (1..=COOLINGS)
        .map(|cooling| {
            let (out_late, mark_late, mark_later) =
                (dice.between(0.0, 1.0), dice.between(0.0, 1.0), dice.between(0.0, 5.0));
            let (lead, lead_short) = (dice.between(1.0, 4.0), dice.between(0.0, 0.3));
            let room_c = room + dice.normal(0.5);
            let just_liquid = matches!(arm, Arm::JustLiquid | Arm::JustLiquidUntold);
            let start_c = if just_liquid { 36.0 } else { usual } + dice.normal(1.5);
            // It was liquid when it was taken out.
            let gels_c = (gels + dice.normal(1.0)).min(start_c - 1.0);
            tau *= dice.normal(0.06).exp();
            let off: Vec<f64> = (0..3).map(|_| dice.normal(reading_sd)).collect();
            let half = matches!(arm, Arm::HalfByCoats | Arm::HalfByWeighing | Arm::HalfUntold);
            let left = if half && cooling >= 3 { 0.5 } else { 1.0 };
            let open = if arm == Arm::LidOff && cooling >= 3 { 0.6 } else { 1.0 };
            // The loss of heat is by the surface (assumed).
            let cools_in = tau * left * open;
            let gels_min = cools_in * ((start_c - room_c) / (gels_c - room_c)).ln();
            let late = if arm == Arm::FoundLate { mark_later } else { mark_late };
            let back = arm == Arm::BackWhileLiquid && cooling % 2 == 1;
            let times: &[f64] = match arm {
                Arm::OneReading => &[2.0],
                Arm::ThreeReadings => &[1.0, 4.0, 8.0],
                Arm::Unchanged
                | Arm::HalfByCoats
                | Arm::HalfByWeighing
                | Arm::HalfUntold
                | Arm::LidOff
                | Arm::FoundLate
                | Arm::JustLiquid
                | Arm::JustLiquidUntold
                | Arm::BackWhileLiquid => &[],
            };
            let read = |(t, off): (&f64, &f64)| (*t, room_c + (start_c - room_c) * (-t / cools_in).exp() + off);
            DrawnCooling {
                left,
                room_c,
                liquid_lead_min: if arm == Arm::JustLiquid { lead_short - out_late } else { lead },
                out_late_min: out_late,
                gels_min,
                marked_min: (!back).then_some(gels_min + late),
                back_min: if back { gels_min * 0.8 } else { gels_min + late + 10.0 },
                readings: times.iter().zip(&off).filter(|(t, _)| **t < gels_min).map(read).collect(),
            }
        })
        .collect()
}
