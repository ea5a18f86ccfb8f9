//! Where on a board each test goes, so that none is made on the marks of another: the harmless ones first, three places
//! each, cuts and pencils at 45 degrees to the grain. The places are common practice, no source; what they are for stands in
//! `ground_tests`.

use crate::units::Size;
use crate::work::panel::ground_test::GroundTest;

/// How the place of a test is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PlaceShape {
    /// A drop.
    Spot,
    /// The whole length of a cloth.
    Stroke,
    /// A piece of tape.
    Tape,
    /// A line at 45 degrees to the grain.
    Slant,
    /// Two of them.
    Cross,
    /// The middle of a strip, across all of it.
    Span,
}

/// Where a test goes, mm from the upper left corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TestPlace {
    /// The test.
    pub test: GroundTest,
    /// From the left edge to the middle of the place.
    pub x_mm: f64,
    /// From the upper edge.
    pub y_mm: f64,
    /// How wide it is.
    pub width_mm: f64,
    /// How high.
    pub height_mm: f64,
    /// How it is drawn.
    pub shape: PlaceShape,
}

/// A board this many times as long as it is wide is a strip, to be bent.
const STRIP_RATIO: f64 = 4.0;

/// The tests with a place on a board, one band below the other, each with its share of the height.
const BANDS: [(GroundTest, f64, PlaceShape); 6] = [
    (GroundTest::Drop, 0.16, PlaceShape::Spot),
    (GroundTest::Rub, 0.16, PlaceShape::Stroke),
    (GroundTest::DampRub, 0.16, PlaceShape::Stroke),
    (GroundTest::Powder, 0.16, PlaceShape::Tape),
    (GroundTest::Pencil, 0.16, PlaceShape::Slant),
    (GroundTest::Tape, 0.20, PlaceShape::Cross),
];

/// The number a test has on the map: its place in the order of trying.
pub fn test_number(test: GroundTest) -> usize {
    let is_before = |other: &GroundTest| *other < test && *other != GroundTest::Scrape;
    1 + GroundTest::ALL.iter().filter(|other| is_before(other)).count()
}

/// Every place on a board of that size. A strip has the middle of its length for bending, and what goes before at its ends.
pub fn place_tests(size: Size) -> Vec<TestPlace> {
    let (width, height) = (size.width.mm(), size.height.mm());
    if width.max(height) >= STRIP_RATIO * width.min(height) {
        return place_on_strip(width, height);
    }
    let mut places = Vec::new();
    let mut top = 0.0;
    for (test, share, shape) in BANDS {
        let band = share * height;
        let place = |x_mm: f64, width_mm: f64| TestPlace {
            test,
            x_mm,
            y_mm: top + band / 2.0,
            width_mm,
            height_mm: band * 0.7,
            shape,
        };
        match shape {
            PlaceShape::Stroke => places.push(place(width * 0.5, width * 0.9)),
            PlaceShape::Spot | PlaceShape::Tape | PlaceShape::Slant | PlaceShape::Cross | PlaceShape::Span => {
                places.extend([0.18, 0.46, 0.74].map(|share| place(width * share, width * 0.2)));
            }
        }
        top += band;
    }
    // The corner that three drops leave free.
    places.push(TestPlace {
        test: GroundTest::Nail,
        x_mm: width * 0.92,
        y_mm: BANDS[0].1 * height / 2.0,
        width_mm: width * 0.1,
        height_mm: BANDS[0].1 * height * 0.7,
        shape: PlaceShape::Slant,
    });
    places.sort_by_key(|place| place.test);
    places
}

fn place_on_strip(width: f64, height: f64) -> Vec<TestPlace> {
    let long = width.max(height);
    let at = |test, along: f64, length: f64, shape| {
        let (x, y, w, h) = (long * along, width.min(height) / 2.0, long * length, width.min(height) * 0.7);
        let (x_mm, y_mm, width_mm, height_mm) = if width >= height { (x, y, w, h) } else { (y, x, h, w) };
        TestPlace { test, x_mm, y_mm, width_mm, height_mm, shape }
    };
    vec![
        at(GroundTest::Drop, 0.05, 0.06, PlaceShape::Spot),
        at(GroundTest::Powder, 0.14, 0.06, PlaceShape::Tape),
        at(GroundTest::Pencil, 0.86, 0.06, PlaceShape::Slant),
        at(GroundTest::Nail, 0.95, 0.06, PlaceShape::Slant),
        at(GroundTest::Bend, 0.5, 0.5, PlaceShape::Span),
    ]
}

