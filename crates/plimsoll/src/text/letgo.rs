//! What happens when a part lets go, as plain text: all cases in one table first, then each by itself.

use super::figures::{angle, force, length, place, torque, utilisation};
use super::page::Page;
use super::table::{Column, Table};
use super::verdict::overlays_sentence;
use app::{
    Kind, LetGoAnswer, LetGoCase, LetGoClamp, LetGoGroup, LetGoJunction, LetGoLine, LetGoLoad, LetGoPipe,
    LetGoPoint, LetGoWay, Outcome,
};

const CASES: [Column; 6] = [
    Column::words("what lets go"),
    Column::words("outcome"),
    Column::number("most\nused"),
    Column::number("a load\nmoves"),
    Column::number("its centre\ndrops").aside("its centre drops #"),
    Column::number("it\ntilts to").aside("tilts to #"),
];

const LINES: [Column; 9] = [
    Column::words("line"),
    Column::number("before"),
    Column::number("peak"),
    Column::number("at"),
    Column::number("times\nbefore"),
    Column::number("least peak\nof all ways").aside("least peak of all ways #"),
    Column::number("then\nat rest").aside("then at rest #"),
    Column::number("working\nload"),
    Column::number("use at\npeak"),
];

const LOADS: [Column; 9] = [
    Column::words("load"),
    Column::number("moves"),
    Column::number("centre\ndrops"),
    Column::number("swings\naside"),
    Column::number("tilts\nto"),
    Column::number("lowest\nplace").aside("lowest known place #"),
    Column::words("room that it takes: x, y, z").aside("it goes through the room #"),
    Column::words("needs clear beside it").aside("needs clear beside where it hangs: #"),
    Column::words("then at rest at").aside("then at rest at #"),
];

const POINTS: [Column; 7] = [
    Column::words("point"),
    Column::number("peak"),
    Column::number("at"),
    Column::number("down"),
    Column::number("up"),
    Column::number("sideways"),
    Column::number("use at\npeak"),
];

const JUNCTIONS: [Column; 5] = [
    Column::words("junction"),
    Column::number("peak"),
    Column::number("at"),
    Column::number("working\nload"),
    Column::number("use at\npeak"),
];

const CLAMPS: [Column; 5] = [
    Column::words("clamp"),
    Column::number("peak"),
    Column::number("at"),
    Column::number("working\nload"),
    Column::number("use at\npeak"),
];

const GROUPS: [Column; 5] = [
    Column::words("beam"),
    Column::number("down\nat most"),
    Column::number("up\nat most"),
    Column::number("sideways\nat most"),
    Column::number("use at\npeak"),
];

const PIPES: [Column; 8] = [
    Column::words("pipe"),
    Column::number("moment"),
    Column::number("along\nit"),
    Column::number("then\nat rest").aside("moment then at rest #"),
    Column::number("it may\ncarry"),
    Column::number("shear"),
    Column::number("torque").aside("torque #"),
    Column::number("use at\npeak"),
];

/// Sets an answer.
pub fn letgo_page(answer: &LetGoAnswer, overlays: &[String], page: &Page) -> String {
    let mut out = page.paragraph(&format!("{}: what happens when a part lets go", answer.rig), 0);
    out.push_str(&page.labelled("practice:", &answer.practice, 2));
    out.push_str(&overlays_sentence(overlays, page));
    if !answer.why_not.is_empty() {
        out.push_str(&page.labelled(
            "it does not hang as it is:",
            &format!("{}; nothing was followed", answer.why_not),
            2,
        ));
    }
    out.push_str(&headlines(answer, page));
    if answer.cases.len() > 1 {
        out.push_str(&page.heading("What lets go, and what becomes of the rig at its worst"));
        let rows = answer.cases.iter().filter(|case| case.alike.is_none());
        let rows = rows.map(|case| summary_row(case, page)).collect();
        out.push_str(&Table::new(&CASES, rows).set(page.width));
    }
    for case in answer.cases.iter().filter(|case| case.alike.is_none()) {
        out.push_str(&one(answer, case, page));
    }
    if !answer.simplified.is_empty() {
        out.push_str(&page.heading("Left out"));
        out.push_str(&page.bullets(&answer.simplified));
    }
    out.push_str(&page.heading("Assumed, because nobody said"));
    out.push_str(&page.bullets(&answer.defaults));
    out.push_str(&page.heading("Cautions"));
    out.push_str(&page.bullets(&answer.cautions));
    out
}

