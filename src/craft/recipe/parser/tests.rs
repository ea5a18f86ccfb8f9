//! Broken recipes and what is told of each, all at once; the edges of every range; nothing panics.

use super::*;
use crate::craft::recipe::schema::{KeyPresence, RecipeKey, TABLES, TOP_LEVEL, Table, ValueType};
use crate::craft::recipe::shipped;
use proptest::prelude::*;

/// A whole recipe with nothing left to say about it; lines are put in at the places marked.
const SOUND: &str = r#"name = "trial"
title = "A trial"
suits = ["oil"]
[size]
glue_g_per_l_water = 70
[gesso]
glue_g_per_l_water = 70
fillers = [{ name = "chalk", g_per_100_ml_size = 70 }]
[coats]
front = 6
"#;

/// Each problem as `line:column key nearest`, `-` where there is none.
fn told(text: &str) -> Vec<String> {
    let dash = |word: Option<String>| word.unwrap_or_else(|| "-".to_owned());
    parse_recipe(text)
        .diagnostics
        .into_iter()
        .map(|p| format!("{}:{} {} {}", p.line, p.column, dash(p.key), dash(p.nearest)))
        .collect()
}

fn check(text: &str, expected: &[&str]) {
    assert_eq!(told(text), expected, "\n{text}");
    assert_eq!(parse_recipe(text).recipe.is_none(), !expected.is_empty());
}

/// Checks the sound recipe with one piece of it put otherwise.
fn check_with(old: &str, new: &str, expected: &[&str]) {
    assert!(SOUND.contains(old), "{old}");
    check(&SOUND.replacen(old, new, 1), expected);
}

#[test]
fn a_sound_recipe_has_nothing_said_of_it_and_takes_its_defaults() {
    check(SOUND, &[]);
    let recipe = parse_recipe(SOUND).recipe.unwrap();
    assert_eq!((recipe.format, recipe.source.as_str(), recipe.cautions.len()), (1, "", 0));
    assert_eq!((recipe.scrape, recipe.check, recipe.sand, recipe.cloth), (None, None, None, None));
    assert_eq!((recipe.stipple.coats, recipe.rest.hours, recipe.minutes.scrape), (1, 24.0, 40.0));
    assert_eq!((recipe.seal.resin_g_per_l_spirit, recipe.seal.glue_g_per_l_water), (None, None));
    assert_eq!((recipe.coats.back, recipe.gesso.loss_ml, recipe.gesso.thinning_pct), (0, 0.0, 0.0));
}

#[test]
fn a_stage_is_there_once_its_header_is_and_sanding_once_it_has_a_grade() {
    let with = |more: &str| parse_recipe(&format!("{SOUND}{more}")).recipe.unwrap();
    assert_eq!(with("[scrape]\n").scrape.unwrap().angle_deg, 30.0);
    assert_eq!(with("[check]\nrows = 5\n").check.map(|c| (c.columns, c.rows)), Some((3, 5)));
    assert_eq!(with("[cloth]\n").cloth.unwrap().rest_h, 24.0);
    assert_eq!(with("[sand]\n").sand, None);
    assert_eq!(with("[sand]\ngrit = \"P600\"\n").sand.unwrap().grit, "P600");
    assert_eq!(with("[seal]\nwith = \"glue\"\n").seal.glue_g_per_l_water, None);
}

#[test]
fn top_keys() {
    check("", &["1:1 coats -", "1:1 gesso -", "1:1 name -", "1:1 size -", "1:1 suits -", "1:1 title -"]);
    check_with("name = \"trial\"", "format = 2\nname = \"Trial 1\"", &["1:10 format -", "2:8 name -"]);
    check_with("\"trial\"", "\"\"", &["1:8 name -"]);
    check_with("\"trial\"", &format!("\"{}\"", "a".repeat(64)), &[]);
    check_with("\"trial\"", &format!("\"{}\"", "a".repeat(65)), &["1:8 name -"]);
    check_with("\"A trial\"", "\" \"", &["2:9 title -"]);
    check_with("\"A trial\"", "\"a\\u0007b\"", &["2:9 title -"]);
    check_with("\"A trial\"", "'''a\nb'''", &["2:9 title -"]);
    check_with("\"A trial\"", &format!("\"{}\"", "ä".repeat(200)), &[]);
    check_with("\"A trial\"", &format!("\"{}\"", "ä".repeat(201)), &["2:9 title -"]);
    check_with("[\"oil\"]", "[]", &["3:9 suits -"]);
    check_with("[\"oil\"]", "\"oil\"", &["3:9 suits -"]);
    check_with(
        "[\"oil\"]",
        "[\"oill\", \"oil\", \"watercolour\", \"oil\", 3]",
        &["3:10 suits[0] oil", "3:25 suits[2] -", "3:40 suits[3] -", "3:47 suits[4] -"],
    );
    check_with(
        "suits",
        "cautions = [\"zinc-and-oil\"]\ntitel = 3\nsuits",
        &["3:13 cautions[0] zinc-with-oil", "4:1 titel title"],
    );
    check_with("[size]", "[siez]\n[size]", &["4:2 siez size"]);
    check_with("[size]", "\"\\u0000\" = 1\n[size]", &["4:1 \\0 -"]);
}

