//! The loop: keys and ticks in, effects to the saving thread, a picture out. It wakes at a key or at the next second while
//! anything counts, and at the next minute otherwise.

use super::alert::{self, AlertChannels};
use super::keys;
use super::render;
use super::saving_thread::SavingThread;
use super::screen::{self, Screen};
use super::signals;
use super::sleep_inhibitor::{InhibitorStatus, SleepInhibitor};
use super::studio_thread::StudioThread;
use super::theme::Theme;
use super::voice::Voice;
use crate::app::message::KeyPress;
use crate::app::model::{Effect, Model, ModelSettings, Overlay, PotsOverlay, Reply};
use crate::app::view_model::{self, SAVING_AFTER, ViewContext};
use crate::bench::Bench;
use crate::clock::Clock;
use crate::craft::materials::fillers::BulkDensities;
use crate::record::shelf::Shelf;
use crate::text::UnitSystem;
use crate::units::Moment;
use crate::work::advice::wait_calls::NIGHT_SILENT_OVER;
use chrono::{Local, TimeZone};
use crossterm::event::{self, Event};
use ratatui::buffer::Buffer;
use std::fmt::Display;
use std::io;
use std::time::Duration;

/// A press is answered on the screen once it is on disk; after this long the screen says "saving" instead.
const REPLY_TIMEOUT: Duration = Duration::from_millis(SAVING_AFTER.ms() as u64);
/// What is there already is taken within this time; without any, keys that were read are not looked at.
const DRAIN_TIMEOUT: Duration = Duration::from_micros(500);
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
pub struct RunOptions {
    /// The clock it goes by.
    pub clock: Clock,
    /// How it looks.
    pub theme: Theme,
    /// What sizes are told in.
    pub units: UnitSystem,
    /// How calls reach the maker.
    pub alert_channels: AlertChannels,
    /// The view's own settings.
    pub model_settings: ModelSettings,
    /// What powders weigh, loosely filled, as the maker weighed them, g/ml.
    pub bulk: BulkDensities,
    /// Whether a sitting over the finished panels is opened at once.
    pub sitting: bool,
}

/// Opens the bench over the panels `bench` holds, until it is left. Returns what is to be said then: each panel's next act.
///
/// # Errors
/// What the system says of the terminal, which is given back in every case.
pub fn run_bench(bench: Bench, how: RunOptions) -> io::Result<Vec<String>> {
    signals::start_signal_thread(0, signals::StopSignal::GivesTerminalBack)?;
    let view = Model::new(bench.snapshots(), how.model_settings.clone()).with_bulk_densities(how.bulk);
    let view = if how.clock.is_simulated() { view.with_rehearsal(how.clock.pace()) } else { view };
    let shelf = bench.shelf().clone();
    // From the first look at the keys on, and not before, news can wake whoever waits for them.
    event::poll(Duration::ZERO)?;
    let saver = SavingThread::start(bench, how.clock.clone(), how.bulk)?;
    let voice = if how.alert_channels.speak { Some(Voice::start()?) } else { None };
    let (screen, wakeful) = (Screen::enter()?, SleepInhibitor::new());
    let painted = render::RenderCache::default();
    let (beside, told_of_sleep, asked_on) = (None, false, 0);
    let mut open = EventLoop {
        screen,
        model: view,
        saving_thread: saver,
        shelf,
        studio_thread: beside,
        sleep_inhibitor: wakeful,
        render_cache: painted,
        is_sleep_warned: told_of_sleep,
        voice,
        studio_read_day: asked_on,
        options: how,
    };
    if open.options.sitting {
        let asked = open.model.request_sitting(open.options.clock.now());
        open.run_effects(asked)?;
    }
    open.run_until_quit()?;
    Ok(open.finish())
}

/// The bench while it is open.
struct EventLoop {
    screen: Screen,
    model: Model,
    saving_thread: SavingThread,
    shelf: Shelf,
    /// None before the first picture.
    studio_thread: Option<StudioThread>,
    sleep_inhibitor: SleepInhibitor,
    render_cache: render::RenderCache,
    is_sleep_warned: bool,
    /// None where nothing is to be spoken.
    voice: Option<Voice>,
    /// The day on which what stands beside the panels was asked for last, counted from the epoch.
    studio_read_day: i64,
    options: RunOptions,
}

