//! The pots of a row: one of size, and gesso made of it in as many pots as the panels want.
//!
//! Which panel is laid from which pot is settled before the work; the pots' own stories are told after it, when it is known
//! at what times coats were taken from them. Absent on purpose: how one pot fares (`kettle`).

use super::chance::Chance;
use super::days::{called, start_of};
use super::kettle::{Forgotten, Habits, Kettle, Taken};
use super::studio::Row;
use super::weather::Weather;
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::quantities::mix::{MixAsk, mix};
use crate::record::shelf::{Drawer, free_id};
use crate::units::{Id, Size, Span, Stamp, Volume};
use crate::work::panel::event::Kind as StageKind;
use crate::work::panel::story::Story as PanelStory;
use crate::work::pot::event::{Kind, Opened};
use crate::work::pot::refusal::Refusal;
use crate::work::pot::story::Story;
use std::collections::BTreeSet;

/// From the pouring of a gesso to its first coat.
pub(super) const MAKING: Span = Span::from_s(40 * 60);
/// The most panels to a pot of gesso.
const TO_A_POT: usize = 2;
/// Nobody makes a pot of gesso from less size than this, ml (assumed).
const LEAST_ML: f64 = 150.0;
/// Size weighs this, g/ml (assumed).
const SIZE_G_PER_ML: f64 = 1.02;

/// A name and what it is filed under.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Named {
    /// What it is filed under.
    pub(super) id: Id,
    label: String,
}

/// The names given to pots so far.
#[derive(Debug, Default)]
pub(super) struct Names {
    taken: BTreeSet<Id>,
    gessoes: usize,
}

impl Names {
    fn name(&mut self, label: String) -> Named {
        let id = free_id(&label, Drawer::Pots, &self.taken);
        self.taken.insert(id.clone());
        Named { id, label }
    }
}

/// The pots of a row.
#[derive(Debug, Clone)]
pub(super) struct RowPots {
    /// The size.
    pub(super) size: Named,
    /// The gessoes.
    gesso: Vec<Named>,
    lot: String,
    habits: Habits,
}

impl RowPots {
    /// The pots of a row that begins on that morning; the `nth` of the studio.
    pub(super) fn plan(row: &Row, nth: usize, morning: Stamp, seed: u64, names: &mut Names) -> RowPots {
        let mut chance = Chance::new(seed, &format!("pots of row {nth}"));
        let size = names.name(format!("size of {}", called(morning)));
        let gesso = (0..row.panels.len().div_ceil(TO_A_POT)).map(|_| {
            names.gessoes += 1;
            names.name(format!("gesso {}", names.gessoes))
        });
        let gesso = gesso.collect();
        let habits =
            Habits { thermometer: !chance.one_in(4), scales: !chance.one_in(4), gives_back: !chance.one_in(3) };
        // A packet lasts for a few rows.
        let lot = format!("hide glue, lot {}", 31 + nth / 4 * 3);
        RowPots { size, gesso, lot, habits }
    }

    /// Which pot of gesso the `nth` panel of the row is laid from.
    pub(super) fn gesso_of(&self, nth: usize) -> &Named {
        &self.gesso[(nth / TO_A_POT).min(self.gesso.len() - 1)]
    }

    /// The pots made at one go with that one, itself too.
    pub(super) fn made_with<'a>(&'a self, pot: &'a Id) -> Vec<&'a Id> {
        if *pot == self.size.id { vec![pot] } else { self.gesso.iter().map(|g| &g.id).collect() }
    }

    /// The stories of the pots, the size first. `forgotten`: which pot of gesso was, and when.
    pub(super) fn tell(
        &self,
        row: &Row,
        panels: &[&PanelStory],
        forgotten: Option<(&Id, Forgotten)>,
        seed: u64,
        weather: Weather,
    ) -> Result<Vec<Story>, Refusal> {
        let habits = Habits {
            thermometer: self.habits.thermometer || forgotten.is_some(),
            scales: self.habits.scales || forgotten.is_some(),
            ..self.habits
        };
        let chance = |named: &Named| Chance::new(seed, named.id.as_str());
        let mut poured: Vec<Taken> = Vec::new();
        let mut gessoes = Vec::new();
        let mut size_ml = 0.0;
        for (n, named) in self.gesso.iter().enumerate() {
            let of_it = row.panels.iter().skip(n * TO_A_POT).take(TO_A_POT);
            let amount = of_it.map(|p| Amount::of(row, p.size)).fold(Amount::default(), Amount::and).at_least();
            size_ml += amount.for_wood_ml;
            let taken = taken(panels, &named.id, |m2| m2 * row.recipe.gesso.ml_per_m2 * amount.g_per_ml());
            let Some(first) = taken.first() else { continue };
            let at = first.begun - MAKING;
            let poured_ml = up_to_ten(amount.size_ml);
            size_ml += poured_ml;
            poured.push(Taken { begun: at - Span::from_s(90), at, g: poured_ml * SIZE_G_PER_ML });
            let opened = self.opened(row, named, Kind::Gesso, poured_ml);
            let mut kettle = Kettle::open(opened, (amount.volume_ml, amount.g), at, habits, weather, chance(named))?;
            kettle.make_gesso()?;
            let away = forgotten.filter(|(id, _)| **id == named.id).map(|(_, away)| away);
            kettle.serve(&taken, away)?;
            gessoes.push(kettle.end(away.is_some())?);
        }
        let mut taken = taken(panels, &self.size.id, |m2| m2 * row.recipe.size.ml_per_m2 * SIZE_G_PER_ML);
        taken.extend(poured);
        taken.sort_by_key(|t| t.at);
        let Some(first) = taken.first() else { return Ok(gessoes) };
        let mut chance = chance(&self.size);
        let evening = start_of(super::days::day_of(first.at) - 1) + Span::from_s(17 * 3600) + chance.minutes(5, 50);
        let size_ml = up_to_ten(size_ml * 1.1);
        let opened = self.opened(row, &self.size, Kind::Size, size_ml);
        let amounts = (size_ml, size_ml * SIZE_G_PER_ML);
        let mut kettle = Kettle::open(opened, amounts, evening, habits, weather, chance)?;
        kettle.make_size(first.begun)?;
        kettle.serve(&taken, None)?;
        let size = kettle.end(false)?;
        Ok(std::iter::once(size).chain(gessoes).collect())
    }

