//! A verdict as plain text: the word first, then what decides it, then everything it rests on.

use super::cases::{cases, on_building};
use super::figures::{angle, force, force_down, length, place, rating, utilisation};
use super::findings::{count, findings};
use super::lengths::lengths;
use super::page::{Page, capitals};
use super::pipes::{picks, pipes};
use super::table::{Column, Table};
use app::{Equilibrium, Kind, Style, Verdict, VerdictWord};

const LINES: [Column; 11] = [
    Column::words("line"),
    Column::number("tension"),
    Column::number("held\nagainst"),
    Column::number("working\nload"),
    Column::number("hardware\nrating"),
    Column::number("use"),
    Column::words("in case").aside("in case #"),
    Column::number("from\nhorizontal").aside("# from horizontal"),
    Column::number("from\nvertical").aside("# from vertical"),
    Column::words("governing\npart").aside("# governs"),
    Column::words("note").aside("#"),
];

const POINTS: [Column; 10] = [
    Column::words("point"),
    Column::number("down"),
    Column::number("allowed\ndown"),
    Column::number("side"),
    Column::number("allowed\nside"),
    Column::number("down held\nagainst").aside("down held against #"),
    Column::number("side held\nagainst").aside("side held against #"),
    Column::number("use"),
    Column::words("in case").aside("in case #"),
    Column::words("its part").aside("its part #"),
];

const BEAMS: [Column; 7] = [
    Column::words("group"),
    Column::number("down held\nagainst"),
    Column::number("allowed\ndown"),
    Column::number("side held\nagainst"),
    Column::number("allowed\nside"),
    Column::number("use"),
    Column::words("in case").aside("in case #"),
];

const JUNCTIONS: [Column; 6] = [
    Column::words("junction"),
    Column::number("held\nagainst"),
    Column::number("working\nload"),
    Column::number("use"),
    Column::words("in case").aside("in case #"),
    Column::words("at x, y, z").aside("at #"),
];

const LOADS: [Column; 6] = [
    Column::words("load"),
    Column::number("weight"),
    Column::number("tilt"),
    Column::number("from\ntrim"),
    Column::number("turned\nfrom it"),
    Column::words("at x, y, z").aside("at #"),
];

/// Sets a verdict; `file` heads it where there are several.
pub fn verdict_page(file: Option<&str>, verdict: &Verdict, overlays: &[String], page: &Page) -> String {
    let mut out = String::new();
    if let Some(file) = file {
        out.extend([file, "\n"]);
    }
    out.push_str(&page.after_word(verdict.verdict, &verdict.rig));
    out.push_str(&page.labelled("practice:", &verdict.practice, 2));
    out.push_str(&overlays_sentence(overlays, page));
    if !verdict.equilibrium.found {
        out.push_str(&page.labelled("it does not hang:", &verdict.equilibrium.why_not, 2));
    }
    out.push_str(&page.labelled("decided by", &verdict.decides, 2));
    out.push_str(&page.labelled("findings:", &count(&verdict.findings), 2));
    let loads_heading = if verdict.cases.is_empty() {
        "Loads"
    } else {
        "Loads, in the rig as stated"
    };
    for (heading, table) in [
        ("Lines", lines(verdict, page)),
        ("Pipes: how they bend", pipes(verdict, page)),
        ("Picks on pipes", picks(verdict, page)),
        ("Lengths to trim", lengths(verdict, page)),
        ("Points: what the building gets", points(verdict, page)),
        (
            "Groups: what the points on one beam bring to it",
            beams(verdict, page),
        ),
        ("Junctions", junctions(verdict, page)),
        (loads_heading, loads(verdict, page)),
        ("Cases and stages, each by itself", cases(verdict, page)),
        (
            "What the building gets by case, with no factor",
            on_building(verdict, page),
        ),
    ] {
        if !table.is_empty() {
            out.push_str(&page.heading(heading));
            out.push_str(&table);
        }
    }
    if !verdict.pull_tests.is_empty() {
        out.push_str(&page.heading("Pull tests, beside the makers' ratings, which they never raise"));
        let each = verdict
            .pull_tests
            .iter()
            .map(|tests| format!("makeup {}: {}", tests.makeup, tests.says));
        out.push_str(&page.bullets(&each.collect::<Vec<_>>()));
    }
    out.push_str(&page.heading("Findings"));
    out.push_str(&findings(&verdict.findings, page));
    out.push_str(&page.heading("Equilibrium"));
    out.push_str(&page.bullets(&equilibrium(&verdict.equilibrium, page)));
    if !verdict.defaults.is_empty() {
        out.push_str(&page.heading("Assumed, because nobody said"));
        out.push_str(&page.bullets(&verdict.defaults));
    }
    out.push_str(&page.heading("Cautions"));
    out.push_str(&page.bullets(&verdict.cautions));
    out
}

