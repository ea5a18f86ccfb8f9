//! How many boards one pair of hands keeps going, how far apart to start them, and when that will not do.
//!
//! A board comes back when its wait is over, so what fits into the shortest wait is kept going: wait divided by minutes a
//! coat. The pot has its part of it: melting it again and thinning a bowl take the recipe's minutes, once for as long as a
//! pot stays liquid, spread over the waits in between, and never more than once in a wait (assumed).

use super::board_load::BoardLoad;
use super::round::{Clash, Round, WaitBound};
use crate::text::{format_count, format_number, format_number_word, format_when};
use crate::units::{Span, Stamp};
use chrono::TimeZone;
use std::cmp::Reverse;
use std::fmt::Display;

/// No more boards than this are reckoned with.
const BOARDS_MAX: usize = 200;

/// How to start the boards.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stagger {
    /// So many are started at once: one for each pair of hands.
    pub together: usize,
    /// The time from start to start.
    pub apart: Span,
}

/// Two boards by name that fall due at once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamedClash {
    /// The board in the hand, as the maker calls it.
    pub in_hand: String,
    /// The board that has to wait.
    pub kept_waiting: String,
    /// When the second falls due.
    pub at: Stamp,
}

/// What so many pairs of hands can do with the boards of a session.
#[derive(Debug, Clone, PartialEq)]
pub struct HandsAdvice {
    /// How many pairs.
    pub hands: usize,
    /// How many boards ask for a coat.
    pub boards: usize,
    /// How many such boards they keep going.
    pub keeps: usize,
    /// Something is laid already, so that nothing is left to be chosen.
    pub has_begun: bool,
    /// How to start them so that no two fall due together; none where one board is alone, where it is too late to
    /// choose, or where no stagger holds.
    pub stagger: Option<Stagger>,
    /// The first time two fall due together, where they do.
    pub clash: Option<NamedClash>,
}

impl HandsAdvice {
    /// The advice for those boards; none where none asks for a coat. `hands` is at least 1.
    pub fn from_loads(loads: &[BoardLoad], hands: usize, now: Stamp) -> Option<HandsAdvice> {
        let hands = hands.max(1);
        let has_begun = loads.iter().any(|load| load.has_begun);
        let keeps = count_kept(loads, hands)?;
        let stagger = find_stagger(loads, hands).filter(|_| !has_begun);
        // Where nothing holds, started as close together as the hands allow.
        let apart = stagger.map_or(longest_work(loads), |stagger| stagger.apart);
        let clash = match has_begun {
            true => find_clash(loads, hands, now),
            false => find_clash(&start_staggered(loads, hands, apart, now), hands, now),
        };
        Some(HandsAdvice {
            hands,
            boards: loads.len(),
            keeps,
            has_begun,
            stagger: stagger.filter(|_| clash.is_none()),
            clash: clash.map(|clash| NamedClash {
                in_hand: loads[clash.in_hand].label.clone(),
                kept_waiting: loads[clash.kept_waiting].label.clone(),
                at: clash.at,
            }),
        })
    }

    /// Whether no two boards fall due together.
    pub fn holds(&self) -> bool {
        self.clash.is_none() && (self.boards < 2 || self.has_begun || self.stagger.is_some())
    }

    /// `one pair of hands keeps 4 boards going`.
    pub fn keeps_text(&self) -> String {
        let (pairs, keep) = if self.hands == 1 { ("pair", "keeps") } else { ("pairs", "keep") };
        let hands = format_number_word(self.hands);
        format!("{hands} {pairs} of hands {keep} {} going", format_count(self.keeps as u64, "board"))
    }

    /// `start them 4 min apart`; none where nothing is to be started so.
    pub fn stagger_text(&self) -> Option<String> {
        let Stagger { together, apart } = self.stagger?;
        let apart = format_number((apart.minutes() * 10.0).round() / 10.0, 1);
        let at_a_time = if together > 1 { format!("{together} at a time, ") } else { String::new() };
        Some(format!("start them {at_a_time}{apart} min apart"))
    }

