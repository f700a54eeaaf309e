//! The public below.
//!
//! Conventions: the subject is a line, a junction or a point; what it has is compared with what it is held against.
//! Assumes: ten for rope and half a rating for hardware are what the public may expect, whatever the practice says.
//! Valid for: subjects with the public below that have a demand.
//! Source: [bib:dguv-313-21], Table 1; [bib:maillon-fr] and [bib:univ-prod] (half of the rating).
//! Checked by: the tests below, at the limits; tests/main/published.rs (ex13).

use crate::facts::Under;
use crate::finding::{Finding, Severity};
use crate::judgement::PartLoad;
use crate::rule::{Judged, Rule, SourceRef};
use crate::says;
use working::{Number, Seen};

pub(crate) static RULE: Rule = Rule {
    id: "public-below",
    title: "Over the public, rope keeps ten and hardware half its rating",
    statement: "With the public below, rope where its ends hold it has ten times what it is held against, and hardware \
                is used at half its maker's rating at most. A looser practice does not change that this is a caution.",
    sources: &[
        SourceRef::Cited("dguv-313-21", "doubled coefficients", Seen::Text),
        SourceRef::Cited("maillon-fr", "coefficient of two on the rating", Seen::Text),
        SourceRef::Cited("univ-prod", "half of the rating on stage", Seen::Text),
    ],
    severity: Severity::Caution,
    needs_rig: true,
    judge,
};

const ROPE: f64 = 10.0;
const HARDWARE: f64 = 2.0;
/// A demand at the limit itself may come out a little past it.
const ROUNDING: f64 = 1e-9;

fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (facts, line) in judged.lines().filter(|(facts, _)| facts.under == Under::Public) {
        let Some(demand) = &line.demand_n else { continue };
        let short = shortfalls(&line.load.by_part, demand);
        if !short.is_empty() {
            let says = format!(
                "`{}` is held against {}: {}",
                facts.name,
                says::rating(demand),
                short.join("; ")
            );
            findings.push(RULE.caution(format!("lines.{}", facts.name), says, MEND));
        }
    }
    let junctions = judged
        .facts
        .junctions
        .iter()
        .map(|at| (at.under, "junctions"))
        .zip(
            judged
                .measured
                .junctions
                .iter()
                .map(|at| (&at.name, &at.demand_n, &at.rating_n)),
        );
    let points = judged.facts.points.iter().map(|at| (at.under, "points")).zip(
        judged
            .measured
            .points
            .iter()
            .map(|at| (&at.name, &at.demand_n, &at.rating_n)),
    );
    for ((under, room), (name, demand, rating)) in junctions.chain(points) {
        let (Some(demand), Some(rating), Under::Public) = (demand, rating, under) else {
            continue;
        };
        if let Some(short) = hardware("the part there", rating, demand) {
            let says = format!("`{name}` is held against {}: {short}", says::rating(demand));
            findings.push(RULE.caution(format!("{room}.{name}"), says, MEND));
        }
    }
    findings
}

const MEND: &str = "Use stronger parts, or keep the public out from below.";

/// Says where the rope keeps least, if that is short, and which hardware is past half, each part once.
fn shortfalls(parts: &[PartLoad], demand: &Number) -> Vec<String> {
    let strengths = parts
        .iter()
        .filter_map(|part| Some((part, part.strength_n.as_ref()?)));
    let weakest = strengths.min_by(|(_, a), (_, b)| a.value().total_cmp(&b.value()));
    let mut short: Vec<String> = weakest
        .and_then(|(part, strength)| rope(&which(part), strength, demand))
        .into_iter()
        .collect();
    let mut seen: Vec<&str> = Vec::new();
    for part in parts.iter().filter(|part| part.rating_n.is_some()) {
        if !seen.contains(&part.part.as_str()) {
            seen.push(&part.part);
            let rating = part.rating_n.as_ref();
            short.extend(rating.and_then(|rating| hardware(&which(part), rating, demand)));
        }
    }
    short
}

fn which(part: &PartLoad) -> String {
    format!("`{}` ({})", part.part, part.place)
}

fn rope(which: &str, strength: &Number, demand: &Number) -> Option<String> {
    let short = strength.value() < ROPE * demand.value() * (1.0 - ROUNDING);
    short.then(|| {
        // Rounded down, so that 9.996 is not printed as the ten that it falls short of.
        let keeps = (100.0 * strength.value() / demand.value()).floor() / 100.0;
        let strength = says::rating(strength);
        format!("{which} leaves the rope {strength}, {keeps:.2} times that; ten times is due")
    })
}

fn hardware(which: &str, rating: &Number, demand: &Number) -> Option<String> {
    let short = rating.value() < HARDWARE * demand.value() * (1.0 - ROUNDING);
    short.then(|| format!("{which} is past half its rating of {}", says::rating(rating)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Practices;
    use crate::samples::{self, LB};

    fn found(pounds: f64, under: Under) -> Vec<String> {
        let mut facts = samples::rig();
        facts.lines = vec![samples::line("nw", samples::plain(), pounds)];
        samples::set_all_under(&mut facts, under);
        samples::severities(RULE.id, &facts)
    }

    /// 4200 lbf x 0.95 / 10 = 399 lbf.
    #[test]
    fn rope_at_under_ten_times_is_a_caution_over_the_public_alone() {
        assert!(found(399.0, Under::Public).is_empty());
        assert_eq!(found(399.1, Under::Public), ["caution"]);
        assert!(found(399.1, Under::Crew).is_empty());
    }

    #[test]
    fn the_poorest_place_of_the_rope_is_named_and_each_part_once() {
        let mut facts = samples::rig();
        facts.lines = vec![samples::line("nw", samples::plain(), 1100.0)];
        samples::set_all_under(&mut facts, Under::Public);
        assert_eq!(
            samples::found(RULE.id, &facts)[0].says,
            "`nw` is held against 1100 lb (4.893 kN): `eye-sleeve-3/16` (upper end) leaves the rope 3990 lb \
             (17.75 kN), 3.62 times that; ten times is due; `shackle-3/8` (upper end) is past half its rating of \
             2000 lb (8.896 kN)"
        );
    }

    #[test]
    fn hardware_past_half_its_rating_is_a_caution() {
        let mut facts = samples::rig();
        samples::set_all_under(&mut facts, Under::Public);
        facts.practice = Practices::published().get("static-overhead-german").unwrap();
        for (rating, expected) in [(600.0, 0), (599.0, 1)] {
            facts.junctions = vec![samples::junction(Some(samples::link(rating, Some(4.0))))];
            facts.junctions[0].under = Under::Public;
            facts.junctions[0].greatest_n = Some(samples::force(300.0 * LB));
            assert_eq!(samples::found(RULE.id, &facts).len(), expected, "{rating}");
        }
    }
}