/// Sets a verdict in one line.
pub fn brief(file: &str, verdict: &Verdict, page: &Page) -> String {
    let blank = " ".repeat(CAPITALS - capitals(verdict.verdict).len());
    format!(
        "{}{blank}  {file}: {}\n",
        page.word(verdict.verdict),
        verdict.decides
    )
}

/// The length of the longest word of a verdict, `CAUTION`.
const CAPITALS: usize = 7;

/// Counts the verdicts of many rigs; none stands for a rig that was not checked.
pub fn summary(words: &[Option<VerdictWord>]) -> String {
    let count = |of: Option<VerdictWord>| words.iter().filter(|word| **word == of).count();
    let told = [
        (count(Some(VerdictWord::Fit)), "fit"),
        (count(Some(VerdictWord::Caution)), "caution"),
        (count(Some(VerdictWord::Stop)), "stop"),
        (count(None), "not checked"),
    ];
    let told: Vec<String> = told
        .iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, word)| format!("{count} {word}"))
        .collect();
    format!("{} rigs: {}\n", words.len(), told.join(", "))
}

/// Sets the derivation of every number of the lines.
pub fn working_of_lines(verdict: &Verdict, page: &Page) -> String {
    let mut out = page.heading("Working of the lines");
    // A rig without lines has no number at this path.
    out.push_str(&app::explain(verdict, "lines", page.style, page.width).unwrap_or_default());
    out
}

/// Says which books and practices lie over the published ones.
pub fn overlays_sentence(overlays: &[String], page: &Page) -> String {
    if overlays.is_empty() {
        return String::new();
    }
    page.labelled("books:", &format!("published, then {}", overlays.join(", ")), 2)
}

fn lines(verdict: &Verdict, page: &Page) -> String {
    let style = page.style;
    let row = |(name, line): (&String, &app::LineVerdict)| {
        let tension = if line.slack {
            "slack".into()
        } else {
            force(line.tension_n, style)
        };
        let slip = line.slip_range_n.map_or(String::new(), |[least_n, most_n]| {
            let [least, most] = [least_n, most_n].map(|t| force(Some(t), style));
            format!("with friction at its sheaves from {least} at one end to {most} along it")
        });
        // A demand that is the tension itself is not said twice.
        let demand = other_than(force(line.demand_n, style), &tension);
        let note = match (line.slack, line.tension_n, line.working_load_n) {
            (true, ..) if line.sag_m.is_some() => "slack: hangs by its own weight alone",
            (true, ..) => "slack: carries nothing as drawn",
            (_, None, _) => "no tension was found",
            _ if line.slip_range_n.is_some() => slip.as_str(),
            _ if line.set_by_adjustment && line.within_tolerances => {
                "its tension is set by adjustment alone: held against what its tolerance brings"
            }
            _ if line.set_by_adjustment => "its tension is set by adjustment alone: nothing bounds it",
            (_, _, None) => "no working load: see the findings",
            _ => "",
        };
        vec![
            name.clone(),
            tension,
            demand,
            rating(line.working_load_n, style),
            line.rating_n
                .map(|rating_n| rating(Some(rating_n), style))
                .unwrap_or_default(),
            utilisation(line.utilisation, style),
            in_case(line.case.as_deref(), verdict),
            angle(line.from_horizontal_deg, style),
            angle(90.0 - line.from_horizontal_deg, style),
            line.governing_part.clone().unwrap_or_default(),
            note.to_string(),
        ]
    };
    Table::new(&LINES, verdict.lines.iter().map(row).collect()).set(page.width)
}

