//! Disks that fail or lose their power, and the machine's own: what was acknowledged is there.

use super::*;
use crate::work::story::CommonEvent;

/// Makes a journal and records `story` in it, each fact until it is taken; what was acknowledged.
fn record(
    disk: &Arc<dyn Storage>,
    path: &Path,
    lock: &Lock,
    story: &[Entry<PanelEvent>],
    tries: usize,
) -> Vec<Entry<PanelEvent>> {
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
            if matches!(
                done,
                Err(JournalError::SyncFailed { rolled_back: false, .. } | JournalError::ReopenNeeded { .. })
            ) {
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

fn prefix_of(recovered: &[Entry<PanelEvent>], story: &[Entry<PanelEvent>]) -> bool {
    story.starts_with(recovered)
}

#[test]
fn whichever_call_fails_what_was_acknowledged_is_there() {
    let (_dir, lock) = lock();
    let story = behind_copy(&short());
    each_call(|plan| {
        let disk = MemoryDisk::default();
        disk.fuse.set(Some(plan));
        let fused: Arc<dyn Storage> = Arc::new(disk.clone());
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

/// What others appended is delivered once the disk can be read again, whichever call of the reading failed.
#[test]
fn a_reading_that_fails_half_way_is_begun_again() {
    let (_dir, lock) = lock();
    let story = behind_copy(&short());
    let mut failed = 0;
    for fail_at in 0.. {
        let disk = MemoryDisk::default();
        let shared: Arc<dyn Storage> = Arc::new(disk.clone());
        let mut ours = Journal::create(Arc::clone(&shared), file(), &lock, &story[0]).unwrap();
        let (mut theirs, _) = Journal::open(shared, file()).unwrap();
        for entry in &story[1..] {
            theirs.append(&lock, entry).unwrap();
        }
        let error = io::ErrorKind::StorageFull;
        disk.fuse.set(Some(Plan { fail_at, bytes: 0, for_good: false, error }));
        let first = ours.refresh();
        let blown = disk.fuse.blown();
        disk.fuse.set(None);
        failed += usize::from(first.is_err());
        let mut read = first.unwrap_or_default();
        read.extend(ours.refresh().unwrap());
        assert_eq!(read, story[1..], "call {fail_at}");
        assert_eq!((ours.next_seq(), ours.damage()), (story.len() as u64 + 1, None), "call {fail_at}");
        if !blown {
            break;
        }
    }
    assert!(failed > 2, "{failed}");
}

#[test]
fn one_failed_call_costs_no_fact_when_it_is_tried_again() {
    let (_dir, lock) = lock();
    let story = behind_copy(&short());
    each_call(|plan| {
        if plan.for_good {
            return plan.fail_at < 11;
        }
        let disk = MemoryDisk::default();
        disk.fuse.set(Some(plan));
        let fused: Arc<dyn Storage> = Arc::new(disk.clone());
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
    let story = behind_copy(&short());
    let losses =
        [Loss::Cut(0), Loss::Cut(1), Loss::Cut(77), Loss::Cut(usize::MAX), Loss::Nuls(1), Loss::Nuls(usize::MAX)];
    each_call(|plan| {
        let disk = MemoryDisk::default();
        disk.fuse.set(Some(plan));
        let fused: Arc<dyn Storage> = Arc::new(disk.clone());
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
                assert!(journal.damage().is_none_or(|d| !d.kind.is_blocking()), "{said}: {:?}", journal.damage());
                if !recovered.is_empty() {
                    journal.append(&lock, &entry(journal.next_seq(), PanelEvent::Dull)).unwrap();
                    assert_eq!(open_on(&after).0.damage(), None, "{said}");
                }
            }
        }
        disk.fuse.blown()
    });
}

#[test]
fn a_batch_is_there_as_a_whole_or_as_a_beginning_of_whole_lines() {
    let (_dir, lock) = lock();
    let story = story();
    let losses = [Loss::Cut(0), Loss::Cut(300), Loss::Cut(900), Loss::Cut(usize::MAX), Loss::Nuls(700)];
    each_call(|plan| {
        let disk = MemoryDisk::default();
        disk.put(file(), bytes_of(&story[..2]).strip_suffix(b"\n").unwrap());
        let fused: Arc<dyn Storage> = Arc::new(disk.clone());
        let (mut journal, before) = Journal::<PanelEvent>::open(Arc::clone(&fused), file()).unwrap();
        assert_eq!(before, story[..2]);
        disk.fuse.set(Some(plan));
        let kept =
            [&story[2..6], &story[6..9], &story[9..]].map(|batch| (journal.append_batch(&lock, batch), batch.len()));
        let blown = disk.fuse.blown();
        let acknowledged = 2 + kept.iter().take_while(|(done, _)| done.is_ok()).map(|(_, len)| len).sum::<usize>();
        for after in losses.map(|loss| disk.after_power_loss(loss, true)) {
            let (mut journal, recovered) = open_on(&after);
            assert!(recovered.len() >= acknowledged && prefix_of(&recovered, &story), "{plan:?}");
            journal.append_batch(&lock, &story[recovered.len()..]).unwrap();
            assert_eq!(open_on(&after).1, story, "{plan:?}");
        }
        disk.fuse.set(None);
        // What failed is not there, unless the journal says that it no longer knows; and it can be tried again.
        if !journal.needs_reopen() {
            assert_eq!(open_on(&disk).1.len(), acknowledged, "{plan:?}");
        }
        let (mut journal, there) = open_on(&disk);
        journal.append_batch(&lock, &story[there.len()..]).unwrap();
        assert!(open_on(&disk).1 == story && open_on(&disk).0.damage().is_none(), "{plan:?}");
        blown
    });
}

#[test]
fn a_batch_with_one_fact_that_cannot_be_kept_writes_none() {
    let (_dir, lock) = lock();
    let (disk, (mut journal, _)) = open(&bytes_of(&tiny()));
    let before = disk.bytes(file());
    let note = |seq, text: String| entry(seq, PanelEvent::Common(CommonEvent::Noted { text }));
    assert!(matches!(
        journal.append_batch(&lock, &[note(3, "a".to_owned()), note(4, "long".repeat(LINE_MAX))]),
        Err(JournalError::TooLong { .. })
    ));
    assert!(matches!(
        journal.append_batch(&lock, &[note(3, "a".to_owned()), note(5, "b".to_owned())]),
        Err(JournalError::WrongSeq { found: 5, expected: 4 })
    ));
    assert_eq!(disk.bytes(file()), before);
    journal.append_batch(&lock, &[note(3, "a".to_owned()), note(4, "b".to_owned())]).unwrap();
    journal.append_batch(&lock, &[]).unwrap();
    assert_eq!((journal.next_seq(), open_on(&disk).1.len()), (5, 5));
}

/// A system that says it took everything, and did not, is found out before anything is called kept.
#[test]
fn a_write_that_lies_is_found_out_in_making_and_in_mending() {
    let (_dir, lock) = lock();
    let lines = lines_of(&bytes_of(&story()));
    let bad = [lines[0].clone(), lines[2].clone()].concat();
    for short in [0, 1, 100] {
        let disk = MemoryDisk::default();
        disk.fuse.lie(Some(short));
        let made = Journal::create(Arc::new(disk.clone()), file(), &lock, &entry(0, opened()));
        assert!(matches!(made, Err(JournalError::WriteFailed { .. })), "{short}: {made:?}");
        assert_eq!(disk.paths(), Vec::<PathBuf>::new());

        let (disk, _) = open(&bad);
        disk.fuse.lie(Some(short));
        let mended = mend::<PanelEvent>(&disk, &lock, file(), Stamp::default());
        assert!(matches!(mended, Err(JournalError::WriteFailed { .. })), "{short}: {mended:?}");
        assert_eq!((disk.bytes(file()), disk.paths().len()), (Some(bad.clone()), 1), "{short}");
    }
}

#[test]
fn mending_on_a_failing_disk_leaves_the_old_file_or_the_mended_one() {
    let (_dir, lock) = lock();
    let lines = lines_of(&bytes_of(&story()));
    let bytes = [lines[0].clone(), lines[1].clone(), lines[3].clone()].concat();
    each_call(|plan| {
        let (disk, _) = open(&bytes);
        disk.fuse.set(Some(plan));
        let mended = mend::<PanelEvent>(&disk, &lock, file(), Stamp::default());
        let blown = disk.fuse.blown();
        disk.fuse.set(None);
        let now = disk.bytes(file()).unwrap();
        match mended {
            Ok(mended) => assert_eq!(disk.bytes(&mended.backup.unwrap()).unwrap(), bytes, "{plan:?}"),
            Err(_) => assert_eq!(now, bytes, "{plan:?}"),
        }
        blown
    });
}

#[test]
fn a_sync_that_failed_is_not_believed_the_next_time() {
    let (_dir, lock) = lock();
    let (disk, (mut journal, _)) = open(&bytes_of(&story()[..2]));
    // Opening, its size, the write, its size again, the sync.
    disk.fuse.set(Some(Plan { fail_at: 4, bytes: 0, for_good: false, error: io::ErrorKind::Other }));
    let failed = journal.append(&lock, &story()[2]);
    assert!(matches!(failed, Err(JournalError::SyncFailed { rolled_back: true, .. })), "{failed:?}");
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
    for (fail_at, uncertain) in [(2, false), (3, true), (4, true)] {
        let (disk, (mut journal, _)) = open(&bytes_of(&story()[..2]));
        disk.fuse.set(Some(Plan { fail_at, bytes: 30, for_good: true, error: io::ErrorKind::ReadOnlyFilesystem }));
        let path = file().to_owned();
        let trouble = FileError::ReadOnly;
        let expected = if uncertain {
            JournalError::SyncFailed { path: path.clone(), error: trouble.clone(), rolled_back: false }
        } else {
            JournalError::WriteFailed { path: path.clone(), error: trouble.clone() }
        };
        assert_eq!(journal.append(&lock, &story()[2]), Err(expected));
        disk.fuse.set(None);
        journal.refresh().unwrap();
        assert_eq!(
            journal.append(&lock, &entry(journal.next_seq(), PanelEvent::Dull)),
            Err(JournalError::ReopenNeeded { path, error: trouble })
        );
        let read = journal.reopen().unwrap();
        assert!(read == story()[..2] || uncertain && read == story()[..3]);
        journal.append(&lock, &entry(journal.next_seq(), PanelEvent::Dull)).unwrap();
        assert_eq!(open_on(&disk).0.damage(), None);
    }
}

#[test]
fn the_real_disk_keeps_privately_and_whole_whichever_call_fails() {
    let (dir, lock) = lock();
    let story = behind_copy(&short());
    let panels = dir.path().join("panels");
    std::fs::create_dir(&panels).unwrap();
    let path = panels.join("blue-tit.jsonl");
    each_call(|plan| {
        let _ = std::fs::remove_file(&path);
        let fuse = Arc::new(Fuse::default());
        fuse.set(Some(plan));
        let disk: Arc<dyn Storage> = Arc::new(FusedDisk { disk: Arc::new(FsStorage), fuse: Arc::clone(&fuse) });
        let acknowledged = record(&disk, &path, &lock, &story, 1);
        match Journal::<PanelEvent>::open(Arc::new(FsStorage), &path) {
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
    let mut device = std::fs::File::options().write(true).open("/dev/full").unwrap();
    let e = std::io::Write::write(&mut device, b"a fact").unwrap_err();
    assert_eq!(FileError::from_io_error(&e), FileError::DiskFull);
}

#[cfg(unix)]
#[test]
fn nothing_is_written_through_a_symbolic_link() {
    let (dir, lock) = lock();
    let real = dir.path().join("elsewhere");
    let path = dir.path().join("blue-tit.jsonl");
    std::fs::write(&real, bytes_of(&short())).unwrap();
    std::os::unix::fs::symlink(&real, &path).unwrap();
    let (mut journal, read) = Journal::<PanelEvent>::open(Arc::new(FsStorage), &path).unwrap();
    assert_eq!(read, short());
    let found = journal.append(&lock, &entry(4, PanelEvent::Dull));
    assert_eq!(found, Err(JournalError::WriteFailed { path, error: FileError::IsSymlink }));
    assert_eq!(std::fs::read(&real).unwrap(), bytes_of(&short()));
}
