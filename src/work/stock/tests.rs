//! The cupboard: what is set, used and taken, in whatever order it was written.

use super::cupboard::{Cupboard, last_standing};
use super::event::{StockEvent, StockSet};
use super::item::{BoardSize, StockItem, StockUnit};
use super::remarks::stock_remarks;
use super::takings::{PotTaking, PotTakings};
use crate::craft::materials::Filler;
use crate::text::parse_size;
use crate::units::{Entry, Humidity, Id, Moment, Span, Stamp, Temperature};
use crate::work::air::{Air, AirReading};
use chrono::NaiveDate;

fn day(n: f64) -> Stamp {
    Stamp::from_ms(1_800_000_000_000) + Span::from_h(24.0 * n)
}

fn set(at: f64, item: StockItem, amount: f64, lot: Option<&str>, opened: Option<u32>) -> (f64, StockEvent) {
    let opened = opened.and_then(|day| NaiveDate::from_ymd_opt(2027, 1, day));
    let lot = lot.map(str::to_owned);
    (at, StockEvent::Set(Box::new(StockSet { item, amount, lot, opened, price: None })))
}

fn used(at: f64, amount: f64, lot: Option<&str>) -> (f64, StockEvent) {
    (at, StockEvent::Used { item: StockItem::Glue, amount, lot: lot.map(str::to_owned) })
}

fn journal(facts: &[(f64, StockEvent)]) -> Vec<Entry<StockEvent>> {
    let entry = |(seq, (at, event)): (usize, &(f64, StockEvent))| Entry {
        seq: seq as u64,
        at: day(*at),
        written: Moment::from_wall(day(*at)),
        raw_wall: None,
        replaces: None,
        event: event.clone(),
    };
    facts.iter().enumerate().map(entry).collect()
}

fn pot(at: f64, amount: f64, lot: Option<&str>) -> PotTaking {
    let pot = Id::new("size-1").unwrap();
    PotTaking { at: day(at), pot, item: StockItem::Glue, amount, lot: lot.map(str::to_owned) }
}

/// What is left of each lot of glue, by its name.
fn left(facts: &[(f64, StockEvent)], takings: &[PotTaking]) -> Vec<(Option<String>, f64)> {
    let pots = PotTakings { takings: takings.to_vec(), unknown: Vec::new() };
    let cupboard = Cupboard::from_facts(&journal(facts), &pots);
    cupboard.lots().iter().map(|lot| (lot.lot.clone(), lot.left())).collect()
}

#[test]
fn what_is_used_and_taken_goes_off_the_right_lot() {
    let glue = |at, amount, lot, opened| set(at, StockItem::Glue, amount, lot, opened);
    let one = |amount: f64| vec![(None, amount)];
    let two = |a: f64, b: f64| vec![(Some("A".to_owned()), a), (Some("B".to_owned()), b)];
    let lots = |last: Vec<(f64, StockEvent)>| {
        [vec![glue(1.0, 100.0, Some("B"), Some(9)), glue(1.0, 100.0, Some("A"), Some(3))], last].concat()
    };
    for (facts, takings, expected) in [
        (vec![glue(1.0, 500.0, None, None), used(2.0, 120.0, None)], vec![], one(380.0)),
        // Set anew: what was used before is no matter any more, in whatever order it is written.
        (vec![glue(1.0, 500.0, None, None), used(2.0, 120.0, None), glue(3.0, 400.0, None, None)], vec![], one(400.0)),
        (vec![glue(3.0, 400.0, None, None), used(2.0, 120.0, None)], vec![], one(400.0)),
        (vec![glue(1.0, 500.0, None, None)], vec![pot(0.5, 50.0, None), pot(2.0, 30.0, None)], one(470.0)),
        // A pot at the very time: what was seen then is what is left.
        (vec![glue(1.0, 500.0, None, None)], vec![pot(1.0, 50.0, None)], one(500.0)),
        // The lot that is named, else the one opened first, and then the next.
        (lots(vec![used(2.0, 30.0, Some("B"))]), vec![], two(100.0, 70.0)),
        (lots(vec![used(2.0, 30.0, None)]), vec![pot(3.0, 40.0, Some("B"))], two(70.0, 60.0)),
        (lots(vec![used(2.0, 130.0, None)]), vec![], two(0.0, 70.0)),
        (lots(vec![used(2.0, 130.0, None)]), vec![pot(3.0, 100.0, None)], two(0.0, 0.0)),
        // A lot nobody told of is taken from what is there.
        (lots(vec![]), vec![pot(3.0, 40.0, Some("C"))], two(60.0, 100.0)),
        // Taken back, once and twice.
        (lots(vec![used(2.0, 30.0, None), (2.5, StockEvent::Undone { takes_back: 2 })]), vec![], two(100.0, 100.0)),
        (
            lots(vec![(2.4, StockEvent::Undone { takes_back: 1 }), (2.5, StockEvent::Undone { takes_back: 0 })]),
            vec![pot(3.0, 40.0, None)],
            vec![],
        ),
        // Not the last: without effect.
        (lots(vec![used(2.0, 30.0, None), (2.5, StockEvent::Undone { takes_back: 0 })]), vec![], two(70.0, 100.0)),
    ] {
        assert_eq!(left(&facts, &takings), expected, "{facts:?} {takings:?}");
    }
    let facts = journal(&lots(vec![used(2.0, 30.0, None), (2.5, StockEvent::Undone { takes_back: 2 })]));
    assert_eq!(last_standing(&facts).map(|entry| entry.seq), Some(1));
}

