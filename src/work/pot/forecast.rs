//! When the pot gels, and when it must into the bath so that pot and coat are ready together.
//!
//! What is known of a pot begins with the recipe, or with earlier pots like it, and learns from every cooling
//! (`craft::physics::gel_filter`): the jelly, the pot found liquid, the thermometer, and what is left in the pot. What is
//! foretold is an interval in which nine gels of ten lie. Readings above the recipe's overheating are left out: a very hot
//! pot cools faster at first, by evaporation, than the law says.

use super::fill::PotUse;
use super::fold::{Cooling, GlueState, Pot};
use super::forecast_basis::{CoolingEvidence, CoolingTimeOrigin, ForecastBasis};
use super::water::WaterInputs;
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::physics::cooling::ThermometerReading;
use crate::craft::physics::gel_filter::{CoolingEnd, CoolingSetting, PotEstimate, START_SD_K};
use crate::craft::physics::gel_times::{FORECAST_LEVEL, GelMinutes};
use crate::units::{Moment, Span, Stamp, Temperature, Volume};
use crate::work::panel::wait::elapsed;

/// The room, where nobody read it, C (assumed).
pub const ROOM_DEFAULT_C: f64 = 20.0;
/// A jelly found so many times later, or sooner, than expected says nothing of when it gelled (assumed).
const CREDIBLE_FACTOR: f64 = 4.0;
/// A reading must lie so far above the room to tell something, K (assumed).
const READING_ABOVE_ROOM_K: f64 = 0.5;
/// Taken out within so long of being marked liquid, a pot is just liquid (assumed): so far above its gel point, K.
const JUST_LIQUID: (Span, f64) = (Span::from_s(30), 6.0);
/// What is just liquid is liquid at a temperature of the glue's, and not at one of the maker's: its start differs less from
/// cooling to cooling and more from pot to pot, K (assumed).
const JUST_LIQUID_SD_K: f64 = 1.6;
/// A forecast is never surer than this to either side, min: marks are made to the half minute (assumed).
const LEAST_SPREAD_MIN: f64 = 0.5;
/// Pots of another size are unlike beyond this ratio (assumed).
const LIKE_SIZE_RATIO: f64 = 1.5;

/// What earlier pots lend to the next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EarlierPots {
    /// What is known of a pot like them.
    pub estimate: PotEstimate,
    /// How many they are.
    pub pots: usize,
}

/// What is known from outside the pot's own story.
#[derive(Clone, Copy)]
pub struct ForecastInputs<'a> {
    /// The temperature of the room as of a time, where it was read.
    pub room_at: &'a dyn Fn(Stamp) -> Option<Temperature>,
    /// What earlier pots like it showed.
    pub earlier_pots: Option<EarlierPots>,
    /// What was taken out of it, by time.
    pub uses: &'a [PotUse],
    /// What powders weigh, loosely filled.
    pub bulk: &'a BulkDensities,
}

impl Default for ForecastInputs<'_> {
    fn default() -> Self {
        ForecastInputs { room_at: &|_| None, earlier_pots: None, uses: &[], bulk: &BulkDensities::TABLE }
    }
}

/// When it gels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PotForecast {
    /// As likely before as after; it may lie in the past, if nobody marked it.
    pub gels_at: Stamp,
    /// [`FORECAST_LEVEL`] of such pots gel between here,
    pub earliest: Stamp,
    /// and here.
    pub latest: Stamp,
    /// The time constant of cooling, min.
    pub time_constant_min: f64,
    /// What all of it rests on.
    pub basis: ForecastBasis,
}

impl PotForecast {
    /// The share of gels that lie between the ends.
    pub const LEVEL: f64 = FORECAST_LEVEL;
}

/// When pot and bowl are to be seen to for a coat.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CoatPreparation {
    /// Into the bath by then; none if it stays liquid long enough, or is in it.
    pub bath_by: Option<Stamp>,
    /// The bowl is thinned then.
    pub bowl_at: Stamp,
}

/// What a pot's coolings so far have taught, as it stood at the last of them.
#[derive(Debug, Clone, Copy)]
struct PotLearning {
    estimate: PotEstimate,
    evidence: CoolingEvidence,
    share_left: f64,
}

impl PotLearning {
    /// The same at the beginning of a cooling, with what is left in the pot by then.
    fn at_cooling(mut self, setting: &CoolingSetting, share_left: f64) -> PotLearning {
        if (share_left - self.share_left).abs() > 1e-9 {
            self.estimate = self.estimate.with_fill_changed(share_left / self.share_left);
        }
        PotLearning { estimate: self.estimate.at_next_cooling(setting), share_left, ..self }
    }
}

