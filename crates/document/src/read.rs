//! Reads a text against a shape, collecting every mistake.

use crate::problem::Problem;
use crate::range::{self, MOST_COUNT};
use crate::shape::{Key, Need, Shape, Takes, with_article};
use quantity::Kind;
use std::cell::RefCell;
use std::fmt;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

/// A value together with the bytes of the text it was read from.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed<T> {
    /// The value.
    pub value: T,
    /// Where it stands.
    pub at: Range<usize>,
}

/// What reading a text came to.
#[derive(Debug)]
pub struct Reading<T> {
    /// What was built; complete only if there are no problems.
    pub value: T,
    /// Every mistake found, in no particular order.
    pub problems: Vec<Problem>,
}

impl<T> Reading<T> {
    /// Gives what was built, if nothing is wrong with the text; else all that is.
    ///
    /// # Errors
    ///
    /// Every mistake found.
    pub fn sound(self) -> Result<T, Vec<Problem>> {
        if self.problems.is_empty() {
            Ok(self.value)
        } else {
            Err(self.problems)
        }
    }
}

/// Reads `text` against `shape` and lets `build` take out what it holds.
///
/// All of the text is checked before `build` sees it, so `build` need only say what it wants: a key that is
/// missing or wrong has been reported and simply is not there. Where the text is not TOML, the first place where it is
/// not is reported, since more may follow from it; part of the text is lost, so nothing is said to be missing and what
/// `build` misses is not reported.
pub fn read<T>(text: &str, shape: &'static Shape, build: impl FnOnce(&Table<'_>) -> T) -> Reading<T> {
    let (root, errors) = DeTable::parse_recoverable(text);
    let problems = RefCell::new(Vec::new());
    if let Some(error) = errors.first() {
        let at = error.span().unwrap_or(0..0);
        let problem = Problem::new(at, format!("not TOML: {}", error.message()));
        problems
            .borrow_mut()
            .push(problem.instead("mend this first; more may show once the whole file can be read"));
    }
    let is_whole = problems.borrow().is_empty();
    let table = Table {
        shape,
        entries: root.get_ref(),
        at: 0..0,
        problems: &problems,
    };
    table.check("", is_whole);
    let seen = problems.borrow().len();
    let value = build(&table);
    let mut problems = problems.into_inner();
    if !is_whole {
        problems.truncate(seen);
        // What stands where the text is no TOML has been told.
        if let Some(first) = problems.first().map(|problem| problem.at.clone()) {
            let mut is_first = true;
            problems.retain(|problem| std::mem::take(&mut is_first) || problem.at != first);
        }
    }
    Reading { value, problems }
}

/// A table being read.
#[derive(Debug, Clone)]
pub struct Table<'a> {
    shape: &'static Shape,
    entries: &'a DeTable<'a>,
    at: Range<usize>,
    problems: &'a RefCell<Vec<Problem>>,
}

/// A value being read, together with the form it has to take.
#[derive(Debug, Clone)]
pub struct Value<'a> {
    takes: &'static Takes,
    node: &'a Spanned<DeValue<'a>>,
    problems: &'a RefCell<Vec<Problem>>,
}

impl<'a> Table<'a> {
    /// Gives the bytes the table stands on; for a table under a heading, the heading.
    pub fn at(&self) -> Range<usize> {
        self.at.clone()
    }

    /// Adds a mistake that only the builder can see, such as a name that leads nowhere.
    pub fn problem(&self, problem: Problem) {
        self.problems.borrow_mut().push(problem);
    }

    /// Tells whether nothing is written in it.
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    /// Tells whether the key is written, rightly or wrongly.
    pub fn has(&self, key: &str) -> bool {
        self.entries.get(key).is_some()
    }

