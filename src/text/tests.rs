use super::parse_error::{ParseErrorKind, Quantity};
use super::sanitize::{MAX_COMBINING_MARKS, MAX_SHOWN_CHARS};
use super::*;
use crate::units::{Humidity, Length, Mass, Size, Span, Stamp, Temperature, Volume};
use chrono::{DateTime, Utc};
use chrono_tz::{Australia::Lord_Howe, Europe::London, Pacific::Apia, Tz};
use proptest::prelude::*;

/// The same number, but for the last digits.
fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9 * (1.0 + a.abs())
}

fn at(rfc: &str) -> Stamp {
    Stamp::from_ms(DateTime::parse_from_rfc3339(rfc).unwrap().timestamp_millis())
}

#[test]
fn sizes_are_read_width_first() {
    let cases: &[(&str, f64, f64, Option<f64>)] = &[
        ("300x400x12mm", 300.0, 400.0, Some(12.0)),
        ("300x400mm", 300.0, 400.0, None),
        ("30x40cm", 300.0, 400.0, None),
        ("30x40cmx12mm", 300.0, 400.0, Some(12.0)),
        ("0.3x0.4m", 300.0, 400.0, None),
        ("12x16x1/2in", 304.8, 406.4, Some(12.7)),
        ("12 1/2 x 16 x ½ in", 317.5, 406.4, Some(12.7)),
        ("12-1/2x16in", 317.5, 406.4, None),
        ("12\"x16\"x12mm", 304.8, 406.4, Some(12.0)),
        ("  300 × 400 × 12 mm  ", 300.0, 400.0, Some(12.0)),
        ("300X400X12MM", 300.0, 400.0, Some(12.0)),
        ("30,5x40cm", 305.0, 400.0, None),
        (".5x1ft", 152.4, 304.8, None),
        ("10x10m", 10_000.0, 10_000.0, None),
    ];
    for &(given, width, height, thickness) in cases {
        let read = parse_size(given).unwrap();
        assert!(near(read.width.mm(), width) && near(read.height.mm(), height), "{given}: {read:?}");
        match (read.thickness, thickness) {
            (Some(read), Some(meant)) => assert!(near(read.mm(), meant), "{given}: {read:?}"),
            (read, meant) => assert_eq!(read.is_some(), meant.is_some(), "{given}"),
        }
    }
}

