//! What a verb gives back: the answer, what is said beside it, and the exit status.

use std::io::{self, ErrorKind, Write};
use std::process::ExitCode;

/// What the exit status says; the greater is the worse.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Exit {
    /// 0: fit, or fit with cautions; or the question was answered.
    Fit,
    /// 1: at least one stop.
    Stop,
    /// 2: the input could not be read.
    Unreadable,
    /// 3: the program failed.
    Failed,
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        ExitCode::from(exit as u8)
    }
}

/// What a verb gives back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// The answer and nothing else, for standard output.
    pub out: String,
    /// Mistakes and messages, for standard error.
    pub err: String,
    /// The exit status.
    pub exit: Exit,
}

impl Answer {
    /// Answers a question that has no verdict.
    pub fn of(out: impl Into<String>) -> Self {
        Answer {
            out: out.into(),
            err: String::new(),
            exit: Exit::Fit,
        }
    }

    /// Says that the question or a file could not be read.
    pub fn unreadable(says: impl AsRef<str>) -> Self {
        Answer {
            out: String::new(),
            err: complaint(says),
            exit: Exit::Unreadable,
        }
    }

    /// Shows mistakes that are drawn already.
    pub fn mistakes(err: String) -> Self {
        Answer {
            out: String::new(),
            err,
            exit: Exit::Unreadable,
        }
    }

    /// Says that the program failed.
    pub fn failed(says: impl AsRef<str>) -> Self {
        Answer {
            out: String::new(),
            err: complaint(says),
            exit: Exit::Failed,
        }
    }

    /// Breaks the lines of complaints that are wider than so many columns; mistakes are drawn in that width already.
    #[must_use]
    pub fn within(self, width: usize) -> Self {
        let set = |line: &str| match line.strip_prefix(COMPLAINT) {
            Some(says) if line.chars().count() > width => app::paragraph(says, width, COMPLAINT, 2),
            _ => format!("{line}\n"),
        };
        Answer {
            err: self.err.lines().map(set).collect(),
            ..self
        }
    }

    /// Writes both streams. A reader who has seen enough and closed standard output is no failure.
    pub fn give(self) -> io::Result<Exit> {
        write(&mut io::stderr().lock(), &self.err)?;
        write(&mut io::stdout().lock(), &self.out)?;
        Ok(self.exit)
    }
}

/// How a complaint begins.
const COMPLAINT: &str = "error: ";

/// Sets a complaint as it stands on standard error.
pub fn complaint(says: impl AsRef<str>) -> String {
    format!("{COMPLAINT}{}\n", says.as_ref())
}

/// Says what was probably meant.
pub fn did_you_mean(nearest: Option<&str>) -> String {
    nearest
        .map(|near| format!("; did you mean `{near}`?"))
        .unwrap_or_default()
}

fn write(to: &mut dyn Write, text: &str) -> io::Result<()> {
    match to.write_all(text.as_bytes()).and_then(|()| to.flush()) {
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        outcome => outcome,
    }
}
