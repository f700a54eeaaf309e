//! What a made-up line may carry under a practice.
//!
//! Conventions: SI; a makeup is read top to bottom; strengths are least published ones; D over d is bend over rope.
//! Assumes: reductions at different places do not multiply, the weakest place governs; parts stand in line.
//! Valid for: one rope, an end on each side of it. Otherwise, and where an end, clips or a thimble refuse the rope, the line has
//! no working load, and it is said why.
//! Source: [bib:wrtb-t4] (reductions); bends as `parts::Rope::bend_efficiency` has them; a maker's rating is scaled by design factors alone.
//! Checked by: tests/main/published.rs, tests/main/laws.rs.

use crate::acceptance::refusal;
use crate::facts::{Bend, Under};
use crate::judgement::{LineLoad, PartLoad, Unrated};
use crate::practice::{Factors, Practice};
use crate::rating::{self, Rated};
use crate::rules::pull_tests::ENOUGH;
use parts::{Body, EndForm, Makeup, Part, Piece, Rating};
use quantity::Kind;
use working::{Number, Seen, Source, greatest, least};

/// Works out what a made-up line may carry with these people below.
///
/// The least of: the rope by itself; the rope where each end holds it and where it bends, over the design factor;
/// and the maker's rating of every other part, scaled down where the practice asks a higher factor. None if any of
/// these can not be told. Asks nothing of a rig, so it answers "may I use this here?" too.
pub fn working_load(makeup: &Makeup, bends: &[Bend], practice: &Practice, under: Under) -> LineLoad {
    let mut load = LineLoad::default();
    let Some(factors) = practice.factors(under) else {
        let why = format!(
            "the practice `{}` has no design factors with {}",
            practice.id,
            under.words()
        );
        load.unrated.push(Unrated {
            part: String::new(),
            place: "line".into(),
            why,
        });
        return load;
    };
    let Some(at) = only_rope(makeup) else {
        let why = "its makeup does not have exactly one rope".to_string();
        load.unrated.push(Unrated {
            part: String::new(),
            place: "rope".into(),
            why,
        });
        return load;
    };
    add_rope_and_ends(makeup, at, factors, &mut load);
    add_bends(&makeup.pieces[at].part, bends, factors, &mut load);
    add_evidence(makeup, factors, &mut load);
    settle(&mut load);
    load
}

/// Finds the rope of a makeup; none unless there is exactly one.
pub(crate) fn only_rope(makeup: &Makeup) -> Option<usize> {
    let mut ropes = makeup
        .pieces
        .iter()
        .enumerate()
        .filter(|(_, piece)| piece.part.rope().is_some());
    let (at, _) = ropes.next()?;
    ropes.next().is_none().then_some(at)
}

/// Tells whether a part holds the end of a rope.
pub(crate) fn is_end(part: &Part) -> bool {
    matches!(part.body, Body::End(_) | Body::Clips(_) | Body::Grip(_))
}

/// Names the place of the piece at `index` of a makeup with its rope at `rope`.
pub(crate) fn place(index: usize, rope: usize) -> &'static str {
    match index.cmp(&rope) {
        std::cmp::Ordering::Less => "upper end",
        std::cmp::Ordering::Equal => "rope",
        std::cmp::Ordering::Greater => "lower end",
    }
}