#[test]
fn what_cannot_be_read_says_why() {
    use ParseErrorKind::*;
    let nan = |s: &str| NotANumber(s.to_owned());
    let unit = |s: &str| UnknownUnit(s.to_owned());
    let check = |got: Option<ParseError>, given: &str, kind: Quantity, fault: ParseErrorKind| {
        let got = got.unwrap_or_else(|| panic!("{given:?} was read"));
        assert_eq!((got.quantity, &got.kind), (kind, &fault), "{given:?}");
        let said = got.to_string();
        assert!(!said.contains('\n') && said.contains("write"), "{said}");
    };
    for (given, fault) in [
        ("", Empty),
        ("   ", Empty),
        ("300x400", MissingUnit),
        ("300x400mmx12", MissingUnit),
        ("300mm", WrongFormat),
        ("1x2x3x4mm", WrongFormat),
        ("300x400stone", unit("stone")),
        ("ax400mm", nan("a")),
        ("300xmm", nan("mm")),
        ("0x400mm", NotPositive),
        ("300x-400mm", NotPositive),
        ("300x400x0mm", NotPositive),
        ("300x400x0.01mm", TooSmall("0.1 mm")),
        ("11x1m", TooLarge("10 m")),
        ("1,000x2mm", nan("1,000")),
        ("1/0x2mm", nan("1/0")),
        ("NaNxinfmm", nan("infmm")),
        ("1e3x4mm", nan("1e3")),
        ("99999999999x4mm", nan("99999999999")),
    ] {
        check(parse_size(given).err(), given, Quantity::Size, fault);
    }
    for (given, fault) in [
        ("812", MissingUnit),
        ("g", nan("g")),
        ("-3g", Negative),
        ("3ml", unit("ml")),
        ("2000kg", TooLarge("1000 kg")),
        ("", Empty),
    ] {
        check(parse_mass(given).err(), given, Quantity::Mass, fault);
    }
    for (given, fault) in [("60", MissingUnit), ("3g", unit("g")), ("-1ml", Negative), ("2000l", TooLarge("1000 l"))] {
        check(parse_volume(given).err(), given, Quantity::Volume, fault);
    }
    for (given, fault) in [
        ("20", MissingUnit),
        ("20°", MissingUnit),
        ("20K", unit("k")),
        ("-274C", BelowAbsoluteZero),
        ("-460F", BelowAbsoluteZero),
        ("1001C", TooLarge("1000 C")),
        ("warm", nan("warm")),
    ] {
        check(parse_temperature(given).err(), given, Quantity::Temperature, fault);
    }
    for (given, fault) in [("50", MissingUnit), ("101%", NotAPercentage), ("-1%", NotAPercentage), ("50C", unit("c"))] {
        check(parse_humidity(given).err(), given, Quantity::Humidity, fault);
    }
    for (given, fault) in [
        ("", Empty),
        ("25:00", NoSuchTime),
        ("13:60", NoSuchTime),
        ("2026-02-30 10:00", NoSuchTime),
        ("-4", MissingUnit),
        ("-1h30", MissingUnit),
        ("-", WrongFormat),
        ("-m", nan("m")),
        ("-4y", unit("y")),
        ("-30m1h", WrongFormat),
        ("-1h1h", WrongFormat),
        ("-99999d", TooLarge("ten years")),
        ("-99999999999999999999s", nan("99999999999999999999s")),
        ("noon", WrongFormat),
        ("13.40", WrongFormat),
        ("2026-03-29", WrongFormat),
        ("13:40:00:00", WrongFormat),
    ] {
        check(parse_time(given, at("2026-11-25T12:00:00Z"), &Utc).err(), given, Quantity::Time, fault);
    }
}

#[test]
fn a_refusal_is_one_sentence_with_an_example() {
    let said = parse_size("300x400").unwrap_err().to_string();
    assert_eq!(
        said,
        "\"300x400\" cannot be read as a size: the unit is missing; write for example 300x400x12mm or 12x16x1/2in, width first"
    );
    let said = parse_mass("3\u{1b}[2Jg\n").unwrap_err().to_string();
    assert!(!said.contains('\u{1b}') && !said.contains('\n'), "{said:?}");
}

#[test]
fn amounts_are_read_in_either_units() {
    for (given, g) in [("812g", 812.0), ("0.8 kg", 800.0), ("1.8lb", 816.466_266), ("16oz", 453.592_37), ("0g", 0.0)] {
        assert!(near(parse_mass(given).unwrap().g(), g), "{given}");
    }
    for (given, ml) in
        [("60ml", 60.0), ("2floz", 59.147_059_125), ("1.5 l", 1500.0), ("5 cl", 50.0), ("2 FL OZ", 59.147_059_125)]
    {
        assert!(near(parse_volume(given).unwrap().ml(), ml), "{given}");
    }
    for (given, c) in
        [("20C", 20.0), ("68F", 20.0), ("-5 °C", -5.0), ("20.5c", 20.5), ("-273.15C", -273.15), ("-40F", -40.0)]
    {
        assert!(near(parse_temperature(given).unwrap().c(), c), "{given}");
    }
    for (given, pct) in [("50%", 50.0), ("45.5 %", 45.5), ("0%", 0.0), ("100%RH", 100.0)] {
        assert!(near(parse_humidity(given).unwrap().pct(), pct), "{given}");
    }
}

