//! The loop: keys and ticks in, requests to the journals, a picture out. It wakes at a key or at the next second while
//! anything counts, and at the next minute otherwise.
//!
//! Absent on purpose: what keys mean (`keys`), what actions do (`app`), what is true (`bench`).

use super::alert::{self, Ways};
use super::draw;
use super::keys;
use super::saver::Saver;
use super::screen::Screen;
use super::signals;
use super::theme::Theme;
use crate::app::action::Action;
use crate::app::picture::{self, Telling};
use crate::app::view::{Kept, Manner, Over, Request, View};
use crate::bench::Bench;
use crate::clock::Clock;
use crate::text::Units;
use crate::units::Moment;
use chrono::Local;
use crossterm::event::{self, Event};
use ratatui::Frame;
use std::io;
use std::time::Duration;

/// A press is answered on the screen once it is on disk; after this long the screen says "saving" instead.
const PATIENCE: Duration = Duration::from_millis(200);

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
}

/// Opens the bench over the panels `bench` holds, until it is left. Returns what is to be said then: each panel's next act.
///
/// # Errors
/// What the system says of the terminal, which is given back in every case.
pub fn run(bench: Bench, how: Run) -> io::Result<Vec<String>> {
    signals::listen()?;
    let view = View::new(bench.told(), how.manner.clone());
    let saver = Saver::start(bench, how.clock.clone())?;
    let mut open = Open { screen: Screen::enter()?, view, saver, how };
    open.turn()?;
    let at = Telling { now: open.how.clock.now(), zone: &Local, units: open.how.units };
    Ok(picture::leaving(&open.view, &at))
}

/// The bench while it is open.
struct Open {
    screen: Screen,
    view: View,
    saver: Saver,
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
            self.draw()?;
            // Once something is there, everything that is there is taken before the next picture.
            let mut patience = self.until_next(self.how.clock.now());
            while event::poll(patience)? {
                patience = Duration::ZERO;
                let happened = event::read()?;
                if self.took(happened)? {
                    return Ok(());
                }
            }
            self.saver.look();
            self.hear(Duration::ZERO);
        }
    }

    /// How long nothing will change by itself.
    fn until_next(&self, now: Moment) -> Duration {
        let pace = self.how.clock.pace().max(0.001);
        let step = if self.view.counts(now) || self.saver.must_look() { 1000 } else { 60_000 };
        let into = self.view.phase_ms(now).rem_euclid(step);
        // A little past the boundary, so that rounding never shows the second before twice.
        let left_ms = (step - into) as f64 / pace + 2.0;
        if self.view.saving.is_some() { PATIENCE } else { Duration::from_millis(left_ms.min(1000.0 * 60.0) as u64) }
    }

    /// Takes in what the terminal sent. Returns whether the bench is to be left.
    fn took(&mut self, happened: Event) -> io::Result<bool> {
        let action = match happened {
            Event::Key(key) => keys::action(&key, self.view.typing()),
            Event::Paste(text) => Some(Action::Paste(text)),
            Event::Resize(..) | Event::FocusGained | Event::FocusLost | Event::Mouse(_) => None,
        };
        let Some(action) = action else { return Ok(false) };
        let requests = self.view.update(action, self.how.clock.now());
        self.serve(requests)
    }

    /// Does what the view asks. Returns whether the bench is to be left.
    fn serve(&mut self, requests: Vec<Request>) -> io::Result<bool> {
        for request in requests {
            match request {
                Request::Leave => return Ok(true),
                Request::Suspend => self.screen.suspend()?,
                Request::Sound(_) => alert::sound(&self.how.ways),
                Request::Tell(call, label) => {
                    alert::tell(&self.how.ways, call, &label);
                }
                Request::Notice(..) => self.saver.ask(request),
                Request::Record(..) | Request::Retime(..) | Request::Open(_) | Request::Compare => {
                    self.saver.ask(request);
                    self.hear(PATIENCE);
                }
            }
        }
        Ok(false)
    }

    fn hear(&mut self, patience: Duration) {
        for kept in self.saver.answers(patience) {
            let opened = matches!(kept, Kept::Opened(_));
            self.view.kept(kept, self.how.clock.now());
            if opened {
                self.saver.watch_again();
            }
        }
    }

    fn draw(&mut self) -> io::Result<()> {
        let (view, how) = (&self.view, &self.how);
        let now = how.clock.now();
        self.screen.draw(|frame| paint(view, how, now, frame))
    }
}

/// Draws whatever is on top.
fn paint(view: &View, how: &Run, now: Moment, frame: &mut Frame<'_>) {
    let at = Telling { now, zone: &Local, units: how.units };
    let theme = &how.theme;
    match &view.over {
        Over::Nothing | Over::Keys(_) => {
            if let Some(scene) = picture::scene(view, &at) {
                draw::bench(&scene, theme, frame);
            }
            if let Over::Keys(offset) = view.over {
                draw::keys(&picture::keys_sheet(offset), theme, frame);
            }
        }
        Over::Story(offset) => draw::story(&picture::story_view(view, *offset, &at), theme, frame),
        Over::Compare(compare) => draw::compare(&compare.sheet(), theme, frame),
        Over::Map(map) => draw::map(&picture::map_view(view, map), theme, frame),
        Over::Form(form) => draw::form(&picture::form_view(form), theme, frame),
        Over::Line(line) => draw::form(&picture::form_view(line), theme, frame),
        Over::Flaws(at) => draw::form(&picture::form_view(at), theme, frame),
    }
}
