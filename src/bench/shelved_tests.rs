//! A shelf read afterwards: which of many panels a view is given, in what order what is made of them comes, what a
//! damaged one costs.

use super::*;
use crate::bench::{PanelOpening, PotOpening, RecordRequest};
use crate::craft::materials::{Filler, Support};
use crate::craft::recipe::{Paint, shipped};
use crate::units::{Length, Mass, Size, Span, Volume};
use crate::work::panel::act::PanelAct;
use crate::work::pot::act::PotAct;
use crate::work::pot::event::PotKind;
use std::sync::atomic::{AtomicUsize, Ordering};

fn at(hour: f64) -> Moment {
    Moment::from_wall(Stamp::from_ms(1_800_000_000_000) + Span::from_h(hour))
}

/// A shelf with so many panels. The first by name was opened last, so that names and times disagree.
fn shelf(panels: usize) -> (tempfile::TempDir, Shelf) {
    let dir = tempfile::tempdir().unwrap();
    let shelf = Shelf::open(dir.path());
    let mut bench = Bench::new(shelf.clone());
    for n in 0..panels {
        let size = Size { width: Length::from_mm(300.0), height: Length::from_mm(400.0), thickness: None };
        let opening = PanelOpening {
            sheet: None,
            label: format!("Wren {n:03}"),
            size,
            support: Support::BirchPlywood,
            grain: None,
            paint: Paint::Oil,
            recipe: Arc::new(shipped::find_shipped_recipe("gypsum-zinc").unwrap()),
            count: 1,
            at: Some(at(-(n as f64)).wall),
            witness: false,
        };
        bench.open_panels(&opening, &|| at(0.0)).unwrap();
    }
    (dir, shelf)
}

fn shelved<'a>(shelf: &'a Shelf, bulk: &'a BulkDensities) -> StoryReader<'a> {
    StoryReader { shelf, bulk, now: at(1.0), on_story_read: &|| {} }
}

fn damage(shelf: &Shelf, id: &str) {
    std::fs::write(shelf.story_path(Drawer::Panels, &Id::new(id).unwrap()), "{}\n").unwrap();
}

#[test]
fn of_more_than_a_view_holds_those_opened_last_are_in_it() {
    let (_dir, shelf) = shelf(4);
    damage(&shelf, "wren-001");
    let labels = |most: usize| {
        let side = shelved(&shelf, &BulkDensities::TABLE).read_compared_panels(most).unwrap();
        let mut labels: Vec<String> = side.panels.into_iter().map(|one| one.row.story.label).collect();
        labels.sort();
        (labels.join(" "), side.unreadable_stories.len(), side.shelf_total)
    };
    assert_eq!(labels(9), ("Wren 000 Wren 002 Wren 003".into(), 1, 4));
    assert_eq!(labels(4), ("Wren 000 Wren 002 Wren 003".into(), 1, 4));
    assert_eq!(labels(2), ("Wren 000 Wren 002".into(), 0, 4));
    assert_eq!(labels(1), ("Wren 000".into(), 0, 4));
}

#[test]
fn a_view_weighs_powders_as_the_maker_does() {
    let (_dir, shelf) = shelf(1);
    let glue = |zinc_white_g_per_ml: f64| {
        let mut bulk = BulkDensities::TABLE;
        bulk.set_weighed(Filler::ZincWhite, zinc_white_g_per_ml).unwrap();
        shelved(&shelf, &bulk).read_compared_panels(9).unwrap().panels[0].row.pots.glue_per_100g_filler_g.unwrap()
    };
    let light = glue(0.4);
    let heavy = glue(0.8);
    assert!(light > heavy * 1.1, "half as heavy a cup leaves more glue to 100 g: {light} and {heavy}");
}