    /// Gives the value of a key if it is written and has the right form.
    pub fn value(&self, key: &str) -> Option<Value<'a>> {
        self.entry(key).filter(Value::is_right)
    }

    /// Gives the value of a key if it is written, rightly or wrongly.
    fn entry(&self, key: &str) -> Option<Value<'a>> {
        let takes = &self.shape.key(key)?.takes;
        let node = self.entries.get(key)?;
        Some(Value {
            takes,
            node,
            problems: self.problems,
        })
    }

    /// Gives a text, a word or a day.
    pub fn text(&self, key: &str) -> Option<Placed<String>> {
        self.value(key)?.text()
    }

    /// Gives `true` or `false`.
    pub fn flag(&self, key: &str) -> Option<bool> {
        self.value(key)?.node.get_ref().as_bool()
    }

    /// Gives a whole number.
    pub fn count(&self, key: &str) -> Option<u32> {
        self.value(key)?.count()
    }

    /// Gives a plain number or a quantity, in SI units.
    pub fn si(&self, key: &str) -> Option<Placed<f64>> {
        // What does not read as a number gives none by itself, so that it need not be read twice.
        self.entry(key)?.si()
    }

    /// Gives a number or a quantity that is more than zero, in SI units; another is a mistake.
    pub fn positive(&self, key: &str) -> Option<f64> {
        let value = self.si(key)?;
        if value.value > 0.0 {
            return Some(value.value);
        }
        let problem = Problem::new(value.at, format!("`{key}` is not more than zero"));
        self.problem(problem.instead("a value above zero is due"));
        None
    }

    /// Gives a number or a quantity that is not negative, in SI units; another is a mistake.
    pub fn not_negative(&self, key: &str) -> Option<f64> {
        self.at_least(key, 0.0, "it can not be negative")
    }

    /// Gives a number or a quantity that is no less than `least`, in SI units; another is a mistake, and `why` says why.
    pub fn at_least(&self, key: &str, least: f64, why: &str) -> Option<f64> {
        let value = self.si(key)?;
        if value.value >= least {
            return Some(value.value);
        }
        self.problem(Problem::new(value.at, format!("`{key}` is too small")).instead(why));
        None
    }

    /// Gives three plain numbers or quantities, in SI units.
    pub fn triple(&self, key: &str) -> Option<Placed<[f64; 3]>> {
        self.value(key)?.triple()
    }

    /// Gives the items of a list; none if the key is not there.
    pub fn list(&self, key: &str) -> Vec<Value<'a>> {
        self.value(key).map(|value| value.list()).unwrap_or_default()
    }

    /// Gives the names under a key with their values, in the order of the document.
    pub fn names(&self, key: &str) -> Vec<(Placed<String>, Value<'a>)> {
        self.value(key).map(|value| value.names()).unwrap_or_default()
    }

    /// Gives the table under a key.
    pub fn table(&self, key: &str) -> Option<Table<'a>> {
        self.value(key)?.table()
    }

    /// Reports every key that is unknown, missing, not yet usable or wrong. `name` is the table's own name; only in a
    /// whole text can a key be missing.
    fn check(&self, name: &str, is_whole: bool) {
        let whose = if name.is_empty() {
            with_article(self.shape.name)
        } else {
            format!("`{name}`")
        };
        for (key, node) in self.entries {
            let Some(known) = self.shape.key(key.get_ref()) else {
                let says = format!("{whose} has no key `{}`", key.get_ref());
                let problem = Problem::new(key.span(), says);
                self.problem(self.with_key_meant(problem, key.get_ref(), node));
                continue;
            };
            if let Need::NotYet(meanwhile) = known.need {
                let says = format!("`{}` can not be used yet", known.name);
                self.problem(Problem::new(key.span(), says).instead(meanwhile));
                continue;
            }
            Value {
                takes: &known.takes,
                node,
                problems: self.problems,
            }
            .check(known.name, is_whole);
        }
        for key in self
            .shape
            .keys
            .iter()
            .filter(|key| is_whole && key.need == Need::Required && !self.has(key.name))
        {
            let says = format!("{whose} lacks the key `{}`", key.name);
            self.problem(Problem::new(self.at(), says).instead(missing(key)));
        }
    }

    /// Adds the key that was probably meant: the nearest, or else the only one that is due and takes such a value.
    fn with_key_meant(&self, problem: Problem, written: &str, node: &'a Spanned<DeValue<'a>>) -> Problem {
        let names = || self.shape.keys.iter().map(|key| key.name);
        let takes_it = |key: &&'static Key| {
            let value = Value {
                takes: &key.takes,
                node,
                problems: self.problems,
            };
            key.need == Need::Required && !self.has(key.name) && value.is_right()
        };
        let mut due = self.shape.keys.iter().filter(takes_it);
        match (crate::problem::nearest(written, names()), due.next(), due.next()) {
            (None, Some(only), None) => problem.instead(format!("did you mean `{}`?", only.name)),
            _ => problem.nearest(written, names()),
        }
    }
}

