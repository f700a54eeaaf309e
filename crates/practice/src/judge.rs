//! Judges a rig, or a makeup alone, by every rule.

use crate::facts::{Bend, EndAt, Facts, LineFacts, Role, Service, Under};
use crate::finding::Finding;
use crate::judgement::Judgement;
use crate::measure::measure;
use crate::practice::Practice;
use crate::rule::{Judged, Rule, rules};
use parts::Makeup;
use std::cmp::Reverse;
use std::collections::HashMap;
use std::sync::Arc;

/// Judges a rig by every rule.
pub fn judge(facts: &Facts) -> Judgement {
    by_rules(facts, |_| true)
}

/// Judges a makeup by the rules that need no rig: may it be used here at all, and what may it carry?
pub fn judge_makeup(
    makeup: &Arc<Makeup>,
    bends: &[Bend],
    practice: &Practice,
    under: Under,
    service: Service,
) -> Judgement {
    let end = || EndAt::Point(String::new());
    let line = LineFacts {
        name: makeup.name.clone(),
        makeup: Some(makeup.clone()),
        loads: Vec::new(),
        under,
        service,
        dynamic: None,
        tension_n: None,
        worst_share_n: None,
        within_tolerances: false,
        set_by_adjustment: false,
        slip_range_n: None,
        slack: false,
        role: Role::Carries,
        lifts: false,
        from_horizontal_rad: std::f64::consts::FRAC_PI_2,
        ends: [end(), end()],
        bends: bends.to_vec(),
    };
    let facts = Facts {
        practice: practice.clone(),
        today: None,
        loads: Vec::new(),
        lines: vec![line],
        points: Vec::new(),
        groups: Vec::new(),
        junctions: Vec::new(),
        pipes: Vec::new(),
        allowances: Vec::new(),
        falls: None,
        winds: Vec::new(),
        simplified: Vec::new(),
        temperature_k: None,
        out_of_trim_m: Vec::new(),
    };
    by_rules(&facts, |rule| !rule.needs_rig)
}

fn by_rules(facts: &Facts, asked: impl Fn(&Rule) -> bool) -> Judgement {
    let measured = measure(facts);
    let judged = Judged {
        facts,
        measured: &measured,
    };
    let mut findings: Vec<Finding> = rules()
        .iter()
        .filter(|rule| asked(rule))
        .flat_map(|rule| (rule.judge)(&judged))
        .collect();
    let order = order_of_subjects(facts);
    let last = order.len();
    // The sort is stable, so on one subject the order of the rules stays.
    findings.sort_by_key(|finding| {
        (
            Reverse(finding.severity),
            order.get(finding.subject.as_str()).copied().unwrap_or(last),
        )
    });
    // Two loads that hang together are tried together, and come to the same.
    findings.dedup();
    Judgement { measured, findings }
}

/// Numbers the subjects in the order of the facts: the practice, loads, pipes, lines with their makeups, junctions, points.
pub(crate) fn order_of_subjects(facts: &Facts) -> HashMap<String, usize> {
    let mut order = HashMap::from([("practice".to_string(), 0)]);
    let loads = facts.loads.iter().map(|load| format!("loads.{}", load.name));
    let pipes = facts.pipes.iter().map(|pipe| format!("pipes.{}", pipe.name));
    let lines = facts.lines.iter().flat_map(|line| {
        let makeup = line
            .makeup
            .iter()
            .map(|makeup| format!("makeups.{}", makeup.name));
        std::iter::once(format!("lines.{}", line.name)).chain(makeup)
    });
    let junctions = facts
        .junctions
        .iter()
        .map(|junction| format!("junctions.{}", junction.name));
    let points = facts.points.iter().map(|point| format!("points.{}", point.name));
    let groups = facts.groups.iter().map(|group| format!("groups.{}", group.name));
    let hung = loads.chain(pipes).chain(lines);
    for subject in hung.chain(junctions).chain(points).chain(groups) {
        let next = order.len();
        order.entry(subject).or_insert(next);
    }
    order
}
