//! A part in sentences, and the list of its figures.

use parts::{Accepts, Body, EndForm, GripForm, Locking, Part, Rating, Section};
use quantity::{Kind, Style};
use working::Number;

/// Says what a part is made of, what it takes and how it is used.
pub(crate) fn says(part: &Part, style: Style) -> Vec<String> {
    let mut said = match &part.body {
        Body::Rope(rope) => {
            let core = rope
                .core
                .as_ref()
                .map(|core| format!(", core {core}"))
                .unwrap_or_default();
            let coat = if rope.coated { ", covered with plastic" } else { "" };
            vec![format!(
                "Construction {}{core}, {}{coat}.",
                rope.construction, rope.material
            )]
        }
        Body::End(end) => {
            let form = match end.form {
                EndForm::Eye if end.thimbled => "A thimbled eye: its efficiency includes the bend.",
                EndForm::Eye => "A soft eye: it needs a thimble, or the bend over its pin counts as well.",
                EndForm::Body => "The rope ends in a body of its own.",
                EndForm::Stop => "The rope ends in a button.",
            };
            vec![form.to_string(), takes(&end.accepts, style)]
        }
        Body::Clips(clips) => vec![
            (if clips.forged {
                "Saddles are forged."
            } else {
                "Saddles are cast: not for hanging loads."
            })
            .to_string(),
            takes(&clips.accepts, style),
        ],
        Body::Grip(grip) => grip_says(grip, style),
        Body::Thimble(thimble) => vec![format!("For rope of {}.", length(thimble.rope_diameter_m, style))],
        Body::Shackle(_) => vec!["Angles are those of a side load to the line through bow and pin.".into()],
        Body::EyeBolt(bolt) => vec![
            (if bolt.shoulder {
                "With a shoulder."
            } else {
                "Without a shoulder: for loads in line only."
            })
            .to_string(),
            format!(
                "Refused past {} from its shank.",
                angle(bolt.refused_past_rad, style)
            ),
        ],
        Body::Turnbuckle(turnbuckle) => vec![format!("Ends: {}.", turnbuckle.ends)],
        Body::Link(link) => vec![format!("Form: {}.", link.form)],
        Body::Section(section) => section_says(section, style),
    };
    if part.invented {
        said.insert(0, "Invented for a demonstration: no such part is made.".into());
    }
    said.retain(|sentence| !sentence.is_empty());
    said
}

fn section_says(section: &Section, style: Style) -> Vec<String> {
    let grade = section
        .grade
        .as_ref()
        .map(|grade| format!(", {grade}"))
        .unwrap_or_default();
    let mut said = vec![format!("Material: {}{grade}.", section.material)];
    if let Some(panel) = &section.panel_m {
        said.push(format!(
            "To be hung and loaded at its panel points only, every {}.",
            length(panel.value(), style)
        ));
    }
    said
}

fn grip_says(grip: &parts::Grip, style: Style) -> Vec<String> {
    let form = match grip.form {
        GripForm::Returns => "The rope returns through the grip and makes an eye.",
        GripForm::Ends => "The rope ends in the grip's body.",
    };
    let locking = match grip.locking {
        Locking::SelfLocking => "It grips by itself under load.",
        Locking::ScrewLocked => "A screw or nut locks it: check that it is still tight.",
    };
    let tail = match &grip.least_tail_m {
        Some(tail) => format!("Least tail {}.", tail.kind().print(tail.value(), style)),
        None => "Least tail not stated: the tail must show.".into(),
    };
    let document = match &grip.document {
        Some(d) => format!(
            "Maker's document: {}, revision {}, {}.",
            d.title, d.revision, d.date
        ),
        None => "No maker's document: counts as unrated.".into(),
    };
    let mut said = vec![
        form.into(),
        locking.into(),
        tail,
        format!("Released by: {}.", grip.released_by),
    ];
    said.push(
        (if grip.reusable {
            "May be used again after release."
        } else {
            "Not to be used again after release."
        })
        .into(),
    );
    said.extend(
        grip.reuse
            .as_ref()
            .map(|says| format!("After a slip or an overload: {says}.")),
    );
    if grip.static_only {
        said.push("For loads that hang still only.".into());
    }
    let sole = if grip.permits_sole_support_overhead {
        "permits"
    } else {
        "does not permit"
    };
    said.push(format!(
        "Its maker's document {sole} it as the only thing that holds a load over people."
    ));
    if grip.adjust_under_load {
        said.push("Its maker's document permits it to be set while its line carries.".into());
    }
    said.push(document);
    said
}

