//! A part's rating under a practice: the maker's working load, scaled down where a higher design factor is asked.
//!
//! Conventions: SI; angles in radians from the part's own axis; a rating is the maker's, a working load is ours.
//! Assumes: a maker's design factor is breaking strength over rating, so rating times factor is what the part holds.
//! Valid for: parts whose rating states a design factor. Otherwise unrated, with the reason.
//! Source: our judgement on what follows from two design factors; bands: [bib:side-load], [bib:eye-trade], [bib:b1815].
//! Checked by: the tests below; tests/main/published.rs (ex10, ex12, ex13).

use crate::practice::Factors;
use parts::{AngleBand, Body, EyeBolt, Part, Rating, Rope, Shackle};
use quantity::Kind;
use working::{Number, Seen, Source, least};

/// What a part may carry and what its maker states.
#[derive(Debug, Clone)]
pub(crate) struct Rated {
    pub working_load_n: Number,
    pub rating_n: Option<Number>,
    /// What it breaks at, as published, or as its rating times the factor that its maker states.
    pub breaking_n: Number,
}

/// A pull that the solver leaves this far off a printed band's edge still counts as on it, radians.
const SOLVED_ANGLE_RAD: f64 = 1e-6;

/// A shackle without a printed table of side loads is for pulls in line, within this angle (5 degrees), radians.
///
/// The first band of [bib:wac-33905], figure 17.
pub(crate) const IN_LINE_RAD: f64 = 5.0 * std::f64::consts::PI / 180.0;

/// Gives the breaking strength of a rope; the error says why there is none.
pub(crate) fn rope_strength(rope: &Part) -> Result<Number, String> {
    match &rope.rating {
        Rating::Breaking(strength) => positive(strength),
        Rating::WorkingLoad {
            load,
            design_factor: Some(factor),
        } => {
            let source = Source::plain("rating times the design factor its maker states", Seen::Judgement);
            positive(&Number::computed(
                "strength of the rope",
                "F",
                Kind::Force,
                load * factor,
                source,
            ))
        }
        Rating::WorkingLoad {
            design_factor: None, ..
        } => Err(
            "its maker states a working load without a design factor, so its strength is not known".into(),
        ),
        Rating::Unrated(why) => Err(why.clone()),
        Rating::Efficiency(_) | Rating::Bending(_) | Rating::ByRope => {
            Err("no breaking strength is given for it".into())
        }
    }
}

/// Rates a part in line in a makeup.
pub(crate) fn in_makeup(part: &Part, factor: &Number) -> Result<Rated, String> {
    match &part.body {
        // How a bolt stands to its line is not stated in a makeup: the worst printed band.
        Body::EyeBolt(bolt) => eye_bolt(part, bolt, None, factor),
        _ => in_line(part, factor),
    }
}

/// Rates a part pulled along its own axis.
pub(crate) fn in_line(part: &Part, factor: &Number) -> Result<Rated, String> {
    match &part.rating {
        Rating::WorkingLoad { load, design_factor } => scaled(part, load, design_factor.as_ref(), factor),
        Rating::Breaking(strength) => {
            let strength = positive(strength)?;
            let source = Source::mechanics("a design factor is strength over what is allowed");
            let what = format!("working load of {}", part.name);
            let working_load_n = Number::computed(what, "WL", Kind::Force, &strength / factor, source);
            Ok(Rated {
                working_load_n,
                rating_n: None,
                breaking_n: strength,
            })
        }
        Rating::Unrated(why) => Err(why.clone()),
        Rating::Efficiency(_) | Rating::Bending(_) | Rating::ByRope => {
            Err("no rating of its own is given for it".into())
        }
    }
}

/// Rates an adjustable grip on one exact rope.
pub(crate) fn grip(part: &Part, rope: &Part, factor: &Number) -> Result<Rated, String> {
    let (Some(grip), Some(rope)) = (part.grip(), rope.rope()) else {
        return Err("it is no adjustable grip on a rope".into());
    };
    if grip.document.is_none() {
        return Err(
            "there is no document of its maker, and without one an adjustable grip has no rating".into(),
        );
    }
    let accepted = grip.accepted(rope).map_err(|why| why.to_string())?;
    scaled(
        part,
        &accepted.working_load_n,
        accepted.design_factor.as_ref(),
        factor,
    )
}

/// Describes a rope as a maker's list of accepted ropes would.
pub(crate) fn rope_in_words(rope: &Rope) -> String {
    let coated = if rope.coated { "coated " } else { "" };
    format!(
        "{coated}{} {} rope of {}",
        rope.construction,
        rope.material,
        crate::says::length(&rope.diameter_m)
    )
}

