//! Bad input and bad disks on the real program: one clear sentence, the right exit code, nothing lost, nothing half-written.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod common;

use common::screen::Screen;
use common::{Ran, Shop, has};
use std::fs;
use std::path::Path;

/// Everything under a directory, for comparing: path and content.
fn all_of(dir: &Path) -> Vec<(String, Vec<u8>)> {
    let mut all = Vec::new();
    let mut dirs = vec![dir.to_owned()];
    while let Some(dir) = dirs.pop() {
        for entry in fs::read_dir(dir).into_iter().flatten() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                dirs.push(path);
            } else {
                all.push((path.display().to_string(), fs::read(&path).unwrap()));
            }
        }
    }
    all.sort();
    all
}

/// One sentence on stderr, nothing on stdout, that exit code.
fn says(ran: &Ran, code: i32, words: &[&str]) {
    assert_eq!((ran.code, ran.out.as_str()), (Some(code), ""), "{ran:?}");
    let said = ran.sentence();
    for word in words {
        assert!(said.contains(word), "{word:?} is missing: {said}");
    }
    assert!(!said.contains("os error") && !said.contains("RUST_BACKTRACE"), "{said}");
}

#[test]
fn sizes_that_cannot_be_are_told_of_and_open_nothing() {
    let shop = Shop::new();
    let check = |size: &str, words: &[&str]| says(&shop.run(&["new", "Wren", "--size", size]), 2, words);
    check("300x400", &["--size", "\"300x400\"", "the unit is missing", "300x400x12mm"]);
    check("0x400mm", &["more than zero"]);
    check("300x0x12mm", &["more than zero"]);
    check("300x400x0mm", &["more than zero"]);
    check("0.0x0.0cm", &["more than zero"]);
    check("300x400furlong", &["\"furlong\"", "unit"]);
    check("300mm", &["cannot be read"]);
    check("", &["nothing is there"]);
    check("axbmm", &["not a number"]);
    check("nanxnanmm", &["cannot be read"]);
    check("infxinfmm", &["cannot be read"]);
    check("1e999x1mm", &["cannot be read"]);
    check("900000x900000mm", &["cannot be more than"]);
    check("300x400x12mm; rm", &["cannot be read"]);
    let negative = shop.run(&["new", "Wren", "--size=-300x400mm"]);
    assert_eq!(negative.code, Some(2), "{negative:?}");
    assert!(negative.err.contains("zero") || negative.err.contains("cannot be read"), "{negative:?}");
    assert!(!shop.data().exists(), "nothing was made");
}

#[test]
fn a_thin_board_is_taken_with_a_caution() {
    let shop = Shop::new();
    for (label, size, thin) in
        [("Wren", "300x400x9.9mm", true), ("Robin", "300x400x10mm", false), ("Jay", "12x16x3/8in", true)]
    {
        let ran = shop.run(&["new", label, "--size", size, "--recipe", "gypsum-titanium"]);
        assert_eq!((ran.code, ran.out.as_str()), (Some(0), format!("{}\n", label.to_lowercase()).as_str()), "{ran:?}");
        let cautioned = ran.err.contains("caution") && ran.err.contains("bow");
        assert_eq!(cautioned, thin, "{size}: {}", ran.err);
    }
}

#[test]
fn unknown_words_are_wrong_usage_and_name_the_known_ones() {
    let shop = Shop::new();
    let check = |args: &[&str], word: &str| {
        let all: Vec<&str> = ["new", "Wren", "--size", "300x400mm"].iter().chain(args).copied().collect();
        let ran = shop.run(&all);
        assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""), "{ran:?}");
        assert!(ran.err.contains(word), "{word}: {}", ran.err);
    };
    check(&["--support", "cardboard"], "birch-plywood");
    check(&["--paint", "acrylic"], "tempera");
    check(&["--grain", "diagonal"], "width");
    check(&["--count", "0"], "200");
    check(&["--count", "many"], "many");
    let label = shop.run(&["new", "  ", "--size", "300x400mm"]);
    says(&label, 2, &["label"]);
    assert!(!shop.data().exists());
}

