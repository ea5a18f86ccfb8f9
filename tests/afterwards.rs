//! Looking over, comparing and handing on, as it is done from a shell. What is written is also read by programs that are
//! not ours, where they are installed: `html5lib` in its strict mode, Python's `csv` and Python's `jsonschema`. Where one
//! is not, that is said; `.ci/run` fetches them and then holds the tests to using them (`SOTTILE_VALIDATORS=must`).

#![allow(clippy::unwrap_used, reason = "a test may fail by panicking")]

use assert_cmd::Command;
use serde_json::Value;
use std::io::Write;
use std::path::{Path, PathBuf};

/// A data directory of its own.
struct Bench {
    dir: tempfile::TempDir,
}

/// What a command came to.
struct Came {
    code: i32,
    out: String,
    err: String,
}

impl Bench {
    fn new() -> Bench {
        let bench = Bench { dir: tempfile::tempdir().unwrap() };
        std::fs::write(bench.file("settings.toml"), "").unwrap();
        for (pot, heat) in [("p1", "48C"), ("p2", "63C")] {
            bench.ok(&["pot", "new", pot, "--kind", "gesso", "--at", "2026-03-02T09:00:00Z"]);
            for act in [&["melt"][..], &["liquid"], &["temp", heat], &["made"]] {
                bench.ok(&[&["pot", "mark", pot, "--at", "2026-03-02T09:05:00Z"], act].concat());
            }
        }
        bench.ok(&["air", "19C", "44%", "--at", "2026-03-02T10:00:00Z"]);
        bench
    }

    fn data(&self) -> PathBuf {
        self.dir.path().join("data")
    }