#[test]
fn names_read_back_and_amounts_have_their_unit() {
    for (text, name, unit) in [
        ("Glue", "glue", StockUnit::G),
        ("whiting", "chalk", StockUnit::G),
        ("pigment  Red ochre", "pigment red ochre", StockUnit::G),
        ("shellac flakes", "shellac", StockUnit::G),
        ("shellac solution", "shellac solution", StockUnit::Ml),
        ("ethanol", "spirit", StockUnit::Ml),
        ("board", "boards", StockUnit::Pieces),
        ("boards 300x400x12.5mm", "boards 300x400x12.5mm", StockUnit::Pieces),
        ("boards 12x16in", "boards 304.8x406.4mm", StockUnit::Pieces),
    ] {
        let item = StockItem::parse(text).unwrap_or_else(|| panic!("{text}"));
        assert_eq!((item.name().as_str(), item.unit()), (name, unit));
        assert_eq!(StockItem::parse(name), Some(item));
    }
    for text in ["", "flour", "pigment", "boards large", "pigment \u{1b}[2J"] {
        assert_eq!(StockItem::parse(text), None, "{text:?}");
    }
    for (item, text, amount) in [
        (StockItem::Glue, "1.5kg", Some(1500.0)),
        (StockItem::Glue, "20ml", None),
        (StockItem::Spirit, "0.5 l", Some(500.0)),
        (StockItem::Boards(None), "12", Some(12.0)),
        (StockItem::Boards(None), "12 pieces", Some(12.0)),
        (StockItem::Boards(None), "-1", None),
        (StockItem::Filler(Filler::Chalk), "5", None),
    ] {
        assert_eq!(item.parse_amount(text).ok(), amount, "{item:?} {text}");
    }
    let size = |text: &str| BoardSize::from_size(parse_size(text).unwrap());
    for (own, wanted, serves) in [
        ("300x400x12mm", "400x300x12mm", true),
        ("300x400mm", "300x400x12mm", true),
        ("300x400x10mm", "300x400x12mm", false),
        ("300x401mm", "300x400x12mm", false),
    ] {
        assert_eq!(size(own).serves_for(&size(wanted)), serves, "{own} for {wanted}");
    }
}

#[test]
fn what_is_old_or_damp_is_called_out() {
    let midnight = |date: NaiveDate| day(0.0) + Span::from_h(24.0 * f64::from(chrono::Datelike::ordinal(&date)));
    let told = |facts: &[(f64, StockEvent)], rh: f64, after: i64| {
        let readings = (0..10).map(|n| {
            AirReading::new(day(10.0 + f64::from(n)), Temperature::from_c(18.0), Humidity::from_pct(rh)).unwrap()
        });
        let today = NaiveDate::from_ymd_opt(2027, 1, 1).unwrap() + chrono::Duration::days(after);
        let cupboard = Cupboard::from_facts(&journal(facts), &PotTakings::default());
        let remarks = stock_remarks(&cupboard, &Air::from_readings(readings), (today, day(30.0)), &midnight);
        remarks.into_iter().map(|remark| remark.text).collect::<Vec<_>>()
    };
    let solution = |amount| [set(1.0, StockItem::ShellacSolution, amount, None, Some(1))];
    for (facts, rh, after, says) in [
        (&solution(500.0)[..], 50.0, 183, None),
        (&solution(500.0), 50.0, 184, Some("try a drop")),
        (&solution(500.0), 50.0, 366, Some("past its keeping time")),
        (&solution(0.0), 50.0, 366, None),
        (&[set(1.0, StockItem::Glue, 500.0, None, Some(2))], 65.0, 20, None),
        (&[set(1.0, StockItem::Glue, 500.0, None, Some(2))], 66.0, 20, Some("air of 66 %")),
        // A packet nobody has opened draws no water.
        (&[set(1.0, StockItem::Glue, 500.0, None, None)], 80.0, 20, None),
        (&[set(1.0, StockItem::Glue, 50.0, None, None), used(2.0, 90.0, None)], 50.0, 20, Some("40 g more")),
    ] {
        let told = told(facts, rh, after);
        assert_eq!(told.len(), usize::from(says.is_some()), "{facts:?}: {told:?}");
        assert!(says.is_none_or(|says| told[0].contains(says)), "{facts:?}: {told:?}");
    }
}
