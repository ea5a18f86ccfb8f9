//! A batch led through its steps, and what the balance says of it and of boards.

use super::*;

#[test]
fn a_batch_is_made_by_being_led_and_the_soak_goes_on_over_night() {
    let dir = tempfile::tempdir().unwrap();
    let now = at_ten();
    record_open(dir.path(), "Wren", "gypsum-zinc", &now);
    let mut w = Window::open(dir.path(), &now, None);
    w.press("P f");
    shows(&w, "step 1 of 16");
    w.press("Space");
    shows(&w, "dihydrate, CaSO4·2H2O");
    w.press("Space");
    shows(&w, "For 1 board: Wren.");
    w.press("Space Space");
    assert_eq!(facts(dir.path(), "size"), ["opened", "soaked"]);
    // What is taken back is led to again.
    shows(&w, "step 5 of 16");
    w.press("u");
    shows(&w, "step 4 of 16");
    w.press("Space");
    shows(&w, "the glue soaks until 19:00");
    w.press("Space");
    shows(&w, "9 h early - press again if it is right");
    w.pass(Span::from_h(20.0));
    w.press("x");
    let mut w = Window::open(dir.path(), &now, None);
    w.press("P f");
    shows(&w, "step 5 of 16");
    shows(&w, "soaked since Tue 19:00");
    w.press("Space");
    w.seconds(60);
    w.press("Space Space Space");
    shows(&w, "The size cures 24 h; only then is the gesso made");
    w.press("i");
    shows(&w, "[common practice, no source]");
    w.press("i");
    hides(&w, "[common practice, no source]");
    // The bench leads on with the board, and the making goes on from there.
    w.press("Space");
    assert!(matches!(w.view.overlay, Overlay::None));
    w.press("P f");
    shows(&w, "step 9 of 16");
    w.press("Down");
    let marks: Vec<String> = facts(dir.path(), "size").into_iter().filter(|f| !f.starts_with('(')).collect();
    assert_eq!(marks, ["opened", "soaked", "undone", "soaked", "melt", "liquid", "out", "made"]);
    shows(&w, "gypsum dihydrate");
    w.press("Space Space Space");
    shows(&w, "step 13 of 16");
    w.seconds(5 * 60);
    w.press("Space Space Space");
    assert_eq!(facts(dir.path(), "gesso"), ["opened", "made", "strained"]);
    shows(&w, "Creamier is right");
    w.press("Space");
    assert!(matches!(w.view.overlay, Overlay::None));
    assert_eq!(w.view.current_pot().map(|t| t.id.to_string()).as_deref(), Some("gesso"));
}

/// What was weighed is taken where a batch is made; nothing typed is as asked, and a line forgotten records nothing.
#[test]
fn the_balance_is_asked_where_a_batch_is_made() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren"]);
    // Before it is in the pot there is nothing to say it of; then it is asked at once, and a night does not lose it.
    w.press("P f Space Space g");
    shows(&w, "once it is in the pot");
    w.press("Space");
    shows(&w, "g weighed");
    w.press("g");
    w.types("70.5g glue");
    w.press("Enter");
    shows(&w, "Weighed: 70.5 g glue");
    assert_eq!(facts(dir.path(), "size").last().map(String::as_str), Some("noted"), "{}", w.screen(120, 40));
    w.press("Space");
    w.seconds(9 * 3600);
    w.press("Space Space Space Space");
    shows(&w, "If the balance said otherwise: g takes it");
    w.press("g");
    shows(&w, "The balance said");
    shows(&w, "70.5 g glue");
    w.press(&["Backspace"; 11].join(" "));
    w.types("71 glue");
    w.press("Enter");
    shows(&w, "unit");
    w.press(&["Backspace"; 7].join(" "));
    w.types("71g glue, 1000g water");
    w.press("Enter");
    let size = Bench::new(Shelf::open(dir.path())).load_pot(&Id::new("size").unwrap()).unwrap().story.unwrap();
    assert_eq!(facts(dir.path(), "size").last().map(String::as_str), Some("made"), "{}", w.screen(120, 40));
    assert_eq!(size.pot().weighed().water, Some(Mass::from_g(1000.0)));
    assert!(size.pot().opened().size_ml.is_some_and(|ml| ml.ml() > 10.0));
    // The making goes on behind it.
    shows(&w, "of 16");
    w.press("Up Up Up Up Up Up Up Up Up Up Up Up Up Up Up");
    w.press("g");
    shows(&w, "once it is in the pot");
}

#[test]
fn a_board_is_weighed_with_a_bare_offcut_beside_it() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren"]);
    let weighed = |w: &Window| w.story().panel().weighings().last().map(|x| (x.mass.g(), x.offcut.map(|o| o.g())));
    w.press("g");
    w.types("812.4g 45.25 g");
    w.press("Enter");
    assert_eq!(weighed(&w), Some((812.4, Some(45.25))));
    w.press("g");
    w.types("0.81 kg");
    w.press("Enter");
    assert_eq!(weighed(&w), Some((810.0, None)));
    w.press("g");
    w.types("812g 45");
    w.press("Enter");
    shows(&w, "unit");
}

/// In other air than at the weighing before, and without an offcut, it is asked whether one was weighed.
#[test]
fn a_weighing_in_other_air_is_asked_about() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren"]);
    for (air, mass) in [("20C 50%", "812g"), ("20C 65%", "811g")] {
        w.seconds(3600);
        w.press("h");
        w.types(air);
        w.press("Enter");
        w.view.studio.air = Bench::new(Shelf::open(dir.path())).load_air();
        w.press("g");
        w.types(mass);
        w.press("Enter");
    }
    let asked = w.view.status_message.as_ref().map(|s| s.text.clone()).unwrap_or_default();
    assert!(asked.contains("the air is damper than at the weighing before"), "{asked}");
}
