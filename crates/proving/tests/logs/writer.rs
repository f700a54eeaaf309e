//! Readings as text, in as many ways as instruments have.

use crate::logs::chance::Chance;
use crate::logs::troubles::Reading;
use proving::log::{Measure, Unit};

/// How a clock is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Clock {
    Seconds,
    Milliseconds,
    Minutes,
    HourMinuteSecond,
    /// Wall clock, begun just before midnight.
    OverMidnight,
    /// A column of the date, and one of the time.
    DateAndTime,
    Iso,
    HalfDay,
    /// Without parts of a second.
    WholeSeconds,
    /// Without parts of a second, which stand in a column of their own.
    PartsBeside,
    /// Since 1970.
    Epoch,
    /// A rate in the preamble alone.
    Rate,
}

pub(crate) const CLOCKS: [Clock; 12] = [
    Clock::Seconds,
    Clock::Milliseconds,
    Clock::Minutes,
    Clock::HourMinuteSecond,
    Clock::OverMidnight,
    Clock::DateAndTime,
    Clock::Iso,
    Clock::HalfDay,
    Clock::WholeSeconds,
    Clock::PartsBeside,
    Clock::Epoch,
    Clock::Rate,
];

/// Where units stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Units {
    Brackets,
    RoundBrackets,
    Slash,
    LastWord,
    OwnRow,
    RowInBrackets,
    Preamble,
    AfterValues,
    Nowhere,
}

