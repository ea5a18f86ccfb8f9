//! A bench in a temporary place, with a clock that moves when told to, a disk that can be full, and a screen to be read.

use crate::app::message::KeyPress;
use crate::app::model::{Effect, Model, ModelSettings, Reply};
use crate::app::view_model::ViewContext;
use crate::bench::{Bench, PanelOpening, RecordRequest};
use crate::config::QuietHours;
use crate::craft::materials::Support;
use crate::craft::recipe::{Paint, shipped};
use crate::record::journal::storage::{FsStorage, Storage, StorageFile};
use crate::record::shelf::Shelf;
use crate::text::{UnitSystem, parse_size};
use crate::ui::saving_thread::{EffectRunner, GuardedRunner};
use crate::ui::theme::{ColorScheme, Theme};
use crate::ui::{event_loop, keys};
use crate::units::{BootMark, Id, Moment, Span, Stamp};
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{PanelEvent, StageKind};
use crate::work::panel::story::PanelStory;
use crate::work::story::{CommonEvent, StoryCall, StoryEvent};
use crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers};
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use std::cell::Cell;
use std::io;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// 2026-03-10 10:00 UTC, a Tuesday.
pub const TEN_O_CLOCK: i64 = 1_773_136_800_000;

/// A disk that can be full, and a program that can have a fault wherever it touches it.
#[derive(Debug, Clone, Default)]
pub struct Fills(Arc<AtomicBool>, Arc<AtomicBool>);

struct Filling(Box<dyn StorageFile>, Fills);

impl Fills {
    pub fn full(&self, full: bool) {
        self.0.store(full, Ordering::SeqCst);
    }
    pub fn is_full(&self) -> bool {
        self.0.load(Ordering::SeqCst)
    }
    /// Whoever opens or writes a file from here on panics.
    pub fn panic(&self) {
        self.1.store(true, Ordering::SeqCst);
    }
    fn panic_if_asked(&self) {
        assert!(!self.1.load(Ordering::SeqCst), "the fault this test asks for");
    }
    fn wrapped(&self, handle: Box<dyn StorageFile>) -> Box<dyn StorageFile> {
        Box::new(Filling(handle, self.clone()))
    }
}

impl Storage for Fills {
    fn create(&self, path: &Path) -> io::Result<Box<dyn StorageFile>> {
        Ok(self.wrapped(FsStorage.create(path)?))
    }
    fn open_read(&self, path: &Path) -> io::Result<Box<dyn StorageFile>> {
        self.panic_if_asked();
        Ok(self.wrapped(FsStorage.open_read(path)?))
    }
    fn open_append(&self, path: &Path) -> io::Result<Box<dyn StorageFile>> {
        Ok(self.wrapped(FsStorage.open_append(path)?))
    }
    fn remove(&self, path: &Path) -> io::Result<()> {
        FsStorage.remove(path)
    }
    fn replace(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        FsStorage.replace(path, bytes)
    }
    fn sync_dir(&self, dir: &Path) -> io::Result<()> {
        FsStorage.sync_dir(dir)
    }
}

impl StorageFile for Filling {
    fn size(&mut self) -> io::Result<u64> {
        self.0.size()
    }
    fn read_at(&mut self, from: u64, into: &mut [u8]) -> io::Result<usize> {
        self.0.read_at(from, into)
    }
    fn append(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.1.panic_if_asked();
        if self.1.0.load(Ordering::SeqCst) { Err(io::ErrorKind::StorageFull.into()) } else { self.0.append(bytes) }
    }
    fn set_len(&mut self, len: u64) -> io::Result<()> {
        self.0.set_len(len)
    }
    fn sync(&mut self) -> io::Result<()> {
        self.0.sync()
    }
}

/// A window on a bench.
pub struct Window {
    pub view: Model,
    desk: GuardedRunner,
    pub now: Rc<Cell<Moment>>,
    root: PathBuf,
    pub disk: Fills,
    /// The disk takes its time: requests lie here until `catch_up`.
    pub slow: bool,
    waiting: Vec<Effect>,
    /// What was asked of the program and not of the journals: sounds, tellings, leaving.
    pub asked: Vec<Effect>,
}

pub fn manner(night: Option<QuietHours>) -> ModelSettings {
    let recipes =
        shipped::shipped_recipes().iter().filter_map(|s| shipped::find_shipped_recipe(s.name)).map(Arc::new).collect();
    ModelSettings {
        night,
        ring_for: Span::from_s(180),
        recipes,
        shelf_ids: Vec::new(),
        keymap: Arc::default(),
        hands: 1,
        units: crate::text::UnitSystem::Metric,
        habits: crate::bench::PlanHabits::default(),
    }
}

pub fn opening(label: &str, recipe: &str) -> PanelOpening {
    PanelOpening {
        sheet: None,
        label: label.to_owned(),
        size: parse_size("300x400x12mm").unwrap(),
        support: Support::from_name("birch-plywood").unwrap(),
        grain: None,
        paint: Paint::Oil,
        recipe: Arc::new(shipped::find_shipped_recipe(recipe).unwrap()),
        count: 1,
        at: None,
        witness: false,
    }
}

