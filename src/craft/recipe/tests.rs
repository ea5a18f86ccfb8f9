//! A recipe goes out as a file or as JSON and comes back the same, whatever it holds.

use super::schema::{FILLER, RecipeKey, TABLES, TOP_LEVEL, Table, ValueType};
use super::*;
use proptest::prelude::*;
use proptest::sample::{select, subsequence};
use serde_json::{Map, Value, json};

/// Text of one line such as a maker may write: quotation marks, backslashes, other scripts, no control characters.
fn words(longest: usize) -> BoxedStrategy<String> {
    "[ -~äé\u{202e}中#\"\\\\]{1,40}"
        .prop_map(move |s| s.chars().take(longest).collect::<String>())
        .prop_filter("not blank", |s| !s.trim().is_empty())
        .boxed()
}

fn amount() -> impl Strategy<Value = Value> {
    let ranges: Vec<_> = FILLER
        .keys
        .iter()
        .filter_map(|key| match key.value_type {
            ValueType::Number { range, .. } => Some((key.name, range)),
            _ => None,
        })
        .collect();
    (select(ranges), 0.0..=1.0f64).prop_map(|((name, range), at)| json!({ name: between(range.min, range.max, at) }))
}

fn between(lowest: f64, highest: f64, at: f64) -> f64 {
    (lowest + (highest - lowest) * at).clamp(lowest, highest)
}

/// A sound value of one key.
fn value(key: &RecipeKey) -> BoxedStrategy<Value> {
    match key.value_type {
        ValueType::FormatNumber => Just(json!(RECIPE_FORMAT)).boxed(),
        ValueType::Name => "[a-z0-9-]{1,64}".prop_map(Value::from).boxed(),
        ValueType::Text { max_chars: longest, .. } => words(longest).prop_map(Value::from).boxed(),
        ValueType::Choice { words, .. } => select(words).prop_map(Value::from).boxed(),
        ValueType::ChoiceList { words, min_len: fewest } => {
            subsequence(words, fewest..=words.len()).prop_shuffle().prop_map(|w| json!(w)).boxed()
        }
        ValueType::Number { range, .. } => (range.min..=range.max).prop_map(Value::from).boxed(),
        ValueType::Pair { .. } => Just(key.default_value()).boxed(),
        ValueType::Integer { min: lowest, max: highest, .. } => (lowest..=highest).prop_map(Value::from).boxed(),
        ValueType::Bool { .. } => any::<bool>().prop_map(Value::from).boxed(),
        ValueType::Fillers => {
            let names = subsequence(Filler::ALL.to_vec(), 1..=8).prop_shuffle();
            (names, prop::collection::vec(amount(), 8))
                .prop_map(|(names, amounts)| {
                    let part = |(filler, mut amount): (Filler, Value)| {
                        amount["name"] = json!(filler.name());
                        amount
                    };
                    Value::Array(names.into_iter().zip(amounts).map(part).collect())
                })
                .boxed()
        }
    }
}

fn table(table: &'static Table) -> BoxedStrategy<Value> {
    let mut all = Just(Map::new()).boxed();
    for key in table.keys {
        let here = match key.presence {
            schema::KeyPresence::Optional if table.name != "sand" => prop::option::of(value(key)).boxed(),
            schema::KeyPresence::Optional | schema::KeyPresence::Required | schema::KeyPresence::Defaulted => {
                value(key).prop_map(Some).boxed()
            }
        };
        all = (all, here)
            .prop_map(|(mut map, value)| {
                map.extend(value.map(|v| (key.name.to_owned(), v)));
                map
            })
            .boxed();
    }
    all.prop_map(Value::Object).boxed()
}