    /// `6 boards will not hold: Cob and Dun fall due together at 15:20`; none where they hold.
    pub fn clash_text<Z: TimeZone<Offset: Display>>(&self, now: Stamp, zone: &Z) -> Option<String> {
        let boards = format_count(self.boards as u64, "board");
        match &self.clash {
            Some(NamedClash { in_hand, kept_waiting, at }) => {
                let together = format!("{in_hand} and {kept_waiting} fall due together");
                let at = format_when(*at, now, zone);
                Some(match self.has_begun {
                    true => format!("{together} at {at}"),
                    false => format!("{boards} will not hold: {together} at {at}"),
                })
            }
            None if !self.holds() => Some(format!("{boards} will not hold: {}", self.keeps_text())),
            None => None,
        }
    }
}

fn longest_work(loads: &[BoardLoad]) -> Span {
    loads.iter().map(BoardLoad::longest_work).max().unwrap_or(Span::ZERO)
}

/// The shortest wait any board has between two coats, else after its only one.
fn shortest_wait(loads: &[BoardLoad]) -> Option<Span> {
    let between = loads.iter().filter_map(BoardLoad::shortest_wait).min();
    between.or_else(|| loads.iter().flat_map(|load| &load.coats).map(|coat| coat.wait.0).min())
}

/// How many boards such as these fit into the shortest wait, the largest first, and after them more of middling size.
fn count_kept(loads: &[BoardLoad], hands: usize) -> Option<usize> {
    let wait = shortest_wait(loads)?;
    let mut minutes: Vec<Span> = loads.iter().map(BoardLoad::longest_work).collect();
    minutes.sort_by_key(|m| Reverse(*m));
    let middling = Span::from_ms(minutes.iter().map(|m| m.ms()).sum::<i64>() / minutes.len() as i64);
    let boards = minutes.into_iter().chain(std::iter::repeat(middling));
    // One pair of hands minds the pot.
    let mut busy = vec![Span::ZERO; hands];
    busy[0] = pot_minutes(loads, wait);
    let mut fits = |work: Span| {
        let free = busy.iter_mut().min().filter(|free| **free + work <= wait);
        free.map(|free| *free = *free + work).is_some()
    };
    Some(boards.take(BOARDS_MAX).take_while(|work| fits(*work)).count().max(1))
}

/// What the pot takes out of a wait of that length.
fn pot_minutes(loads: &[BoardLoad], wait: Span) -> Span {
    let part = |load: &BoardLoad| {
        let share = wait.minutes() / load.pot_liquid.minutes().max(1.0);
        Span::from_min(load.pot_work.minutes() * share.min(1.0))
    };
    loads.iter().map(part).max().unwrap_or(Span::ZERO)
}

/// The widest stagger in whole, else half minutes, at least the minutes a coat and at most the wait divided by the boards.
fn find_stagger(loads: &[BoardLoad], hands: usize) -> Option<Stagger> {
    let each = loads.len().div_ceil(hands);
    let (least, wait) = (longest_work(loads), shortest_wait(loads)?);
    let most = Span::from_ms(wait.ms() / each.max(1) as i64);
    if loads.len() < 2 || least > most {
        return None;
    }
    let rounded = [60_000, 30_000].into_iter().map(|step| Span::from_ms(most.ms() / step * step));
    let apart = rounded.into_iter().find(|apart| *apart >= least).unwrap_or(least);
    Some(Stagger { together: hands.min(loads.len()), apart })
}

/// The boards with their first coats planned one after the other.
fn start_staggered(loads: &[BoardLoad], hands: usize, apart: Span, now: Stamp) -> Vec<BoardLoad> {
    let start = |(place, load): (usize, &BoardLoad)| {
        let planned = now + Span::from_ms(apart.ms() * (place / hands) as i64);
        BoardLoad { due_at: Some(load.due_at.map_or(planned, |due| due.max(planned))), ..load.clone() }
    };
    loads.iter().enumerate().map(start).collect()
}

/// The first clash, be the waits short or long.
fn find_clash(loads: &[BoardLoad], hands: usize, now: Stamp) -> Option<Clash> {
    let play = |bound| Round::play(loads, hands, bound, now).first_clash();
    let is_certain = loads.iter().flat_map(|load| &load.coats).all(|coat| coat.wait.0 == coat.wait.1);
    let longest = if is_certain { None } else { play(WaitBound::Longest) };
    [play(WaitBound::Shortest), longest].into_iter().flatten().min_by_key(|clash| clash.at)
}