pub fn at_ten() -> Rc<Cell<Moment>> {
    let wall = Stamp::from_ms(TEN_O_CLOCK);
    Rc::new(Cell::new(Moment {
        wall,
        boot: Some(BootMark { boot_id: 7, ms: 5_000_000 }),
        offset_min: 0,
        raw_wall: None,
    }))
}

impl Window {
    /// A window over everything unfinished in that place.
    pub fn open(root: &Path, now: &Rc<Cell<Moment>>, night: Option<QuietHours>) -> Window {
        Window::with(root, now, night, |bench| bench.load_rack(now.get()).unwrap())
    }

    /// A window over those panels, finished or not.
    pub fn of(root: &Path, ids: &[&str], now: &Rc<Cell<Moment>>) -> Window {
        Window::with(root, now, None, |bench| {
            for id in ids {
                bench.load(&Id::new(id).unwrap()).unwrap();
            }
        })
    }

    fn with(root: &Path, now: &Rc<Cell<Moment>>, night: Option<QuietHours>, bring: impl FnOnce(&mut Bench)) -> Window {
        let disk = Fills::default();
        let mut bench = Bench::new(Shelf::with_storage(Arc::new(disk.clone()), root));
        bring(&mut bench);
        let view = Model::new(bench.snapshots(), manner(night));
        let clock = Rc::clone(now);
        let desk = GuardedRunner::new(EffectRunner::new(bench, move || clock.get()));
        let mut window = Window {
            view,
            desk,
            now: Rc::clone(now),
            root: root.to_owned(),
            disk,
            slow: false,
            waiting: Vec::new(),
            asked: Vec::new(),
        };
        for loaded in window.desk.load() {
            window.hear(loaded);
        }
        window
    }

    /// A window over panels just opened, of the recipe taken first.
    pub fn over(root: &Path, labels: &[&str]) -> Window {
        let now = at_ten();
        for label in labels {
            record_open(root, label, "gypsum-zinc", &now);
        }
        Window::open(root, &now, None)
    }

    /// Where its journals lie.
    pub fn root(&self) -> &Path {
        &self.root
    }

    fn serve(&mut self, requests: Vec<Effect>) {
        for request in requests {
            match request {
                Effect::Record(..)
                | Effect::RecordPass(_)
                | Effect::UndoPass(_)
                | Effect::Retime(..)
                | Effect::OpenPanels(_)
                | Effect::Replan(_)
                | Effect::ReadComparison
                | Effect::ReadFinishedPanels
                | Effect::RecordInspection(..)
                | Effect::RecordNotice(..)
                | Effect::KeepPlaces(_)
                | Effect::RecordPot(..)
                | Effect::RecordPotNotice(..)
                | Effect::OpenPot(_)
                | Effect::RecordAir(_) => {
                    self.waiting.push(request);
                }
                Effect::RunClockFrom(wall, _) => {
                    let now = self.now.get();
                    self.now.set(Moment { wall, raw_wall: Some(now.wall), ..now });
                    self.asked.push(request);
                }
                Effect::RingBell(_)
                | Effect::SendAlert(_)
                | Effect::Speak(_)
                | Effect::AdvanceClock(_)
                | Effect::Suspend
                | Effect::Quit => self.asked.push(request),
            }
        }
        if !self.slow {
            self.catch_up();
        }
    }

    /// The disk does what lies before it.
    pub fn catch_up(&mut self) {
        for request in std::mem::take(&mut self.waiting) {
            for kept in self.desk.run_effect(request) {
                self.hear(kept);
            }
        }
    }

    fn hear(&mut self, kept: Reply) {
        let requests = self.view.handle_reply(kept, self.now.get());
        self.serve(requests);
    }

    /// What others wrote is taken in.
    pub fn read_on(&mut self) {
        for news in self.desk.refresh() {
            self.hear(news);
        }
    }

    /// Presses keys, named as on their caps, a second and a half apart: no resting finger.
    pub fn press(&mut self, keys: &str) {
        for key in keys.split(' ') {
            self.pass(Span::from_ms(1500));
            self.tap(key);
        }
    }

    /// Presses a key at this very moment.
    pub fn tap(&mut self, key: &str) {
        self.key(KeyEvent::new(code(key), KeyModifiers::NONE));
    }

    pub fn key(&mut self, key: KeyEvent) {
        if let Some((key, held)) = keys::key_from_event(&key) {
            let press = self.view.decode_key(key, held);
            let requests = self.view.update(press, self.now.get());
            self.serve(requests);
        }
    }

    pub fn repeat(&mut self, key: &str) {
        self.key(KeyEvent::new_with_kind(code(key), KeyModifiers::NONE, KeyEventKind::Repeat));
    }

    pub fn paste(&mut self, text: &str) {
        let requests = self.view.update(KeyPress::from_paste(text.to_owned()), self.now.get());
        self.serve(requests);
    }

    pub fn types(&mut self, text: &str) {
        for c in text.chars() {
            self.key(KeyEvent::new(KeyCode::Char(c), KeyModifiers::NONE));
        }
    }

