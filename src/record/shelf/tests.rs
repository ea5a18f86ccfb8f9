//! Ids are well formed whatever the label; looking leaves nothing behind; a rack that cannot be relied on is made anew.

use super::*;
use crate::record::journal::DamageKind;
use crate::units::{Moment, Stamp};
use crate::work::panel::event::PanelOpened;
use crate::work::story::CommonEvent;
use proptest::prelude::*;
use std::fs;

const FIXTURE: &[u8] = include_bytes!("../../../tests/fixtures/journal-v1/blue-tit.jsonl");

fn id(text: &str) -> Id {
    Id::new(text).unwrap()
}

fn ids(texts: &[&str]) -> Vec<Id> {
    texts.iter().map(|t| id(t)).collect()
}

/// The opening of a panel like that of the kept story, under another name.
fn opening(label: &str, id: Id) -> Entry<PanelEvent> {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("blue-tit.jsonl");
    fs::write(&path, FIXTURE).unwrap();
    let entry = journal::read_opening::<PanelEvent>(&FsStorage, &path).unwrap();
    let PanelEvent::Opened(kept) = entry.event else { panic!("no opening") };
    let event = PanelEvent::Opened(Box::new(PanelOpened { id, label: label.to_owned(), ..*kept }));
    Entry {
        seq: 0,
        at: Stamp::default(),
        written: Moment::from_wall(Stamp::default()),
        raw_wall: None,
        replaces: None,
        event,
    }
}

fn create_panel(shelf: &Shelf, lock: &Lock, label: &str) -> Entry<PanelEvent> {
    shelf.create_story(lock, Drawer::Panels, label, |id| opening(label, id)).unwrap().2
}

/// A shelf with a panel for each label, in order.
fn shelf(labels: &[&str]) -> (tempfile::TempDir, Shelf) {
    let dir = tempfile::tempdir().unwrap();
    let shelf = Shelf::open(dir.path().join("data"));
    for label in labels {
        let lock = shelf.lock().unwrap();
        create_panel(&shelf, &lock, label);
    }
    (dir, shelf)
}

#[test]
fn ids_are_made_from_labels() {
    let long = "a".repeat(70);
    let hyphens = format!("{}-b", "a".repeat(63));
    let cases = [
        ("Blue tit", "blue-tit"),
        ("  Grünfink — №3!! ", "grunfink-no3"),
        ("Жаворонок", "zhavoronok"),
        ("../../etc/passwd", "etc-passwd"),
        ("-rf", "rf"),
        ("", "panel"),
        ("···", "panel"),
        ("CON", "panel-con"),
        ("com1", "panel-com1"),
        ("com10", "com10"),
        ("Nul.", "panel-nul"),
        ("Back", "panel-back"),
        ("Come back", "come-back"),
        ("a\0b\nc\u{202e}d", "a-b-cd"),
        (&long, &long[..64]),
        (&hyphens, &hyphens[..63]),
    ];
    for (label, expected) in cases {
        assert_eq!(free_id(label, Drawer::Panels, &BTreeSet::new()).as_str(), expected, "{label:?}");
    }
    assert_eq!(free_id("", Drawer::Pots, &BTreeSet::new()).as_str(), "pot");
    let mut taken = BTreeSet::new();
    for expected in ["wren", "wren-2", "wren-3"] {
        let next = free_id("Wren", Drawer::Panels, &taken);
        assert_eq!(next.as_str(), expected);
        taken.insert(next);
    }
    let full: BTreeSet<Id> = [id(&long[..64])].into();
    assert_eq!(free_id(&long, Drawer::Panels, &full).as_str(), format!("{}-2", "a".repeat(62)));
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_label_gives_an_id_that_is_one_plain_name(label in ".*", taken in prop::collection::btree_set("[a-c]{1,2}", 0..9)) {
        let taken: BTreeSet<Id> = taken.iter().map(|t| id(t)).collect();
        let made = free_id(&label, Drawer::Panels, &taken);
        prop_assert!(!taken.contains(&made));
        prop_assert!(!made.as_str().ends_with('-') && !made.as_str().contains("--"));
        prop_assert_eq!(Path::new(made.as_str()).components().count(), 1);
    }
}

#[test]
fn looking_at_a_shelf_that_is_not_there_leaves_nothing_behind() {
    let dir = tempfile::tempdir().unwrap();
    let shelf = Shelf::open(dir.path().join("data"));
    assert_eq!(shelf.panel_ids(), Ok(Vec::new()));
    assert_eq!(shelf.read_rack(), None);
    assert!(matches!(shelf.find::<PanelEvent>(Drawer::Panels, "wren"), Ok(Err(LookupError::Unknown { .. }))));
    assert!(matches!(shelf.open_panel(&id("wren")), Err(JournalError::ReadFailed { error: FileError::NotFound, .. })));
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 0);
}

