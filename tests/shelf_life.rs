//! What becomes of panels after they are finished: where they went, what is put right of them, what a lot led to.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod common;

use common::Shop;

/// A shop with two finished panels of one sheet, from a pot of gesso with lots of glue and filler.
fn finished() -> Shop {
    let shop = Shop::new();
    let day = |n: u32, hour: u32| format!("2026-{:02}-{:02}T{hour:02}:00:00Z", 1 + n / 28, 1 + n % 28);
    let pot = ["pot", "new", "Gesso", "--kind", "gesso", "--recipe", "whiting-tempera", "--lot", "G7"];
    shop.done(&[&pot[..], &["--filler-lot", "F3", "--at", &day(0, 8)]].concat());
    let new = ["new", "Wren", "--size", "300x400x12mm", "--recipe", "whiting-tempera", "--paint", "tempera"];
    shop.done(&[&new[..], &["--count", "2", "--sheet", "S1", "--at", &day(0, 9)]].concat());
    for panel in ["wren-1", "wren-2"] {
        for n in 1..60 {
            let shown = shop.show(panel);
            if shown["finished"] == true {
                break;
            }
            let gesso = ["stipple", "coat"].iter().any(|kind| {
                shown["stage"]["kind"] == *kind || (shown["phase"] == "waiting" && shown["next"]["kind"] == *kind)
            });
            let from = if gesso { &["--pot", "gesso"][..] } else { &[] };
            shop.done(&[&["mark", panel, "done"], from, &["--at", &day(n, 12)]].concat());
        }
        assert_eq!(shop.show(panel)["finished"], true, "{panel}");
    }
    shop
}

#[test]
fn a_panel_is_traced_from_glue_filler_sheet_and_pot_to_where_it_is() {
    let shop = finished();
    shop.done(&["mark", "wren-1", "sold", "--to", "the library"]);
    for asked in ["G7", "F3", "gesso", "S1"] {
        let traced = shop.json(&["trace", asked, "--json"]);
        let panels = traced["panels"].as_array().unwrap();
        let ids: Vec<&str> = panels.iter().map(|p| p["id"].as_str().unwrap()).collect();
        assert_eq!(ids, ["wren-1", "wren-2"], "{asked}");
        assert_eq!(panels[0]["whereabouts"]["state"], "sold");
        assert_eq!(panels[0]["whereabouts"]["to"], "the library");
        assert!(panels[1]["whereabouts"].is_null());
        let told = shop.done(&["trace", asked]);
        assert!(told.contains("sold to the library") && told.contains("in the studio"), "{told}");
    }
    let ran = shop.run(&["trace", "G8"]);
    assert_eq!(ran.code, Some(1));
    assert!(ran.sentence().contains("no lot and no sheet is called"), "{}", ran.err);
    assert_eq!(shop.json(&["pot", "show", "gesso", "--json"])["filler_lot"], "F3");
}

#[test]
fn where_a_panel_went_is_told_and_to_whom_in_no_report_unless_asked() {
    let shop = finished();
    assert!(shop.done(&["panels"]).contains("look it over"));
    let sold = shop.done(&["mark", "wren-1", "sold", "--to", "the library"]);
    assert!(sold.contains("sold to the library"), "{sold}");
    let listed = shop.json(&["panels", "--json"]);
    assert_eq!(listed["panels"][0]["whereabouts"]["state"], "sold");
    assert!(shop.done(&["show", "wren-1"]).contains("ask the owner how it is"));
    shop.done(&["mark", "wren-2", "broken"]);
    let told = shop.done(&["show", "wren-2"]);
    assert!(told.contains("broken") && !told.contains("look it over"), "{told}");
    let pages = [
        &["card", "wren-1", "-o", "-"][..],
        &["report", "-o", "-"],
        &["export", "--as", "json", "-o", "-"],
        &["export", "--as", "csv", "-o", "-"],
    ];
    for page in pages {
        let told = shop.done(page);
        assert!(told.contains("sold") && !told.contains("library"), "{page:?}: {told}");
    }
    for page in [pages[0], pages[1], pages[2]] {
        assert!(shop.done(&[page, &["--names"]].concat()).contains("library"), "{page:?}");
    }
    shop.done(&["mark", "wren-1", "returned"]);
    assert!(shop.done(&["panels"]).contains("back in the studio"));
    let ran = shop.run(&["mark", "wren-1", "returned"]);
    assert_eq!((ran.code, ran.sentence()), (Some(1), "it was neither sold nor given, so it cannot have come back"));
    shop.panel("Robin");
    assert!(shop.run(&["mark", "robin", "sold"]).sentence().contains("not finished"));
}

#[test]
fn what_was_said_at_the_opening_is_put_right_and_found_under_the_new_label() {
    let shop = Shop::new();
    let id = shop.panel("Wren");
    let said = shop.done(&["correct", &id, "--label", "Chiffchaff", "--size", "300x420mm"]);
    assert_eq!(
        said,
        "Chiffchaff: put right: label Chiffchaff (was Wren); size 300 x 420 x 12 mm (was 300 x 400 x 12 mm)\n"
    );
    let shown = shop.show("chiffch");
    assert_eq!((&shown["id"], &shown["label"]), (&"wren".into(), &"Chiffchaff".into()));
    assert_eq!(shown["size"]["height_mm"], 420.0);
    assert_eq!(shop.run(&["verify"]).code, Some(0));
    let ran = shop.run(&["correct", "wren", "--label", "Chiffchaff"]);
    assert_eq!((ran.code, ran.sentence()), (Some(1), "that is what it says already; nothing to put right"));
    assert_eq!(shop.run(&["correct", "wren"]).code, Some(2));
    assert!(shop.done(&["mark", "wren", "undo"]).starts_with("Wren"));
    assert_eq!(shop.show("wren")["label"], "Wren");
}

#[test]
fn a_recipe_is_handed_out_on_one_page() {
    let shop = Shop::new();
    let page = shop.done(&["recipe", "show", "gypsum-titanium", "--handout", "-"]);
    assert!(page.starts_with("<!DOCTYPE html>") && page.contains("To weigh"), "{page}");
    shop.done(&["recipe", "show", "gypsum-titanium", "--handout", "page.html"]);
    assert_eq!(shop.run(&["recipe", "show", "gypsum-titanium", "--handout", "page.html"]).code, Some(1));
}