fn takes(accepts: &Accepts, style: Style) -> String {
    let list = |of: &[String]| of.join(" or ");
    let mut words: Vec<String> = [&accepts.constructions, &accepts.cores, &accepts.materials]
        .into_iter()
        .filter(|of| !of.is_empty())
        .map(|of| list(of))
        .collect();
    match (accepts.diameter_from_m, accepts.diameter_to_m) {
        (Some(from), Some(to)) if from == to => words.push(length(from, style)),
        (Some(from), Some(to)) => words.push(format!("{} to {}", length(from, style), length(to, style))),
        (Some(from), None) => words.push(format!("from {}", length(from, style))),
        (None, Some(to)) => words.push(format!("up to {}", length(to, style))),
        (None, None) => {}
    }
    if words.is_empty() {
        String::new()
    } else {
        format!("Takes rope: {}.", words.join(", "))
    }
}

fn length(length_m: f64, style: Style) -> String {
    Kind::Length.print(
        length_m,
        Style {
            inch_fraction: quantity::InchFraction::ThirtySeconds,
            ..style
        },
    )
}

fn angle(angle_rad: f64, style: Style) -> String {
    Kind::Angle.print(angle_rad, style)
}

/// Lists every figure of a part, its rating first.
pub(crate) fn figures(part: &Part) -> Vec<&Number> {
    let mut found: Vec<&Number> = match &part.rating {
        Rating::WorkingLoad { load, design_factor } => std::iter::once(load).chain(design_factor).collect(),
        Rating::Breaking(number) | Rating::Efficiency(number) => vec![number],
        Rating::Bending(bending) => [&bending.moment_n_m, &bending.shear_n]
            .into_iter()
            .chain(&bending.torque_n_m)
            .collect(),
        Rating::ByRope | Rating::Unrated(_) => Vec::new(),
    };
    match &part.body {
        Body::Rope(rope) => {
            found.push(&rope.diameter_m);
            found.extend(&rope.stiffness_n);
            found.extend(&rope.mass_kg_per_m);
            found.extend(&rope.expansion_per_k);
            if let Some(settling) = &rope.settling {
                found.extend(&settling.least);
                found.push(&settling.most);
            }
            found.extend(
                rope.sheaves
                    .iter()
                    .flat_map(|ratio| [&ratio.least, &ratio.suggested]),
            );
            if !rope.is_strand() {
                found.extend(rope.bends.iter().map(|row| &row.efficiency));
            }
        }
        Body::Clips(clips) => {
            found.extend([&clips.least_count, &clips.spacing_m]);
            found.extend(&clips.turnback_m);
            found.extend(&clips.torque_n_m);
        }
        Body::Grip(grip) => {
            for accepted in &grip.accepts {
                found.push(&accepted.working_load_n);
                found.extend(&accepted.design_factor);
            }
            found.extend(&grip.least_tail_m);
        }
        Body::Thimble(thimble) => found.extend(&thimble.inside_width_m),
        Body::Shackle(shackle) => {
            found.extend(&shackle.pin_diameter_m);
            found.extend(shackle.side_load.iter().map(|band| &band.allows));
        }
        Body::EyeBolt(bolt) => found.extend(bolt.by_angle.iter().map(|band| &band.allows)),
        Body::Turnbuckle(turnbuckle) => {
            found.extend(&turnbuckle.take_up_m);
            found.extend(&turnbuckle.pitch_m);
        }
        Body::Link(link) => found.extend(&link.stock_diameter_m),
        Body::Section(section) => found.extend(section_figures(section)),
        Body::End(_) => {}
    }
    found.extend(&part.length_m);
    found.extend(&part.mass_kg);
    found
}

fn section_figures(section: &Section) -> Vec<&Number> {
    let mut found: Vec<&Number> = Vec::new();
    if let Some(tube) = &section.tube {
        found.extend([
            &tube.diameter_m,
            &tube.wall_m,
            &tube.area_m2,
            &tube.second_moment_m4,
            &tube.elastic_modulus_m3,
            &tube.plastic_modulus_m3,
            &tube.modulus_pa,
        ]);
        found.extend(&tube.yield_pa);
    }
    found.push(&section.bending_stiffness_n_m2);
    found.extend(&section.axial_stiffness_n);
    found.extend(&section.torsional_stiffness_n_m2);
    found.push(&section.mass_kg_per_m);
    found.extend(&section.expansion_per_k);
    found.extend(&section.deflection_ratio);
    found.extend(&section.panel_m);
    found
}