#[test]
fn what_is_read_again_comes_in_order_a_few_at_a_time_and_breaks_off_at_once() {
    let (_dir, shelf) = shelf(STORIES_PER_CHUNK + 3);
    let (made, most) = (AtomicUsize::new(0), AtomicUsize::new(0));
    let rows = shelved(&shelf, &BulkDensities::TABLE).read_rows(&shelf.panel_ids().unwrap(), true).unwrap().rows;
    let mut taken = Vec::new();
    let make = |_: &PanelStory, f: &PanelRow| {
        made.fetch_add(1, Ordering::SeqCst);
        f.story.label.clone()
    };
    let again = shelved(&shelf, &BulkDensities::TABLE).reread_stories(&rows, &make, &mut |label| {
        taken.push(label);
        most.fetch_max(made.load(Ordering::SeqCst) - taken.len(), Ordering::SeqCst);
        Ok::<(), UnreadableStory>(())
    });
    assert_eq!(again, Ok(()));
    assert_eq!(taken, rows.iter().map(|f| f.story.label.clone()).collect::<Vec<_>>());
    assert!(most.into_inner() < STORIES_PER_CHUNK, "no more are held than are read at once");

    // Whoever will have no more stops the reading.
    made.store(0, Ordering::SeqCst);
    let enough = UnreadableStory { path: "enough".into(), message: String::new(), is_damaged: true };
    let stopped = shelved(&shelf, &BulkDensities::TABLE).reread_stories(&rows, &make, &mut |_| Err(enough.clone()));
    assert_eq!((stopped, made.load(Ordering::SeqCst)), (Err(enough), STORIES_PER_CHUNK));

    damage(&shelf, "wren-001");
    let mut taken = 0;
    let gone = shelved(&shelf, &BulkDensities::TABLE).reread_stories(&rows, &make, &mut |_| {
        taken += 1;
        Ok::<(), UnreadableStory>(())
    });
    assert!(gone.unwrap_err().path.ends_with("wren-001.jsonl"));
    assert_eq!(taken, 1);
}

/// Lays everything up to the first coat of gesso, which comes from the one pot of gesso there is.
fn stipple(bench: &mut Bench, id: &str, at_hour: f64) {
    let id = Id::new(id).unwrap();
    bench.load(&id).unwrap();
    for minute in 0..60 {
        let act_at = at(at_hour + f64::from(minute) / 60.0);
        let ask = RecordRequest { act: PanelAct::done_as_planned(), at: Some(act_at.wall), expected_stage: None };
        let told = bench.record(&id, &ask, &|| at(100.0)).unwrap();
        let story = told.changed.into_iter().find(|t| t.id == id).unwrap().story.unwrap();
        if !story.panel().pot_ids().is_empty() {
            return;
        }
    }
    panic!("no gesso was laid");
}

/// What left a pot between two weighings is water only if no panel took from it, a damaged one included: as far as that
/// one can be read its coats count, whether it is asked for or not.
#[test]
fn a_damaged_panel_has_used_the_pot_too() {
    let lost_pct = |damaged_uses: bool, whole_shelf: bool| {
        let (_dir, shelf) = shelf(2);
        let mut bench = Bench::new(shelf.clone());
        let pot = PotOpening {
            filler_lot: None,
            label: "Robin".to_owned(),
            kind: PotKind::Gesso,
            parent: None,
            recipe: Arc::new(shipped::find_shipped_recipe("gypsum-zinc").unwrap()),
            size_ml: Some(Volume::from_ml(500.0)),
            lot: None,
            at: Some(at(0.0).wall),
            for_group: None,
        };
        let pot = bench.open_pot(&pot, &|| at(100.0)).unwrap().id;
        for (hour, g) in [(10.0, 1000.0), (30.0, 900.0)] {
            let weighed = PotAct::Weigh(Mass::from_g(g));
            bench.record_pot(&pot, &weighed, Some(at(hour).wall), &|| at(100.0)).unwrap();
        }
        if damaged_uses {
            stipple(&mut bench, "wren-001", 20.0);
        }
        stipple(&mut bench, "wren-000", 40.0);
        let id = Id::new("wren-001").unwrap();
        let path = shelf.story_path(Drawer::Panels, &id);
        std::fs::write(&path, std::fs::read_to_string(&path).unwrap() + "{}\n").unwrap();
        let ids = shelf.panel_ids().unwrap();
        let ids = if whole_shelf { ids } else { vec![Id::new("wren-000").unwrap()] };
        let reader = StoryReader { now: at(100.0), ..shelved(&shelf, &BulkDensities::TABLE) };
        let read = reader.read_rows(&ids, whole_shelf).unwrap();
        assert_eq!(read.unreadable_stories.len(), usize::from(whole_shelf), "the other one is damaged");
        read.rows[0].pots.water_lost_pct.unwrap()
    };
    for whole_shelf in [false, true] {
        assert_eq!(lost_pct(true, whole_shelf), 0.0);
        assert!(lost_pct(false, whole_shelf) > 10.0);
    }
}
