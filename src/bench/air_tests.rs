//! Readings of the air: the one that holds is told from one that held, a batch is one write, and no act reads twice what
//! stands in the journal.

use super::*;
use crate::record::journal::faults::{Fuse, FusedDisk, MemoryDisk, Plan};
use crate::record::journal::{DamageKind, Journal, storage};
use crate::units::{Humidity, Span, Stamp, Temperature};
use crate::work::air::{AirEvent, AirReading};
use crate::work::panel::act::PanelAct;
use crate::work::panel::refusal::PanelRefusal;
use crate::work::story::OrderRefusal;
use std::io::ErrorKind;
use std::sync::Arc;

fn at(min: f64) -> Stamp {
    Stamp::from_ms(1_800_000_000_000) + Span::from_min(min)
}

fn reading(min: f64, c: f64) -> AirReading {
    AirReading::new(at(min), Temperature::from_c(c), Humidity::from_pct(50.0)).unwrap()
}

/// A day of readings, one every so many minutes.
fn many(count: u32) -> Vec<AirReading> {
    (0..count).map(|n| reading(-f64::from(n), 18.0 + f64::from(n % 7))).collect()
}

fn now() -> Moment {
    Moment::from_wall(at(0.0))
}

/// A bench of a directory's own on a disk that can be made to fail, and that disk's bytes.
struct Place {
    _dir: tempfile::TempDir,
    disk: MemoryDisk,
    shelf: Shelf,
    fuse: Arc<Fuse>,
}

impl Place {
    fn new() -> Place {
        let dir = tempfile::tempdir().unwrap();
        let (disk, fuse) = (MemoryDisk::default(), Arc::new(Fuse::default()));
        let inner: Arc<dyn storage::Storage> = Arc::new(disk.clone());
        let shelf = Shelf::with_storage(Arc::new(FusedDisk { disk: inner, fuse: Arc::clone(&fuse) }), dir.path());
        Place { _dir: dir, disk, shelf, fuse }
    }
    fn bench(&self) -> Bench {
        Bench::new(self.shelf.clone())
    }
    /// Whether `run` asks the disk for no more than that.
    fn within<T>(&self, calls: usize, run: impl FnOnce() -> T) -> T {
        self.fuse.set(Some(Plan { fail_at: calls, bytes: 0, for_good: true, error: ErrorKind::StorageFull }));
        let result = run();
        assert!(!self.fuse.blown(), "more than {calls} calls");
        self.fuse.set(None);
        result
    }
    fn lines(&self) -> usize {
        let bytes = self.disk.bytes(&self.shelf.air_path()).unwrap_or_default();
        bytes.iter().filter(|b| **b == b'\n').count()
    }
}

#[test]
fn air_put_right_and_back_again_is_three_readings() {
    let place = Place::new();
    let mut window = place.bench();
    for (c, expected) in [(20.0, (1, 0)), (25.0, (1, 0)), (20.0, (1, 0)), (20.0, (0, 1))] {
        // A window that reads on and a command that reads all say the same.
        let taken = window.record_air(&[reading(-10.0, c)], &now).unwrap();
        assert_eq!((taken.written, taken.already_known), expected, "{c}");
        for air in [window.load_air(), place.bench().load_air()] {
            assert_eq!(air.reading_as_of(at(0.0)).map(|r| r.temp.c()), Some(c));
        }
    }
    // At another time the same figures are a reading of their own; in one file the later line holds.
    let file =
        [reading(-5.0, 20.0), reading(-9.0, 20.0), reading(-5.0, 20.0), reading(-5.0, 21.0), reading(-5.0, 20.0)];
    let taken = place.bench().record_air(&file, &now).unwrap();
    assert_eq!((taken.written, taken.already_known, place.lines()), (4, 1, 7));
    assert_eq!(window.load_air().reading_as_of(at(0.0)).map(|r| r.temp.c()), Some(20.0));
}