#[test]
fn keys_of_tables() {
    check_with(
        "= 70\n[gesso]",
        "= \"70\"\nsoak = 9\nfaces = \"bth\"\ncoats_per_face = 2.0\n[gesso]",
        &[
            "5:22 size.glue_g_per_l_water -",
            "6:1 size.soak soak_h",
            "7:9 size.faces both",
            "8:18 size.coats_per_face -",
        ],
    );
    check_with(
        "glue_g_per_l_water = 70\n",
        "wait_min = nan\ncure_h = inf\nml_per_m2 = 1e400\n",
        &["4:1 size.glue_g_per_l_water -", "5:12 size.wait_min -", "6:10 size.cure_h -", "7:13 size.ml_per_m2 -"],
    );
    check_with(
        "front = 6",
        "back = 99999999999999999999\nfirst = \"vertcal\"\none_day = 1\nready_sign = 1979-05-27",
        &[
            "9:1 coats.front -",
            "10:8 coats.back -",
            "11:9 coats.first vertical",
            "12:11 coats.one_day -",
            "13:14 coats.ready_sign -",
        ],
    );
    check_with(
        "front = 6",
        "front = 0x6\n[seal]\nwith = \"wax\"\ngrit = \"P400\"\n[sand]\ngrit = \"\"",
        &["12:8 seal.with -", "13:1 seal.grit -", "15:8 sand.grit -"],
    );
    check(
        "size = 3\n[[coats]]\nfront = 1\n",
        &["1:1 gesso -", "1:1 name -", "1:1 suits -", "1:1 title -", "1:8 size -", "2:1 coats -"],
    );
}

#[test]
fn fillers() {
    let old = "[{ name = \"chalk\", g_per_100_ml_size = 70 }]";
    check_with(old, "[]", &["8:11 gesso.fillers -"]);
    check_with(old, "\"chalk\"", &["8:11 gesso.fillers -"]);
    check_with(
        old,
        "[7, { name = \"gypsm\", g_per_100_ml_size = 1 }, { g_per_100_ml_size = 1 }]",
        &["8:12 gesso.fillers[0] -", "8:24 gesso.fillers[1].name gypsum", "8:58 gesso.fillers[2].name -"],
    );
    check_with(
        old,
        "[{ name = \"whiting\", g_per_100_ml_size = 1, ml_per_100_ml_size = 1 }, { name = \"chalk\" }]",
        &["8:76 gesso.fillers[0].ml_per_100_ml_size -", "8:81 gesso.fillers[1] -", "8:90 gesso.fillers[1].name -"],
    );
    check_with(
        old,
        "[{ name = \"chalk\", g_per_100_ml_size = 0, gram = 1 }, { name = \"\", ml_per_100_ml_size = 1 }]",
        &["8:50 gesso.fillers[0].g_per_100_ml_size -", "8:53 gesso.fillers[0].gram -", "8:74 gesso.fillers[1].name -"],
    );
}

#[test]
fn figures_in_order() {
    let gesso = |more: &str, expected: &[&str]| check_with("[coats]", &format!("{more}\n[coats]"), expected);
    gesso("work_c = [40, 50]\ncaution_c = 50\noverheat_c = 50.1", &[]);
    gesso("work_c = [50, 40]", &["9:10 gesso.work_c[0] -"]);
    gesso("work_c = [40, 40]", &["9:10 gesso.work_c[0] -"]);
    gesso("work_c = [40]", &["9:10 gesso.work_c -"]);
    gesso("work_c = [40, \"50\"]", &["9:15 gesso.work_c[1] -"]);
    gesso("work_c = [30, 50]", &["9:10 gesso.work_c[0] -"]);
    gesso("caution_c = 49", &["9:13 gesso.caution_c -"]);
    gesso("caution_c = 60", &["9:13 gesso.caution_c -"]);
    gesso("overheat_c = 55", &["9:14 gesso.overheat_c -"]);
    check_with("front = 6", "front = 6\nlong_gap_min = 15", &[]);
    check_with("front = 6", "front = 6\nlong_gap_min = 14\nwait_min = 12", &["11:16 coats.long_gap_min -"]);
    check_with("front = 6", "front = 6\nwait_min = 61", &["11:12 coats.wait_min -"]);
    // What is no figure at all is told once, and not compared.
    gesso("caution_c = \"hot\"\noverheat_c = 55", &["9:13 gesso.caution_c -"]);
}

