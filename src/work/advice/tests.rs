//! Advice as tables: what is said for which stage, how long it is, and where it comes from.

use super::cautions::*;
use super::fact_text;
use super::lateness::{current_wait_tip, earliness_tip, lateness_tip};
use super::offers::wait_offers;
use super::rehearsal::{RoundStep, rehearsal_line, round_line, time_passing_line};
use super::stages::{stage_tips, turn_over_tip};
use super::wait_calls::{is_night_silent, wait_calls};
use super::words::{BLOCK_LETTERS_MAX, act_words, direction_on_board, format_past};
use super::{CautionLine, LINE_MAX, Tip};
use crate::config::QuietHours;
use crate::craft::materials::{Filler, Support};
use crate::craft::recipe::*;
use crate::text::format_wait_span;
use crate::units::*;
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::*;
use crate::work::panel::story::PanelStory;
use std::sync::Arc;

mod stories;

/// The most characters of a line a newcomer is led by: it may take two rows of a small window.
const TWO_ROWS: usize = 140;

/// A recipe with every stage in it (invented for the tests).
fn recipe() -> Recipe {
    let part = |filler| FillerPart { filler, amount: FillerAmount::Grams(40.0) };
    Recipe {
        format: RECIPE_FORMAT,
        name: "test".into(),
        title: "Test".into(),
        suits: vec![Paint::Oil],
        source: String::new(),
        cautions: vec![],
        size: SizeCoats { coats_per_face: 1, ..SizeCoats::default() },
        cloth: None,
        gesso: Gesso { fillers: vec![part(Filler::Gypsum), part(Filler::ZincWhite)], ..Gesso::default() },
        stipple: Stipple::default(),
        coats: Coats { front: 2, ..Coats::default() },
        scrape: Some(Scrape::default()),
        check: Some(Check { columns: 2, rows: 2 }),
        rest: Rest::default(),
        seal: Seal::default(),
        sand: Some(Sand { grit: "P400".into() }),
        minutes: Minutes::default(),
    }
}

/// Recipes that differ in what the lines depend on.
fn recipes() -> Vec<Recipe> {
    let plain = recipe();
    let mut knife = recipe();
    knife.scrape = Some(Scrape { tool: "Palette knife".into(), angle_deg: 22.5, stroke_mm: 1000.0 });
    knife.coats.ready_sign = ReadySign::Dry;
    knife.coats.long_gap_min = 2879.0;
    knife.seal.with = SealMaterial::Glue;
    knife.seal.glue_g_per_l_water = Some(30.0);
    knife.size.faces = Faces::Front;
    knife.cautions = KEYS.map(String::from).to_vec();
    knife.gesso.fillers.push(FillerPart { filler: Filler::TitaniumWhite, amount: FillerAmount::Grams(8.0) });
    let mut bare = recipe();
    bare.scrape = None;
    bare.seal.with = SealMaterial::None;
    bare.sand = Some(Sand { grit: "P280, then P600, then P1000, and P4000 last".into() });
    bare.suits = vec![Paint::Tempera];
    let shipped = shipped::shipped_recipes().iter().filter_map(|s| shipped::find_shipped_recipe(s.name));
    [plain, knife, bare].into_iter().chain(shipped).collect()
}

const KEYS: [&str; 8] = [
    "titanium-share",
    "cloth-pinholes",
    "veneer-checks",
    "shellac-in-damp-air",
    "strong-binder",
    "lean-binder",
    "second-batch",
    "no such key",
];

fn size(width: f64, height: f64, thickness: Option<f64>) -> Size {
    let mm = Length::from_mm;
    Size { width: mm(width), height: mm(height), thickness: thickness.map(mm) }
}

fn panel(recipe: Recipe, support: Support, paint: Paint) -> PanelOpened {
    PanelOpened {
        sheet: None,
        id: Id::new("wren").unwrap(),
        label: "Wren".into(),
        size: size(300.0, 400.0, Some(12.0)),
        support,
        grain: Grain::Height,
        paint,
        recipe: Arc::new(recipe),
        group: None,
        is_witness: false,
        trial: None,
    }
}