#[test]
fn panels_are_made_found_and_opened() {
    let (_dir, shelf) = shelf(&["Blue tit", "Blackbird", "Wren", "Wren", "Wren in the hedge"]);
    assert_eq!(shelf.panel_ids().unwrap(), ids(&["blackbird", "blue-tit", "wren", "wren-2", "wren-in-the-hedge"]));
    let (journal, read) = shelf.open_panel(&id("wren-2")).unwrap();
    assert_eq!((journal.damage(), read.len(), journal.next_seq()), (None, 1, 2), "the copy of its opening is no fact");
    let found = |asked: &str| shelf.find::<PanelEvent>(Drawer::Panels, asked).unwrap();
    let many = |asked: &str| match found(asked) {
        Err(LookupError::Ambiguous { candidates, .. }) => candidates.into_iter().map(|f| f.id).collect::<Vec<_>>(),
        other => panic!("{asked}: {other:?}"),
    };
    for (asked, expected) in [
        ("wren", "wren"),
        ("Blue tit", "blue-tit"),
        ("bla", "blackbird"),
        ("BLUE", "blue-tit"),
        ("wren-i", "wren-in-the-hedge"),
        ("Wren in", "wren-in-the-hedge"),
    ] {
        assert_eq!(found(asked), Ok(id(expected)), "{asked}");
    }
    assert_eq!(many("Wren"), ids(&["wren", "wren-2"]));
    assert_eq!(many("bl"), ids(&["blackbird", "blue-tit"]));
    for asked in ["", "robin", "../panels/wren"] {
        assert!(matches!(found(asked), Err(LookupError::Unknown { .. })), "{asked}");
    }
    for (asked, nearest) in [("wrem", Some("wren")), ("Balckbird", Some("blackbird")), ("robin", None), ("", None)] {
        let said = found(asked).unwrap_err().to_string();
        let offer = nearest.map_or_else(String::new, |id| format!("did you mean {id}? "));
        assert_eq!(said, format!("no panel is called \"{asked}\", nor begins so; {offer}`sottile panels` lists them"));
    }
    let said = found("bl").unwrap_err().to_string();
    assert!(said.contains("blackbird (Blackbird), blue-tit (Blue tit)"), "{said}");
}

#[test]
fn what_is_left_of_a_panel_never_begun_is_written_over_and_other_files_are_let_be() {
    let (_dir, shelf) = shelf(&["Wren"]);
    let panels = shelf.root().join("panels");
    fs::write(panels.join("robin.jsonl"), &FIXTURE[..50]).unwrap();
    for stranger in ["notes.txt", "Robin.jsonl", "wren.jsonl.damaged-20260101T000000Z", "-x.jsonl"] {
        fs::write(panels.join(stranger), "").unwrap();
    }
    assert_eq!(shelf.panel_ids().unwrap(), ids(&["robin", "wren"]));
    assert_eq!(shelf.verify(&panels.join("robin.jsonl")).unwrap().worst_kind(), Some(DamageKind::Torn));
    let lock = shelf.lock().unwrap();
    let entry = create_panel(&shelf, &lock, "Robin");
    assert_eq!(entry.event.header().unwrap().id, Some(&id("robin")));
    assert_eq!(shelf.open_panel(&id("robin")).unwrap().1, vec![entry]);

    fs::write(panels.join("dunnock.jsonl"), b"something else\n").unwrap();
    let entry = create_panel(&shelf, &lock, "Dunnock");
    assert_eq!(entry.event.header().unwrap().id, Some(&id("dunnock-2")));
}

#[test]
fn the_rack_is_kept_and_not_relied_on_where_it_is_of_another_shape() {
    let (_dir, shelf) = shelf(&["Wren"]);
    assert_eq!(shelf.read_rack(), None, "missing");
    let mut rack = Rack::default();
    rack.add_finished(id("wren"), 7);
    rack.add_pot(id("gesso"), 8, RackPot { written: Stamp::from_ms(9), has_ended: true, parent: Some(id("size")) });
    {
        let lock = shelf.lock().unwrap();
        assert!(shelf.store_rack(&lock, &rack));
    }
    let kept = shelf.read_rack().unwrap();
    assert_eq!(kept, rack);
    let of_size = |n: u64| (kept.is_finished(&id("wren"), n), kept.pot(&id("gesso"), n).is_some());
    assert_eq!((of_size(7), of_size(8), of_size(9)), ((true, false), (false, true), (false, false)));
    let path = shelf.root().join("rack.json");
    let good = fs::read_to_string(&path).unwrap();
    for bad in [
        "",
        "{",
        "[]",
        &good.replace("wren", "../x"),
        &good.replace("\"size\"}", "\"../size\"}"),
        &good.replace(":7", ":-7"),
        &good.replace("\"format\":3", "\"format\":2"),
        r#"{"format":1,"panels":1,"unfinished":["wren"]}"#,
    ] {
        assert_ne!(bad, good);
        fs::write(&path, bad).unwrap();
        assert_eq!(shelf.read_rack(), None, "{bad}");
    }
}

