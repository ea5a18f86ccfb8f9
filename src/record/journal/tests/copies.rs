//! The opening is kept twice: a story whose first line is lost is told from the copy, and mended from it.

use super::*;

/// The journal with its opening broken in one of several ways, and the line and byte its damage is told at.
fn broken_openings(bytes: &[u8]) -> Vec<(&'static str, Vec<u8>)> {
    let first = bytes.iter().position(|b| *b == b'\n').unwrap();
    let with = |at: usize, byte: u8| {
        let mut broken = bytes.to_vec();
        broken[at] = byte;
        broken
    };
    let mut zeroed = bytes.to_vec();
    zeroed[..first].fill(0);
    vec![
        ("a byte of it", with(700, b'#')),
        ("its first byte", with(0, b'x')),
        ("the last digit of its check", with(first - 3, b'g')),
        ("its end", with(first, b' ')),
        ("all of it", zeroed),
        ("all of it but the end", bytes[first..].to_vec()),
        ("the line itself", bytes[first + 1..].to_vec()),
    ]
}

#[test]
fn a_story_without_its_first_line_is_told_from_the_copy_as_damaged_and_mended_to_the_same_bytes() {
    let (_dir, lock) = lock();
    let bytes = bytes_with_copy(&short());
    assert_eq!(open(&bytes).1.1, behind_copy(&short()), "the copy is no fact");
    for (name, broken) in broken_openings(&bytes) {
        let (disk, (mut journal, read)) = open(&broken);
        if name != "the line itself" {
            assert_eq!(read, behind_copy(&short()), "{name}");
        } else {
            assert_eq!(read[0], short()[0], "{name}");
        }
        assert_eq!(where_and_what(journal.damage()), Some((1, 0, DamageKind::Corrupt)), "{name}");
        assert_eq!(journal.refresh(), Ok(Vec::new()), "{name}: nothing is told twice");
        assert!(journal.damage().is_some(), "{name}");
        let next = entry(journal.next_seq(), PanelEvent::Dull);
        assert!(matches!(journal.append(&lock, &next), Err(JournalError::Damaged { .. })), "{name}");
        assert_eq!(read_opening::<PanelEvent>(&disk, file()), Ok(short()[0].clone()), "{name}");
        assert_eq!(verify::<PanelEvent>(&disk, file()).unwrap().worst_kind(), Some(DamageKind::Corrupt), "{name}");

        let mended = mend::<PanelEvent>(&disk, &lock, file(), Stamp::default()).unwrap();
        assert_eq!((mended.kept_events, mended.lost_events), (4, 0), "{name}: {}", mended.message);
        assert_eq!(disk.bytes(file()), Some(bytes.clone()), "{name}");
        assert_eq!(disk.bytes(&mended.backup.unwrap()), Some(broken), "{name}");
    }
}

#[test]
fn a_copy_that_is_lost_is_made_again() {
    let (_dir, lock) = lock();
    let bytes = bytes_with_copy(&short());
    let mut lines = lines_of(&bytes);
    lines[1][300] ^= 1;
    let (disk, (journal, read)) = open(&lines.concat());
    assert_eq!((journal.damage().map(|d| d.line), read.len()), (Some(2), 1));
    let mended = mend::<PanelEvent>(&disk, &lock, file(), Stamp::default()).unwrap();
    assert_eq!((mended.kept_events, mended.lost_events), (4, 0), "{}", mended.message);
    assert_eq!(disk.bytes(file()), Some(bytes));
}

#[test]
fn a_journal_from_before_there_were_copies_gets_one_when_it_is_mended() {
    let (_dir, lock) = lock();
    let old = bytes_of(&short());
    let (disk, _) = open(&[old.clone(), b"{\"v\":1,".to_vec()].concat());
    mend::<PanelEvent>(&disk, &lock, file(), Stamp::default()).unwrap();
    let mended = disk.bytes(file()).unwrap();
    assert!(mended.starts_with(&old) && mended.len() > old.len() + 700);
    let (journal, read) = open_on(&disk);
    assert_eq!((journal.damage(), read), (None, short()));
    // And that copy serves, too.
    let mut broken = mended.clone();
    broken[50] ^= 1;
    let (disk, (_, read)) = open(&broken);
    assert_eq!(read, short());
    mend::<PanelEvent>(&disk, &lock, file(), Stamp::default()).unwrap();
    assert_eq!(disk.bytes(file()), Some(mended));
}

#[test]
fn a_maker_cannot_write_what_looks_like_the_word_of_a_copy() {
    let PanelEvent::Opened(mut opened) = opened() else { panic!("no opening") };
    opened.label = r#"","fact":"opened","seq":0,"prev":"00000000""#.to_owned();
    let story = [entry(0, PanelEvent::Opened(opened)), entry(1, PanelEvent::Dull)];
    let bytes = bytes_with_copy(&story);
    let mut broken = bytes.clone();
    broken[50] ^= 1;
    assert_eq!(open(&broken).1.1, behind_copy(&story));
}

#[test]
fn a_journals_own_recipe_is_held_to_hard_bounds_and_to_no_range_of_a_file() {
    let opening = bytes_of(&short()[..1]);
    let with = |from: &str, to: &str| {
        let text = std::str::from_utf8(&opening[..opening.len() - 19]).unwrap();
        assert!(text.contains(from), "{from} in {text}");
        open(&[line::append_crc(text.replacen(from, to, 1).into_bytes()), b"\n".to_vec()].concat()).1
    };
    for (from, to) in [
        (r#""front":6"#, r#""front":2147483648"#),
        (r#""front":6"#, r#""front":4294967295"#),
        (r#""coats_per_face":2"#, r#""coats_per_face":200"#),
        (r#""columns":3"#, r#""columns":400"#),
        (r#""wait_min":30.0"#, r#""wait_min":1e999"#),
    ] {
        let (journal, read) = with(from, to);
        assert_eq!(where_and_what(journal.damage()), Some((1, 0, DamageKind::Corrupt)), "{to}");
        assert!(read.is_empty(), "{to}");
    }
    // Far outside every range a recipe file is held to, and yet a story that was told.
    for (from, to) in [(r#""front":6"#, r#""front":300"#), (r#""wait_min":30.0"#, r#""wait_min":-1e12"#)] {
        let (journal, read) = with(from, to);
        assert_eq!((journal.damage(), read.len()), (None, 1), "{to}");
    }
}
