//! Texts from files and from standard input.

use std::io::Read;
use std::path::Path;

/// A text with the name it is called by in messages.
#[derive(Debug, Clone)]
pub struct Document {
    /// The file, as the user named it.
    pub file: String,
    /// Its text.
    pub text: String,
}

/// A file that can not be read.
#[derive(Debug, thiserror::Error)]
pub enum Unread {
    /// The system refuses.
    #[error("{0}")]
    Refused(#[from] std::io::Error),
    /// It is not text.
    #[error("{file}: line {line} is not UTF-8 text; save the file as UTF-8")]
    NotText {
        /// The file, as the user named it.
        file: String,
        /// The line, from 1.
        line: usize,
    },
    /// It is a folder.
    #[error("{0} is a folder; name the files in it")]
    Folder(String),
}

impl Document {
    /// Reads a file, or standard input for `-`.
    pub fn read(path: &Path) -> Result<Self, Unread> {
        let file = name(path);
        if path.is_dir() {
            return Err(Unread::Folder(file));
        }
        let mut bytes = Vec::new();
        if path == Path::new("-") {
            std::io::stdin().lock().read_to_end(&mut bytes)?;
        } else {
            bytes = fs_err::read(path)?;
        }
        String::from_utf8(bytes)
            .map(|text| Document {
                file: file.clone(),
                text,
            })
            .map_err(|wrong| {
                let before = &wrong.as_bytes()[..wrong.utf8_error().valid_up_to()];
                Unread::NotText {
                    file,
                    line: before.split(|byte| *byte == b'\n').count(),
                }
            })
    }

    /// Gives it as `app` takes it.
    pub fn text(&self) -> app::Text<'_> {
        app::Text {
            file: &self.file,
            text: &self.text,
        }
    }
}

/// Opens files by their paths from another.
pub fn beside(file: &Path) -> impl Fn(&str) -> std::io::Result<Box<dyn Read>> {
    let folder = file.parent().unwrap_or(Path::new("")).to_path_buf();
    move |path| Ok(Box::new(fs_err::File::open(folder.join(path))?))
}

/// Names a file as the user did.
pub fn name(path: &Path) -> String {
    if path == Path::new("-") {
        "<stdin>".into()
    } else {
        path.display().to_string()
    }
}
