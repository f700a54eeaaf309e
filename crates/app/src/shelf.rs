//! The books and practices in use: the published ones with the shop's laid over them.

use crate::check::Text;
use crate::mistakes::Mistakes;
use parts::{Book, Shown};
use practice::Practices;
use quantity::Style;
use rig::Shop;
use series::{Open, prove, read_series};
use std::borrow::Cow;
use std::path::Path;

/// The books and practices in use.
#[derive(Debug, Clone)]
pub struct Shelf {
    pub(crate) book: Book,
    pub(crate) practices: Practices,
}

impl Shelf {
    /// Takes the published book and practices alone.
    pub fn published() -> Self {
        Shelf {
            book: Book::published().clone(),
            practices: Practices::published().clone(),
        }
    }

    /// Lays a shop's book over what is there.
    pub fn with_book(mut self, text: &Text<'_>) -> Result<Self, Mistakes> {
        let (book, problems) = Book::read(text.file, text.text);
        if !problems.is_empty() {
            return Err(text.mistakes(problems));
        }
        self.book = self.book.overlaid(&book);
        Ok(self)
    }

    /// Lays a shop's practices over what is there.
    pub fn with_practices(mut self, text: &Text<'_>) -> Result<Self, Mistakes> {
        let (practices, problems) = Practices::read(text.file, text.text);
        if !problems.is_empty() {
            return Err(text.mistakes(problems));
        }
        self.practices = self.practices.overlaid(practices);
        Ok(self)
    }

    /// Adds what the series of pull tests show that a rig names. `open` opens a file by its path from the rig document.
    ///
    /// A series that can not be used is no mistake yet: the rig that names it is told so.
    #[must_use]
    pub fn with_series_of(&self, rig: &Text<'_>, open: Open<'_>) -> Cow<'_, Self> {
        let mut shelf = Cow::Borrowed(self);
        for path in rig::series_named(rig.text) {
            let shows = shown(&path, &self.book, open);
            shelf.to_mut().book.add_series(path, shows);
        }
        shelf
    }

    /// Lists the practices: id, and what each is in a few words.
    pub fn practice_titles(&self) -> Vec<[String; 2]> {
        self.practices
            .iter()
            .map(|practice| [practice.id.clone(), practice.title.clone()])
            .collect()
    }

    /// Lists the practices by id.
    pub fn practices(&self) -> Vec<String> {
        self.practices.ids().map(str::to_string).collect()
    }
}

/// Finds what a series shows, by the path that a rig names it by; its logs lie beside it.
fn shown(path: &str, book: &Book, open: Open<'_>) -> Shown {
    let mut text = String::new();
    open(path)
        .and_then(|mut file| file.read_to_string(&mut text))
        .map_err(|error| error.to_string())?;
    let folder = Path::new(path).parent().unwrap_or(Path::new(""));
    let beside = |log: &str| open(&folder.join(log).to_string_lossy());
    let proved = read_series(&text).sound();
    let proved = proved.and_then(|series| prove(&series, book, &beside, Style::us()));
    proved.map(|proved| proved.evidence).map_err(|problems| {
        let first = problems.first().map(|problem| problem.says.as_str());
        let more = problems.len().saturating_sub(1);
        let more = if more > 0 {
            format!(", and {more} more")
        } else {
            String::new()
        };
        format!(
            "{}{more} (`plimsoll prove` tells all of it)",
            first.unwrap_or_default()
        )
    })
}

/// Reads a shop document.
pub fn shop(text: &Text<'_>) -> Result<Shop, Mistakes> {
    let read = rig::read_shop(text.text).sound();
    read.map_err(|problems| text.mistakes(problems))
}
