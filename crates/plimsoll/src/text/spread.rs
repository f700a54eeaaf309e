//! What tolerances and uncertainties do to a rig, as plain text: what came out first, then what it hangs on, then how far
//! it can be trusted.

use super::figures::{force, force_down, length, rating};
use super::page::Page;
use super::table::{Column, Table};
use super::verdict::overlays_sentence;
use app::{
    Causes, Chance, Estimate, Group, InputLaw, InputSpread, Kind, LineSpread, SampleCount, SpreadAnswer,
    Spreading, Style,
};

const LINES: [Column; 9] = [
    Column::words("line"),
    Column::number("as\nstated"),
    Column::number("one in 20\nbelow"),
    Column::number("half\nbelow"),
    Column::number("one in 20\nabove"),
    Column::number("largest\nseen"),
    Column::number("working\nload"),
    Column::words("goes slack").aside("goes slack in #"),
    Column::words("past its working load").aside("past its working load in #"),
];

const CAUSES: [Column; 8] = [
    Column::words("line"),
    Column::number("lengths"),
    Column::number("weight"),
    Column::number("centre"),
    Column::number("stiff-\nness"),
    Column::number("give"),
    Column::number("not\nsplit"),
    Column::words("most of all").aside("most of all #"),
];

const SHARING: [Column; 6] = [
    Column::words("line"),
    Column::number("as\nstated"),
    Column::number("two legs\ncarry all"),
    Column::words("samples past that").aside("past that in #"),
    Column::number("most by\n`check`"),
    Column::words("samples past that").aside("past what `check` finds in #"),
];

const POINTS: [Column; 8] = [
    Column::words("point"),
    Column::number("down as\nstated"),
    Column::number("one in 20\nbelow"),
    Column::number("half\nbelow"),
    Column::number("one in 20\nabove"),
    Column::number("largest\nseen"),
    Column::number("allowed\ndown"),
    Column::words("past its allowance").aside("past its allowance, down or sideways, in #"),
];

const LOADS: [Column; 6] = [
    Column::words("load"),
    Column::number("as\nstated"),
    Column::number("one in 20\nbelow"),
    Column::number("half\nbelow"),
    Column::number("one in 20\nabove"),
    Column::number("largest\nseen"),
];

/// Heights are told to a thousandth of an inch.
const HEIGHT_STEP_M: f64 = 2.54e-5;

/// Sets an answer.
pub fn spread_page(answer: &SpreadAnswer, overlays: &[String], page: &Page) -> String {
    let mut out = page.after_word(answer.verdict, &answer.rig);
    out.push_str(&page.labelled("practice:", &answer.practice, 2));
    out.push_str(&overlays_sentence(overlays, page));
    out.push_str(&page.labelled("check decided by", &answer.decides, 2));
    if !answer.why_not.is_empty() {
        let why = format!("{}; nothing was sampled", answer.why_not);
        out.push_str(&page.labelled("it does not hang as stated:", &why, 2));
    }
    out.push_str(&page.labelled("samples:", &counted(answer, page), 2));
    out.push_str(&page.heading("What came out"));
    out.push_str(&page.bullets(&headlines(answer, page)));
    for (heading, table) in [
        ("Lines: tension", lines(answer, page)),
        (
            "What the tension of each line hangs on: shares of its variance",
            causes(answer, page),
        ),
        (
            "Sharing: how often two legs carry nearly all",
            sharing(answer, page),
        ),
        ("Points: force down on the building", points(answer, page)),
        (
            "Loads: heights above or below that as stated",
            loads(answer, page),
        ),
    ] {
        if !table.is_empty() {
            out.push_str(&page.heading(heading));
            out.push_str(&table);
        }
    }
    out.push_str(&page.heading("What was off in the samples, each by itself"));
    out.push_str(&page.bullets(&inputs(&answer.inputs, page.style)));
    if !answer.trust.is_empty() {
        out.push_str(&page.heading("How far this can be trusted"));
        out.push_str(&page.bullets(&answer.trust));
    }
    out.push_str(&page.heading("Assumed, because nobody said"));
    out.push_str(&page.bullets(&answer.defaults));
    out.push_str(&page.heading("Cautions"));
    out.push_str(&page.bullets(&answer.cautions));
    out
}