/// Says what to write for a key that is missing.
fn missing(key: &Key) -> String {
    format!("`{} = ...` takes {}", key.name, key.takes.due())
}

impl<'a> Value<'a> {
    /// Gives the bytes the value stands on.
    pub fn at(&self) -> Range<usize> {
        self.node.span()
    }

    /// Adds a mistake that only the builder can see.
    pub fn problem(&self, says: impl Into<String>, instead: impl Into<String>) {
        self.problems
            .borrow_mut()
            .push(Problem::new(self.at(), says).instead(instead));
    }

    /// Gives a text, a word or a day.
    pub fn text(&self) -> Option<Placed<String>> {
        let value = match self.node.get_ref() {
            DeValue::String(text) => text.to_string(),
            DeValue::Datetime(day) => day.to_string(),
            _ => return None,
        };
        Some(Placed { value, at: self.at() })
    }

    /// Gives a whole number.
    pub fn count(&self) -> Option<u32> {
        whole_number(self.node.get_ref())
    }

    /// Gives a plain number or a quantity, in SI units.
    pub fn si(&self) -> Option<Placed<f64>> {
        let value = match self.takes {
            Takes::Quantity(kind) | Takes::QuantityOr(kind, _) | Takes::WordOr(_, Takes::Quantity(kind)) => {
                quantity(*kind, self.node.get_ref().as_str()?).ok()?
            }
            _ => plain_number(self.node.get_ref())?,
        };
        Some(Placed { value, at: self.at() })
    }

    /// Gives three plain numbers or quantities, in SI units.
    pub fn triple(&self) -> Option<Placed<[f64; 3]>> {
        let items = self.list();
        let [x, y, z] = items.as_slice() else { return None };
        Some(Placed {
            value: [x.si()?.value, y.si()?.value, z.si()?.value],
            at: self.at(),
        })
    }

