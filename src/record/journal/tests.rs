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

// Lines

#[test]
fn every_fact_reads_back_as_it_was() {
    let (_, (journal, read)) = open(&bytes_of(&story()));
    assert_eq!(journal.damage(), None);
    assert_eq!(read, story());
}

#[test]
fn a_line_is_one_json_object_with_its_members_in_order() {
    for line in lines_of(&bytes_of(&story())) {
        let text = std::str::from_utf8(&line).unwrap();
        assert_eq!(text.matches('\n').count(), 1);
        let value: serde_json::Value = serde_json::from_str(text).unwrap();
        let body = &text[..text.len() - 19];
        assert_eq!(value["crc"], format!("{:08x}", crc32fast::hash(body.as_bytes())));
        let mut from = 0;
        for name in [
            "{\"v\":1,",
            "\"seq\":",
            "\"prev\":\"",
            "\"at\":\"20",
            "\"written_at\":\"20",
            "\"offset_min\":",
            "\"boot\":",
            "\"boot_ms\":",
            "\"fact\":\"",
            "\"crc\":\"",
        ] {
            from += text[from..].find(name).unwrap_or_else(|| panic!("{name} in {text}"));
        }
    }
}

#[test]
fn the_payload_of_a_fact_is_what_stands_on_its_line() {
    let payload = line::payload(&Event::Weighed { mass: Mass::from_g(812.5) });
    assert_eq!(serde_json::Value::from(payload), serde_json::json!({ "mass_g": 812.5 }));
    assert!(line::payload(&Event::Dull).is_empty());
    assert!(line::payload(&Event::Newer { fact: "varnished".to_owned() }).is_empty());
}

#[test]
fn a_check_in_capitals_does_not_pass() {
    let line = line::seal(b"{\"v\":1".to_vec());
    assert!(line::checked(&line).is_some());
    let at = line.len() - 10;
    assert!(line[at..at + 8].iter().any(u8::is_ascii_lowercase), "the sample must have a letter to change");
    let mut capital = line.clone();
    capital[at..at + 8].make_ascii_uppercase();
    assert_eq!(line::checked(&capital), None);
}

#[test]
fn what_would_not_read_back_is_refused() {
    let far = Entry { at: Stamp::from_ms(i64::MAX), ..entry(1, Event::Dull) };
    let late = Entry { at: Stamp::from_ms(300_000_000_000_000), ..entry(1, Event::Dull) };
    let wait = Wait { span: Span::from_ms(9_007_199_254_740_993), from: WaitFrom::Maker };
    let cases = [
        far,
        late,
        entry(1, Event::Done(Box::new(Done { wait: Some(wait), ..Done::default() }))),
        entry(1, Event::Weighed { mass: Mass::from_g(f64::NAN) }),
        entry(1, Event::Newer { fact: "varnished".to_owned() }),
        entry(1, Event::Newer { fact: "done".to_owned() }),
    ];
    let (_dir, lock) = lock();
    for case in cases {
        let (disk, (mut journal, _)) = open(&bytes_of(&story()[..1]));
        let before = disk.bytes(file());
        let found = journal.append(&lock, &case);
        assert!(matches!(found, Err(Failure::Unwritable { .. })), "{case:?}: {found:?}");
        assert_eq!(disk.bytes(file()), before);
    }
    let (_, (mut journal, _)) = open(&bytes_of(&story()[..1]));
    let long = entry(1, Event::Noted { text: "a".repeat(LINE_MAX) });
    assert!(matches!(journal.append(&lock, &long), Err(Failure::TooLong { .. })));
    assert_eq!(journal.append(&lock, &entry(2, Event::Dull)), Err(Failure::OutOfStep { found: 2, expected: 1 }));
    assert_eq!(journal.append(&lock, &entry(1, Event::Dull)), Ok(()));
}

/// A line as a hand might write it, checks and chain right.
fn hand_made(after: &[Entry<Event>], members: &str) -> Vec<u8> {
    let mut bytes = bytes_of(after);
    let last = lines_of(&bytes).pop().unwrap();
    let prev = line::checked(last.strip_suffix(b"\n").unwrap()).unwrap().1;
    let body = format!("{{\"v\":1,\"seq\":{},\"prev\":\"{prev:08x}\",{members}", after.len());
    bytes.extend(line::seal(body.into_bytes()));
    bytes.push(b'\n');
    bytes
}

const TIMES: &str = r#""at":"2026-10-02T12:00:00.000Z","written_at":"2026-10-02T12:00:00.000Z","offset_min":0"#;

