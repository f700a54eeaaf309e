//! A long run: how far it is, for those who watch, and an early end by Ctrl-C.

use std::cell::Cell;
use std::io::{IsTerminal, Write};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::{Duration, Instant};

/// What takes less is not worth a word.
const LONG: Duration = Duration::from_millis(700);
/// Between two words.
const BETWEEN: Duration = Duration::from_millis(200);
/// What a shell says of a program that Ctrl-C ended: 128 and the number of the signal.
const INTERRUPTED: i32 = 130;

/// Runs what can not say how far it is, and shows for how long it has been at it.
pub fn awaited<T: Send>(what: &'static str, run: impl FnOnce() -> T + Send) -> T {
    let shown = LongRun::watch(0, what);
    if !shown.watched {
        return run();
    }
    let began = Instant::now();
    std::thread::scope(|scope| {
        let (done, is_done) = channel::<()>();
        let running = scope.spawn(move || {
            // Dropped when the run ends, however it ends.
            let _done = done;
            run()
        });
        while is_done.recv_timeout(BETWEEN) == Err(RecvTimeoutError::Timeout) {
            if began.elapsed() >= LONG {
                shown.say(&format!("{what}: {} s", began.elapsed().as_secs()));
            }
        }
        shown.end();
        running
            .join()
            .unwrap_or_else(|panic| std::panic::resume_unwind(panic))
    })
}

/// A run that may be long.
#[derive(Debug)]
pub struct LongRun {
    of: usize,
    what: &'static str,
    ended_early: Arc<AtomicBool>,
    watched: bool,
    says_next: Cell<Instant>,
    said: Cell<usize>,
}

impl LongRun {
    /// Begins a run of so many steps. The first Ctrl-C ends it with what is done, the second ends the program.
    pub fn begin(of: usize, what: &'static str) -> Self {
        let ended_early = Arc::new(AtomicBool::new(false));
        let flag = Arc::clone(&ended_early);
        // Where the system lets no one listen, Ctrl-C ends the program as it always did.
        let _ = ctrlc::set_handler(move || {
            if flag.swap(true, Ordering::Relaxed) {
                std::process::exit(INTERRUPTED);
            }
        });
        LongRun {
            ended_early,
            ..Self::watch(of, what)
        }
    }

    /// Begins a run of so many steps that Ctrl-C ends with the program.
    pub fn watch(of: usize, what: &'static str) -> Self {
        LongRun {
            of,
            what,
            ended_early: Arc::default(),
            watched: std::io::stderr().is_terminal(),
            says_next: Cell::new(Instant::now() + LONG),
            said: Cell::new(0),
        }
    }

    /// Shows how far a run is that is not ended early.
    pub fn shows(&self, done: usize, of: usize) {
        let now = Instant::now();
        if self.watched && now >= self.says_next.get() {
            self.say(&format!("{done} of {of} {}", self.what));
            self.says_next.set(now + BETWEEN);
        }
    }

    /// Shows how far it is, and tells whether it goes on.
    pub fn goes_on(&self, done: usize) -> bool {
        let now = Instant::now();
        if self.watched && now >= self.says_next.get() {
            self.say(&format!(
                "{done} of {} {}; Ctrl-C ends with these",
                self.of, self.what
            ));
            self.says_next.set(now + BETWEEN);
        }
        !self.ended_early.load(Ordering::Relaxed)
    }

    /// Takes back what was shown.
    pub fn end(self) {
        if self.said.get() > 0 {
            self.say("");
        }
    }

    fn say(&self, text: &str) {
        let blank = " ".repeat(self.said.get().saturating_sub(text.len()));
        let mut err = std::io::stderr().lock();
        // Whether anybody hears it makes no difference to the run.
        let _ = write!(err, "\r{text}{blank}{}", if text.is_empty() { "\r" } else { "" });
        let _ = err.flush();
        self.said.set(text.len());
    }
}
