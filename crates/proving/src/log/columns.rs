//! Which column is what, and in which unit.
//!
//! Conventions: columns by their place, from nought; told to people from one.
//! Assumes: names say what columns are; without names what rises from the first is time.
//! Valid for: one column of force. Of two that may be it none is taken.
//! Source: our judgement. A unit of force is never guessed.
//! Checked by: tests/logs.rs.

use crate::log::clock::{DAY_S, clock};
use crate::log::dialect::{Field, Rows, value};
use crate::log::error::LogError;
use crate::log::heading::{Column, Heading, Role, kinds};
use crate::log::number::number_and_word;
use crate::log::read::{Asked, Reading};
use crate::log::rows::{Plan, Timed};
use crate::log::units::{Measure, Unit};

/// Says what is taken from each row.
pub(crate) fn plan(
    lines: &[&[u8]],
    rows: &Rows,
    heading: &Heading,
    asked: &Asked,
    reading: &mut Reading,
) -> Result<Plan, LogError> {
    let kinds = kinds(lines, rows);
    let chosen = Chosen {
        lines,
        rows,
        heading,
        kinds: &kinds,
    };
    let own = |column: Option<usize>| match column {
        Some(column) if (1..=rows.width).contains(&column) => Ok(Some(column - 1)),
        Some(column) => Err(LogError::NoColumn {
            column,
            width: rows.width,
        }),
        None => Ok(None),
    };
    let (time, force, travel) = (
        own(asked.time_column)?,
        own(asked.force_column)?,
        own(asked.travel_column)?,
    );
    let time = time.or_else(|| chosen.time(asked.rate_hz.is_none()));
    let force = match force {
        Some(force) => force,
        None => chosen.force(time, travel)?,
    };
    let travel = travel.or_else(|| chosen.travel(time, force, reading));
    let word = chosen.word(force)?;
    let unit = chosen.force_unit(force, &word, asked)?;
    reading.force_unit = unit.name.to_string();
    reading.force_column = chosen.in_words(force);
    if let Some(says) = &heading.scale {
        reading.ignored.push(format!(
            "`{says}` in the heading: nothing is multiplied; export forces as they are, if it is about them"
        ));
    }
    if chosen.column(force).is_filtered() {
        reading.assumed.push(format!(
            "column {}: what is filtered takes the top off a peak, and hides short falls; log what is not filtered",
            reading.force_column
        ));
    }
    let travel = match travel {
        Some(column) => chosen.travel_plan(column, asked, reading)?,
        None => None,
    };
    let timed = chosen.timed(time, asked, reading)?;
    Ok(Plan {
        dialect: rows.dialect,
        timed,
        force: (force, unit.factor),
        force_word: word,
        travel,
    })
}

/// A sum is one to this share of its greatest value.
const IS_SUM: f64 = 0.005;

/// The beginning of a log, from which columns are chosen.
struct Chosen<'a> {
    lines: &'a [&'a [u8]],
    rows: &'a Rows,
    heading: &'a Heading,
    kinds: &'a [Field],
}