fn headlines(answer: &LetGoAnswer, page: &Page) -> String {
    let mut out = String::new();
    if let Some(worst) = &answer.worst {
        let case = answer.cases.iter().find(|case| case.lets_go == *worst);
        let says = case.map(|case| format!(": {}", case.says)).unwrap_or_default();
        out.push_str(&page.labelled("worst:", &format!("{worst}{says}"), 2));
    }
    let under = answer.under.iter().map(|(load, who)| format!("{load}: {who}"));
    let under: Vec<String> = under.collect();
    if !under.is_empty() {
        out.push_str(&page.labelled("who is below:", &under.join("; "), 2));
    }
    if !answer.positioning_only.is_empty() {
        let (grips, set, without) = match answer.positioning_only.len() {
            1 => ("grip of", "sets", "without it"),
            _ => ("grips of", "set", "without any or all of them"),
        };
        let says = format!(
            "the adjustable {grips} {} only {set} how the load hangs: {without} the load stays held and where it may be, and nothing passes \
             its working load (what a slip does stands by itself below)",
            answer.positioning_only.join(", ")
        );
        out.push_str(&page.labelled("positioning only:", &says, 2));
    }
    if !answer.damping_ratios.is_empty() {
        let says = format!(
            "{:.1} s of each or longer, {}; what is told is the worst of these",
            answer.seconds,
            ways(answer, page).join("; ")
        );
        out.push_str(&page.labelled("followed:", &says, 2));
    }
    out
}

/// Says with which damping, at which stiffness motions were followed.
fn ways(answer: &LetGoAnswer, page: &Page) -> Vec<String> {
    let list = |of: &[f64]| {
        let each = of.iter().map(|share| Kind::Ratio.print(*share, page.style));
        each.collect::<Vec<_>>().join(", ")
    };
    let is_plain = |way: &LetGoWay| way.away.is_none() && !way.off_centre && !way.longer;
    let mut told: Vec<(Vec<f64>, Vec<f64>)> = Vec::new();
    for ratio in &answer.damping_ratios {
        let own = answer
            .ways
            .iter()
            .filter(|way| way.damping_ratio == *ratio && is_plain(way));
        let at: Vec<f64> = own.map(|way| way.stiffness).collect();
        match told.iter_mut().find(|(_, known)| *known == at) {
            Some((ratios, _)) => ratios.push(*ratio),
            None => told.push((vec![*ratio], at)),
        }
    }
    let each = told.iter().map(|(ratios, at)| {
        format!(
            "with damping of {} of critical at {} of the stated stiffness",
            list(ratios),
            list(at)
        )
    });
    let any = |of: &dyn Fn(&LetGoWay) -> bool| answer.ways.iter().any(of);
    let more = [
        (
            any(&|way| way.away.is_some()),
            "each without stated forces too, one at a time and all, since these may be away",
        ),
        (
            any(&|way| way.off_centre),
            "once with centres of gravity a little off",
        ),
        (any(&|way| way.longer), "once for up to eight times as long"),
    ];
    let more = more
        .iter()
        .filter(|(is_so, _)| *is_so)
        .map(|(_, says)| (*says).to_string());
    each.chain(more).collect()
}

/// Names what becomes of the rig.
fn word(case: &LetGoCase) -> &'static str {
    match case.outcome {
        Outcome::Held | Outcome::PastWorkingLoad if !case.lands.is_empty() => "comes to the floor",
        Outcome::Held if !case.too_far.is_empty() => "held, too far",
        outcome => outcome.words(),
    }
}

/// Names everything that is the same event as a case.
fn alike(answer: &LetGoAnswer, case: &LetGoCase) -> Vec<String> {
    let same = answer
        .cases
        .iter()
        .filter(|other| other.alike.as_ref() == Some(&case.lets_go));
    std::iter::once(case)
        .chain(same)
        .map(|case| case.lets_go.clone())
        .collect()
}

fn summary_row(case: &LetGoCase, page: &Page) -> Vec<String> {
    let loads = || case.loads.values();
    let least = if case.is_least { "≥ " } else { "" };
    let of = |get: fn(&LetGoLoad) -> Option<f64>| loads().filter_map(get).reduce(f64::max);
    let cell = |said: Option<String>| said.map(|said| format!("{least}{said}")).unwrap_or_default();
    let metres = |value: Option<f64>| cell(value.map(|value| length(value, page.style)));
    vec![
        case.lets_go.clone(),
        word(case).to_string(),
        cell(case.use_at_peak.map(|most| utilisation(Some(most), page.style))),
        metres(of(|load| load.moves_m)),
        metres(of(|load| load.drop_m)),
        cell(of(|load| load.tilt_deg).map(|tilt| angle(tilt, page.style))),
    ]
}

