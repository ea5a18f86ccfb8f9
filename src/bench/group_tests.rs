//! Boards opened together, their witness, and the pot their coats come from.

use super::tests::{clock, id, opening, story_on};
use super::*;
use crate::craft::recipe::{Recipe, shipped};
use crate::units::{Span, Stamp, Temperature};
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{Face, Stage, StageKind};
use crate::work::pot::act::PotAct;
use crate::work::pot::event::PotKind;
use std::sync::Arc;

fn recipe(name: &str) -> Arc<Recipe> {
    Arc::new(shipped::find_shipped_recipe(name).unwrap())
}

fn pot(label: &str, recipe_name: &str, for_group: Option<&str>) -> PotOpening {
    PotOpening {
        filler_lot: None,
        label: label.into(),
        kind: PotKind::Gesso,
        parent: None,
        recipe: recipe(recipe_name),
        size_ml: None,
        lot: None,
        for_group: for_group.map(id),
        at: None,
    }
}

#[test]
fn boards_opened_together_name_the_first_of_them() {
    let dir = tempfile::tempdir().unwrap();
    let now = clock();
    let mut bench = Bench::new(Shelf::open(dir.path()));
    let told = |panels: &[Snapshot]| -> Vec<String> {
        let one = |t: &Snapshot| {
            let on_disk = story_on(&Shelf::open(dir.path()), &t.id).unwrap();
            let opened = on_disk.panel().opened();
            let group = opened.group.as_ref().map_or("-", Id::as_str);
            let size = format!("{:.0}x{:.0}", opened.size.width.mm(), opened.size.height.mm());
            format!("{} {group} {size}{}", opened.label, if opened.is_witness { " witness" } else { "" })
        };
        panels.iter().map(one).collect()
    };
    assert_eq!(told(&bench.open_panels(&opening("Alone", 1), &now).unwrap()), ["Alone - 300x400"]);
    let two = bench.open_panels(&opening("Wren", 2), &now).unwrap();
    assert_eq!(told(&two), ["Wren 1 wren-1 300x400", "Wren 2 wren-1 300x400"]);
    let tried = bench.open_panels(&PanelOpening { witness: true, ..opening("Robin", 1) }, &now).unwrap();
    assert_eq!(told(&tried), ["Robin robin 300x400", "Robin witness robin 100x100 witness"]);
    let recipes: Vec<_> = tried.iter().map(|t| t.story.as_ref().unwrap().panel().recipe().clone()).collect();
    assert_eq!(recipes[0], recipes[1]);
}

/// A shelf with three boards of one group and one alone, of the default recipe, and the pots a case opens.
struct Choice {
    _dir: tempfile::TempDir,
    bench: Bench,
}

impl Choice {
    fn new(pots: &[PotOpening]) -> Choice {
        let dir = tempfile::tempdir().unwrap();
        let now = clock();
        let mut bench = Bench::new(Shelf::open(dir.path()));
        bench.open_panels(&opening("Wren", 3), &now).unwrap();
        bench.open_panels(&opening("Robin", 1), &now).unwrap();
        for pot in pots {
            bench.open_pot(pot, &now).unwrap();
        }
        Choice { _dir: dir, bench }
    }

    /// Everything up to and with the stipple, from that pot.
    fn lay(&mut self, panel: &str, pot: &str, min: f64) {
        let at = Moment::from_wall(Stamp::from_ms(1_800_000_000_000) + Span::from_min(min));
        for n in 0..6 {
            let pot = (n == 5).then(|| id(pot));
            let done = PanelAct::Done { direction: None, pot, map: None, by: None };
            self.bench.record(&id(panel), &RecordRequest::from_act(done), &|| at).unwrap();
        }
    }

    fn of(&self, panel: &str, chosen: &[&str]) -> String {
        let (pots, panels) = (self.bench.pot_snapshots(), self.bench.snapshots());
        let story = panels.iter().find(|t| t.id.as_str() == panel).unwrap().story.clone().unwrap();
        let stage = gesso_stage();
        let chosen: Vec<Id> = chosen.iter().map(|pot| id(pot)).collect();
        let found = choose_pot_for_coat(&pots, &panels, story.panel(), stage, &chosen, None);
        found.map_or("-".to_owned(), |t| t.id.to_string())
    }
}

fn gesso_stage() -> Stage {
    Stage { kind: StageKind::Coat, face: Some(Face::Front), number: Some(1), total: Some(6), direction: None }
}