fn add_rope_and_ends(makeup: &Makeup, at: usize, factors: &Factors, load: &mut LineLoad) {
    let rope = &makeup.pieces[at].part;
    let strength = rating::rope_strength(rope);
    match &strength {
        Ok(strength) => load.by_part.push(straight(rope, strength, factors)),
        Err(why) => load.unrated.push(unrated(rope, "rope", why)),
    }
    if let Rating::WorkingLoad {
        load: rated,
        design_factor,
    } = &rope.rating
    {
        add(
            load,
            rope,
            "rope",
            rating::scaled(rope, rated, design_factor.as_ref(), &factors.rope),
        );
    }
    for (index, piece) in makeup.pieces.iter().enumerate().filter(|(index, _)| *index != at) {
        add_piece(makeup, index, piece, at, strength.as_ref().ok(), factors, load);
    }
    for (side, mut pieces) in [
        ("upper end", makeup.pieces[..at].iter()),
        ("lower end", makeup.pieces[at + 1..].iter()),
    ] {
        if !pieces.any(|piece| is_end(&piece.part)) {
            let why = format!("nothing in its makeup holds the rope at its {side}");
            load.unrated.push(Unrated {
                part: String::new(),
                place: side.into(),
                why,
            });
        }
    }
}

fn add_piece(
    makeup: &Makeup,
    index: usize,
    piece: &Piece,
    rope_at: usize,
    strength: Option<&Number>,
    factors: &Factors,
    load: &mut LineLoad,
) {
    let part = &piece.part;
    let place = place(index, rope_at);
    let rope = &makeup.pieces[rope_at].part;
    // A grip says for itself why it is not rated on a rope.
    let refused = rope
        .rope()
        .filter(|_| part.grip().is_none())
        .and_then(|rope| refusal(part, rope));
    if let Some(why) = refused {
        load.unrated.push(unrated(part, place, &why));
        return;
    }
    match (&part.body, &part.rating) {
        // A thimble shapes the eye; the eye's efficiency includes it.
        (Body::Thimble(_), Rating::Unrated(_) | Rating::ByRope) => {}
        (_, Rating::Efficiency(efficiency)) if is_end(part) => {
            // Without the rope's strength the rope itself is listed as unrated already.
            let Some(strength) = strength else { return };
            match held_by_end(part, place, strength, efficiency, factors) {
                Ok(held) => load.by_part.push(held),
                Err(why) => load.unrated.push(unrated(part, place, &why)),
            }
            add_over_pin(makeup, index, rope_at, strength, factors, load);
        }
        (Body::Grip(_), _) => add(
            load,
            part,
            place,
            rating::grip(part, rope, &factors.adjustable_grip),
        ),
        _ => add(load, part, place, rating::in_makeup(part, factors.of(part))),
    }
}

/// The rope by itself: F / n.
fn straight(rope: &Part, strength: &Number, factors: &Factors) -> PartLoad {
    let working_load_n = over_factor("working load of the rope by itself", strength, &factors.rope);
    PartLoad {
        part: rope.id.clone(),
        place: "rope".into(),
        working_load_n,
        rating_n: None,
        strength_n: Some(strength.clone()),
        breaking_n: strength.clone(),
    }
}

/// The rope where an end holds it: F e / n.
fn held_by_end(
    part: &Part,
    place: &str,
    strength: &Number,
    efficiency: &Number,
    factors: &Factors,
) -> Result<PartLoad, String> {
    if !(efficiency.value() > 0.0 && efficiency.value() <= 1.0) {
        return Err(format!(
            "its efficiency of {} is not between 0 and 1",
            efficiency.value()
        ));
    }
    let what = format!("strength of the rope at its {place}, {}", part.name);
    let left = Number::computed(what, "F_e", Kind::Force, strength * efficiency, not_additive());
    let what = format!("working load of the rope at its {place}");
    Ok(PartLoad {
        part: part.id.clone(),
        place: place.into(),
        working_load_n: over_factor(&what, &left, &factors.rope),
        rating_n: None,
        breaking_n: left.clone(),
        strength_n: Some(left),
    })
}