/// A stage written as "coat front 4/6 v": kind, face or `-`, number/total or `-`, direction.
fn stage(text: &str) -> Stage {
    let mut words = text.split(' ');
    let kind = StageKind::from_name(words.next().unwrap()).unwrap();
    let face = words.next().and_then(Face::from_name);
    let (number, of) = words.next().map_or((None, None), |w| {
        let (n, of) = w.split_once('/').unwrap_or((w, ""));
        (n.parse().ok(), of.parse().ok())
    });
    let direction = words.next().map(|w| if w == "h" { Direction::Horizontal } else { Direction::Vertical });
    Stage { kind, face, number, total: of, direction }
}

/// Every kind, first and later ones, on every face that it is met on.
fn stages() -> Vec<Stage> {
    let mut all = Vec::new();
    for kind in StageKind::ALL {
        for face in ["front", "back", "-"] {
            for number in ["1/1", "1/7", "2/7", "3/7", "4/7", "7/7", "-"] {
                all.push(stage(&format!("{} {face} {number}", kind.name())));
            }
        }
    }
    all
}

fn check_line(text: &str, source: &str, about: &Stage) {
    let long = text.chars().count();
    assert!(long <= LINE_MAX, "{long} characters for {about}: {text}");
    assert!(text.ends_with('.') && !text.contains("  ") && text.is_ascii(), "{about}: {text}");
    assert!(!source.is_empty(), "{about}: no source for {text}");
}

fn check_no_twice<T: PartialEq + std::fmt::Debug>(lines: &[T], about: &Stage) {
    for (i, line) in lines.iter().enumerate() {
        assert!(!lines[..i].contains(line), "{about}: {line:?} is said twice");
    }
}

#[test]
fn every_stage_has_short_tips_with_a_source_and_none_twice() {
    for recipe in recipes() {
        for support in Support::ALL {
            for paint in [Paint::Oil, Paint::Tempera, Paint::Gilding] {
                let panel = panel(recipe.clone(), support, paint);
                for stage in stages() {
                    for due in [
                        None,
                        Some("tomorrow at 14:05"),
                        Some("a time that is so long in the telling that no line has room for all of it"),
                    ] {
                        let said = stage_tips(&stage, &panel, due);
                        assert!(!said.is_empty(), "nothing said of {stage}");
                        said.iter().for_each(|tip| check_line(&tip.text, tip.source, &stage));
                        let texts: Vec<_> = said.iter().map(|t| &t.text).collect();
                        check_no_twice(&texts, &stage);
                    }
                }
            }
        }
    }
}

#[test]
fn the_tips_name_what_the_craft_names() {
    let mut knife = recipe();
    knife.scrape = Some(Scrape { tool: "palette knife".into(), angle_deg: 20.0, stroke_mm: 60.0 });
    let none = None;
    let due = Some("tomorrow at 14:05");
    for (told_of, recipe, due, said) in [
        (
            "prepare both",
            recipe(),
            none,
            &["name and an arrow on the back", "on tape on an edge", "every edge now, before size", "degrease"][..],
        ),
        ("size front 1/1", recipe(), none, &["Hot and thin", "must not shine"]),
        ("cure both", recipe(), due, &["not before tomorrow at 14:05"]),
        ("cure both", recipe(), none, &["cured for 24 h"]),
        (
            "stipple front 1/1",
            recipe(),
            none,
            &["One consistency in the bowl", "Push it about first", "then tap", "even all"],
        ),
        ("coat front 1/6", recipe(), none, &["Thin, one pass, never back into it"]),
        ("coat front 6/6", recipe(), none, &["whether grain shows"]),
        ("dry", recipe(), none, &["Does any grain show? Then lay one more"]),
        ("scrape front 1", recipe(), none, &["corners", "burr raised", "Burr towards you", "30 degrees", "100 mm"]),
        (
            "scrape front 2",
            recipe(),
            none,
            &["then across", "not dwell", "Vacuum the dust off before changing direction"],
        ),
        ("scrape front 1", knife, none, &["Knife at 20 degrees, light strokes of 60 mm"]),
        ("polish front", recipe(), none, &["barely damp", "lifts the ground"]),
        ("check front 1", recipe(), none, &["Dust the powder on", "charcoal crushed", "Grey that stays is low"]),
        ("rest", recipe(), due, &["until tomorrow at 14:05"]),
        ("seal front 1/1", recipe(), none, &["Wipe off dust", "let the ground dry", "away from the hot plate"]),
        ("seal front 1/1", recipes().remove(1), none, &["30 g to the litre"]),
        ("sand front", recipe(), none, &["Paper P400"]),
    ] {
        let text: String = stage_tips(&stage(told_of), &panel(recipe, Support::Lime, Paint::Oil), due)
            .iter()
            .map(|t| format!("{t}\n"))
            .collect();
        let lower = text.to_lowercase();
        for words in said {
            assert!(lower.contains(&words.to_lowercase()), "{told_of}: no \"{words}\" in\n{text}");
        }
    }
}