#[test]
fn times_are_read_in_the_zone_given() {
    let now = at("2026-06-10T12:00:00Z");
    for (given, meant) in [
        ("now", "2026-06-10T12:00:00Z"),
        (" -4m ", "2026-06-10T11:56:00Z"),
        ("-1h30m", "2026-06-10T10:30:00Z"),
        ("-90s", "2026-06-10T11:58:30Z"),
        ("-2d3h", "2026-06-08T09:00:00Z"),
        ("-0m", "2026-06-10T12:00:00Z"),
        ("13:40", "2026-06-10T12:40:00Z"),
        ("9:05", "2026-06-10T08:05:00Z"),
        ("13:40:30", "2026-06-10T12:40:30Z"),
        ("2026-06-09 13:40", "2026-06-09T12:40:00Z"),
        ("2026-06-09T13:40", "2026-06-09T12:40:00Z"),
        ("2026-06-09T13:40:00+05:00", "2026-06-09T08:40:00Z"),
        ("2026-06-09T13:40:00Z", "2026-06-09T13:40:00Z"),
    ] {
        assert_eq!(parse_time(given, now, &London), Ok(at(meant)), "{given}");
    }
}

#[test]
fn clocks_put_forward_and_back() {
    let skipped =
        |day: &str, time: &str| Err(ParseErrorKind::SkippedLocalTime { day: day.to_owned(), time: time.to_owned() });
    let twice = |first: &str, second: &str| {
        Err(ParseErrorKind::RepeatedLocalTime { first: first.to_owned(), second: second.to_owned() })
    };
    let cases: &[(Tz, &str, &str, Result<&str, ParseErrorKind>)] = &[
        (London, "2026-03-29T12:00:00Z", "01:30", skipped("2026-03-29", "01:30")),
        (London, "2026-03-29T12:00:00Z", "2026-03-29T01:30:00Z", Ok("2026-03-29T01:30:00Z")),
        (London, "2026-03-29T12:00:00Z", "02:00", Ok("2026-03-29T01:00:00Z")),
        (London, "2026-10-25T12:00:00Z", "01:30", twice("2026-10-25T01:30:00+01:00", "2026-10-25T01:30:00+00:00")),
        // The second is still to come.
        (London, "2026-10-25T00:50:00Z", "01:30", Ok("2026-10-25T00:30:00Z")),
        (London, "2026-10-25T00:10:00Z", "01:30", Ok("2026-10-25T00:30:00Z")),
        (London, "2026-10-25T12:00:00Z", "02:00", Ok("2026-10-25T02:00:00Z")),
        (Lord_Howe, "2026-10-04T05:00:00Z", "02:15", skipped("2026-10-04", "02:15")),
        (Lord_Howe, "2026-10-04T05:00:00Z", "02:30", Ok("2026-10-03T15:30:00Z")),
        (Lord_Howe, "2026-04-05T05:00:00Z", "01:45", twice("2026-04-05T01:45:00+11:00", "2026-04-05T01:45:00+10:30")),
        (Apia, "2011-12-30T12:00:00Z", "2011-12-30 12:00", skipped("2011-12-30", "12:00")),
        (Apia, "2011-12-30T12:00:00Z", "2011-12-29 23:59", Ok("2011-12-30T09:59:00Z")),
        (Apia, "2011-12-30T12:00:00Z", "00:00", Ok("2011-12-30T10:00:00Z")),
    ];
    for (zone, now, given, meant) in cases {
        let got = parse_time(given, at(now), zone).map_err(|e| e.kind);
        assert_eq!(got, meant.clone().map(at), "{zone} {given}");
    }
    let said = parse_time("01:30", at("2026-03-29T12:00:00Z"), &London).unwrap_err().to_string();
    assert!(said.contains("2026-03-29") && said.contains("never was"), "{said}");
    // Both ways to write it are told, and both are read.
    let now = at("2026-10-25T12:00:00Z");
    let said = parse_time("01:30", now, &London).unwrap_err().to_string();
    for (typed, moment) in
        [("2026-10-25T01:30:00+01:00", "2026-10-25T00:30:00Z"), ("2026-10-25T01:30:00+00:00", "2026-10-25T01:30:00Z")]
    {
        assert!(said.contains(typed) && said.contains("came twice"), "{said}");
        assert_eq!(parse_time(typed, now, &London), Ok(at(moment)));
    }
}