/// An eye without a thimble over its pin: each leg of the eye carries half, so the eye holds 2 F b.
///
/// Nothing where the eye is thimbled (its efficiency includes the bend), or where no pin is known (the rule on eyes
/// speaks of that).
fn add_over_pin(
    makeup: &Makeup,
    index: usize,
    rope_at: usize,
    strength: &Number,
    factors: &Factors,
    load: &mut LineLoad,
) {
    let part = &makeup.pieces[index].part;
    let place = format!("{}, over its pin", place(index, rope_at));
    let pin = pin_of(makeup, index, rope_at).filter(|_| is_soft_eye(makeup, index));
    let (Some(rope), Some(pin)) = (makeup.pieces[rope_at].part.rope(), pin) else {
        return;
    };
    match rope.bend_efficiency(&pin) {
        Ok(left) => load.by_part.push(soft_eye(part, place, strength, &left, factors)),
        Err(why) => load.unrated.push(unrated(part, &place, &why.to_string())),
    }
}

fn soft_eye(part: &Part, place: String, strength: &Number, left: &Number, factors: &Factors) -> PartLoad {
    let formula = working::Expression::from(2.0) * strength * left;
    let source =
        Source::mechanics("each leg of an eye carries half of the line's tension, and the pin bends it");
    let eye = Number::computed(
        "strength of the soft eye over its pin",
        "F_eye",
        Kind::Force,
        formula,
        source,
    );
    PartLoad {
        part: part.id.clone(),
        place,
        working_load_n: over_factor("working load of the soft eye over its pin", &eye, &factors.rope),
        rating_n: None,
        breaking_n: eye.clone(),
        strength_n: Some(eye),
    }
}

/// Tells whether the piece is an eye, or closes one, that has no thimble.
pub(crate) fn is_soft_eye(makeup: &Makeup, index: usize) -> bool {
    let Some(piece) = makeup.pieces.get(index) else {
        return false;
    };
    let bare = match &piece.part.body {
        Body::End(end) => end.form == EndForm::Eye && !end.thimbled,
        Body::Clips(_) => true,
        _ => false,
    };
    bare && thimble_of(makeup, index).is_none()
}

/// Finds the thimble next to the piece.
pub(crate) fn thimble_of(makeup: &Makeup, index: usize) -> Option<&Piece> {
    [index.checked_sub(1), Some(index + 1)]
        .into_iter()
        .flatten()
        .filter_map(|next| makeup.pieces.get(next))
        .find(|piece| matches!(piece.part.body, Body::Thimble(_)))
}

/// Finds the piece that an eye bears on: the next one away from the rope, thimbles aside.
pub(crate) fn borne_on(makeup: &Makeup, index: usize, rope_at: usize) -> Option<&Piece> {
    let is_fitting = |piece: &&Piece| !matches!(piece.part.body, Body::Thimble(_));
    if index < rope_at {
        makeup.pieces.get(..index)?.iter().rev().find(is_fitting)
    } else {
        makeup.pieces.get(index + 1..)?.iter().find(is_fitting)
    }
}

/// Gives the diameter of the pin an eye bears on, as stated or as its neighbour's.
pub(crate) fn pin_of(makeup: &Makeup, index: usize, rope_at: usize) -> Option<Number> {
    let piece = makeup.pieces.get(index)?;
    if let Some(stated) = piece.made.pin_diameter_m {
        let source = Source::stated(format!("makeup `{}`", makeup.name));
        return Some(Number::given(
            "diameter of the pin or bar the eye bears on",
            "D",
            Kind::Length,
            stated,
            source,
        ));
    }
    match &borne_on(makeup, index, rope_at)?.part.body {
        Body::Shackle(shackle) => shackle.pin_diameter_m.clone(),
        Body::Link(link) => link.stock_diameter_m.clone(),
        _ => None,
    }
}

/// Names the place of a bend.
pub(crate) fn place_of(bend: &Bend) -> String {
    format!("bend over {}", bend.over)
}