#[test]
fn a_board_is_turned_over_before_the_first_coat_of_its_back() {
    for (of, recipe, says) in [
        ("size front 1/2", recipe(), None),
        ("size back 1/2", recipe(), Some("Wet front down")),
        ("size back 2/2", recipe(), Some("Wet front down")),
        ("coat front 1/6 h", recipe(), None),
        ("coat back 1/6 h", recipe(), Some("battens or pins")),
        ("coat back 2/6 v", recipe(), None),
        ("seal back 1/1", recipe(), None),
    ] {
        let turn = turn_over_tip(&stage(of), &recipe);
        assert_eq!(turn.is_some(), says.is_some(), "{of}");
        if let (Some(turn), Some(says)) = (turn, says) {
            check_line(&turn.tip.text, turn.tip.source, &stage(of));
            assert!(turn.tip.text.contains(says) && turn.block.len() <= BLOCK_LETTERS_MAX, "{of}: {turn:?}");
        }
    }
}

#[test]
fn an_act_is_said_in_the_words_of_the_craft() {
    let mut glue = recipe();
    glue.seal.with = SealMaterial::Glue;
    for (of, recipe, line, along, done, happened) in [
        ("prepare both", recipe(), "Prepare the board", None, "prepared", "board prepared"),
        ("size front 1/1", recipe(), "Brush glue size on the front", None, "sized", "glue size laid on the front"),
        (
            "size back 2/2",
            recipe(),
            "Brush glue size on the back and the edges, coat 2 of 2",
            None,
            "sized",
            "glue size 2 laid on the back",
        ),
        ("cloth front", recipe(), "Lay the cloth in size", None, "laid", "cloth laid"),
        ("cure both", recipe(), "Let the size cure", None, "cured", "size cured"),
        ("stipple front 1/1", recipe(), "Tap in the first gesso", None, "tapped in", "first gesso tapped in"),
        ("stipple front 2/2", recipe(), "Tap in first gesso 2 of 2", None, "tapped in", "first gesso 2 tapped in"),
        ("coat front 4/6 v", recipe(), "Lay coat 4 of 6", Some("the long way"), "laid", "coat 4 laid, vertical"),
        (
            "coat back 2/3 h",
            recipe(),
            "Lay back coat 2 of 3",
            Some("across"),
            "laid",
            "coat 2 laid on the back, horizontal",
        ),
        ("dry", recipe(), "Let the ground dry", None, "dried", "ground dried"),
        ("scrape front 2 h", recipe(), "Scrape round 2", Some("across"), "scraped", "scraped, round 2, horizontal"),
        ("polish front", recipe(), "Polish with a barely damp cloth", None, "polished", "polished with the damp cloth"),
        ("check front 1", recipe(), "Check with dark powder", None, "checked", "check 1 made"),
        ("check front 2", recipe(), "Check with dark powder, round 2", None, "checked", "check 2 made"),
        ("rest", recipe(), "Let the panel rest", None, "rested", "rested"),
        ("seal front 1/1", recipe(), "Seal with shellac", None, "sealed", "seal laid"),
        ("seal front 1/2", glue, "Seal with thin glue, coat 1 of 2", None, "sealed", "seal 1 laid"),
        ("sand front", recipe(), "Sand lightly", None, "sanded", "sanded"),
    ] {
        let words = act_words(&stage(of), &recipe, &size(300.0, 400.0, None));
        let of_all = words.total_text.as_ref().map_or(String::new(), |of| format!(" {of}"));
        let called = format!("{} {}{of_all}", words.verb, words.object);
        assert_eq!((called.as_str(), words.direction_text, words.done_word), (line, along, done), "{of}");
        assert_eq!(format_past(&stage(of)), happened, "{of}");
    }
}

