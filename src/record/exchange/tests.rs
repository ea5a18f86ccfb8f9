//! Two shelves brought together: by hand, in random splits, interrupted at every step; and packs that are not what they were.

use super::bring::bring;
use super::fate::StoryFate;
use super::pack::{Pack, SUMS_FILE, TOP_DIR};
use super::report::BringReport;
use super::unpack::{PackError, unpack};
use crate::bench::{Bench, PanelOpening, PotOpening, RecordRequest};
use crate::craft::materials::Support;
use crate::craft::recipe::{Paint, shipped};
use crate::record::files::Lock;
use crate::record::journal::faults::{Fuse, FusedDisk, Plan};
use crate::record::journal::storage::FsStorage;
use crate::record::shelf::{Drawer, Shelf};
use crate::units::{Humidity, Id, Length, Moment, Size, Span, Stamp, Temperature};
use crate::work::air::AirReading;
use crate::work::panel::act::PanelAct;
use crate::work::panel::correction::PanelCorrection;
use crate::work::pot::event::PotKind;
use proptest::prelude::*;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::sync::Arc;
use tempfile::TempDir;

/// A laptop: a shelf and its clock, which ticks alike on all of them and never shows the same minute twice.
struct Laptop {
    dir: TempDir,
    minute: std::cell::Cell<i64>,
}

fn id(text: &str) -> Id {
    Id::new(text).unwrap()
}

fn stamp(minute: i64) -> Stamp {
    Stamp::from_ms(1_800_000_000_000) + Span::from_s(60 * minute)
}

const LATE: i64 = 1_000_000;

impl Laptop {
    fn new(minute: i64) -> Laptop {
        Laptop { dir: tempfile::tempdir().unwrap(), minute: minute.into() }
    }
    fn shelf(&self) -> Shelf {
        Shelf::open(self.dir.path())
    }
    fn bench(&self) -> Bench {
        Bench::new(self.shelf())
    }
    fn now(&self) -> impl Fn() -> Moment + '_ {
        || {
            self.minute.set(self.minute.get() + 2);
            Moment::from_wall(stamp(self.minute.get()))
        }
    }
    /// The same shelf on another laptop, whose minutes are odd.
    fn copied(&self) -> Laptop {
        let other = Laptop::new(self.minute.get() + 1);
        for (name, bytes) in self.files() {
            let path = other.dir.path().join(name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, bytes).unwrap();
        }
        other
    }
    fn files(&self) -> BTreeMap<String, Vec<u8>> {
        files_under(self.dir.path())
    }
    fn open(&self, label: &str) -> Id {
        let opening = PanelOpening {
            sheet: None,
            label: label.into(),
            size: Size { width: Length::from_mm(300.0), height: Length::from_mm(400.0), thickness: None },
            support: Support::BirchPlywood,
            grain: None,
            paint: Paint::Oil,
            recipe: Arc::new(shipped::find_shipped_recipe("gypsum-zinc").unwrap()),
            count: 1,
            at: None,
            witness: false,
        };
        self.bench().open_panels(&opening, &self.now()).unwrap()[0].id.clone()
    }
    fn open_pot(&self, label: &str, kind: PotKind, parent: Option<Id>) -> Id {
        let opening = PotOpening {
            filler_lot: None,
            label: label.into(),
            kind,
            parent,
            recipe: Arc::new(shipped::find_shipped_recipe("gypsum-zinc").unwrap()),
            size_ml: None,
            lot: None,
            for_group: None,
            at: None,
        };
        self.bench().open_pot(&opening, &self.now()).unwrap().id
    }
    fn act(&self, panel: &Id, act: PanelAct) {
        // What cannot be is no matter here.
        let _ = self.bench().record(panel, &RecordRequest::from_act(act), &self.now());
    }
    fn note(&self, panel: &Id, text: &str) {
        self.act(panel, PanelAct::Note(text.into()));
    }
    fn done(&self, panel: &Id, pot: Option<Id>) {
        self.act(panel, PanelAct::Done { direction: None, pot, map: None, by: None });
    }
    fn air(&self, c: f64) {
        let now = self.now()();
        let reading = AirReading::new(now.wall, Temperature::from_c(c), Humidity::from_pct(50.0)).unwrap();
        self.bench().record_air(&[reading], &|| now).unwrap();
    }
    fn bring(&self, other: &Laptop) -> BringReport {
        let lock = self.shelf().lock().unwrap();
        let report = bring(&self.shelf(), &other.shelf(), Some(&lock), stamp(LATE)).unwrap();
        drop(lock);
        self.minute.set(self.minute.get().max(LATE));
        report
    }
    fn assert_sound(&self) {
        let shelf = self.shelf();
        for path in shelf.journal_paths().unwrap() {
            let report = shelf.verify(&path).unwrap();
            assert!(report.damages.is_empty(), "{report:?}");
        }
    }
    fn story_bytes(&self, drawer: Drawer, id: &Id) -> Vec<u8> {
        fs::read(self.shelf().story_path(drawer, id)).unwrap()
    }
    fn first_line(&self, drawer: Drawer, id: &Id) -> Option<Vec<u8>> {
        self.shelf().read_first_line(&self.shelf().story_path(drawer, id)).ok()
    }
}