/// Rates an eye bolt pulled at an angle from its shank; with no angle known, by the worst band that is permitted.
pub(crate) fn eye_bolt(
    part: &Part,
    bolt: &EyeBolt,
    angle_rad: Option<f64>,
    factor: &Number,
) -> Result<Rated, String> {
    let Rating::WorkingLoad { load, design_factor } = &part.rating else {
        return in_line(part, factor);
    };
    if let Some(angle) = angle_rad.filter(|angle| *angle > bolt.refused_past_rad + SOLVED_ANGLE_RAD) {
        let limit = crate::says::angle(bolt.refused_past_rad);
        return Err(format!(
            "it is pulled at {} from its axis, past {limit}",
            crate::says::angle(angle)
        ));
    }
    let band = match angle_rad {
        Some(angle) => band_at(&bolt.by_angle, angle).ok_or_else(|| past_last_band(angle))?,
        None => {
            worst_permitted(bolt).ok_or("no load by angle is printed for it, and its axis is not stated")?
        }
    };
    let least_n = least([load, &band.allows]);
    let source = Source::plain(
        "the worse printed band of angles holds; nothing is interpolated",
        Seen::Judgement,
    );
    let at_angle = Number::computed(
        format!("rating of {} at its angle", part.name),
        "R_a",
        Kind::Force,
        least_n,
        source,
    );
    scaled(part, &at_angle, design_factor.as_ref(), factor)
}

/// Rates a shackle pulled at an angle from its axis; with no angle known, by the worst printed band.
pub(crate) fn shackle(
    part: &Part,
    shackle: &Shackle,
    angle_rad: Option<f64>,
    factor: &Number,
) -> Result<Rated, String> {
    let Rating::WorkingLoad { load, design_factor } = &part.rating else {
        return in_line(part, factor);
    };
    if shackle.side_load.is_empty() {
        return match angle_rad {
            Some(angle) if angle <= IN_LINE_RAD + SOLVED_ANGLE_RAD => in_line(part, factor),
            Some(angle) => Err(format!(
                "no side loads are printed for it, and it is pulled at {}",
                crate::says::angle(angle)
            )),
            None => Err("no side loads are printed for it, and its axis is not stated".into()),
        };
    }
    let band = match angle_rad {
        Some(angle) => band_at(&shackle.side_load, angle).ok_or_else(|| past_last_band(angle))?,
        None => worst(&shackle.side_load).ok_or("no side loads are printed for it")?,
    };
    let source = Source::plain(
        "the worse printed band of angles holds; nothing is interpolated",
        Seen::Judgement,
    );
    let what = format!("rating of {} at its angle", part.name);
    let at_angle = Number::computed(what, "R_a", Kind::Force, load * &band.allows, source);
    scaled(part, &at_angle, design_factor.as_ref(), factor)
}

/// Rates whatever part stands at a point, pulled at an angle from its own axis if that is known.
pub(crate) fn at_point(part: &Part, angle_rad: Option<f64>, factors: &Factors) -> Result<Rated, String> {
    can_stand(part)?;
    let factor = factors.of(part);
    match &part.body {
        Body::EyeBolt(bolt) => eye_bolt(part, bolt, angle_rad, factor),
        Body::Shackle(body) => shackle(part, body, angle_rad, factor),
        Body::Turnbuckle(_) => match angle_rad.filter(|angle| *angle > IN_LINE_RAD + SOLVED_ANGLE_RAD) {
            Some(angle) => Err(format!(
                "it is rated in line only, and it is pulled at {} from its axis",
                crate::says::angle(angle)
            )),
            None => in_line(part, factor),
        },
        _ => in_line(part, factor),
    }
}

/// Rates whatever part a junction is.
pub(crate) fn at_junction(part: &Part, factors: &Factors) -> Result<Rated, String> {
    can_stand(part)?;
    match part.body {
        Body::Turnbuckle(_) => {
            return Err("it is rated in line only, and lines pull on a junction from several sides".into());
        }
        Body::EyeBolt(_) => return Err("nothing holds its shank at a junction".into()),
        _ => {}
    }
    in_makeup(part, factors.of(part))
}

/// Refuses what can not stand at a point or a junction by itself.
fn can_stand(part: &Part) -> Result<(), String> {
    match part.body {
        Body::Shackle(_) | Body::EyeBolt(_) | Body::Turnbuckle(_) | Body::Link(_) => Ok(()),
        Body::Rope(_)
        | Body::End(_)
        | Body::Clips(_)
        | Body::Grip(_)
        | Body::Thimble(_)
        | Body::Section(_) => Err(format!(
            "it is of the kind {}, and no part that can stand there; a shackle or a link can, and at a point an eye bolt or a turnbuckle",
            part.kind()
        )),
    }
}

/// Finds the worst band of an eye bolt within the angle past which it is refused.
pub(crate) fn worst_permitted(bolt: &EyeBolt) -> Option<&AngleBand> {
    worst(permitted(&bolt.by_angle, bolt.refused_past_rad))
}

fn past_last_band(angle_rad: f64) -> String {
    format!(
        "it is pulled at {} from its axis, past the last angle that is printed for it",
        crate::says::angle(angle_rad)
    )
}

/// Takes the bands that cover angles up to the limit.
fn permitted(bands: &[AngleBand], refused_past_rad: f64) -> &[AngleBand] {
    let covers_limit = bands
        .iter()
        .position(|band| band.up_to_rad + SOLVED_ANGLE_RAD >= refused_past_rad);
    &bands[..covers_limit.map_or(bands.len(), |last| last + 1)]
}

