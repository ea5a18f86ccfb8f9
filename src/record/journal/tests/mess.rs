//! Any bytes at all, and any words of a maker.

use super::*;
use crate::work::story::CommonEvent;

/// Bytes that look like a journal in places.
fn mess() -> impl Strategy<Value = Vec<u8>> {
    let lines = lines_of(&bytes_of(&short()));
    let part = prop_oneof![
        prop::collection::vec(any::<u8>(), 0..40),
        (0..lines.len()).prop_map(move |i| lines[i].clone()),
        Just(b"\n".to_vec()),
        Just(vec![0; 20]),
        Just(b"{\"v\":1,\"seq\":18446744073709551615,\"prev\":\"00000000\",\"fact\":\"opened\"".to_vec()),
        ".*".prop_map(|s| line::append_crc(s.into_bytes())),
        (any::<u64>(), any::<u32>()).prop_map(|(seq, prev)| {
            line::append_crc(
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
        let report = verify::<PanelEvent>(&disk, file()).unwrap();
        prop_assert_eq!(report.damages.is_empty(), journal.damage().is_none());
        prop_assert!(report.valid_lines >= read.len() as u64);
        if let Ok(mended) = mend::<PanelEvent>(&disk, &lock, file(), Stamp::default()) {
            match &mended.backup {
                Some(aside) => prop_assert_eq!(disk.bytes(aside).unwrap(), bytes.clone()),
                None => prop_assert_eq!(disk.bytes(file()).unwrap(), bytes.clone()),
            }
            if disk.bytes(file()).is_some() {
                prop_assert!(open_on(&disk).0.damage().is_none_or(|d| d.kind == DamageKind::WrongName));
            }
        }
        disk.put(file(), &bytes[..cut.index(bytes.len() + 1)]);
        let _ = journal.refresh();
        let _ = journal.append(&lock, &entry(journal.next_seq(), PanelEvent::Dull));
    }

    #[test]
    fn any_words_of_a_maker_read_back(text in ".*", why in ".*", g in any::<f64>().prop_filter("a number", |g| g.is_finite())) {
        let story = vec![
            entry(0, opened()),
            entry(1, PanelEvent::Common(CommonEvent::Noted { text })),
            entry(2, PanelEvent::Abandoned { why }),
            entry(3, PanelEvent::Common(CommonEvent::Weighed { mass: Mass::from_g(g), offcut: None })),
        ];
        prop_assert_eq!(open(&bytes_of(&story)).1.1, story);
    }
}

#[test]
fn every_trouble_has_a_sentence_of_its_own() {
    let numbers = [28, 30, 27, 5, 122, 13, 2, 17, 40, 71];
    let said: BTreeSet<String> =
        numbers.iter().map(|n| FileError::from_io_error(&io::Error::from_raw_os_error(*n)).to_string()).collect();
    assert_eq!(said.len(), numbers.len());
    let known = [
        FileError::DiskFull,
        FileError::ReadOnly,
        FileError::FileTooLarge,
        FileError::DeviceError,
        FileError::QuotaExceeded,
        FileError::PermissionDenied,
    ];
    let found = numbers[..6].iter().map(|n| FileError::from_io_error(&io::Error::from_raw_os_error(*n)));
    assert!(cfg!(not(target_os = "linux")) || found.eq(known));
}