/// Says how many samples there are, and how they came out.
fn counted(answer: &SpreadAnswer, page: &Page) -> String {
    let of: &SampleCount = &answer.samples;
    let mut told = vec![if of.drawn < of.asked {
        format!(
            "ended early: {} of {} that were asked for, seed {}",
            of.drawn, of.asked, answer.seed
        )
    } else {
        format!("{}, seed {}", of.drawn, answer.seed)
    }];
    if of.hang == of.drawn && of.drawn > 0 {
        told.push("all of them hang".into());
    }
    for (count, how) in [
        (of.fall, "something falls"),
        (of.jam, "a line runs until it jams"),
        (of.no_rest, "no rest was found"),
    ] {
        if count > 0 {
            told.push(format!("in {count} {how}"));
        }
    }
    if of.hang < of.drawn {
        told.push(format!("all below is of the {} that hang", of.hang));
    }
    if of.hang_elsewhere > 0 {
        told.push(format!(
            "in {} it rolls over and hangs another way",
            of.hang_elsewhere
        ));
    }
    if let Some(gives) = answer.points_give_m_per_n {
        let gives = Kind::Compliance.print(gives, page.style);
        told.push(format!(
            "points that state no give are taken to give {gives}, as stated here too"
        ));
    }
    if !answer.without_cases.is_empty() {
        told.push(format!(
            "cases and stages are not in them: {}",
            answer.without_cases.join(", ")
        ));
    }
    told.join("; ")
}

/// Says the most important first.
fn headlines(answer: &SpreadAnswer, page: &Page) -> Vec<String> {
    let mut said = Vec::new();
    let of = &answer.samples;
    if of.hang < of.drawn {
        said.push(format!("does not hang in {}", chance(&of.does_not_hang)));
    }
    let greatest = |which: &dyn Fn(&LineSpread) -> Option<Chance>| {
        let each = answer
            .lines
            .iter()
            .filter_map(|(name, line)| Some((name.clone(), which(line)?)));
        each.reduce(|most, next| if next.1.count > most.1.count { next } else { most })
    };
    let any = answer.any_over_working_load.as_ref();
    said.extend(
        any.zip(greatest(&|line| line.over_working_load))
            .map(|(any, (name, over))| {
                if any.count == 0 {
                    format!(
                        "no line that has a working load passed it: a chance of {} at most",
                        percent(any.at_most)
                    )
                } else {
                    format!(
                        "some line passes its working load in {}{}",
                        chance(any),
                        most_often(&name, &over, any)
                    )
                }
            }),
    );
    // What is slack as stated is meant to be, or `check` says so.
    let is_slack = |line: &LineSpread| Some(line.slack).filter(|_| !line.slack_as_stated);
    let any = answer.any_slack.as_ref();
    said.extend(any.zip(greatest(&is_slack)).map(|(any, (name, slack))| {
        if any.count == 0 {
            format!("no line goes slack: a chance of {} at most", percent(any.at_most))
        } else {
            format!(
                "some line goes slack in {}{}",
                chance(any),
                most_often(&name, &slack, any)
            )
        }
    }));
    let points = answer
        .points
        .iter()
        .filter_map(|(name, point)| Some((name, point.over_allowed?)));
    if let Some((name, over)) = points
        .max_by_key(|(_, over)| over.count)
        .filter(|(_, over)| over.count > 0)
    {
        said.push(format!("`{name}` passes its allowance in {}", chance(&over)));
    }
    said.extend(answer.causes.as_ref().and_then(matters_most));
    said.extend(rule_of_thumb(answer, page));
    if said.is_empty() {
        said.push("nothing".into());
    }
    said
}

