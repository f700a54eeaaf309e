//! A part's rating under a practice: the maker's working load, scaled down where a higher design factor is asked.
//!
//! Conventions: SI; angles in radians from the part's own axis; a rating is the maker's, a working load is ours.
//! Assumes: a maker's design factor is breaking strength over rating, so rating times factor is what the part holds.
//! Valid for: parts whose rating states a design factor. Otherwise unrated, with the reason.
//! Source: our judgement on what follows from two design factors; bands: [bib:side-load], [bib:eye-trade], [bib:b1815].
//! Checked by: the tests below; tests/published.rs (ex10, ex12, ex13).

use crate::practice::Factors;
use parts::{AngleBand, Body, EyeBolt, Part, Rating, Rope, Shackle};
use quantity::Kind;
use working::{Number, Seen, Source, least};

/// What a part may carry and what its maker states.
#[derive(Debug, Clone)]
pub(crate) struct Rated {
    pub working_load_n: Number,
    pub rating_n: Option<Number>,
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
        Rating::Efficiency(_) | Rating::ByRope => Err("no breaking strength is given for it".into()),
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
            })
        }
        Rating::Unrated(why) => Err(why.clone()),
        Rating::Efficiency(_) | Rating::ByRope => Err("no rating of its own is given for it".into()),
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
    let Some(accepted) = grip.accepts.iter().find(|accepted| accepts(accepted, rope)) else {
        return Err(format!("its maker gives no rating on {}", rope_in_words(rope)));
    };
    scaled(
        part,
        &accepted.working_load_n,
        accepted.design_factor.as_ref(),
        factor,
    )
}

/// Tells whether a grip is rated on this very rope.
pub(crate) fn accepts(accepted: &parts::Accepted, rope: &Rope) -> bool {
    // Nominal sizes differ by far more than a thousandth of a rope's diameter, and rounding by far less.
    let same_size = (accepted.diameter_m - rope.diameter_m.value()).abs() <= 1e-3 * rope.diameter_m.value();
    same_size
        && accepted.construction == rope.construction
        && accepted.materials.contains(&rope.material)
        && !rope.coated
}

/// Describes a rope as a maker's list of accepted ropes would.
pub(crate) fn rope_in_words(rope: &Rope) -> String {
    let coated = if rope.coated { "coated " } else { "" };
    format!(
        "{coated}{} {} of {}",
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
    let permitted = permitted(&bolt.by_angle, bolt.refused_past_rad);
    let band = match angle_rad {
        Some(angle) => band_at(&bolt.by_angle, angle).ok_or_else(|| past_last_band(angle))?,
        None => worst(permitted).ok_or("no load by angle is printed for it, and its axis is not stated")?,
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
    let factor = factors.of(part);
    match &part.body {
        Body::EyeBolt(bolt) => eye_bolt(part, bolt, angle_rad, factor),
        Body::Shackle(body) => shackle(part, body, angle_rad, factor),
        _ => in_line(part, factor),
    }
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
            crate::says::force(&rating),
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
    Ok(Rated {
        working_load_n,
        rating_n: Some(rating),
    })
}

fn positive(number: &Number) -> Result<Number, String> {
    if number.value().is_finite() && number.value() > 0.0 {
        Ok(number.clone())
    } else {
        Err(format!("its {} is not a positive number", number.what()))
    }
}
