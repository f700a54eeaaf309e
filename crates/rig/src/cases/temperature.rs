//! Lines and pipes at another temperature than that at which their lengths are true.
//!
//! Conventions: SI, kelvin; an unloaded length becomes L0 (1 + alpha (T - T0)).
//! Assumes: all of the rig has one temperature, hardware with the rope; the building keeps its size.
//! Valid for: steel; a rope or a pipe of another stuff is given by stiffness, with its own `stretch_by_heat`.
//! Source: linear thermal expansion; coefficients from a table of university course notes.
//! Checked by: tests/main/cases.rs (P24 of tests/published/mechanics/cases.toml).

use crate::defaults::Defaults;
use crate::document::{Given, Rig};
use crate::model::{LineModel, Model};
use quantity::Kind;
use working::{Expression, Number, Seen, Source};

/// At which lengths are true where nobody says: 20 degC.
const TRUE_K: f64 = 293.15;
const CARBON_PER_K: f64 = 12e-6;
const STAINLESS_PER_K: f64 = 17e-6;
const ALUMINIUM_PER_K: f64 = 23.2e-6;

/// Gives every line and every pipe of a model the unloaded length that it has at another temperature.
pub(crate) fn warmed(rig: &Rig, model: &mut Model, temperature_k: f64, defaults: &mut Defaults) {
    let (true_k, source) = if let Some(k) = rig.temperature_k {
        (k, Source::stated("rig file, temperature"))
    } else {
        defaults.assume("lengths are true at 20 degC (68 degF)", "");
        (
            TRUE_K,
            Source::plain("assumed, because nobody said", Seen::Judgement),
        )
    };
    let what = "temperature at which lengths are true";
    let lengths_are_true = Number::given(what, "T0", Kind::Temperature, true_k, source);
    defaults.assume(
        "the building keeps its size when lines and pipes change theirs by heat",
        "",
    );
    let now = Number::given(
        "temperature of the rig",
        "T",
        Kind::Temperature,
        temperature_k,
        Source::stated("rig file, temperature of the case"),
    );
    for (name, line) in &mut model.lines {
        let expansion = expansion(rig, name, line, defaults);
        let change: Expression = &now - &lengths_are_true;
        let formula = &line.length_m * (Expression::from(1.0) + &expansion * change);
        line.length_m = Number::computed(
            format!("unloaded length of {name} in the heat or cold"),
            "L_T",
            Kind::Length,
            formula,
            Source::mechanics("linear thermal expansion"),
        );
        if let Some(parameters) = model.parameters.lines.get_mut(line.id.index()) {
            parameters.unloaded_length_m = line.length_m.value();
        }
    }
    let warmer_k = now.value() - lengths_are_true.value();
    for (name, load) in &model.loads {
        let Some(pipe) = &load.pipe else {
            continue;
        };
        let per_k = pipe.expansion_per_k.as_ref().map_or_else(
            || {
                let what =
                    "expansion by heat that of aluminium, 23.2e-6 /K, which is more than that of steel";
                defaults.assume(what, format!("pipes.{name}"));
                ALUMINIUM_PER_K
            },
            Number::value,
        );
        for beam in &pipe.chain.beams {
            let piece = &mut model.parameters.beams[beam.index()];
            let grown = 1.0 + per_k * warmer_k;
            piece.length_m *= grown;
            // What it weighs stays the same.
            piece.load_n_per_m /= grown;
        }
    }
}

fn expansion(rig: &Rig, name: &str, line: &LineModel, defaults: &mut Defaults) -> Number {
    let of = |what: &str, per_k: f64, source: Source| {
        Number::given(
            format!("expansion of {what}"),
            "alpha",
            Kind::Expansion,
            per_k,
            source,
        )
    };
    let document = rig.lines.get(name).map(|line| &line.given);
    if let Some(Given::Stiffness { expansion_per_k, .. }) = document {
        if let Some(per_k) = expansion_per_k {
            return of(
                name,
                *per_k,
                Source::stated(format!("rig file, lines.{name}.stretch_by_heat")),
            );
        }
        defaults.assume(
            "expansion by heat that of steel wire rope",
            format!("lines.{name}"),
        );
    }
    let rope = line.makeup.as_ref().and_then(|makeup| Some(makeup.rope()?.1));
    if let Some(per_k) = rope.and_then(|rope| rope.expansion_per_k.as_ref()) {
        return per_k.clone();
    }
    let notes = |which: &str| Source::cited("steel-expansion", which, Seen::Text);
    if rope.is_some_and(|rope| rope.material.starts_with("stainless")) {
        let source = notes("stainless steel");
        return of("stainless steel rope", STAINLESS_PER_K, source)
            .remark("EN 10088-1 has 16.0e-6 /K for grades 304 and 316 from 20 to 100 degC");
    }
    of("steel rope", CARBON_PER_K, notes("iron or steel"))
}