#[test]
fn what_lies_among_the_stories_and_is_none_is_told() {
    let (_dir, shelf) = shelf(&["Wren"]);
    let panels = shelf.root().join("panels");
    fs::create_dir_all(shelf.root().join("pots/old")).unwrap();
    for name in ["panels/Wren copy.jsonl", "panels/notes.txt", "air copy.jsonl"] {
        fs::write(shelf.root().join(name), "").unwrap();
    }
    for name in ["panels/wren.jsonl.damaged-20260101T000000Z", "panels/.hidden", "stock.jsonl", "letters.txt"] {
        fs::write(shelf.root().join(name), "").unwrap();
    }
    let told: Vec<_> = shelf.find_strangers().unwrap();
    let paths: Vec<_> = told.iter().map(|r| r.path.strip_prefix(shelf.root()).unwrap().to_str().unwrap()).collect();
    assert_eq!(paths, ["panels/Wren copy.jsonl", "panels/notes.txt", "pots/old", "air copy.jsonl"]);
    assert!(told.iter().all(|r| r.worst_kind() == Some(DamageKind::Stray)));
    assert_eq!(shelf.verify(&panels.join("wren.jsonl")).unwrap().worst_kind(), None);
}

#[cfg(unix)]
#[test]
fn what_is_no_file_is_told_and_never_waited_for() {
    let (_dir, shelf) = shelf(&["Wren"]);
    let pipe = shelf.root().join("panels/robin.jsonl");
    rustix::fs::mknodat(rustix::fs::CWD, &pipe, rustix::fs::FileType::Fifo, 0o600.into(), 0).unwrap();
    let socket = shelf.root().join("panels/tit.jsonl");
    let _socket = std::os::unix::net::UnixListener::bind(&socket).unwrap();
    let dir = shelf.root().join("panels/dunnock.jsonl");
    fs::create_dir(&dir).unwrap();
    let lock = shelf.lock().unwrap();
    for (path, word) in [(&pipe, "a pipe"), (&socket, "a socket"), (&dir, "a directory")] {
        let report = shelf.verify(path).unwrap();
        assert_eq!(report.worst_kind(), Some(DamageKind::Special), "{word}");
        assert!(report.damages[0].message.contains(word), "{report:?}");
        assert_eq!(shelf.mend(&lock, path, Stamp::default()).unwrap().backup, None, "{word}");
        assert!(path.exists());
    }
    assert!(matches!(shelf.open_panel(&id("robin")), Err(JournalError::ReadFailed { .. })));
    let entry = create_panel(&shelf, &lock, "Robin");
    assert_eq!(entry.event.header().unwrap().id, Some(&id("robin-2")));
    // The rack too, which is then made anew each time, and the lock, without which nothing is written.
    let rack = shelf.root().join("rack.json");
    let _ = fs::remove_file(&rack);
    rustix::fs::mknodat(rustix::fs::CWD, &rack, rustix::fs::FileType::Fifo, 0o600.into(), 0).unwrap();
    assert_eq!(shelf.read_rack(), None);
    assert!(!shelf.store_rack(&lock, &Rack::default()) && rack.exists());
    drop(lock);
    let lock = shelf.root().join("lock");
    fs::remove_file(&lock).unwrap();
    rustix::fs::mknodat(rustix::fs::CWD, &lock, rustix::fs::FileType::Fifo, 0o600.into(), 0).unwrap();
    assert!(matches!(shelf.lock(), Err(JournalError::Lock(_))));
    let told: Vec<_> = shelf.find_strangers().unwrap().into_iter().map(|r| r.path).collect();
    assert_eq!(told, [lock, rack]);
}

#[test]
fn a_rack_that_cannot_be_kept_fails_nothing_and_is_not_relied_on() {
    let (_dir, shelf) = shelf(&["Wren"]);
    fs::create_dir(shelf.root().join("rack.json")).unwrap();
    let lock = shelf.lock().unwrap();
    assert!(!shelf.store_rack(&lock, &Rack::default()));
    assert_eq!(shelf.read_rack(), None);
}

#[test]
fn two_windows_record_in_one_story() {
    let (_dir, shelf) = shelf(&["Wren"]);
    let wren = id("wren");
    std::thread::scope(|scope| {
        for _ in 0..3 {
            scope.spawn(|| {
                let (mut journal, _) = shelf.open_panel(&wren).unwrap();
                for _ in 0..5 {
                    let lock = shelf.lock().unwrap();
                    journal.refresh().unwrap();
                    let seq = journal.next_seq();
                    let event = PanelEvent::Common(CommonEvent::Noted { text: format!("note {seq}") });
                    let entry = Entry { seq, event, ..opening("Wren", wren.clone()) };
                    journal.append(&lock, &entry).unwrap();
                }
            });
        }
    });
    let (journal, read) = shelf.open_panel(&wren).unwrap();
    assert_eq!((journal.damage(), read.len()), (None, 16));
}
