//! Drawn pots played through their stories, and what was foretold of each cooling as it began, held against what came.

use super::gel_pots::{Arm, COOLINGS, DrawnCooling, draw_pot};
use sottile::inside::{
    BulkDensities, Entry, ForecastInputs, Id, Mass, Moment, PotAct, PotEvent, PotKind, PotOpened, PotStory, PotUse,
    Recipe, Span, Stamp, Temperature, Volume, shipped,
};
use std::sync::{Arc, LazyLock};

static RECIPE: LazyLock<Arc<Recipe>> =
    LazyLock::new(|| Arc::new(shipped::find_shipped_recipe("gypsum-zinc").expect("it comes with the program")));

/// What was foretold of one cooling and when it gelled, minutes after it was marked out of the bath.
#[derive(Debug, Clone, Copy)]
pub struct Foretold {
    pub earliest: f64,
    pub gels: f64,
    pub latest: f64,
    pub came: f64,
}

impl Foretold {
    pub fn is_inside(&self) -> bool {
        self.earliest <= self.came && self.came <= self.latest
    }

    pub fn width(&self) -> f64 {
        self.latest - self.earliest
    }

    pub fn error(&self) -> f64 {
        (self.gels - self.came).abs()
    }
}

fn at(min: f64) -> Stamp {
    Stamp::from_ms(1_800_000_000_000) + Span::from_min(min)
}

fn opened() -> PotEvent {
    PotEvent::Opened(Box::new(PotOpened {
        filler_lot: None,
        id: Id::new("wren").expect("a name"),
        label: "Wren".into(),
        kind: PotKind::Gesso,
        parent: Id::new("robin"),
        recipe: Arc::clone(&RECIPE),
        size_ml: Some(Volume::from_ml(POT_SIZE_ML)),
        lot: None,
        for_group: None,
        trial: None,
    }))
}

const POT_SIZE_ML: f64 = 500.0;

struct Played {
    story: PotStory,
    uses: Vec<PotUse>,
}

fn entry(seq: u64, at: Stamp, event: PotEvent) -> Entry<PotEvent> {
    Entry { seq, at, written: Moment::from_wall(at), raw_wall: None, replaces: None, event }
}

impl Played {
    fn mark(&mut self, act: &PotAct, min: f64) {
        let event = self.story.build_event(act).expect("what a maker does can be true");
        let seq = self.story.entries().len() as u64;
        self.story = self.story.with_entry(entry(seq, at(min), event)).expect("what a maker does can be true");
    }

    /// Half of it is taken out: by ten coats that name it, or between two weighings of pot and vessel.
    fn take_half(&mut self, arm: Arm, min: f64) {
        let pot = self.story.pot();
        let (made_ml, made_g) = pot.made_amounts(&BulkDensities::TABLE).expect("its size is known");
        match arm {
            Arm::HalfByCoats => {
                let coat = Volume::from_ml(made_ml / 20.0);
                self.uses.extend((1..=10).map(|n| PotUse { at: at(min + f64::from(n) * 0.1), volume: coat }));
            }
            Arm::HalfByWeighing => {
                self.mark(&PotAct::Weigh(Mass::from_g(300.0 + made_g)), min);
                self.mark(&PotAct::Weigh(Mass::from_g(300.0 + made_g / 2.0)), min + 1.0);
            }
            _ => {}
        }
    }
}

/// What was foretold of every cooling of the pot with that seed.
pub fn forecast_pot(arm: Arm, seed: u64) -> Vec<Foretold> {
    let story = PotStory::fold(vec![entry(0, at(0.0), opened())]).expect("a pot can be opened");
    let mut played = Played { story, uses: Vec::new() };
    let (mut clock, mut left) = (5.0, 1.0);
    let drawn = draw_pot(arm, seed);
    let rooms: Vec<(Stamp, f64)> = Vec::with_capacity(COOLINGS);
    let mut rooms = rooms;
    drawn
        .iter()
        .map(|cooling| {
            if cooling.left < left {
                played.take_half(arm, clock);
                clock += 2.0;
            }
            left = cooling.left;
            let out = clock + 3.0 + cooling.liquid_lead_min;
            rooms.push((at(clock), cooling.room_c));
            let foretold = play_cooling(&mut played, cooling, (clock, out), &rooms);
            clock = out + cooling.back_min;
            foretold
        })
        .collect()
}

fn play_cooling(
    played: &mut Played,
    cooling: &DrawnCooling,
    (melt, out): (f64, f64),
    rooms: &[(Stamp, f64)],
) -> Foretold {
    played.mark(&PotAct::Melt, melt);
    played.mark(&PotAct::Liquid, out - cooling.liquid_lead_min);
    let marked_out = out + cooling.out_late_min;
    played.mark(&PotAct::OutOfBath, marked_out);
    for (min, temp_c) in &cooling.readings {
        played.mark(&PotAct::Temp(Temperature::from_c(*temp_c)), out + min);
    }
    let room = |at: Stamp| rooms.iter().rfind(|(from, _)| *from <= at).map(|(_, c)| Temperature::from_c(*c));
    let inputs = ForecastInputs { room_at: &room, uses: &played.uses, ..ForecastInputs::default() };
    let told = played.story.pot().forecast_gel(&inputs).expect("a pot that cools is foretold");
    if let Some(min) = cooling.marked_min {
        played.mark(&PotAct::Gelled, out + min);
    }
    let since = |stamp: Stamp| (stamp - at(marked_out)).minutes();
    Foretold {
        earliest: since(told.earliest),
        gels: since(told.gels_at),
        latest: since(told.latest),
        came: out + cooling.gels_min - marked_out,
    }
}

/// The middle one.
pub fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(f64::NAN)
}

/// Every pot of an arm: of each cooling, all that was foretold.
pub fn forecast_arm(arm: Arm, pots: u64) -> Vec<Vec<Foretold>> {
    let all: Vec<Vec<Foretold>> = (0..pots).map(|seed| forecast_pot(arm, seed)).collect();
    (0..COOLINGS).map(|cooling| all.iter().map(|pot| pot[cooling]).collect()).collect()
}

/// The share that came within what was foretold, per cent.
pub fn coverage_pct(foretold: &[Foretold]) -> f64 {
    100.0 * foretold.iter().filter(|f| f.is_inside()).count() as f64 / foretold.len() as f64
}
