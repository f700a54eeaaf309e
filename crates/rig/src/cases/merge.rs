//! One verdict on a rig and all of its cases: the worst governs, and the verdict says which it is.
//!
//! Conventions: the plain rig comes first, then cases and stages in the order of the document.
//! Assumes: every case was judged under the same practice and books.
//! Valid for: rigs with cases or stages; one without keeps its own verdict.
//! Source: `practice::governing`.
//! Checked by: tests/main/cases.rs.

use super::variable::{AtRest, dead_of, on_ends, on_group, on_points};
use super::verdict::{CaseKind, OnBuilding, case_verdict};
use crate::check::{Judged, nearest_limit};
use crate::pipes::{BayVerdict, BuiltInVerdict, PipeVerdict, deepest};
use crate::verdict::{LineVerdict, Verdict, VerdictWord};
use indexmap::IndexMap;
use practice::{Finding, Governing, JudgedCase, Severity, governing};
use working::Number;

use super::read::PLAIN;

/// A case or a stage, judged by itself.
#[derive(Debug)]
pub(crate) struct CaseJudged {
    pub(crate) name: String,
    pub(crate) kind: CaseKind,
    pub(crate) judged: Judged,
    /// Numbers that only the case has, by path.
    pub(crate) numbers: IndexMap<String, Number>,
}

/// Puts the verdicts on a rig and its cases together.
pub(crate) fn merged(plain: &Judged, cases: &[CaseJudged]) -> Verdict {
    let judged: Vec<&Judged> = std::iter::once(plain)
        .chain(cases.iter().map(|case| &case.judged))
        .collect();
    let names: Vec<Option<&str>> = std::iter::once(None)
        .chain(cases.iter().map(|case| Some(case.name.as_str())))
        .collect();
    let told: Vec<JudgedCase<'_>> = judged
        .iter()
        .zip(&names)
        .map(|(of, name)| JudgedCase {
            name: *name,
            facts: &of.facts,
            judgement: &of.judgement,
        })
        .collect();
    let governs = governing(&told);
    let mut verdict = plain.verdict.clone();
    verdict.verdict = VerdictWord::of(&governs.findings);
    verdict.decides = decides(&governs.findings, &judged, &names);
    let verdicts: Vec<&Verdict> = judged.iter().map(|of| &of.verdict).collect();
    take(&mut verdict.lines, "lines", &governs, |case| {
        (&verdicts[case].lines, names[case])
    });
    keep_lengths(&mut verdict.lines, &plain.verdict.lines);
    take(&mut verdict.pipes, "pipes", &governs, |case| {
        (&verdicts[case].pipes, names[case])
    });
    take(&mut verdict.points, "points", &governs, |case| {
        (&verdicts[case].points, names[case])
    });
    take(&mut verdict.groups, "groups", &governs, |case| {
        (&verdicts[case].groups, names[case])
    });
    take(&mut verdict.junctions, "junctions", &governs, |case| {
        (&verdicts[case].junctions, names[case])
    });
    let mut numbers = governing_numbers(&verdicts, &names, &governs);
    take_bays(&mut verdict.pipes, &mut numbers, &verdicts, &names);
    take_built_in(&mut verdict.pipes, &mut numbers, &verdicts, &names);
    let on_building = on_building(plain, cases);
    for ((name, of), on) in names.iter().zip(&judged).zip(&on_building) {
        let name = name.unwrap_or(PLAIN);
        let case = name_of(cases, name);
        let own = case
            .into_iter()
            .flat_map(|case| &case.numbers)
            .map(|(path, n)| (path.clone(), n));
        let alone = of
            .verdict
            .numbers
            .iter()
            .map(|(path, number)| (path.clone(), number));
        let paths = own.chain(alone).chain(on.numbers());
        numbers.extend(paths.map(|(path, number)| (format!("cases.{name}.{path}"), number.clone())));
        let kind = case.map_or(CaseKind::Plain, |case| case.kind);
        verdict
            .cases
            .insert(name.to_string(), case_verdict(kind, &of.verdict, on));
    }
    verdict.numbers = numbers;
    verdict.defaults.extend(assumed(plain, cases));
    verdict.findings = governs.findings;
    verdict
}

fn name_of<'a>(cases: &'a [CaseJudged], name: &str) -> Option<&'a CaseJudged> {
    cases.iter().find(|case| case.name == name)
}

/// Something of a verdict that says in which case it is so.
pub(crate) trait InCase: Clone {
    /// Gives the place where it says so.
    fn case(&mut self) -> &mut Option<String>;
}