#[test]
fn every_act_of_every_recipe_fits_the_block_letters() {
    for recipe in recipes() {
        let story = stories::played(recipe.clone(), &[]);
        for stage in story.panel().stages() {
            let words = act_words(&stage, &recipe, &size(300.0, 400.0, None));
            assert!(words.block.len() <= BLOCK_LETTERS_MAX, "{stage}: {}", words.block);
            assert!(words.block.chars().all(|c| c.is_ascii_uppercase() || c.is_ascii_digit() || c == ' '), "{words:?}");
            let direction = words.block_direction.unwrap_or_default();
            assert!(
                direction.len() <= BLOCK_LETTERS_MAX && direction.is_empty() == stage.direction.is_none(),
                "{stage}"
            );
        }
    }
    for (of, block) in [
        ("prepare both", "PREPARE"),
        ("size front 1/1", "SIZE FRONT"),
        ("size front 1/2", "SIZE FRONT 1"),
        ("size back 2/2", "SIZE BACK 2"),
        ("cloth front", "CLOTH"),
        ("cure both", "LET IT CURE"),
        ("stipple front 1/1", "TAP IN"),
        ("stipple front 2/2", "TAP IN 2"),
        ("coat front 4/6 v", "COAT 4"),
        ("coat back 2/3 h", "BACK COAT 2"),
        ("dry", "LET IT DRY"),
        ("scrape front 1 h", "SCRAPE 1"),
        ("polish front", "POLISH"),
        ("check front 1", "CHECK"),
        ("check front 2", "CHECK 2"),
        ("rest", "LET IT REST"),
        ("seal front 1/1", "SEAL"),
        ("seal front 2/2", "SEAL 2"),
        ("sand front", "SAND"),
    ] {
        assert_eq!(act_words(&stage(of), &recipe(), &size(300.0, 400.0, None)).block, block, "{of}");
    }
}

#[test]
fn a_direction_is_told_by_the_long_side_or_by_the_arrow() {
    use Direction::{Horizontal, Vertical};
    for (width, height, horizontal, vertical) in [
        (300.0, 400.0, "across", "the long way"),
        (400.0, 300.0, "the long way", "across"),
        (300.0, 300.0, "along the width", "along the height"),
        (300.0, 305.0, "along the width", "along the height"),
        (300.0, 307.0, "across", "the long way"),
    ] {
        let size = size(width, height, None);
        assert_eq!(
            (direction_on_board(Horizontal, &size), direction_on_board(Vertical, &size)),
            (horizontal, vertical),
            "{width} x {height}"
        );
    }
}

#[test]
fn a_length_of_time_is_told_in_the_unit_that_fits() {
    for (min, said) in [
        (0.6, "1 min"),
        (2.4, "2 min"),
        (-4.0, "4 min"),
        (180.0, "180 min"),
        (181.0, "3 h 1 min"),
        (240.0, "4 h"),
        (2879.0, "2 days"),
        (2880.0, "2 days"),
        (10_000.0, "6 days 23 h"),
    ] {
        assert_eq!(format_wait_span(Span::from_min(min)), said, "{min}");
    }
}

#[test]
fn a_wait_offers_what_there_is_time_for() {
    let powder = "Crush charcoal";
    for (of, next, left, yes, no) in [
        ("dry", "scrape front 1", 15.0, &["See to the blade", powder, "soft cloth"][..], &[][..]),
        ("dry", "scrape front 1", 6.0, &[powder, "soft cloth"], &["blade"]),
        ("dry", "scrape front 1", 1.0, &[], &["blade", powder, "cloth"]),
        (
            "coat front 1/6",
            "coat front 2/6",
            15.0,
            &["Melt it again: 3 min", "Thin the bowl 2 min", "Weigh the pot"],
            &[],
        ),
        ("coat front 1/6", "coat front 2/6", 3.0, &["Thin the bowl 2 min"], &["Melt", "Weigh"]),
        ("coat front 1/6", "coat front 2/6", 1.0, &[], &["Thin the bowl"]),
        ("size back 1/1", "cloth front", 30.0, &["linen"], &[]),
        ("size back 1/2", "size front 2/2", 30.0, &["Cover the size"], &["linen"]),
        ("cure both", "stipple front 1/1", 1440.0, &["soak: 9 h", "sift", "Strain"], &[]),
        ("cure both", "stipple front 1/1", 90.0, &["sift", "Strain"], &["soak"]),
        ("rest", "seal front 1/1", 1440.0, &["shellac flakes", "another place"], &[]),
        ("rest", "seal front 1/1", 60.0, &["another place"], &["flakes"]),
        ("seal front 1/1", "sand front", 60.0, &["fine paper"], &["shellac"]),
        ("scrape front 1", "polish front", 60.0, &[], &["blade"]),
    ] {
        let said = wait_offers(&stage(of), Some(&stage(next)), &recipe(), Span::from_min(left));
        let text: String = said.iter().map(|t| format!("{t}\n")).collect();
        assert!(yes.iter().all(|w| text.contains(w)), "{of}, {left} min left: {text}");
        assert!(!no.iter().any(|w| text.contains(w)), "{of}, {left} min left: {text}");
        said.iter().for_each(|t| check_line(&t.text, t.source, &stage(of)));
    }
}