    fn opened(&self, row: &Row, named: &Named, kind: Kind, size_ml: f64) -> Opened {
        let size = kind == Kind::Size;
        Opened {
            id: named.id.clone(),
            label: named.label.clone(),
            kind,
            parent: (!size).then(|| self.size.id.clone()),
            recipe: row.recipe.clone(),
            size_ml: Some(Volume::from_ml(size_ml)),
            lot: size.then(|| self.lot.clone()),
        }
    }
}

fn up_to_ten(ml: f64) -> f64 {
    (ml / 10.0).ceil() * 10.0
}

/// What panels want of a pot.
#[derive(Debug, Clone, Copy, Default)]
struct Amount {
    for_wood_ml: f64,
    size_ml: f64,
    volume_ml: f64,
    g: f64,
}

impl Amount {
    /// For one panel; nothing where the recipe's figures are out of range, which those that come with the program are not.
    fn of(row: &Row, size: Size) -> Amount {
        let bulk = BulkDensities::table();
        let ask = MixAsk { recipe: &row.recipe, size, panels: 1, faces: None, scoop: None, bulk: &bulk };
        mix(&ask).map_or_else(
            |_| Amount::default(),
            |m| Amount {
                for_wood_ml: m.size_for_wood.volume_ml,
                size_ml: m.gesso.size_ml,
                volume_ml: m.gesso.volume_ml,
                g: m.gesso.size_ml * SIZE_G_PER_ML + m.gesso.fillers.iter().map(|f| f.mass_g).sum::<f64>(),
            },
        )
    }

    fn and(self, other: Amount) -> Amount {
        Amount {
            for_wood_ml: self.for_wood_ml + other.for_wood_ml,
            size_ml: self.size_ml + other.size_ml,
            volume_ml: self.volume_ml + other.volume_ml,
            g: self.g + other.g,
        }
    }

    /// As much as a pot of gesso holds at the least.
    fn at_least(self) -> Amount {
        let more = if self.size_ml > 0.0 { (LEAST_ML / self.size_ml).max(1.0) } else { 1.0 };
        Amount { size_ml: self.size_ml * more, volume_ml: self.volume_ml * more, g: self.g * more, ..self }
    }

    fn g_per_ml(self) -> f64 {
        if self.volume_ml > 0.0 { self.g / self.volume_ml } else { 1.0 }
    }
}

/// What those panels took from that pot, by time; attempts done again too. `g` of so many square metres.
fn taken(panels: &[&PanelStory], pot: &Id, g: impl Fn(f64) -> f64) -> Vec<Taken> {
    let mut taken: Vec<Taken> = Vec::new();
    for story in panels {
        let size = story.panel().opened().size;
        let m2 = size.width.mm() * size.height.mm() / 1e6;
        for step in story.panel().steps() {
            let laid = step.laid().into_iter().chain(step.failed.iter().map(|(laid, _)| laid));
            for coat in laid.filter(|l| l.fact.pot.as_ref() == Some(pot)) {
                let at = coat.done.wall;
                let begun = coat.began.map_or(at - Span::from_s(150), |m| m.wall);
                taken.push(Taken { begun, at, g: g(m2) });
            }
        }
    }
    taken.sort_by_key(|t| (t.at, t.begun));
    taken
}

/// From which of the row's pots an act of that kind is done.
pub(super) const fn pot_for<'a>(kind: StageKind, size: &'a Id, gesso: &'a Id) -> Option<&'a Id> {
    match kind {
        StageKind::Size | StageKind::Cloth => Some(size),
        StageKind::Stipple | StageKind::Coat => Some(gesso),
        StageKind::Prepare
        | StageKind::Cure
        | StageKind::Dry
        | StageKind::Scrape
        | StageKind::Polish
        | StageKind::Check
        | StageKind::Rest
        | StageKind::Seal
        | StageKind::Sand => None,
    }
}
