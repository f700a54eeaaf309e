//! Each case and stage of a rig by itself.

use super::figures::{force, force_down, utilisation};
use super::page::{Page, capitals};
use super::table::{Column, Table};
use app::{CaseKind, CaseOnBuilding, CaseVerdict, Kind, Verdict};

const CASES: [Column; 5] = [
    Column::words("case"),
    Column::words("what it is").aside("#"),
    Column::words("verdict"),
    Column::number("greatest use\nof a line"),
    Column::words("decided by").aside("decided by #"),
];

const ON_BUILDING: [Column; 7] = [
    Column::words("place"),
    Column::words("case"),
    Column::number("dead\ndown"),
    Column::number("variable\ndown"),
    Column::number("dead\nside"),
    Column::number("variable\nside"),
    Column::words("moment").aside("moment #"),
];

/// Sets one row for each case; nothing for a rig without cases.
pub fn cases(verdict: &Verdict, page: &Page) -> String {
    let row = |(name, case): (&String, &CaseVerdict)| {
        let kind = match case.kind {
            CaseKind::Plain => "as stated",
            CaseKind::Case => "load case",
            CaseKind::Stage => "stage",
        };
        let greatest = case.lines.values().filter_map(|line| line.utilisation);
        vec![
            name.clone(),
            kind.to_string(),
            capitals(case.verdict).to_string(),
            utilisation(greatest.reduce(f64::max), page.style),
            case.decides.clone(),
        ]
    };
    Table::new(&CASES, verdict.cases.iter().map(row).collect()).set(page.width)
}

/// Sets what each point, each beam and each built-in end gets in each case, dead and variable apart.
pub fn on_building(verdict: &Verdict, page: &Page) -> String {
    let style = page.style;
    let row = |place: &str, case: &str, on: &CaseOnBuilding| {
        vec![
            place.to_string(),
            case.to_string(),
            force_down(Some(on.dead.down_n), style),
            force_down(Some(on.variable.down_n), style),
            force(Some(on.dead.side_n), style),
            force(Some(on.variable.side_n), style),
            String::new(),
        ]
    };
    let rows = |name: &String, is_point: bool| {
        let on = |case: &'_ CaseVerdict| {
            let places = if is_point { &case.points } else { &case.groups };
            places.get(name).cloned()
        };
        let each = verdict
            .cases
            .iter()
            .filter_map(|(case, told)| Some((case, on(told)?)));
        each.map(|(case, on)| row(name, case, &on)).collect::<Vec<_>>()
    };
    let points = verdict.points.keys().flat_map(|name| rows(name, true));
    let groups = verdict.groups.keys().flat_map(|name| rows(name, false));
    // What is not there in a stage may be there in another.
    let mut names: Vec<&String> = Vec::new();
    for name in verdict.cases.values().flat_map(|case| case.built_in.keys()) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let ends = names.into_iter().flat_map(|name| {
        let each = verdict
            .cases
            .iter()
            .filter_map(move |(case, told)| Some((case, told.built_in.get(name)?)));
        each.map(move |(case, end)| {
            let mut row = row(name, case, &end.force);
            let [dead, variable] =
                [end.dead_moment_nm, end.variable_moment_nm].map(|moment| Kind::Torque.print(moment, style));
            row[6] = format!("{dead} dead, {variable} variable");
            row
        })
    });
    Table::new(&ON_BUILDING, points.chain(groups).chain(ends).collect()).set(page.width)
}