/// Takes what a section says of each subject from the case that decides on it.
fn take<'a, T: InCase + 'a>(
    section: &mut IndexMap<String, T>,
    key: &str,
    governs: &Governing,
    of: impl Fn(usize) -> (&'a IndexMap<String, T>, Option<&'a str>),
) {
    for (name, told) in section.iter_mut() {
        let case = governs.of(&format!("{key}.{name}"));
        let (told_there, case) = of(case);
        if let Some(there) = told_there.get(name).filter(|_| case.is_some()) {
            *told = there.clone();
            *told.case() = case.map(str::to_string);
        }
    }
}

/// Keeps the lengths that lines are made to: those of the plain rig, whatever heat, or another place to hang, makes of them in the
/// case that decides.
fn keep_lengths(lines: &mut IndexMap<String, LineVerdict>, plain: &IndexMap<String, LineVerdict>) {
    for (name, line) in lines {
        if let Some(plain) = plain.get(name) {
            line.unloaded_length_m = plain.unloaded_length_m;
            line.to_trim = plain.to_trim;
            line.rope_length_m = plain.rope_length_m;
            line.settles_m = plain.settles_m;
        }
    }
}

/// Takes the deflection of each bay of each pipe from the case in which it is the greatest, and the numbers behind it. Where a pick
/// lifts off there are other bays, so these are told by name.
fn take_bays(
    pipes: &mut IndexMap<String, PipeVerdict>,
    numbers: &mut IndexMap<String, Number>,
    verdicts: &[&Verdict],
    names: &[Option<&str>],
) {
    for (name, pipe) in pipes {
        // By name of the bay, the case that has most of it, and the place of it there.
        let mut most: IndexMap<&str, (usize, usize, &BayVerdict)> = IndexMap::new();
        for (case, verdict) in verdicts.iter().enumerate() {
            let bays = verdict.pipes.get(name).map_or(&[][..], |pipe| &pipe.bays);
            for (i, bay) in bays.iter().enumerate() {
                let is_more = most.get(bay.name.as_str()).is_none_or(|(_, _, most)| {
                    bay.deflection_m.unwrap_or(0.0) > most.deflection_m.unwrap_or(0.0) * (1.0 + SAME)
                });
                if is_more {
                    most.insert(&bay.name, (case, i, bay));
                }
            }
        }
        let path = |i: usize, key: &str| format!("pipes.{name}.bay_{}_{key}", i + 1);
        let keys = ["deflection", "allowed"];
        numbers.retain(|known, _| !known.starts_with(&format!("pipes.{name}.bay_")));
        pipe.bays.clear();
        for (to, (case, from, bay)) in most.into_values().enumerate() {
            let case_name = names.get(case).copied().flatten();
            pipe.bays.push(BayVerdict {
                case: case_name.map(str::to_string),
                ..bay.clone()
            });
            for key in keys {
                if let Some(number) = verdicts[case].numbers.get(&path(from, key)) {
                    numbers.insert(path(to, key), told_in(number, case_name));
                }
            }
        }
        pipe.deflection_m = deepest(&pipe.bays);
    }
}

/// Takes the greatest force and the greatest moment at each built-in end, each from the case that brings it, and the numbers behind
/// them.
fn take_built_in(
    pipes: &mut IndexMap<String, PipeVerdict>,
    numbers: &mut IndexMap<String, Number>,
    verdicts: &[&Verdict],
    names: &[Option<&str>],
) {
    for (name, pipe) in pipes {
        for (end, here) in &mut pipe.built_in {
            let there = |case: usize| verdicts[case].pipes.get(name)?.built_in.get(end);
            let most = |of: fn(&BuiltInVerdict) -> f64| {
                let each = (0..verdicts.len()).filter_map(|case| Some((case, of(there(case)?))));
                each.reduce(|most, next| {
                    if next.1 > most.1 * (1.0 + SAME) {
                        next
                    } else {
                        most
                    }
                })
            };
            let force = most(|end| end.demand_force_n.unwrap_or(end.force_n));
            let moment = most(|end| end.demand_moment_nm.unwrap_or(end.moment_nm));
            if let Some(told) = force.and_then(|(case, _)| there(case)) {
                (here.force_n, here.down_n, here.side_n) = (told.force_n, told.down_n, told.side_n);
                here.demand_force_n = told.demand_force_n;
            }
            if let Some(told) = moment.and_then(|(case, _)| there(case)) {
                (here.moment_nm, here.demand_moment_nm) = (told.moment_nm, told.demand_moment_nm);
            }
            for (key, most) in [("force", force), ("moment", moment)] {
                let Some((case, _)) = most else { continue };
                here.cases
                    .insert(key.into(), names[case].unwrap_or(PLAIN).to_string());
                for path in [
                    format!("pipes.{name}.{end}_{key}"),
                    format!("pipes.{name}.{end}_demand_{key}"),
                ] {
                    if let Some(number) = verdicts[case].numbers.get(&path) {
                        numbers.insert(path, told_in(number, names[case]));
                    }
                }
            }
        }
    }
}