#[test]
fn a_broken_recipe_opens_nothing_and_says_where() {
    let shop = Shop::new();
    let with = |text: &str| {
        let path = shop.dir().join("mine.toml");
        fs::write(&path, text).unwrap();
        shop.run(&["new", "Wren", "--size", "300x400mm", "--recipe", path.to_str().unwrap()])
    };
    let good = fs::read_to_string(shop.short_recipe()).unwrap();
    says(&with(&good.replace("dry_min", "dri_min")), 1, &["mine.toml", "line", "dri_min", "dry_min"]);
    says(&with(&good.replace("cure_h = 1.0", "cure_h = -1.0")), 1, &["mine.toml", "cure_h"]);
    says(&with(&good.replace("cure_h = 1.0", "cure_h = \"long\"")), 1, &["mine.toml", "cure_h"]);
    says(&with("= = ="), 1, &["mine.toml"]);
    says(&with(""), 1, &["mine.toml", "more"]);
    says(&with("\u{feff}\0\0\0"), 1, &["mine.toml"]);
    let none = shop.dir().join("none.toml");
    says(
        &shop.run(&["new", "Wren", "--size", "3x4cm", "--recipe", none.to_str().unwrap()]),
        1,
        &["none.toml", "cannot be read"],
    );
    says(&shop.run(&["new", "Wren", "--size", "3x4cm", "--recipe", "gypsum-zink"]), 1, &["gypsum-zink", "gypsum-zinc"]);
    assert!(!shop.data().exists());
}

#[test]
fn broken_settings_are_told_of_with_their_line() {
    let shop = Shop::new();
    let file = shop.dir().join("set.toml");
    fs::write(&file, "ascii = true\nunits = \"cubits\"\n").unwrap();
    says(&shop.run(&["panels", "--config", file.to_str().unwrap()]), 1, &["set.toml", "line 2", "units", "metric"]);
}

#[test]
fn stories_that_cannot_be_are_refused_and_leave_no_line() {
    let shop = Shop::new();
    let id = shop.panel("Wren");
    for at in ["09:05", "09:10"] {
        shop.done(&["mark", &id, "done", "--at", &format!("2026-03-02T{at}:00Z")]);
    }
    shop.done(&["mark", &id, "start", "--at", "2026-03-02T09:20:00Z"]);
    let before = fs::read(shop.journal(&id)).unwrap();
    let check = |args: &[&str], words: &[&str]| {
        let all: Vec<&str> = ["mark", &id].iter().chain(args).copied().collect();
        says(&shop.run(&all), 1, words);
    };
    check(&["start"], &["begun already"]);
    check(&["back"], &["not away"]);
    check(&["away"], &["between the stipple and the last coat"]);
    check(&["extra"], &["under way"]);
    check(&["repeat", "--why", "thin"], &["under way"]);
    check(&["done", "--direction", "vertical"], &["no direction"]);
    check(&["done", "--map", "000/000/000"], &["map belongs to a check"]);
    check(&["note", ""], &["a word"]);
    check(&["done", "--at", "2026-03-02T08:00:00Z"], &["before the panel was opened"]);
    check(&["done", "--at", "2199-01-01T00:00:00Z"], &["ahead"]);
    check(&["start", "--at", "2026-03-02T09:15:00Z"], &["later entry", "begun already"]);
    assert_eq!(fs::read(shop.journal(&id)).unwrap(), before, "nothing was written");
    // What was given up takes no more facts, until that is taken back.
    shop.done(&["mark", &id, "abandon", "--why", "dropped"]);
    check(&["done"], &["given up", "take that back"]);
    shop.done(&["mark", &id, "undo"]);
    shop.done(&["mark", &id, "done"]);
    shop.sound();
}

#[test]
fn undo_stops_at_the_opening() {
    let shop = Shop::new();
    let id = shop.panel("Wren");
    shop.done(&["mark", &id, "done"]);
    shop.done(&["mark", &id, "undo"]);
    says(&shop.run(&["mark", &id, "undo"]), 1, &["nothing is left to take back"]);
}

/// A panel with some facts, and its journal.
fn with_facts(shop: &Shop) -> (String, std::path::PathBuf) {
    let id = shop.panel("Wren");
    for at in ["09:05", "09:10", "09:14", "09:50"] {
        shop.done(&["mark", &id, "done", "--at", &format!("2026-03-02T{at}:00Z")]);
    }
    let journal = shop.journal(&id);
    (id, journal)
}

