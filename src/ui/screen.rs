//! The terminal taken over and given back, on every way out.
//!
//! Absent on purpose: what is drawn.

use crossterm::cursor::{Hide, Show};
use crossterm::event::{DisableBracketedPaste, EnableBracketedPaste};
use crossterm::terminal::{
    BeginSynchronizedUpdate, Clear, ClearType, EndSynchronizedUpdate, EnterAlternateScreen, LeaveAlternateScreen,
    disable_raw_mode, enable_raw_mode,
};
use crossterm::{execute, queue};
use ratatui::backend::CrosstermBackend;
use ratatui::{Frame, Terminal};
use std::io::{self, Write};
use std::sync::Once;
use std::sync::atomic::{AtomicBool, Ordering};

/// Whether the terminal is ours at the moment.
static OURS: AtomicBool = AtomicBool::new(false);
static HOOK: Once = Once::new();

/// One picture on its way out: sent in one write, between the marks that let a terminal show it at one stroke.
#[derive(Default)]
struct Stroke(Vec<u8>);

impl Write for Stroke {
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
    terminal: Terminal<CrosstermBackend<Stroke>>,
    anew: bool,
}

impl Screen {
    /// Takes the terminal over.
    ///
    /// # Errors
    /// What the system says; the terminal is then as it was.
    pub fn enter() -> io::Result<Screen> {
        HOOK.call_once(|| {
            let before = std::panic::take_hook();
            std::panic::set_hook(Box::new(move |panic| {
                give_back();
                before(panic);
            }));
        });
        take()?;
        match Terminal::new(CrosstermBackend::new(Stroke::default())) {
            Ok(terminal) => Ok(Screen { terminal, anew: false }),
            Err(e) => {
                give_back();
                Err(e)
            }
        }
    }

    /// Draws a frame; a terminal that can show it at one stroke does.
    ///
    /// # Errors
    /// What the system says.
    pub fn draw(&mut self, frame: impl FnOnce(&mut Frame)) -> io::Result<()> {
        if std::mem::take(&mut self.anew) {
            // A terminal made anew remembers nothing of what stood there, so everything is drawn. Clearing the old one
            // would ask where the cursor is, and end the program where no answer comes in time.
            let mut stroke = Stroke::default();
            queue!(stroke, Clear(ClearType::All))?;
            self.terminal = Terminal::new(CrosstermBackend::new(stroke))?;
        }
        self.terminal.draw(frame)?;
        self.terminal.backend_mut().flush()
    }

    /// Gives the terminal back, stops the process until it is continued, and takes the terminal again.
    ///
    /// # Errors
    /// What the system says.
    pub fn suspend(&mut self) -> io::Result<()> {
        give_back();
        #[cfg(unix)]
        signal_hook::low_level::raise(signal_hook::consts::SIGTSTP)?;
        take()?;
        self.anew();
        Ok(())
    }

    /// The next frame is drawn whole: what stands on the terminal is no longer known.
    pub fn anew(&mut self) {
        self.anew = true;
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        give_back();
    }
}

fn take() -> io::Result<()> {
    enable_raw_mode()?;
    OURS.store(true, Ordering::SeqCst);
    execute!(io::stdout(), EnterAlternateScreen, EnableBracketedPaste, Hide).inspect_err(|_| give_back())
}

/// Gives the terminal back, if it is ours. Can be called from any thread and any number of times; a terminal that is
/// gone cannot be told anything, so failures are passed over.
pub fn give_back() {
    if OURS.swap(false, Ordering::SeqCst) {
        let _ = execute!(io::stdout(), EndSynchronizedUpdate, DisableBracketedPaste, LeaveAlternateScreen, Show);
        let _ = disable_raw_mode();
    }
}
