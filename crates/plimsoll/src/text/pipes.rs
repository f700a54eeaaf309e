//! How the pipes of a rig bend.

use super::figures::{force, length, utilisation};
use super::page::Page;
use super::table::{Column, Table};
use app::{AlongVerdict, Kind, PipeVerdict, Style, Verdict};

const PIPES: [Column; 8] = [
    Column::words("pipe"),
    Column::words("what"),
    Column::number("most"),
    Column::number("at, from\nits start"),
    Column::number("allowed"),
    Column::number("held\nagainst").aside("held against #"),
    Column::words("use").aside("uses #"),
    Column::words("in case").aside("in case #"),
];

const PICKS: [Column; 4] = [
    Column::words("pick"),
    Column::number("from its\nstart"),
    Column::number("force of\nits lines"),
    Column::words("note").aside("#"),
];

/// Sets the pipes: moment, shear, torque, thrust, pull and sag, each where it is greatest.
pub fn pipes(verdict: &Verdict, page: &Page) -> String {
    let rows = verdict
        .pipes
        .iter()
        .flat_map(|(name, pipe)| rows(name, pipe, page.style));
    Table::new(&PIPES, rows.collect()).set(page.width)
}

/// Sets the picks of the pipes.
pub fn picks(verdict: &Verdict, page: &Page) -> String {
    let each = verdict.pipes.iter().flat_map(|(name, pipe)| {
        pipe.picks.iter().map(move |(pick, told)| {
            vec![
                format!("{name}.{pick}"),
                length(told.along_m, page.style),
                force(told.reaction_n, page.style),
                if told.slack { "lifted off" } else { "" }.to_string(),
            ]
        })
    });
    Table::new(&PICKS, each.collect()).set(page.width)
}

fn rows(name: &str, pipe: &PipeVerdict, style: Style) -> Vec<Vec<String>> {
    let print =
        |kind: Kind, value: Option<f64>| value.map_or("-".to_string(), |value| kind.print(value, style));
    let row = |what: &str, kind: Kind, of: &AlongVerdict, used: String| {
        let most = print(kind, of.most);
        let held = print(kind, of.demand);
        vec![
            name.to_string(),
            what.to_string(),
            most.clone(),
            of.at_m.map_or("-".into(), |at_m| length(at_m, style)),
            print(kind, of.allowed),
            if held == most || held == "-" {
                String::new()
            } else {
                held
            },
            used,
            String::new(),
        ]
    };
    let governs = pipe.governs.as_ref().map_or(String::new(), |governs| {
        format!(
            "{} of its strength: {governs}",
            utilisation(pipe.utilisation, style)
        )
    });
    let mut found = vec![
        row("bending moment", Kind::Torque, &pipe.moment_nm, governs),
        row("shear", Kind::Force, &pipe.shear_n, String::new()),
    ];
    if pipe.torque_nm.most.is_some() {
        found.push(row("torque", Kind::Torque, &pipe.torque_nm, String::new()));
    }
    if pipe.thrust_n.most.is_some() {
        found.push(row("thrust along it", Kind::Force, &pipe.thrust_n, String::new()));
    }
    if pipe.pull_n.most.is_some() {
        found.push(row("pull along it", Kind::Force, &pipe.pull_n, String::new()));
    }
    for bay in &pipe.bays {
        let of = AlongVerdict {
            most: bay.deflection_m,
            at_m: Some(bay.at_m),
            demand: None,
            allowed: bay.allowed_m,
        };
        let mut sag = row(&format!("sag {}", bay.name), Kind::Stretch, &of, String::new());
        if let Some(case) = sag.last_mut().filter(|_| bay.case != pipe.case) {
            *case = bay.case.clone().unwrap_or_else(|| "plain".into());
        }
        found.push(sag);
    }
    // What is said of the whole pipe stands in its first row.
    for row in found.iter_mut().skip(1) {
        row[0].clear();
    }
    if let Some(case) = found.first_mut().and_then(|row| row.last_mut()) {
        *case = pipe.case.clone().unwrap_or_default();
    }
    found
}
