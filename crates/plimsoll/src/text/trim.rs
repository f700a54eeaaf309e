//! How a rig is set right, as plain text.

use super::figures::{angle, force, length, length_as_sure_as, rating, small, sure, sure_force, sure_length};
use super::page::{Page, capitals};
use super::table::{Column, Table};
use super::trim_plan::plan;
use super::verdict::overlays_sentence;
use app::{AdjusterAnswer, EffectAnswer, EstimateAnswer, Kind, RigNow, Style, TrimAnswer};

const ADJUSTERS: [Column; 6] = [
    Column::words("line"),
    Column::words("adjusted by"),
    Column::number("one unit"),
    Column::number("left to\ntake up").aside("left to take up #"),
    Column::number("left to\nlet out").aside("left to let out #"),
    Column::words("note").aside("#"),
];

const LINES: [Column; 4] = [
    Column::words("line"),
    Column::number("tension"),
    Column::number("working\nload"),
    Column::number("use"),
];

const LOADS: [Column; 3] = [
    Column::words("load"),
    Column::number("height"),
    Column::number("tilt"),
];

const PICKS: [Column; 3] = [
    Column::words("pick"),
    Column::number("height"),
    Column::number("off its\ntrim"),
];

const TENSIONS: [Column; 5] = [
    Column::words("taken up"),
    Column::words("line"),
    Column::number("then"),
    Column::number("change"),
    Column::number("slope"),
];

const HEIGHTS: [Column; 4] = [
    Column::words("taken up"),
    Column::words("load or pick"),
    Column::number("rises by"),
    Column::number("tilt then"),
];

const WEIGHTS: [Column; 4] = [
    Column::words("load"),
    Column::words("what"),
    Column::number("by the readings"),
    Column::number("by the\nrig document"),
];

const READINGS: [Column; 6] = [
    Column::words("reading"),
    Column::number("reads"),
    Column::number("fitted"),
    Column::number("normalised\nresidual").aside("normalised residual #"),
    Column::number("by the\nothers").aside("by the others #"),
    Column::number("error that\nwould show").aside("an error of # would show"),
];

/// Figures of a force as it was read.
const READ: u8 = 6;

/// Sets the answer: verdict first, then what has to be known, the rig as it hangs, the table, the readings and the steps.
pub fn trim_page(answer: &TrimAnswer, overlays: &[String], page: &Page) -> String {
    let mut out = page.after_word(answer.verdict, &answer.rig);
    out.push_str(&page.labelled("practice:", &answer.practice, 2));
    out.push_str(&overlays_sentence(overlays, page));
    let check = format!("{}; {}", capitals(answer.check), answer.check_decides);
    out.push_str(&page.labelled("check says:", &check, 2));
    if let Some(goal) = &answer.goal {
        out.push_str(&page.labelled("goal:", goal, 2));
    }
    if !answer.remarks.is_empty() {
        out.push_str(&page.heading("To be known before anybody adjusts"));
        for remark in &answer.remarks {
            out.push_str(
                &page.after_severity(remark.severity, &format!("{}: {}", remark.subject, remark.says)),
            );
        }
    }
    if let Some(told) = &answer.estimate {
        out.push_str(&estimate(told, page));
    }
    if let Some(now) = &answer.now {
        let heading = if answer.estimate.is_some() {
            "The rig as the readings have it, before anything is adjusted"
        } else {
            "The rig as stated, before anything is adjusted"
        };
        out.push_str(&page.heading(heading));
        out.push_str(&rig_now(now, page));
    }
    out.push_str(&page.heading("How lines can be adjusted"));
    out.push_str(&adjusters(answer, page));
    if !answer.effects.is_empty() {
        out.push_str(&effects(answer, page));
    }
    if let Some(told) = &answer.plan {
        out.push_str(&plan(told, page));
    }
    out.push_str(&page.heading("Assumed, because nobody said"));
    out.push_str(&page.bullets(&answer.defaults));
    out.push_str(&page.heading("Cautions"));
    out.push_str(&page.bullets(&answer.cautions));
    out
}

/// Sets the rig in one state.
pub fn rig_now(now: &RigNow, page: &Page) -> String {
    let style = page.style;
    let lines = now.lines.iter().map(|(name, line)| {
        let tension = if line.slack {
            "slack".into()
        } else {
            sure_force(line.tension_n, style)
        };
        vec![
            name.clone(),
            tension,
            rating(line.working_load_n, style),
            line.working_load_n.map_or("-".into(), |may_n| {
                Kind::Ratio.print(line.tension_n.value / may_n, style)
            }),
        ]
    });
    let loads = now.loads.iter().map(|(name, load)| {
        vec![
            name.clone(),
            sure_length(load.height_m, style),
            angle(load.tilt_deg, style),
        ]
    });
    let picks = now.picks.iter().map(|(name, pick)| {
        let style = match pick.height_m.standard_uncertainty {
            Some(sure_m) if sure_m > 0.0 => style.as_sure_as(pick.over_trim_m, 2.0 * sure_m),
            _ => style,
        };
        let off = signed(pick.over_trim_m, style);
        vec![name.clone(), sure_length(pick.height_m, style), off]
    });
    Table::new(&LINES, lines.collect()).set(page.width)
        + &Table::new(&LOADS, loads.collect()).set(page.width)
        + &Table::new(&PICKS, picks.collect()).set(page.width)
}