/// Sets one case.
fn one(answer: &LetGoAnswer, case: &LetGoCase, page: &Page) -> String {
    let names = alike(answer, case).join(", or ");
    let mut out = page.heading(&format!("{names}: {}", word(case)));
    if !case.parts.is_empty() {
        out.push_str(&page.labelled("any of", &case.parts.join(", "), 2));
    }
    out.push_str(&page.paragraph(&case.says, 2));
    out.push_str(&page.labelled("at its worst", &case.at_worst, 2));
    for parting in &case.partings {
        let says = format!(
            "{:.3} s on, at {}",
            parting.at_s,
            force(Some(parting.breaking_n), page.style)
        );
        out.push_str(&page.labelled(&format!("{} parts", parting.what), &says, 2));
    }
    let lines = case
        .lines
        .iter()
        .map(|(name, line)| line_row(name, line, page))
        .collect();
    let loads = case
        .loads
        .iter()
        .map(|(name, load)| load_row(name, load, page))
        .collect();
    let points = case
        .points
        .iter()
        .filter(|(_, point)| point.peak_n > 0.0)
        .map(|(name, point)| point_row(name, point, page))
        .collect();
    let junctions = case
        .junctions
        .iter()
        .map(|(name, junction)| junction_row(name, junction, page))
        .collect();
    let clamps = case
        .clamps
        .iter()
        .map(|(name, clamp)| clamp_row(name, clamp, page))
        .collect();
    let groups = case
        .groups
        .iter()
        .map(|(name, group)| group_row(name, group, page))
        .collect();
    let pipes = case
        .pipes
        .iter()
        .map(|(name, pipe)| pipe_row(name, pipe, page))
        .collect();
    for table in [
        Table::new(&LINES, lines),
        Table::new(&LOADS, loads),
        Table::new(&PIPES, pipes),
        Table::new(&CLAMPS, clamps),
        Table::new(&JUNCTIONS, junctions),
        Table::new(&POINTS, points),
        Table::new(&GROUPS, groups),
    ] {
        out.push_str(&table.set(page.width));
    }
    if let (Some(drift), Some(differ)) = (case.energy_drift, case.peaks_differ) {
        let says = format!(
            "in the way that decides energy balances to {drift:.0e} of the greatest energy of movement; at a tenth of the tolerance no peak differs by more than \
             {:.0e} of the greatest",
            differ.max(1e-12)
        );
        let only = case.agrees_for_less().map(|seconds| {
            format!(
                "; so for {seconds:.2} s, after which two such runs no longer agree, or were not followed: what is told is the worst of many things that may come, and another may be up to twice as hard"
            )
        });
        out.push_str(&page.labelled("proof:", &format!("{says}{}", only.unwrap_or_default()), 2));
    }
    out
}

fn line_row(name: &str, line: &LetGoLine, page: &Page) -> Vec<String> {
    let style = page.style;
    let before = if line.ratio.is_some() {
        force(Some(line.before_n), style)
    } else {
        "slack".into()
    };
    let after = match line.after_n {
        None => "-".into(),
        Some(_) if line.slack => "slack".into(),
        after => force(after, style),
    };
    vec![
        name.to_string(),
        before,
        force(Some(line.peak_n), style),
        format!("{:.2} s", line.peak_at_s),
        line.ratio
            .map_or_else(|| "-".into(), |ratio| format!("{ratio:.2}")),
        force(Some(line.peak_range_n[0]), style),
        after,
        force(line.working_load_n, style.finer()),
        utilisation(line.use_at_peak, style),
    ]
}