    /// Time passes; the clock is looked at afterwards.
    pub fn pass(&mut self, span: Span) {
        self.now.set(self.now.get().earlier_by(-span));
        self.tick();
    }

    /// Time passes, second by second.
    pub fn seconds(&mut self, n: i64) {
        for _ in 0..n {
            self.pass(Span::from_s(1));
        }
    }

    pub fn tick(&mut self) {
        let requests = self.view.tick(self.now.get(), None);
        self.serve(requests);
    }

    /// Records, on the panel shown, each act when it falls due, until one of that kind and number is at hand.
    pub fn upto(&mut self, kind: StageKind, number: u32) {
        for _ in 0..60 {
            let hand = self.story().panel().stage_at_hand();
            if hand.is_none_or(|s| s.kind == kind && s.number.unwrap_or(1) == number) {
                return;
            }
            self.done();
        }
    }

    /// The act at hand is recorded as done, once its wait is over.
    pub fn done(&mut self) {
        self.wait_out();
        self.record(PanelAct::done_as_planned());
    }

    /// The wait in force runs out, unwatched.
    pub fn wait_out(&mut self) {
        let now = self.now.get();
        if let Some(left) = self.story().panel().status(now).time_left.filter(|left| *left > Span::ZERO) {
            self.now.set(now.earlier_by(-left));
        }
    }

    pub fn record(&mut self, act: PanelAct) {
        let id = self.view.shown_panel().unwrap().id.clone();
        record(&self.root, id.as_str(), act, &self.now);
        self.read_on();
        self.view.status_message = None;
    }

    pub fn story(&self) -> PanelStory {
        (**self.view.story().unwrap()).clone()
    }

    /// The facts on disk of that panel, by their words, in the order written; what the program wrote by itself is marked.
    pub fn facts(&self, id: &str) -> Vec<String> {
        let mut bench = Bench::new(Shelf::open(&self.root));
        let told = bench.load(&Id::new(id).unwrap()).unwrap();
        let name = |event: &PanelEvent| match event {
            PanelEvent::Common(CommonEvent::Alert { call, .. }) => format!("({})", call.name()),
            event => event.name().to_owned(),
        };
        told.story.map_or_else(Vec::new, |s| s.entries().iter().map(|e| name(&e.event)).collect())
    }

    /// How many facts of the maker's are on disk, over all panels.
    pub fn made(&self) -> usize {
        let ids: Vec<String> = self.view.snapshots().iter().map(|t| t.id.to_string()).collect();
        ids.iter().flat_map(|id| self.facts(id)).filter(|f| !f.starts_with('(')).count()
    }

    /// The words on the screen.
    pub fn screen(&self, width: u16, height: u16) -> String {
        self.screen_as(width, height, &Theme { color_scheme: ColorScheme::Terminal, ascii: false })
    }

    /// The same in other colours or signs.
    pub fn screen_as(&self, width: u16, height: u16, theme: &Theme) -> String {
        let mut terminal = Terminal::new(TestBackend::new(width, height)).unwrap();
        let at = ViewContext { now: self.now.get(), zone: &chrono::Utc, units: UnitSystem::Metric };
        terminal.draw(|frame| event_loop::render_model(&self.view, theme, &at, frame.buffer_mut())).unwrap();
        terminal.backend().to_string()
    }

    /// The screen holds those words, whatever lines they were broken into.
    pub fn shows(&self, words: &str) -> bool {
        self.screen(160, 48).contains(words)
    }

    pub fn sounds(&self) -> usize {
        self.asked.iter().filter(|r| matches!(r, Effect::RingBell(_))).count()
    }

    pub fn tellings(&self) -> usize {
        self.asked.iter().filter(|r| matches!(r, Effect::SendAlert(_))).count()
    }
}

/// Somebody else records an act, in another process as it were.
pub fn record(root: &Path, id: &str, act: PanelAct, now: &Rc<Cell<Moment>>) {
    let mut bench = Bench::new(Shelf::open(root));
    bench.record(&Id::new(id).unwrap(), &RecordRequest::from_act(act), &|| now.get()).unwrap();
}

pub fn record_open(root: &Path, label: &str, recipe: &str, now: &Rc<Cell<Moment>>) {
    Bench::new(Shelf::open(root)).open_panels(&opening(label, recipe), &|| now.get()).unwrap();
}

fn code(key: &str) -> KeyCode {
    match key {
        "Space" => KeyCode::Char(' '),
        "Enter" => KeyCode::Enter,
        "PageDown" => KeyCode::PageDown,
        "PageUp" => KeyCode::PageUp,
        "Tab" => KeyCode::Tab,
        "BackTab" => KeyCode::BackTab,
        "Left" => KeyCode::Left,
        "Right" => KeyCode::Right,
        "Up" => KeyCode::Up,
        "Down" => KeyCode::Down,
        "Home" => KeyCode::Home,
        "End" => KeyCode::End,
        "Esc" => KeyCode::Esc,
        "F1" => KeyCode::F(1),
        "Backspace" => KeyCode::Backspace,
        "Delete" => KeyCode::Delete,
        one => KeyCode::Char(one.chars().next().unwrap()),
    }
}
