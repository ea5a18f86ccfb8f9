//! Damage: cut, flipped, lost, doubled, glued; noticed where it is, and mended without losing what stands after it.

use super::*;
use crate::work::story::CommonEvent;

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
        let kind = if cut == 0 { DamageKind::Empty } else { DamageKind::Torn };
        assert_eq!(journal.damage().map(|d| d.kind), (!clean).then_some(kind), "cut at {cut}");
        let next = entry(whole as u64, if whole == 0 { opened() } else { PanelEvent::Dull });
        if whole == 0 {
            assert!(matches!(journal.append(&lock, &next), Err(JournalError::NoFirstLine { .. })));
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
    let link = ChainLink { seq: 1, prev: line::verify_crc(lines[0].strip_suffix(b"\n").unwrap()).unwrap().1 };
    let mut raw = lines[1].strip_suffix(b"\n").unwrap().to_vec();
    assert!(line::parse_line::<PanelEvent>(&raw, link).is_ok());
    for at in 0..raw.len() {
        let right = raw[at];
        for wrong in (0..=255).filter(|b| *b != right) {
            raw[at] = wrong;
            assert!(line::parse_line::<PanelEvent>(&raw, link).is_err(), "byte {at} as {wrong}");
        }
        raw[at] = right;
    }
}

/// The third line of a story that differs in the second.
fn of_another() -> Vec<u8> {
    let mut other = story();
    other[1].event = PanelEvent::Dull;
    lines_of(&bytes_of(&other)).swap_remove(2)
}

#[test]
fn a_line_hangs_on_to_one_place_only() {
    let lines = lines_of(&bytes_of(&tiny()));
    let raw = lines[1].strip_suffix(b"\n").unwrap();
    let link = line::parse_link(raw).unwrap();
    assert!(line::parse_line::<PanelEvent>(raw, link).is_ok());
    for (wrong, found) in [(ChainLink { seq: 2, ..link }, 1), (ChainLink { prev: link.prev ^ 1, ..link }, 1)] {
        assert_eq!(
            line::parse_line::<PanelEvent>(raw, wrong),
            Err(line::LineError::BrokenChain { found, expected: wrong.seq })
        );
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
        ("a blank line at the end", [pick(&[0, 1]), b"\n".to_vec()].concat(), 2, Corrupt, (2, 0)),
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
        assert_eq!(verify::<PanelEvent>(&disk, file()).unwrap().worst_kind(), Some(kind), "{name}");

        let mended = mend::<PanelEvent>(&disk, &lock, file(), Stamp::from_ms(1_790_000_500_000)).unwrap();
        assert_eq!((mended.kept_events, mended.lost_events), (kept, lost), "{name}: {}", mended.message);
        assert_eq!(disk.bytes(&mended.backup.unwrap()).unwrap(), bytes, "{name}");
        let (mut journal, after) = open_on(&disk);
        assert_eq!(journal.damage(), None, "{name}");
        for entry in after
            .iter()
            .filter(|e| e.event != PanelEvent::Common(CommonEvent::Unknown { name: line::LOST_EVENT.to_owned() }))
        {
            assert_eq!(*entry, story()[usize::try_from(entry.seq).unwrap()], "{name}");
        }
        let next = entry(journal.next_seq(), PanelEvent::Dull);
        journal.append(&lock, &next).unwrap();
        assert_eq!(open_on(&disk).0.damage(), None, "{name}");
        assert_eq!(
            mend::<PanelEvent>(&disk, &lock, file(), Stamp::default()).unwrap().backup,
            None,
            "{name}: mended twice"
        );
    }
}

