//! The loop: keys and ticks in, requests to the journals, a picture out. It wakes at a key or at the next second while
//! anything counts, and at the next minute otherwise.
//!
//! Absent on purpose: what keys mean (`keys`), what actions do (`app`), what is true (`bench`).

use super::alert::{self, Ways};
use super::beside::Beside;
use super::draw;
use super::keys;
use super::saver::Saver;
use super::screen::Screen;
use super::signals;
use super::theme::Theme;
use super::wakeful::{Answer, Wakeful};
use crate::app::picture::{self, SAVING_AFTER, Telling};
use crate::app::view::{Kept, Manner, Over, PotsOver, Request, View};
use crate::bench::Bench;
use crate::clock::Clock;
use crate::craft::materials::Filler;
use crate::record::shelf::Shelf;
use crate::text::Units;
use crate::units::Moment;
use crate::work::advice::calls::SILENT_OVER;
use chrono::{Local, TimeZone};
use crossterm::event::{self, Event};
use ratatui::buffer::Buffer;
use std::fmt::Display;
use std::io;
use std::time::Duration;

/// A press is answered on the screen once it is on disk; after this long the screen says "saving" instead.
const PATIENCE: Duration = Duration::from_millis(SAVING_AFTER.ms() as u64);
/// What is there already is taken within this time; without any, keys that were read are not looked at.
const AT_ONCE: Duration = Duration::from_micros(500);
/// So many times leaving waits for the last press to be on disk.
const LAST_TRIES: u32 = 15;

/// A day, milliseconds.
const DAY_MS: i64 = 24 * 3_600_000;

/// What is said where the machine cannot be asked to stay awake.
const MAY_SLEEP: &str = "keep this computer awake yourself: asleep, it cannot call you";

/// On a hurried clock a new picture comes no sooner than this, milliseconds.
const HURRIED_MS: f64 = 100.0;

/// How the bench is run.
#[derive(Debug, Clone)]
pub struct Run {
    /// The clock it goes by.
    pub clock: Clock,
    /// How it looks.
    pub theme: Theme,
    /// What sizes are told in.
    pub units: Units,
    /// How calls reach the maker.
    pub ways: Ways,
    /// The view's own settings.
    pub manner: Manner,
    /// What powders weigh, loosely filled, as the maker weighed them, g/ml.
    pub loose_g_per_ml: Vec<(Filler, f64)>,
    /// Whether a sitting over the finished panels is opened at once.
    pub sitting: bool,
}

/// Opens the bench over the panels `bench` holds, until it is left. Returns what is to be said then: each panel's next act.
///
/// # Errors
/// What the system says of the terminal, which is given back in every case.
pub fn run(bench: Bench, how: Run) -> io::Result<Vec<String>> {
    signals::listen(0)?;
    let view = View::new(bench.told(), how.manner.clone()).weighing(how.loose_g_per_ml.clone());
    let view = if how.clock.hurried() { view.rehearsal(how.clock.pace()) } else { view };
    let shelf = bench.shelf().clone();
    // From the first look at the keys on, and not before, news can wake whoever waits for them.
    event::poll(Duration::ZERO)?;
    let saver = Saver::start(bench, how.clock.clone(), how.loose_g_per_ml.clone())?;
    let (screen, wakeful) = (Screen::enter()?, Wakeful::new());
    let painted = draw::Painted::default();
    let (beside, told_of_sleep, asked_on) = (None, false, 0);
    let mut open = Open { screen, view, saver, shelf, beside, wakeful, painted, told_of_sleep, asked_on, how };
    if open.how.sitting {
        let asked = open.view.look_over(open.how.clock.now());
        open.serve(asked)?;
    }
    open.turn()?;
    Ok(open.last_words())
}

/// The bench while it is open.
struct Open {
    screen: Screen,
    view: View,
    saver: Saver,
    shelf: Shelf,
    /// None before the first picture.
    beside: Option<Beside>,
    wakeful: Wakeful,
    painted: draw::Painted,
    told_of_sleep: bool,
    /// The day on which what stands beside the panels was asked for last, counted from the epoch.
    asked_on: i64,
    how: Run,
}