#[test]
fn a_damaged_journal_shows_its_sound_beginning_and_takes_nothing_until_mended() {
    let shop = Shop::new();
    let (id, journal) = with_facts(&shop);
    let sound = fs::read(&journal).unwrap();
    let fourth = sound.iter().enumerate().filter(|(_, b)| **b == b'\n').nth(3).unwrap().0;
    let mut bytes = sound.clone();
    bytes[fourth + 20] ^= 1;
    fs::write(&journal, &bytes).unwrap();

    let shown = shop.run(&["show", &id]);
    assert_eq!(shown.code, Some(3), "{shown:?}");
    assert!(
        shown.out.contains("board prepared") && shown.out.contains("09:10") && !shown.out.contains("09:14"),
        "{}",
        shown.out
    );
    assert!(shown.sentence().contains("line 5") && shown.sentence().contains("verify"), "{}", shown.err);
    let json = shop.run(&["show", &id, "--json"]);
    assert_eq!(json.code, Some(3));
    let json: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    assert_eq!((&json["damaged"]["line"], &json["damaged"]["byte"]), (&5.into(), &(fourth + 1).into()), "{json:#}");
    assert_eq!(json["facts"].as_array().unwrap().len(), 3);

    says(&shop.run(&["mark", &id, "done"]), 3, &["damaged", "verify --mend"]);
    assert_eq!(fs::read(&journal).unwrap(), bytes, "nothing was written");
    let listed = shop.run(&["panels", "--json"]);
    assert_eq!(listed.code, Some(3), "{listed:?}");
    let verified = shop.run(&["verify", "--json"]);
    assert_eq!(verified.code, Some(3));
    let verified: serde_json::Value = serde_json::from_str(&verified.out).unwrap();
    assert_eq!(verified["files"][0]["problems"][0]["kind"], "corrupt", "{verified:#}");

    let mended = shop.run(&["verify", "--mend"]);
    assert_eq!(mended.code, Some(0), "{mended:?}");
    shop.sound();
    // What lay behind the damage is kept too, and the fact that was lost has its place.
    assert_eq!(shop.facts(&id), ["opened", "done", "done", "lost", "done"]);
    let aside =
        all_of(&shop.data()).into_iter().find(|(path, _)| path.contains("damaged-")).expect("the original is kept");
    assert_eq!(aside.1, bytes);
    shop.done(&["mark", &id, "done"]);
    shop.sound();
}

#[test]
fn a_torn_end_is_mended_by_the_next_fact() {
    let shop = Shop::new();
    let (id, journal) = with_facts(&shop);
    let sound = fs::read(&journal).unwrap();
    let check = |bytes: Vec<u8>, facts: usize| {
        fs::write(&journal, &bytes).unwrap();
        let shown = shop.run(&["show", &id]);
        assert_eq!(shown.code, Some(0), "{shown:?}");
        assert_eq!(shop.facts(&id).len(), facts);
        shop.done(&["mark", &id, "note", "after"]);
        assert_eq!(shop.facts(&id).len(), facts + 1);
        shop.sound();
    };
    let cut = |n: usize| sound[..sound.len() - n].to_vec();
    // Without its line end the last line is whole; a byte less and it is not.
    check(cut(1), 5);
    check(cut(2), 4);
    check(cut(40), 4);
    check([cut(40), vec![0; 400]].concat(), 4);
    check([sound.clone(), vec![0; 400]].concat(), 5);
    check([sound.clone(), b"{\"v\":1,\"se".to_vec()].concat(), 5);
    let torn = [sound.clone(), b"{".to_vec()].concat();
    fs::write(&journal, torn).unwrap();
    let verified = shop.run(&["verify"]);
    assert_eq!(verified.code, Some(1), "{verified:?}");
    assert!(verified.out.contains("torn"), "{verified:?}");
}