pub(crate) const UNITS: [Units; 8] = [
    Units::Brackets,
    Units::RoundBrackets,
    Units::Slash,
    Units::LastWord,
    Units::OwnRow,
    Units::RowInBrackets,
    Units::Preamble,
    Units::AfterValues,
];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Encoding {
    Utf8,
    Utf8Mark,
    Latin1,
    Utf16,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Language {
    English,
    German,
    French,
    Spanish,
}

pub(crate) const LANGUAGES: [Language; 4] = [
    Language::English,
    Language::German,
    Language::French,
    Language::Spanish,
];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Preamble {
    None,
    Short,
    /// Numbers, dates, and units of other things.
    Long,
}

/// How a log is written.
#[allow(clippy::struct_excessive_bools, reason = "each is a way of its own")]
#[derive(Debug, Clone)]
pub(crate) struct Style {
    pub(crate) separator: &'static str,
    pub(crate) decimal: char,
    pub(crate) thousands: &'static str,
    pub(crate) line_end: &'static str,
    pub(crate) encoding: Encoding,
    pub(crate) clock: Clock,
    pub(crate) force_unit: &'static str,
    pub(crate) travel_unit: Option<&'static str>,
    pub(crate) units: Units,
    pub(crate) language: Language,
    pub(crate) preamble: Preamble,
    pub(crate) has_index: bool,
    pub(crate) has_temperature: bool,
    pub(crate) has_second_sensor: bool,
    pub(crate) has_status: bool,
    pub(crate) has_comments: bool,
    pub(crate) is_travel_first: bool,
    pub(crate) is_quoted: bool,
    pub(crate) trails: bool,
    pub(crate) empty_lines: bool,
    pub(crate) repeats_header: bool,
    pub(crate) exponents: bool,
    pub(crate) is_cut_off: bool,
}

impl Default for Style {
    fn default() -> Self {
        Style {
            separator: ",",
            decimal: '.',
            thousands: "",
            line_end: "\n",
            encoding: Encoding::Utf8,
            clock: Clock::Seconds,
            force_unit: "kN",
            travel_unit: Some("mm"),
            units: Units::Brackets,
            language: Language::English,
            preamble: Preamble::None,
            has_index: false,
            has_temperature: false,
            has_second_sensor: false,
            has_status: false,
            has_comments: false,
            is_travel_first: false,
            is_quoted: false,
            trails: false,
            empty_lines: false,
            repeats_header: false,
            exponents: false,
            is_cut_off: false,
        }
    }
}

pub(crate) const FORCE_UNITS: [&str; 8] = ["N", "kN", "daN", "lbf", "kip", "kgf", "t", "lbs"];
pub(crate) const TRAVEL_UNITS: [&str; 3] = ["mm", "cm", "in"];

/// A column: its name, its unit, and its cells.
struct Column {
    name: &'static str,
    unit: String,
    cells: Vec<String>,
    is_number: bool,
}

impl Style {
    /// Any style that hangs together.
    pub(crate) fn any(chance: &mut Chance) -> Style {
        let decimal = chance.pick(&['.', '.', ',']);
        let separator = if decimal == ',' {
            chance.pick(&[";", "\t"])
        } else {
            chance.pick(&[",", ";", "\t", "|", ", "])
        };
        let units = chance.pick(&UNITS);
        let is_some = |chance: &mut Chance| chance.happens(0.2);
        let thousands = match (decimal, separator) {
            (_, ",") => chance.pick(&["", "", "'"]),
            ('.', ", ") => "",
            ('.', _) => chance.pick(&["", "", ",", "'", "\u{A0}", "\u{202F}"]),
            _ => chance.pick(&["", "", ".", "'", " ", "\u{A0}", "\u{202F}"]),
        };
        let narrow = thousands == "\u{202F}";
        Style {
            separator,
            decimal,
            thousands,
            line_end: chance.pick(&["\n", "\r\n"]),
            encoding: if narrow {
                chance.pick(&[Encoding::Utf8, Encoding::Utf8Mark])
            } else {
                chance.pick(&[
                    Encoding::Utf8,
                    Encoding::Utf8Mark,
                    Encoding::Latin1,
                    Encoding::Latin1,
                    Encoding::Utf16,
                ])
            },
            clock: chance.pick(&CLOCKS),
            force_unit: chance.pick(&FORCE_UNITS),
            travel_unit: if is_some(chance) {
                None
            } else {
                Some(chance.pick(&TRAVEL_UNITS))
            },
            units,
            language: chance.pick(&LANGUAGES),
            preamble: chance.pick(&[Preamble::None, Preamble::Short, Preamble::Long]),
            has_index: is_some(chance),
            has_temperature: is_some(chance),
            has_second_sensor: is_some(chance),
            has_status: is_some(chance),
            has_comments: is_some(chance),
            is_travel_first: is_some(chance),
            is_quoted: is_some(chance) && separator != "\t",
            trails: is_some(chance),
            empty_lines: is_some(chance),
            repeats_header: is_some(chance),
            exponents: is_some(chance) && thousands.is_empty(),
            is_cut_off: is_some(chance),
        }
    }

    /// The name of a quantity, in the language of the instrument.
    fn name(&self, english: &'static str) -> &'static str {
        let of = |names: [&'static str; 3]| match self.language {
            Language::English => english,
            Language::German => names[0],
            Language::French => names[1],
            Language::Spanish => names[2],
        };
        match english {
            "Force" => of(["Kraft", "Force", "Fuerza"]),
            "Travel" => of(["Weg", "Course", "Carrera"]),
            "Time" => of(["Zeit", "Temps", "Tiempo"]),
            "Date" => of(["Datum", "Date", "Fecha"]),
            "Temperature" => of(["Temperatur", "Température", "Temperatura"]),
            _ => english,
        }
    }

    fn number(&self, value: f64, decimals: usize) -> String {
        if self.exponents {
            return format!("{value:.7E}").replace('.', &self.decimal.to_string());
        }
        let text = format!("{:.decimals$}", value.abs());
        let (whole, part) = text
            .split_once('.')
            .map_or((text.as_str(), None), |(whole, part)| (whole, Some(part)));
        let mut grouped = String::new();
        for (at, digit) in whole.chars().enumerate() {
            if at > 0 && (whole.len() - at) % 3 == 0 {
                grouped.push_str(self.thousands);
            }
            grouped.push(digit);
        }
        let sign = if value < 0.0 && text.bytes().any(|byte| (b'1'..=b'9').contains(&byte)) {
            "-"
        } else {
            ""
        };
        match part {
            Some(part) => format!("{sign}{grouped}{}{part}", self.decimal),
            None => format!("{sign}{grouped}"),
        }
    }

    /// Numbers with as many decimals as show a hundred-thousandth of the greatest.
    fn numbers(&self, values: impl Iterator<Item = f64> + Clone, unit: &str) -> Vec<String> {
        let most = values.clone().map(f64::abs).fold(1e-9, f64::max);
        let decimals = (5.0 - most.log10().ceil()).clamp(0.0, 7.0) as usize;
        let after = if self.units == Units::AfterValues && !unit.is_empty() {
            format!(" {unit}")
        } else {
            String::new()
        };
        values
            .map(|value| self.number(value, decimals) + &after)
            .collect()
    }

    fn clock_columns(&self, readings: &[Reading], rate_hz: f64) -> Vec<Column> {
        let column = |name: &'static str, unit: &str, cells: Vec<String>, is_number: bool| Column {
            name: self.name(name),
            unit: unit.to_string(),
            cells,
            is_number,
        };
        let of = |write: &dyn Fn(f64) -> String| {
            readings
                .iter()
                .map(|reading| write(reading.clock_s))
                .collect::<Vec<_>>()
        };
        let decimals = if rate_hz > 400.0 { 4 } else { 3 };
        let after = |unit: &str| {
            if self.units == Units::AfterValues {
                format!(" {unit}")
            } else {
                String::new()
            }
        };
        let hms = |seconds: f64, parts: usize| {
            let fine = 10_f64.powf(parts as f64);
            let rounded = (seconds * fine).round() / fine;
            let seconds = rounded.rem_euclid(86_400.0);
            let (h, m) = ((seconds / 3600.0).floor(), (seconds / 60.0).floor() % 60.0);
            let s = seconds - 3600.0 * h - 60.0 * m;
            let wide = if parts > 0 { 3 + parts } else { 2 };
            format!("{h:02.0}:{m:02.0}:{s:0wide$.parts$}").replace('.', &self.decimal.to_string())
        };
        // The clock stands at some time of the day; whole parts of a second are cut, not rounded.
        let day_s = |t: f64| 51_000.25 + t;
        match self.clock {
            Clock::Seconds => vec![column(
                "Time",
                "s",
                of(&|t| self.number(t, decimals) + &after("s")),
                true,
            )],
            Clock::Milliseconds => vec![column(
                "Time",
                "ms",
                of(&|t| self.number(1000.0 * t, 1) + &after("ms")),
                true,
            )],
            Clock::Minutes => vec![column(
                "Time",
                "min",
                of(&|t| self.number(t / 60.0, 7) + &after("min")),
                true,
            )],
            Clock::HourMinuteSecond => vec![column("Time", "", of(&|t| hms(t, decimals)), false)],
            Clock::OverMidnight => vec![column("Time", "", of(&|t| hms(86_395.0 + t, decimals)), false)],
            Clock::DateAndTime => vec![
                column("Date", "", of(&|_| self.date().to_string()), false),
                column("Time", "", of(&|t| hms(day_s(t), decimals)), false),
            ],
            Clock::Iso => {
                let iso = of(&|t| format!("2026-05-03T{}Z", hms(day_s(t), decimals).replace(',', ".")));
                vec![column("Time", "", iso, false)]
            }
            Clock::HalfDay => {
                // Over noon, so that AM becomes PM.
                let half = |t: f64| {
                    let seconds = 43_195.0 + t;
                    let mark = if seconds < 43_200.0 - 1e-4 { "AM" } else { "PM" };
                    let text = hms(seconds, decimals).replace(',', ".");
                    let (h, rest) = text.split_once(':').unwrap();
                    let h: u32 = h.parse().unwrap();
                    format!("{}:{rest} {mark}", if h > 12 { h - 12 } else { h })
                };
                vec![column("Time", "", of(&half), false)]
            }
            Clock::WholeSeconds => vec![column("Time", "", of(&|t| hms(day_s(t).floor(), 0)), false)],
            Clock::PartsBeside => {
                let thousandths = |t: f64| (day_s(t) * 1000.0 + 1e-6).floor();
                vec![
                    column(
                        "Time",
                        "",
                        of(&|t| hms((thousandths(t) / 1000.0).floor(), 0)),
                        false,
                    ),
                    column(
                        "Milliseconds",
                        "",
                        of(&|t| format!("{:.0}", thousandths(t) % 1000.0)),
                        true,
                    ),
                ]
            }
            Clock::Epoch => {
                let since =
                    |t: f64| format!("{:.4}", 1_777_800_000.0 + t).replace('.', &self.decimal.to_string());
                vec![column("Timestamp", "", of(&since), true)]
            }
            Clock::Rate => Vec::new(),
        }
    }

    fn date(&self) -> &'static str {
        match self.language {
            Language::English => "5/3/2026",
            Language::German => "03.05.2026",
            _ => "03/05/2026",
        }
    }

    fn columns(&self, readings: &[Reading], rate_hz: f64) -> Vec<Column> {
        let mut columns = Vec::new();
        if self.has_index {
            let cells = (1..=readings.len()).map(|row| row.to_string()).collect();
            columns.push(Column {
                name: "No.",
                unit: String::new(),
                cells,
                is_number: true,
            });
        }
        columns.extend(self.clock_columns(readings, rate_hz));
        let scaled =
            |name: &'static str, unit: &'static str, measure: Measure, of: &dyn Fn(&Reading) -> f64| {
                let factor = Unit::read(unit, measure).unwrap().factor;
                let values: Vec<f64> = readings.iter().map(|reading| of(reading) / factor).collect();
                Column {
                    name: self.name(name),
                    unit: unit.to_string(),
                    cells: self.numbers(values.into_iter(), unit),
                    is_number: true,
                }
            };
        let force = scaled("Force", self.force_unit, Measure::Force, &|reading| {
            reading.force_n
        });
        let travel = self
            .travel_unit
            .map(|unit| scaled("Travel", unit, Measure::Travel, &|reading| reading.travel_m));
        if self.is_travel_first {
            columns.extend(travel);
            columns.push(force);
        } else {
            columns.push(force);
            columns.extend(travel);
        }
        if self.has_second_sensor && self.travel_unit.is_some() {
            columns.push(scaled("Extensometer", "mm", Measure::Travel, &|reading| {
                0.3 * reading.travel_m
            }));
        }
        if self.has_temperature {
            let cells = readings
                .iter()
                .map(|reading| self.number(21.3 + 0.01 * reading.time_s, 1))
                .collect();
            columns.push(Column {
                name: self.name("Temperature"),
                unit: "°C".into(),
                cells,
                is_number: true,
            });
        }
        if self.has_status {
            let cells = readings.iter().map(|_| "OK".to_string()).collect();
            columns.push(Column {
                name: "Status",
                unit: String::new(),
                cells,
                is_number: false,
            });
        }
        if self.has_comments {
            let cells = (0..readings.len())
                .map(|row| {
                    if row % 97 == 40 {
                        "ping heard".into()
                    } else {
                        String::new()
                    }
                })
                .collect();
            columns.push(Column {
                name: "Comment",
                unit: String::new(),
                cells,
                is_number: false,
            });
        }
        columns
    }

    fn join(&self, cells: &[String]) -> String {
        let quoted = |cell: &String| {
            if self.is_quoted {
                format!("\"{cell}\"")
            } else {
                cell.clone()
            }
        };
        let mut line = cells.iter().map(quoted).collect::<Vec<_>>().join(self.separator);
        if self.trails {
            line.push_str(self.separator.trim_end());
        }
        line + self.line_end
    }

    fn header(&self, columns: &[Column]) -> String {
        let named = |column: &Column| match self.units {
            _ if column.unit.is_empty() => column.name.to_string(),
            Units::Brackets => format!("{} [{}]", column.name, column.unit),
            Units::RoundBrackets => format!("{} ({})", column.name, column.unit),
            Units::Slash => format!("{}/{}", column.name, column.unit),
            Units::LastWord => format!("{} {}", column.name, column.unit),
            // The time has its own unit even where the others have theirs elsewhere.
            Units::Preamble | Units::Nowhere if ["s", "ms", "min"].contains(&column.unit.as_str()) => {
                format!("{} ({})", column.name, column.unit)
            }
            _ => column.name.to_string(),
        };
        let mut text = self.join(&columns.iter().map(named).collect::<Vec<_>>());
        let bracketed = self.units == Units::RowInBrackets;
        if bracketed || self.units == Units::OwnRow {
            let unit = |column: &Column| {
                let in_brackets = bracketed && !column.unit.is_empty();
                if in_brackets {
                    format!("[{}]", column.unit)
                } else {
                    column.unit.clone()
                }
            };
            text += &self.join(&columns.iter().map(unit).collect::<Vec<_>>());
        }
        text
    }

    fn preamble(&self, rate_hz: f64) -> String {
        let mut lines: Vec<String> = Vec::new();
        match self.preamble {
            Preamble::None => {}
            Preamble::Short => lines.push("Larkspur Library, pull test of a made-up line".into()),
            Preamble::Long => {
                let pair = |name: &str, value: &str| format!("{name}{}{value}", self.separator);
                lines.push("Prüfprotokoll / test record".into());
                lines.push(pair("Date", self.date()));
                lines.push(pair("Operator", "M. Okafor"));
                lines.push(pair("Load cell capacity", "250 kN"));
                lines.push(pair("Specimen length", "600 mm"));
                lines.push(pair("Speed", "20 mm/min"));
                lines.push(pair("Calibrated", "2025-11-17"));
                lines.push(pair("Preload", "500 lbf"));
                lines.push(String::new());
            }
        }
        if self.units == Units::Preamble {
            lines.push(format!("Force unit: {}", self.force_unit));
            lines.extend(self.travel_unit.map(|unit| format!("Travel unit: {unit}")));
        }
        if self.clock == Clock::Rate {
            lines.push(format!("Sample rate: {rate_hz} Hz"));
        }
        lines.into_iter().map(|line| line + self.line_end).collect()
    }

    /// Writes readings.
    pub(crate) fn write(&self, readings: &[Reading], rate_hz: f64) -> Vec<u8> {
        let columns = self.columns(readings, rate_hz);
        let header = self.header(&columns);
        let mut text = self.preamble(rate_hz) + &header;
        for row in 0..readings.len() {
            let cells: Vec<String> = columns.iter().map(|column| column.cells[row].clone()).collect();
            text += &self.join(&cells);
            if self.empty_lines && row % 50 == 13 {
                text += self.line_end;
            }
            if self.repeats_header && row % 200 == 120 {
                text += &header;
            }
        }
        if self.is_cut_off {
            let last = columns.iter().filter(|column| column.is_number).count();
            let keep = text.trim_end().len() - 3 - last;
            let keep = (0..=keep)
                .rev()
                .find(|at| text.is_char_boundary(*at))
                .unwrap_or(0);
            text.truncate(keep);
        }
        self.encoded(&text)
    }

    fn encoded(&self, text: &str) -> Vec<u8> {
        match self.encoding {
            Encoding::Utf8 => text.as_bytes().to_vec(),
            Encoding::Utf8Mark => format!("\u{FEFF}{text}").into_bytes(),
            Encoding::Latin1 => text
                .chars()
                .map(|c| u8::try_from(u32::from(c)).unwrap_or(b'?'))
                .collect(),
            Encoding::Utf16 => format!("\u{FEFF}{text}")
                .encode_utf16()
                .flat_map(u16::to_le_bytes)
                .collect(),
        }
    }
}
