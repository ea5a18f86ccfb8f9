use super::error::{SettingError, SettingErrorKind};
use super::*;
use std::fs;

/// Options, environment, file text.
struct Given<'a> {
    options: Options,
    env: &'a [(&'a str, &'a str)],
    file: Option<&'a str>,
}

fn settle(given: Given<'_>) -> (tempfile::TempDir, Result<Settings, ConfigError>) {
    let home = tempfile::tempdir().unwrap();
    let places =
        PlatformDirs { config_dir: Some(home.path().join("config")), data_dir: Some(home.path().join("data")) };
    fs::create_dir_all(home.path().join("config")).unwrap();
    if let Some(text) = given.file {
        fs::write(home.path().join("config/config.toml"), text).unwrap();
    }
    let env = |name: &str| given.env.iter().find(|(n, _)| *n == name).map(|(_, v)| OsString::from(v));
    let settings = Settings::resolve(&given.options, env, &places);
    (home, settings)
}

fn from_file(text: &str) -> (tempfile::TempDir, Result<Settings, ConfigError>) {
    settle(Given { options: Options::default(), env: &[], file: Some(text) })
}

const WHOLE: &str = r#"
data = "/var/panels"
units = "imperial"
color = "never"
ascii = true
theme = "light"
night = "21:30-06:15"
air_may_shorten = true
hands = 2
waits = "own"
hours = "mon-fri 18:00-22:00, sat 09:00-17:00"
days = "mon-fri"
off = ["2026-12-24..2026-12-27"]
[alarm]
bell = false
desktop = false
command = ["ring", "--loud"]
repeat_min = 5
speak = true

[materials]
"zinc oxide" = 0.5
gypsum = 0.71
"glue granules" = 0.7
"#;

#[test]
fn without_a_file_everything_is_default() {
    let (home, settings) = settle(Given { options: Options::default(), env: &[], file: None });
    let settings = settings.unwrap();
    assert!(settings.rows().iter().all(|(_, _, from)| *from == Origin::Default));
    assert_eq!(settings.data_dir.value, home.path().join("data"));
    assert_eq!(settings.recipes_dir(), Some(home.path().join("config/recipes")));
    assert_eq!(settings.quiet_hours.value, Some(QuietHours::DEFAULT));
    assert!(settings.read_user_recipes().is_empty());
}

#[test]
fn every_setting_remembers_its_line() {
    let (home, settings) = from_file(WHOLE);
    let settings = settings.unwrap();
    let path = home.path().join("config/config.toml");
    let meant = [
        ("data", "\"/var/panels\"", 2),
        ("units", "\"imperial\"", 3),
        ("color", "\"never\"", 4),
        ("ascii", "true", 5),
        ("theme", "\"light\"", 6),
        ("night", "\"21:30-06:15\"", 7),
        ("air_may_shorten", "true", 8),
        ("waits", "\"own\"", 10),
        ("hands", "2", 9),
        ("hours", "\"mon-fri 18:00-22:00, sat 09:00-17:00\"", 11),
        ("days", "\"mon-fri\"", 12),
        ("off", "[\"2026-12-24..2026-12-27\"]", 13),
        ("alarm.bell", "false", 15),
        ("alarm.desktop", "false", 16),
        ("alarm.command", "[\"ring\", \"--loud\"]", 17),
        ("alarm.repeat_min", "5.0", 18),
        ("alarm.speak", "true", 19),
        ("materials.\"gypsum dihydrate\"", "0.71", 23),
        ("materials.\"zinc white\"", "0.5", 22),
        ("materials.\"glue granules\"", "0.7", 24),
    ];
    let meant = meant.map(|(k, v, line)| (k.to_owned(), v.to_owned(), Origin::File(path.clone(), line)));
    assert_eq!(settings.rows(), meant);
    assert_eq!(settings.unknown_settings, []);
}

#[test]
fn what_is_shown_reads_back() {
    let (_home, settings) = from_file(WHOLE);
    let first = settings.unwrap();
    let text: String = first.rows().into_iter().map(|(key, value, _)| format!("{key} = {value}\n")).collect();
    let (_home, settings) = from_file(&text);
    let values = |s: &Settings| s.rows().into_iter().map(|(k, v, _)| (k, v)).collect::<Vec<_>>();
    assert_eq!(values(&settings.unwrap()), values(&first));
}