impl EventLoop {
    fn run_until_quit(&mut self) -> io::Result<()> {
        loop {
            let now = self.options.clock.now();
            let effects = self.model.tick(now, self.options.clock.awake_ms());
            if self.run_effects(effects)? {
                return Ok(());
            }
            self.inhibit_sleep(now);
            self.report_voice_fault(now);
            self.draw()?;
            if self.poll_studio()? {
                self.draw()?;
            }
            // Once something is there, everything that is there is taken before the next picture.
            let mut patience = self.time_until_next_frame(self.options.clock.now());
            while event::poll(patience)? {
                patience = DRAIN_TIMEOUT;
                let happened = event::read()?;
                if self.handle_event(happened)? {
                    return Ok(());
                }
            }
            self.saving_thread.refresh_if_unwatched();
            self.handle_replies(Duration::ZERO)?;
        }
    }

    /// Waits for what is still being saved, and tells what there is to say on leaving.
    fn finish(mut self) -> Vec<String> {
        for _ in 0..LAST_TRIES {
            if self.model.saving_since().is_none() {
                break;
            }
            for reply in self.saving_thread.take_replies(REPLY_TIMEOUT) {
                // The terminal is on its way back; what rings now rings no more.
                let _ = self.model.handle_reply(reply, self.options.clock.now());
            }
        }
        let at = ViewContext { now: self.options.clock.now(), zone: &Local, units: self.options.units };
        let mut lines = view_model::summarize_panels(&self.model, &at);
        if self.model.saving_since().is_some() {
            lines.push("the last press was not on disk yet; `sottile show` tells whether it is".to_owned());
        } else if let Some(error) = self.model.recording_fault() {
            lines.push(error.to_string());
        } else if let Some(said) = self.model.status_message.filter(|said| said.urgent) {
            lines.push(said.text);
        }
        lines.extend(screen::take_background_panics());
        lines
    }

    /// While a short wait runs the machine is asked not to sleep; where it cannot be, that is said once.
    fn inhibit_sleep(&mut self, now: Moment) {
        // A paced clock's hours are seconds.
        if self.options.clock.pace() == 1.0 {
            self.sleep_inhibitor.set_wanted(self.model.has_running_wait(now, NIGHT_SILENT_OVER));
        }
        // It never takes the place of a word about the recording.
        let quiet = self.model.status_message.is_none() && self.model.confirmation.is_none();
        if self.sleep_inhibitor.latest_status() == Some(InhibitorStatus::Unavailable) && !self.is_sleep_warned && quiet
        {
            self.is_sleep_warned = true;
            self.model.show_message(MAY_SLEEP.to_owned(), false, now);
        }
    }

    /// Takes in what was read beside the panels, and tells whether there was anything; the first reading begins once the
    /// first picture stands, another with each day and with each thing recorded.
    fn poll_studio(&mut self) -> io::Result<bool> {
        let today = self.options.clock.now().wall.ms().div_euclid(DAY_MS);
        let new_day = std::mem::replace(&mut self.studio_read_day, today) != today;
        match &self.studio_thread {
            None => {
                self.studio_thread =
                    Some(StudioThread::start(self.shelf.clone(), self.options.clock.clone(), self.options.bulk)?)
            }
            Some(beside) => {
                if new_day {
                    beside.request_read();
                }
                if let Some(studio) = beside.take_latest() {
                    self.model.take_studio_knowledge(studio);
                    return Ok(true);
                }
            }
        }
        Ok(false)
    }

    /// How long nothing will change by itself.
    fn time_until_next_frame(&self, now: Moment) -> Duration {
        let pace = self.options.clock.pace().max(0.001);
        let looks = self.saving_thread.is_polling_needed() || cfg!(not(unix));
        let step = if self.model.is_counting(now) || looks { 1000 } else { 60_000 };
        let into = self.model.ms_into_second(now).rem_euclid(step);
        // A little past the boundary, so that rounding never shows the second before twice.
        let left_ms = (step - into) as f64 / pace + 2.0;
        // A hurried second is shorter than an eye needs.
        let left_ms = if self.options.clock.is_simulated() { left_ms.max(HURRIED_MS) } else { left_ms };
        // What is read at the beginning may be there before anything could wake the loop.
        let loads = !self.model.has_loaded_pots() && self.model.recording_fault().is_none();
        let expects = self.model.saving_since().is_some() || loads;
        if expects { REPLY_TIMEOUT } else { Duration::from_millis(left_ms.min(1000.0 * 60.0) as u64) }
    }