#[test]
fn what_lies_ahead_is_refused_and_nothing_is_written() {
    let place = Place::new();
    let record = |readings: &[AirReading]| place.bench().record_air(readings, &now);
    let ahead = record(&[reading(-1.0, 20.0), reading(2.1, 20.0)]);
    assert!(matches!(
        ahead,
        Err((
            RecordError::Refused(PanelRefusal::Order(OrderRefusal::TooFarAhead { .. })),
            AirRecorded { written: 0, already_known: 0 }
        ))
    ));
    assert_eq!(place.lines(), 0);
    assert_eq!(record(&[reading(2.0, 20.0)]).unwrap().written, 1);
    // Where the clock was put back, what holds is the time of the last line.
    assert_eq!(
        place.bench().record_air(&[reading(1.0, 20.0)], &|| now().earlier_by(Span::from_h(9.0))).unwrap().written,
        1
    );
}

#[test]
fn a_batch_is_one_write_and_no_act_reads_twice_what_stands_there() {
    let place = Place::new();
    let mut window = place.bench();
    place.within(40, || window.record_air(&many(1500), &now).unwrap());
    assert_eq!((place.lines(), window.load_air().readings().len()), (1500, 1500));
    // A journal of a few hundred kilobytes takes more calls than these to be read from its beginning.
    let act = PanelAct::done_as_planned();
    place.within(4, || window.air_for_act(&act));
    place.bench().record_air(&[reading(-0.5, 30.0)], &now).unwrap();
    place.within(4, || window.preload_air(&act));
    assert_eq!(window.load_air().reading_as_of(at(-0.1)).map(|r| r.temp.c()), Some(30.0));
    // A journal that was taken away, and made anew, is read anew.
    place.disk.put(&place.shelf.air_path(), b"");
    assert_eq!(window.load_air().readings().len(), 0);
    assert_eq!(window.record_air(&many(3), &now).unwrap().written, 3);
    assert_eq!(window.load_air().readings().len(), 3);
}

#[test]
fn what_another_window_records_while_a_batch_is_made_ready_is_not_overtaken() {
    let place = Place::new();
    let mut window = place.bench();
    window.record_air(&[reading(-30.0, 20.0)], &now).unwrap();
    // The clock is asked while the batch is made ready, and that is when the other window records.
    let asked = std::cell::Cell::new(0);
    let meanwhile = || {
        asked.set(asked.get() + 1);
        if asked.get() == 2 {
            place.bench().record_air(&[reading(-20.0, 25.0)], &now).unwrap();
        }
        now()
    };
    let taken = window.record_air(&[reading(-20.0, 25.0), reading(-10.0, 20.0)], &meanwhile).unwrap();
    assert_eq!((taken.written, taken.already_known, asked.get(), place.lines()), (1, 1, 3, 3));
    assert_eq!(place.bench().load_air(), window.load_air());
}

#[test]
fn batches_before_the_one_that_failed_are_told() {
    let all = many(50);
    let mut parts = std::collections::BTreeSet::new();
    // Twenty at a time: whichever call fails, what is told stands there, and the rest can follow.
    for fail_at in 0.. {
        let place = Place::new();
        place.fuse.set(Some(Plan { fail_at, bytes: 500, for_good: false, error: ErrorKind::StorageFull }));
        let told = match place.bench().record_air_in_batches(20, &all, &now) {
            Ok(taken) => taken.written,
            Err((_, taken)) => taken.written,
        };
        let blown = place.fuse.blown();
        place.fuse.set(None);
        parts.insert(told);
        assert_eq!(place.lines(), told, "{fail_at}");
        let rest = place.bench().record_air(&all, &now).unwrap();
        assert_eq!((rest.written, rest.already_known), (all.len() - told, told), "{fail_at}");
        let (journal, entries) =
            Journal::<AirEvent>::open(Arc::clone(place.shelf.storage()), &place.shelf.air_path()).unwrap();
        assert_eq!((journal.damage().map(|d| d.kind), entries.len()), (None::<DamageKind>, all.len()));
        if !blown {
            break;
        }
    }
    assert_eq!(parts.into_iter().collect::<Vec<_>>(), [0, 1, 20, 40, 50]);
}