#[test]
fn times_are_told_in_the_zone_given() {
    let now = at("2026-06-10T12:00:00Z");
    for (moment, told) in [
        ("2026-06-10T12:40:00Z", "13:40"),
        ("2026-06-09T12:40:00Z", "Tue 13:40"),
        ("2026-06-10T23:30:00Z", "Thu 00:30"),
        ("2026-06-16T12:40:00Z", "Tue 13:40"),
        ("2026-06-17T12:40:00Z", "2026-06-17 13:40"),
    ] {
        assert_eq!(format_when(at(moment), now, &London), told, "{moment}");
    }
    assert_eq!(format_hhmm(at("2026-01-10T12:40:59Z"), &London), "12:40");
    assert_eq!(format_date(at("2026-06-10T23:30:00Z"), &London), "2026-06-11");
    assert_eq!(format_rfc3339(at("2026-06-10T12:40:00Z"), &London), "2026-06-10T13:40:00+01:00");
    assert_eq!(format_rfc3339(at("2026-06-10T12:40:00.250Z"), &Lord_Howe), "2026-06-10T23:10:00.250+10:30");
    let far = [i64::MAX, DateTime::<Utc>::MAX_UTC.timestamp_millis(), 300_000_000_000_000];
    for ms in far {
        assert_eq!(format_date(Stamp::from_ms(ms), &Apia), "9999-12-31");
        assert!(format_rfc3339(Stamp::from_ms(-ms), &Apia).starts_with("0001-01-0"), "{ms}");
    }
}

#[test]
fn lengths_of_time_are_told() {
    for (s, shown, long) in [
        (0, "0:00", "0 s"),
        (40, "0:40", "40 s"),
        (724, "12:04", "12 min"),
        (3599, "59:59", "1 h"),
        (3600, "1 h", "1 h"),
        (4800, "1 h 20 min", "1 h 20 min"),
        (4801, "1 h 21 min", "1 h 20 min"),
        (86_340, "23 h 59 min", "23 h 59 min"),
        (86_400, "1 day", "1 day"),
        (183_600, "2 days 3 h", "2 days 3 h"),
        (183_660, "2 days 4 h", "2 days 3 h"),
        (-190, "+3:10", "3 min"),
        (-4859, "+1 h 20 min", "1 h 21 min"),
    ] {
        assert_eq!(format_countdown(Span::from_s(s)), shown, "{s} s");
        assert_eq!(format_duration(Span::from_s(s)), long, "{s} s");
    }
    assert_eq!(format_countdown(Span::from_ms(1)), "0:01");
    assert_eq!(format_countdown(Span::from_ms(-1)), "+0:00");
    for (s, told) in [
        (-240, "4 min early"),
        (-31, "1 min early"),
        (-30, "on time"),
        (29, "on time"),
        (95, "2 min late"),
        (3900, "65 min late"),
        (3590, "60 min late"),
        (-19_200, "5 h 20 min early"),
    ] {
        assert_eq!(format_lateness(Span::from_s(s)), told, "{s} s");
    }
    for span in [Span::from_ms(i64::MIN), Span::from_ms(i64::MAX)] {
        assert!(
            !format_countdown(span).is_empty()
                && !format_duration(span).is_empty()
                && !format_lateness(span).is_empty()
        );
    }
}

#[test]
fn amounts_are_printed() {
    let board = parse_size("12x16x1/2in").unwrap();
    for (got, meant) in [
        (format_size(board, UnitSystem::Imperial), "12 x 16 x 1/2 in"),
        (format_size(board, UnitSystem::Metric), "304.8 x 406.4 x 12.7 mm"),
        (format_size(parse_size("300x400mm").unwrap(), UnitSystem::Metric), "300 x 400 mm"),
        (format_size(parse_size("300x400mm").unwrap(), UnitSystem::Imperial), "11.81 x 15.75 in"),
        (format_size(parse_size("12 1/2x15 63/64in").unwrap(), UnitSystem::Imperial), "12 1/2 x 15 63/64 in"),
        (format_length(Length::from_mm(9.0), UnitSystem::Imperial), "0.354 in"),
        (format_mass(Mass::from_g(812.4), UnitSystem::Metric), "812 g"),
        (format_mass(Mass::from_g(7.25), UnitSystem::Metric), "7.2 g"),
        (format_mass(Mass::from_g(1250.0), UnitSystem::Metric), "1.25 kg"),
        (format_mass(Mass::from_g(812.0), UnitSystem::Imperial), "1.79 lb"),
        (format_mass(Mass::from_g(60.0), UnitSystem::Imperial), "2.12 oz"),
        (format_volume(Volume::from_ml(60.0), UnitSystem::Metric), "60 ml"),
        (format_volume(Volume::from_ml(1500.0), UnitSystem::Metric), "1.5 l"),
        (format_volume(Volume::from_ml(60.0), UnitSystem::Imperial), "2.03 floz"),
        (format_temperature(Temperature::from_c(20.0), UnitSystem::Imperial), "68 F"),
        (format_temperature(Temperature::from_c(-0.01), UnitSystem::Metric), "0 C"),
        (format_humidity(Humidity::from_pct(49.6)), "50%"),
    ] {
        assert_eq!(got, meant);
    }
}

