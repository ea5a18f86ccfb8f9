//! A disk fails, loses its power, flips a bit: what was acknowledged is there, and what is not whole is told.

use super::faults::{Fuse, FusedDisk, Loss, MemoryDisk, Plan};
use super::storage::{FsStorage, Storage};
use super::verify::{mend, verify};
use super::*;
use crate::craft::materials::{Filler, Support};
use crate::craft::recipe::*;
use crate::units::*;
use crate::work::panel::event::*;
use crate::work::story::CommonEvent;
use proptest::prelude::*;
use std::collections::BTreeSet;

mod copies;
mod damage;
mod disks;
mod lines;
mod mess;

const FILE: &str = "/shelf/panels/blue-tit.jsonl";

fn file() -> &'static Path {
    Path::new(FILE)
}

/// A lock of some directory; the memory disk needs none, and `append` wants to see one.
fn lock() -> (tempfile::TempDir, Lock) {
    let dir = tempfile::tempdir().unwrap();
    let lock = Lock::acquire(&dir.path().join("lock")).unwrap();
    (dir, lock)
}

fn recipe() -> Recipe {
    let part = |filler| FillerPart { filler, amount: FillerAmount::LooseMl(100.0) };
    Recipe {
        format: RECIPE_FORMAT,
        name: "gypsum-zinc".to_owned(),
        title: "Gypsum and zinc white, blade finish".to_owned(),
        suits: vec![Paint::Oil],
        source: "common practice, no source".to_owned(),
        cautions: vec!["zinc-with-oil".to_owned()],
        size: SizeCoats::default(),
        cloth: None,
        gesso: Gesso {
            fillers: vec![part(Filler::Gypsum), part(Filler::ZincWhite)],
            loss_ml: 15.0,
            ..Gesso::default()
        },
        stipple: Stipple::default(),
        coats: Coats::default(),
        scrape: Some(Scrape::default()),
        check: Some(Check::default()),
        rest: Rest::default(),
        seal: Seal { resin_g_per_l_spirit: Some(120.0), ..Seal::default() },
        sand: Some(Sand { grit: "P400".to_owned() }),
        minutes: Minutes::default(),
    }
}

fn opened() -> PanelEvent {
    PanelEvent::Opened(Box::new(PanelOpened {
        sheet: None,
        id: Id::new("blue-tit").unwrap(),
        label: "Blue tit".to_owned(),
        size: Size {
            width: Length::from_mm(300.0),
            height: Length::from_mm(400.0),
            thickness: Some(Length::from_mm(12.7)),
        },
        support: Support::BirchPlywood,
        grain: Grain::Height,
        paint: Paint::Oil,
        recipe: Arc::new(recipe()),
        group: None,
        is_witness: false,
        trial: None,
    }))
}

fn stage(kind: StageKind, number: u32, direction: Direction) -> Option<Stage> {
    Some(Stage { kind, face: Some(Face::Front), number: Some(number), total: Some(6), direction: Some(direction) })
}

/// One of each fact there is, with what is awkward to write in its texts and numbers.
fn events() -> Vec<PanelEvent> {
    let done = StageDone {
        stage: stage(StageKind::Coat, 3, Direction::Horizontal),
        direction: Some(Direction::Vertical),
        pot: Id::new("gesso-2"),
        by: None,
        map: CheckMap::parse("000/012/000"),
        wait: Some(Wait { span: Span::from_ms(1_234_567), origin: WaitOrigin::RecipeAir }),
        air_factor: None,
    };
    let text = "a \"quoted\" word,\n\",\"crc\":\"00000000\"}\n{\"v\":1, \u{202e}back\0\u{7f} 🐦 \\".to_owned();
    vec![
        opened(),
        PanelEvent::Started { stage: stage(StageKind::Size, 1, Direction::Vertical) },
        PanelEvent::Done(Box::new(done)),
        PanelEvent::Done(Box::default()),
        PanelEvent::Dull,
        PanelEvent::Common(CommonEvent::Noted { text }),
        PanelEvent::Common(CommonEvent::Weighed { mass: Mass::from_g(0.1 + 0.2), offcut: None }),
        PanelEvent::Extra { face: None },
        PanelEvent::Repeated { why: Flaw::Lumpy },
        PanelEvent::Skipped { stage: None, why: "it was sealed".to_owned() },
        PanelEvent::Away,
        PanelEvent::Back,
        PanelEvent::Common(CommonEvent::Undone { takes_back: 5 }),
        PanelEvent::Common(CommonEvent::Alert { call: PanelCall::LookDull, fact_seq: 2 }),
        PanelEvent::Common(CommonEvent::ClockStepped { by: Span::from_ms(-7_200_000) }),
        PanelEvent::Common(CommonEvent::Slept { span: Span::from_ms(60_001) }),
        PanelEvent::Started { stage: None },
        PanelEvent::Abandoned { why: String::new() },
    ]
}