#[test]
fn a_coat_comes_from_the_pot_its_group_is_coated_from() {
    let own = shipped::DEFAULT_RECIPE_NAME;
    let other = "chalk-gilding";
    // The only one there is, whatever its recipe.
    let choice = Choice::new(&[pot("A", other, None)]);
    assert_eq!((choice.of("wren-1", &[]), choice.of("robin", &[])), ("a".into(), "a".into()));
    // Of several: the one opened for the group, which says nothing of a board outside it.
    let choice = Choice::new(&[pot("A", own, None), pot("B", own, Some("wren-1")), pot("C", own, None)]);
    assert_eq!((choice.of("wren-3", &[]), choice.of("robin", &[])), ("b".into(), "-".into()));
    // The maker's choice goes before it, the last first.
    assert_eq!(choice.of("wren-3", &["a", "c"]), "c");
    // The pot that a coat of the group named last goes before the one opened for it; the panel's own before both.
    let mut choice = Choice::new(&[pot("A", own, None), pot("B", own, Some("wren-1")), pot("C", own, None)]);
    choice.lay("wren-1", "a", 100.0);
    assert_eq!((choice.of("wren-3", &[]), choice.of("robin", &[])), ("a".into(), "-".into()));
    choice.lay("wren-2", "c", 130.0);
    assert_eq!((choice.of("wren-3", &[]), choice.of("wren-1", &[])), ("c".into(), "a".into()));
    // A key and a command ask the same: a bench over one panel finds the pot of its group too.
    let mut alone = Bench::new(choice.bench.shelf().clone());
    let at = Moment::from_wall(Stamp::from_ms(1_800_000_000_000) + Span::from_min(140.0));
    for _ in 0..6 {
        alone.record(&id("wren-3"), &RecordRequest::from_act(PanelAct::done_as_planned()), &|| at).unwrap();
    }
    assert_eq!(alone.snapshots().len(), 1, "the others go back to where they were");
    let story = story_on(alone.shelf(), &id("wren-3")).unwrap();
    assert_eq!(story.panel().pot_ids(), [&id("c")]);
    // A pot of the board's own recipe goes before any other, also one of another the maker had in hand.
    let choice = Choice::new(&[pot("A", other, None), pot("B", own, Some("wren-1"))]);
    assert_eq!((choice.of("wren-3", &["a"]), choice.of("robin", &["a"])), ("b".into(), "a".into()));
    // An opening for one panel that stands alone is for that panel.
    let choice = Choice::new(&[pot("A", own, None), pot("B", own, Some("robin"))]);
    assert_eq!((choice.of("robin", &[]), choice.of("wren-1", &[])), ("b".into(), "-".into()));
}

/// A pass asks for the pot board by board: the first of the group that names one tells the others.
#[test]
fn a_pass_takes_one_pot_for_its_group() {
    let own = shipped::DEFAULT_RECIPE_NAME;
    let mut choice = Choice::new(&[pot("A", own, None), pot("B", own, None)]);
    let at = |min: f64| Stamp::from_ms(1_800_000_000_000) + Span::from_min(min);
    let entry = |panel: &str, n: usize, pot: Option<Id>| PassEntry {
        id: id(panel),
        act: PanelAct::Done { direction: None, pot, map: None, by: None },
        at: Some(at(100.0 + n as f64)),
        expected_stage: None,
    };
    let mut pass: Vec<PassEntry> = Vec::new();
    for panel in ["wren-1", "wren-2", "wren-3"] {
        pass.extend((0..6).map(|n| entry(panel, n, None)));
    }
    pass[5] = entry("wren-1", 4, Some(id("b")));
    pass[4] = entry("wren-1", 3, None);
    pass[3] = entry("wren-1", 2, None);
    choice.bench.record_pass(&pass, &|| Moment::from_wall(at(200.0))).unwrap();
    for panel in ["wren-1", "wren-2", "wren-3"] {
        let story = story_on(choice.bench.shelf(), &id(panel)).unwrap();
        assert_eq!(story.panel().pot_ids(), [&id("b")], "{panel}");
    }
}

