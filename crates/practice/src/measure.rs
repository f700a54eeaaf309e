//! What lines, points, groups, junctions and pipes may carry, what they are held against, and how the one compares with the
//! other.

use crate::bending::judge_pipe;
use crate::demand;
use crate::facts::{Facts, GroupFacts, JunctionFacts, LineFacts, PipeFacts, PointFacts, Under};
use crate::judgement::{
    GroupJudgement, JunctionJudgement, LineJudgement, LineLoad, Measured, PointJudgement, Unrated,
};
use crate::practice::Practice;
use crate::rating::{self, Rated};
use crate::utilisation;
use crate::working_load::working_load;
use parts::{Body, Part};
use std::sync::Arc;
use working::Number;

/// Measures everything that a rig tells of.
pub(crate) fn measure(facts: &Facts) -> Measured {
    Measured {
        lines: facts
            .lines
            .iter()
            .map(|line| judge_line(line, &facts.practice))
            .collect(),
        points: facts
            .points
            .iter()
            .map(|point| judge_point(point, facts))
            .collect(),
        groups: facts
            .groups
            .iter()
            .map(|group| judge_group(group, facts))
            .collect(),
        junctions: facts
            .junctions
            .iter()
            .map(|junction| judge_junction(junction, facts))
            .collect(),
        pipes: facts.pipes.iter().map(|pipe| judge_pipe(pipe, facts)).collect(),
    }
}

/// Measures some pipes and nothing else.
pub(crate) fn measure_pipes(pipes: &[PipeFacts], facts: &Facts) -> Measured {
    Measured {
        lines: Vec::new(),
        points: Vec::new(),
        groups: Vec::new(),
        junctions: Vec::new(),
        pipes: pipes.iter().map(|pipe| judge_pipe(pipe, facts)).collect(),
    }
}

fn judge_line(line: &LineFacts, practice: &Practice) -> LineJudgement {
    let demand_n = demand::of_line(line, practice);
    let load = match &line.makeup {
        Some(makeup) => working_load(makeup, &line.bends, practice, line.under),
        None => unmade(),
    };
    LineJudgement {
        name: line.name.clone(),
        utilisation: utilisation::of_working_load(demand_n.as_ref(), load.working_load_n.as_ref()),
        load,
        demand_n,
    }
}

fn unmade() -> LineLoad {
    let why = "it is given by stiffness alone, without a makeup".to_string();
    let unrated = vec![Unrated {
        part: String::new(),
        place: "line".into(),
        why,
    }];
    LineLoad {
        unrated,
        ..Default::default()
    }
}

/// What a part in the building or between lines may carry, or why that is not known.
pub(crate) type PartRating = (Option<Rated>, Option<Unrated>);

pub(crate) fn rate(part: &Part, place: &str, rated: Result<Rated, String>) -> PartRating {
    match rated {
        Ok(rated) => (Some(rated), None),
        Err(why) => (
            None,
            Some(Unrated {
                part: part.id.clone(),
                place: place.into(),
                why,
            }),
        ),
    }
}

/// What a part breaks at, or at the least what its maker rates it at.
pub(crate) fn breaking(rated: Option<&Rated>, part: Option<&Part>) -> Option<Number> {
    let known = rated.map(|rated| rated.breaking_n.clone());
    known.or_else(|| rating::unscaled(part?))
}

pub(crate) fn refuses(practice: &Practice, under: Under) -> String {
    format!(
        "the practice `{}` has no design factors with {}",
        practice.id,
        under.words()
    )
}

fn judge_point(point: &PointFacts, facts: &Facts) -> PointJudgement {
    let (rated, unrated) = point.part.as_ref().map_or((None, None), |part| {
        let rated = match facts.practice.factors(point.under) {
            Some(factors) => rating::at_point(part, point.off_axis_rad, factors),
            None => Err(refuses(&facts.practice, point.under)),
        };
        rate(part, "point", rated)
    });
    let demand_n = demand::at_point(point, &facts.practice);
    let down_n = demand::down(point, &facts.practice);
    let up_n = demand::up(point, &facts.practice);
    let side_n = demand::side(point, &facts.practice);
    let working_load_n = rated.as_ref().map(|rated| rated.working_load_n.clone());
    let governing_part = point.part.as_ref().map(|part| part.id.clone());
    let of_part = utilisation::of_working_load(demand_n.as_ref(), working_load_n.as_ref());
    let mut shares: Vec<(Number, String)> = of_part
        .zip(governing_part.as_ref())
        .map(|(share, part)| (share, format!("force on `{part}` against its working load")))
        .into_iter()
        .collect();
    shares.extend(utilisation::of_allowance(
        point.allows.as_ref(),
        [down_n.as_ref(), up_n.as_ref()],
        side_n.as_ref(),
    ));
    let (utilisation, governs) = utilisation::governing(shares);
    let by_angle = |part: &Arc<Part>| matches!(part.body, Body::EyeBolt(_) | Body::Shackle(_));
    PointJudgement {
        name: point.name.clone(),
        utilisation,
        governs,
        working_load_n,
        breaking_n: breaking(rated.as_ref(), point.part.as_deref()),
        rating_n: rated.and_then(|rated| rated.rating_n),
        governing_part,
        demand_n,
        down_n,
        up_n,
        side_n,
        unrated,
        worst_band_taken: point.off_axis_rad.is_none() && point.part.as_ref().is_some_and(by_angle),
    }
}

fn judge_group(group: &GroupFacts, facts: &Facts) -> GroupJudgement {
    let down_n = demand::down_on_group(group, facts);
    let up_n = demand::up_on_group(group, facts);
    let side_n = demand::side_on_group(group, facts);
    let shares = utilisation::of_allowance(
        group.allows.as_ref(),
        [down_n.as_ref(), up_n.as_ref()],
        side_n.as_ref(),
    );
    let (utilisation, governs) = utilisation::governing(shares);
    GroupJudgement {
        name: group.name.clone(),
        down_n,
        up_n,
        side_n,
        utilisation,
        governs,
    }
}

fn judge_junction(junction: &JunctionFacts, facts: &Facts) -> JunctionJudgement {
    let (rated, unrated) = match (&junction.part, facts.practice.factors(junction.under)) {
        (Some(part), Some(factors)) => rate(part, "junction", rating::at_junction(part, factors)),
        (Some(part), None) => rate(part, "junction", Err(refuses(&facts.practice, junction.under))),
        (None, _) => {
            let why = "no part is stated for it".to_string();
            (
                None,
                Some(Unrated {
                    part: String::new(),
                    place: "junction".into(),
                    why,
                }),
            )
        }
    };
    let demand_n = demand::at_junction(junction, facts);
    let working_load_n = rated.as_ref().map(|rated| rated.working_load_n.clone());
    JunctionJudgement {
        name: junction.name.clone(),
        utilisation: utilisation::of_working_load(demand_n.as_ref(), working_load_n.as_ref()),
        working_load_n,
        breaking_n: breaking(rated.as_ref(), junction.part.as_deref()),
        rating_n: rated.and_then(|rated| rated.rating_n),
        governing_part: junction.part.as_ref().map(|part| part.id.clone()),
        demand_n,
        unrated,
    }
}