/// Puts the figures that must stand in order into order.
fn in_order(mut plain: Value, heat: [f64; 4]) -> Value {
    let mut heat = heat;
    heat.sort_by(f64::total_cmp);
    let gesso = &mut plain["gesso"];
    gesso["work_c"] = json!([heat[0], heat[1] + 1.0]);
    gesso["caution_c"] = json!(heat[2] + 1.0);
    gesso["overheat_c"] = json!(heat[3] + 2.0);
    gesso["gels_at_c"] = json!(heat[0].min(46.0) - 1.0);
    let figure = |table: &str, key: &str| plain[table][key].as_f64().unwrap_or(15.0);
    let gap = figure("coats", "long_gap_min").max(figure("coats", "wait_min")).max(figure("stipple", "wait_min"));
    plain["coats"]["long_gap_min"] = json!(gap);
    plain
}

fn recipe() -> impl Strategy<Value = Recipe> {
    let mut all = table(&TOP_LEVEL);
    for each in TABLES {
        let here = match each.presence {
            schema::TablePresence::NoStageIfAbsent => prop::option::of(table(each)).boxed(),
            schema::TablePresence::Required | schema::TablePresence::Defaulted => table(each).prop_map(Some).boxed(),
        };
        all = (all, here)
            .prop_map(|(mut plain, inside)| {
                if let Some(inside) = inside {
                    plain[each.name] = inside;
                }
                plain
            })
            .boxed();
    }
    (all, prop::array::uniform4(20.0..90.0f64))
        .prop_map(|(plain, heat)| serde_json::from_value(in_order(plain, heat)).unwrap())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 128, ..ProptestConfig::default() })]

    #[test]
    fn a_recipe_written_as_a_file_reads_back_the_same(recipe in recipe()) {
        let text = recipe.to_toml();
        let reading = parser::parse_recipe(&text);
        prop_assert_eq!(&reading.diagnostics, &vec![], "\n{}", text);
        prop_assert_eq!(reading.recipe, Some(recipe));
    }

    #[test]
    fn a_recipe_written_as_json_reads_back_the_same(recipe in recipe()) {
        let line = serde_json::to_string(&recipe).unwrap();
        prop_assert_eq!(serde_json::from_str::<Recipe>(&line).unwrap(), recipe);
    }
}

#[test]
fn the_shipped_recipes_written_out_read_back_the_same() {
    for shipped in shipped::shipped_recipes() {
        let recipe = shipped::find_shipped_recipe(shipped.name).unwrap();
        assert_eq!(parser::parse_recipe(&recipe.to_toml()).recipe, Some(recipe), "{}", shipped.name);
    }
}

#[test]
fn a_printed_recipe_can_be_read_by_people() {
    let text = shipped::find_shipped_recipe("gypsum-zinc").unwrap().to_toml();
    for line in [
        "name = \"gypsum-zinc\"               # what it is asked for by",
        "title = \"Gypsum and zinc white, blade finish\"  # what it is",
        "[size]                             # thin glue that soaks into the wood",
        "  { name = \"gypsum dihydrate\", ml_per_100_ml_size = 100.0 },",
        "work_c = [40.0, 50.0]              # working warmth, lowest and highest, C",
    ] {
        assert!(text.lines().any(|l| l == line), "{line}\n{text}");
    }
}

#[test]
fn a_word_is_found_by_its_name_and_journals_write_the_same_word() {
    fn check<W: Copy + PartialEq + std::fmt::Debug + Serialize>(
        all: &[W],
        name: fn(W) -> &'static str,
        named: fn(&str) -> Option<W>,
    ) {
        for word in all {
            assert_eq!(named(name(*word)), Some(*word));
            assert_eq!(serde_json::to_value(word).unwrap(), json!(name(*word)));
        }
        assert_eq!(named("other"), None);
    }
    check(&Paint::ALL, Paint::name, Paint::from_name);
    check(&Faces::ALL, Faces::name, Faces::from_name);
    check(&Direction::ALL, Direction::name, Direction::from_name);
    check(&ReadySign::ALL, ReadySign::name, ReadySign::from_name);
    check(&SealMaterial::ALL, SealMaterial::name, SealMaterial::from_name);
}
