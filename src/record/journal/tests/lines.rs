//! A line: what is written reads back, and what is newer or strange is told apart from what is broken.

use super::*;
use crate::work::story::CommonEvent;

#[test]
fn every_fact_reads_back_as_it_was() {
    let (_, (journal, read)) = open(&bytes_of(&story()));
    assert_eq!(journal.damage(), None);
    assert_eq!(read, story());
    // Younger than the format: what the air did to a coat.
    let mut young = story();
    let PanelEvent::Done(done) = &mut young[2].event else { panic!("{:?}", young[2]) };
    done.air_factor = Some(1.4794);
    assert_eq!(open(&bytes_of(&young)).1.1, young);
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
    let payload =
        line::event_members(&PanelEvent::Common(CommonEvent::Weighed { mass: Mass::from_g(812.5), offcut: None }));
    assert_eq!(serde_json::Value::from(payload), serde_json::json!({ "mass_g": 812.5 }));
    assert!(line::event_members(&PanelEvent::Dull).is_empty());
    assert!(line::event_members(&PanelEvent::Common(CommonEvent::Unknown { name: "varnished".to_owned() })).is_empty());
}

#[test]
fn a_check_in_capitals_does_not_pass() {
    let line = line::append_crc(b"{\"v\":1".to_vec());
    assert!(line::verify_crc(&line).is_some());
    let at = line.len() - 10;
    assert!(line[at..at + 8].iter().any(u8::is_ascii_lowercase), "the sample must have a letter to change");
    let mut capital = line.clone();
    capital[at..at + 8].make_ascii_uppercase();
    assert_eq!(line::verify_crc(&capital), None);
}

#[test]
fn what_would_not_read_back_is_refused() {
    let far = Entry { at: Stamp::from_ms(i64::MAX), ..entry(1, PanelEvent::Dull) };
    let late = Entry { at: Stamp::from_ms(300_000_000_000_000), ..entry(1, PanelEvent::Dull) };
    let wait = Wait { span: Span::from_ms(9_007_199_254_740_993), origin: WaitOrigin::Maker };
    let cases = [
        far,
        late,
        entry(1, PanelEvent::Done(Box::new(StageDone { wait: Some(wait), ..StageDone::default() }))),
        entry(1, PanelEvent::Common(CommonEvent::Weighed { mass: Mass::from_g(f64::NAN), offcut: None })),
        entry(1, PanelEvent::Common(CommonEvent::Unknown { name: "varnished".to_owned() })),
        entry(1, PanelEvent::Common(CommonEvent::Unknown { name: "done".to_owned() })),
    ];
    let (_dir, lock) = lock();
    for case in cases {
        let (disk, (mut journal, _)) = open(&bytes_of(&story()[..1]));
        let before = disk.bytes(file());
        let found = journal.append(&lock, &case);
        assert!(matches!(found, Err(JournalError::Unwritable { .. })), "{case:?}: {found:?}");
        assert_eq!(disk.bytes(file()), before);
    }
    let (_, (mut journal, _)) = open(&bytes_of(&story()[..1]));
    let long = entry(1, PanelEvent::Common(CommonEvent::Noted { text: "a".repeat(LINE_MAX) }));
    assert!(matches!(journal.append(&lock, &long), Err(JournalError::TooLong { .. })));
    assert_eq!(
        journal.append(&lock, &entry(2, PanelEvent::Dull)),
        Err(JournalError::WrongSeq { found: 2, expected: 1 })
    );
    assert_eq!(journal.append(&lock, &entry(1, PanelEvent::Dull)), Ok(()));
}

#[test]
fn a_line_carries_the_lowest_version_whose_reader_folds_it_rightly() {
    let (_dir, lock) = lock();
    let (disk, (mut journal, _)) = open(&bytes_of(&short()[..2]));
    journal.append(&lock, &Entry { replaces: Some(1), ..entry(2, PanelEvent::Dull) }).unwrap();
    journal.append(&lock, &entry(3, PanelEvent::Dull)).unwrap();
    journal.append(&lock, &entry(4, PanelEvent::Extra { face: Some(Face::Front) })).unwrap();
    journal.append(&lock, &entry(5, PanelEvent::Extra { face: None })).unwrap();
    let versions: Vec<_> = lines_of(&disk.bytes(file()).unwrap()).iter().map(|l| l[..7].to_vec()).collect();
    assert_eq!(versions, [1, 1, 2, 1, 2, 1].map(|v| format!("{{\"v\":{v},").into_bytes()));
    let (again, read) = open_on(&disk);
    assert_eq!((again.damage(), read[2].replaces, read[3].replaces), (None, Some(1), None));
    assert_eq!(read[4].event, PanelEvent::Extra { face: Some(Face::Front) });
    assert_eq!(read[5].event, PanelEvent::Extra { face: None });
}

