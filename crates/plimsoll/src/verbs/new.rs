//! A rig document to begin with.

use crate::answer::Answer;
use clap::Args;
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

/// Asks for a rig document to begin with.
#[derive(Debug, Args)]
pub struct New {
    /// The file to write; without it, prints the document
    file: Option<PathBuf>,
}

/// Writes it, never over a file that is there.
pub fn answer(asked: &New) -> Answer {
    let Some(file) = &asked.file else {
        return Answer::of(app::starter());
    };
    match write(file) {
        Ok(()) => {
            let path = file.display();
            let err = format!("wrote {path}; check it with: plimsoll check {path}\n");
            Answer {
                err,
                ..Answer::of("")
            }
        }
        Err(error) if error.kind() == ErrorKind::AlreadyExists => {
            let says = format!(
                "{} is there already and is left as it is; give another name",
                file.display()
            );
            Answer::unreadable(says)
        }
        Err(error) => Answer::unreadable(error.to_string()),
    }
}

fn write(file: &Path) -> std::io::Result<()> {
    let mut file = fs_err::File::create_new(file)?;
    file.write_all(app::starter().as_bytes())
}
