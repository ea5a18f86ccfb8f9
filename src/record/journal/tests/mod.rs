//! A disk fails, loses its power, flips a bit: what was acknowledged is there, and what is not whole is told.

use super::faults::{Fuse, FusedDisk, Loss, MemoryDisk, Plan};
use super::storage::{Disk, RealDisk};
use super::verify::{mend, verify};
use super::*;
use crate::craft::materials::{Filler, Support};
use crate::craft::recipe::*;
use crate::units::*;
use crate::work::panel::event::*;
use proptest::prelude::*;
use std::collections::BTreeSet;

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
    let lock = Lock::take(&dir.path().join("lock")).unwrap();
    (dir, lock)
}

fn recipe() -> Recipe {
    let part = |filler| FillerPart { filler, amount: Amount::LooseMl(100.0) };
    Recipe {
        format: FORMAT,
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

fn opened() -> Event {
    Event::Opened(Box::new(Opened {
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
    }))
}

fn stage(kind: Kind, number: u32, direction: Direction) -> Option<Stage> {
    Some(Stage { kind, face: Some(Face::Front), number: Some(number), of: Some(6), direction: Some(direction) })
}

/// One of each fact there is, with what is awkward to write in its texts and numbers.
fn events() -> Vec<Event> {
    let done = Done {
        stage: stage(Kind::Coat, 3, Direction::Horizontal),
        direction: Some(Direction::Vertical),
        pot: Id::new("gesso-2"),
        map: CheckMap::parse("000/012/000"),
        wait: Some(Wait { span: Span::from_ms(1_234_567), from: WaitFrom::RecipeAir }),
    };
    let text = "a \"quoted\" word,\n\",\"crc\":\"00000000\"}\n{\"v\":1, \u{202e}back\0\u{7f} 🐦 \\".to_owned();
    vec![
        opened(),
        Event::Started { stage: stage(Kind::Size, 1, Direction::Vertical) },
        Event::Done(Box::new(done)),
        Event::Done(Box::default()),
        Event::Dull,
        Event::Noted { text },
        Event::Weighed { mass: Mass::from_g(0.1 + 0.2) },
        Event::Extra,
        Event::Repeated { why: Flaw::Lumpy },
        Event::Skipped { stage: None, why: "it was sealed".to_owned() },
        Event::Away,
        Event::Back,
        Event::Undone { takes_back: 5 },
        Event::Alert { call: Call::LookDull, of: 2 },
        Event::ClockStepped { by: Span::from_ms(-7_200_000) },
        Event::Slept { span: Span::from_ms(60_001) },
        Event::Started { stage: None },
        Event::Abandoned { why: String::new() },
    ]
}

fn entry(seq: u64, event: Event) -> Entry<Event> {
    let ms = 1_790_000_000_123 + i64::try_from(seq).unwrap() * 60_000;
    let boot = BootMark { boot: 0x0123_4567_89ab_cdef_0123_4567_89ab_cdef, ms: ms / 1000 };
    Entry {
        seq,
        at: Stamp::from_ms(ms - 240_000),
        written: Moment { wall: Stamp::from_ms(ms), boot: (!seq.is_multiple_of(3)).then_some(boot), offset_min: 120 },
        raw_wall: seq.is_multiple_of(5).then_some(Stamp::from_ms(12_000)),
        event,
    }
}

fn story() -> Vec<Entry<Event>> {
    (0..).zip(events()).map(|(seq, event)| entry(seq, event)).collect()
}

/// A story of three lines, for loops over every byte.
fn tiny() -> Vec<Entry<Event>> {
    vec![entry(0, opened()), entry(1, Event::Dull), entry(2, Event::Undone { takes_back: 1 })]
}

/// A short story, for loops over every call.
fn short() -> Vec<Entry<Event>> {
    let pick = [0usize, 2, 4, 5];
    (0..).zip(pick).map(|(seq, i)| entry(seq, events()[i].clone())).collect()
}

fn bytes_of(story: &[Entry<Event>]) -> Vec<u8> {
    let mut prev = 0;
    let mut bytes = Vec::new();
    for entry in story {
        let line = line::write(entry, prev, "0.1.0").unwrap();
        prev = line::checked(&line).unwrap().1;
        bytes.extend_from_slice(&line);
        bytes.push(b'\n');
    }
    bytes
}

fn lines_of(bytes: &[u8]) -> Vec<Vec<u8>> {
    bytes.split_inclusive(|b| *b == b'\n').map(<[u8]>::to_vec).collect()
}

type Opening = (Journal<Event>, Vec<Entry<Event>>);

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