    /// Takes in what the terminal sent. Returns whether the bench is to be left.
    fn handle_event(&mut self, happened: Event) -> io::Result<bool> {
        let press = match happened {
            Event::Key(event) => keys::key_from_event(&event).map(|(key, held)| self.model.decode_key(key, held)),
            Event::Paste(text) => Some(KeyPress::from_paste(text)),
            // A window made small and large again has lost what stood there, though its size is the same as before.
            Event::Resize(..) => {
                self.screen.force_redraw();
                None
            }
            Event::FocusGained | Event::FocusLost | Event::Mouse(_) => None,
        };
        let Some(press) = press else { return Ok(false) };
        let asked_before = self.model.confirmation.clone();
        let effects = self.model.update(press, self.options.clock.now());
        if let Some(question) = self.model.confirmation.as_ref().filter(|q| asked_before.as_ref() != Some(*q)) {
            self.speak(&question.text);
        }
        self.run_effects(effects)
    }

    /// Has that spoken, where the maker wants to hear it.
    fn speak(&self, sentence: &str) {
        self.voice.iter().for_each(|voice| voice.speak(sentence));
    }

    /// Says why nothing is spoken, once.
    fn report_voice_fault(&mut self, now: Moment) {
        if let Some(fault) = self.voice.as_ref().and_then(Voice::take_fault) {
            self.model.show_message(fault, false, now);
        }
    }

    /// Does what the view asks. Returns whether the bench is to be left.
    fn run_effects(&mut self, effects: Vec<Effect>) -> io::Result<bool> {
        for effect in effects {
            match effect {
                Effect::Quit => return Ok(true),
                Effect::Suspend => self.screen.suspend()?,
                Effect::AdvanceClock(span) => {
                    self.options.clock.advance(span);
                    self.model.shift_moments(span);
                }
                Effect::RunClockFrom(wall, for_good) => self.options.clock.run_on_from(wall, for_good),
                Effect::RingBell(_) => alert::ring_bell(&self.options.alert_channels),
                Effect::SendAlert(text) => {
                    alert::send_alert(&self.options.alert_channels, &text);
                }
                Effect::Speak(sentence) => self.speak(&sentence),
                Effect::RecordNotice(..) | Effect::RecordPotNotice(..) | Effect::KeepPlaces(_) => {
                    self.saving_thread.submit(effect);
                }
                Effect::Record(..)
                | Effect::RecordPass(_)
                | Effect::UndoPass(_)
                | Effect::Retime(..)
                | Effect::OpenPanels(_)
                | Effect::Replan(_)
                | Effect::ReadComparison
                | Effect::ReadFinishedPanels
                | Effect::RecordInspection(..)
                | Effect::RecordPot(..)
                | Effect::OpenPot(_)
                | Effect::RecordAir(_) => {
                    self.saving_thread.submit(effect);
                    self.handle_replies(REPLY_TIMEOUT)?;
                }
            }
        }
        Ok(false)
    }

    /// Takes in what came of requests, waiting at most that long for the first answer.
    fn handle_replies(&mut self, patience: Duration) -> io::Result<()> {
        for reply in self.saving_thread.take_replies(patience) {
            self.studio_thread.iter().for_each(StudioThread::request_read);
            let opened = matches!(reply, Reply::Opened(_));
            let effects = self.model.handle_reply(reply, self.options.clock.now());
            self.run_effects(effects)?;
            if opened {
                self.saving_thread.restart_watch();
            }
        }
        Ok(())
    }

    fn draw(&mut self) -> io::Result<()> {
        let (model, options, painted) = (&self.model, &self.options, &mut self.render_cache);
        let at = ViewContext { now: options.clock.now(), zone: &Local, units: options.units };
        // This is drawn every second for hours; anything else for as long as somebody looks at it.
        let bench = if model.overlay == Overlay::None { view_model::build_bench_view_model(model, &at) } else { None };
        let Some(bench) = bench else {
            painted.invalidate();
            return self.screen.draw(|buf| render_model(model, &options.theme, &at, buf));
        };
        let parts = painted.render_changes(&bench, &options.theme);
        if !parts.is_empty() && self.screen.draw_parts(&parts)? {
            return Ok(());
        }
        self.screen.draw(|buf| painted.render(bench, &options.theme, buf))
    }
}