fn load_row(name: &str, load: &LetGoLoad, page: &Page) -> Vec<String> {
    if load.falls {
        return vec![name.to_string(), "falls".into()];
    }
    let metres = |value: Option<f64>| value.map_or_else(|| "-".into(), |value| length(value, page.style));
    let room = load.swept_least_m.zip(load.swept_most_m).map(|(least, most)| {
        let sides = least
            .iter()
            .zip(most)
            .map(|(least, most)| format!("{} to {}", length(*least, page.style), length(most, page.style)));
        sides.collect::<Vec<_>>().join(", ")
    });
    let rest = load.after_at_m.map(|at_m| {
        let tilted = load
            .after_tilt_deg
            .map(|tilt| format!(", tilted by {}", angle(tilt, page.style)));
        format!("{}{}", place(Some(at_m), page.style), tilted.unwrap_or_default())
    });
    vec![
        name.to_string(),
        metres(load.moves_m),
        metres(load.drop_m),
        metres(load.swing_m),
        load.tilt_deg
            .map_or_else(|| "-".into(), |tilt| angle(tilt, page.style)),
        metres(load.lowest_m),
        room.unwrap_or_default(),
        load.clear_least_m
            .zip(load.clear_most_m)
            .map(|(least_m, most_m)| clear(least_m, most_m, page))
            .unwrap_or_default(),
        rest.unwrap_or_default(),
    ]
}

/// Says how far something goes beyond where it hangs, direction by direction.
fn clear(least_m: [f64; 3], most_m: [f64; 3], page: &Page) -> String {
    let [to_less_x, to_less_y, down] = least_m;
    let [to_more_x, to_more_y, up] = most_m;
    let ways = [
        (to_less_x, "toward -x"),
        (to_more_x, "toward +x"),
        (to_less_y, "toward -y"),
        (to_more_y, "toward +y"),
        (down, "down"),
        (up, "up"),
    ];
    let each = ways.into_iter().filter(|(far_m, _)| *far_m >= CLEAR_M);
    let each: Vec<String> = each
        .map(|(far_m, way)| format!("{} {way}", length(far_m, page.style)))
        .collect();
    if each.is_empty() {
        "nothing".into()
    } else {
        each.join(", ")
    }
}

/// Nobody keeps less than this clear, metres.
const CLEAR_M: f64 = 1e-3;

fn point_row(name: &str, point: &LetGoPoint, page: &Page) -> Vec<String> {
    let style = page.style;
    let up = if point.up_n > 0.0 {
        force(Some(point.up_n), style)
    } else {
        String::new()
    };
    vec![
        name.to_string(),
        force(Some(point.peak_n), style),
        format!("{:.2} s", point.peak_at_s),
        force(Some(point.down_n), style),
        up,
        force(Some(point.side_n), style),
        utilisation(point.use_at_peak, style),
    ]
}

fn junction_row(name: &str, junction: &LetGoJunction, page: &Page) -> Vec<String> {
    let style = page.style;
    vec![
        name.to_string(),
        force(Some(junction.peak_n), style),
        format!("{:.2} s", junction.peak_at_s),
        force(Some(junction.working_load_n), style.finer()),
        utilisation(junction.use_at_peak, style),
    ]
}

fn clamp_row(name: &str, clamp: &LetGoClamp, page: &Page) -> Vec<String> {
    let style = page.style;
    vec![
        name.to_string(),
        force(Some(clamp.peak_n), style),
        format!("{:.2} s", clamp.peak_at_s),
        force(Some(clamp.working_load_n), style.finer()),
        utilisation(clamp.use_at_peak, style),
    ]
}

fn pipe_row(name: &str, pipe: &LetGoPipe, page: &Page) -> Vec<String> {
    let style = page.style;
    let moment = |moment_n_m: f64| torque(moment_n_m, style);
    let torque = (pipe.torque_n_m > 0.0).then(|| moment(pipe.torque_n_m));
    let allowed = pipe
        .moment_allowed_n_m
        .map(|allowed| Kind::Torque.print(allowed, style.finer()));
    vec![
        name.to_string(),
        moment(pipe.moment_n_m),
        length(pipe.moment_at_m, style),
        moment(pipe.moment_at_rest_n_m),
        allowed.unwrap_or_else(|| "not known".into()),
        force(Some(pipe.shear_n), style),
        torque.unwrap_or_default(),
        utilisation(pipe.use_at_peak, style),
    ]
}

fn group_row(name: &str, group: &LetGoGroup, page: &Page) -> Vec<String> {
    let style = page.style;
    let up = (group.up_n > 0.0).then(|| force(Some(group.up_n), style));
    vec![
        name.to_string(),
        force(Some(group.down_n), style),
        up.unwrap_or_default(),
        force(Some(group.side_n), style),
        utilisation(group.use_at_peak, style),
    ]
}