#[test]
fn an_option_wins_over_the_environment_and_that_over_the_file() {
    let env: &[(&str, &str)] = &[("SOTTILE_DATA", "/from/env"), ("NO_COLOR", "1"), ("SOTTILE_CONFIG", "")];
    let (_home, settings) = settle(Given { options: Options::default(), env, file: Some(WHOLE) });
    let settings = settings.unwrap();
    assert_eq!(settings.data_dir, Sourced::from_env(PathBuf::from("/from/env"), "SOTTILE_DATA"));
    assert_eq!(settings.color_mode, Sourced::from_env(ColorMode::Never, "NO_COLOR"));
    let options = Options {
        config_file: None,
        data_dir: Some("here".into()),
        unit_system: Some(UnitSystem::Metric),
        color_mode: Some(ColorMode::Always),
        ascii: true,
    };
    let (_home, settings) = settle(Given { options, env, file: Some(WHOLE) });
    let settings = settings.unwrap();
    assert_eq!(settings.data_dir, Sourced::from_option(PathBuf::from("here")));
    assert_eq!(settings.unit_system, Sourced::from_option(UnitSystem::Metric));
    assert_eq!(settings.color_mode, Sourced::from_option(ColorMode::Always));
    assert_eq!(settings.ascii, Sourced::from_option(true));
}

#[test]
fn colour_follows_the_environment() {
    for (env, value, from) in [
        (&[("NO_COLOR", "")][..], ColorMode::Auto, Origin::Default),
        (&[("NO_COLOR", "0")], ColorMode::Never, Origin::Environment("NO_COLOR")),
        (&[("FORCE_COLOR", "1")], ColorMode::Always, Origin::Environment("FORCE_COLOR")),
        (&[("CLICOLOR_FORCE", "0")], ColorMode::Auto, Origin::Default),
        (&[("CLICOLOR_FORCE", "1"), ("NO_COLOR", "1")], ColorMode::Never, Origin::Environment("NO_COLOR")),
    ] {
        let (_home, settings) = settle(Given { options: Options::default(), env, file: None });
        assert_eq!(settings.unwrap().color_mode, Sourced { value, origin: from }, "{env:?}");
    }
}

#[test]
fn an_unknown_key_is_told_of_and_passed_over() {
    let (home, settings) =
        from_file("unit = \"metric\"\nthme = 3\n[alarm]\nbel = 1\n[materials]\nchalc = 0.6\n[qq]\nzz = 1\n");
    let settings = settings.unwrap();
    let told: Vec<_> =
        settings.unknown_settings.iter().map(|u| (u.line, u.key.as_str(), u.nearest.as_deref())).collect();
    assert_eq!(
        told,
        [
            (1, "unit", Some("units")),
            (2, "thme", Some("theme")),
            (4, "alarm.bel", Some("alarm.bell")),
            (6, "materials.chalc", Some("materials.chalk")),
            (7, "qq", None),
        ]
    );
    let path = home.path().join("config/config.toml");
    assert_eq!(
        settings.unknown_settings[0].to_string(),
        format!(
            "{}, line 1: no setting is called \"unit\"; it is passed over (the nearest is \"units\")",
            path.display()
        )
    );
}

#[test]
fn a_fault_names_file_line_and_key_and_nothing_is_applied() {
    let among = |given: &str, words: &[&'static str]| SettingErrorKind::UnknownWord {
        given: given.to_owned(),
        allowed: words.to_vec(),
    };
    let cases: Vec<(&str, usize, &str, SettingErrorKind)> = vec![
        ("units = \"imperal\"", 1, "units", among("imperal", &["metric", "imperial"])),
        ("\n\nunits = 3", 3, "units", SettingErrorKind::WrongType("a text in quotation marks")),
        ("theme = \"lite\"", 1, "theme", among("lite", &["terminal", "dark", "light", "mono"])),
        ("color = \"\"", 1, "color", among("", &["auto", "always", "never"])),
        ("ascii = \"yes\"", 1, "ascii", SettingErrorKind::WrongType("true or false")),
        ("night = \"22-7\"", 1, "night", SettingErrorKind::InvalidHours("22-7".to_owned())),
        ("night = \"22:00-22:00\"", 1, "night", SettingErrorKind::InvalidHours("22:00-22:00".to_owned())),
        ("night = \"24:00-07:00\"", 1, "night", SettingErrorKind::InvalidHours("24:00-07:00".to_owned())),
        ("data = \"panels\"", 1, "data", SettingErrorKind::RelativePath("panels".to_owned())),
        (
            "hands = 9",
            1,
            "hands",
            SettingErrorKind::OutOfRange { given: 9.0, min: 1.0, max: 8.0, unit: "pairs of hands" },
        ),
        ("hands = 1.5", 1, "hands", SettingErrorKind::WrongType("a whole number")),
        ("[alarm]\nspeak = 1", 2, "alarm.speak", SettingErrorKind::WrongType("true or false")),
        ("alarm = 3", 1, "alarm", SettingErrorKind::WrongType("a table")),
        (
            "[alarm]\ncommand = \"ring\"",
            2,
            "alarm.command",
            SettingErrorKind::WrongType("a list of texts, the program and its arguments,"),
        ),
        (
            "[alarm]\ncommand = [1]",
            2,
            "alarm.command",
            SettingErrorKind::WrongType("a list of texts, the program and its arguments,"),
        ),
        (
            "[alarm]\nrepeat_min = 31",
            2,
            "alarm.repeat_min",
            SettingErrorKind::OutOfRange { given: 31.0, min: 0.0, max: 30.0, unit: "minutes" },
        ),
        ("[materials]\nchalk = \"0.6\"", 2, "materials.chalk", SettingErrorKind::WrongType("a number")),
        (
            "[materials]\nchalk = 0",
            2,
            "materials.chalk",
            SettingErrorKind::OutOfRange { given: 0.0, min: 0.05, max: 5.0, unit: "g/ml" },
        ),
        ("[materials]\nchalk = 0.6\nwhiting = 0.7", 3, "materials.whiting", SettingErrorKind::Duplicate("chalk")),
    ];
    for (text, line, key, wrong) in cases {
        let (_home, settings) = from_file(text);
        let Err(ConfigError::InvalidSettings(faults)) = settings else { panic!("{text:?} was taken: {settings:?}") };
        let [fault] = faults.as_slice() else { panic!("{text:?}: {faults:?}") };
        assert_eq!((fault.line, fault.key.as_str(), &fault.kind), (line, key, &wrong), "{text:?}");
        let said = fault.to_string();
        assert!(said.contains("config.toml, line ") && said.contains(key), "{said}");
    }
}