impl Open {
    fn turn(&mut self) -> io::Result<()> {
        loop {
            let now = self.how.clock.now();
            let requests = self.view.tick(now, self.how.clock.awake_ms());
            if self.serve(requests)? {
                return Ok(());
            }
            self.stay_awake(now);
            self.draw()?;
            if self.look_beside()? {
                self.draw()?;
            }
            // Once something is there, everything that is there is taken before the next picture.
            let mut patience = self.until_next(self.how.clock.now());
            while event::poll(patience)? {
                patience = AT_ONCE;
                let happened = event::read()?;
                if self.took(happened)? {
                    return Ok(());
                }
            }
            self.saver.look();
            self.hear(Duration::ZERO)?;
        }
    }

    /// Waits for what is still being saved, and tells what there is to say on leaving.
    fn last_words(mut self) -> Vec<String> {
        for _ in 0..LAST_TRIES {
            if self.view.saving().is_none() {
                break;
            }
            for kept in self.saver.answers(PATIENCE) {
                // The terminal is on its way back; what rings now rings no more.
                let _ = self.view.kept(kept, self.how.clock.now());
            }
        }
        let at = Telling { now: self.how.clock.now(), zone: &Local, units: self.how.units };
        let mut lines = picture::leaving(&self.view, &at);
        if self.view.saving().is_some() {
            lines.push("the last press was not on disk yet; `sottile show` tells whether it is".to_owned());
        } else if let Some(said) = self.view.said.filter(|said| said.loud) {
            lines.push(said.text);
        }
        lines
    }

    /// While a short wait runs the machine is asked not to sleep; where it cannot be, that is said once.
    fn stay_awake(&mut self, now: Moment) {
        // A paced clock's hours are seconds.
        if self.how.clock.pace() == 1.0 {
            self.wakeful.want(self.view.wait_runs(now, SILENT_OVER));
        }
        // It never takes the place of a word about the recording.
        let quiet = self.view.said.is_none() && self.view.question.is_none();
        if self.wakeful.answer() == Some(Answer::CannotAsk) && !self.told_of_sleep && quiet {
            self.told_of_sleep = true;
            self.view.say(MAY_SLEEP.to_owned(), false, now);
        }
    }

    /// Takes in what was read beside the panels, and tells whether there was anything; the first reading begins once the
    /// first picture stands, another with each day and with each thing recorded.
    fn look_beside(&mut self) -> io::Result<bool> {
        let today = self.how.clock.now().wall.ms().div_euclid(DAY_MS);
        let new_day = std::mem::replace(&mut self.asked_on, today) != today;
        match &self.beside {
            None => self.beside = Some(Beside::start(self.shelf.clone(), self.how.clock.clone())?),
            Some(beside) => {
                if new_day {
                    beside.look_again();
                }
                if let Some(room) = beside.news() {
                    self.view.room = room;
                    return Ok(true);
                }
            }
        }
        Ok(false)
    }

    /// How long nothing will change by itself.
    fn until_next(&self, now: Moment) -> Duration {
        let pace = self.how.clock.pace().max(0.001);
        let looks = self.saver.must_look() || cfg!(not(unix));
        let step = if self.view.counts(now) || looks { 1000 } else { 60_000 };
        let into = self.view.phase_ms(now).rem_euclid(step);
        // A little past the boundary, so that rounding never shows the second before twice.
        let left_ms = (step - into) as f64 / pace + 2.0;
        // A hurried second is shorter than an eye needs.
        let left_ms = if self.how.clock.hurried() { left_ms.max(HURRIED_MS) } else { left_ms };
        // What is read at the beginning may be there before anything could wake the loop.
        let expects = self.view.saving().is_some() || !self.view.pots_read();
        if expects { PATIENCE } else { Duration::from_millis(left_ms.min(1000.0 * 60.0) as u64) }
    }

    /// Takes in what the terminal sent. Returns whether the bench is to be left.
    fn took(&mut self, happened: Event) -> io::Result<bool> {
        let press = match happened {
            Event::Key(key) => keys::press(&key, self.view.typing()),
            Event::Paste(text) => Some(keys::paste(text)),
            // A window made small and large again has lost what stood there, though its size is the same as before.
            Event::Resize(..) => {
                self.screen.anew();
                None
            }
            Event::FocusGained | Event::FocusLost | Event::Mouse(_) => None,
        };
        let Some(press) = press else { return Ok(false) };
        let requests = self.view.update(press, self.how.clock.now());
        self.serve(requests)
    }

