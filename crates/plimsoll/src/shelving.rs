//! Which books and practices hold for the rigs of a folder.
//!
//! The published ones come first. Over them are laid, each over the one before: what the shop names in `shop.toml` (the
//! nearest one upward from the rig), the folder `parts` beside the rig, the books of `PLIMSOLL_BOOK`, and the books
//! named on the command line.

use crate::reading::{Document, name};
use app::{Mistakes, Shelf, Units};
use std::path::{Path, PathBuf};

/// The books and practices that hold for a folder, and what its shop decides besides.
#[derive(Debug)]
pub struct Shelving {
    /// The books and practices.
    pub shelf: Shelf,
    /// The units its shop answers in.
    pub units: Option<Units>,
    /// What lies over the published books, in order.
    pub overlays: Vec<String>,
}

/// What keeps a book from being used.
#[derive(Debug, Clone)]
pub enum Trouble {
    /// It has mistakes.
    Mistakes(Mistakes),
    /// It can not be read.
    Unread(String),
}

/// A file to lay over what is there.
#[derive(Debug, PartialEq, Eq)]
struct Overlay {
    path: PathBuf,
    holds: Holds,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Holds {
    Parts,
    Practices,
}

impl Shelving {
    /// Finds what holds for the rigs of a folder, with everything that is wrong with it.
    pub fn find(folder: &Path, environment: &[PathBuf], named: &[PathBuf]) -> Result<Self, Vec<Trouble>> {
        let mut found = Found::default();
        found.shop(folder);
        let beside = folder.join("parts");
        if beside.is_dir() {
            found.files_of(&beside);
        }
        for path in environment.iter().chain(named) {
            found.book(path, "");
        }
        found.laid()
    }
}

/// Overlays as they are found.
#[derive(Default)]
struct Found {
    overlays: Vec<Overlay>,
    units: Option<Units>,
    trouble: Vec<Trouble>,
}

impl Found {
    /// Adds what the nearest `shop.toml` names.
    fn shop(&mut self, folder: &Path) {
        let Some(path) = shop_above(folder) else { return };
        let base = path.parent().unwrap_or(Path::new("")).to_path_buf();
        let document = match Document::read(&path) {
            Ok(document) => document,
            Err(wrong) => return self.trouble.push(Trouble::Unread(wrong.to_string())),
        };
        match app::shop(&document.text()) {
            Err(mistakes) => self.trouble.push(Trouble::Mistakes(mistakes)),
            Ok(shop) => {
                self.units = shop.units;
                for book in &shop.books {
                    self.book(&base.join(book), &format!("{} names it", document.file));
                }
                let practices = shop.practices.iter().map(|file| base.join(file));
                self.take(
                    practices
                        .map(|path| Overlay {
                            path,
                            holds: Holds::Practices,
                        })
                        .collect(),
                );
            }
        }
    }

    /// Adds a book: a file, or all that lie in a folder.
    fn book(&mut self, path: &Path, why: &str) {
        if !path.is_dir() {
            return self.take(vec![Overlay {
                path: path.to_path_buf(),
                holds: Holds::Parts,
            }]);
        }
        if self.files_of(path) == 0 {
            let why = if why.is_empty() {
                String::new()
            } else {
                format!(" ({why})")
            };
            let says = format!(
                "{}: no file of this folder ends in .toml, so it holds no book{why}",
                name(path)
            );
            self.trouble.push(Trouble::Unread(says));
        }
    }

    /// Adds the books that lie in a folder and counts them.
    fn files_of(&mut self, folder: &Path) -> usize {
        match books_in(folder) {
            Ok(files) => {
                let count = files.len();
                self.take(
                    files
                        .into_iter()
                        .map(|path| Overlay {
                            path,
                            holds: Holds::Parts,
                        })
                        .collect(),
                );
                count
            }
            Err(refused) => {
                self.trouble.push(Trouble::Unread(refused.to_string()));
                1
            }
        }
    }

    /// Adds overlays; one that is there already moves to the top.
    fn take(&mut self, overlays: Vec<Overlay>) {
        for overlay in overlays {
            self.overlays
                .retain(|known| known.holds != overlay.holds || !same_file(&known.path, &overlay.path));
            self.overlays.push(overlay);
        }
    }

    /// Lays everything over the published books; all that is wrong is told at once.
    fn laid(mut self) -> Result<Shelving, Vec<Trouble>> {
        let mut shelf = Shelf::published();
        let mut overlays = Vec::new();
        for Overlay { path, holds } in &self.overlays {
            let document = match Document::read(path) {
                Ok(document) => document,
                Err(wrong) => {
                    self.trouble.push(Trouble::Unread(wrong.to_string()));
                    continue;
                }
            };
            let under = shelf.clone();
            let laid = match holds {
                Holds::Parts => under.with_book(&document.text()),
                Holds::Practices => under.with_practices(&document.text()),
            };
            match laid {
                Ok(laid) => shelf = laid,
                Err(mistakes) => self.trouble.push(Trouble::Mistakes(mistakes)),
            }
            overlays.push(document.file);
        }
        if self.trouble.is_empty() {
            Ok(Shelving {
                shelf,
                units: self.units,
                overlays,
            })
        } else {
            Err(self.trouble)
        }
    }
}

/// Finds the `shop.toml` of a folder: the nearest one upward.
fn shop_above(folder: &Path) -> Option<PathBuf> {
    let here = if folder.as_os_str().is_empty() {
        Path::new(".")
    } else {
        folder
    };
    let absolute = fs_err::canonicalize(here).ok()?;
    let found = absolute
        .ancestors()
        .map(|folder| folder.join("shop.toml"))
        .find(|path| path.is_file())?;
    Some(as_seen_from_here(found))
}

/// Shortens a path that lies under the working folder, so that messages read the same on every machine.
fn as_seen_from_here(path: PathBuf) -> PathBuf {
    let here = std::env::current_dir().and_then(fs_err::canonicalize);
    match here.as_deref().map(|here| path.strip_prefix(here)) {
        Ok(Ok(short)) => short.to_path_buf(),
        _ => path,
    }
}

/// Lists the files of a folder that end in `.toml`, by name.
fn books_in(folder: &Path) -> std::io::Result<Vec<PathBuf>> {
    let mut files = Vec::new();
    for entry in fs_err::read_dir(folder)? {
        let path = entry?.path();
        if path.extension().is_some_and(|end| end == "toml") && path.is_file() {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}

fn same_file(a: &Path, b: &Path) -> bool {
    match (fs_err::canonicalize(a), fs_err::canonicalize(b)) {
        (Ok(a), Ok(b)) => a == b,
        _ => a == b,
    }
}