    fn file(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    fn run(&self, args: &[&str]) -> Came {
        let output = Command::cargo_bin("sottile")
            .unwrap()
            .env_clear()
            .env("TZ", "UTC")
            .env("SOTTILE_DATA", self.data())
            .env("SOTTILE_CONFIG", self.file("settings.toml"))
            .args(args)
            .output()
            .unwrap();
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
        Came { code: output.status.code().unwrap_or(-1), out: text(output.stdout), err: text(output.stderr) }
    }

    /// Runs it and holds it to have gone well.
    fn ok(&self, args: &[&str]) -> String {
        let came = self.run(args);
        assert_eq!(came.code, 0, "{args:?}: {}{}", came.out, came.err);
        came.out
    }

    fn json(&self, args: &[&str]) -> Value {
        serde_json::from_str(&self.ok(args)).unwrap()
    }

    /// A panel carried a little way, then looked over.
    fn panel(&self, label: &str, pot: &str, look: &[&str]) {
        let id = self.ok(&["new", label, "--size", "300x400x12mm", "--at", "2026-03-01T09:00:00Z"]);
        let id = id.trim();
        self.ok(&["mark", id, "skip", "--why", "done before", "--at", "2026-03-01T09:00:00Z"]);
        for (i, at) in ["09:10", "09:12", "09:45", "09:47"].iter().enumerate() {
            assert!(i < 4);
            self.ok(&["mark", id, "done", "--at", &format!("2026-03-01T{at}:00Z")]);
        }
        for at in ["10:00", "10:15", "10:30", "10:45"] {
            self.ok(&["mark", id, "done", "--pot", pot, "--at", &format!("2026-03-02T{at}:00Z")]);
        }
        if !look.is_empty() {
            self.ok(&[&["inspect", id, "--at", "2026-03-30T10:45:00Z"], look].concat());
        }
    }
}

/// What that program of Python's says of those files; nothing, and a word of it, where Python or what it needs is not
/// installed.
fn python(needs: &str, script: &str, files: &[&Path]) -> Option<String> {
    let script =
        format!("import sys\ntry:\n import {needs}\nexcept ImportError:\n print('absent'); sys.exit()\n{script}");
    let output = std::process::Command::new("python3").arg("-c").arg(script).args(files).output();
    let said = output.as_ref().map_or("absent".into(), |o| String::from_utf8_lossy(&o.stdout).into_owned());
    if said.trim() == "absent" {
        assert!(std::env::var_os("SOTTILE_VALIDATORS").is_none(), "Python with {needs} must be here, and is not");
        // Written past the test harness, which would swallow it.
        let _ = writeln!(std::io::stderr(), "Python with {needs} is not here: what is written was not read by it");
        return None;
    }
    let output = output.unwrap();
    assert!(output.status.success(), "{said}{}", String::from_utf8_lossy(&output.stderr));
    Some(said)
}

#[test]
fn an_inspection_is_recorded_told_and_taken_back() {
    let bench = Bench::new();
    bench.panel("Wren", "p1", &[]);
    let photo = bench.file("a.jpg");
    std::fs::write(&photo, "abc").unwrap();
    let told = bench.ok(&[
        "inspect",
        "wren",
        "--at",
        "2026-03-09T10:45:00Z",
        "--crack",
        "edge:2:along",
        "--crack",
        "field:0:across",
        "--pinholes",
        "3",
        "--lift",
        "0.5",
        "--bow",
        "2",
        "--span",
        "400",
        "--nail",
        "1",
        "--scrape",
        "12",
        "--mould",
        "--photo",
        photo.to_str().unwrap(),
        "--note",
        "by the window",
    ]);
    for said in [
        "crack at an edge, along the grain, grade 2 of 4",
        "0.5 % of the span, radius 10 m",
        "scraped for 12 min",
        "by the window",
    ] {
        assert!(told.contains(said), "no {said} in {told}");
    }
    let shown = bench.json(&["show", "wren", "--json"]);
    let fact = shown["facts"].as_array().unwrap().last().unwrap().clone();
    assert_eq!(fact["fact"], "inspected");
    // The sum of "abc" is the first example of FIPS 180-2, appendix B.1.
    let sum = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
    assert_eq!((&fact["photo_sha256"], &fact["photo"]), (&sum.into(), &photo.to_str().unwrap().into()));
    assert_eq!(std::fs::read(bench.data().join(format!("photos/{sum}.jpg"))).unwrap(), b"abc");
    assert_eq!(fact["cracks"], serde_json::json!(["edge:2:along", "field:0:across"]));
    assert_eq!(
        (fact["bow_mm"].as_f64(), fact["span_mm"].as_f64(), fact["lift_mm"].as_f64()),
        (Some(2.0), Some(400.0), Some(0.5))
    );
    assert_eq!((&fact["nail"], &fact["scrape_min"]), (&1.into(), &12.0.into()));
    bench.ok(&["inspect", "wren", "--at", "2026-03-20T10:45:00Z", "--crack", "edge:3:along"]);
    assert!(bench.ok(&["show", "wren"]).contains("crack at an edge, along the grain: growing"));
    bench.ok(&["mark", "wren", "undo"]);
    assert!(!bench.ok(&["show", "wren"]).contains("growing"));
    bench.ok(&["verify"]);

    // A photograph is looked at like a journal.
    let kept = bench.data().join(format!("photos/{sum}.jpg"));
    for (spoil, says) in [
        (Box::new(|| std::fs::write(&kept, "abd")) as Box<dyn Fn() -> std::io::Result<()>>, "its bytes are not those"),
        (Box::new(|| std::fs::remove_file(&kept)), "it is gone"),
    ] {
        spoil().unwrap();
        let came = bench.run(&["verify"]);
        assert_eq!(came.code, 1, "{} {}", came.out, came.err);
        assert!(came.out.contains(says) && came.out.contains(sum), "{}", came.out);
    }
    std::fs::write(&kept, "abc").unwrap();
    bench.ok(&["verify"]);
}

#[test]
fn the_small_tests_are_made_on_boards_that_nothing_is_painted_on() {
    let bench = Bench::new();
    bench.ok(&["new", "Wren", "--size", "300x400x12mm", "--recipe", "gypsum-zinc", "--witness"]);
    let tests = [
        ("--drop", "40,45,38.5", "drops dull after 40, 45 and 38.5 s", "drop_s", serde_json::json!([40.0, 45.0, 38.5])),
        ("--rub", "1", "rub 1 of 3", "rub", 1.into()),
        ("--damp-rub", "2", "damp rub 2 of 3", "damp_rub", 2.into()),
        ("--powder", "0,5", "powder on tape 0 and 5 of 5", "powder", serde_json::json!([0, 5])),
        ("--pencil", "hb,F,2H", "pencil HB, F and 2H", "pencil", serde_json::json!(["HB", "F", "2H"])),
        ("--tape", "4", "tape off a cross 4 of 5", "tape", serde_json::json!([4])),
        ("--bend", "0.55cm", "first crack bent by 5.5 mm", "bend_mm", 5.5.into()),
    ];
    let mut all = vec!["inspect", "wren-witness", "--cycles", "3"];
    for (option, value, said, ..) in &tests {
        let refused = bench.run(&["inspect", "wren", option, value]);
        assert_eq!(refused.code, 1, "{option}: {}", refused.err);
        assert!(refused.err.contains("is to be painted"), "{option}: {}", refused.err);
        // Each alone, since each may be the only thing a look tells.
        assert!(bench.ok(&["inspect", "wren-witness", option, value]).contains(said), "{option}");
        all.extend([*option, *value]);
    }
    bench.ok(&all);
    let shown = bench.json(&["show", "wren-witness", "--json"]);
    let fact = shown["facts"].as_array().unwrap().last().unwrap().clone();
    for (_, _, _, member, value) in tests {
        assert_eq!(fact[member], value, "{member}");
    }
    assert_eq!(fact["cycles"], 3);
    for (option, value, says) in [
        ("--pencil", "7B", "--pencil: write one to three pencils from 6B to 9H"),
        ("--pencil", "HB,HB,HB,HB", "one to three pencils"),
        ("--tape", "6", "--tape: write one to three grades from 0 to 5"),
        ("--powder", "", "--powder: write one to three grades from 0 to 5"),
        ("--drop", "1,2", "--drop: write three times in seconds"),
        ("--bend", "deep", "--bend: write millimetres"),
        ("--bend", "1m", "--bend: write millimetres"),
        ("--damp-rub", "4", "--damp-rub: write a grade from 0 to 3"),
    ] {
        let came = bench.run(&["inspect", "wren-witness", option, value]);
        assert_eq!(came.code, 2, "{option} {value}: {}", came.err);
        assert!(came.err.contains(says), "{option} {value}: {}", came.err);
    }
    bench.ok(&["verify"]);
}

#[test]
fn what_cannot_have_been_seen_is_refused() {
    let bench = Bench::new();
    bench.panel("Wren", "p1", &[]);
    for (args, code) in [
        (&["inspect", "wren"][..], 2),
        (&["inspect", "wren", "--sound", "--crack", "edge:2:along"], 2),
        (&["inspect", "wren", "--crack", "edge:9:along"], 2),
        (&["inspect", "wren", "--bow", "2"], 2),
        (&["inspect", "wren", "--bow", "300", "--span", "400"], 2),
        (&["inspect", "wren", "--drop", "1,2"], 2),
        (&["inspect", "wren", "--nail", "4"], 2),
        (&["inspect", "robin", "--sound"], 1),
        (&["inspect", "wren", "--sound", "--photo", "there-is-none.jpg"], 1),
    ] {
        let came = bench.run(args);
        assert_eq!(came.code, code, "{args:?}: {}", came.err);
        assert!(!came.err.is_empty());
    }
    assert!(!bench.ok(&["show", "wren"]).contains("inspected"));
}

#[test]
fn a_damaged_story_is_named_and_left_out_and_the_rest_goes_on() {
    let bench = Bench::new();
    bench.panel("Wren", "p1", &["--crack", "field:2:across"]);
    bench.panel("Robin", "p1", &["--sound"]);
    bench.panel("Dunnock", "p2", &[]);
    let path = bench.data().join("panels/dunnock.jsonl");
    let mut bytes = std::fs::read(&path).unwrap();
    bytes[900] ^= 1;
    std::fs::write(&path, bytes).unwrap();
    let came = bench.run(&["compare", "--json"]);
    assert_eq!(came.code, 3, "{}", came.err);
    let json: Value = serde_json::from_str(&came.out).unwrap();
    let labels: Vec<&str> = json["panels"].as_array().unwrap().iter().map(|p| p["label"].as_str().unwrap()).collect();
    assert_eq!(labels, ["Wren", "Robin"]);
    assert!(json["left_out"][0]["path"].as_str().unwrap().ends_with("dunnock.jsonl"));
    assert_eq!(json["panels"][0]["pot_max_c"], 48.0);
    assert_eq!(
        (&json["panels"][0]["melts"], &json["panels"][0]["air_rh_min_pct"]),
        (&Value::from(1), &Value::from(44.0))
    );
    assert!(json["panels"][0]["glue_per_100g_filler_g"].as_f64().unwrap() > 1.0);
    let differs = json["differs"].as_array().unwrap();
    assert!(differs.iter().all(|d| d["p_value"].is_null()), "one against one says nothing");
    let out = bench.file("r.html");
    assert_eq!(bench.run(&["report", "-o", out.to_str().unwrap()]).code, 3);
    assert!(std::fs::read_to_string(out).unwrap().contains("1 story could not be read"));
    assert_eq!(bench.run(&["compare", "wren", "robin"]).code, 0);
}

#[test]
fn a_file_that_is_there_is_written_over_only_by_force() {
    let bench = Bench::new();
    bench.panel("Wren", "p1", &["--sound"]);
    let out = bench.file("out");
    let out = out.to_str().unwrap();
    for command in [
        &["report", "wren", "-o", out][..],
        &["card", "wren", "-o", out],
        &["card", "wren", "--label", "-o", out],
        &["export", "--table", "coats", "--as", "csv", "-o", out],
        &["export", "--table", "pots", "--as", "json", "-o", out],
        &["export", "--table", "air", "--as", "json", "-o", out],
        &["export", "--as", "csv", "-o", out],
        &["export", "--as", "json", "-o", out],
    ] {
        std::fs::write(out, "mine").unwrap();
        let came = bench.run(command);
        assert_eq!(
            (came.code, std::fs::read_to_string(out).unwrap().as_str()),
            (1, "mine"),
            "{command:?}: {}",
            came.err
        );
        assert!(came.err.contains("--force"));
        bench.ok(&[command, &["--force"]].concat());
        let first = std::fs::read(out).unwrap();
        bench.ok(&[command, &["--force"]].concat());
        assert!(first == std::fs::read(out).unwrap(), "{command:?}: the same panels, other bytes");
        std::fs::remove_file(out).unwrap();
        bench.ok(command);
        let dash: Vec<&str> = command.iter().map(|a| if *a == out { "-" } else { *a }).collect();
        assert_eq!(bench.ok(&dash).into_bytes(), first);
    }
}

const HOSTILE: &str = "=HYPERLINK(\"x\")</td><script>alert(1)</script>\u{202e}";

/// Two panels with everything hostile a maker can type, and where what is told of them is written.
fn hostile() -> Bench {
    let bench = Bench::new();
    bench.panel(HOSTILE, "p1", &["--crack", "field:2:across", "--note", HOSTILE]);
    bench.panel("Robin, \"the\" second", "p2", &["--sound"]);
    bench
}

#[test]
fn a_strict_parser_reads_the_pages() {
    let bench = hostile();
    let file = |name: &str| bench.file(name).to_str().unwrap().to_owned();
    let (page, one, card, label) = (file("page.html"), file("one.html"), file("card.html"), file("label.html"));
    // The smallest picture there is: one point (PNG specification, the chunks IHDR, IDAT and IEND).
    let point = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x01\0\0\0\x01\x08\0\0\0\0\x3a\x7e\x9b\x55\0\0\0\nIDATx\x9cc`\0\0\0\x02\0\x01\x48\xaf\xa4\x71\0\0\0\0IEND\xaeB`\x82";
    std::fs::write(bench.file("point.png"), point).unwrap();
    bench.ok(&["inspect", "robin", "--sound", "--photo", &file("point.png")]);
    bench.ok(&["card", "robin", "--label", "-o", &label]);
    bench.ok(&["report", "-o", &page]);
    let text = std::fs::read_to_string(&page).unwrap();
    assert_eq!(text.matches("<img src=\"data:image/jpeg;base64,").count(), 1);
    assert!(text.contains("href=\"#panel-robin-the-second\"") && text.contains("id=\"panel-robin-the-second\""));
    bench.ok(&["report", "robin", "-o", &one]);
    bench.ok(&["card", "robin", "-o", &card]);
    let script = "for f in sys.argv[1:]:\n d = html5lib.HTMLParser(strict=True).parse(open(f, encoding='utf-8').read())\n \
                  print(sum(1 for e in d.iter() if str(e.tag).endswith('}script')), sum(1 for e in d.iter()))";
    let Some(said) = python("html5lib", script, &[page.as_ref(), one.as_ref(), card.as_ref(), label.as_ref()]) else {
        return;
    };
    let pages: Vec<(&str, &str)> = said.lines().map(|line| line.split_once(' ').unwrap()).collect();
    assert_eq!(pages.len(), 4);
    for (scripts, elements) in pages {
        assert!(scripts == "0" && elements.parse::<usize>().unwrap() > 20, "{said}");
    }
}

#[test]
fn another_program_reads_the_table() {
    let bench = hostile();
    let table = bench.file("t.csv");
    bench.ok(&["export", "--as", "csv", "-o", table.to_str().unwrap()]);
    let raw = bench.ok(&["export", "--as", "csv", "-o", "-", "--raw"]);
    assert!(raw.contains("\"=HYPERLINK"));
    let script = "import json\nrows = list(csv.DictReader(open(sys.argv[1], encoding='utf-8', newline=''), strict=True))\n\
                  print(json.dumps(rows))";
    let Some(rows) = python("csv", script, &[&table]) else { return };
    let rows: Value = serde_json::from_str(&rows).unwrap();
    let labels: Vec<&str> = rows.as_array().unwrap().iter().map(|r| r["label"].as_str().unwrap()).collect();
    assert!(labels.contains(&"Robin, \"the\" second"));
    assert!(labels.contains(&format!("'{HOSTILE}").as_str()), "{labels:?}");
    assert_eq!(rows[0]["coats_front"], "3");
}

/// Types as pandas and DuckDB find them by themselves; where neither is installed the tables are read as text alone.
#[test]
fn other_tools_read_the_tables_and_join_them() {
    let bench = hostile();
    let file = |name: &str| bench.file(name).to_str().unwrap().to_owned();
    let tables = ["panels", "coats", "looks", "pots", "pot-facts", "air"];
    for (table, form) in tables.iter().flat_map(|table| [(table, "csv"), (table, "json")]) {
        bench.ok(&["export", "--table", table, "--as", form, "-o", &file(&format!("{table}.{form}"))]);
    }
    let told = bench.ok(&["export", "--columns"]);
    assert!(tables.iter().all(|table| told.lines().any(|line| line == *table)), "{told}");
    let rows = |table: &str| std::fs::read_to_string(file(&format!("{table}.csv"))).unwrap().lines().count() - 1;
    assert_eq!(tables.map(rows), [2, 16, 2, 2, 10, 1]);
    let of_one = bench.ok(&["export", "robin", "--table", "pots", "--as", "csv", "-o", "-"]);
    assert_eq!(of_one.lines().skip(1).map(|line| line.split(',').next().unwrap()).collect::<Vec<_>>(), ["p2"]);
    let dir = bench.dir.path();
    let pandas = "import os\nos.chdir(sys.argv[1])\nfor t in 'panels coats looks pots pot-facts air'.split():\n \
        times = [c for c in pandas.read_csv(t + '.csv', nrows=0).columns if c.endswith('_at')]\n \
        for f in (pandas.read_csv(t + '.csv', parse_dates=times), pandas.read_json(t + '.json')):\n  \
        print(t, len(f), all(str(f[c].dtype).startswith('datetime64') for c in times if f[c].notna().any()))";
    if let Some(said) = python_if_here("pandas", pandas, dir) {
        assert_eq!(said.lines().filter(|line| line.ends_with("True")).count(), 12, "{said}");
    }
    let duckdb = "import os\nos.chdir(sys.argv[1])\n\
        q = \"select count(*), any_value(typeof(c.done_at)) from read_csv('coats.csv') c join read_csv('pots.csv') p on c.pot = p.id\"\n\
        print(duckdb.sql(q).fetchall())";
    if let Some(said) = python_if_here("duckdb", duckdb, dir) {
        assert_eq!(said.trim(), "[(8, 'TIMESTAMP WITH TIME ZONE')]");
    }
}

/// As [`python`], of what no machine need have.
fn python_if_here(needs: &str, script: &str, dir: &Path) -> Option<String> {
    let script = format!("import sys\nimport {needs}\n{script}");
    let output = std::process::Command::new("python3").arg("-c").arg(script).arg(dir).output().ok()?;
    let is_absent = String::from_utf8_lossy(&output.stderr).contains("ModuleNotFoundError");
    if is_absent {
        let _ = writeln!(std::io::stderr(), "Python with {needs} is not here: the tables were not read by it");
        return None;
    }
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    Some(String::from_utf8_lossy(&output.stdout).into_owned())
}

#[test]
fn the_air_is_read_back() {
    let bench = Bench::new();
    bench.ok(&["air", "21C", "50%", "--at", "2026-03-02T12:00:00Z"]);
    let json = bench.json(&["air", "--show", "--at", "2026-03-02T11:00:00Z", "--json"]);
    assert_eq!((&json["holds"]["temp_c"], &json["readings"].as_array().unwrap().len()), (&Value::from(19.0), &1));
    let told = bench.ok(&["air", "--show", "--at", "2026-03-02T12:30:00Z"]);
    assert!(told.starts_with("21") && told.contains("44"), "{told}");
    assert!(bench.ok(&["air", "--show", "--at", "2026-03-03T12:00:00Z"]).starts_with("not known"));
    for wrong in [&["air", "--show", "20C", "50%"][..], &["air", "20C", "50%", "--json"], &["air"]] {
        assert_eq!(bench.run(wrong).code, 2, "{wrong:?}");
    }
}

/// A damaged story is among them, so that nothing of the shape is empty.
#[test]
fn what_is_promised_to_scripts_keeps_to_its_schema() {
    let bench = hostile();
    std::fs::write(bench.data().join("panels/dunnock.jsonl"), "{}\n").unwrap();
    let (compared, exported) = (bench.file("compare.json"), bench.file("export.json"));
    let ran = bench.run(&["compare", "--json"]);
    assert_eq!(ran.code, 3);
    std::fs::write(&compared, ran.out).unwrap();
    assert_eq!(bench.run(&["export", "--as", "json", "-o", exported.to_str().unwrap()]).code, 3);
    for (name, written) in [("compare", &compared), ("export", &exported)] {
        let schema = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("assets/schema/{name}.json"));
        let json = |path: &Path| serde_json::from_slice::<Value>(&std::fs::read(path).unwrap()).unwrap();
        let validator = jsonschema::draft202012::new(&json(&schema)).unwrap();
        let wrong: Vec<String> = validator.iter_errors(&json(written)).map(|e| e.to_string()).collect();
        assert!(wrong.is_empty(), "{name}: {wrong:?}");
        let script = "import json\ns, w = (json.load(open(f, encoding='utf-8')) for f in sys.argv[1:])\n\
                      jsonschema.Draft202012Validator.check_schema(s)\n\
                      print([e.message for e in jsonschema.Draft202012Validator(s).iter_errors(w)])";
        if let Some(said) = python("jsonschema", script, &[&schema, written]) {
            assert_eq!(said.trim(), "[]", "{name}");
        }
    }
}