fn add_bends(rope: &Part, bends: &[Bend], factors: &Factors, load: &mut LineLoad) {
    let (Ok(strength), Some(body)) = (rating::rope_strength(rope), rope.rope()) else {
        return;
    };
    for bend in bends {
        let place = place_of(bend);
        let efficiency = bend.diameter_m.as_ref().map_or_else(
            || {
                Err(format!(
                    "the diameter of {} is not stated, so the strength left at the bend is not known",
                    bend.over
                ))
            },
            |diameter| body.bend_efficiency(diameter).map_err(|why| why.to_string()),
        );
        match efficiency {
            Ok(efficiency) => {
                let what = format!("strength of the rope where it bends over {}", bend.over);
                let left =
                    Number::computed(what, "F_b", Kind::Force, &strength * &efficiency, not_additive());
                let what = format!("working load of the rope where it bends over {}", bend.over);
                load.by_part.push(PartLoad {
                    part: rope.id.clone(),
                    place,
                    working_load_n: over_factor(&what, &left, &factors.rope),
                    rating_n: None,
                    breaking_n: left.clone(),
                    strength_n: Some(left),
                });
            }
            Err(why) => load.unrated.push(unrated(rope, &place, &why)),
        }
    }
}

fn add(load: &mut LineLoad, part: &Part, place: &str, rated: Result<Rated, String>) {
    match rated {
        Ok(Rated {
            working_load_n,
            rating_n,
            breaking_n,
        }) => load.by_part.push(PartLoad {
            part: part.id.clone(),
            place: place.into(),
            working_load_n,
            rating_n,
            strength_n: None,
            breaking_n,
        }),
        Err(why) => {
            load.unrated.push(unrated(part, place, &why));
            let rating = rating::unscaled(part);
            load.by_rating
                .extend(rating.map(|rating| (part.id.clone(), rating)));
        }
    }
}

/// Adds what many pull tests show where that is less than what was to be shown.
fn add_evidence(makeup: &Makeup, factors: &Factors, load: &mut LineLoad) {
    for evidence in makeup
        .evidence
        .iter()
        .filter(|evidence| evidence.limit_of >= ENOUGH)
    {
        let tested = makeup.pieces.iter().find(|piece| piece.part.id == evidence.part);
        let low = evidence.limit_n.as_ref();
        let low = low.filter(|limit_n| limit_n.value() < evidence.required_n.value());
        let (Some(piece), Some(limit_n)) = (tested, low) else {
            continue;
        };
        if limit_n.value() <= 0.0 {
            let why = format!("{} pull tests of it support no load at all", evidence.limit_of);
            load.unrated.push(unrated(&piece.part, "by pull tests", &why));
            continue;
        }
        let factor = Number::computed(
            "design factor on pull tests",
            "n",
            Kind::Number,
            greatest([&evidence.design_factor, factors.of(&piece.part)]),
            Source::plain("the greater of the claim's and the practice's", Seen::Judgement),
        );
        load.by_part.push(PartLoad {
            part: piece.part.id.clone(),
            place: "by pull tests".into(),
            working_load_n: over_factor("working load by pull tests", limit_n, &factor),
            rating_n: None,
            strength_n: None,
            breaking_n: limit_n.clone(),
        });
    }
}

/// Takes the least of all parts; none while any part is unrated.
fn settle(load: &mut LineLoad) {
    let ratings: Vec<&Number> = load
        .by_part
        .iter()
        .filter_map(|part| part.rating_n.as_ref())
        .collect();
    load.rating_n = lowest(&ratings, "least rating stated by a maker", "R");
    find_breaking(load);
    if !load.unrated.is_empty() {
        return;
    }
    let loads: Vec<&Number> = load.by_part.iter().map(|part| &part.working_load_n).collect();
    load.working_load_n = lowest(&loads, "working load of the line", "WL");
    let weakest = load
        .by_part
        .iter()
        .min_by(|a, b| a.working_load_n.value().total_cmp(&b.working_load_n.value()));
    load.governing_part = weakest.map(|part| part.part.clone());
}