/// Gives a number that says of which case it is; nothing where it is of the plain rig.
fn told_in(number: &Number, case: Option<&str>) -> Number {
    let number = number.clone();
    match case {
        Some(case) => number.remark(format!("in case `{case}`")),
        None => number,
    }
}

/// Says what decides over all cases.
fn decides(findings: &[Finding], judged: &[&Judged], names: &[Option<&str>]) -> String {
    let within = |case: Option<&str>, subject: &str, says: &str| match case {
        Some(case) => format!("{subject}, in case `{case}`: {says}"),
        None => format!("{subject}: {says}"),
    };
    if let Some(finding) = findings.iter().find(|finding| finding.severity != Severity::Note) {
        return within(finding.case.as_deref(), &finding.subject, &finding.says);
    }
    let nearest = judged
        .iter()
        .zip(names)
        .filter_map(|(of, name)| Some((nearest_limit(&of.judgement)?, *name)));
    // What comes first of what is used alike, by more than rounding.
    let nearest = nearest.reduce(|most, next| {
        if next.0.utilisation > most.0.utilisation * (1.0 + SAME) {
            next
        } else {
            most
        }
    });
    match nearest {
        Some((limit, case)) => within(case, &limit.subject, &limit.says),
        None => "nothing is carried".into(),
    }
}

/// Uses that differ by no more than this share are the same, found from another start.
const SAME: f64 = 1e-6;

/// Gathers the numbers of the verdict by path: those of a subject are of the case that decides on it, and say so.
fn governing_numbers(
    verdicts: &[&Verdict],
    names: &[Option<&str>],
    governs: &Governing,
) -> IndexMap<String, Number> {
    // A group may have a dot in its name; what is said of it has none.
    let subject_of = |path: &str| {
        path.rsplit_once('.')
            .map_or(String::new(), |(of, _)| of.to_string())
    };
    let mut found = IndexMap::new();
    let Some(plain) = verdicts.first() else {
        return found;
    };
    for (path, number) in &plain.numbers {
        let subject = subject_of(path);
        let case = governs.of(&subject);
        let Some((there, name)) = verdicts.get(case).zip(names.get(case).copied().flatten()) else {
            found.insert(path.clone(), number.clone());
            continue;
        };
        for (path, number) in there
            .numbers
            .iter()
            .filter(|(path, _)| subject_of(path) == subject)
        {
            if !found.contains_key(path) {
                found.insert(path.clone(), told_in(number, Some(name)));
            }
        }
    }
    found
}

/// Parts what the building gets in the plain rig and in each case.
fn on_building(plain: &Judged, cases: &[CaseJudged]) -> Vec<OnBuilding> {
    let dead_plain = at_rest(plain).and_then(dead_of);
    let plain_on = parted(plain, plain, dead_plain.as_ref());
    let each = cases.iter().map(|case| match case.kind {
        // What is not there yet is no part of what hangs.
        CaseKind::Stage => {
            let dead = at_rest(&case.judged).and_then(dead_of);
            parted(&case.judged, &case.judged, dead.as_ref())
        }
        CaseKind::Case | CaseKind::Plain => parted(&case.judged, plain, dead_plain.as_ref()),
    });
    std::iter::once(plain_on).chain(each).collect()
}

fn at_rest(of: &Judged) -> Option<AtRest<'_>> {
    Some(AtRest {
        model: &of.model,
        solution: of.found.solution()?,
    })
}

fn parted(of: &Judged, dead_rig: &Judged, dead: Option<&statics::Solution>) -> OnBuilding {
    let (Some(all), Some(solution)) = (at_rest(of), dead) else {
        return OnBuilding::default();
    };
    let dead = AtRest {
        model: &dead_rig.model,
        solution,
    };
    let points = on_points(all, dead);
    let groups = of.facts.groups.iter().map(|group| {
        let each: Vec<_> = group
            .points
            .iter()
            .filter_map(|point| points.get(point))
            .collect();
        (group.name.clone(), on_group(&group.name, &each))
    });
    OnBuilding {
        groups: groups.collect(),
        built_in: on_ends(all, dead),
        points,
    }
}

/// Says what was assumed in cases and not in the plain rig, and in which.
fn assumed(plain: &Judged, cases: &[CaseJudged]) -> Vec<String> {
    let mut found: IndexMap<String, Vec<&str>> = IndexMap::new();
    for case in cases {
        for sentence in case.judged.defaults.beyond(&plain.defaults) {
            found.entry(sentence).or_default().push(&case.name);
        }
    }
    let said = found.into_iter().map(|(sentence, cases)| {
        let cases: Vec<String> = cases.iter().map(|case| format!("`{case}`")).collect();
        format!("in {}: {sentence}", cases.join(", "))
    });
    said.collect()
}