impl Pot {
    /// When it gels, if it is liquid and cools. None in the bath, gelled, where no mark tells since when it cools, and in a
    /// room too warm for it to gel.
    pub fn forecast_gel(&self, inputs: &ForecastInputs<'_>) -> Option<PotForecast> {
        let cooling = self.current_cooling().filter(|_| self.glue_state == GlueState::Liquid)?;
        let (setting, room_read) = self.setting(cooling, inputs);
        let readings = self.usable_readings(cooling, setting.room_c);
        let learned = self.learn_coolings(inputs).at_cooling(&setting, self.share_left_at(cooling, inputs));
        let estimate = learned.estimate.with_readings(&setting, &readings);
        let liquid_until = cooling.still_liquid_at.map_or(0.0, |m| elapsed(cooling.started_at, m).minutes());
        let told = estimate.forecast(&setting, liquid_until)?;
        let GelMinutes { earliest, median, latest } = told;
        let after = |min: f64| cooling.started_at.wall + Span::from_min(min.max(liquid_until));
        let evidence = CoolingEvidence { readings: learned.evidence.readings + readings.len(), ..learned.evidence };
        // A pot that has shown nothing gels when the recipe says.
        let by_recipe = estimate.expected_minutes(&setting).filter(|min| evidence.is_none() && *min > liquid_until);
        let best = by_recipe.unwrap_or(median);
        let (start_k, gel_k) = estimate.offsets_k();
        Some(PotForecast {
            gels_at: after(best),
            earliest: after(earliest.min(best - LEAST_SPREAD_MIN)),
            latest: after(latest.max(best + LEAST_SPREAD_MIN)),
            time_constant_min: estimate.time_constant_min(),
            basis: ForecastBasis {
                origin: inputs
                    .earlier_pots
                    .map_or(CoolingTimeOrigin::Recipe, |earlier| CoolingTimeOrigin::EarlierPots { pots: earlier.pots }),
                evidence,
                start_c: setting.start_c + start_k,
                start_read: !readings.is_empty(),
                just_liquid: is_just_liquid(cooling),
                room_c: setting.room_c,
                room_read,
                gels_c: setting.gels_c + gel_k,
                share_left: learned.share_left,
            },
        })
    }

    /// What the pot lends to the next like it, as it stood when it was full; none where it has shown nothing.
    pub fn lend_estimate(&self, inputs: &ForecastInputs<'_>) -> Option<PotEstimate> {
        let learned = self.learn_coolings(inputs);
        learned.evidence.teaches().then(|| learned.estimate.with_fill_changed(1.0 / learned.share_left))
    }

    /// What an earlier pot of the same kind lends to this one; none where their sizes differ too much, or only one has any.
    pub fn borrow_estimate(&self, earlier: &Pot, lent: PotEstimate) -> Option<PotEstimate> {
        let size = |pot: &Pot| pot.opened.size_ml.map(Volume::ml).filter(|ml| *ml > 0.0);
        match (size(self), size(earlier)) {
            (Some(ours), Some(theirs)) => {
                let ratio = ours / theirs;
                let like = (1.0 / LIKE_SIZE_RATIO..=LIKE_SIZE_RATIO).contains(&ratio);
                like.then(|| lent.with_fill_changed(ratio))
            }
            (None, None) => Some(lent),
            (Some(_), None) | (None, Some(_)) => None,
        }
    }

    /// What the coolings that are over have taught.
    fn learn_coolings(&self, inputs: &ForecastInputs<'_>) -> PotLearning {
        let estimate = inputs.earlier_pots.map_or_else(
            || PotEstimate::from_recipe(self.recipe().gesso.time_constant_min),
            |earlier| earlier.estimate,
        );
        let begin = PotLearning { estimate, evidence: CoolingEvidence::default(), share_left: 1.0 };
        let over = self.coolings.iter().filter(|c| c.is_over);
        over.fold(begin, |learned, cooling| self.learn_cooling(learned, cooling, inputs))
    }