#[test]
fn a_journal_without_a_beginning_is_told_of_and_the_others_go_on() {
    let shop = Shop::new();
    let (id, journal) = with_facts(&shop);
    shop.panel("Robin");
    for bytes in [b"no journal\n".to_vec(), vec![0; 100], b"{\"v\":99}\n".to_vec()] {
        fs::write(&journal, &bytes).unwrap();
        let shown = shop.run(&["show", &id]);
        assert_eq!((shown.code, shown.out.as_str()), (Some(3), ""), "{bytes:?}: {shown:?}");
        assert!(!shown.sentence().is_empty());
        let marked = shop.run(&["mark", &id, "done"]);
        assert_eq!(marked.code, Some(3), "{bytes:?}: {marked:?}");
        assert_eq!(fs::read(&journal).unwrap(), bytes, "nothing was written");
        let listed = shop.run(&["panels"]);
        assert_eq!(listed.code, Some(3), "{listed:?}");
        assert!(
            listed.out.contains("Robin") && listed.out.contains("wren") && listed.out.contains("DAMAGED"),
            "{listed:?}"
        );
        shop.done(&["mark", "robin", "note", "goes on"]);
    }
}

#[test]
fn a_damaged_panel_on_the_bench_is_shown_and_takes_no_key() {
    let shop = Shop::new();
    let (id, journal) = with_facts(&shop);
    let mut bytes = fs::read(&journal).unwrap();
    let last = bytes.len() - 30;
    bytes[last] ^= 1;
    fs::write(&journal, &bytes).unwrap();
    let mut screen = Screen::with(&shop, (80, 24), &[&id]);
    // The wait that fell due rings, damaged or not; the first key quiets it.
    screen.shows("damaged").sent("\x07", 1).keys("x").shows("damaged").keys("w").shows("A note");
    screen.keys("a word\r").shows("nothing is recorded");
    screen.keys("\x1b").lacks("A note").keys("q");
    assert_eq!(screen.end(), 0);
    assert_eq!(fs::read(&journal).unwrap(), bytes, "nothing was written");
}

#[test]
fn mending_looks_at_every_file_and_ends_with_the_worst() {
    let shop = Shop::new();
    let (wren, first) = with_facts(&shop);
    let sound = fs::read(&first).unwrap();
    // The first file has lost its opening and the copy of it, and cannot be mended; the one after it can, and the last is sound.
    let robin = shop.panel("Robin");
    shop.done(&["mark", &robin, "done"]);
    let mut torn = fs::read(shop.journal(&robin)).unwrap();
    torn.extend_from_slice(b"{");
    fs::write(shop.journal(&robin), &torn).unwrap();
    let tit = shop.panel("Tit");
    let mut beheaded = sound.clone();
    let copy = beheaded.iter().position(|b| *b == b'\n').unwrap() + 1;
    beheaded[20] ^= 1;
    beheaded[copy + 20] ^= 1;
    fs::write(&first, &beheaded).unwrap();
    let order: Vec<_> = [&wren, &robin, &tit].iter().map(|id| shop.journal(id).display().to_string()).collect();
    let given: Vec<&str> = order.iter().map(String::as_str).collect();
    let missing = shop.data().join("panels/none.jsonl").display().to_string();

    let mut args = vec!["verify", "--mend", "--json", &missing];
    args.extend(&given);
    let ran = shop.run(&args);
    assert_eq!(ran.code, Some(3), "{ran:?}");
    let json: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    let told: Vec<_> = json["files"].as_array().unwrap().iter().map(|f| (f["path"].clone(), f["ok"].clone())).collect();
    let expected = [&missing, &order[0], &order[1], &order[2]].map(|p| serde_json::Value::from(p.as_str()));
    assert_eq!(told, expected.into_iter().zip([false, false, true, true].map(Into::into)).collect::<Vec<_>>());
    assert!(ran.err.contains("none.jsonl") && ran.err.contains("first line"), "{}", ran.err);
    assert_eq!(fs::read(&first).unwrap(), beheaded, "what cannot be mended stays as it is");
    shop.done(&["verify", given[1], given[2]]);
    // Without mending the worst counts as well: a torn end beside a file that is not there.
    fs::write(shop.journal(&robin), &torn).unwrap();
    assert_eq!(shop.run(&["verify", &missing, given[1]]).code, Some(1));
}