/// Says which line it is the most often, if that is not the same number.
fn most_often(name: &str, of: &Chance, any: &Chance) -> String {
    if of.count == any.count {
        format!(", and it is `{name}`")
    } else {
        format!("; the most often `{name}`, in {}", chance(of))
    }
}

/// Says what matters most to all lines together.
fn matters_most(causes: &Causes) -> Option<String> {
    let groups = [
        ("how long lines are", causes.lengths),
        ("how much loads weigh", causes.weight),
        ("where centres of gravity are", causes.centre),
        ("how stiff lines are", causes.stiffness),
        ("how much points give", causes.give),
    ];
    let (group, share) = groups.into_iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let most = causes.most.as_ref()?;
    if causes.left > 0.5 {
        return Some(format!(
            "no single thing matters most: {} of the variance of all tensions together is of things that matter only \
             together, or of lines that go slack; of what can be split, {group}, {}",
            percent(causes.left),
            percent(share)
        ));
    }
    Some(format!(
        "what matters most is {group}, {} of the variance of all tensions together; of single things, {}, {}",
        percent(share),
        most.says,
        percent(most.share)
    ))
}

/// Holds the rule of thumb of two legs beside what came out.
fn rule_of_thumb(answer: &SpreadAnswer, page: &Page) -> Option<String> {
    let legs = answer
        .lines
        .iter()
        .filter_map(|(name, line)| Some((name, line, line.two_legs.as_ref()?)));
    let (name, line, legs) = legs.reduce(|most, next| {
        if next.2.over.count > most.2.over.count {
            next
        } else {
            most
        }
    })?;
    let print = |force_n: f64| Kind::Force.print(force_n, page.style);
    let past = if legs.over.count == 0 {
        format!(
            "no line came past its share of that, a chance of {} at most",
            percent(legs.over.at_most)
        )
    } else {
        format!(
            "`{name}` came past its share of that, {}, in {}",
            print(legs.share_n),
            chance(&legs.over)
        )
    };
    let worst = line.worst_share_n.map_or(String::new(), |worst_n| {
        format!(
            "; `check` bounds `{name}` by {}, {}, for weight and centre as stated",
            print(worst_n),
            if line.within_tolerances {
                "for lengths within their tolerances"
            } else {
                "whatever the lengths"
            }
        )
    });
    Some(format!(
        "rule of thumb: of the {} lines on `{}` count on two alone; {past}{worst}. How often that is so hangs on the \
         tolerances that were taken, and no chance replaces the bound",
        legs.legs, legs.of
    ))
}

fn lines(answer: &SpreadAnswer, page: &Page) -> String {
    let style = page.style;
    let row = |(name, line): (&String, &LineSpread)| {
        let mut row = vec![name.clone()];
        row.extend(five(&line.tension_n, |force_n| force(Some(force_n), style)));
        row.push(rating(line.working_load_n, style));
        row.push(chance(&line.slack));
        row.push(line.over_working_load.as_ref().map(chance).unwrap_or_default());
        row
    };
    Table::new(&LINES, answer.lines.iter().map(row).collect()).set(page.width)
}

/// Prints how a quantity is spread: as stated, three percentiles and the largest.
fn five(of: &Spreading, print: impl Fn(f64) -> String) -> [String; 5] {
    // What so few samples give no limits of is not known.
    let told = |estimate: &Estimate| {
        let is_known = estimate.at_least.is_some() || estimate.at_most.is_some();
        if is_known {
            print(estimate.value)
        } else {
            "unknown".into()
        }
    };
    [
        print(of.as_stated),
        told(&of.percent_5),
        told(&of.median),
        told(&of.percent_95),
        print(of.greatest),
    ]
}