#[test]
fn a_fact_that_cannot_be_made_out_is_damage_with_its_place_and_reason() {
    let cases = [
        (r#""fact":"weighed""#, "`mass_g` is missing"),
        (r#""fact":"weighed","mass_g":"much""#, "`mass_g` is not a number"),
        (r#""fact":"repeated","why":"ugly""#, "`why` says \"ugly\", which is not known"),
        (r#""fact":"undone","takes_back":-1"#, "`takes_back` is not a whole number from 0"),
        (r#""fact":"done","wait_min":15.0"#, "`wait_from` is missing"),
        (r#""fact":"done","map":"00/0""#, "`map` says \"00/0\", which is not known"),
        (r#""fact":"started","stage":{"kind":"varnish"}"#, "`kind` says \"varnish\", which is not known"),
        (r#""seen":1"#, "`fact` is missing"),
        (r#""boot":"yes","fact":"dull""#, "`boot` says \"yes\", which is not known"),
    ];
    for (members, said) in cases {
        let before = bytes_of(&short()[..2]).len() as u64;
        let (_, (journal, read)) = open(&hand_made(&short()[..2], &format!("{TIMES},{members}")));
        assert_eq!(read, short()[..2], "{members}");
        let damage = journal.damage().unwrap();
        assert_eq!(where_and_what(Some(damage)), Some((3, before, DamageKind::Corrupt)));
        assert!(damage.said.ends_with(said), "{members}: {}", damage.said);
    }
}

#[test]
fn members_and_facts_of_a_later_day_are_let_be() {
    let (_, (journal, read)) = open(&hand_made(&short()[..1], &format!("{TIMES},\"moon\":[1],\"fact\":\"dull\"")));
    assert_eq!((journal.damage(), &read[1].event), (None, &Event::Dull));

    let (disk, (mut journal, read)) =
        open(&hand_made(&short()[..1], &format!("{TIMES},\"fact\":\"varnished\",\"coats\":2")));
    assert_eq!((journal.damage(), &read[1].event), (None, &Event::Newer { fact: "varnished".to_owned() }));
    let before = disk.bytes(file()).unwrap();
    let (_dir, lock) = lock();
    journal.append(&lock, &entry(2, Event::Dull)).unwrap();
    assert!(disk.bytes(file()).unwrap().starts_with(&before));
}

#[test]
fn a_newer_format_is_read_as_far_as_it_goes_and_not_written_to() {
    for members in [r#""fact":"dull""#, r#""fact":"done","wait_min":"soon""#, r#""fact":"varnished""#] {
        let bytes = hand_made(&short()[..1], &format!("{TIMES},{members}"));
        let text = String::from_utf8(bytes).unwrap();
        let mut lines: Vec<_> = text.lines().collect();
        let newer = lines[1].replacen("{\"v\":1", "{\"v\":2", 1);
        let newer = String::from_utf8(line::seal(newer.as_bytes()[..newer.len() - 18].to_vec())).unwrap();
        lines[1] = &newer;
        let (disk, (mut journal, read)) = open(format!("{}\n", lines.join("\n")).as_bytes());
        assert_eq!(read.len(), 2, "{members}");
        assert_eq!(journal.damage().map(|d| (d.line, d.kind)), Some((2, DamageKind::Newer)));
        let (_dir, lock) = lock();
        let before = disk.bytes(file());
        assert!(matches!(journal.append(&lock, &entry(2, Event::Dull)), Err(Failure::Damaged { .. })));
        assert!(matches!(mend::<Event>(&disk, &lock, file(), Stamp::default()).map(|m| m.aside), Ok(None)));
        assert_eq!(disk.bytes(file()), before);
    }
}

#[test]
fn a_file_under_another_name_is_told_of_and_not_written_to() {
    let disk = MemoryDisk::default();
    let path = Path::new("/shelf/panels/wren.jsonl");
    disk.put(path, &bytes_of(&short()));
    let (mut journal, read) = Journal::<Event>::open(Arc::new(disk.clone()), path).unwrap();
    assert_eq!(read, short());
    assert_eq!(where_and_what(journal.damage()), Some((1, 0, DamageKind::Name)));
    let (_dir, lock) = lock();
    assert!(matches!(journal.append(&lock, &entry(4, Event::Dull)), Err(Failure::Damaged { .. })));
    assert_eq!(verify::<Event>(&disk, path).unwrap().worst(), Some(DamageKind::Name));
}

#[test]
fn a_journal_of_another_kind_is_not_taken_for_a_panel() {
    let text = String::from_utf8(bytes_of(&short()[..1])).unwrap().replace("sottile-panel", "sottile-spoon");
    let line = line::seal(text.as_bytes()[..text.len() - 19].to_vec());
    let (_, (journal, read)) = open(&[line, b"\n".to_vec()].concat());
    assert!(read.is_empty());
    assert_eq!(where_and_what(journal.damage()), Some((1, 0, DamageKind::Corrupt)));
}

#[test]
fn a_journal_kept_since_version_1_reads_as_it_always_did() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/journal-v1/blue-tit.jsonl");
    let (journal, read) = Journal::<Event>::open(Arc::new(RealDisk), &path).unwrap();
    assert_eq!(journal.damage(), None);
    assert_eq!(read, story());
}

// Damage

#[test]
fn cut_at_every_byte_it_keeps_every_whole_line_and_goes_on_from_there() {
    let bytes = bytes_of(&tiny());
    let (_dir, lock) = lock();
    for cut in 0..=bytes.len() {
        let kept = bytes[..cut].to_vec();
        // A line is whole without its end, too.
        let whole = bytes.iter().enumerate().filter(|(i, b)| **b == b'\n' && *i <= cut).count();
        let clean = cut > 0 && kept.ends_with(b"\n");
        let (disk, (mut journal, read)) = open(&kept);
        assert_eq!(read, tiny()[..whole], "cut at {cut}");
        assert_eq!(journal.damage().map(|d| d.kind), (!clean).then_some(DamageKind::Torn), "cut at {cut}");
        let next = entry(whole as u64, if whole == 0 { opened() } else { Event::Dull });
        if whole == 0 {
            assert!(matches!(journal.append(&lock, &next), Err(Failure::NoBeginning { .. })));
            journal = Journal::create(Arc::new(disk.clone()), file(), &lock, &next).unwrap();
        } else {
            journal.append(&lock, &next).unwrap();
        }
        assert_eq!(journal.damage(), None);
        let (again, read) = open_on(&disk);
        assert_eq!(again.damage(), None, "cut at {cut}, then appended");
        assert_eq!(read, [&tiny()[..whole], &[next]].concat());
        assert_eq!(journal.refresh(), Ok(Vec::new()));
    }
}

#[test]
fn every_flipped_bit_is_noticed_where_it_is() {
    let bytes = bytes_of(&tiny());
    let starts: Vec<usize> =
        std::iter::once(0).chain(bytes.iter().enumerate().filter(|(_, b)| **b == b'\n').map(|(i, _)| i + 1)).collect();
    let mut flipped = bytes.clone();
    for at in 0..bytes.len() {
        let line = starts.iter().filter(|s| **s <= at).count() - 1;
        for bit in 0..8 {
            flipped[at] ^= 1 << bit;
            let (_, (journal, read)) = open(&flipped);
            flipped[at] ^= 1 << bit;
            let found = where_and_what(journal.damage());
            let place = (line as u64 + 1, starts[line] as u64);
            if at + 1 == bytes.len() {
                // The last line's end: the line itself is whole and stays.
                assert_eq!(found, Some((place.0, place.1, DamageKind::Torn)), "byte {at} bit {bit}");
                assert_eq!(read, tiny());
            } else {
                assert_eq!(found, Some((place.0, place.1, DamageKind::Corrupt)), "byte {at} bit {bit}");
                assert_eq!(read, tiny()[..line], "byte {at} bit {bit}");
            }
        }
    }
}

#[test]
fn every_other_byte_in_every_place_of_a_line_is_noticed() {
    let lines = lines_of(&bytes_of(&short()));
    let link = Link { seq: 1, prev: line::checked(lines[0].strip_suffix(b"\n").unwrap()).unwrap().1 };
    let mut raw = lines[1].strip_suffix(b"\n").unwrap().to_vec();
    assert!(line::read::<Event>(&raw, link).is_ok());
    for at in 0..raw.len() {
        let right = raw[at];
        for wrong in (0..=255).filter(|b| *b != right) {
            raw[at] = wrong;
            assert!(line::read::<Event>(&raw, link).is_err(), "byte {at} as {wrong}");
        }
        raw[at] = right;
    }
}

/// The third line of a story that differs in the second.
fn of_another() -> Vec<u8> {
    let mut other = story();
    other[1].event = Event::Dull;
    lines_of(&bytes_of(&other)).swap_remove(2)
}

#[test]
fn a_line_hangs_on_to_one_place_only() {
    let lines = lines_of(&bytes_of(&tiny()));
    let raw = lines[1].strip_suffix(b"\n").unwrap();
    let link = line::link_of(raw).unwrap();
    assert!(line::read::<Event>(raw, link).is_ok());
    for (wrong, found) in [(Link { seq: 2, ..link }, 1), (Link { prev: link.prev ^ 1, ..link }, 1)] {
        assert_eq!(line::read::<Event>(raw, wrong), Err(line::Fault::Chain { found, expected: wrong.seq }));
    }
}

/// Its name; what the file holds; facts read; the kind of damage; facts kept and lost by mending.
type Mishap = (&'static str, Vec<u8>, usize, DamageKind, (u64, u64));

#[test]
fn what_happened_to_whole_lines_shows_and_is_mended() {
    let lines = lines_of(&bytes_of(&story()));
    let nuls = vec![0u8; 3000];
    let torn = &lines[4][..40];
    let pick = |order: &[usize]| order.iter().flat_map(|i| lines[*i].clone()).collect::<Vec<u8>>();
    use DamageKind::{Corrupt, Torn};
    let mut cases: Vec<Mishap> = vec![
        ("a line lost", pick(&[0, 1, 3, 4]), 2, Corrupt, (4, 1)),
        ("a line doubled", pick(&[0, 1, 1, 2]), 2, Corrupt, (3, 0)),
        ("two swapped", pick(&[0, 2, 1, 3]), 1, Corrupt, (4, 0)),
        ("the last two swapped", pick(&[0, 1, 3, 2]), 2, Corrupt, (4, 0)),
        ("zero bytes at the end", [pick(&[0, 1, 2]), nuls.clone()].concat(), 3, Torn, (3, 0)),
        ("zero bytes for a line's end", [lines[0].strip_suffix(b"\n").unwrap(), &nuls].concat(), 1, Torn, (1, 0)),
        ("zero bytes after a torn line", [pick(&[0, 1]), torn.to_vec(), nuls.clone()].concat(), 2, Torn, (2, 0)),
        ("zero bytes in the midst", [pick(&[0]), nuls.clone(), pick(&[1, 2])].concat(), 1, Corrupt, (3, 0)),
        ("more zero bytes than a line", [pick(&[0]), vec![0; 3 * LINE_MAX]].concat(), 1, Torn, (1, 0)),
        (
            "more of anything than a line",
            [pick(&[0]), vec![b'x'; 2 * LINE_MAX], b"\n".to_vec(), pick(&[1])].concat(),
            1,
            Corrupt,
            (2, 0),
        ),
        ("glued to a torn line", [pick(&[0, 1]), torn.to_vec(), pick(&[2, 3])].concat(), 2, Corrupt, (4, 0)),
        (
            "two in one",
            [pick(&[0]), lines[1].strip_suffix(b"\n").unwrap().to_vec(), pick(&[2, 3])].concat(),
            1,
            Corrupt,
            (4, 0),
        ),
        ("a bad last line", [pick(&[0, 1]), b"{}\n".to_vec()].concat(), 2, Corrupt, (2, 1)),
        ("an empty line", [pick(&[0]), b"\n".to_vec(), pick(&[1])].concat(), 1, Corrupt, (2, 0)),
        (
            "carriage returns",
            [lines[0].clone(), lines[1].strip_suffix(b"\n").unwrap().to_vec(), b"\r\n".to_vec()].concat(),
            1,
            Corrupt,
            (2, 0),
        ),
    ];
    cases.push(("a line of another story", [pick(&[0, 1]), of_another()].concat(), 2, Corrupt, (3, 0)));
    let (_dir, lock) = lock();
    for (name, bytes, read, kind, (kept, lost)) in cases {
        let (disk, (journal, found)) = open(&bytes);
        assert_eq!(found, story()[..read], "{name}");
        assert_eq!(journal.damage().map(|d| d.kind), Some(kind), "{name}");
        assert_eq!(verify::<Event>(&disk, file()).unwrap().worst(), Some(kind), "{name}");

        let mended = mend::<Event>(&disk, &lock, file(), Stamp::from_ms(1_790_000_500_000)).unwrap();
        assert_eq!((mended.kept, mended.lost), (kept, lost), "{name}: {}", mended.said);
        assert_eq!(disk.bytes(&mended.aside.unwrap()).unwrap(), bytes, "{name}");
        let (mut journal, after) = open_on(&disk);
        assert_eq!(journal.damage(), None, "{name}");
        for entry in after.iter().filter(|e| e.event != Event::Newer { fact: line::LOST.to_owned() }) {
            assert_eq!(*entry, story()[usize::try_from(entry.seq).unwrap()], "{name}");
        }
        let next = entry(journal.next_seq(), Event::Dull);
        journal.append(&lock, &next).unwrap();
        assert_eq!(open_on(&disk).0.damage(), None, "{name}");
        assert_eq!(mend::<Event>(&disk, &lock, file(), Stamp::default()).unwrap().aside, None, "{name}: mended twice");
    }
}

#[test]
fn without_its_first_line_a_story_is_put_aside_or_left_as_it_is() {
    let (_dir, lock) = lock();
    let lines = lines_of(&bytes_of(&short()));
    let (disk, _) = open(&lines[1..].concat());
    assert!(matches!(mend::<Event>(&disk, &lock, file(), Stamp::default()), Err(Failure::NoBeginning { .. })));
    assert_eq!(disk.bytes(file()).unwrap(), lines[1..].concat());

    let (disk, _) = open(&lines[0][..100]);
    let mended = mend::<Event>(&disk, &lock, file(), Stamp::default()).unwrap();
    assert_eq!(disk.paths(), vec![mended.aside.unwrap()]);
}

#[test]
fn others_appending_is_reading_on_and_a_shorter_or_other_file_is_damage() {
    let (_dir, lock) = lock();
    let (disk, (mut one, _)) = open(&bytes_of(&story()[..2]));
    let (mut two, _) = open_on(&disk);
    two.append(&lock, &story()[2]).unwrap();
    assert!(matches!(one.append(&lock, &story()[2]), Err(Failure::Behind { .. })));
    assert_eq!(one.refresh().unwrap(), story()[2..3]);
    one.append(&lock, &story()[3]).unwrap();
    assert_eq!(two.refresh().unwrap(), story()[3..4]);

    disk.put(file(), &bytes_of(&story()[..2]));
    assert_eq!(one.refresh(), Ok(Vec::new()));
    assert_eq!(one.damage().map(|d| d.kind), Some(DamageKind::Corrupt));
    assert!(matches!(one.append(&lock, &story()[4]), Err(Failure::Damaged { .. })));

    let mut other = story();
    other[3].event = Event::Noted { text: "longer ".repeat(40) };
    for len in [4, 6] {
        disk.put(file(), &bytes_of(&other)[..bytes_of(&other[..len]).len()]);
        assert_eq!(two.refresh(), Ok(Vec::new()));
        assert_eq!(two.damage().map(|d| (d.line, d.kind)), Some((4, DamageKind::Corrupt)));
        let found = two.append(&lock, &story()[4]);
        assert!(matches!(found, Err(Failure::Damaged { .. })), "{found:?}");
    }
    assert_eq!(two.reopen().unwrap(), other[..6]);
    two.append(&lock, &story()[6]).unwrap();
}

#[test]
fn no_more_than_a_line_and_a_block_is_held_of_an_endless_line() {
    let disk = MemoryDisk::default();
    disk.put(file(), &[vec![b'x'; 3 * LINE_MAX], b"\nend".to_vec()].concat());
    let mut handle = disk.read(file()).unwrap();
    let mut pieces = Pieces::from(handle.as_mut(), 0);
    let long = pieces.take().unwrap().unwrap();
    assert!(long.long && long.ended && long.raw.len() <= LINE_MAX + (64 << 10), "{} bytes held", long.raw.len());
    let end = pieces.take().unwrap().unwrap();
    assert_eq!((end.byte, end.raw.as_slice(), end.ended), (3 * LINE_MAX as u64 + 1, b"end".as_slice(), false));
    assert_eq!(pieces.take().unwrap(), None);
}

#[test]
fn a_journal_that_could_not_be_made_leaves_no_file() {
    let (_dir, lock) = lock();
    each_call(|plan| {
        let disk = MemoryDisk::default();
        // A fuse that blows once, on one of the four calls that make a journal: the name, the line, its sync, the directory's.
        disk.fuse.set(Some(Plan { for_good: false, ..plan }));
        let made = Journal::create(Arc::new(disk.clone()), file(), &lock, &entry(0, opened()));
        assert_eq!(disk.bytes(file()).is_some(), made.is_ok(), "{plan:?}");
        assert_eq!(made.is_ok(), plan.fail_at > 3, "{plan:?}");
        plan.fail_at <= 10
    });
}

#[test]
fn a_line_seen_half_written_is_whole_the_next_time() {
    let bytes = bytes_of(&story()[..3]);
    let before = bytes_of(&story()[..2]).len();
    for cut in before..bytes.len() {
        let (disk, (mut journal, read)) = open(&bytes[..cut]);
        disk.put(file(), &bytes);
        let more = journal.refresh().unwrap();
        assert_eq!([read, more].concat(), story()[..3], "cut at {cut}");
        assert_eq!(journal.damage(), None);
    }
}

// Failing disks

/// Makes a journal and records `story` in it, each fact until it is taken; what was acknowledged.
fn record(disk: &Arc<dyn Disk>, path: &Path, lock: &Lock, story: &[Entry<Event>], tries: usize) -> Vec<Entry<Event>> {
    let mut acknowledged = Vec::new();
    let made = (0..tries).find_map(|_| Journal::create(Arc::clone(disk), path, lock, &story[0]).ok());
    let Some(mut journal) = made else { return acknowledged };
    acknowledged.push(story[0].clone());
    for entry in &story[1..] {
        let taken = (0..tries).any(|_| {
            let done = journal.refresh().and_then(|more| {
                // It may be there although the disk was not certain of it.
                if more.contains(entry) { Ok(()) } else { journal.append(lock, entry) }
            });
            if matches!(done, Err(Failure::NotCertain { taken_out: false, .. } | Failure::Unsettled { .. })) {
                let Ok((anew, read)) = Journal::open(Arc::clone(disk), path) else { return false };
                journal = anew;
                return read.last() == Some(entry);
            }
            done.is_ok()
        });
        if !taken {
            break;
        }
        acknowledged.push(entry.clone());
    }
    acknowledged
}

fn prefix_of(recovered: &[Entry<Event>], story: &[Entry<Event>]) -> bool {
    story.starts_with(recovered)
}

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

#[test]
fn whichever_call_fails_what_was_acknowledged_is_there() {
    let (_dir, lock) = lock();
    let story = short();
    each_call(|plan| {
        let disk = MemoryDisk::default();
        disk.fuse.set(Some(plan));
        let fused: Arc<dyn Disk> = Arc::new(disk.clone());
        let acknowledged = record(&fused, file(), &lock, &story, 1);
        let blown = disk.fuse.blown();
        disk.fuse.set(None);
        if disk.bytes(file()).is_some() {
            let (_, recovered) = open_on(&disk);
            assert!(prefix_of(&acknowledged, &recovered), "{plan:?}");
            assert!(prefix_of(&recovered, &story), "{plan:?}");
        } else {
            assert!(acknowledged.is_empty(), "{plan:?}");
        }
        blown
    });
}

#[test]
fn one_failed_call_costs_no_fact_when_it_is_tried_again() {
    let (_dir, lock) = lock();
    let story = short();
    each_call(|plan| {
        if plan.for_good {
            return plan.fail_at < 11;
        }
        let disk = MemoryDisk::default();
        disk.fuse.set(Some(plan));
        let fused: Arc<dyn Disk> = Arc::new(disk.clone());
        let acknowledged = record(&fused, file(), &lock, &story, 3);
        let blown = disk.fuse.blown();
        disk.fuse.set(None);
        // A plan that was made but whose maker got an error is there; making it again is then refused.
        if !acknowledged.is_empty() {
            assert_eq!(acknowledged, story, "{plan:?}");
            let kept = disk.after_power_loss(Loss::Cut(0), false);
            let (journal, recovered) = open_on(&kept);
            assert_eq!((journal.damage(), recovered), (None, story.clone()), "{plan:?}");
        }
        blown
    });
}

#[test]
fn power_lost_at_any_call_costs_nothing_acknowledged() {
    let (_dir, lock) = lock();
    let story = short();
    let losses =
        [Loss::Cut(0), Loss::Cut(1), Loss::Cut(77), Loss::Cut(usize::MAX), Loss::Nuls(1), Loss::Nuls(usize::MAX)];
    each_call(|plan| {
        let disk = MemoryDisk::default();
        disk.fuse.set(Some(plan));
        let fused: Arc<dyn Disk> = Arc::new(disk.clone());
        let acknowledged = record(&fused, file(), &lock, &story, 2);
        for loss in losses {
            for names_kept in [false, true] {
                let after = disk.after_power_loss(loss, names_kept);
                let said = format!("{plan:?} {loss:?} {names_kept}");
                if after.bytes(file()).is_none() {
                    assert!(acknowledged.is_empty(), "{said}");
                    continue;
                }
                let (mut journal, recovered) = open_on(&after);
                assert!(prefix_of(&acknowledged, &recovered), "{said}");
                assert!(prefix_of(&recovered, &story), "{said}");
                assert!(journal.damage().is_none_or(|d| d.kind == DamageKind::Torn), "{said}: {:?}", journal.damage());
                if !recovered.is_empty() {
                    journal.append(&lock, &entry(journal.next_seq(), Event::Dull)).unwrap();
                    assert_eq!(open_on(&after).0.damage(), None, "{said}");
                }
            }
        }
        disk.fuse.blown()
    });
}

#[test]
fn mending_on_a_failing_disk_leaves_the_old_file_or_the_mended_one() {
    let (_dir, lock) = lock();
    let lines = lines_of(&bytes_of(&story()));
    let bytes = [lines[0].clone(), lines[1].clone(), lines[3].clone()].concat();
    each_call(|plan| {
        let (disk, _) = open(&bytes);
        disk.fuse.set(Some(plan));
        let mended = mend::<Event>(&disk, &lock, file(), Stamp::default());
        let blown = disk.fuse.blown();
        disk.fuse.set(None);
        let now = disk.bytes(file()).unwrap();
        match mended {
            Ok(mended) => assert_eq!(disk.bytes(&mended.aside.unwrap()).unwrap(), bytes, "{plan:?}"),
            Err(_) => assert_eq!(now, bytes, "{plan:?}"),
        }
        blown
    });
}

#[test]
fn a_sync_that_failed_is_not_believed_the_next_time() {
    let (_dir, lock) = lock();
    let (disk, (mut journal, _)) = open(&bytes_of(&story()[..2]));
    // Opening, its size, the write, the sync.
    disk.fuse.set(Some(Plan { fail_at: 3, bytes: 0, for_good: false, error: io::ErrorKind::Other }));
    let failed = journal.append(&lock, &story()[2]);
    assert!(matches!(failed, Err(Failure::NotCertain { taken_out: true, .. })), "{failed:?}");
    disk.fuse.set(None);
    assert_eq!(journal.refresh(), Ok(Vec::new()));
    journal.append(&lock, &story()[2]).unwrap();
    journal.append(&lock, &story()[3]).unwrap();
    let (after, recovered) = open_on(&disk.after_power_loss(Loss::Cut(0), false));
    assert_eq!((after.damage(), recovered), (None, story()[..4].to_vec()));
}

#[test]
fn a_journal_that_could_not_take_a_write_back_takes_no_other() {
    let (_dir, lock) = lock();
    for (fail_at, uncertain) in [(2, false), (3, true)] {
        let (disk, (mut journal, _)) = open(&bytes_of(&story()[..2]));
        disk.fuse.set(Some(Plan { fail_at, bytes: 30, for_good: true, error: io::ErrorKind::ReadOnlyFilesystem }));
        let path = file().to_owned();
        let trouble = Trouble::ReadOnly;
        let expected = if uncertain {
            Failure::NotCertain { path: path.clone(), trouble: trouble.clone(), taken_out: false }
        } else {
            Failure::NotSaved { path: path.clone(), trouble: trouble.clone() }
        };
        assert_eq!(journal.append(&lock, &story()[2]), Err(expected));
        disk.fuse.set(None);
        journal.refresh().unwrap();
        assert_eq!(
            journal.append(&lock, &entry(journal.next_seq(), Event::Dull)),
            Err(Failure::Unsettled { path, trouble })
        );
        let read = journal.reopen().unwrap();
        assert!(read == story()[..2] || uncertain && read == story()[..3]);
        journal.append(&lock, &entry(journal.next_seq(), Event::Dull)).unwrap();
        assert_eq!(open_on(&disk).0.damage(), None);
    }
}

// The machine's own disk

#[test]
fn the_real_disk_keeps_privately_and_whole_whichever_call_fails() {
    let (dir, lock) = lock();
    let story = short();
    let panels = dir.path().join("panels");
    std::fs::create_dir(&panels).unwrap();
    let path = panels.join("blue-tit.jsonl");
    each_call(|plan| {
        let _ = std::fs::remove_file(&path);
        let fuse = Arc::new(Fuse::default());
        fuse.set(Some(plan));
        let disk: Arc<dyn Disk> = Arc::new(FusedDisk { disk: Arc::new(RealDisk), fuse: Arc::clone(&fuse) });
        let acknowledged = record(&disk, &path, &lock, &story, 1);
        match Journal::<Event>::open(Arc::new(RealDisk), &path) {
            Ok((_, recovered)) => {
                assert!(prefix_of(&acknowledged, &recovered) && prefix_of(&recovered, &story), "{plan:?}");
            }
            Err(_) => assert!(acknowledged.is_empty(), "{plan:?}"),
        }
        fuse.blown()
    });
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        assert_eq!(std::fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o600);
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_said_to_be_full() {
    let mut handle = RealDisk.append(Path::new("/dev/full")).unwrap();
    let e = storage::append_all(handle.as_mut(), b"a fact").unwrap_err();
    assert_eq!(Trouble::of(&e), Trouble::Full);
}

#[cfg(unix)]
#[test]
fn nothing_is_written_through_a_symbolic_link() {
    let (dir, lock) = lock();
    let real = dir.path().join("elsewhere");
    let path = dir.path().join("blue-tit.jsonl");
    std::fs::write(&real, bytes_of(&short())).unwrap();
    std::os::unix::fs::symlink(&real, &path).unwrap();
    let (mut journal, read) = Journal::<Event>::open(Arc::new(RealDisk), &path).unwrap();
    assert_eq!(read, short());
    let found = journal.append(&lock, &entry(4, Event::Dull));
    assert_eq!(found, Err(Failure::NotSaved { path, trouble: Trouble::Link }));
    assert_eq!(std::fs::read(&real).unwrap(), bytes_of(&short()));
}

// Anything at all

/// Bytes that look like a journal in places.
fn mess() -> impl Strategy<Value = Vec<u8>> {
    let lines = lines_of(&bytes_of(&short()));
    let part = prop_oneof![
        prop::collection::vec(any::<u8>(), 0..40),
        (0..lines.len()).prop_map(move |i| lines[i].clone()),
        Just(b"\n".to_vec()),
        Just(vec![0; 20]),
        Just(b"{\"v\":1,\"seq\":18446744073709551615,\"prev\":\"00000000\",\"fact\":\"opened\"".to_vec()),
        ".*".prop_map(|s| line::seal(s.into_bytes())),
        (any::<u64>(), any::<u32>()).prop_map(|(seq, prev)| {
            line::seal(
                format!("{{\"v\":1,\"seq\":{seq},\"prev\":\"{prev:08x}\",{TIMES},\"fact\":\"dull\"").into_bytes(),
            )
        }),
    ];
    prop::collection::vec(part, 0..8).prop_map(|parts| parts.concat())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_bytes_whatever_bring_it_down(bytes in mess(), cut in any::<prop::sample::Index>()) {
        let (_dir, lock) = lock();
        let (disk, (mut journal, read)) = open(&bytes);
        prop_assert_eq!(read.len() as u64, journal.next_seq());
        let report = verify::<Event>(&disk, file()).unwrap();
        prop_assert_eq!(report.problems.is_empty(), journal.damage().is_none());
        prop_assert!(report.lines >= read.len() as u64);
        if let Ok(mended) = mend::<Event>(&disk, &lock, file(), Stamp::default()) {
            match &mended.aside {
                Some(aside) => prop_assert_eq!(disk.bytes(aside).unwrap(), bytes.clone()),
                None => prop_assert_eq!(disk.bytes(file()).unwrap(), bytes.clone()),
            }
            if disk.bytes(file()).is_some() {
                prop_assert!(open_on(&disk).0.damage().is_none_or(|d| d.kind == DamageKind::Name));
            }
        }
        disk.put(file(), &bytes[..cut.index(bytes.len() + 1)]);
        let _ = journal.refresh();
        let _ = journal.append(&lock, &entry(journal.next_seq(), Event::Dull));
    }

    #[test]
    fn any_words_of_a_maker_read_back(text in ".*", why in ".*", g in any::<f64>().prop_filter("a number", |g| g.is_finite())) {
        let story = vec![
            entry(0, opened()),
            entry(1, Event::Noted { text }),
            entry(2, Event::Abandoned { why }),
            entry(3, Event::Weighed { mass: Mass::from_g(g) }),
        ];
        prop_assert_eq!(open(&bytes_of(&story)).1.1, story);
    }
}

#[test]
fn every_trouble_has_a_sentence_of_its_own() {
    let numbers = [28, 30, 27, 5, 122, 13, 2, 17, 40, 71];
    let said: BTreeSet<String> =
        numbers.iter().map(|n| Trouble::of(&io::Error::from_raw_os_error(*n)).to_string()).collect();
    assert_eq!(said.len(), numbers.len());
    let known =
        [Trouble::Full, Trouble::ReadOnly, Trouble::TooBig, Trouble::Device, Trouble::Quota, Trouble::Permission];
    let found = numbers[..6].iter().map(|n| Trouble::of(&io::Error::from_raw_os_error(*n)));
    assert!(cfg!(not(target_os = "linux")) || found.eq(known));
}
