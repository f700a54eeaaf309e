//! What a series that is still to be pulled asks for, as plain text, and the sheet to fill in meanwhile.

use super::figures::{force, length, rating};
use super::page::Page;
use super::table::{Column, Table};
use super::verdict::overlays_sentence;
use app::{Kind, KindPlan, Need, SEEN, Style, TestPlan, share_in_words};
use std::fmt::Write as _;

const ROWS: [Column; 4] = [
    Column::number("specimens"),
    Column::number("limit below\ntheir mean by"),
    Column::number("mean that shows it\n9 times of 10"),
    Column::number("shown at the\nguessed mean"),
];

const NEEDS: [Column; 4] = [
    Column::words("what"),
    Column::number("needed"),
    Column::number("there"),
    Column::words("").aside("#"),
];

/// Sets a plan.
pub fn plan_page(plan: &TestPlan, overlays: &[String], page: &Page) -> String {
    let mut out = page.paragraph(&format!("{}: plan of the series", plan.series), 0);
    let aims = format!(
        "limits for {} of all such lines, with a confidence of {}; a plan is to come out {} of the time",
        share_in_words(plan.share),
        share_in_words(plan.confidence),
        share_in_words(plan.chance)
    );
    out.push_str(&page.labelled("aims:", &aims, 2));
    out.push_str(&overlays_sentence(overlays, page));
    for (name, kind) in &plan.kinds {
        out.push_str(&one(name, kind, page));
    }
    out.push_str(&page.heading("What to keep in mind"));
    out.push_str(&page.bullets(&plan.remarks));
    if !plan.defaults.is_empty() {
        out.push_str(&page.heading("Assumed, because nobody said"));
        out.push_str(&page.bullets(&plan.defaults));
    }
    out.push_str(&page.cautions());
    out
}

fn one(name: &str, kind: &KindPlan, page: &Page) -> String {
    let mut out = page.heading(&format!("{name}: {}", kind.tests));
    out.push_str(&page.labelled("parts:", &kind.parts.join(", "), 2));
    for (label, says) in headlines(kind, page.style) {
        out.push_str(&page.labelled(&format!("{label}:"), &says, 2));
    }
    let percent = |share: f64| match share {
        share if share > 0.99 => "over 99 %".into(),
        share => format!("{:.0} %", 100.0 * share),
    };
    let rows = kind.rows.iter().map(|row| {
        vec![
            row.n.to_string(),
            format!("{:.2} sd", row.factor),
            row.mean_needed_n.map_or_else(
                || if kind.claim.is_some() { "none" } else { "" }.into(),
                |mean_n| force(Some(mean_n), page.style),
            ),
            row.chance.map(percent).unwrap_or_default(),
        ]
    });
    out.push_str(&Table::new(&ROWS, rows.collect()).set(page.width));
    let needs = kind.needs.iter().map(|need| need_row(need, page.style));
    out.push_str(&Table::new(&NEEDS, needs.collect()).set(page.width));
    if !kind.guard.is_empty() {
        out.push_str(&page.paragraph("guard:", 2));
        out.push_str(&page.bullets(&kind.guard));
    }
    if !kind.pins.is_empty() {
        out.push_str(&page.paragraph("eyes on the pins of the machine:", 2));
        let pins = kind.pins.iter().map(|pin| format!("{}: {}", pin.eye, pin.says));
        out.push_str(&page.bullets(&pins.collect::<Vec<_>>()));
    }
    out
}