#[test]
fn what_speaks_against_a_pot_is_said_before_the_press() {
    let own = shipped::DEFAULT_RECIPE_NAME;
    let minute = |min: f64| Moment::from_wall(Stamp::from_ms(1_800_000_000_000) + Span::from_min(min));
    let size_stage = Stage { kind: StageKind::Size, ..gesso_stage() };
    let size = |recipe_name: &str| PotOpening { kind: PotKind::Size, ..pot("Jar", recipe_name, None) };
    let check = |opening: PotOpening, acts: &[(f64, PotAct)], stage: Stage, min: f64, expected: Option<&str>| {
        let mut choice = Choice::new(&[]);
        choice.bench.open_pot(&opening, &|| minute(20.0)).unwrap();
        for (min, act) in acts {
            choice.bench.record_pot(&id("jar"), act, None, &|| minute(*min)).unwrap();
        }
        let story = choice.bench.pot_snapshots()[0].story.clone().unwrap();
        let panel = choice.bench.snapshots()[0].story.clone().unwrap();
        let said = pot_objection(panel.panel(), stage, story.pot(), minute(min)).map(|objection| objection.to_string());
        assert_eq!(said.as_deref(), expected, "{acts:?} at {min}");
    };
    use PotAct::{Discard, Empty, Gelled, Liquid, Melt, OutOfBath, Soak, Temp};
    let jar = |recipe_name: &str| pot("Jar", recipe_name, None);
    let made: &[(f64, PotAct)] = &[(30.0, Liquid), (31.0, PotAct::made_as_asked())];
    check(jar(own), made, gesso_stage(), 40.0, None);
    let prepare = Stage { kind: StageKind::Prepare, ..gesso_stage() };
    check(jar("chalk-gilding"), &[], prepare, 40.0, None);
    let other = format!("this board is {own}, this pot chalk-gilding");
    check(jar("chalk-gilding"), made, gesso_stage(), 40.0, Some(&other));
    check(jar(own), &[], gesso_stage(), 40.0, Some("Jar is not marked as made"));
    check(jar(own), &[(30.0, Liquid)], gesso_stage(), 40.0, Some("Jar is not marked as made"));
    check(size(own), &[], size_stage, 40.0, Some("the glue of Jar is still dry, or soaks"));
    check(size(own), &[(30.0, Soak)], size_stage, 700.0, Some("the glue of Jar is still dry, or soaks"));
    check(size(own), &[(30.0, Soak), (700.0, PotAct::made_as_asked())], size_stage, 710.0, None);
    let melting: &[(f64, PotAct)] = &[(30.0, Soak), (700.0, Melt)];
    let not_melted = Some("Jar went into the bath only now and is not melted");
    check(size(own), melting, size_stage, 702.0, not_melted);
    check(size(own), melting, size_stage, 704.0, None);
    check(size(own), &[melting, &[(701.0, OutOfBath)]].concat(), size_stage, 702.0, None);
    check(jar(own), &[made, &[(60.0, Gelled), (70.0, Melt)]].concat(), gesso_stage(), 71.0, not_melted);
    // Once a coat of the panel came from it nobody asks again whether it was made.
    let mut choice = Choice::new(&[pot("A", own, None)]);
    let said = |choice: &Choice, min: f64| {
        let (pots, panels) = (choice.bench.pot_snapshots(), choice.bench.snapshots());
        let stories = (panels[0].story.clone().unwrap(), pots[0].story.clone().unwrap());
        pot_objection(stories.0.panel(), gesso_stage(), stories.1.pot(), minute(min))
    };
    assert_eq!(said(&choice, 90.0), Some(PotObjection::NotMade { pot: "A".into() }));
    choice.lay("wren-1", "a", 100.0);
    assert_eq!(said(&choice, 110.0), None);
    // Size of the same strength serves boards of another recipe.
    check(size("gypsum-zinc"), &[(30.0, Liquid)], size_stage, 40.0, None);
    let hot = [made, &[(35.0, Temp(Temperature::from_c(66.0)))]].concat();
    check(jar(own), &hot, gesso_stage(), 40.0, Some("Jar was overheated (66 C): it may no longer gel firmly"));
    check(jar(own), made, gesso_stage(), 31.0 + 4.0 * 1440.0, None);
    let old = Some("Jar is 5 days old: look for mould and smell");
    check(jar(own), made, gesso_stage(), 31.0 + 5.0 * 1440.0, old);
    check(jar(own), &[made, &[(50.0, Empty)]].concat(), gesso_stage(), 60.0, Some("Jar is used up"));
    let thrown = [made, &[(50.0, Discard("smells".into()))]].concat();
    check(jar(own), &thrown, gesso_stage(), 60.0, Some("Jar was thrown away"));
}