/// Takes what breaks first of all parts.
fn find_breaking(load: &mut LineLoad) {
    let by_part = load.by_part.iter().map(|part| (&part.part, &part.breaking_n));
    let all: Vec<(&String, &Number)> = by_part
        .chain(load.by_rating.iter().map(|(part, rating)| (part, rating)))
        .collect();
    let known: Vec<&Number> = all.iter().map(|(_, breaking)| *breaking).collect();
    let first = all.iter().min_by(|a, b| a.1.value().total_cmp(&b.1.value()));
    load.breaks_first = first.map(|(part, _)| (*part).clone());
    load.breaking_n = lowest(&known, "breaking strength of the line", "F");
}

fn lowest(of: &[&Number], what: &str, symbol: &str) -> Option<Number> {
    let source = Source::cited(
        "wrtb-t4",
        "reductions at different places do not multiply",
        Seen::Text,
    );
    (!of.is_empty()).then(|| Number::computed(what, symbol, Kind::Force, least(of.iter().copied()), source))
}

fn over_factor(what: &str, strength: &Number, factor: &Number) -> Number {
    let source = Source::mechanics("a design factor is strength over what is allowed");
    Number::computed(what, "WL", Kind::Force, strength / factor, source)
}

fn not_additive() -> Source {
    Source::cited("wrtb-t4", "the weakest place governs", Seen::Text)
}

fn unrated(part: &Part, place: &str, why: &str) -> Unrated {
    Unrated {
        part: part.id.clone(),
        place: place.into(),
        why: why.into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Practices;
    use crate::samples;
    use std::sync::Arc;

    fn of(parts: Vec<Part>) -> LineLoad {
        let practice = Practices::published().get("static-overhead").unwrap();
        working_load(&samples::makeup("leg", parts), &[], &practice, Under::Crew)
    }

    fn picky(construction: &str) -> Part {
        let mut part = samples::eye(0.95);
        if let Body::End(end) = &mut part.body {
            end.accepts.constructions = vec![construction.into()];
        }
        part
    }

    /// The sample rope is 3/16 in 7x19.
    #[test]
    fn what_refuses_the_rope_leaves_no_working_load_and_says_why() {
        let (eye, rope) = (|| samples::eye(0.95), samples::rope);
        assert!(of(vec![picky("7x19"), rope(), eye()]).working_load_n.is_some());
        assert!(
            of(vec![samples::thimble(0.1875), eye(), rope(), eye()])
                .working_load_n
                .is_some()
        );
        let quarter = || samples::rope_of("7x19", "galvanised", 0.25, 7000.0);
        for (parts, place, due) in [
            (
                vec![picky("6x19"), rope(), eye()],
                "upper end",
                "it takes 6x19 rope, not 7x19",
            ),
            (
                vec![eye(), rope(), eye(), samples::thimble(0.25)],
                "lower end",
                "it is made for 1/4 in",
            ),
            (
                vec![eye(), quarter(), samples::clips(true)],
                "lower end",
                "it is made for 3/16 in",
            ),
        ] {
            let load = of(parts);
            assert!(
                load.working_load_n.is_none() && load.governing_part.is_none(),
                "{due}"
            );
            assert_eq!((load.unrated.len(), load.unrated[0].place.as_str()), (1, place));
            assert!(load.unrated[0].why.contains(due), "{}", load.unrated[0].why);
        }
    }

    #[test]
    fn a_line_whose_end_refuses_its_rope_has_no_use_beside_its_stop() {
        let mut facts = samples::rig();
        let parts = vec![picky("6x19"), samples::rope(), samples::eye(0.95)];
        facts.lines[0].makeup = Some(Arc::new(samples::makeup("picky", parts)));
        let line = crate::judge(&facts).measured.lines.swap_remove(0);
        assert!(line.load.working_load_n.is_none() && line.utilisation.is_none());
        assert_eq!(samples::severities("unrated", &facts), ["stop"]);
        assert_eq!(samples::severities("rope-accepted", &facts), ["stop"]);
    }
}