#[test]
fn clean_text_cannot_act() {
    let stacked = format!("a{}", "\u{301}".repeat(40));
    for (given, shown) in [
        ("Robin", "Robin"),
        ("red\u{1b}[31m", "red␛[31m"),
        ("a\tb\r\nc\0", "a␉b␍␊c␀"),
        ("\u{7f}\u{9b}2J\u{85}", "␡\u{fffd}2J\u{fffd}"),
        ("gold\u{202e}gnp.exe\u{202c}", "goldgnp.exe"),
        ("\u{feff}a\u{200b}b\u{2060}c", "abc"),
        ("\u{e0041}\u{e007f}x", "x"),
        ("a\u{200d}b \u{200c} c\u{200d}", "ab  c"),
        ("👩\u{200d}🎨", "👩\u{200d}🎨"),
        ("می\u{200c}خواهم", "می\u{200c}خواهم"),
        ("Pâte à modeler", "Pâte à modeler"),
        (stacked.as_str(), "a\u{301}\u{301}\u{301}\u{301}\u{301}"),
    ] {
        assert_eq!(sanitize(given), shown, "{given:?}");
    }
    // Dropping the sixth mark brings two joiners together, of which one goes.
    let marked = format!("あ{}", "\u{301}".repeat(MAX_COMBINING_MARKS));
    assert_eq!(sanitize(&format!("{marked}\u{200d}\u{301}\u{200d}あ")), format!("{marked}\u{200d}あ"));
    let long = sanitize(&"ä".repeat(3 * MAX_SHOWN_CHARS));
    assert_eq!((long.chars().count(), long.ends_with('…')), (MAX_SHOWN_CHARS, true));
}

#[test]
fn fitted_text_keeps_letters_whole() {
    for (given, columns, shown, ascii) in [
        ("Robin", 5, "Robin", "Robin"),
        ("Blackbird", 6, "Black…", "Bla..."),
        ("Blackbird", 3, "Bl…", "Bl."),
        ("Blackbird", 1, "…", "."),
        ("Blackbird", 0, "", ""),
        ("板絵板絵", 5, "板絵…", "板..."),
        ("板絵板絵", 4, "板…", "..."),
        ("e\u{301}e\u{301}e\u{301}", 2, "e\u{301}…", "e\u{301}."),
        ("👩\u{200d}🎨👩\u{200d}🎨", 3, "👩\u{200d}🎨…", "👩\u{200d}🎨."),
    ] {
        assert_eq!(truncate_to_width(given, columns), shown, "{given} in {columns}");
        assert_eq!(truncate_to_width_ascii(given, columns), ascii, "{given} in {columns}");
    }
}

#[test]
fn nothing_ends_an_operating_system_command_early() {
    assert_eq!(sanitize_for_osc("4;1;coat\u{7} now\u{1b}\\\u{9c}!\n"), "4,1,coat now\\!");
    assert_eq!(sanitize_for_osc(&"a".repeat(500)).chars().count(), 200);
}

fn any_units() -> impl Strategy<Value = UnitSystem> {
    prop_oneof![Just(UnitSystem::Metric), Just(UnitSystem::Imperial)]
}