/// Draws whatever is on top.
pub fn render_model<Z: TimeZone<Offset: Display>>(
    model: &Model,
    theme: &Theme,
    at: &ViewContext<'_, Z>,
    buf: &mut Buffer,
) {
    match &model.overlay {
        Overlay::None => {
            if let Some(bench) = view_model::build_bench_view_model(model, at) {
                render::render_bench(&bench, theme, buf);
            }
        }
        overlay => {
            let (call, is_now) = view_model::format_soonest_call(model, at.now);
            render::render_over_call(&call, is_now, theme, buf, |buf| render_overlay(model, overlay, theme, at, buf));
        }
    }
}

/// Draws what lies over the bench.
fn render_overlay<Z: TimeZone<Offset: Display>>(
    model: &Model,
    overlay: &Overlay,
    theme: &Theme,
    at: &ViewContext<'_, Z>,
    buf: &mut Buffer,
) {
    let now = at.now;
    match overlay {
        Overlay::None => {}
        Overlay::Keys(offset) => {
            let bench = view_model::build_bench_view_model(model, at);
            if let Some(bench) = &bench {
                render::render_bench(bench, theme, buf);
            }
            let usable_now = bench.map(|bench| bench.keys).unwrap_or_default();
            render::render_keys(&view_model::build_keys_view_model(model.keymap(), usable_now, *offset), theme, buf);
        }
        Overlay::Story(offset) => {
            render::render_story(&view_model::build_story_view_model(model, *offset, at), theme, buf)
        }
        Overlay::Comparison(comparison) => {
            render::render_comparison(&comparison.build_view_model(model.keymap()), theme, buf)
        }
        Overlay::Sitting(sitting) => {
            render::render_sitting(&view_model::build_sitting_view_model(model, sitting, now), theme, buf)
        }
        Overlay::Map(map) => render::render_map(&view_model::build_map_view_model(model, map, now), theme, buf),
        Overlay::Form(form) => {
            render::render_form(&view_model::build_form_view_model(model, form, now, at.units), theme, buf)
        }
        Overlay::Line(line) => {
            render::render_form(&view_model::build_form_view_model(model, line, now, at.units), theme, buf)
        }
        Overlay::Pots(pots) => render_pots_overlay(model, pots, theme, at, buf),
        Overlay::Plan(plan) => render::render_plan(&view_model::build_plan_view_model(model, plan, at), theme, buf),
        Overlay::Queue(queue) => render::render_page(&view_model::build_queue_page(model, queue, at), theme, buf),
        Overlay::PassSheet(sheet) => {
            render::render_pass_sheet(&view_model::build_pass_sheet(model, sheet, at), theme, buf)
        }
        Overlay::Shelf(choice) => {
            render::render_form(&view_model::build_form_view_model(model, choice, now, at.units), theme, buf)
        }
        Overlay::Clock(asked) => {
            render::render_form(&view_model::build_form_view_model(model, asked, now, at.units), theme, buf)
        }
        Overlay::Flaws(flaws) => {
            render::render_form(&view_model::build_form_view_model(model, flaws, now, at.units), theme, buf)
        }
    }
}

/// Draws what of the pots lies over the bench.
fn render_pots_overlay<Z: TimeZone<Offset: Display>>(
    model: &Model,
    pots: &PotsOverlay,
    theme: &Theme,
    at: &ViewContext<'_, Z>,
    buf: &mut Buffer,
) {
    match pots {
        PotsOverlay::List { at: cursor } => {
            render::render_page(&view_model::build_pots_page(model, *cursor, at), theme, buf)
        }
        PotsOverlay::Advice { offset } => {
            render::render_page(&view_model::build_advice_page(model, *offset, at), theme, buf)
        }
        PotsOverlay::Form(form) => {
            render::render_form(&view_model::build_form_view_model(model, &**form, at.now, at.units), theme, buf)
        }
        PotsOverlay::Making(making) => {
            render::render_making(&view_model::build_making_view_model(model, making, at), theme, buf)
        }
    }
}