#[test]
fn cautions_stand_where_work_can_hurt() {
    let mut glue = recipe();
    glue.seal.with = SealMaterial::Glue;
    let mut chalk = recipe();
    chalk.gesso.fillers = vec![FillerPart { filler: Filler::Chalk, amount: FillerAmount::Grams(70.0) }];
    let mut titanium = chalk.clone();
    titanium.gesso.fillers.push(FillerPart { filler: Filler::TitaniumWhite, amount: FillerAmount::Grams(7.0) });
    let mut key_only = chalk.clone();
    key_only.cautions = vec!["zinc-with-oil".into()];
    use Paint::{Oil, Tempera};
    for (of, recipe, paint, said) in [
        ("prepare both", recipe(), Oil, &[SPIRIT_HEAT, RESPIRATOR, ZINC_OIL, TITANIUM_INSTEAD, LOCAL_RULES_FIRST][..]),
        ("prepare both", recipe(), Tempera, &[SPIRIT_HEAT, RESPIRATOR, LOCAL_RULES_FIRST]),
        ("size front 1/1", recipe(), Oil, &[BATH, SCALD, MOULD, LOCAL_RULES_FIRST]),
        ("cloth front", recipe(), Oil, &[BATH, SCALD, MOULD, LOCAL_RULES_FIRST]),
        ("cure both", recipe(), Oil, &[RESPIRATOR, QUARTZ, ZINC_DUST, LEAD, LOCAL_RULES_FIRST]),
        ("stipple front 1/1", recipe(), Oil, &[BATH, SCALD, MOULD, ZINC_OIL, TITANIUM_INSTEAD, LOCAL_RULES_FIRST]),
        ("stipple front 1/1", chalk.clone(), Oil, &[BATH, SCALD, MOULD, LOCAL_RULES_FIRST]),
        (
            "stipple front 1/1",
            key_only.clone(),
            Oil,
            &[BATH, SCALD, MOULD, ZINC_OIL, TITANIUM_INSTEAD, LOCAL_RULES_FIRST],
        ),
        ("stipple front 1/1", key_only, Tempera, &[BATH, SCALD, MOULD, LOCAL_RULES_FIRST]),
        ("coat front 1/6", recipe(), Oil, &[BATH, SCALD, MOULD, LOCAL_RULES_FIRST]),
        ("dry", recipe(), Oil, &[]),
        ("scrape front 1", titanium, Oil, &[BLADE, RESPIRATOR, QUARTZ, TITANIUM_DUST, LOCAL_RULES_FIRST]),
        ("polish front", recipe(), Oil, &[]),
        ("check front 1", recipe(), Oil, &[RESPIRATOR, LOCAL_RULES_FIRST]),
        ("rest", recipe(), Oil, &[]),
        ("seal front 1/1", recipe(), Oil, &[SPIRIT_HEAT, RAGS, LOCAL_RULES_FIRST]),
        ("seal front 1/1", glue, Oil, &[BATH, SCALD]),
        ("sand front", chalk, Oil, &[RESPIRATOR, QUARTZ, LOCAL_RULES_FIRST]),
    ] {
        assert_eq!(stage_cautions(&stage(of), &recipe, paint), said, "{of} {paint:?}");
    }
}