#[test]
fn a_lock_that_cannot_be_taken_is_no_matter_of_the_fact() {
    let shop = Shop::new();
    let (id, journal) = with_facts(&shop);
    let before = fs::read(&journal).unwrap();
    fs::remove_file(shop.data().join("lock")).unwrap();
    fs::create_dir(shop.data().join("lock")).unwrap();
    for args in [&["mark", &id, "done"][..], &["air", "20C", "50%"], &["verify", "--mend"]] {
        let ran = shop.run(args);
        assert_eq!(ran.code, Some(3), "{ran:?}");
        assert!(ran.sentence().contains("lock cannot be locked: it is a directory"), "{ran:?}");
    }
    assert_eq!(fs::read(&journal).unwrap(), before);
}

#[test]
fn a_pot_without_a_beginning_is_listed_as_a_panel_is() {
    let shop = Shop::new();
    for label in ["Skin glue", "Bone glue"] {
        shop.done(&["pot", "new", label, "--kind", "size", "--at", "2026-03-02T09:00:00Z"]);
    }
    fs::write(shop.data().join("pots/bone-glue.jsonl"), "no journal\n").unwrap();
    assert_eq!(shop.run(&["pots", "--json"]).code, Some(3));
    let json = shop.json(&["pots", "--json"]);
    let pots = json["pots"].as_array().unwrap();
    let bone = pots.iter().find(|p| p["id"] == "bone-glue").unwrap_or_else(|| panic!("it is left out: {json:#}"));
    let skin = pots.iter().find(|p| p["id"] == "skin-glue").unwrap();
    let keys = |pot: &serde_json::Value| pot.as_object().unwrap().keys().cloned().collect::<Vec<_>>();
    assert_eq!((keys(bone), pots.len()), (keys(skin), 2));
    assert_eq!((&bone["label"], &bone["phase"], &bone["damaged"]["line"]), (&().into(), &().into(), &1.into()));
    assert_eq!((&skin["phase"], &skin["damaged"]), (&"soaking".into(), &().into()));
}