#[test]
fn lines_that_are_no_toml_are_told_once_and_hide_nothing_below() {
    check_with("title = \"A trial\"", "title = = 3", &["2:9 - -"]);
    check_with("[size]", "[size", &["4:6 - -"]);
    check_with("[size]", "size]", &["4:5 - -"]);
    check_with("\"A trial\"", "\"A trial", &["2:17 - -"]);
    check_with("name", "foo\nname", &["1:4 - -"]);
    check_with("front = 6", "front = 6\nfront = 7", &["11:1 - -"]);
    check_with("70 }]\n", "70 }\n", &["8:11 - -"]);
    check_with("70 }]\n", "70 ]\n", &["8:53 - -"]);
    check_with(
        "front = 6",
        "front = 6\nwait_min = 3O\nlong_gap_min = \nback = 61\n[chek]",
        &["11:12 - -", "12:16 - -", "13:8 coats.back -", "14:2 chek check"],
    );
    // A list that lost a line to this is not called empty or short.
    let fillers = "[\n  { name = \"chalk, g_per_100_ml_size = 70 },\n]";
    check_with("[{ name = \"chalk\", g_per_100_ml_size = 70 }]", fillers, &["9:45 - -"]);
    // A text that is hardly a recipe is told of up to a hundred lines.
    assert_eq!(told(&"%\n".repeat(300)).len(), 100);
    // What stands behind a header on its own line is no TOML, and no key either.
    check_with("[size]", "[rest] hours = \n[size]", &["4:8 - -"]);
    check_with("[size]", "[rest] name = \n[size]", &["4:8 - -"]);
    // Columns count characters, a mark at the head of the file is none, and Windows line ends are line ends.
    check_with("\"oil\"", "\"oil\", \"ölé\", \"x\"", &["3:17 suits[1] -", "3:24 suits[2] -"]);
    check_with("name = \"trial\"", "\u{feff}name = \"T\"", &["1:8 name -"]);
    check(&SOUND.replace('\n', "\r\n").replace("= 6", "= 61"), &["10:9 coats.front -"]);
}

#[test]
fn problems_are_said_in_plain_sentences() {
    let text =
        SOUND.replacen("front = 6", "front = 61\nwait = 3\nwait_min = -inf\nfirst = \"diagonal\"\nsoak_h = 9", 1);
    let said: Vec<String> = parse_recipe(&text).diagnostics.iter().map(Diagnostic::to_string).collect();
    assert_eq!(
        said,
        [
            "line 10, column 9: `coats.front` is 61; it must lie from 1 to 60.",
            "line 11, column 1: `wait` is not a key known in [coats]. Did you mean `wait_min`?",
            "line 12, column 12: `coats.wait_min` is -inf, which is no finite number; it must lie from 0 to 20160 minutes.",
            "line 13, column 9: `coats.first` is \"diagonal\"; it must be one of \"horizontal\", \"vertical\".",
            "line 14, column 1: `soak_h` is not a key known in [coats]; it belongs in [size].",
        ]
    );
}