#[test]
fn without_its_first_line_a_story_is_put_aside_or_left_as_it_is() {
    let (_dir, lock) = lock();
    let lines = lines_of(&bytes_of(&short()));
    let (disk, _) = open(&lines[1..].concat());
    assert!(matches!(
        mend::<PanelEvent>(&disk, &lock, file(), Stamp::default()),
        Err(JournalError::NoFirstLine { .. })
    ));
    assert_eq!(disk.bytes(file()).unwrap(), lines[1..].concat());

    for (begun, kind) in [(&lines[0][..0], DamageKind::Empty), (&lines[0][..100], DamageKind::Torn)] {
        let (disk, _) = open(begun);
        assert_eq!(verify::<PanelEvent>(&disk, file()).unwrap().worst_kind(), Some(kind));
        let mended = mend::<PanelEvent>(&disk, &lock, file(), Stamp::default()).unwrap();
        assert_eq!(disk.paths(), vec![mended.backup.unwrap()]);
    }
    let (disk, _) = open(&lines[0][..100]);
    let mended = mend::<PanelEvent>(&disk, &lock, file(), Stamp::default()).unwrap();
    assert_eq!(disk.paths(), vec![mended.backup.unwrap()]);
}

#[test]
fn others_appending_is_reading_on_and_a_shorter_or_other_file_is_damage() {
    let (_dir, lock) = lock();
    let (disk, (mut one, _)) = open(&bytes_of(&story()[..2]));
    let (mut two, _) = open_on(&disk);
    two.append(&lock, &story()[2]).unwrap();
    assert!(matches!(one.append(&lock, &story()[2]), Err(JournalError::Stale { .. })));
    assert_eq!(one.refresh().unwrap(), story()[2..3]);
    one.append(&lock, &story()[3]).unwrap();
    assert_eq!(two.refresh().unwrap(), story()[3..4]);

    disk.put(file(), &bytes_of(&story()[..2]));
    assert_eq!(one.refresh(), Ok(Vec::new()));
    assert_eq!(one.damage().map(|d| d.kind), Some(DamageKind::Corrupt));
    assert!(matches!(one.append(&lock, &story()[4]), Err(JournalError::Damaged { .. })));

    let mut other = story();
    other[3].event = PanelEvent::Common(CommonEvent::Noted { text: "longer ".repeat(40) });
    for len in [4, 6] {
        disk.put(file(), &bytes_of(&other)[..bytes_of(&other[..len]).len()]);
        assert_eq!(two.refresh(), Ok(Vec::new()));
        assert_eq!(two.damage().map(|d| (d.line, d.kind)), Some((4, DamageKind::Corrupt)));
        let found = two.append(&lock, &story()[4]);
        assert!(matches!(found, Err(JournalError::Damaged { .. })), "{found:?}");
    }
    assert_eq!(two.reopen().unwrap(), other[..6]);
    two.append(&lock, &story()[6]).unwrap();
}

#[test]
fn no_more_than_a_line_and_a_block_is_held_of_an_endless_line() {
    let disk = MemoryDisk::default();
    disk.put(file(), &[vec![b'x'; 3 * LINE_MAX], b"\nend".to_vec()].concat());
    let mut handle = disk.open_read(file()).unwrap();
    let mut pieces = LineReader::new(handle.as_mut(), 0);
    let long = pieces.next_line().unwrap().unwrap();
    assert!(
        long.overlong && long.terminated && long.raw.len() <= LINE_MAX + (64 << 10),
        "{} bytes held",
        long.raw.len()
    );
    let end = pieces.next_line().unwrap().unwrap();
    assert_eq!((end.byte, &*end.raw, end.terminated), (3 * LINE_MAX as u64 + 1, b"end".as_slice(), false));
    assert_eq!(pieces.next_line().unwrap(), None);
}

#[test]
fn a_journal_that_could_not_be_made_leaves_no_file() {
    let (_dir, lock) = lock();
    each_call(|plan| {
        let disk = MemoryDisk::default();
        // A fuse that blows once, on one of the calls that make a journal: the name, the lines, the size, its sync, the directory's.
        disk.fuse.set(Some(Plan { for_good: false, ..plan }));
        let made = Journal::create(Arc::new(disk.clone()), file(), &lock, &entry(0, opened()));
        assert_eq!(disk.bytes(file()).is_some(), made.is_ok(), "{plan:?}");
        assert_eq!(made.is_ok(), plan.fail_at > 4, "{plan:?}");
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