/// A line as a hand might write it, checks and chain right.
fn hand_made(after: &[Entry<PanelEvent>], members: &str) -> Vec<u8> {
    let mut bytes = bytes_of(after);
    let last = lines_of(&bytes).pop().unwrap();
    let prev = line::verify_crc(last.strip_suffix(b"\n").unwrap()).unwrap().1;
    let body = format!("{{\"v\":1,\"seq\":{},\"prev\":\"{prev:08x}\",{members}", after.len());
    bytes.extend(line::append_crc(body.into_bytes()));
    bytes.push(b'\n');
    bytes
}

#[test]
fn a_line_that_lacks_a_member_or_has_one_of_another_type_is_damage_with_its_place_and_reason() {
    let cases = [
        (r#""fact":"weighed""#, "`mass_g` is missing"),
        (r#""fact":"weighed","mass_g":"much""#, "`mass_g` is not a number"),
        (r#""fact":"repeated","why":3"#, "`why` is not a text"),
        (r#""fact":"undone","takes_back":-1"#, "`takes_back` is not a whole number from 0"),
        (r#""fact":"done","wait_min":15.0"#, "`wait_from` is missing"),
        (r#""fact":"done","map":[0]"#, "`map` is not a text"),
        (r#""fact":"started","stage":{"face":"front"}"#, "`kind` is missing"),
        (r#""fact":"started","stage":"coat""#, "`stage` is not an object"),
        (r#""fact":"inspected","sound":"yes""#, "`sound` is not yes or no"),
        (r#""fact":"inspected","cracks":[1]"#, "`cracks` is no list of texts"),
        (r#""seen":1"#, "`fact` is missing"),
        (r#""boot":"yes","fact":"dull""#, "`boot` says \"yes\", which is not known"),
    ];
    for (members, said) in cases {
        let before = bytes_of(&short()[..2]).len() as u64;
        let (_, (journal, read)) = open(&hand_made(&short()[..2], &format!("{TIMES},{members}")));
        assert_eq!(read, short()[..2], "{members}");
        let damage = journal.damage().unwrap();
        assert_eq!(where_and_what(Some(damage)), Some((3, before, DamageKind::Corrupt)));
        assert!(damage.message.ends_with(said), "{members}: {}", damage.message);
    }
}

#[test]
fn a_word_that_is_not_known_is_a_newer_versions_and_never_damage() {
    let cases = [
        ("started", r#""stage":{"kind":"varnish"}"#, "`kind` says \"varnish\", which is not known"),
        ("done", r#""stage":{"kind":"coat","face":"edge"}"#, "`face` says \"edge\""),
        ("skipped", r#""stage":{"kind":"coat","direction":"slant"},"why":"late""#, "`direction` says \"slant\""),
        ("done", r#""direction":"slant""#, "`direction` says \"slant\""),
        ("done", r#""wait_min":15.0,"wait_from":"neighbour""#, "`wait_from` says \"neighbour\""),
        ("done", r#""map":"003/000""#, "`map` says \"003/000\""),
        ("done", r#""pot":"a pot""#, "`pot` says \"a pot\""),
        ("repeated", r#""why":"ugly""#, "`why` says \"ugly\""),
        ("alert", r#""call":"look for cracks","of":1"#, "`call` says \"look for cracks\""),
        ("inspected", r#""cracks":["corner:1:along"]"#, "`cracks` says \"corner:1:along\""),
        ("inspected", r#""nail":9"#, "nail"),
        ("inspected", r#""nail":300"#, "`nail` is too large"),
        ("inspected", r#""gloss":2"#, ""),
    ];
    let (_dir, lock) = lock();
    for (fact, members, said) in cases {
        let bytes = hand_made(&short()[..2], &format!("{TIMES},\"fact\":\"{fact}\",{members}"));
        let (disk, (mut journal, read)) = open(&bytes);
        assert_eq!(read[2].event, CommonEvent::Unknown { name: fact.to_owned() }.into(), "{members}");
        let damage = journal.damage().unwrap().clone();
        assert_eq!((damage.line, damage.kind), (3, DamageKind::NewerVersion), "{members}");
        assert!(damage.message.contains(said), "{members}: {}", damage.message);
        let report = verify::<PanelEvent>(&disk, file()).unwrap();
        assert_eq!((report.worst_kind(), report.valid_lines), (Some(DamageKind::NewerVersion), 3), "{members}");
        assert!(matches!(journal.append(&lock, &entry(3, PanelEvent::Dull)), Err(JournalError::Damaged { .. })));
        assert!(matches!(mend::<PanelEvent>(&disk, &lock, file(), Stamp::default()).map(|m| m.backup), Ok(None)));
        assert_eq!(disk.bytes(file()), Some(bytes), "{members}");
    }
}

#[test]
fn a_newer_word_behind_a_bad_line_keeps_mending_away() {
    let (_dir, lock) = lock();
    let bytes = hand_made(&short()[..2], &format!("{TIMES},\"fact\":\"repeated\",\"why\":\"ugly\""));
    let mut lines = lines_of(&bytes);
    lines[1][40] ^= 1;
    let (disk, _) = open(&lines.concat());
    let kinds: Vec<_> = verify::<PanelEvent>(&disk, file()).unwrap().damages.iter().map(|d| (d.line, d.kind)).collect();
    assert_eq!(kinds[..2], [(2, DamageKind::Corrupt), (3, DamageKind::Corrupt)]);
    assert_eq!(kinds[2..], [(3, DamageKind::NewerVersion)]);
    let mended = mend::<PanelEvent>(&disk, &lock, file(), Stamp::default());
    assert!(matches!(mended, Err(JournalError::Damaged { ref damage, .. }) if damage.kind == DamageKind::NewerVersion));
    assert_eq!(disk.bytes(file()), Some(lines.concat()));
}

/// The first line of a journal, with `from` replaced by `to`.
fn opening_with(opening: &[u8], from: &str, to: &str) -> Vec<u8> {
    let text = std::str::from_utf8(&opening[..opening.len() - 19]).unwrap();
    assert_eq!(text.matches(from).count(), 1, "{from} in {text}");
    [line::append_crc(text.replacen(from, to, 1).into_bytes()), b"\n".to_vec()].concat()
}

#[test]
fn words_of_an_opening_are_known_or_newer_and_its_members_there_or_damage() {
    use DamageKind::{Corrupt, NewerVersion};
    let opening = bytes_of(&short()[..1]);
    for (from, to, kind) in [
        (r#""support":"birch-plywood""#, r#""support":"slate""#, NewerVersion),
        (r#""grain":"height""#, r#""grain":"slant""#, NewerVersion),
        (r#""paint":"oil""#, r#""paint":"wax""#, NewerVersion),
        (r#""faces":"both""#, r#""faces":"edge""#, NewerVersion),
        (r#""ready_sign":"dull""#, r#""ready_sign":"cool""#, NewerVersion),
        (r#""with":"shellac""#, r#""with":"wax""#, NewerVersion),
        (r#""name":"zinc white""#, r#""name":"lithopone""#, NewerVersion),
        (r#""grain":"height""#, r#""grain":1"#, Corrupt),
        (r#""grain":"height","#, "", Corrupt),
        (r#""faces":"both""#, r#""faces":1"#, Corrupt),
        (r#""wait_min":30.0"#, r#""wait_min":"soon""#, Corrupt),
        (r#""title":"Gypsum and zinc white, blade finish","#, "", Corrupt),
    ] {
        let (_, (journal, read)) = open(&opening_with(&opening, from, to));
        assert_eq!(where_and_what(journal.damage()), Some((1, 0, kind)), "{to}: {:?}", journal.damage());
        assert_eq!(read.len(), usize::from(kind == NewerVersion), "{to}");
    }
}

#[test]
fn a_pots_words_are_known_or_newer() {
    use crate::work::pot::event::{PotEvent, PotKind, PotOpened};
    let of = entry(0, PanelEvent::Dull);
    let opened = PotOpened {
        filler_lot: None,
        id: Id::new("gesso-2").unwrap(),
        label: "Gesso 2".to_owned(),
        kind: PotKind::Gesso,
        parent: None,
        recipe: Arc::new(recipe()),
        size_ml: None,
        lot: None,
        for_group: None,
        trial: None,
    };
    let event = PotEvent::Opened(Box::new(opened));
    let first = Entry { seq: 0, at: of.at, written: of.written, raw_wall: None, replaces: None, event };
    let line = [line::format_line(&first, 0, "0.1.0").unwrap(), b"\n".to_vec()].concat();
    let path = Path::new("/shelf/pots/gesso-2.jsonl");
    let kinds = [
        (r#""kind":"gesso""#, r#""kind":"varnish""#, DamageKind::NewerVersion),
        (r#""kind":"gesso""#, r#""kind":7"#, DamageKind::Corrupt),
    ];
    for (from, to, kind) in kinds {
        let disk = MemoryDisk::default();
        disk.put(path, &opening_with(&line, from, to));
        assert_eq!(verify::<PotEvent>(&disk, path).unwrap().worst_kind(), Some(kind), "{to}");
    }
    let prev = line::verify_crc(line.strip_suffix(b"\n").unwrap()).unwrap().1;
    let alert = format!(r#"{{"v":1,"seq":1,"prev":"{prev:08x}",{TIMES},"fact":"alert","call":"look for mould","of":0"#);
    let disk = MemoryDisk::default();
    disk.put(path, &[line, line::append_crc(alert.into_bytes()), b"\n".to_vec()].concat());
    assert_eq!(verify::<PotEvent>(&disk, path).unwrap().worst_kind(), Some(DamageKind::NewerVersion));
}

#[test]
fn members_and_facts_of_a_later_day_are_let_be() {
    let (_, (journal, read)) = open(&hand_made(&short()[..1], &format!("{TIMES},\"moon\":[1],\"fact\":\"dull\"")));
    assert_eq!((journal.damage(), &read[1].event), (None, &PanelEvent::Dull));

    let (disk, (mut journal, read)) =
        open(&hand_made(&short()[..1], &format!("{TIMES},\"fact\":\"varnished\",\"coats\":2")));
    assert_eq!(
        (journal.damage(), &read[1].event),
        (None, &PanelEvent::Common(CommonEvent::Unknown { name: "varnished".to_owned() }))
    );
    let before = disk.bytes(file()).unwrap();
    let (_dir, lock) = lock();
    journal.append(&lock, &entry(2, PanelEvent::Dull)).unwrap();
    assert!(disk.bytes(file()).unwrap().starts_with(&before));
}

#[test]
fn a_newer_line_behind_a_bad_one_is_told_of_and_never_written_anew() {
    let (_dir, lock) = lock();
    let old = lines_of(&bytes_of(&tiny()));
    let newer = |line: &[u8], with: (&str, &str)| {
        let body = String::from_utf8(line[..line.len() - 19].to_vec()).unwrap();
        let body = body.replacen("{\"v\":1", "{\"v\":3", 1).replacen(with.0, with.1, 1);
        [line::append_crc(body.into_bytes()), b"\n".to_vec()].concat()
    };
    let mut bad = old[1].clone();
    bad[40] ^= 1;
    let glued = [&old[1][..50], &newer(&old[2], ("", ""))].concat();
    for (name, lines, at) in [
        ("as it is", vec![old[0].clone(), bad.clone(), newer(&old[2], ("", ""))], 3),
        ("its time is told otherwise", vec![old[0].clone(), bad.clone(), newer(&old[2], ("\"at\":", "\"when\":"))], 3),
        ("its number too", vec![old[0].clone(), newer(&old[1], ("\"seq\":", "\"n\":")), old[2].clone()], 2),
        ("run together with a torn line", vec![old[0].clone(), glued], 2),
    ] {
        let (disk, _) = open(&lines.concat());
        let report = verify::verify::<PanelEvent>(&disk, file()).unwrap();
        let told: Vec<u64> =
            report.damages.iter().filter(|p| p.kind == DamageKind::NewerVersion).map(|p| p.line).collect();
        assert_eq!(told, [at], "{name}: {report:?}");
        let mended = verify::mend::<PanelEvent>(&disk, &lock, file(), Stamp::from_ms(1_790_000_000_000));
        assert!(
            matches!(mended, Err(JournalError::Damaged { ref damage, .. }) if damage.kind == DamageKind::NewerVersion),
            "{name}"
        );
        assert_eq!((disk.bytes(file()), disk.paths().len()), (Some(lines.concat()), 1), "{name}");
    }
}

#[test]
fn a_newer_format_is_read_as_far_as_it_goes_and_not_written_to() {
    for members in [r#""fact":"dull""#, r#""fact":"done","wait_min":"soon""#, r#""fact":"varnished""#] {
        let bytes = hand_made(&short()[..1], &format!("{TIMES},{members}"));
        let text = String::from_utf8(bytes).unwrap();
        let mut lines: Vec<_> = text.lines().collect();
        let newer = lines[1].replacen("{\"v\":1", "{\"v\":3", 1);
        let newer = String::from_utf8(line::append_crc(newer.as_bytes()[..newer.len() - 18].to_vec())).unwrap();
        lines[1] = &newer;
        let (disk, (mut journal, read)) = open(format!("{}\n", lines.join("\n")).as_bytes());
        assert_eq!(read.len(), 2, "{members}");
        assert_eq!(journal.damage().map(|d| (d.line, d.kind)), Some((2, DamageKind::NewerVersion)));
        let (_dir, lock) = lock();
        let before = disk.bytes(file());
        assert!(matches!(journal.append(&lock, &entry(2, PanelEvent::Dull)), Err(JournalError::Damaged { .. })));
        assert!(matches!(mend::<PanelEvent>(&disk, &lock, file(), Stamp::default()).map(|m| m.backup), Ok(None)));
        assert_eq!(disk.bytes(file()), before);
    }
}

#[test]
fn a_newer_versions_journal_is_not_called_damaged_and_not_sent_to_be_mended() {
    let (_dir, lock) = lock();
    let old = lines_of(&bytes_of(&short()));
    let strange = |seq: usize| {
        let prev = line::parse_link(old[seq].strip_suffix(b"\n").unwrap()).unwrap().prev;
        let body = format!("{{\"v\":3,\"seq\":{seq},\"prev\":\"{prev:08x}\",\"when\":4,\"fact\":\"dull\"");
        [line::append_crc(body.into_bytes()), b"\n".to_vec()].concat()
    };
    // Told in a form this version cannot read at all; and read as far as it goes, with a bad line behind it.
    let newer = hand_made(&short()[..1], &format!("{TIMES},\"fact\":\"repeated\",\"why\":\"ugly\""));
    for (bytes, kind) in [
        ([old[0].clone(), strange(1)].concat(), DamageKind::NewerVersion),
        ([newer, b"{}\n".to_vec()].concat(), DamageKind::Corrupt),
    ] {
        let (disk, (mut journal, _)) = open(&bytes);
        assert_eq!(journal.damage().map(|d| d.kind), Some(kind));
        let told = journal.append(&lock, &entry(journal.next_seq(), PanelEvent::Dull)).unwrap_err().to_string();
        assert!(told.contains("newer version") && !told.contains("--mend"), "{told}");
        let kinds: Vec<_> = verify::<PanelEvent>(&disk, file()).unwrap().damages.iter().map(|d| d.kind).collect();
        assert!(
            kinds.contains(&DamageKind::NewerVersion) && kinds.len() == usize::from(kind == DamageKind::Corrupt) + 1
        );
    }
}

#[test]
fn a_file_under_another_name_is_told_of_and_not_written_to() {
    let disk = MemoryDisk::default();
    let path = Path::new("/shelf/panels/wren.jsonl");
    disk.put(path, &bytes_of(&short()));
    let (mut journal, read) = Journal::<PanelEvent>::open(Arc::new(disk.clone()), path).unwrap();
    assert_eq!(read, short());
    assert_eq!(where_and_what(journal.damage()), Some((1, 0, DamageKind::WrongName)));
    let (_dir, lock) = lock();
    assert!(matches!(journal.append(&lock, &entry(4, PanelEvent::Dull)), Err(JournalError::Damaged { .. })));
    assert_eq!(verify::<PanelEvent>(&disk, path).unwrap().worst_kind(), Some(DamageKind::WrongName));
}

#[test]
fn a_journal_of_another_kind_is_not_taken_for_a_panel() {
    let text = String::from_utf8(bytes_of(&short()[..1])).unwrap().replace("sottile-panel", "sottile-spoon");
    let line = line::append_crc(text.as_bytes()[..text.len() - 19].to_vec());
    let (_, (journal, read)) = open(&[line, b"\n".to_vec()].concat());
    assert!(read.is_empty());
    assert_eq!(where_and_what(journal.damage()), Some((1, 0, DamageKind::Corrupt)));
}

#[test]
fn a_journal_kept_since_version_1_reads_as_it_always_did() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/journal-v1/blue-tit.jsonl");
    let (journal, read) = Journal::<PanelEvent>::open(Arc::new(FsStorage), &path).unwrap();
    assert_eq!(journal.damage(), None);
    assert_eq!(read, story());
}