#[test]
fn every_fault_is_told_at_once() {
    let (_home, settings) = from_file("theme = 1\nunits = \"feet\"\n[alarm]\nbell = 1\n");
    let said = settings.unwrap_err().to_string();
    assert_eq!(said.lines().count(), 3, "{said}");
}

#[test]
fn a_file_that_is_no_toml_is_named_with_its_line() {
    let (_home, settings) = from_file("units = \"metric\"\ntheme = = 3\n");
    let Err(ConfigError::InvalidSettings(faults)) = settings else { panic!("{settings:?}") };
    assert!(matches!(&faults[0], SettingError { line: 2, kind: SettingErrorKind::NotToml(_), .. }), "{faults:?}");
    assert!(!faults[0].to_string().contains('\n'));
}

#[test]
fn a_file_asked_for_must_be_there_and_readable() {
    let options = Options { config_file: Some("/nowhere/at/all.toml".into()), ..Options::default() };
    let (_home, settings) = settle(Given { options, env: &[], file: None });
    assert!(matches!(settings, Err(ConfigError::UnreadableFile { origin: Origin::CommandLine, .. })), "{settings:?}");

    let home = tempfile::tempdir().unwrap();
    fs::write(home.path().join("config.toml"), [0xff, 0xfe]).unwrap();
    let places = PlatformDirs { config_dir: Some(home.path().to_owned()), data_dir: None };
    let settings = Settings::resolve(&Options::default(), |_| None, &places);
    assert!(matches!(settings, Err(ConfigError::UnreadableFile { origin: Origin::Default, .. })), "{settings:?}");

    fs::write(home.path().join("config.toml"), "#".repeat(MAX_FILE_BYTES as usize + 1)).unwrap();
    let settings = Settings::resolve(&Options::default(), |_| None, &places);
    assert!(matches!(settings, Err(ConfigError::UnreadableFile { .. })), "{settings:?}");

    let settings = Settings::resolve(&Options::default(), |_| None, &PlatformDirs::default());
    assert_eq!(settings, Err(ConfigError::NoDataDir));
}

#[test]
fn the_makers_recipes_lie_beside_the_settings() {
    let (home, settings) = from_file("");
    let settings = settings.unwrap();
    let dir = home.path().join("config/recipes");
    fs::create_dir(&dir).unwrap();
    fs::write(dir.join("winter.toml"), "name = \"winter\"").unwrap();
    fs::write(dir.join("bad.toml"), [0xff]).unwrap();
    fs::write(dir.join("notes.txt"), "not a recipe").unwrap();
    let texts = settings.read_user_recipes();
    let told: Vec<_> = texts.iter().map(|(name, path, text)| (name.as_str(), path.clone(), text.is_ok())).collect();
    assert_eq!(told, [("bad", dir.join("bad.toml"), false), ("winter", dir.join("winter.toml"), true)]);
    assert_eq!(settings.paths().iter().map(|(name, _)| *name).collect::<Vec<_>>(), ["config", "recipes", "data"]);
}

#[test]
fn the_night_goes_over_midnight() {
    for (night, minute, silent) in [
        ("22:00-07:00", 21 * 60 + 59, false),
        ("22:00-07:00", 22 * 60, true),
        ("22:00-07:00", 0, true),
        ("22:00-07:00", 6 * 60 + 59, true),
        ("22:00-07:00", 7 * 60, false),
        ("13:00-15:00", 14 * 60, true),
        ("13:00-15:00", 15 * 60, false),
        ("13:00-15:00", 12 * 60, false),
    ] {
        assert_eq!(QuietHours::parse(night).unwrap().contains(minute), silent, "{night} at minute {minute}");
    }
}