fn causes(answer: &SpreadAnswer, page: &Page) -> String {
    let of_line = |(name, line): (&String, &LineSpread)| Some((name.clone(), line.causes.clone()?));
    let all = answer.causes.clone().filter(|_| answer.lines.len() > 1);
    let each = answer.lines.iter().filter_map(of_line);
    let row = |(name, causes): (String, Causes)| {
        let give = if answer.inputs.iter().any(|input| input.group == Group::Give) {
            share(causes.give)
        } else {
            String::new()
        };
        let most = causes
            .most
            .map(|most| format!("{}, {}", most.says, share(most.share)));
        vec![
            name,
            share(causes.lengths),
            share(causes.weight),
            share(causes.centre),
            share(causes.stiffness),
            give,
            share(causes.left),
            most.unwrap_or_default(),
        ]
    };
    let together = all.map(|all| ("all together".to_string(), all));
    Table::new(&CAUSES, each.chain(together).map(row).collect()).set(page.width)
}

fn sharing(answer: &SpreadAnswer, page: &Page) -> String {
    let style = page.style;
    let concerned =
        |(_, line): &(&String, &LineSpread)| line.two_legs.is_some() || line.worst_share_n.is_some();
    let row = |(name, line): (&String, &LineSpread)| {
        let legs = line.two_legs.as_ref();
        let by_check = if line.set_by_adjustment {
            "no bound".into()
        } else {
            line.worst_share_n
                .map_or_else(String::new, |worst_n| force(Some(worst_n), style))
        };
        vec![
            name.clone(),
            force(Some(line.tension_n.as_stated), style),
            legs.map_or_else(String::new, |legs| force(Some(legs.share_n), style)),
            legs.map_or_else(String::new, |legs| chance(&legs.over)),
            by_check,
            line.over_worst_share.as_ref().map(chance).unwrap_or_default(),
        ]
    };
    Table::new(&SHARING, answer.lines.iter().filter(concerned).map(row).collect()).set(page.width)
}

fn points(answer: &SpreadAnswer, page: &Page) -> String {
    let style = page.style;
    let row = |(name, point): (&String, &app::PointSpread)| {
        let mut row = vec![name.clone()];
        // Where it is pulled up, "above" means further up.
        let mut of = point.down_n;
        if of.as_stated < 0.0 {
            std::mem::swap(&mut of.percent_5, &mut of.percent_95);
            std::mem::swap(&mut of.least, &mut of.greatest);
        }
        row.extend(five(&of, |force_n| force_down(Some(force_n), style)));
        row.push(force(point.allowed_down_n, style));
        row.push(point.over_allowed.as_ref().map(chance).unwrap_or_default());
        row
    };
    Table::new(&POINTS, answer.points.iter().map(row).collect()).set(page.width)
}

fn loads(answer: &SpreadAnswer, page: &Page) -> String {
    let style = page.style;
    let small = |length_m: f64| length(length_m, style);
    // A tilt of a tenth of a degree is an inch on fifty feet.
    let tilt = |tilt_deg: f64| Kind::Angle.print((tilt_deg * 100.0).round().to_radians() / 100.0, style);
    let rows = |(name, load): (&String, &app::LoadSpread)| {
        let row = |what: &str, five: [String; 5]| {
            let mut row = vec![format!("{name}, {what}")];
            row.extend(five);
            row
        };
        [
            row("height", heights(&load.height_m, style)),
            row("out of level", five(&load.out_of_level_m, small)),
            row("tilt", five(&load.tilt_deg, tilt)),
        ]
    };
    Table::new(&LOADS, answer.loads.iter().flat_map(rows).collect()).set(page.width)
}

/// Prints a height as stated, and the others by how much they are above or below it.
fn heights(of: &Spreading, style: Style) -> [String; 5] {
    let mut printed = five(of, |height_m| {
        let steps = ((height_m - of.as_stated) / HEIGHT_STEP_M).round();
        let by = Kind::Stretch.print(steps.abs() * HEIGHT_STEP_M, style);
        match steps {
            0.0 => by,
            above if above > 0.0 => format!("+{by}"),
            _ => format!("-{by}"),
        }
    });
    printed[0] = length(of.as_stated, style);
    printed
}