/// The map in lines of plain characters, so many columns wide without its frame; the numbers are those of [`test_number`].
/// `grain` is the arrow of the grain.
pub fn draw_test_map(size: Size, columns: usize) -> Vec<String> {
    let (width, height) = (size.width.mm(), size.height.mm());
    let rows = if width >= STRIP_RATIO * height { 3 } else { 2 * BANDS.len() - 1 };
    let places = place_tests(size);
    let mut cells = vec![vec![' '; columns]; rows];
    for place in &places {
        let column = |mm: f64| ((mm / width * columns as f64).max(0.0) as usize).min(columns.saturating_sub(1));
        let row = ((place.y_mm / height * rows as f64).max(0.0) as usize).min(rows - 1);
        let (from, to) = (column(place.x_mm - place.width_mm / 2.0), column(place.x_mm + place.width_mm / 2.0));
        let Some(line) = cells.get_mut(row) else { continue };
        let mark = match place.shape {
            PlaceShape::Spot => 'o',
            PlaceShape::Stroke | PlaceShape::Span => '-',
            PlaceShape::Tape => '=',
            PlaceShape::Slant => '/',
            PlaceShape::Cross => 'x',
        };
        let end = if matches!(place.shape, PlaceShape::Stroke | PlaceShape::Span) { to } else { from + 2 };
        for cell in line.iter_mut().take(end).skip(from + 1) {
            *cell = mark;
        }
        if let (Some(cell), Some(digit)) = (line.get_mut(from), char::from_digit(test_number(place.test) as u32, 10)) {
            *cell = digit;
        }
    }
    let frame = format!("+{}+", "-".repeat(columns));
    let inner = cells.into_iter().map(|line| format!("|{}|", line.into_iter().collect::<String>()));
    std::iter::once(frame.clone()).chain(inner).chain([frame]).collect()
}

/// What each number on the map is, in the order of trying: "1 drop of water".
pub fn map_legend(size: Size) -> Vec<String> {
    let mut tests: Vec<GroundTest> = place_tests(size).iter().map(|place| place.test).collect();
    tests.dedup();
    tests.sort_unstable();
    tests.dedup();
    tests.into_iter().map(|test| format!("{} {}", test_number(test), test.noun())).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Length;

    fn size(width: f64, height: f64) -> Size {
        Size { width: Length::from_mm(width), height: Length::from_mm(height), thickness: None }
    }

    #[test]
    fn no_place_lies_on_another_or_over_the_edge() {
        for size in [size(100.0, 100.0), size(60.0, 90.0), size(300.0, 200.0), size(250.0, 40.0), size(40.0, 250.0)] {
            let places = place_tests(size);
            for (i, a) in places.iter().enumerate() {
                assert!(a.x_mm - a.width_mm / 2.0 >= -1e-9 && a.x_mm + a.width_mm / 2.0 <= size.width.mm(), "{a:?}");
                assert!(a.y_mm - a.height_mm / 2.0 >= 0.0 && a.y_mm + a.height_mm / 2.0 <= size.height.mm(), "{a:?}");
                for b in places.iter().skip(i + 1) {
                    let apart = |x: f64, y: f64, w: f64, v: f64| (x - y).abs() + 1e-9 >= (w + v) / 2.0;
                    assert!(
                        apart(a.x_mm, b.x_mm, a.width_mm, b.width_mm)
                            || apart(a.y_mm, b.y_mm, a.height_mm, b.height_mm),
                        "{a:?} and {b:?}"
                    );
                }
            }
        }
    }

    #[test]
    fn each_test_of_several_readings_has_three_places() {
        let places = place_tests(size(100.0, 100.0));
        for test in [GroundTest::Drop, GroundTest::Powder, GroundTest::Pencil, GroundTest::Tape] {
            assert_eq!(places.iter().filter(|p| p.test == test).count(), test.places().1, "{test:?}");
        }
        assert!(places.is_sorted_by_key(|p| p.test));
    }

    #[test]
    fn the_map_is_drawn() {
        insta::assert_snapshot!("test-map-board", draw_test_map(size(100.0, 100.0), 40).join("\n"));
        insta::assert_snapshot!("test-map-strip", draw_test_map(size(250.0, 40.0), 40).join("\n"));
    }
}