#[test]
fn a_text_that_is_too_large_is_refused_and_never_cut() {
    let shop = Shop::new();
    let large = |name: &str, mib: u64| {
        let path = shop.dir().join(name);
        fs::File::create(&path).unwrap().set_len((mib << 20) + 1).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let recipe = large("large.toml", 1);
    says(&shop.run(&["recipe", "check", &recipe]), 1, &["large.toml", "larger than 1 MiB", "right file"]);
    says(&shop.run(&["new", "Wren", "--size", "3x4cm", "--recipe", &recipe]), 1, &["larger than 1 MiB"]);
    let log = large("log.csv", 16);
    says(&shop.run(&["air", "--from", &log]), 1, &["log.csv", "larger than 16 MiB", "several files"]);
    let forecast = ["pot", "forecast", "--room", "20C", "--gels-at", "30C", "--readings", &log];
    says(&shop.run(&forecast), 1, &["larger than 16 MiB"]);
    let latin = shop.dir().join("latin.csv");
    fs::write(&latin, b"time,temp_c (\xb0C),rh_pct\n").unwrap();
    says(&shop.run(&["air", "--from", latin.to_str().unwrap()]), 1, &["latin.csv", "UTF-8"]);
    assert!(!shop.data().exists());
}

#[test]
fn two_recipes_of_one_name_are_told_apart() {
    let shop = Shop::new();
    let config = shop.dir().join("set.toml");
    fs::write(&config, "").unwrap();
    fs::create_dir(shop.dir().join("recipes")).unwrap();
    let run = |args: &[&str]| shop.run(&[args, &["--config", config.to_str().unwrap()]].concat());
    let file = |name: &str, called: &str| {
        let text = fs::read_to_string(shop.short_recipe()).unwrap();
        let path = shop.dir().join("recipes").join(format!("{name}.toml"));
        fs::write(&path, text.replace("name = \"short\"", &format!("name = \"{called}\""))).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let listed = || {
        let ran = run(&["recipe", "list", "--json"]);
        let json: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
        let recipes = json["recipes"].as_array().unwrap();
        let own = recipes.iter().filter(|r| !r["path"].is_null()).map(|r| r["name"].as_str().unwrap().to_owned());
        let zincs = recipes.iter().filter(|r| r["name"] == "gypsum-zinc").count();
        (zincs, own.collect::<Vec<_>>(), ran.err)
    };
    let mine = file("mine", "gypsum-zinc");
    let (zincs, own, said) = listed();
    assert_eq!((zincs, own), (1, vec![]));
    assert_eq!(said.lines().count(), 1, "{said}");
    for word in ["mine.toml", "\"gypsum-zinc\"", "comes with the program", "name = \"mine\""] {
        assert!(said.contains(word), "{word}: {said}");
    }
    let checked = run(&["recipe", "check", &mine, "--json"]);
    assert_eq!(checked.code, Some(1), "{checked:?}");
    let problems: serde_json::Value = serde_json::from_str(&checked.out).unwrap();
    assert_eq!((&problems["problems"][0]["key"], &problems["problems"][0]["line"]), (&"name".into(), &3.into()));
    for asked in ["mine", &mine] {
        says(&run(&["new", "Wren", "--size", "3x4cm", "--recipe", asked]), 1, &["mine.toml", "name = \"mine\""]);
    }
    // Named by itself it is listed and found; a file called as a shipped recipe takes its place.
    file("mine", "mine");
    file("gypsum-zinc", "gypsum-zinc");
    assert_eq!(listed(), (1, vec!["gypsum-zinc".to_owned(), "mine".to_owned()], String::new()));
    assert_eq!(run(&["recipe", "check", &mine]).code, Some(0));
    // A file may be called otherwise than its recipe, as long as nobody else is called so; either name finds it.
    file("mine", "robin");
    assert_eq!(listed().1, ["gypsum-zinc", "robin"]);
    for asked in ["robin", "mine"] {
        assert!(run(&["recipe", "show", asked]).out.contains("name = \"robin\""), "{asked}");
    }
    file("other", "robin");
    let (_, own, said) = listed();
    assert_eq!((own, said.lines().count()), (vec!["gypsum-zinc".to_owned()], 2), "{said}");
}

#[test]
fn a_place_where_nothing_can_be_written_is_told_of() {
    let shop = Shop::new();
    let file = shop.dir().join("file");
    fs::write(&file, "not a directory").unwrap();
    for data in [file.join("data"), "/proc/nothing/here".into(), file.clone()] {
        let data = data.to_str().unwrap();
        let new = shop.run(&["new", "Wren", "--size", "300x400mm", "--recipe", "gypsum-titanium", "--data", data]);
        assert_eq!((new.code, new.out.as_str()), (Some(1), ""), "{data}: {new:?}");
        assert!(new.sentence().contains(data), "where is not said: {}", new.err);
    }
    assert_eq!(fs::read_to_string(file).unwrap(), "not a directory");
}

/// Runs a shell script in a mount space of its own; `$0` is the program. None where that is not permitted here.
fn mounted(shop: &Shop, script: &str) -> Option<Ran> {
    if !has("unshare", "a disk of a test's own") {
        return None;
    }
    let unshare = || {
        let mut command = shop.of("unshare");
        command.args(["-Urm", "sh", "-c"]);
        command
    };
    let place = shop.dir().join("disk");
    fs::create_dir_all(&place).unwrap();
    let permitted = unshare().arg(format!("mount -t tmpfs -o size=64k tmpfs '{}'", place.display())).output();
    if !permitted.is_ok_and(|o| o.status.success()) {
        eprintln!("no file system may be mounted here: a disk of a test's own is not tried");
        return None;
    }
    Some(unshare().arg(script).arg(common::program()).output().unwrap().into())
}

#[test]
fn a_read_only_disk_shows_everything_and_takes_nothing() {
    let shop = Shop::new();
    let (id, _) = with_facts(&shop);
    let before = all_of(&shop.data());
    let script = format!(
        "mount --bind '{0}' '{0}' && mount -o remount,bind,ro '{0}' && \"$0\" show {id} >/dev/null && \"$0\" panels >/dev/null \
         && \"$0\" verify >/dev/null && exec \"$0\" mark {id} done",
        shop.data().display()
    );
    let Some(ran) = mounted(&shop, &script) else { return };
    says(&ran, 3, &["cannot be locked", "only be read"]);
    assert_eq!(all_of(&shop.data()), before);
    shop.sound();
}

#[test]
fn a_full_disk_loses_nothing_that_was_acknowledged() {
    let shop = Shop::new();
    // Notes until the disk is full; then what stands there is shown, and after room was made it goes on.
    let script = format!(
        "d='{}/disk'; mount -t tmpfs -o size=64k tmpfs \"$d\" || exit 9; export SOTTILE_DATA=\"$d/data\"; \
         \"$0\" new Wren --size 300x400mm --recipe gypsum-titanium >/dev/null || exit 8; \
         head -c 12000 /dev/zero > \"$d/ballast\"; n=0; \
         while \"$0\" mark wren note \"note $n\" >/dev/null 2>\"{}/said\"; do n=$((n+1)); [ $n -lt 400 ] || exit 7; done; \
         echo $n; \"$0\" verify >/dev/null; echo $?; \"$0\" show wren --json | grep -c '\"noted\"'; rm \"$d/ballast\"; \
         \"$0\" mark wren note 'room again' >/dev/null || exit 6; \"$0\" verify >/dev/null; echo $?; \
         \"$0\" show wren --json | grep -c '\"noted\"'",
        shop.dir().display(),
        shop.dir().display(),
    );
    let Some(ran) = mounted(&shop, &script) else { return };
    assert_eq!(ran.code, Some(0), "{ran:?}");
    let figures: Vec<usize> = ran.out.lines().map(|l| l.parse().unwrap()).collect();
    let [acknowledged, full, there, after, at_last] = figures[..] else { panic!("{ran:?}") };
    assert!(acknowledged > 0 && full <= 1, "{ran:?}");
    assert_eq!((there, after, at_last), (acknowledged, 0, acknowledged + 1), "{ran:?}");
    let said = fs::read_to_string(shop.dir().join("said")).unwrap();
    assert_eq!(said.lines().count(), 1, "{said}");
    assert!(said.contains("not saved") && said.contains("full"), "{said}");
}

#[test]
fn a_limit_on_file_sizes_is_a_sentence_and_not_the_end() {
    let shop = Shop::new();
    let (id, journal) = with_facts(&shop);
    let before = fs::read(&journal).unwrap();
    // The limit is told in blocks of 512 bytes: room for what is there and for a part of the next line.
    let blocks = (before.len() + 100).div_ceil(512);
    let room = blocks * 512 - before.len();
    let note = "long ".repeat(60 + room / 5);
    let mut limited = shop.of("sh");
    limited.args(["-c", &format!("ulimit -f {blocks}; exec \"$0\" mark {id} note \"{note}\"")]).arg(common::program());
    says(&limited.output().unwrap().into(), 1, &["not saved"]);
    assert_eq!(fs::read(&journal).unwrap(), before, "the part that was written was taken out again");
    shop.sound();
}

#[test]
fn a_full_stdout_is_told_of() {
    let full = Path::new("/dev/full");
    if !full.exists() {
        eprintln!("there is no /dev/full here: a full stdout is not tried");
        return;
    }
    let shop = Shop::new();
    let (id, _) = with_facts(&shop);
    for args in [&["show", &id][..], &["panels", "--json"], &["recipe", "list"]] {
        let to = fs::OpenOptions::new().write(true).open(full).unwrap();
        let ran: Ran = shop
            .command(args)
            .stdout(to)
            .stderr(std::process::Stdio::piped())
            .spawn()
            .unwrap()
            .wait_with_output()
            .unwrap()
            .into();
        assert_eq!(ran.code, Some(1), "{ran:?}");
        assert!(ran.sentence().contains("stdout cannot be written to"), "{ran:?}");
    }
}

#[test]
fn labels_of_every_kind_stay_in_their_place() {
    let shop = Shop::new();
    for label in [
        "../../etc/passwd",
        "/",
        "..",
        "-rf",
        "con",
        "\u{1b}[31mWren\u{7}",
        "\u{202e}nerW",
        "Дрозд",
        "a\nb",
        &"long ".repeat(60),
    ] {
        let ran = shop.run(&["new", "--size", "300x400mm", "--recipe", "gypsum-titanium", "--", label]);
        assert_eq!(ran.code, Some(0), "{label:?}: {ran:?}");
        let id = ran.out.trim().to_owned();
        assert!(
            !id.is_empty()
                && id.len() <= 64
                && id.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-'),
            "{id}"
        );
        assert!(shop.journal(&id).is_file(), "{label:?}");
        let shown = shop.done(&["show", &id]);
        assert!(!shown.contains(['\u{1b}', '\u{7}', '\u{202e}']), "{shown:?}");
    }
    let listed = shop.done(&["panels"]);
    assert!(!listed.contains(['\u{1b}', '\u{7}', '\u{202e}']), "{listed:?}");
    assert_eq!(listed.lines().count(), 10);
    shop.sound();
}

#[test]
fn a_lost_first_line_is_mended_from_its_copy() {
    let shop = Shop::new();
    let (wren, journal) = with_facts(&shop);
    let sound = fs::read(&journal).unwrap();
    let before = shop.json(&["show", &wren, "--json"]);
    let mut broken = sound.clone();
    broken[700] ^= 1;
    fs::write(&journal, &broken).unwrap();
    let shown = shop.run(&["show", "Wren", "--json"]);
    assert_eq!(shown.code, Some(3), "{shown:?}");
    let story: serde_json::Value = serde_json::from_str(&shown.out).unwrap();
    assert_eq!((&story["facts"], &story["label"]), (&before["facts"], &"Wren".into()));
    says(&shop.run(&["mark", &wren, "done"]), 3, &["damaged", "verify --mend"]);
    assert_eq!(shop.run(&["verify", "--mend"]).code, Some(0));
    assert_eq!(fs::read(&journal).unwrap(), sound);
}

/// Not one command waits for a pipe; what is passed over is named, and the rest goes on.
#[cfg(unix)]
#[test]
fn what_is_no_file_is_named_and_passed_over() {
    let shop = Shop::new();
    let (wren, _) = with_facts(&shop);
    fs::create_dir_all(shop.data().join("pots")).unwrap();
    let _ = fs::remove_file(shop.data().join("rack.json"));
    for name in ["panels/pipe.jsonl", "pots/pipe.jsonl", "air.jsonl", "rack.json"] {
        let made = std::process::Command::new("mkfifo").arg(shop.data().join(name)).status().unwrap();
        assert!(made.success());
    }
    for (args, code) in [
        (&["show", wren.as_str()][..], 0),
        (&["mark", &wren, "note", "dry"], 0),
        (&["panels"], 3),
        (&["pots"], 3),
        (&["verify"], 1),
        (&["verify", "--mend"], 1),
        (&["air", "20C", "50%"], 1),
        (&["new", "Robin", "--size", "30x40cm"], 0),
    ] {
        let ran = shop.run(args);
        assert_eq!(ran.code, Some(code), "{args:?}: {ran:?}");
        assert!(ran.err.contains("air.jsonl") && ran.err.contains("a pipe"), "{args:?}: {ran:?}");
        assert!(ran.err.contains("rack.json"), "{args:?}: {ran:?}");
    }
    let ran = shop.run(&["panels"]);
    assert!(ran.out.contains("Wren") && ran.err.contains("panels/pipe.jsonl"), "{ran:?}");
    let ran = shop.run(&["compare", "--json"]);
    assert!(ran.out.contains("panels/pipe.jsonl") && ran.out.contains("\"label\": \"Wren\""), "{ran:?}");
}

#[test]
fn an_empty_file_and_a_stray_name_are_told_as_what_they_are() {
    let shop = Shop::new();
    let (wren, journal) = with_facts(&shop);
    let empty = shop.data().join("panels/empty.jsonl");
    fs::write(&empty, "").unwrap();
    fs::copy(&journal, shop.data().join("panels/Wren copy.jsonl")).unwrap();
    let listed = shop.run(&["panels"]);
    assert!(listed.code == Some(0) && listed.out.contains("EMPTY"), "{listed:?}");
    let verified = shop.run(&["verify", "--json"]);
    assert_eq!(verified.code, Some(1), "{verified:?}");
    let report: serde_json::Value = serde_json::from_str(&verified.out).unwrap();
    let kinds: Vec<_> = report["files"].as_array().unwrap().iter().map(|f| f["problems"][0]["kind"].as_str()).collect();
    assert_eq!(kinds, [Some("empty"), None, Some("stray")]);
    let mended = shop.run(&["verify", "--mend"]);
    assert!(mended.code == Some(1) && mended.err.contains("empty.jsonl.damaged-"), "{mended:?}");
    assert!(!empty.exists());
    fs::remove_file(shop.data().join("panels/Wren copy.jsonl")).unwrap();
    shop.sound();
    assert!(shop.done(&["panels"]).contains(&wren));
}