/// Lists what was off, alike things together.
fn inputs(inputs: &[InputSpread], style: Style) -> Vec<String> {
    let mut alike: Vec<(String, Vec<&str>)> = Vec::new();
    for input in inputs {
        let by = match (input.by_m, input.by_share) {
            (Some(by_m), _) => Kind::Stretch.print(by_m, style),
            (_, share) => percent(share.unwrap_or_default()),
        };
        let what = match input.group {
            Group::Lengths => "length",
            Group::Weight => "weight",
            Group::Centre => "centre of gravity",
            Group::Stiffness => "stiffness",
            Group::Give => "what it gives",
        };
        let how = match input.law {
            InputLaw::Even => format!("anywhere within {by} either way"),
            InputLaw::Normal => format!("normal, {by} either way in 19 of 20"),
        };
        let which = input
            .says
            .strip_prefix("where along its own ")
            .and_then(|says| says.get(..1));
        let along = which.map_or(String::new(), |axis| format!(" along own {axis}"));
        let assumed = if input.assumed { " (assumed)" } else { "" };
        let says = format!("{what}{along}, {how}{assumed}");
        match alike.iter_mut().find(|(known, _)| *known == says) {
            Some((_, of)) => of.push(&input.of),
            None => alike.push((says, vec![&input.of])),
        }
    }
    alike
        .iter()
        .map(|(says, of)| format!("{says}: {}", of.join(", ")))
        .collect()
}

/// Writes a chance with its limits.
fn chance(of: &Chance) -> String {
    match of.chance {
        None => "no samples".into(),
        Some(_) if of.count == 0 => format!("none of {} (at most {})", of.of, percent(of.at_most)),
        Some(_) if of.count == of.of => format!("all of {} (at least {})", of.of, percent(of.at_least)),
        Some(chance) => {
            format!(
                "{} ({} to {})",
                percent(chance),
                percent(of.at_least),
                percent(of.at_most)
            )
        }
    }
}

/// Writes a share of one, two figures of it or of what is missing to one.
fn percent(share: f64) -> String {
    let nearest = share.min(1.0 - share).abs();
    if nearest <= 0.0 {
        return format!("{:.0} %", 100.0 * share);
    }
    let decimals = (1.0 - (100.0 * nearest).log10().floor()).clamp(0.0, 7.0) as usize;
    let printed = format!("{:.decimals$}", 100.0 * share);
    let short = if decimals > 0 {
        printed.trim_end_matches('0').trim_end_matches('.')
    } else {
        &printed
    };
    format!("{short} %")
}

/// Writes a share of variance, whole per cents.
fn share(of: f64) -> String {
    if of > 1e-9 && of < 0.005 {
        "under 1 %".into()
    } else {
        format!("{:.0} %", 100.0 * of)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_near_nothing_and_near_all_keep_two_figures() {
        for (of, is) in [
            (0.0, "0 %"),
            (0.000_368_8, "0.037 %"),
            (0.0861, "8.6 %"),
            (0.5, "50 %"),
            (0.999_631_2, "99.963 %"),
            (1.0, "100 %"),
            (0.02, "2 %"),
            (0.12, "12 %"),
        ] {
            assert_eq!(percent(of), is);
        }
    }

    #[test]
    fn none_seen_is_said_with_what_it_may_be() {
        let of = |count, at_least, at_most| Chance {
            count,
            of: 10_000,
            chance: Some(count as f64 / 10_000.0),
            at_least,
            at_most,
        };
        assert_eq!(
            chance(&of(0, 0.0, 0.000_368_8)),
            "none of 10000 (at most 0.037 %)"
        );
        assert_eq!(chance(&of(861, 0.080_65, 0.091_78)), "8.6 % (8.1 % to 9.2 %)");
        assert_eq!(
            chance(&of(10_000, 0.999_631, 1.0)),
            "all of 10000 (at least 99.963 %)"
        );
    }
}
