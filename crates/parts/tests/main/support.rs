//! Short ways to ask the published book.

use parts::{Body, Book, Clips, EyeBolt, Part, Rating, Rope};
use quantity::Kind;
use std::sync::Arc;
use working::{Number, Source};

/// A pound-force in newtons.
pub const LB: f64 = 0.453_592_37 * 9.806_65;

/// Finds a published part.
pub fn part(id: &str) -> Arc<Part> {
    Book::published()
        .get(id)
        .unwrap_or_else(|| panic!("there is no part `{id}`"))
}

/// The figure a rating stands on, whatever it is.
pub fn figure(part: &Part) -> Option<&Number> {
    match &part.rating {
        Rating::WorkingLoad { load, .. } => Some(load),
        Rating::Breaking(number) | Rating::Efficiency(number) => Some(number),
        Rating::Bending(bending) => Some(&bending.moment_n_m),
        Rating::ByRope | Rating::Unrated(_) => None,
    }
}

/// Gives the figure the rating of a published part stands on.
pub fn rating(id: &str) -> Number {
    figure(&part(id))
        .unwrap_or_else(|| panic!("`{id}` has no figure"))
        .clone()
}

/// Gives that figure in pounds.
pub fn rating_lb(id: &str) -> f64 {
    rating(id).value() / LB
}

/// Gives the design factor behind the rating of a published part.
pub fn design_factor(id: &str) -> f64 {
    match &part(id).rating {
        Rating::WorkingLoad {
            design_factor: Some(factor),
            ..
        } => factor.value(),
        other => panic!("`{id}` has no design factor: {other:?}"),
    }
}

/// Gives a published rope.
pub fn rope(id: &str) -> Rope {
    part(id)
        .rope()
        .unwrap_or_else(|| panic!("`{id}` is no rope"))
        .clone()
}

/// Gives published clips.
pub fn clips(id: &str) -> Clips {
    match &part(id).body {
        Body::Clips(clips) => clips.clone(),
        _ => panic!("`{id}` is no clips"),
    }
}

/// Gives the eye bolt that a part is.
pub fn eyebolt(part: &Part) -> EyeBolt {
    match &part.body {
        Body::EyeBolt(bolt) => bolt.clone(),
        _ => panic!("`{}` is no eye bolt", part.id),
    }
}

/// Everything the book says of a part besides its figures.
pub fn says(part: &Part) -> String {
    let remarks = figure(part)
        .map(|number| number.remarks().join("\n"))
        .unwrap_or_default();
    format!("{}\n{remarks}", part.notes.join("\n"))
}

/// Every number in a part, with all that each rests on.
pub fn numbers(part: &Part) -> Vec<Number> {
    let mut found: Vec<&Number> = figure(part).into_iter().collect();
    if let Rating::WorkingLoad { design_factor, .. } = &part.rating {
        found.extend(design_factor);
    }
    if let Rating::Bending(bending) = &part.rating {
        found.push(&bending.shear_n);
        found.extend(&bending.torque_n_m);
    }
    found.extend(part.length_m.iter().chain(&part.mass_kg));
    match &part.body {
        Body::Rope(rope) => {
            found.push(&rope.diameter_m);
            found.extend(rope.stiffness_n.iter().chain(&rope.mass_kg_per_m));
            found.extend(rope.bends.iter().map(|row| &row.efficiency));
            found.extend(&rope.expansion_per_k);
            if let Some(settling) = &rope.settling {
                found.extend(settling.least.iter().chain([&settling.most]));
            }
            found.extend(rope.sheaves.iter().flat_map(|of| [&of.least, &of.suggested]));
        }
        Body::Clips(clips) => {
            found.extend([&clips.least_count, &clips.spacing_m]);
            found.extend(clips.turnback_m.iter().chain(&clips.torque_n_m));
        }
        Body::Grip(grip) => {
            found.extend(&grip.least_tail_m);
            found.extend(grip.accepts.iter().map(|of| &of.working_load_n));
            found.extend(grip.accepts.iter().filter_map(|of| of.design_factor.as_ref()));
        }
        Body::Thimble(thimble) => found.extend(&thimble.inside_width_m),
        Body::Shackle(shackle) => {
            found.extend(&shackle.pin_diameter_m);
            found.extend(shackle.side_load.iter().map(|band| &band.allows));
        }
        Body::EyeBolt(bolt) => found.extend(bolt.by_angle.iter().map(|band| &band.allows)),
        Body::Turnbuckle(turnbuckle) => found.extend(&turnbuckle.take_up_m),
        Body::Link(link) => found.extend(&link.stock_diameter_m),
        Body::Section(section) => {
            if let Some(tube) = &section.tube {
                found.extend([&tube.diameter_m, &tube.wall_m, &tube.area_m2]);
                found.extend([&tube.second_moment_m4, &tube.elastic_modulus_m3]);
                found.extend([&tube.plastic_modulus_m3, &tube.modulus_pa]);
                found.extend(&tube.yield_pa);
            }
            found.extend([&section.bending_stiffness_n_m2, &section.mass_kg_per_m]);
            found.extend(
                section
                    .axial_stiffness_n
                    .iter()
                    .chain(&section.torsional_stiffness_n_m2),
            );
            found.extend(section.expansion_per_k.iter().chain(&section.deflection_ratio));
            found.extend(&section.panel_m);
        }
        Body::End(_) => {}
    }
    found.into_iter().flat_map(Number::all).cloned().collect()
}

/// Makes a length.
pub fn length_m(value: f64) -> Number {
    Number::given("length", "L", Kind::Length, value, Source::stated("a test"))
}

/// Holds a value to an expected one within a tolerance that has a reason.
#[track_caller]
pub fn assert_near(found: f64, expected: f64, tolerance: f64, why: &str) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{found} is not {expected} within {tolerance} ({why})"
    );
}
