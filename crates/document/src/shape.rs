//! What a document may hold: its tables, their keys, and what each key takes.

use quantity::Kind;

/// One table of a document: its name, its purpose and the keys it may hold.
#[derive(Debug)]
pub struct Shape {
    /// The name used in messages, as in "a line has no key ...".
    pub name: &'static str,
    /// One sentence on what the table is for.
    pub doc: &'static str,
    /// Every key the table may hold.
    pub keys: &'static [Key],
}

/// One key of a table.
#[derive(Debug)]
pub struct Key {
    /// The key as it is written.
    pub name: &'static str,
    /// What is written after the equals sign.
    pub takes: Takes,
    /// Whether it must, may, or may not yet be there.
    pub need: Need,
    /// One sentence on what it means.
    pub doc: &'static str,
}

/// Whether a key must be there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// Its absence is a mistake.
    Required,
    /// It may be left out.
    Optional,
    /// The document has a place for it, but this version can not use it; the text says what to do meanwhile.
    NotYet(&'static str),
}

/// What may be written as the value of a key.
#[derive(Debug)]
pub enum Takes {
    /// Free text that is not empty.
    Text,
    /// `true` or `false`.
    Flag,
    /// A whole number from 0 upward.
    Count,
    /// A plain number.
    Number,
    /// A number with its unit, in quotes.
    Quantity(Kind),
    /// A day, written as in `2026-03-14`.
    Date,
    /// One of these words.
    Word(&'static [&'static str]),
    /// A list of values of one form.
    List(&'static Takes),
    /// Exactly three values of one form.
    Triple(&'static Takes),
    /// Names of the writer's choosing, each with a value of one form.
    Names(&'static Takes),
    /// A table.
    Table(&'static Shape),
    /// Either of two forms, told apart by whether a text or something else is written.
    TextOr(&'static Takes),
    /// A number with its unit, in quotes, or else a value of another form.
    QuantityOr(Kind, &'static Takes),
    /// This word, or else a value of another form.
    WordOr(&'static str, &'static Takes),
}

impl Shape {
    /// Finds a key by name.
    pub fn key(&self, name: &str) -> Option<&'static Key> {
        self.keys.iter().find(|key| key.name == name)
    }

    /// Shows how such a table begins: the keys it must hold, or else its first two; never more than four.
    fn example(&self) -> String {
        let required = self.keys.iter().filter(|key| key.need == Need::Required);
        let least = if required.clone().count() == 0 { 2 } else { 0 };
        let shown: Vec<&Key> = required.chain(self.keys.iter().take(least)).take(4).collect();
        let rest = if shown.len() < self.keys.len() {
            ", ..."
        } else {
            ""
        };
        let keys: Vec<String> = shown.iter().map(|key| format!("{} = ...", key.name)).collect();
        keys.join(", ") + rest
    }
}

impl Key {
    /// Describes a key that must be there.
    pub const fn required(name: &'static str, takes: Takes, doc: &'static str) -> Self {
        Key {
            name,
            takes,
            need: Need::Required,
            doc,
        }
    }

    /// Describes a key that may be left out.
    pub const fn optional(name: &'static str, takes: Takes, doc: &'static str) -> Self {
        Key {
            name,
            takes,
            need: Need::Optional,
            doc,
        }
    }

    /// Describes a key that this version can not use; `meanwhile` says what to do instead.
    pub const fn not_yet(
        name: &'static str,
        takes: Takes,
        doc: &'static str,
        meanwhile: &'static str,
    ) -> Self {
        Key {
            name,
            takes,
            need: Need::NotYet(meanwhile),
            doc,
        }
    }
}

impl Takes {
    /// Says in words what is due, for messages and the reference.
    pub fn due(&self) -> String {
        match self {
            Takes::Text => "a text in quotes".into(),
            Takes::Flag => "`true` or `false`".into(),
            Takes::Count => "a whole number such as `24`".into(),
            Takes::Number => "a plain number such as `1.25`".into(),
            Takes::Quantity(kind) => {
                format!("{} such as `\"{}\"`", with_article(kind.name()), kind.example())
            }
            Takes::Date => "a day such as `\"2026-03-14\"`".into(),
            Takes::Word(words) => match words {
                [one] => format!("the word `\"{one}\"`"),
                _ => format!(
                    "one of {}",
                    words
                        .iter()
                        .map(|w| format!("`\"{w}\"`"))
                        .collect::<Vec<_>>()
                        .join(", ")
                ),
            },
            Takes::List(inner) => format!("a list `[...]`, each {}", inner.due()),
            Takes::Triple(inner) => format!("a list of three `[x, y, z]`, each {}", inner.due()),
            Takes::Names(inner) => format!("a table of names, each with {}", inner.due()),
            Takes::Table(shape) if shape.keys.is_empty() => "a table".into(),
            Takes::Table(shape) => format!("a table `{{ {} }}`", shape.example()),
            Takes::TextOr(inner) => format!("a text in quotes, or {}", inner.due()),
            Takes::QuantityOr(kind, inner) => format!("{}, or {}", Takes::Quantity(*kind).due(), inner.due()),
            Takes::WordOr(word, inner) => format!("`\"{word}\"`, or {}", inner.due()),
        }
    }
}

/// Puts `a` or `an` before a noun.
pub(crate) fn with_article(noun: &str) -> String {
    let article = if noun.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    };
    format!("{article} {noun}")
}