fn files_under(dir: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    for part in ["panels", "pots", "photos", "trials"] {
        for entry in fs::read_dir(dir.join(part)).into_iter().flatten() {
            let path = entry.unwrap().path();
            let name = format!("{part}/{}", path.file_name().unwrap().to_str().unwrap());
            files.insert(name, fs::read(path).unwrap());
        }
    }
    for name in ["air.jsonl", "plan.jsonl", "stock.jsonl"] {
        if let Ok(bytes) = fs::read(dir.join(name)) {
            files.insert(name.to_owned(), bytes);
        }
    }
    files
}

fn fate(report: &BringReport, id: &str) -> (StoryFate, String) {
    let story = report.stories.iter().find(|s| s.id.as_str() == id && s.drawer == Drawer::Panels).unwrap();
    (story.fate.clone(), story.new_id.to_string())
}

/// A base with Wren and Robin, copied; then each side goes on by itself.
fn two_laptops() -> (Laptop, Laptop) {
    let home = Laptop::new(0);
    for label in ["Wren", "Robin", "Siskin"] {
        home.open(label);
    }
    home.air(20.0);
    let away = home.copied();
    // Robin only away, Siskin on both sides; a Dunnock and a pot on each side, which are other things.
    away.note(&id("robin"), "away");
    home.note(&id("siskin"), "home");
    away.note(&id("siskin"), "away");
    for laptop in [&home, &away] {
        let pot = laptop.open_pot("Gesso", PotKind::Gesso, None);
        let panel = laptop.open("Dunnock");
        for _ in 0..8 {
            laptop.done(&panel, Some(pot.clone()));
        }
        laptop.air(21.0);
    }
    away.open("Bunting");
    (home, away)
}

#[test]
fn two_laptops_become_one_shelf_and_nothing_is_merged_silently() {
    let (home, away) = two_laptops();
    let before = home.files();
    let report = home.bring(&away);
    for (panel, becomes, named) in [
        ("wren", StoryFate::AlreadyHere, "wren"),
        ("robin", StoryFate::Continued, "robin"),
        ("siskin", StoryFate::Parted, "siskin-2"),
        ("dunnock", StoryFate::Renamed, "dunnock-2"),
        ("bunting", StoryFate::New, "bunting"),
    ] {
        assert_eq!(fate(&report, panel), (becomes, named.to_owned()), "{panel}");
    }
    assert_eq!(report.air, 1);
    home.assert_sound();
    // Bytes as they were there; what is renamed has one line more.
    for (ours, theirs) in [("robin", "robin"), ("bunting", "bunting"), ("siskin-2", "siskin"), ("dunnock-2", "dunnock")]
    {
        let (ours, theirs) =
            (home.story_bytes(Drawer::Panels, &id(ours)), away.story_bytes(Drawer::Panels, &id(theirs)));
        assert!(ours.starts_with(&theirs));
    }
    for name in ["panels/wren.jsonl", "panels/siskin.jsonl", "panels/dunnock.jsonl", "pots/gesso.jsonl"] {
        assert_eq!(home.files()[name], before[name], "{name}");
    }
    // A coat of the board brought is from the jar brought.
    let story = home.bench().load(&id("dunnock-2")).unwrap().story.unwrap();
    assert_eq!(story.panel().opened().id, id("dunnock-2"));
    assert_eq!(story.panel().pot_ids(), [&id("gesso-2")]);
    // And once more changes nothing.
    let after = home.files();
    let again = home.bring(&away);
    assert_eq!(home.files(), after);
    assert!(again.stories.iter().all(|s| s.fate == StoryFate::AlreadyHere), "{again:?}");
    assert_eq!(again.air, 0);
}

