//! The terminal taken over and given back, on every way out.

use crossterm::cursor::{Hide, Show};
use crossterm::event::{DisableBracketedPaste, EnableBracketedPaste};
use crossterm::terminal::{
    BeginSynchronizedUpdate, Clear, ClearType, EndSynchronizedUpdate, EnterAlternateScreen, LeaveAlternateScreen,
    disable_raw_mode, enable_raw_mode,
};
use crossterm::{execute, queue};
use ratatui::backend::{Backend, CrosstermBackend};
use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use std::io::{self, Write};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, Once};
use std::thread;

/// Whether the terminal is ours at the moment.
static IS_TERMINAL_TAKEN: AtomicBool = AtomicBool::new(false);
static HOOK: Once = Once::new();
/// What other threads than the drawing one panicked with: while the bench is shown, it would be written across it.
static BACKGROUND_PANICS: Mutex<Vec<String>> = Mutex::new(Vec::new());

/// One picture on its way out: sent in one write, between the marks that let a terminal show it at one stroke.
#[derive(Default)]
struct FrameWriter(Vec<u8>);

impl Write for FrameWriter {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if self.0.is_empty() {
            queue!(self.0, BeginSynchronizedUpdate)?;
        }
        self.0.extend_from_slice(bytes);
        Ok(bytes.len())
    }
    fn flush(&mut self) -> io::Result<()> {
        if self.0.is_empty() {
            return Ok(());
        }
        queue!(self.0, EndSynchronizedUpdate)?;
        let mut out = io::stdout().lock();
        let sent = out.write_all(&self.0).and_then(|()| out.flush());
        self.0.clear();
        sent
    }
}

/// The terminal, ours until this is dropped.
pub struct Screen {
    backend: CrosstermBackend<FrameWriter>,
    /// What stands on the terminal.
    shown: Buffer,
    /// Where the next picture is made; its content is of no worth between pictures.
    next: Buffer,
    force_redraw: bool,
}

impl Screen {
    /// Takes the terminal over.
    ///
    /// # Errors
    /// What the system says; the terminal is then as it was.
    pub fn enter() -> io::Result<Screen> {
        HOOK.call_once(|| {
            let before = std::panic::take_hook();
            let drawing = thread::current().id();
            std::panic::set_hook(Box::new(move |panic| {
                if thread::current().id() == drawing {
                    release_terminal();
                    before(panic);
                } else if let Ok(mut panics) = BACKGROUND_PANICS.lock() {
                    panics.push(panic.to_string());
                }
            }));
        });
        take_terminal()?;
        let backend = CrosstermBackend::new(FrameWriter::default());
        Ok(Screen { backend, shown: Buffer::default(), next: Buffer::default(), force_redraw: true })
    }

    /// Shows a picture, as large as the window and made on a bare buffer. What stands there already is not sent again.
    ///
    /// # Errors
    /// What the system says.
    pub fn draw(&mut self, paint: impl FnOnce(&mut Buffer)) -> io::Result<()> {
        if std::mem::take(&mut self.force_redraw) {
            self.reset()?;
        }
        self.next.reset();
        paint(&mut self.next);
        self.backend.draw(self.shown.diff_iter(&self.next))?;
        std::mem::swap(&mut self.shown, &mut self.next);
        Backend::flush(&mut self.backend)
    }

    /// Shows those parts in place of what stood there; every sign in them is one column wide. Does nothing where the whole
    /// picture has to be drawn first, and tells so.
    ///
    /// # Errors
    /// What the system says.
    pub fn draw_parts(&mut self, parts: &[Buffer]) -> io::Result<bool> {
        if self.force_redraw {
            return Ok(false);
        }
        for part in parts {
            let area = part.area.intersection(self.shown.area);
            let differs = |at: &Position| part.cell(*at) != self.shown.cell(*at);
            let changed: Vec<Position> = area.positions().filter(differs).collect();
            self.backend.draw(changed.iter().filter_map(|at| Some((at.x, at.y, part.cell(*at)?))))?;
            for at in changed {
                if let (Some(shown), Some(cell)) = (self.shown.cell_mut(at), part.cell(at)) {
                    shown.clone_from(cell);
                }
            }
        }
        Backend::flush(&mut self.backend)?;
        Ok(true)
    }

    /// Begins with an empty terminal of the size the window has now. It is asked for only when the window says that it
    /// changed: asking before every picture opens a file each time.
    fn reset(&mut self) -> io::Result<()> {
        let (width, height) = crossterm::terminal::size()?;
        let area = Rect { x: 0, y: 0, width, height };
        self.shown = Buffer::empty(area);
        self.next = Buffer::empty(area);
        queue!(self.backend, Clear(ClearType::All))
    }

    /// Gives the terminal back, stops the process until it is continued, and takes the terminal again.
    ///
    /// # Errors
    /// What the system says.
    pub fn suspend(&mut self) -> io::Result<()> {
        release_terminal();
        stop_process();
        take_terminal()?;
        self.force_redraw();
        Ok(())
    }

    /// The next frame is drawn whole: what stands on the terminal is no longer known.
    pub fn force_redraw(&mut self) {
        self.force_redraw = true;
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        release_terminal();
    }
}

/// The panics of other threads since this was asked last, each in a few words with its place in the source.
pub fn take_background_panics() -> Vec<String> {
    BACKGROUND_PANICS.lock().map(|mut panics| std::mem::take(&mut *panics)).unwrap_or_default()
}

fn take_terminal() -> io::Result<()> {
    enable_raw_mode()?;
    IS_TERMINAL_TAKEN.store(true, Ordering::SeqCst);
    execute!(io::stdout(), EnterAlternateScreen, EnableBracketedPaste, Hide).inspect_err(|_| release_terminal())
}

/// Gives the terminal back for as long as `pause` takes, if it is ours; nothing is drawn meanwhile. Whoever draws has to
/// begin anew then.
pub fn pause_terminal(pause: impl FnOnce()) {
    // Every picture is sent under this lock, so none comes after the terminal was given back.
    let _drawing = io::stdout().lock();
    let was_taken = IS_TERMINAL_TAKEN.load(Ordering::SeqCst);
    release_terminal();
    pause();
    if was_taken {
        // A terminal that cannot be taken again is told of by the next picture.
        let _ = take_terminal();
    }
}

/// Stops the process until it is continued. Where the system refuses, it goes on.
pub fn stop_process() {
    #[cfg(unix)]
    let _ = signal_hook::low_level::emulate_default_handler(signal_hook::consts::SIGTSTP);
}

/// Gives the terminal back, if it is ours. Can be called from any thread and any number of times; a terminal that is
/// gone cannot be told anything, so failures are passed over.
pub fn release_terminal() {
    if IS_TERMINAL_TAKEN.swap(false, Ordering::SeqCst) {
        let _ = execute!(io::stdout(), EndSynchronizedUpdate, DisableBracketedPaste, LeaveAlternateScreen, Show);
        let _ = disable_raw_mode();
    }
}