    fn learn_cooling(&self, learned: PotLearning, cooling: &Cooling, inputs: &ForecastInputs<'_>) -> PotLearning {
        let (setting, _) = self.setting(cooling, inputs);
        let readings = self.usable_readings(cooling, setting.room_c);
        let mut learned = learned.at_cooling(&setting, self.share_left_at(cooling, inputs));
        learned.estimate = learned.estimate.with_readings(&setting, &readings);
        learned.evidence.readings += readings.len();
        let after = |m: Moment| elapsed(cooling.started_at, m).minutes();
        let expected = learned.estimate.expected_minutes(&setting);
        let gelled = cooling
            .gelled_at
            .map(after)
            .filter(|min| expected.is_some_and(|e| (e / CREDIBLE_FACTOR..=e * CREDIBLE_FACTOR).contains(min)));
        if let Some(min) = gelled {
            learned.estimate = learned.estimate.with_end(&setting, CoolingEnd::Gelled(min));
            learned.evidence.jellies += 1;
            return learned;
        }
        let seen = cooling.still_liquid_at.map(|m| CoolingEnd::StillLiquid(after(m)));
        let bath = cooling.into_bath_at.map(|m| CoolingEnd::IntoBath(after(m)));
        for end in seen.into_iter().chain(bath) {
            learned.estimate = learned.estimate.with_end(&setting, end);
        }
        learned.evidence.liquids += usize::from(seen.is_some() || bath.is_some());
        learned
    }

    /// What is taken for granted of a cooling, and whether the room was read.
    fn setting(&self, cooling: &Cooling, inputs: &ForecastInputs<'_>) -> (CoolingSetting, bool) {
        let gesso = &self.recipe().gesso;
        let room = (inputs.room_at)(cooling.started_at.wall);
        let [lo, hi] = gesso.work_c;
        let (usual_c, just_liquid_c) = (lo / 2.0 + hi / 2.0, gesso.gels_at_c + JUST_LIQUID.1);
        let (start_c, start_sd_k) = if is_just_liquid(cooling) {
            (just_liquid_c.min(usual_c), JUST_LIQUID_SD_K)
        } else {
            (usual_c, START_SD_K)
        };
        let room_c = room.map_or(ROOM_DEFAULT_C, |t| t.c());
        (CoolingSetting { start_c, start_sd_k, room_c, gels_c: gesso.gels_at_c }, room.is_some())
    }

    fn share_left_at(&self, cooling: &Cooling, inputs: &ForecastInputs<'_>) -> f64 {
        let known = WaterInputs { bulk: inputs.bulk, ..WaterInputs::default() };
        self.share_left(cooling.started_at.wall, inputs.uses, &known)
    }

    /// The readings of a cooling that the law may be asked about: above the room, and not overheated.
    fn usable_readings(&self, cooling: &Cooling, room_c: f64) -> Vec<ThermometerReading> {
        let overheat_c = self.recipe().gesso.overheat_c;
        let read = |(m, t): &(Moment, Temperature)| ThermometerReading {
            time_min: elapsed(cooling.started_at, *m).minutes(),
            temp_c: t.c(),
        };
        let each = cooling.readings.iter().map(read);
        each.filter(|r| r.temp_c > room_c + READING_ABOVE_ROOM_K && r.temp_c <= overheat_c).collect()
    }

    /// When pot and bowl are to be seen to for a coat that falls due then: the bowl is thinned from a liquid pot the
    /// recipe's minutes before it, and the pot is melted by then. A coat that falls due earlier, because its ground went
    /// dull, moves both forward. None where there is nothing to lay on yet, or no more.
    pub fn coat_preparation(&self, forecast: Option<&PotForecast>, due_at: Stamp) -> Option<CoatPreparation> {
        let gesso = &self.recipe().gesso;
        let bowl_at = due_at - Span::from_min(gesso.bowl_min);
        let laid_at = due_at + Span::from_min(self.recipe().minutes.coat);
        let too_soon = match (self.glue_state, self.current_bath()) {
            (GlueState::Raw | GlueState::Soaking, _) => return None,
            (GlueState::Melting | GlueState::Liquid | GlueState::Gelled, Some(_)) => false,
            (GlueState::Melting | GlueState::Gelled, None) => true,
            (GlueState::Liquid, None) => forecast.is_some_and(|f| f.earliest <= laid_at),
        };
        let bath_by = too_soon.then(|| bowl_at - Span::from_min(gesso.melt_min));
        self.end.is_none().then_some(CoatPreparation { bath_by, bowl_at })
    }
}

/// Whether the marks show that it was taken out as soon as it was liquid.
fn is_just_liquid(cooling: &Cooling) -> bool {
    cooling.melted_for.is_some_and(|span| span < JUST_LIQUID.0)
}
