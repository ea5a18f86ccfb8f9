//! A batch made by being led, in a real terminal: keys go in, the screen is read, the facts are on disk.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod common;

use common::Shop;
use common::screen::Screen;

/// The facts of a pot by their words, the calls left out.
fn marks(shop: &Shop, pot: &str) -> Vec<String> {
    let story = shop.json(&["pot", "show", pot, "--json"]);
    let facts = story["facts"].as_array().unwrap().iter();
    facts.map(|f| f["fact"].as_str().unwrap().to_owned()).filter(|f| f != "alert").collect()
}

#[test]
fn from_an_empty_bench_to_strained_gesso() {
    let shop = Shop::new();
    shop.panel("Wren");
    let mut screen = Screen::bench(&shop);
    screen.shows("? every key").keys("P").shows("No pot is recorded yet").keys("f").shows("step 1 of 16");
    screen.press(" ").shows("dihydrate, CaSO4").press(" ").shows("For 1 board: Wren.");
    screen.press(" ").shows("in cold water").press(" ").shows("the glue soaks until");
    assert_eq!(marks(&shop, "size"), ["opened", "soaked"]);
    // Nobody waits nine hours here: the step asks once, and takes the second press.
    screen.press(" ").shows("9 h early - press again").press(" ").shows("in the bath since");
    screen.press(" ").shows("out of the bath").press(" ").shows("the size is made");
    // The bench leads the sizing; the making is come back to, and a hurried maker goes on at once.
    screen.press(" ").shows("to the bench").press(" ").shows("Pencil the name").keys("P").shows("The pots").keys("f");
    screen.shows("to the bench").keys("\u{1b}[B").shows("gypsum dihydrate").press(" ").shows("size for the gesso");
    screen.press(" ").shows("Do not stir while adding").press(" ").shows("Do not stir: it sinks by itself");
    screen.press(" ").shows("early - press again").press(" ").shows("beat no air in");
    screen.press(" ").shows("back of a spoon").press(" ").shows("Creamier is right");
    screen.press(" ").shows("Pencil the name").shows("gesso");
    assert_eq!(screen.leave(), 0);
    assert_eq!(marks(&shop, "size"), ["opened", "soaked", "melt", "liquid", "out", "made"]);
    assert_eq!(marks(&shop, "gesso"), ["opened", "made", "strained"]);
    assert_eq!(shop.json(&["pot", "show", "gesso", "--json"])["parent"], "size");
    shop.sound();
}

#[test]
fn the_pot_of_a_shell_and_the_pot_of_the_screen_are_one() {
    let shop = Shop::new();
    shop.panel("Wren");
    shop.done(&["pot", "new", "size", "--kind", "size"]);
    let mut screen = Screen::bench(&shop);
    screen.shows("dry glue, to be soaked");
    shop.done(&["pot", "mark", "size", "soak"]);
    screen.shows("soak until");
    shop.done(&["air", "19C", "52%"]);
    screen.shows("air 19 C 52%");
    screen.press("p").shows("is the glue swollen through?").lacks("soak until").shows("in the bath");
    assert_eq!(screen.leave(), 0);
    assert_eq!(marks(&shop, "size"), ["opened", "soaked", "melt"]);
    shop.sound();
}