#[test]
fn cautions_are_short_and_a_recipes_own_are_told_once() {
    let mut told: Vec<CautionLine> = Vec::new();
    for recipe in recipes() {
        for paint in [Paint::Oil, Paint::Tempera, Paint::Gilding] {
            for stage in stages() {
                let said = stage_cautions(&stage, &recipe, paint);
                said.iter().for_each(|c| check_line(c.text, c.source, &stage));
                check_no_twice(&said, &stage);
                told.extend(said);
            }
        }
    }
    for words in ["powdery ground", "Linen breeds", "veneer", "rich in glue", "lean in glue", "second batch"] {
        assert!(told.iter().any(|c| c.text.contains(words)), "{words} is never told");
    }
}

#[test]
fn zinc_under_oil_is_told_at_the_opening_once_and_names_titanium() {
    let zinc = |r: &Recipe, paint| {
        let told = opening_cautions(r, paint, &size(300.0, 400.0, Some(6.0)), Support::BirchPlywood);
        assert!(told.last().is_some_and(|c| c.text.contains("bow")), "{told:?}");
        assert_eq!(told.contains(&ZINC_OIL), told.contains(&TITANIUM_INSTEAD), "{told:?}");
        told.iter().filter(|c| **c == ZINC_OIL).count()
    };
    let shipped = |name| shipped::find_shipped_recipe(name).unwrap();
    for (about, recipe, paint, times) in [
        ("by powder", recipe(), Paint::Oil, 1),
        ("by powder and key", shipped("gypsum-zinc"), Paint::Oil, 1),
        ("tempera", shipped("gypsum-zinc"), Paint::Tempera, 0),
        ("no zinc", shipped("gypsum-titanium"), Paint::Oil, 0),
    ] {
        assert_eq!(zinc(&recipe, paint), times, "{about}");
        assert_eq!(zinc_under_oil_caution(&recipe, paint).is_some(), times == 1, "{about}");
    }
}

#[test]
fn every_key_told_at_a_stage_is_one_a_recipe_may_write() {
    for keyed in KEYED_CAUTIONS {
        assert!(crate::craft::recipe::cautions::RecipeCaution::WORDS.contains(&keyed.key), "{}", keyed.key);
    }
}

#[test]
fn a_thin_board_is_spoken_of() {
    use Support::{BirchPlywood, Hardboard, OakWhite};
    for (w, h, thick, support, said) in [
        (300.0, 400.0, Some(9.9), BirchPlywood, "Under 10 mm"),
        (300.0, 400.0, Some(10.0), BirchPlywood, ""),
        (300.0, 400.0, Some(12.0), OakWhite, ""),
        (300.0, 400.0, Some(5.0), OakWhite, "Under 10 mm"),
        (300.0, 400.0, Some(6.0), Hardboard, ""),
        (300.0, 400.0, Some(3.0), Hardboard, "Hardboard under 6 mm"),
        (600.0, 400.0, Some(12.0), BirchPlywood, "Large"),
        (600.0, 400.0, Some(18.0), BirchPlywood, ""),
        (600.0, 400.0, None, BirchPlywood, ""),
    ] {
        let told = board_caution(&size(w, h, thick), support);
        assert_eq!(told.is_some(), !said.is_empty(), "{w} x {h} x {thick:?}");
        if let Some(c) = told {
            assert!(c.text.starts_with(said), "{w} x {h} x {thick:?}: {c}");
            check_line(c.text, c.source, &stage("prepare both"));
        }
    }
}