#[test]
fn what_was_brought_and_renamed_is_continued_when_the_other_side_went_on() {
    let (home, away) = two_laptops();
    home.bring(&away);
    away.note(&id("dunnock"), "later");
    let report = home.bring(&away);
    assert_eq!(fate(&report, "dunnock"), (StoryFate::Continued, "dunnock-2".to_owned()));
    home.assert_sound();
    let story = home.bench().load(&id("dunnock-2")).unwrap().story.unwrap();
    assert_eq!(story.panel().pot_ids(), [&id("gesso-2")]);
    // What is recorded here of the renamed board goes back under its name there.
    home.note(&id("dunnock-2"), "here");
    assert_eq!(fate(&away.bring(&home), "dunnock-2"), (StoryFate::Continued, "dunnock".to_owned()));
    away.assert_sound();
    let back = away.bench().load(&id("dunnock")).unwrap().story.unwrap();
    assert_eq!((&back.panel().opened().id, back.panel().pot_ids()), (&id("dunnock"), vec![&id("gesso")]));
}

#[test]
fn a_dry_run_tells_the_same_and_writes_nothing() {
    let (home, away) = two_laptops();
    let before = home.files();
    let told = bring(&home.shelf(), &away.shelf(), None, stamp(LATE)).unwrap();
    assert_eq!(home.files(), before);
    assert_eq!(told, home.bring(&away));
}

#[test]
fn what_is_damaged_there_is_left_out_and_what_is_damaged_here_is_not_written_over() {
    let (home, away) = two_laptops();
    let spoil = |laptop: &Laptop, panel: &str| {
        let path = laptop.shelf().story_path(Drawer::Panels, &id(panel));
        let mut bytes = fs::read(&path).unwrap();
        let at = bytes.len() - 40;
        bytes[at] ^= 1;
        fs::write(path, bytes).unwrap();
    };
    spoil(&away, "bunting");
    spoil(&home, "robin");
    let before = home.files();
    let report = home.bring(&away);
    for panel in ["bunting", "robin"] {
        assert!(matches!(fate(&report, panel).0, StoryFate::LeftOut { is_damaged: true, .. }), "{panel}");
    }
    assert_eq!(home.files()["panels/robin.jsonl"], before["panels/robin.jsonl"]);
    assert!(!home.files().contains_key("panels/bunting.jsonl"));
}

#[test]
fn photographs_and_trials_come_along_and_plans_do_not() {
    let (home, away) = two_laptops();
    let sum = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
    fs::create_dir_all(away.dir.path().join("photos")).unwrap();
    fs::write(away.dir.path().join(format!("photos/{sum}.jpg")), "abc").unwrap();
    fs::write(away.dir.path().join(format!("photos/{}.jpg", sum.replace('b', "c"))), "abc").unwrap();
    fs::write(away.dir.path().join("plan.jsonl"), "{}\n").unwrap();
    let report = home.bring(&away);
    assert_eq!((report.photos, report.left_out.len()), (1, 1), "{report:?}");
    assert_eq!(report.not_merged, ["plan.jsonl"]);
    assert_eq!(home.files()[&format!("photos/{sum}.jpg")], b"abc");
    assert!(!home.files().contains_key("plan.jsonl"));
}

/// Fails at the n-th call of the disk, for every n there is: nothing is lost or half written, and what is run again ends as
/// if it had never been interrupted.
#[test]
fn interrupted_at_every_step_it_can_be_run_again() {
    let (home, away) = two_laptops();
    let whole = {
        let laptop = home.copied();
        laptop.bring(&away);
        laptop.files()
    };
    let mut interrupted = 0;
    for n in 0.. {
        let laptop = home.copied();
        let before = laptop.files();
        let fuse = Arc::new(Fuse::default());
        let disk = Arc::new(FusedDisk { disk: Arc::new(FsStorage), fuse: Arc::clone(&fuse) });
        let shelf = Shelf::with_storage(disk, laptop.dir.path());
        fuse.set(Some(Plan { fail_at: n, bytes: 7, for_good: true, error: std::io::ErrorKind::StorageFull }));
        let lock = shelf.lock().unwrap();
        let outcome = bring(&shelf, &away.shelf(), Some(&lock), stamp(LATE));
        drop::<Lock>(lock);
        if !fuse.blown() {
            assert!(outcome.is_ok());
            break;
        }
        interrupted += 1;
        for (name, bytes) in &before {
            assert!(laptop.files()[name].starts_with(bytes), "call {n}: {name}");
        }
        laptop.bring(&away);
        assert_eq!(laptop.files(), whole, "call {n}");
    }
    assert!(interrupted > 40, "{interrupted}");
}