    /// Gives the items of a list that have the right form.
    pub fn list(&self) -> Vec<Value<'a>> {
        let (Takes::List(inner) | Takes::Triple(inner)) = self.takes else {
            return Vec::new();
        };
        let Some(items) = self.node.get_ref().as_array() else {
            return Vec::new();
        };
        let each = |node| Value {
            takes: inner,
            node,
            problems: self.problems,
        };
        nodes(items).map(each).filter(Value::is_right).collect()
    }

    /// Gives the names with their values, in the order of the document.
    pub fn names(&self) -> Vec<(Placed<String>, Value<'a>)> {
        let (Takes::Names(inner), Some(entries)) = (self.takes, self.node.get_ref().as_table()) else {
            return Vec::new();
        };
        let each = |(key, node): (&'a Spanned<_>, &'a Spanned<DeValue<'a>>)| {
            let key: &Spanned<std::borrow::Cow<'a, str>> = key;
            let name = Placed {
                value: key.get_ref().to_string(),
                at: key.span(),
            };
            (
                name,
                Value {
                    takes: inner,
                    node,
                    problems: self.problems,
                },
            )
        };
        entries
            .iter()
            .map(each)
            .filter(|(_, value)| value.is_right())
            .collect()
    }

    /// Gives the table that the value is.
    pub fn table(&self) -> Option<Table<'a>> {
        let (Takes::Table(shape)
        | Takes::TextOr(Takes::Table(shape))
        | Takes::QuantityOr(_, Takes::Table(shape))) = self.takes
        else {
            return None;
        };
        let entries = self.node.get_ref().as_table()?;
        Some(Table {
            shape,
            entries,
            at: self.at(),
            problems: self.problems,
        })
    }

    /// Tells whether the value itself has the right form; what stands inside it is not looked at.
    fn is_right(&self) -> bool {
        let node = self.node.get_ref();
        match self.takes {
            Takes::Text => node.as_str().is_some_and(|text| !text.trim().is_empty()),
            Takes::Flag => node.is_bool(),
            Takes::Count => whole_number(node).is_some(),
            Takes::Number => plain_number(node).is_some(),
            Takes::Quantity(kind) => node.as_str().is_some_and(|text| quantity(*kind, text).is_ok()),
            Takes::Date => is_day(node),
            Takes::Word(words) => node.as_str().is_some_and(|text| words.contains(&text)),
            Takes::List(_) => node.is_array(),
            Takes::Triple(_) => node.as_array().is_some_and(|items| nodes(items).count() == 3),
            Takes::Names(_) | Takes::Table(_) => node.is_table(),
            Takes::TextOr(inner) => {
                node.as_str().is_some_and(|text| !text.trim().is_empty())
                    || Value {
                        takes: inner,
                        ..self.clone()
                    }
                    .is_right()
            }
            Takes::QuantityOr(kind, inner) => {
                let written = node.as_str().map(|text| quantity(*kind, text).is_ok());
                written.unwrap_or_else(|| {
                    let inner = Value {
                        takes: inner,
                        ..self.clone()
                    };
                    inner.is_right()
                })
            }
            Takes::WordOr(word, inner) => {
                node.as_str() == Some(word)
                    || Value {
                        takes: inner,
                        ..self.clone()
                    }
                    .is_right()
            }
        }
    }

    /// Reports what is wrong with the value and with all that stands inside it. `name` is the key it belongs to.
    fn check(&self, name: &str, is_whole: bool) {
        if !self.is_right() {
            let (says, instead) = self.mistake(name);
            let problem = Problem::new(self.at(), says);
            self.problems.borrow_mut().push(match instead {
                Some(instead) => problem.instead(instead),
                None => problem,
            });
            return;
        }
        match self.takes {
            Takes::List(inner) | Takes::Triple(inner) => {
                for node in self.node.get_ref().as_array().into_iter().flat_map(nodes) {
                    Value {
                        takes: inner,
                        node,
                        problems: self.problems,
                    }
                    .check(name, is_whole);
                }
            }
            Takes::Names(inner) => {
                for (key, node) in self.node.get_ref().as_table().into_iter().flatten() {
                    Value {
                        takes: inner,
                        node,
                        problems: self.problems,
                    }
                    .check(key.get_ref(), is_whole);
                }
            }
            Takes::Table(_) => {
                if let Some(table) = self.table() {
                    table.check(name, is_whole);
                }
            }
            Takes::TextOr(inner) | Takes::QuantityOr(_, inner) if !self.node.get_ref().is_str() => {
                Value {
                    takes: inner,
                    ..self.clone()
                }
                .check(name, is_whole);
            }
            Takes::WordOr(word, inner) if self.node.get_ref().as_str() != Some(word) => {
                Value {
                    takes: inner,
                    ..self.clone()
                }
                .check(name, is_whole);
            }
            _ => {}
        }
    }

    /// Says what is wrong with this value and what would be right.
    fn mistake(&self, name: &str) -> (String, Option<String>) {
        let node = self.node.get_ref();
        if let Takes::WordOr(word, inner) = self.takes {
            let (says, instead) = Value {
                takes: inner,
                ..self.clone()
            }
            .mistake(name);
            let or = format!("or write `\"{word}\"`");
            return (
                says,
                Some(instead.map_or(or.clone(), |instead| format!("{instead}; {or}"))),
            );
        }
        match (self.takes, node) {
            (Takes::Quantity(kind) | Takes::QuantityOr(kind, _), DeValue::String(text)) => {
                match quantity(*kind, text) {
                    Err(Unread { says, instead }) => (format!("`{name}`: {says}"), instead),
                    Ok(_) => (format!("`{name}` is wrong"), None),
                }
            }
            (Takes::Quantity(kind) | Takes::QuantityOr(kind, _), DeValue::Integer(_) | DeValue::Float(_)) => {
                (
                    format!(
                        "`{name}` is a bare number, but {} with its unit is due",
                        with_article(kind.name())
                    ),
                    Some(format!(
                        "write it with its unit and in quotes, such as `\"{}\"`",
                        kind.example()
                    )),
                )
            }
            (Takes::Number, DeValue::Integer(_) | DeValue::Float(_)) => (
                format!("`{name}` is not a number that can be meant"),
                Some(range::of(Kind::Number).allowed(Kind::Number, f64::INFINITY)),
            ),
            (Takes::Date, DeValue::String(text)) if is_day_in_form(text) => {
                let says = format!("`{name}`: there is no day `{text}`");
                (says, Some(format!("{} is due", self.takes.due())))
            }
            (Takes::Count, DeValue::Integer(_) | DeValue::Float(_)) => (
                format!("`{name}` is not a whole number from 0 up to {MOST_COUNT}"),
                Some(format!("{} is due", self.takes.due())),
            ),
            (Takes::Word(words), DeValue::String(text)) => {
                let near = crate::problem::nearest(text, words.iter().copied());
                let says = format!("`{name}` can not be `\"{text}\"`");
                (
                    says,
                    Some(near.map_or_else(|| self.takes.due(), |near| format!("did you mean `\"{near}\"`?"))),
                )
            }
            (Takes::Text | Takes::TextOr(_), DeValue::String(_)) => {
                (format!("`{name}` is empty"), Some(self.takes.due()))
            }
            (Takes::Triple(_), DeValue::Array(items)) => {
                let says = format!("`{name}` has {} values, three are due", nodes(items).count());
                (says, Some("write `[x, y, z]`; z is up".into()))
            }
            _ => {
                let says = format!("`{name}` is {}", written(node));
                (says, Some(format!("{} is due", self.takes.due())))
            }
        }
    }
}