fn points(verdict: &Verdict, page: &Page) -> String {
    let style = page.style;
    let row = |(name, point): (&String, &app::PointVerdict)| {
        // A part is worth a word where there is one; the building's allowance has its own columns.
        let part = point.working_load_n.map_or(String::new(), |load_n| {
            format!(
                "gets {}, may carry {}",
                force(point.demand_n, style),
                rating(Some(load_n), style)
            )
        });
        vec![
            name.clone(),
            force_down(point.down_n, style),
            force(point.allowed_down_n, style),
            force(point.side_n, style),
            force(point.allowed_side_n, style),
            other_than(
                up_or_down(point.demand_down_n, point.demand_up_n, style),
                &force_down(point.down_n, style),
            ),
            other_than(force(point.demand_side_n, style), &force(point.side_n, style)),
            utilisation(point.utilisation, style),
            in_case(point.case.as_deref(), verdict),
            part,
        ]
    };
    Table::new(&POINTS, verdict.points.iter().map(row).collect()).set(page.width)
}

fn beams(verdict: &Verdict, page: &Page) -> String {
    let style = page.style;
    let row = |(name, group): (&String, &app::GroupVerdict)| {
        vec![
            name.clone(),
            up_or_down(group.demand_down_n, group.demand_up_n, style),
            force(group.allowed_down_n, style),
            force(group.demand_side_n, style),
            force(group.allowed_side_n, style),
            utilisation(group.utilisation, style),
            in_case(group.case.as_deref(), verdict),
        ]
    };
    Table::new(&BEAMS, verdict.groups.iter().map(row).collect()).set(page.width)
}

/// Writes what is held against up and down: upward where that is the greater.
fn up_or_down(down_n: Option<f64>, up_n: Option<f64>, style: Style) -> String {
    match up_n {
        Some(up_n) if down_n.is_none_or(|down_n| up_n > down_n) => force_down(Some(-up_n), style),
        _ => force_down(down_n, style),
    }
}

/// Names the case that a row is of; nothing in a rig without cases.
fn in_case(case: Option<&str>, verdict: &Verdict) -> String {
    let plain = verdict.cases.keys().next().map_or("", String::as_str);
    case.unwrap_or(plain).to_string()
}

/// Leaves out what has been said and what is not known.
fn other_than(text: String, said: &str) -> String {
    if text == said || text == "-" {
        String::new()
    } else {
        text
    }
}

fn junctions(verdict: &Verdict, page: &Page) -> String {
    let style = page.style;
    let row = |(name, junction): (&String, &app::JunctionVerdict)| {
        vec![
            name.clone(),
            force(junction.demand_n, style),
            rating(junction.working_load_n, style),
            utilisation(junction.utilisation, style),
            in_case(junction.case.as_deref(), verdict),
            place(junction.at_m, style),
        ]
    };
    Table::new(&JUNCTIONS, verdict.junctions.iter().map(row).collect()).set(page.width)
}

fn loads(verdict: &Verdict, page: &Page) -> String {
    let style = page.style;
    let row = |(name, load): (&String, &app::LoadVerdict)| {
        let degrees = |by_deg: Option<f64>| by_deg.map_or_else(|| "-".into(), |by_deg| angle(by_deg, style));
        vec![
            name.clone(),
            force(Some(load.weight_n), style),
            degrees(load.tilt_deg),
            load.from_trim_m
                .map_or_else(|| "-".into(), |from_m| length(from_m, style)),
            degrees(load.turned_deg),
            place(load.at_m, style),
        ]
    };
    Table::new(&LOADS, verdict.loads.iter().map(row).collect()).set(page.width)
}

fn equilibrium(of: &Equilibrium, page: &Page) -> Vec<String> {
    let mut said = Vec::new();
    if !of.found {
        return vec![format!("not found: {}", of.why_not)];
    }
    let print = |force_n: Option<f64>| force_n.map(|force_n| Kind::Force.print(force_n, page.style));
    if let (Some(residual), Some(allowed)) = (print(of.residual_n), print(of.allowed_residual_n)) {
        said.push(format!(
            "found in {} steps; greatest unbalanced force {residual}, accepted up to {allowed}",
            of.iterations
        ));
    }
    said.push(
        if of.stable {
            "stable"
        } else {
            "not stable: it does not come back when it is pushed"
        }
        .to_string(),
    );
    if of.left_unstable {
        said.push("the search came to an unstable balance and left it".into());
    }
    said.extend(of.free_motions.iter().map(|motion| format!("free: {motion}")));
    said.extend(
        of.unstable_as_drawn
            .iter()
            .map(|load| format!("{load} balances as drawn but would roll over")),
    );
    said
}