#[test]
fn another_like_it_can_be_made() {
    let bench = Bench::new();
    bench.panel("Wren", "p1", &["--sound"]);
    let recipe = bench.file("like.toml");
    std::fs::write(&recipe, bench.ok(&["recipe", "from", "wren"])).unwrap();
    assert!(bench.ok(&["recipe", "check", recipe.to_str().unwrap()]).contains("sound"));
    bench.ok(&["new", "Robin", "--size", "300x400mm", "--recipe", recipe.to_str().unwrap()]);
    assert!(bench.json(&["show", "robin", "--json"])["recipe"].as_str().unwrap().ends_with("-like-wren"));
}

/// A closed pipe is quiet, and asking wrongly is told.
#[test]
fn comparing_nothing_and_asking_wrongly() {
    let bench = Bench::new();
    assert!(bench.ok(&["compare"]).contains("no panels"));
    assert_eq!(bench.json(&["compare", "--json"])["panels"], serde_json::json!([]));
    assert_eq!(bench.run(&["compare", "wren"]).code, 1);
    assert_eq!(bench.run(&["compare", "--by", "luck"]).code, 2);
    assert_eq!(bench.run(&["compare", "--csv", "--json"]).code, 2);
    assert_eq!(bench.run(&["report"]).code, 2);
}