    /// Does what the view asks. Returns whether the bench is to be left.
    fn serve(&mut self, requests: Vec<Request>) -> io::Result<bool> {
        for request in requests {
            match request {
                Request::Leave => return Ok(true),
                Request::Suspend => self.screen.suspend()?,
                Request::Pass(span) => {
                    self.how.clock.pass(span);
                    self.view.passed(span);
                }
                Request::Sound(_) => alert::sound(&self.how.ways),
                Request::Tell(call, label) => {
                    alert::tell(&self.how.ways, call, &label);
                }
                Request::Pot(ref asked) if !asked.by_hand() => self.saver.ask(request),
                Request::Notice(..) => self.saver.ask(request),
                Request::Record(..)
                | Request::Retime(..)
                | Request::Open(_)
                | Request::Compare
                | Request::Sit
                | Request::Look(..)
                | Request::Pot(_) => {
                    self.saver.ask(request);
                    self.hear(PATIENCE)?;
                }
            }
        }
        Ok(false)
    }

    /// Takes in what came of requests, waiting at most that long for the first answer.
    fn hear(&mut self, patience: Duration) -> io::Result<()> {
        for kept in self.saver.answers(patience) {
            self.beside.iter().for_each(Beside::look_again);
            let opened = matches!(kept, Kept::Opened(_));
            let requests = self.view.kept(kept, self.how.clock.now());
            self.serve(requests)?;
            if opened {
                self.saver.watch_again();
            }
        }
        Ok(())
    }

    fn draw(&mut self) -> io::Result<()> {
        let (view, how, painted) = (&self.view, &self.how, &mut self.painted);
        let at = Telling { now: how.clock.now(), zone: &Local, units: how.units };
        // This is drawn every second for hours; anything else for as long as somebody looks at it.
        let scene = if view.over == Over::Nothing { picture::scene(view, &at) } else { None };
        let Some(scene) = scene else {
            painted.forget();
            return self.screen.draw(|buf| paint(view, &how.theme, &at, buf));
        };
        let parts = painted.moved(&scene, &how.theme);
        if !parts.is_empty() && self.screen.draw_parts(&parts)? {
            return Ok(());
        }
        self.screen.draw(|buf| painted.paint(scene, &how.theme, buf))
    }
}

/// Draws whatever is on top.
pub fn paint<Z: TimeZone<Offset: Display>>(view: &View, theme: &Theme, at: &Telling<'_, Z>, buf: &mut Buffer) {
    let now = at.now;
    match &view.over {
        Over::Nothing | Over::Keys(_) => {
            if let Some(scene) = picture::scene(view, at) {
                draw::bench(&scene, theme, buf);
            }
            if let Over::Keys(offset) = view.over {
                draw::keys(&picture::keys_sheet(offset), theme, buf);
            }
        }
        Over::Story(offset) => draw::story(&picture::story_view(view, *offset, at), theme, buf),
        Over::Compare(compare) => draw::compare(&compare.sheet(), theme, buf),
        Over::Sitting(sitting) => draw::sitting(&picture::sitting_sheet(view, sitting, now), theme, buf),
        Over::Map(map) => draw::map(&picture::map_view(view, map, now), theme, buf),
        Over::Form(form) => draw::form(&picture::form_view(view, form, now), theme, buf),
        Over::Line(line) => draw::form(&picture::form_view(view, line, now), theme, buf),
        Over::Pots(pots) => paint_pots(view, pots, theme, at, buf),
        Over::Flaws(flaws) => draw::form(&picture::form_view(view, flaws, now), theme, buf),
    }
}

/// Draws what of the pots lies over the bench.
fn paint_pots<Z: TimeZone<Offset: Display>>(
    view: &View,
    pots: &PotsOver,
    theme: &Theme,
    at: &Telling<'_, Z>,
    buf: &mut Buffer,
) {
    match pots {
        PotsOver::List { at: cursor } => draw::page(&picture::pots_page(view, *cursor, at), theme, buf),
        PotsOver::Told => draw::page(&picture::known_page(view, at), theme, buf),
        PotsOver::Form(form) => draw::form(&picture::form_view(view, &**form, at.now), theme, buf),
        PotsOver::Line(line) => draw::form(&picture::form_view(view, line, at.now), theme, buf),
        PotsOver::Making(making) => draw::making(&picture::making_view(view, making, at), theme, buf),
    }
}