fn band_at(bands: &[AngleBand], angle_rad: f64) -> Option<&AngleBand> {
    bands
        .iter()
        .find(|band| angle_rad <= band.up_to_rad + SOLVED_ANGLE_RAD)
}

fn worst(bands: &[AngleBand]) -> Option<&AngleBand> {
    bands
        .iter()
        .min_by(|a, b| a.allows.value().total_cmp(&b.allows.value()))
}

/// Scales a maker's rating to the practice's design factor: R times d over n, and never more than R.
pub(crate) fn scaled(
    part: &Part,
    rating: &Number,
    makers: Option<&Number>,
    asked: &Number,
) -> Result<Rated, String> {
    let rating = positive(rating)?;
    let Some(makers) = makers else {
        return Err(format!(
            "its maker states no design factor behind the rating of {}, and the practice asks {}",
            crate::says::rating(&rating),
            asked.value()
        ));
    };
    positive(makers)?;
    let source = Source::plain(
        "the maker's rating, scaled by design factors and never above it",
        Seen::Judgement,
    );
    let formula = least([working::Expression::from(&rating), &rating * makers / asked]);
    let what = format!("working load of {}", part.name);
    let working_load_n = Number::computed(what, "WL", Kind::Force, formula, source);
    let source = Source::plain("rating times the design factor its maker states", Seen::Judgement);
    let what = format!("breaking strength of {}", part.name);
    let breaking_n = Number::computed(what, "F", Kind::Force, &rating * makers, source);
    Ok(Rated {
        working_load_n,
        rating_n: Some(rating),
        breaking_n,
    })
}

/// Gives what a maker rates a part at that has no working load because no factor is stated behind it.
pub(crate) fn unscaled(part: &Part) -> Option<Number> {
    match &part.rating {
        Rating::WorkingLoad {
            load,
            design_factor: None,
        } => positive(load).ok(),
        _ => None,
    }
}

fn positive(number: &Number) -> Result<Number, String> {
    if number.value().is_finite() && number.value() > 0.0 {
        Ok(number.clone())
    } else {
        Err(format!("its {} is not a positive number", number.what()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples::{self, LB};

    fn factor(value: f64) -> Number {
        samples::given("design factor", Kind::Number, value)
    }

    fn pounds(rated: Result<Rated, String>) -> f64 {
        rated.unwrap().working_load_n.value() / LB
    }

    /// A maker's factor of five under a practice's ten halves the rating; a higher one never raises it.
    #[test]
    fn a_rating_is_scaled_down_and_never_up() {
        let link = |makers| samples::link(1000.0, Some(makers));
        for (makers, asked, expected) in [
            (5.0, 10.0, 500.0),
            (5.0, 5.0, 1000.0),
            (6.0, 5.0, 1000.0),
            (4.0, 5.0, 800.0),
        ] {
            let load = pounds(in_line(&link(makers), &factor(asked)));
            assert!((load - expected).abs() < 1e-9, "{makers} under {asked}: {load}");
        }
    }

    #[test]
    fn what_is_no_positive_number_rates_nothing() {
        for wrong in [0.0, -5.0, f64::NAN, f64::INFINITY] {
            assert!(
                in_line(&samples::link(wrong, Some(5.0)), &factor(5.0)).is_err(),
                "{wrong}"
            );
            assert!(
                in_line(&samples::link(100.0, Some(wrong)), &factor(5.0)).is_err(),
                "{wrong}"
            );
        }
        assert!(
            in_line(&samples::link(100.0, None), &factor(1.0))
                .unwrap_err()
                .contains("states no design factor")
        );
    }

    #[test]
    fn a_breaking_strength_is_divided_by_the_factor() {
        let mut link = samples::link(1.0, None);
        link.rating = Rating::Breaking(samples::force(5000.0 * LB));
        assert!((pounds(in_line(&link, &factor(8.0))) - 625.0).abs() < 1e-9);
    }

    #[test]
    fn a_rope_given_by_working_load_needs_the_factor_behind_it() {
        let mut rope = samples::rope();
        rope.rating = samples::rated(840.0, Some(5.0));
        assert!((rope_strength(&rope).unwrap().value() / LB - 4200.0).abs() < 1e-9);
        rope.rating = samples::rated(840.0, None);
        assert!(rope_strength(&rope).is_err());
    }

    /// A bolt in a makeup may stand anyhow: the worst band that is permitted, 465 lbf at 45 degrees.
    #[test]
    fn an_eye_bolt_in_a_makeup_takes_its_worst_permitted_band() {
        assert!((pounds(in_makeup(&samples::eye_bolt(), &factor(5.0))) - 465.0).abs() < 1e-9);
    }

    #[test]
    fn a_grip_is_rated_on_its_rope_alone() {
        let grip_part = samples::grip(440.0, Some(5.0));
        assert!((pounds(grip(&grip_part, &samples::rope(), &factor(10.0))) - 220.0).abs() < 1e-9);
        let thinner = samples::rope_of("7x19", "galvanised", 0.125, 2000.0);
        assert!(grip(&grip_part, &thinner, &factor(5.0)).is_err());
    }
}