impl Chosen<'_> {
    fn in_words(&self, column: usize) -> String {
        let name = &self.heading.columns[column].name;
        if name.is_empty() {
            format!("{}", column + 1)
        } else {
            format!("{} ({name})", column + 1)
        }
    }

    fn list(&self, columns: impl Iterator<Item = usize>) -> String {
        columns
            .map(|column| self.in_words(column))
            .collect::<Vec<_>>()
            .join(", ")
    }

    fn column(&self, column: usize) -> &Column {
        &self.heading.columns[column]
    }

    fn numbers(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.rows.width).filter(|column| self.kinds[*column] == Field::Number)
    }

    /// Columns with a role, the surest only.
    fn with(&self, role: Role) -> Vec<usize> {
        let sure = |column: &usize| {
            self.column(*column)
                .role()
                .filter(|(own, _)| *own == role)
                .map(|(_, sure)| sure)
        };
        let surest = self.numbers().filter_map(|column| sure(&column)).max();
        self.numbers()
            .filter(|column| sure(column).is_some() && sure(column) == surest)
            .collect()
    }

    /// The fields of a column in the rows that were looked at.
    fn fields(&self, column: usize) -> Vec<&[u8]> {
        let mut places = Vec::new();
        let lines = self.lines[self.rows.first..].iter();
        let field = |line: &&'_ [u8]| -> Option<std::ops::Range<usize>> {
            self.rows.dialect.separator.split(line, &mut places);
            (places.len() == self.rows.width).then(|| places[column].clone())
        };
        let found: Vec<Option<std::ops::Range<usize>>> = lines.clone().map(field).collect();
        lines
            .zip(found)
            .filter_map(|(line, place)| Some(&line[place?]))
            .collect()
    }

    fn values(&self, column: usize) -> Vec<f64> {
        let fields = self.fields(column).into_iter();
        fields
            .filter_map(|field| value(field, self.rows.dialect.writing))
            .collect()
    }

    /// Whether a column rises from row to row, but where a row stands twice or the clock was set.
    fn rises(&self, column: usize) -> bool {
        let values = self.values(column);
        let steps = || values.windows(2).map(|pair| pair[1] - pair[0]);
        let rise: f64 = steps().filter(|step| *step > 0.0).sum();
        let back: f64 = -steps().filter(|step| *step < 0.0).sum::<f64>();
        values.len() > 2
            && rise > 0.0
            && back < 0.7 * rise
            && 20 * steps().filter(|step| *step < 0.0).count() <= values.len()
    }

    /// Whether a column counts rows.
    fn is_count(&self, column: usize) -> bool {
        let values = self.values(column);
        let by_one = values.windows(2).filter(|pair| pair[1] - pair[0] == 1.0).count();
        values.len() > 2
            && 10 * by_one >= 9 * (values.len() - 1)
            && values.iter().all(|value| value.fract() == 0.0)
    }

    fn clock(&self) -> Option<usize> {
        (0..self.rows.width).find(|column| self.kinds[*column] == Field::Clock)
    }

    /// Finds the column of the time: by its name, or, if that may be guessed, the first that rises of columns without names.
    fn time(&self, may_guess: bool) -> Option<usize> {
        let named = self.with(Role::Time);
        // A number of seconds is better than a clock that has no parts of them.
        let rises = named.iter().copied().find(|column| self.rises(*column));
        let no_names = self
            .heading
            .columns
            .iter()
            .all(|column| column.name.is_empty() && column.unit.is_empty());
        let first = || {
            let first = self.numbers().next()?;
            (self.numbers().count() >= 2 && self.rises(first) && !self.is_count(first)).then_some(first)
        };
        rises
            .or_else(|| self.clock())
            .or_else(|| named.first().copied())
            .or_else(|| if no_names && may_guess { first() } else { None })
    }

    fn force(&self, time: Option<usize>, travel: Option<usize>) -> Result<usize, LogError> {
        let has_unit = |column: &usize| {
            Unit::read(&self.column(*column).unit, Measure::Force).is_some()
                || self
                    .word(*column)
                    .is_ok_and(|word| !word.is_empty() && Unit::read(&word, Measure::Force).is_some())
        };
        let is_other = |column: &usize| Some(*column) == time || Some(*column) == travel;
        let named: Vec<usize> = self
            .with(Role::Force)
            .into_iter()
            .filter(|column| !is_other(column))
            .collect();
        // Of two that are named alike, the one with a unit of force.
        let with_unit: Vec<usize> = named.iter().copied().filter(has_unit).collect();
        match (named.as_slice(), with_unit.as_slice()) {
            ([force], _) | (_, [force]) => return Ok(*force),
            ([_, ..], _) => return Err(self.many_forces(named, &has_unit)),
            ([], _) => {}
        }
        // Names that do not stand over their columns say nothing of any.
        let is_named = |column: usize| matches!(self.column(column).role(), Some((Role::Force, 2)));
        let names_words = (0..self.rows.width)
            .any(|column| is_named(column) && matches!(self.kinds[column], Field::Clock | Field::Day));
        if names_words {
            return Err(LogError::NoForce {
                columns: self.list(self.numbers()),
            });
        }
        let is_free = |column: &usize| {
            let own = self.column(*column);
            let is_something_else = own.role().is_some()
                || own.is_about()
                || own.counts_rows()
                || self.rows.width > 1 && self.is_count(*column);
            !is_other(column) && !is_something_else
        };
        let left: Vec<usize> = self.numbers().filter(is_free).collect();
        let with_unit: Vec<usize> = left.iter().copied().filter(has_unit).collect();
        match (left.as_slice(), with_unit.as_slice()) {
            (_, [force]) => Ok(*force),
            (_, [_, _, ..]) => Err(self.many_forces(with_unit, &has_unit)),
            ([force], []) if self.column(*force).name.is_empty() => Ok(*force),
            _ => Err(LogError::NoForce {
                columns: self.list(self.numbers()),
            }),
        }
    }

    /// Says which columns may be the force, and whether one of them is the sum of the others: then each of those is a part of it.
    fn many_forces(&self, named: Vec<usize>, has_unit: &impl Fn(&usize) -> bool) -> LogError {
        let may_be = |column: &usize| named.contains(column) || has_unit(column);
        let all: Vec<usize> = self.numbers().filter(may_be).collect();
        let values: Vec<Vec<f64>> = all.iter().map(|column| self.values(*column)).collect();
        let is_sum = |own: &usize| {
            let sum = |row: usize| -> f64 { values.iter().filter_map(|column| column.get(row)).sum() };
            let own = &values[*own];
            let most = own.iter().copied().map(f64::abs).fold(0.0, f64::max);
            let is_twice = |(row, value): (usize, &f64)| (sum(row) - 2.0 * value).abs() <= IS_SUM * most;
            most > 0.0 && own.iter().enumerate().all(is_twice)
        };
        let sum = (0..all.len()).find(|own| all.len() > 2 && is_sum(own));
        LogError::ManyForces {
            first: sum.map_or_else(
                || all.get(1).or(all.first()).copied().unwrap_or(0),
                |own| all[own],
            ) + 1,
            sum: sum.map_or_else(String::new, |own| {
                format!("; {} is the sum of the others", self.in_words(all[own]))
            }),
            columns: self.list(all.into_iter()),
        }
    }

    /// Finds the column of the travel: of several that of the machine, and of those the first.
    fn travel(&self, time: Option<usize>, force: usize, reading: &mut Reading) -> Option<usize> {
        let mut named = self.with(Role::Travel);
        named.retain(|column| *column != force && Some(*column) != time);
        let of_machine = named
            .iter()
            .copied()
            .find(|column| self.column(*column).is_machine());
        let travel = of_machine.or(named.first().copied())?;
        let others: Vec<usize> = named.into_iter().filter(|column| *column != travel).collect();
        if !others.is_empty() {
            let (others, travel) = (self.list(others.into_iter()), self.in_words(travel));
            reading.ignored.push(format!(
                "column {others}: the travel is taken from column {travel}"
            ));
        }
        Some(travel)
    }

    /// The word after the numbers of a column; empty where there is none.
    fn word(&self, column: usize) -> Result<String, LogError> {
        let mut word: Option<String> = None;
        for field in self.fields(column) {
            let Some((_, own)) = number_and_word(field, self.rows.dialect.writing) else {
                continue;
            };
            let own = String::from_utf8_lossy(own).into_owned();
            match &word {
                Some(first) if *first != own => {
                    return Err(LogError::MixedUnits {
                        first: first.clone(),
                        other: own,
                    });
                }
                _ => word = Some(own),
            }
        }
        Ok(word.unwrap_or_default())
    }

    /// Finds the unit of the force. Never guessed.
    fn force_unit(&self, force: usize, word: &str, asked: &Asked) -> Result<Unit, LogError> {
        let column = self.column(force);
        let units = Unit::forces();
        let name = if column.name.is_empty() {
            format!("{}", force + 1)
        } else {
            column.name.clone()
        };
        let own = [column.unit.as_str(), word].map(|text| Unit::read(text, Measure::Force));
        let said: Vec<Unit> = own
            .into_iter()
            .chain([self.heading.force_unit])
            .flatten()
            .collect();
        if let Some(other) = said.iter().find(|unit| unit.name != said[0].name) {
            let (first, other) = (said[0].name.to_string(), other.name.to_string());
            return Err(LogError::MixedUnits { first, other });
        }
        // What stands with the column and is no unit of force says that no other line is about it.
        let strange = [column.unit.as_str(), word]
            .into_iter()
            .zip(own)
            .find(|(text, own)| !text.is_empty() && own.is_none());
        match (asked.force_unit, said.first(), strange) {
            (Some(asked), written, _) => agreed("force", Some(asked), written.copied()).map(|_| asked),
            (None, _, Some((unit, _))) => Err(LogError::UnknownUnit {
                unit: unit.to_string(),
                column: name,
                units,
            }),
            (None, Some(_), None) if self.heading.is_mixed && own == [None, None] => {
                Err(LogError::NoUnit { column: name, units })
            }
            (None, Some(written), None) => Ok(*written),
            (None, None, None) => Err(LogError::NoUnit { column: name, units }),
        }
    }

    fn travel_plan(
        &self,
        column: usize,
        asked: &Asked,
        reading: &mut Reading,
    ) -> Result<Option<(usize, f64)>, LogError> {
        let written = Unit::read(&self.column(column).unit, Measure::Travel);
        let after = || {
            self.word(column)
                .ok()
                .and_then(|word| Unit::read(&word, Measure::Travel))
        };
        let written = written.or_else(after).or(self.heading.travel_unit);
        let found = agreed("travel", asked.travel_unit, written)?;
        let name = self.in_words(column);
        let Some(unit) = found else {
            reading.ignored.push(format!(
                "column {name}: the log does not say its unit (say it: --travel-unit mm)"
            ));
            return Ok(None);
        };
        reading.travel_unit = unit.name.to_string();
        reading.travel_column = name;
        Ok(Some((column, unit.factor)))
    }

    fn timed(&self, time: Option<usize>, asked: &Asked, reading: &mut Reading) -> Result<Timed, LogError> {
        let Some(column) = time else {
            return match (asked.rate_hz, self.heading.rate_hz) {
                (Some(rate_hz), _) => Ok(Timed::Rate(rate_hz)),
                (None, Some(rate_hz)) => {
                    reading.assumed.push(format!("no column has the time: readings follow one another at the {rate_hz} Hz that the heading names"));
                    Ok(Timed::Rate(rate_hz))
                }
                (None, None) => Err(LogError::NoTime),
            };
        };
        if let Some(rate_hz) = asked.rate_hz {
            let name = self.in_words(column);
            reading.ignored.push(format!("column {name}: the {rate_hz} readings a second that were asked for are taken in place of its times"));
            return Ok(Timed::Rate(rate_hz));
        }
        reading.time_column = self.in_words(column);
        if self.kinds[column] == Field::Clock {
            let day = (0..self.rows.width).find(|other| self.kinds[*other] == Field::Day);
            return Ok(Timed::Clock {
                column,
                day,
                part: self.parts(column),
            });
        }
        let own = self.column(column);
        let after = || {
            self.word(column)
                .ok()
                .and_then(|word| Unit::read(&word, Measure::Time))
        };
        let unit = Unit::read(&own.unit, Measure::Time)
            .or_else(|| Unit::read(&own.name, Measure::Time))
            .or_else(after);
        let is_strange = unit.is_none() && names_units(&own.unit);
        let factor = match agreed("time", asked.time_unit, unit.or(self.heading.time_unit))? {
            Some(unit) => unit.factor,
            None if is_strange => {
                return Err(LogError::UnknownTime {
                    unit: own.unit.clone(),
                    column: own.name.clone(),
                });
            }
            None => self.guessed_time(column, reading),
        };
        Ok(Timed::Number { column, factor })
    }

    /// Finds a column of thousandths beside a clock: whole, below a thousand, and beginning anew each second.
    fn parts(&self, clock_column: usize) -> Option<(usize, f64)> {
        let told = self.fields(clock_column).into_iter().filter_map(clock);
        if told.into_iter().any(|told| told.seconds.fract() != 0.0) {
            return None;
        }
        let of = |column: usize| {
            let own = self.column(column);
            let unit =
                Unit::read(&own.name, Measure::Time).or_else(|| Unit::read(&own.unit, Measure::Time))?;
            let most = 1.0 / unit.factor;
            let values = self.values(column);
            let is_part = (999.0..1e7).contains(&most)
                && values
                    .iter()
                    .all(|value| value.fract() == 0.0 && (0.0..most).contains(value));
            is_part.then_some((column, unit.factor))
        };
        self.numbers().find_map(of)
    }

    /// What one of a time is, s, that has no unit. Counted since 1970 it may be in thousandths or less; a number of days has steps that no
    /// seconds have; a rate that the heading names tells seconds from thousandths.
    fn guessed_time(&self, column: usize, reading: &mut Reading) -> f64 {
        let values = self.values(column);
        let most = values.iter().copied().fold(0.0, f64::max);
        let mut steps: Vec<f64> = values
            .windows(2)
            .map(|pair| pair[1] - pair[0])
            .filter(|step| *step > 0.0)
            .collect();
        steps.sort_by(f64::total_cmp);
        let step = steps.get(steps.len() / 2).copied().unwrap_or(1.0);
        let by_rate = self.heading.rate_hz.and_then(|rate_hz| {
            [1.0, 1e-3, 1e-6]
                .into_iter()
                .find(|factor| (0.8..1.25).contains(&(step * factor * rate_hz)))
        });
        let (factor, unit) = match by_rate {
            Some(factor) => (
                factor,
                if factor == 1.0 {
                    "seconds"
                } else {
                    "parts of a second, by the rate that the heading names"
                },
            ),
            None if most > 1e17 => (1e-9, "billionths of a second since 1970"),
            None if most > 1e14 => (1e-6, "millionths of a second since 1970"),
            None if most > 1e11 => (1e-3, "thousandths of a second since 1970"),
            None if (1e4..1e5).contains(&most) && step < 2e-5 => (DAY_S, "days, as spreadsheets count them"),
            None if looks_like_thousandths(&values, step) => (
                1e-3,
                "thousandths of a second, as its large steps make likely (if not, say it: --time-unit s)",
            ),
            None => (1.0, "seconds"),
        };
        reading.assumed.push(format!("time without a unit is in {unit}"));
        factor
    }
}

