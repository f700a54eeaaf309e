//! What does this log show?

use super::with_file;
use crate::answer::Answer;
use crate::cli::UnitsAsked;
use crate::reading::name;
use crate::surroundings::Surroundings;
use crate::text::log_page;
use crate::verbs::run::json_text;
use app::{LogAsk, LogFailure, LogReply};
use clap::Args;
use serde_json::json;
use std::path::PathBuf;

/// Asks what a log shows.
#[derive(Debug, Args)]
pub struct Log {
    /// The log, as the instrument wrote it; `-` reads standard input
    file: PathBuf,
    /// The unit of the force, where the log does not say it: kN, N, daN, lbf, kip, kgf, tf or MN
    #[arg(long, value_name = "UNIT")]
    unit: Option<String>,
    /// The unit of the travel, where the log does not say it: mm, cm, m, in or ft
    #[arg(long, value_name = "UNIT")]
    travel_unit: Option<String>,
    /// The unit of the time, where the log does not say it: s, ms, us, min or h
    #[arg(long, value_name = "UNIT")]
    time_unit: Option<String>,
    /// The published breaking force of the rope
    #[arg(long, value_name = "FORCE")]
    breaking: Option<String>,
    /// The length of the rope between its ends
    #[arg(long, value_name = "LENGTH")]
    rope_length: Option<String>,
    /// The mass of the rope, as in `0.1 kg/m`
    #[arg(long, value_name = "MASS/LENGTH")]
    rope_mass: Option<String>,
    /// The stiffness of the machine, as in `9 kN/mm`, found by pulling a solid bar
    #[arg(long, value_name = "STIFFNESS")]
    machine_stiffness: Option<String>,
    /// The greatest force that the cell can measure
    #[arg(long, value_name = "FORCE")]
    capacity: Option<String>,
    /// The column of the force, from 1
    #[arg(long, value_name = "COLUMN")]
    force_column: Option<usize>,
    /// The column of the travel, from 1
    #[arg(long, value_name = "COLUMN")]
    travel_column: Option<usize>,
    /// The column of the time, from 1
    #[arg(long, value_name = "COLUMN")]
    time_column: Option<usize>,
    /// The sign before decimals: point or comma
    #[arg(long, value_name = "SIGN")]
    decimal: Option<String>,
    /// How often a second it was read, of a log without a clock
    #[arg(long, value_name = "HZ")]
    rate: Option<f64>,
    /// Draws force against time and travel into this SVG file
    #[arg(long, value_name = "FILE")]
    plot: Option<PathBuf>,
    /// Answers in JSON (see `plimsoll schema prove-log`)
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    units: UnitsAsked,
}

/// Reads the log and tells what it shows.
pub fn answer(asked: &Log, surroundings: &Surroundings) -> Answer {
    let style = asked.units.style(None);
    let ask = LogAsk {
        unit: asked.unit.clone(),
        travel_unit: asked.travel_unit.clone(),
        time_unit: asked.time_unit.clone(),
        breaking: asked.breaking.clone(),
        rope_length: asked.rope_length.clone(),
        rope_mass: asked.rope_mass.clone(),
        machine: asked.machine_stiffness.clone(),
        capacity: asked.capacity.clone(),
        columns: [asked.time_column, asked.force_column, asked.travel_column],
        decimal: asked.decimal.clone(),
        rate_hz: asked.rate,
        plot: asked.plot.is_some(),
        style,
    };
    let LogReply { answer, plot_svg } = match read(asked, &ask) {
        Ok(reply) => reply,
        Err(says) => return Answer::unreadable(says),
    };
    let page = surroundings.page(style);
    let out = if asked.json {
        json_text(&json!(answer))
    } else {
        log_page(&answer, &page)
    };
    match &asked.plot {
        Some(file) => with_file(
            Answer::of(out),
            ("--plot", file),
            &[&asked.file],
            plot_svg.as_deref(),
        ),
        None => Answer::of(out),
    }
}

fn read(asked: &Log, ask: &LogAsk) -> Result<LogReply, String> {
    let file = name(&asked.file);
    let told = |failure: LogFailure| failure.to_string();
    if asked.file.as_os_str() == "-" {
        return app::prove_log(&file, std::io::stdin().lock(), ask).map_err(told);
    }
    if asked.file.is_dir() {
        return Err(format!("{file} is a folder; name the log in it"));
    }
    let opened = fs_err::File::open(&asked.file).map_err(|wrong| wrong.to_string())?;
    app::prove_log(&file, opened, ask).map_err(told)
}