/// Writes how much higher something is.
fn signed(over_m: f64, style: Style) -> String {
    let printed = small(over_m.abs(), style);
    match over_m {
        _ if printed == small(0.0, style) => printed,
        over_m if over_m > 0.0 => format!("{printed} up"),
        _ => format!("{printed} down"),
    }
}

fn adjusters(answer: &TrimAnswer, page: &Page) -> String {
    let style = page.style;
    let left = |left_m: Option<f64>| left_m.map_or("not stated".into(), |left_m| length(left_m, style));
    let row = |(name, of): (&String, &AdjusterAnswer)| {
        let by = match (&of.part, of.by.as_str()) {
            (Some(part), _) => part.clone(),
            (None, "stated") => "as stated".into(),
            (None, by) => by.into(),
        };
        let is_there = of.by != "nothing";
        let note = match of.by.as_str() {
            "nothing" => "can not be adjusted: figures are for this unit, if it could",
            "grip" if !of.under_load => "never to be set while its line carries",
            _ => "",
        };
        vec![
            name.clone(),
            by,
            unit(of, style),
            if is_there {
                left(of.left_to_take_up_m)
            } else {
                String::new()
            },
            if is_there {
                left(of.left_to_let_out_m)
            } else {
                String::new()
            },
            note.into(),
        ]
    };
    Table::new(&ADJUSTERS, answer.adjusters.iter().map(row).collect()).set(page.width)
}

/// Writes one unit of adjustment: a turn, or a step.
fn unit(of: &AdjusterAnswer, style: Style) -> String {
    let step = small(of.unit_m, style);
    match of.per_turn_m {
        Some(turn_m) if (turn_m - of.unit_m).abs() < 1e-9 => format!("1 turn, {step}"),
        Some(turn_m) => format!("{} turn, {step}", Kind::Number.print(of.unit_m / turn_m, style)),
        None => step,
    }
}

/// Forces and lengths below these do not count as a change, newtons and metres.
const NO_CHANGE_N: f64 = 0.05;
const NO_CHANGE_M: f64 = 5e-6;

fn effects(answer: &TrimAnswer, page: &Page) -> String {
    let style = page.style;
    let mut out = page.heading("One unit taken up (the line shorter): what it does to tensions");
    let (mut tensions, mut heights, mut beside) = (Vec::new(), Vec::new(), Vec::new());
    for (line, effect) in &answer.effects {
        if !effect.why_not.is_empty() {
            beside.push(format!("{line}: nothing can be said: {}", effect.why_not));
            continue;
        }
        let (more, higher) = (of_lines(effect, style), of_heights(answer, effect, style));
        if more.is_empty() && higher.is_empty() {
            beside.push(format!("{line}: changes nothing; it is slack"));
        }
        tensions.extend(headed(line, more));
        heights.extend(headed(line, higher));
    }
    if tensions.is_empty() {
        out.push_str(&page.bullets(&["no tension changes: statics alone decides them".to_string()]));
    }
    out.push_str(&Table::new(&TENSIONS, tensions).set(page.width));
    out.push_str(&page.heading("One unit taken up: what it does to heights"));
    out.push_str(&Table::new(&HEIGHTS, heights).set(page.width));
    beside.push("lines, loads and picks that are not in these tables do not change".into());
    out.push_str(&page.bullets(&beside));
    out
}

/// Puts the line that is taken up before the first of its rows.
fn headed(line: &str, rows: Vec<Vec<String>>) -> Vec<Vec<String>> {
    let each = rows.into_iter().enumerate();
    each.map(|(i, row)| {
        let head = if i == 0 { line.to_string() } else { String::new() };
        std::iter::once(head).chain(row).collect()
    })
    .collect()
}

fn of_lines(effect: &EffectAnswer, style: Style) -> Vec<Vec<String>> {
    let changed = effect
        .lines
        .iter()
        .filter(|(_, of)| of.change_n.abs() > NO_CHANGE_N);
    changed
        .map(|(name, of)| {
            vec![
                name.clone(),
                if of.slack {
                    "slack".into()
                } else {
                    force(Some(of.tension_n), style)
                },
                force(Some(of.change_n), style),
                Kind::Stiffness.print(of.slope_n_per_m, style),
            ]
        })
        .collect()
}