/// Steps of whole numbers as long as this, in seconds, show nothing of a pull.
const LONG_STEP: f64 = 5.0;
/// No pull lasts so long, in seconds.
const LONG_PULL: f64 = 7200.0;

/// Tells whether a time without a unit counts thousandths: in seconds it would be read too seldom for a pull, or last too long.
fn looks_like_thousandths(values: &[f64], step: f64) -> bool {
    let span = values
        .last()
        .zip(values.first())
        .map_or(0.0, |(last, first)| last - first);
    let is_whole = values.iter().all(|value| value.fract() == 0.0);
    is_whole && step >= LONG_STEP || span > LONG_PULL
}

/// Tells whether a text that is no unit of time has units in it, of whatever measure.
fn names_units(text: &str) -> bool {
    let measures = [Measure::Time, Measure::Force, Measure::Travel];
    let mut tokens = text.split(|c: char| !c.is_alphabetic());
    tokens.any(|token| Unit::any(token, &measures).is_some())
}

/// Gives the unit that was asked for or is written; they may not differ.
fn agreed(what: &'static str, asked: Option<Unit>, written: Option<Unit>) -> Result<Option<Unit>, LogError> {
    match (asked, written) {
        (Some(asked), Some(written)) if asked.name != written.name => Err(LogError::OtherUnit {
            what,
            written: written.name.to_string(),
            asked: asked.name.to_string(),
        }),
        _ => Ok(asked.or(written)),
    }
}