/// One thing that is done on a laptop.
fn step(laptop: &Laptop, op: u8, pick: u8) {
    let panels = laptop.shelf().panel_ids().unwrap();
    let pots = laptop.shelf().ids(Drawer::Pots).unwrap();
    let panel = panels.get(usize::from(pick) % panels.len().max(1));
    let pot = pots.get(usize::from(pick / 4) % pots.len().max(1)).cloned();
    match (op, panel) {
        (0, _) => _ = laptop.open(["Wren", "Robin"][usize::from(pick % 2)]),
        (1, _) => _ = laptop.open_pot("Jar", [PotKind::Size, PotKind::Gesso][usize::from(pick % 2)], None),
        (2, Some(panel)) => laptop.note(panel, "a note"),
        (3 | 4, Some(panel)) => laptop.done(panel, pot),
        (5, Some(panel)) => laptop.act(panel, PanelAct::Undo { seen: None }),
        (6, Some(panel)) => {
            let label = Some(format!("Wren {pick}"));
            laptop.act(panel, PanelAct::Correct(Box::new(PanelCorrection { label, ..PanelCorrection::default() })));
        }
        (_, _) => laptop.air(f64::from(pick % 30)),
    }
}

/// The lines of every story without filings at its end, by drawer and first line.
fn own_lines(laptop: &Laptop) -> Vec<(Drawer, Id, Vec<Vec<u8>>)> {
    let mut all = Vec::new();
    for drawer in [Drawer::Panels, Drawer::Pots] {
        for id in laptop.shelf().ids(drawer).unwrap() {
            let bytes = laptop.story_bytes(drawer, &id);
            let is_filing = |line: &&[u8]| line.windows(14).any(|w| w == b"\"fact\":\"filed\"");
            let mut lines: Vec<&[u8]> = bytes.split_inclusive(|b| *b == b'\n').collect();
            while lines.last().is_some_and(is_filing) {
                lines.pop();
            }
            all.push((drawer, id, lines.into_iter().map(<[u8]>::to_vec).collect()));
        }
    }
    all
}

/// From which pot each standing coat is, as the first line of that pot.
fn coat_origins(laptop: &Laptop, panel: &Id) -> Vec<Option<Vec<u8>>> {
    let story = laptop.bench().load(panel).unwrap().story.unwrap();
    let pots = story.panel().steps().iter().filter_map(|s| s.laid_coat()?.event.pot.clone());
    pots.map(|pot| laptop.first_line(Drawer::Pots, &pot)).collect()
}

