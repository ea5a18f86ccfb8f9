//! A file is the old one or the new one; a lock is held by one.

use super::*;

#[test]
fn a_replaced_file_is_whole_and_leaves_nothing_beside_it() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("rack.json");
    for text in ["first", "second, and longer", ""] {
        replace_file(&path, text.as_bytes()).unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), text);
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
    }
}

#[cfg(unix)]
#[test]
fn modes_are_private_and_an_old_mode_is_kept() {
    use std::os::unix::fs::PermissionsExt;
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    let dir = tempfile::tempdir().unwrap();
    let deep = dir.path().join("a/b");
    ensure_dir(&deep).unwrap();
    ensure_dir(&deep).unwrap();
    let path = deep.join("settings");
    replace_file(&path, b"x").unwrap();
    assert_eq!((mode(&dir.path().join("a")), mode(&deep), mode(&path)), (0o700, 0o700, 0o600));
    fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
    replace_file(&path, b"y").unwrap();
    assert_eq!((mode(&path), fs::read(&path).unwrap()), (0o640, b"y".to_vec()));
    let lock = deep.join("lock");
    let _lock = Lock::acquire(&lock).unwrap();
    assert_eq!(mode(&lock), 0o600);
}

#[cfg(unix)]
#[test]
fn a_symbolic_link_is_refused_and_what_it_points_to_stays() {
    let dir = tempfile::tempdir().unwrap();
    let (real, link) = (dir.path().join("real"), dir.path().join("link"));
    fs::write(&real, "old").unwrap();
    std::os::unix::fs::symlink(&real, &link).unwrap();
    assert_eq!(FileError::from_io_error(&replace_file(&link, b"new").unwrap_err()), FileError::IsSymlink);
    assert!(matches!(Lock::acquire(&link), Err(LockError::Io { error: FileError::IsSymlink, .. })));
    assert_eq!(fs::read_to_string(&real).unwrap(), "old");
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 2);
}

#[test]
fn a_failed_replacement_leaves_the_old_and_nothing_new() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("taken");
    fs::create_dir(&path).unwrap();
    fs::write(path.join("inside"), "old").unwrap();
    assert!(replace_file(&path, b"new").is_err());
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
    assert_eq!(
        FileError::from_io_error(&replace_file(&dir.path().join("no/such"), b"x").unwrap_err()),
        FileError::NotFound
    );
}

#[test]
fn a_directory_where_a_file_stands_is_refused() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("file");
    fs::write(&path, "").unwrap();
    assert!(ensure_dir(&path).is_err());
    assert!(ensure_dir(&path.join("below")).is_err());
}

#[test]
fn the_lock_is_held_by_one_and_says_by_whom() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("lock");
    let first = Lock::acquire(&path).unwrap();
    match Lock::acquire_with_retries(&path, 0) {
        Err(LockError::Held { holder: Some(by), .. }) => assert_eq!(by, format!("process {}", std::process::id())),
        other => panic!("{other:?}"),
    }
    drop(first);
    let second = Lock::acquire_with_retries(&path, 0).unwrap();
    drop(second);
    assert!(path.exists());
}

#[test]
fn whoever_waits_for_the_lock_gets_it_when_it_is_given_up() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("lock");
    let count = std::sync::Mutex::new(0);
    std::thread::scope(|scope| {
        for _ in 0..4 {
            scope.spawn(|| {
                for _ in 0..5 {
                    let _lock = Lock::acquire(&path).unwrap();
                    // Never contended if the file lock holds.
                    *count.try_lock().unwrap() += 1;
                }
            });
        }
    });
    assert_eq!(*count.lock().unwrap(), 20);
}

#[test]
fn a_boot_is_read_in_one_form_only() {
    let text = "0123abcd-4567-89ef-0123-456789abcdef";
    assert_eq!(parse_boot_id(text).map(format_boot_id).as_deref(), Some(text));
    for wrong in [
        "",
        "0123ABCD-4567-89ef-0123-456789abcdef",
        "0123abcd456789ef0123456789abcdef",
        "+123abcd-4567-89ef-0123-456789abcdef",
    ] {
        assert_eq!(parse_boot_id(wrong), None, "{wrong}");
    }
    assert!(!cfg!(target_os = "linux") || read_boot_id().is_some());
}

#[test]
fn room_is_asked_of_the_nearest_directory_there_is() {
    let dir = tempfile::tempdir().unwrap();
    assert_eq!(free_mb(&dir.path().join("not/yet")).is_some(), cfg!(unix));
}

#[test]
fn what_a_killed_process_left_of_a_replacing_is_tidied_and_what_a_living_one_holds_is_not() {
    let dir = tempfile::tempdir().unwrap();
    let left = dir.path().join(".replacing-left");
    let held = dir.path().join(".replacing-held");
    fs::write(&left, "half").unwrap();
    let living = fs::File::create(&held).unwrap();
    living.try_lock().unwrap();
    replace_file(&dir.path().join("rack.json"), b"{}").unwrap();
    assert!(!left.exists() && held.exists());
}