fn headlines(kind: &KindPlan, style: Style) -> Vec<(&'static str, String)> {
    let claim = match &kind.claim {
        None => {
            "none: neither the document nor the maker of the part states one, so there is nothing to show"
                .to_string()
        }
        Some(claim) => format!(
            "{} at a design factor of {}: {} to be held; {}",
            rating(Some(claim.working_load_n), style),
            claim.design_factor,
            rating(Some(claim.required_n), style),
            claim.from
        ),
    };
    let guess = format!(
        "{}, scatter {:.1} % of the mean",
        kind.mean_n.map_or_else(
            || "mean not guessed".to_string(),
            |mean_n| format!("mean {}", force(Some(mean_n), style))
        ),
        100.0 * kind.scatter
    );
    let how_many = match (kind.claim.is_some(), kind.needed, kind.mean_n) {
        (false, ..) => None,
        _ if kind.is_hopeless => Some(
            "no number of tests shows it: the mean that is guessed is no more than what is to be held".into(),
        ),
        (_, Some(needed), _) => Some(format!(
            "{needed} show the claim 9 times of 10, if mean and scatter are as guessed"
        )),
        (_, None, Some(_)) => {
            Some("no number within 1000 shows it as often as that at the mean that is guessed".into())
        }
        (_, None, None) => Some("guess a mean (`expects.mean`) to be told".into()),
    };
    let held = kind.claim.as_ref().and(kind.all_must_hold).map(|number| {
        format!("{number}, if every one holds what is claimed, whatever way strengths scatter")
    });
    [
        Some(("claim", claim)),
        Some(("guess", guess)),
        how_many.map(|says| ("specimens", says)),
        held.map(|says| ("without a shape", says)),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn need_row(need: &Need, style: Style) -> Vec<String> {
    let print = |value: f64| match need.kind {
        Kind::Force => force(Some(value), style),
        Kind::Length => length(value, style),
        kind => kind.print(value, style),
    };
    let verdict = match need.enough {
        Some(true) => "enough; ",
        Some(false) => "NOT ENOUGH; ",
        None => "",
    };
    vec![
        need.what.clone(),
        print(need.needed),
        need.there.map(print).unwrap_or_default(),
        format!("{verdict}{}", need.says),
    ]
}

/// The width of a sheet: it is printed.
const SHEET: usize = 80;

/// Sets the sheet to fill in while specimens are pulled.
pub fn test_sheet(plan: &TestPlan, specimens: u8, style: Style) -> String {
    let page = Page {
        style,
        width: SHEET,
        colour: false,
    };
    let mut out = page.labelled("TEST SHEET ", &plan.series, 0);
    let _ = writeln!(out, "{}", "=".repeat(SHEET));
    for (what, blanks) in [
        ("pulled on", "pulled by"),
        ("place", "second person"),
        ("machine, number", "cell, number"),
        ("cell calibrated on", "its certificate"),
        ("readings in a second", "rig or job"),
    ] {
        let _ = writeln!(out, "{}  {}", blank(what, 38), blank(blanks, 40));
    }
    for (what, unit_of) in [
        ("temperature", "units of the log: force"),
        ("cell goes up to", "travel"),
    ] {
        let _ = writeln!(out, "{}  {}", reading(what, 38), blank(unit_of, 40));
    }
    out.push_str("cell zeroed hanging free  [ ]\n");
    for (name, kind) in &plan.kinds {
        out.push_str(&of_kind(name, kind, specimens, &page));
    }
    out.push_str(&page.heading("What was pulled is out of service, whatever it held"));
    for (left, right) in [
        ("destroyed or marked by", "on"),
        ("signed, who pulled", "signed, who checked"),
    ] {
        let _ = writeln!(out, "{}  {}", blank(left, 38), blank(right, 40));
    }
    out.push_str(&page.cautions());
    out
}

/// Sets a label with a blank up to a width.
fn blank(label: &str, width: usize) -> String {
    if label.ends_with(']') {
        return label.to_string();
    }
    let rest = width.saturating_sub(label.chars().count() + 1);
    format!("{label} {}", "_".repeat(rest))
}

/// Sets a label with a blank for a reading, and one for its unit, up to a width.
fn reading(label: &str, width: usize) -> String {
    let unit = blank("unit", UNIT);
    format!("{} {unit}", blank(label, width.saturating_sub(UNIT + 1)))
}

/// The width of a blank for a unit.
const UNIT: usize = 9;

fn of_kind(name: &str, kind: &KindPlan, specimens: u8, page: &Page) -> String {
    let mut out = page.heading(&format!("KIND {name}: {}", kind.tests));
    out.push_str(&page.labelled("parts:", &kind.parts.join(", "), 0));
    for (label, says) in headlines(kind, page.style).into_iter().take(1) {
        out.push_str(&page.labelled(&format!("{label}:"), &says, 0));
    }
    let pull = kind
        .needs
        .iter()
        .find(|need| need.unit == "N" && need.what.starts_with("most growth"));
    if let Some(rate) = pull {
        let rate_says = format!(
            "{} in a second at most; {}",
            force(Some(rate.needed), page.style),
            rate.says
        );
        out.push_str(&page.labelled("pull:", &rate_says, 0));
    }
    for need in kind.needs.iter().filter(|need| need.enough == Some(false)) {
        let label = format!("NOT ENOUGH, {}:", need.what);
        out.push_str(&page.labelled(&label, &need.says, 0));
    }
    if let Some(first) = kind.guard.first() {
        out.push_str(&page.labelled("guard:", first, 0));
    }
    let lines = [
        [blank("made by", 38), blank("tool or die, setting", 40)],
        [blank("batch of the fitting", 38), blank("reel of the rope", 40)],
        [reading("free length", 38), reading("pin", 40)],
        [
            reading("tail beyond fitting", 38),
            reading("torque, setting measured", 40),
        ],
    ];
    for [left, right] in lines {
        let _ = writeln!(out, "{left}  {right}");
    }
    out.push_str("guard closed [ ]   nobody in line or in reach [ ]   rope marked at fittings [ ]\n");
    for at in 0..specimens {
        out.push_str(&of_specimen(&specimen_name(at)));
    }
    out.push_str(&page.paragraph(
        &format!("then into the series document, for each: [kinds.{name}.specimens.a] with log = \"...\" and saw = \"...\""),
        0,
    ));
    out
}

/// Names specimens a, b, ..., z, a2, b2, ...
fn specimen_name(at: u8) -> String {
    let letter = char::from(b'a' + at % 26);
    match at / 26 {
        0 => letter.to_string(),
        round => format!("{letter}{}", round + 1),
    }
}

fn of_specimen(name: &str) -> String {
    let mut out = format!("{}\nSPECIMEN {name}   {}\n", "-".repeat(SHEET), blank("log", 60));
    for [left, right] in [
        ["peak", "first break at"],
        ["zero before", "zero after, unloaded"],
        ["preload", "stopped at"],
        ["slips at", "by how much"],
    ] {
        let _ = writeln!(out, "{}  {}", reading(left, 38), reading(right, 40));
    }
    for [left, right] in [
        ["cycles before", "why it was stopped"],
        ["strands broken", "where it broke"],
    ] {
        let _ = writeln!(out, "{}  {}", blank(left, 38), blank(right, 40));
    }
    let _ = writeln!(out, "{}", blank("photographs", SHEET));
    let mut line = String::new();
    for word in SEEN {
        let next = format!("[ ] {word}   ");
        if line.chars().count() + next.trim_end().chars().count() > SHEET {
            let _ = writeln!(out, "{}", line.trim_end());
            line.clear();
        }
        line.push_str(&next);
    }
    let _ = writeln!(out, "{}", line.trim_end());
    for label in [
        "set aside? a cause that was seen",
        "failed under what is claimed? why",
    ] {
        let _ = writeln!(out, "{}", blank(label, SHEET));
    }
    out
}