/// The sound recipe, with `key = value` in `table`, and whether that value is said to lie outside its range.
fn outside(table: &Table, key: &RecipeKey, value: &str) -> bool {
    let mut text = String::new();
    for each in std::iter::once(&TOP_LEVEL).chain(TABLES) {
        if !each.name.is_empty() {
            text.push_str(&format!("[{}]\n", each.name));
        }
        for required in each.keys.iter().filter(|k| k.presence == KeyPresence::Required && (each, *k) != (table, key)) {
            let usual = match required.value_type {
                ValueType::Fillers => "[{ name = \"chalk\", g_per_100_ml_size = 70 }]".to_owned(),
                ValueType::ChoiceList { words, .. } => format!("[\"{}\"]", words[0]),
                ValueType::Name | ValueType::Text { .. } => "\"trial\"".to_owned(),
                _ => required.default_value().to_string(),
            };
            text.push_str(&format!("{} = {usual}\n", required.name));
        }
        if each == table {
            text.push_str(&format!("{} = {value}\n", key.name));
        }
    }
    let begins = format!("`{}.{}", table.name, key.name);
    let problems = parse_recipe(&text).diagnostics;
    // Figures at the edge of their range may be out of order with the usual ones; that is not what is asked here.
    assert!(
        problems.iter().all(|p| p.message.contains("must lie from")
            || p.message.contains("must be below")
            || p.message.contains("must not be above")),
        "{problems:?}"
    );
    problems.iter().any(|p| p.message.starts_with(&begins) && p.message.contains("must lie from"))
}

#[test]
fn every_range_holds_its_two_edges_and_nothing_beyond() {
    let mut ranges = 0;
    for table in TABLES {
        for key in table.keys {
            let edges: Vec<(String, bool)> = match key.value_type {
                ValueType::Number { range, .. } => {
                    [(range.min, false), (range.max, false), (range.min - 1e-9, true), (range.max + 1e-9, true)]
                        .map(|(n, out)| (format!("{n:?}"), out))
                        .into()
                }
                ValueType::Pair { range, .. } => [
                    ([range.min, range.max], false),
                    ([range.min - 1e-9, range.max], true),
                    ([range.min, range.max + 1e-9], true),
                ]
                .map(|(n, out)| (format!("{n:?}"), out))
                .into(),
                ValueType::Integer { min: lowest, max: highest, .. } => {
                    let (lowest, highest) = (i64::from(lowest), i64::from(highest));
                    [(lowest, false), (highest, false), (lowest - 1, true), (highest + 1, true)]
                        .map(|(n, out)| (n.to_string(), out))
                        .into()
                }
                _ => continue,
            };
            for (value, out) in edges {
                assert_eq!(outside(table, key, &value), out, "[{}] {} = {value}", table.name, key.name);
                ranges += 1;
            }
        }
    }
    assert!(ranges > 100, "{ranges}");
}

#[test]
fn fillers_hold_their_two_edges() {
    for (key, lowest, highest) in [("g_per_100_ml_size", 0.1, 400.0), ("ml_per_100_ml_size", 0.1, 500.0)] {
        let with = |n: f64| told(&SOUND.replacen("g_per_100_ml_size = 70", &format!("{key} = {n:?}"), 1)).len();
        assert_eq!((with(lowest), with(highest)), (0, 0), "{key}");
        assert_eq!((with(lowest - 1e-9), with(highest + 1e-9)), (1, 1), "{key}");
    }
}

/// What must hold of any text whatever.
fn check_any(text: &str) {
    let reading = parse_recipe(text);
    assert_eq!(reading.recipe.is_some(), reading.diagnostics.is_empty());
    let lines: Vec<&str> = text.strip_prefix('\u{feff}').unwrap_or(text).split('\n').collect();
    for problem in &reading.diagnostics {
        assert!((1..=lines.len()).contains(&problem.line), "{problem:?}");
        assert!((1..=lines[problem.line - 1].chars().count() + 1).contains(&problem.column), "{problem:?}");
        assert!(!problem.to_string().chars().any(char::is_control), "{problem:?}");
        assert!(!problem.key.iter().any(|key| key.chars().any(char::is_control)), "{problem:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_read_without_panic(text in any::<String>()) {
        check_any(&text);
    }

    #[test]
    fn any_text_of_toml_signs_is_read_without_panic(text in "[\\[\\]{}=,.\"'#a-c0-9_\\-\\\\ \r\n\u{7}\u{feff}ö]{0,80}") {
        check_any(&text);
    }

    #[test]
    fn a_shipped_recipe_cut_and_stirred_is_read_without_panic(
        which in 0..shipped::shipped_recipes().len(),
        cuts in prop::collection::vec((any::<prop::sample::Index>(), 0..40usize, "[\\[\\]{}=,.\"'a0\n\u{0}é]{0,3}"), 1..6),
    ) {
        let mut text: Vec<char> = shipped::shipped_recipes()[which].text.chars().collect();
        for (at, length, put) in cuts {
            let at = at.index(text.len());
            let end = (at + length).min(text.len());
            text.splice(at..end, put.chars());
            if text.is_empty() {
                break;
            }
        }
        check_any(&text.into_iter().collect::<String>());
    }
}