fn nodes<'a>(items: &'a DeArray<'a>) -> impl Iterator<Item = &'a Spanned<DeValue<'a>>> {
    items.iter()
}

/// Names what is written, for messages.
fn written(node: &DeValue<'_>) -> &'static str {
    match node {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "`true` or `false`",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

fn whole_number(node: &DeValue<'_>) -> Option<u32> {
    let integer = node.as_integer()?;
    let count = u32::from_str_radix(integer.as_str(), integer.radix()).ok()?;
    (count <= MOST_COUNT).then_some(count)
}

/// Why a written quantity is not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unread {
    /// What is wrong with it.
    pub says: String,
    /// What would be right.
    pub instead: Option<String>,
}

impl fmt::Display for Unread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.says)?;
        self.instead
            .iter()
            .try_for_each(|instead| write!(f, "; {instead}"))
    }
}

impl std::error::Error for Unread {}

/// Reads a written quantity of a size that can be meant; gives its SI value.
pub fn quantity(kind: Kind, text: &str) -> Result<f64, Unread> {
    let si = kind.parse_si(text).map_err(|error| Unread {
        says: error.to_string(),
        instead: None,
    })?;
    let range = range::of(kind);
    if range.holds(si) {
        return Ok(si);
    }
    Err(Unread {
        says: format!("`{text}` {}", range.says(si)),
        instead: Some(range.allowed(kind, si)),
    })
}

fn plain_number(node: &DeValue<'_>) -> Option<f64> {
    let number = match node {
        DeValue::Integer(integer) => i64::from_str_radix(integer.as_str(), integer.radix()).ok()? as f64,
        DeValue::Float(float) => float.as_str().parse().ok()?,
        _ => return None,
    };
    range::of(Kind::Number).holds(number).then_some(number)
}

/// Tells whether a text is written as a day is, whether or not there is such a day.
fn is_day_in_form(text: &str) -> bool {
    let pieces: Vec<&str> = text.split('-').collect();
    pieces.iter().map(|piece| piece.len()).eq([4, 2, 2])
        && pieces.concat().bytes().all(|byte| byte.is_ascii_digit())
}

/// Tells whether a value is a day such as `2026-03-14`, with or without quotes.
fn is_day(node: &DeValue<'_>) -> bool {
    let day_only = |d: &toml::value::Datetime| d.date.is_some() && d.time.is_none() && d.offset.is_none();
    match node {
        DeValue::Datetime(day) => day_only(day),
        DeValue::String(text) => text
            .parse::<toml::value::Datetime>()
            .is_ok_and(|day| day_only(&day)),
        _ => false,
    }
}