/// Text rich in what `clean` guards against.
fn hostile() -> impl Strategy<Value = String> {
    let one = prop_oneof![
        any::<char>(),
        prop::char::range('\0', '\u{9f}'),
        prop::char::range('\u{200b}', '\u{2069}'),
        prop::char::range('\u{300}', '\u{303}'),
        prop::char::range('\u{1f468}', '\u{1f46a}'),
        prop::char::range('\u{600}', '\u{64f}'),
        prop::char::range('\u{1f1e6}', '\u{1f1ff}'),
        prop::char::range('\u{1100}', '\u{1200}'),
        Just('\u{fe0f}'),
    ];
    prop::collection::vec(one, 0..60).prop_map(|chars| chars.into_iter().collect())
}

fn acts(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
        || matches!(c, '\u{200b}' | '\u{2060}' | '\u{feff}' | '\u{e0000}'..='\u{e007f}')
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn cleaning_twice_changes_nothing_more(text in hostile()) {
        let once = sanitize(&text);
        prop_assert!(!once.chars().any(acts), "{:?}", once);
        prop_assert_eq!(sanitize(&once), once);
    }

    #[test]
    fn fitted_text_fits(text in hostile(), columns in 0usize..30) {
        for fitted in [truncate_to_width(&sanitize(&text), columns), truncate_to_width_ascii(&sanitize(&text), columns)] {
            prop_assert!(display_width(&fitted) <= columns, "{:?} is {} wide", fitted, display_width(&fitted));
        }
        prop_assert!(!sanitize_for_osc(&text).chars().any(|c| acts(c) || c == ';'));
    }

    #[test]
    fn any_text_is_read_or_refused(text in hostile(), typed in "[-+0-9.,/xhmsdCF%: T½inlbg]{0,12}") {
        for text in [text, typed] {
            let faults = [
                parse_size(&text).err(),
                parse_mass(&text).err(),
                parse_volume(&text).err(),
                parse_temperature(&text).err(),
                parse_humidity(&text).err(),
                parse_time(&text, Stamp::from_ms(0), &Apia).err(),
            ];
            for fault in faults.into_iter().flatten() {
                prop_assert!(!fault.to_string().chars().any(acts));
            }
        }
    }

    #[test]
    fn a_printed_size_reads_back(w in 0.2f64..9999.0, h in 0.2f64..9999.0, t in prop::option::of(0.2f64..100.0), units in any_units()) {
        let board = Size { width: Length::from_mm(w), height: Length::from_mm(h), thickness: t.map(Length::from_mm) };
        let back = parse_size(&format_size(board, units)).unwrap();
        let close = |a: Length, b: Length| (a.mm() - b.mm()).abs() < 0.15;
        prop_assert!(close(back.width, board.width) && close(back.height, board.height));
        prop_assert_eq!(back.thickness.is_some(), t.is_some());
        if units == UnitSystem::Metric {
            prop_assert_eq!(format_size(back, units), format_size(board, units));
        }
    }

    #[test]
    fn a_printed_amount_reads_back(value in 0.0f64..900_000.0, c in -270.0f64..900.0, pct in 0.0f64..=100.0, units in any_units()) {
        let close = |a: f64, b: f64| (a - b).abs() <= 0.006 * b.abs() + 0.6;
        let g = parse_mass(&format_mass(Mass::from_g(value), units)).unwrap().g();
        let ml = parse_volume(&format_volume(Volume::from_ml(value), units)).unwrap().ml();
        prop_assert!(close(g, value) && close(ml, value), "{} {} {}", g, ml, value);
        let t = parse_temperature(&format_temperature(Temperature::from_c(c), units)).unwrap().c();
        prop_assert!((t - c).abs() < 0.06);
        let rh = parse_humidity(&format_humidity(Humidity::from_pct(pct))).unwrap().pct();
        prop_assert!((rh - pct).abs() <= 0.5);
    }

    #[test]
    fn a_printed_time_reads_back(ms in -2_000_000_000_000i64..4_000_000_000_000, pick in 0usize..3) {
        let zone = [London, Lord_Howe, Apia][pick];
        let stamp = Stamp::from_ms(ms);
        let back = parse_time(&format_rfc3339(stamp, &zone), Stamp::from_ms(0), &zone).unwrap();
        // Before railway time offsets had seconds, which RFC 3339 cannot write.
        if ms > -1_500_000_000_000 {
            prop_assert_eq!(back, stamp);
        }
        match parse_time(&format_hhmm(stamp, &zone), stamp, &zone) {
            Ok(shown) => {
                let off_ms = (shown - stamp).abs().ms();
                prop_assert!(off_ms < 3_600_000 + 60_000, "{off_ms}");
            }
            // An hour that the clock goes through two times is asked about.
            Err(error) => prop_assert!(error.to_string().contains("twice"), "{error}"),
        }
    }

    #[test]
    fn any_moment_can_be_told(ms in any::<i64>(), now in any::<i64>()) {
        for zone in [London, Lord_Howe, Apia] {
            let (at, now) = (Stamp::from_ms(ms), Stamp::from_ms(now));
            prop_assert!(!(format_rfc3339(at, &zone) + &format_hhmm(at, &zone) + &format_when(at, now, &zone)).is_empty());
        }
    }
}