#[test]
fn lateness_says_what_it_means_by_the_recipes_own_way() {
    let dull = recipe();
    let mut dry = recipe();
    dry.coats.ready_sign = ReadySign::Dry;
    let mut no_stipple = recipe();
    no_stipple.stipple.coats = 0;
    for (of, recipe, late, gone, said) in [
        ("coat front 2/6", &dull, 5.0, 20.0, "dull sign has passed"),
        ("coat front 2/6", &dull, 22.0, 37.0, "dull sign has passed"),
        ("coat front 2/6", &dull, 23.0, 38.0, "Drying out: past 60 min"),
        ("coat front 2/6", &dull, 45.0, 60.0, "Drying out"),
        ("coat front 2/6", &dull, 45.1, 60.1, "Bone dry: the next coat bonds less well"),
        ("coat front 1/6", &dull, 60.0, 75.0, "Bone dry"),
        ("coat front 1/6", &no_stipple, 60.0, 75.0, "harms nothing"),
        ("coat back 1/6", &dull, 60.0, 75.0, "harms nothing"),
        ("coat back 2/6", &dull, 60.0, 75.0, "Bone dry"),
        ("coat front 2/6", &dry, 45.0, 60.0, "late does no harm"),
        ("coat front 2/6", &dry, 46.0, 61.0, "sources differ"),
        ("stipple front 1/1", &dull, 3000.0, 5000.0, "harms nothing"),
        ("stipple front 2/2", &dull, 60.0, 75.0, "Bone dry"),
        ("size front 2/2", &dull, 600.0, 630.0, "harms nothing"),
        ("scrape front 1", &dull, 600.0, 630.0, "harms nothing"),
        ("seal front 1/1", &dull, 600.0, 630.0, "harms nothing"),
    ] {
        let tip = lateness_tip(&stage(of), Span::from_min(late), Span::from_min(gone), long_gap(recipe), recipe);
        assert!(tip.text.contains(said), "{of}, {late} min late: {tip}");
    }
    for (of, said) in [
        ("coat front 2/6", "4 min early: if it shines"),
        ("coat back 1/6", "front still soft"),
        ("size front 2/2", "wet wood drinks less"),
        ("stipple front 1/1", "damp size"),
        ("scrape front 1", "tears"),
        ("seal front 1/1", "haze"),
    ] {
        let tip = earliness_tip(&stage(of), Span::from_min(4.0), &dull);
        assert!(tip.text.contains(said), "{of}: {tip}");
    }
}

fn long_gap(recipe: &Recipe) -> Span {
    Span::from_min(recipe.coats.long_gap_min)
}

#[test]
fn early_and_late_are_short_lines_with_a_source() {
    for recipe in recipes() {
        for stage in stages() {
            for min in [1.0, 100.0, 2879.0, 100_000.0] {
                let span = Span::from_min(min);
                let said = [
                    earliness_tip(&stage, span, &recipe),
                    lateness_tip(&stage, span, span, long_gap(&recipe), &recipe),
                ];
                said.iter().for_each(|Tip { text, source }| check_line(text, source, &stage));
            }
        }
    }
}

#[test]
fn a_rehearsal_has_a_sentence_for_every_step() {
    for stage in stages() {
        for line in [rehearsal_line(&stage), stage.kind.row().wait_line] {
            assert!(line.ends_with('.') && line.chars().count() <= TWO_ROWS && !line.contains("  "), "{line}");
        }
    }
    for step in [RoundStep::Begin, RoundStep::JustPressed, RoundStep::MeltPot, RoundStep::PotInBath] {
        let line = round_line(step, "Left Right");
        assert!(line.ends_with('.') && line.chars().count() <= TWO_ROWS && line.contains("Left Right"), "{line}");
    }
    for (hours, said) in
        [(0.25, "Some minutes"), (1.0, "Some hours"), (9.0, "A night"), (24.0, "A night"), (48.0, "Some days")]
    {
        assert!(time_passing_line(Span::from_h(hours)).starts_with(said), "{hours} h");
    }
}

#[test]
fn only_long_waits_are_silent_and_only_at_night() {
    let over_midnight = QuietHours { start_min: 22 * 60, end_min: 7 * 60 };
    let in_one_day = QuietHours { start_min: 60, end_min: 420 };
    for (hours, minute, quiet, silent) in [
        (24.0, 22 * 60, Some(over_midnight), true),
        (24.0, 22 * 60 - 1, Some(over_midnight), false),
        (24.0, 0, Some(over_midnight), true),
        (24.0, 419, Some(over_midnight), true),
        (24.0, 420, Some(over_midnight), false),
        (2.0, 0, Some(over_midnight), false),
        (2.01, 0, Some(over_midnight), true),
        (24.0, 59, Some(in_one_day), false),
        (24.0, 60, Some(in_one_day), true),
        (24.0, 420, Some(in_one_day), false),
        (24.0, 0, None, false),
    ] {
        assert_eq!(is_night_silent(Span::from_h(hours), minute, quiet), silent, "{hours} h at {minute} {quiet:?}");
    }
}