fn assert_brought(home: &Laptop, away: &Laptop, before: &[(Drawer, Id, Vec<Vec<u8>>)]) {
    let after = own_lines(home);
    for (drawer, id, lines) in before {
        let now = after.iter().find(|(d, i, _)| (d, i) == (drawer, id)).unwrap();
        assert!(now.2.starts_with(lines), "{id} lost something");
    }
    for (drawer, id, lines) in own_lines(away) {
        let holders: Vec<&Id> =
            after.iter().filter(|(d, _, l)| *d == drawer && l.starts_with(&lines)).map(|(_, i, _)| i).collect();
        assert!(!holders.is_empty(), "{id} of the other shelf is not here");
        if drawer == Drawer::Panels {
            let origins = coat_origins(away, &id);
            let same = holders.iter().any(|holder| {
                coat_origins(home, holder).starts_with(&origins) || {
                    // What went on here since may have put other coats in.
                    coat_origins(home, holder).len() != origins.len()
                }
            });
            assert!(same, "{id}: its coats are from other jars here");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// Whatever two laptops did before and since they were one: everything of both is on the shelf, every journal is sound,
    /// every coat is from the jar it was from, and once more changes nothing; in both directions, and again after more work.
    #[test]
    fn random_splits_lose_nothing(
        together in prop::collection::vec((0u8..8, any::<u8>()), 0..8),
        apart in prop::collection::vec((any::<bool>(), 0u8..8, any::<u8>()), 0..16),
        later in prop::collection::vec((any::<bool>(), 0u8..8, any::<u8>()), 0..8),
    ) {
        let home = Laptop::new(0);
        together.iter().for_each(|(op, pick)| step(&home, *op, *pick));
        let away = home.copied();
        for round in [&apart, &later] {
            round.iter().for_each(|(at_home, op, pick)| step(if *at_home { &home } else { &away }, *op, *pick));
            for (to, from) in [(&home, &away), (&away, &home)] {
                let before = own_lines(to);
                to.bring(from);
                to.assert_sound();
                assert_brought(to, from, &before);
                let files = to.files();
                let again = to.bring(from);
                prop_assert!(again.stories.iter().all(|s| s.fate == StoryFate::AlreadyHere), "{:?}", again);
                prop_assert_eq!(&to.files(), &files);
            }
            // The clocks of both stay apart.
            away.minute.set(home.minute.get().max(away.minute.get()) | 1);
            home.minute.set((away.minute.get() + 1) & !1);
        }
    }
}

fn packed(laptop: &Laptop) -> Vec<u8> {
    let explained = vec![("README.txt".to_owned(), b"what this is".to_vec())];
    let mut bytes = Vec::new();
    Pack::of_shelf(&laptop.shelf(), explained).unwrap().write(&mut bytes).unwrap();
    bytes
}

fn unpacked(bytes: &[u8]) -> Result<(TempDir, super::unpack::Unpacked), PackError> {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("pack.tar");
    fs::write(&file, bytes).unwrap();
    fs::create_dir(dir.path().join("out")).unwrap();
    let unpacked = unpack(&file, &dir.path().join("out"))?;
    Ok((dir, unpacked))
}

#[test]
fn a_pack_is_the_same_bytes_each_time_and_gives_the_shelf_back() {
    let (home, away) = two_laptops();
    let pack = packed(&away);
    assert_eq!(pack, packed(&away));
    let (_dir, opened) = unpacked(&pack).unwrap();
    assert_eq!(opened.files_checked, Some(away.files().len() + 1));
    assert_eq!(files_under(&opened.shelf_dir), away.files());
    let lock = home.shelf().lock().unwrap();
    bring(&home.shelf(), &Shelf::open(&opened.shelf_dir), Some(&lock), stamp(LATE)).unwrap();
    drop(lock);
    home.assert_sound();
    assert!(home.files().contains_key("panels/dunnock-2.jsonl"));
}

/// Whatever byte changes, and wherever it is cut off: the pack is refused, or gives the same shelf.
#[test]
fn a_pack_that_is_not_what_it_was_is_refused() {
    let away = Laptop::new(0);
    away.open("Wren");
    let pack = packed(&away);
    let files = away.files();
    let same = |bytes: &[u8]| unpacked(bytes).map(|(_dir, opened)| files_under(&opened.shelf_dir) == files);
    for at in (0..pack.len()).step_by(97) {
        let mut other = pack.clone();
        other[at] ^= 0x10;
        assert!(same(&other).is_ok_and(|same| same) || same(&other).is_err(), "byte {at}");
        // What is cut off behind the sums is filling.
        assert!(same(&pack[..at]).unwrap_or(true), "cut at {at}");
    }
    assert!(same(&pack[..pack.len() / 2]).is_err());
    let text = String::from_utf8_lossy(&pack).find("\"label\":\"Wren\"").unwrap();
    let mut other = pack.clone();
    other[text + 9] = b'V';
    assert!(matches!(unpacked(&other), Err(PackError::WrongSums { .. })));
}

#[test]
fn nothing_in_a_pack_leads_out_of_it() {
    let tar_of = |kind: tar::EntryType, name: &str, link: Option<&str>| {
        let mut tar = tar::Builder::new(Vec::new());
        let mut header = tar::Header::new_gnu();
        header.set_entry_type(kind);
        header.set_size(0);
        // The name is put down as it is: the library itself refuses to write such ones.
        header.as_old_mut().name[..name.len()].copy_from_slice(name.as_bytes());
        if let Some(link) = link {
            header.set_link_name(link).unwrap();
        }
        header.set_cksum();
        tar.append(&header, &b""[..]).unwrap();
        tar.into_inner().unwrap()
    };
    for (kind, name, link) in [
        (tar::EntryType::Regular, "../out.jsonl", None),
        (tar::EntryType::Regular, "/tmp/out.jsonl", None),
        (tar::EntryType::Regular, "panels/../../out.jsonl", None),
        (tar::EntryType::Symlink, "panels", Some("/tmp")),
        (tar::EntryType::Link, "panels/wren.jsonl", Some("/etc/passwd")),
        (tar::EntryType::Fifo, "panels/wren.jsonl", None),
    ] {
        let refused = unpacked(&tar_of(kind, name, link)).map(|(_, opened)| opened);
        assert!(matches!(refused, Err(PackError::Unsafe { .. })), "{name}: {refused:?}");
    }
    assert!(matches!(unpacked(b"no tar at all, and rather short"), Err(PackError::Unreadable(_)) | Ok(_)));
    assert_eq!((TOP_DIR, SUMS_FILE), ("sottile-shelf", "SHA256SUMS"));
}