#[test]
fn a_slip_is_known_for_the_word_it_was_meant_to_be() {
    let keys = ["wait_min", "wet", "count", "size", "birch", "thin", "gypsum-zinc"];
    for (given, expected) in [
        ("wait", Some("wait_min")),
        ("WAIT_MIN", Some("wait_min")),
        ("ise", Some("size")),
        ("gypsum", Some("gypsum-zinc")),
        ("brush", None),
        ("colour", None),
        ("xyz", None),
        ("", None),
    ] {
        assert_eq!(find_nearest_word(given, keys), expected, "{given}");
    }
    assert_eq!(find_nearest_word("wren", ["Wren", "Wrens"]), Some("Wren"), "capitals do not count");
    let long = "wait_min".repeat(26);
    assert_eq!(find_nearest_word(&long, [long.as_str()]), None, "nothing so long is compared");
}

#[test]
fn lines_are_as_wide_as_they_may_be_and_no_wider() {
    for (text, columns, expected) in [
        ("one two three", 7, &["one two", "three"][..]),
        ("one two three", 6, &["one", "two", "three"]),
        ("  one \u{a0} two\n", 80, &["one two"]),
        ("an overlong word", 4, &["an", "overlong", "word"]),
        ("overlong", 0, &["overlong"]),
        ("well-known", 5, &["well-known"]),
        ("", 9, &[]),
        ("   ", 9, &[]),
        // A family of two columns in five characters, and a heart whose second character makes it two columns wide.
        ("\u{1f468}\u{200d}\u{1f469}\u{200d}\u{1f467} ab", 5, &["\u{1f468}\u{200d}\u{1f469}\u{200d}\u{1f467} ab"]),
        ("\u{2764}\u{fe0f} abc", 5, &["\u{2764}\u{fe0f}", "abc"]),
        ("漆喰 ab", 6, &["漆喰", "ab"]),
    ] {
        assert_eq!(wrap_words(text, columns), expected, "{text:?} in {columns}");
    }
}

#[test]
fn numbers_of_things_are_told() {
    assert_eq!([0_u32, 1, 2].map(|n| format_count(n, "coat")), ["0 coats", "1 coat", "2 coats"]);
    assert_eq!([0_usize, 1, 2].map(format_times), ["0 times", "once", "2 times"]);
    for (text, minute) in [("22:00", Some(1320)), (" 7:5 ", Some(425)), ("24:00", None), ("7:60", None), ("7", None)] {
        assert_eq!(parse_minute_of_day(text), minute, "{text}");
    }
}

#[test]
fn a_day_is_told_once() {
    let minute = |min: i64| Stamp::from_ms(1_773_136_800_000 + min * 60_000);
    let now = minute(0);
    let told = format_times_once_a_day(&[minute(-1500), minute(-1490), minute(-60), minute(-5)], now, &chrono::Utc);
    assert_eq!(told, ["Mon 09:00", "    09:10", "Tue 09:00", "    09:55"]);
    assert_eq!(format_times_once_a_day(&[minute(-5), minute(-1)], now, &chrono::Utc), ["09:55", "09:59"]);
    assert_eq!(format_entries(1) + &format_entries(2), "1 entry2 entries");
}
