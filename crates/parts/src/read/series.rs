//! What all series of parts have in common.

use super::Reading;
use super::figures::{least_of, others, positive};
use crate::part::{Body, Part, Rating};
use document::{Problem, Table};
use quantity::Kind;
use working::{Number, Source};

/// A series of parts, or a single part, being read.
pub(crate) struct Series<'a> {
    pub table: &'a Table<'a>,
    pub reading: &'a Reading<'a>,
    pub id: String,
    pub name: String,
    pub source: Source,
    complete: bool,
    notes: Vec<String>,
    invented: bool,
}

impl<'a> Series<'a> {
    /// Reads what is common.
    ///
    /// A series whose id, name or source is wrong is read on, so that its other mistakes are told too; the parts
    /// that would stand on it are left out: see [`Series::complete`].
    pub fn read(table: &'a Table<'a>, reading: &'a Reading<'a>) -> Self {
        let (id, name, source) = (id(table), table.text("name"), reading.sources.cited(table));
        Series {
            table,
            reading,
            complete: id.is_some() && name.is_some() && source.is_some(),
            id: id.unwrap_or_default(),
            name: name.map(|name| name.value).unwrap_or_default(),
            source: source.unwrap_or_else(|| Source::stated("")),
            notes: super::figures::texts(table, "notes"),
            invented: table.flag("invented").unwrap_or(false),
        }
    }

    /// Gives the part on if the series that it stands on is written rightly.
    pub fn complete(&self, part: Option<Part>) -> Option<Part> {
        part.filter(|_| self.complete)
    }

    /// Makes the id of a size: `3/16 in` gives `...-3/16`, `5 mm` gives `...-5mm`, `M12` gives `...-m12`.
    pub fn part_id(&self, size: &str) -> String {
        let size = size.trim();
        let size = size.strip_suffix("in").map_or(size, str::trim_end);
        let joined = size.split_whitespace().collect::<String>().to_lowercase();
        format!("{}-{joined}", self.id)
    }

    /// Reads the citation under a key; without the key the source of the series holds.
    pub fn source_under(&self, key: &str) -> Option<Source> {
        self.reading.sources.cited_under(self.table, key, &self.source)
    }

    /// Makes a part of one size. `row` holds what the size says of itself.
    pub fn part(&self, id: String, row: &Table<'_>, body: Body, rating: Rating) -> Part {
        let mut notes = self.notes.clone();
        notes.extend(row.text("note").map(|note| note.value));
        let given = |what: &str, symbol: &str, kind, key| {
            let value = positive(row, key)?;
            Some(Number::given(
                format!("{what} of {id}"),
                symbol,
                kind,
                value,
                self.source.clone(),
            ))
        };
        // Only hardware has a length and a mass of its own here; the mass of a rope or a section is per length.
        let piece = !matches!(body, Body::Rope(_) | Body::Section(_));
        Part {
            name: self.name.clone(),
            length_m: given("length", "l", Kind::Length, "length").filter(|_| piece),
            mass_kg: if piece {
                given("mass", "m", Kind::Mass, "mass")
            } else {
                None
            },
            invented: self.invented,
            origin: self.reading.origin.clone(),
            notes,
            body,
            rating,
            id,
        }
    }

    /// Reads the working load of one size with its design factor; unrated if there is none.
    pub fn working_load(&self, id: &str, row: &Table<'_>, factor: Option<&Factor>) -> Option<Rating> {
        if !row.has("working_load") {
            return Some(Rating::Unrated("no working load is stated for it".into()));
        }
        let (what, load) = (format!("rating of {id}"), positive(row, "working_load")?);
        let figure = Number::given(what, "WLL", Kind::Force, load, self.source.clone());
        let others = others(row, "others", "load", &figure, &self.reading.sources);
        if factor.is_none() && self.table.has("design_factor") {
            return None; // wrongly written, which is reported
        }
        let design_factor = factor.map(|(value, source)| {
            Number::given(
                format!("design factor of {id}"),
                "n",
                Kind::Number,
                *value,
                source.clone(),
            )
        });
        Some(Rating::WorkingLoad {
            load: least_of(figure, others),
            design_factor,
        })
    }

    /// Reads the design factor of the series; none if none is stated.
    pub fn factor(&self) -> Option<Factor> {
        Some((factor(self.table)?, self.source_under("design_factor_from")?))
    }
}

/// A design factor with its source.
pub(crate) type Factor = (f64, Source);

/// Reads the id of a series or part: one word, so that it can stand in a makeup.
pub(crate) fn id(table: &Table<'_>) -> Option<String> {
    let id = table.text("id")?;
    if id
        .value
        .chars()
        .any(|c| c.is_whitespace() || c == '.' || c.is_uppercase())
    {
        let says = format!("the id `{}` has a space, a dot or a capital letter", id.value);
        table.problem(
            Problem::new(id.at, says)
                .instead("write it in small letters and hyphens, such as `rope-7x19-galv`"),
        );
        return None;
    }
    Some(id.value)
}

/// Reads a design factor, which is at least 1.
pub(crate) fn factor(table: &Table<'_>) -> Option<f64> {
    let says = "a design factor is breaking strength over working load, so at least 1";
    let instead = "write `design_factor = 5` for one fifth of the breaking strength";
    at_least_one(table, "design_factor", says, instead)
}

/// Reads a factor under a key; less than 1 is a mistake.
pub(crate) fn at_least_one(table: &Table<'_>, key: &str, says: &str, instead: &str) -> Option<f64> {
    let si = table.si(key)?;
    if si.value >= 1.0 {
        return Some(si.value);
    }
    table.problem(Problem::new(si.at, says).instead(instead));
    None
}
