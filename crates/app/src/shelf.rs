//! The books and practices in use: the published ones with the shop's laid over them.

use crate::check::Text;
use crate::mistakes::Mistakes;
use parts::Book;
use practice::Practices;
use rig::Shop;

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

/// Reads a shop document.
pub fn shop(text: &Text<'_>) -> Result<Shop, Mistakes> {
    let reading = rig::read_shop(text.text);
    if reading.problems.is_empty() {
        Ok(reading.value)
    } else {
        Err(text.mistakes(reading.problems))
    }
}
