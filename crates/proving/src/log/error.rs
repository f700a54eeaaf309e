//! Why a log can not be used, and what would be right.

use crate::log::units::Unit;

/// Why a log can not be used.
#[derive(Debug, thiserror::Error)]
pub enum LogError {
    /// It could not be read from where it is.
    #[error("the log could not be read: {0}")]
    Io(#[from] std::io::Error),
    /// There is nothing in it.
    #[error("the log is empty; export it again from the instrument")]
    Empty,
    /// It is no text.
    #[error("the log is no text ({what}); export it as CSV from the instrument")]
    NoText {
        /// What it looks like.
        what: &'static str,
    },
    /// No lines of numbers were found.
    #[error("no rows of numbers were found; a log has one line for each reading, with a force in it")]
    NoRows,
    /// There are too few readings.
    #[error("there are {rows} readings only; {needed} are needed to tell what is noise and what happened")]
    TooFew {
        /// How many.
        rows: usize,
        /// How many are needed.
        needed: usize,
    },
    /// A sign may group thousands or stand before decimals.
    #[error(
        "`{sign}` in the numbers may group thousands or stand before decimals; say which is the decimal sign: --decimal point or --decimal comma"
    )]
    Sign {
        /// The sign.
        sign: char,
    },
    /// The comma is both between columns and before decimals.
    #[error(
        "commas stand between columns and before decimals, so that columns can not be told apart; export it with semicolons or tabs"
    )]
    CommaForBoth,
    /// The comma stands between two columns of whole numbers, or before the decimals of one column.
    #[error(
        "commas may stand between two columns, or before the decimals of one; say which: --decimal point for two columns, --decimal comma for one"
    )]
    CommaForEither,
    /// Points stand in one column and commas in another, and neither is seen to group thousands.
    #[error(
        "points stand in some numbers and commas in others, and both may stand before decimals; export it with one of them, or say which is the decimal sign, and the other groups thousands: --decimal point or --decimal comma"
    )]
    BothSigns,
    /// It is not known which column is the force.
    #[error("it is not known which column is the force ({columns}); say it by its number: --force-column 2")]
    NoForce {
        /// The columns.
        columns: String,
    },
    /// Several columns may be the force.
    #[error(
        "several columns may be the force ({columns}){sum}; say which by its number: --force-column {first}"
    )]
    ManyForces {
        /// One of them, counted from one.
        first: usize,
        /// Which of them is the sum of the others; empty where none is.
        sum: String,
        /// These columns.
        columns: String,
    },
    /// There is no such column.
    #[error("there is no column {column}; there are {width}")]
    NoColumn {
        /// As asked for, counted from one.
        column: usize,
        /// How many there are.
        width: usize,
    },
    /// The unit of the force is not said anywhere.
    #[error("the log does not say in which unit the force is (column `{column}`); a wrong guess is wrong by 2 to 10 times, so say it: --unit kN (one of {})", units.join(", "))]
    NoUnit {
        /// The column.
        column: String,
        /// Units that there are.
        units: Vec<&'static str>,
    },
    /// The unit of the force is one that is not known, or may be several.
    #[error("`{unit}` is no unit of force that is surely one (column `{column}`); say it: --unit kN (one of {})", units.join(", "))]
    UnknownUnit {
        /// What is written.
        unit: String,
        /// The column.
        column: String,
        /// Units that there are.
        units: Vec<&'static str>,
    },
    /// The unit of the time is one that is not known, or may be several.
    #[error("`{unit}` is no unit of time that is surely one (column `{column}`); say it: --time-unit s (one of {})", Unit::times().join(", "))]
    UnknownTime {
        /// What is written.
        unit: String,
        /// The column.
        column: String,
    },
    /// The file says another unit than the one asked for.
    #[error(
        "the log says that the {what} is in {written}, and {asked} was asked for; leave that out, or mend the log"
    )]
    OtherUnit {
        /// What it is the unit of.
        what: &'static str,
        /// In the log.
        written: String,
        /// Asked for.
        asked: String,
    },
    /// Two units of force stand in the log where one is needed.
    #[error(
        "the log has forces in {first} and in {other}, and it is not known which is right; export it with one unit"
    )]
    MixedUnits {
        /// One of them.
        first: String,
        /// Another.
        other: String,
    },
    /// A second heading names other columns than the first.
    #[error(
        "line {line} names the columns in another order than the first heading (`{text}`): there are two logs in the file; part them"
    )]
    ColumnsMove {
        /// Where it stands.
        line: usize,
        /// What it says.
        text: String,
    },
    /// There is no time, and no rate.
    #[error(
        "the log has no time and does not say how often it was read; say it: --rate 50 (readings a second)"
    )]
    NoTime,
    /// Nothing was pulled.
    #[error(
        "all readings of the force are the same; nothing was pulled, or its column is not the right one: say --force-column"
    )]
    ForceStands,
    /// Readings do not follow one another.
    #[error(
        "the time does not go on from reading to reading; its column is not the right one, or the log is upside down: say --time-column or --rate"
    )]
    TimeStands,
}