fn of_heights(answer: &TrimAnswer, effect: &EffectAnswer, style: Style) -> Vec<Vec<String>> {
    let mut rows = Vec::new();
    for (load, of) in &effect.loads {
        let picks: Vec<_> = effect
            .picks_m
            .iter()
            .filter(|(pick, rises_m)| pick.split('.').next() == Some(load) && rises_m.abs() > NO_CHANGE_M)
            .collect();
        let tilt_now = answer
            .now
            .as_ref()
            .and_then(|now| Some(now.loads.get(load)?.tilt_deg));
        let tilts = tilt_now.is_some_and(|now| (now - of.tilt_deg).abs() > 0.05);
        if of.rises_m.abs() > NO_CHANGE_M || tilts || !picks.is_empty() {
            rows.push(vec![
                load.clone(),
                signed(of.rises_m, style),
                angle(of.tilt_deg, style),
            ]);
        }
        rows.extend(
            picks
                .into_iter()
                .map(|(pick, rises_m)| vec![pick.clone(), signed(*rises_m, style), String::new()]),
        );
    }
    rows
}

fn estimate(told: &EstimateAnswer, page: &Page) -> String {
    let style = page.style;
    let mut out = page.heading("What the rig weighs by the readings (+- twice the standard uncertainty)");
    let mut rows = Vec::new();
    for (name, of) in &told.loads {
        let weight = of
            .weight_n
            .map_or("not told".into(), |figure| sure_force(figure, style));
        rows.push(vec![
            name.clone(),
            "weight".into(),
            weight,
            force(Some(of.stated_n), style),
        ]);
        for (axis, (centre, stated_m)) in ["x", "y", "z"]
            .iter()
            .zip(of.centre_m.iter().zip(of.stated_centre_m))
        {
            let centre = centre.map_or("not told".into(), |figure| sure_length(figure, style));
            let what = format!("centre of gravity, its {axis}");
            rows.push(vec![String::new(), what, centre, length(stated_m, style)]);
        }
    }
    out.push_str(&Table::new(&WEIGHTS, rows).set(page.width));
    out.push_str(&page.heading("How far lines are from their length in the rig document"));
    let lines = told.longer_m.iter().map(|(name, figure)| {
        let way = match figure.value {
            value if small(value.abs(), style) == small(0.0, style) => "",
            value if value < 0.0 => " shorter",
            _ => " longer",
        };
        let figure = app::Figure {
            value: figure.value.abs(),
            ..*figure
        };
        let told = if told.lengths_not_told.contains(name) {
            "hardly told: "
        } else {
            ""
        };
        vec![
            name.clone(),
            format!(
                "{told}{}{way}",
                sure(figure, style, small, |value| small(value, style))
            ),
        ]
    });
    out.push_str(
        &Table::new(&[Column::words("line"), Column::number("it is")], lines.collect()).set(page.width),
    );
    out.push_str(&page.heading("Readings"));
    out.push_str(&readings(told, page));
    out
}

fn readings(told: &EstimateAnswer, page: &Page) -> String {
    let style = page.style;
    let row = |of: &app::ReadingAnswer| {
        let is_length = of.unit == "m";
        let off = 2.0 * of.standard_uncertainty;
        let fine = |value: f64| {
            if is_length {
                small(value, style)
            } else {
                force(Some(value), style)
            }
        };
        let print = |value: f64| {
            if is_length {
                length_as_sure_as(value, off, style)
            } else {
                force(Some(value), style.as_sure_as(value, off))
            }
        };
        // As it was read: what a cell shows has no more figures than this.
        let reads = if is_length {
            print(of.reads)
        } else {
            Kind::Force.print(
                of.reads,
                Style {
                    figures: READ,
                    ..style
                },
            )
        };
        let others = |figure: app::Figure| {
            if is_length {
                sure_length(figure, style)
            } else {
                sure_force(figure, style)
            }
        };
        let normalised = of.normalised_residual.map_or("not checked".into(), |of| {
            Kind::Number.print((10.0 * of).round() / 10.0 + 0.0, style)
        });
        vec![
            of.what.clone(),
            format!("{reads} +- {}", fine(off)),
            print(of.fitted),
            normalised,
            of.by_the_others.map(others).unwrap_or_default(),
            of.least_error_found.map(fine).unwrap_or_default(),
        ]
    };
    let mut out = Table::new(&READINGS, told.readings.iter().map(row).collect()).set(page.width);
    let chi = match told.chi_squared_limit {
        Some(limit) => format!(
            "chi-squared of all is {:.1}; more than {limit:.1} comes by chance once in a hundred (redundancy {:.1})",
            told.chi_squared, told.redundancy
        ),
        None => "there are no more readings than unknowns, so they can not contradict one another".into(),
    };
    let agree = if told.agree {
        "the readings agree with one another".to_string()
    } else if told.suspects.is_empty() {
        "the readings contradict one another, and no single one explains it".into()
    } else {
        format!(
            "without any one of these the others agree: {}",
            told.suspects.join("; ")
        )
    };
    let mut said = vec![agree, chi];
    said.extend(
        told.left_out
            .iter()
            .map(|what| format!("left out of all else on this page: {what}")),
    );
    said.extend(
        told.not_told
            .iter()
            .map(|what| format!("the readings do not tell {what}")),
    );
    out.push_str(&page.bullets(&said));
    out
}