fn entry(seq: u64, event: PanelEvent) -> Entry<PanelEvent> {
    let ms = 1_790_000_000_123 + i64::try_from(seq).unwrap() * 60_000;
    let boot = BootMark { boot_id: 0x0123_4567_89ab_cdef_0123_4567_89ab_cdef, ms: ms / 1000 };
    Entry {
        seq,
        at: Stamp::from_ms(ms - 240_000),
        written: Moment {
            wall: Stamp::from_ms(ms),
            boot: (!seq.is_multiple_of(3)).then_some(boot),
            offset_min: 120,
            raw_wall: None,
        },
        raw_wall: seq.is_multiple_of(5).then_some(Stamp::from_ms(12_000)),
        replaces: None,
        event,
    }
}

fn story() -> Vec<Entry<PanelEvent>> {
    (0..).zip(events()).map(|(seq, event)| entry(seq, event)).collect()
}

/// A story of three lines, for loops over every byte.
fn tiny() -> Vec<Entry<PanelEvent>> {
    vec![
        entry(0, opened()),
        entry(1, PanelEvent::Dull),
        entry(2, PanelEvent::Common(CommonEvent::Undone { takes_back: 1 })),
    ]
}

/// A short story, for loops over every call.
fn short() -> Vec<Entry<PanelEvent>> {
    let pick = [0usize, 2, 4, 5];
    (0..).zip(pick).map(|(seq, i)| entry(seq, events()[i].clone())).collect()
}

/// The same story as a journal numbers it that keeps a copy of its opening behind it.
fn behind_copy(story: &[Entry<PanelEvent>]) -> Vec<Entry<PanelEvent>> {
    story.iter().cloned().map(|e| Entry { seq: if e.seq == 0 { 0 } else { e.seq + 1 }, ..e }).collect()
}

/// The bytes of such a journal.
fn bytes_with_copy(story: &[Entry<PanelEvent>]) -> Vec<u8> {
    let (_dir, lock) = lock();
    let disk = MemoryDisk::default();
    let mut journal = Journal::create(Arc::new(disk.clone()), file(), &lock, &story[0]).unwrap();
    journal.append_batch(&lock, &behind_copy(story)[1..]).unwrap();
    disk.bytes(file()).unwrap()
}

fn bytes_of(story: &[Entry<PanelEvent>]) -> Vec<u8> {
    let mut prev = 0;
    let mut bytes = Vec::new();
    for entry in story {
        let line = line::format_line(entry, prev, "0.1.0").unwrap();
        prev = line::verify_crc(&line).unwrap().1;
        bytes.extend_from_slice(&line);
        bytes.push(b'\n');
    }
    bytes
}

fn lines_of(bytes: &[u8]) -> Vec<Vec<u8>> {
    bytes.split_inclusive(|b| *b == b'\n').map(<[u8]>::to_vec).collect()
}

type Opening = (Journal<PanelEvent>, Vec<Entry<PanelEvent>>);

fn open_on(disk: &MemoryDisk) -> Opening {
    Journal::open(Arc::new(disk.clone()), file()).unwrap()
}

fn open(bytes: &[u8]) -> (MemoryDisk, Opening) {
    let disk = MemoryDisk::default();
    disk.put(file(), bytes);
    let opening = open_on(&disk);
    (disk, opening)
}

fn where_and_what(damage: Option<&Damage>) -> Option<(u64, u64, DamageKind)> {
    damage.map(|d| (d.line, d.byte, d.kind))
}

/// The times of a line as a hand might write them.
const TIMES: &str = r#""at":"2026-10-02T12:00:00.000Z","written_at":"2026-10-02T12:00:00.000Z","offset_min":0"#;

/// Runs `run` with the n-th call failing, for every n until none fails.
fn each_call(mut run: impl FnMut(Plan) -> bool) {
    for bytes in [0, 1, 100, usize::MAX] {
        for for_good in [false, true] {
            for fail_at in 0.. {
                assert!(fail_at < 2000, "it never ends");
                let plan = Plan { fail_at, bytes, for_good, error: io::ErrorKind::StorageFull };
                if !run(plan) {
                    assert!(fail_at > 10, "hardly any call was counted");
                    break;
                }
            }
        }
    }
}
