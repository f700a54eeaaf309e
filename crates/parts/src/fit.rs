//! Which ropes a part takes.
//!
//! Conventions: diameters are nominal, metres.
//! Assumes: two nominal diameters are the same if they differ by less than a thousandth.
//! Valid for: ropes of the parts book. Otherwise refused, with what is wrong and what would be right.
//! Source: common practice, no source: a grip is rated only on the rope it was tested with.
//! Checked by: the tests below; tests/main/demo_book.rs, tests/main/makeup.rs.

use crate::part::{Accepted, Accepts, Grip, Rope};
use quantity::{Kind, Style};
use thiserror::Error;

/// Nominal sizes differ by far more than this share, and rounding by far less.
const SAME_SIZE: f64 = 1e-3;

/// Why an adjustable grip does not take a rope.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum Refusal {
    /// It is rated on no rope of this construction.
    #[error("it is not rated on {given} rope; it takes {takes}")]
    Construction {
        /// The construction given.
        given: String,
        /// The constructions it takes.
        takes: String,
    },
    /// It is rated on no such rope of this material.
    #[error("it is not rated on {given} rope; of {construction} it takes {takes}")]
    Material {
        /// The construction given.
        construction: String,
        /// The material given.
        given: String,
        /// The materials it takes.
        takes: String,
    },
    /// It is rated on no such rope of this diameter.
    #[error("it is not rated on rope of {given}; of {construction} {material} it takes {takes}")]
    Diameter {
        /// The construction given.
        construction: String,
        /// The material given.
        material: String,
        /// The diameter given.
        given: String,
        /// The diameters it takes.
        takes: String,
    },
    /// The rope is covered with plastic.
    #[error(
        "the rope is covered with plastic, and it is rated on bare rope; strip it only if both makers say so"
    )]
    Coated,
}

impl Grip {
    /// Finds the rating on a rope, or says what is wrong with the rope and what would be right.
    pub fn accepted(&self, rope: &Rope) -> Result<&Accepted, Refusal> {
        let same = |of: &&Accepted| of.construction == rope.construction;
        if !self.accepts.iter().any(|of| same(&of)) {
            let takes = listed(self.accepts.iter().map(|of| of.construction.clone()));
            return Err(Refusal::Construction {
                given: rope.construction.clone(),
                takes,
            });
        }
        let fits = |of: &&Accepted| same(of) && of.materials.contains(&rope.material);
        if !self.accepts.iter().any(|of| fits(&of)) {
            return Err(Refusal::Material {
                construction: rope.construction.clone(),
                given: rope.material.clone(),
                takes: listed(
                    self.accepts
                        .iter()
                        .filter(same)
                        .flat_map(|of| of.materials.clone()),
                ),
            });
        }
        let found = self
            .accepts
            .iter()
            .filter(fits)
            .find(|of| same_size(of.diameter_m, rope.diameter_m.value()));
        let Some(found) = found else {
            return Err(Refusal::Diameter {
                construction: rope.construction.clone(),
                material: rope.material.clone(),
                given: size(rope.diameter_m.value()),
                takes: listed(self.accepts.iter().filter(fits).map(|of| size(of.diameter_m))),
            });
        };
        if rope.coated {
            Err(Refusal::Coated)
        } else {
            Ok(found)
        }
    }
}

impl Accepts {
    /// Says why a rope is not taken, and what would be; none if it is.
    pub fn refusal(&self, rope: &Rope) -> Option<String> {
        let wrong = |known: &[String], given: &str| !known.is_empty() && !known.iter().any(|k| k == given);
        let list = |known: &[String]| listed(known.iter().cloned());
        if wrong(&self.constructions, &rope.construction) {
            return Some(format!(
                "it takes {} rope, not {}",
                list(&self.constructions),
                rope.construction
            ));
        }
        if let Some(core) = rope.core.as_deref().filter(|core| wrong(&self.cores, core)) {
            return Some(format!(
                "it takes rope with {} core, not {core}",
                list(&self.cores)
            ));
        }
        if wrong(&self.materials, &rope.material) {
            return Some(format!(
                "it takes {} rope, not {}",
                list(&self.materials),
                rope.material
            ));
        }
        let d = rope.diameter_m.value();
        let low = self
            .diameter_from_m
            .is_some_and(|from| d < from * (1.0 - SAME_SIZE));
        let high = self.diameter_to_m.is_some_and(|to| d > to * (1.0 + SAME_SIZE));
        (low || high).then(|| format!("it takes rope of {}, not {}", self.sizes(), size(d)))
    }

    fn sizes(&self) -> String {
        match (self.diameter_from_m, self.diameter_to_m) {
            (Some(from), Some(to)) if same_size(from, to) => size(from),
            (Some(from), Some(to)) => format!("{} to {}", size(from), size(to)),
            (Some(from), None) => format!("{} and more", size(from)),
            (None, Some(to)) => format!("up to {}", size(to)),
            (None, None) => "any size".into(),
        }
    }
}

/// Tells whether two nominal diameters are the same size.
pub(crate) fn same_size(a: f64, b: f64) -> bool {
    (a - b).abs() <= SAME_SIZE * b
}

/// Prints a size in inches and millimetres.
pub(crate) fn size(diameter_m: f64) -> String {
    Kind::Length.print(diameter_m, Style::both())
}

/// Lists words once each, in order: `a, b or c`.
fn listed(words: impl Iterator<Item = String>) -> String {
    let mut once: Vec<String> = Vec::new();
    words.for_each(|word| {
        if !once.contains(&word) {
            once.push(word);
        }
    });
    match once.as_slice() {
        [] => "none".into(),
        [rest @ .., last] if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        [last, ..] => last.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use working::{Number, Source};

    fn rope(diameter_m: f64) -> Rope {
        let source = Source::stated("a test");
        Rope {
            construction: "7x19".into(),
            core: None,
            material: "galvanised".into(),
            diameter_m: Number::given("diameter", "d", Kind::Length, diameter_m, source),
            stiffness_n: None,
            mass_kg_per_m: None,
            expansion_per_k: None,
            settling: None,
            coated: false,
            bends: std::sync::Arc::default(),
            sheaves: None,
        }
    }

    #[test]
    fn an_empty_list_takes_any_rope() {
        assert_eq!(Accepts::default().refusal(&rope(0.005)), None);
    }

    #[test]
    fn a_range_of_diameters_includes_its_ends() {
        let accepts = Accepts {
            diameter_from_m: Some(0.004),
            diameter_to_m: Some(0.006),
            ..Accepts::default()
        };
        assert_eq!(accepts.refusal(&rope(0.004)), None);
        assert_eq!(accepts.refusal(&rope(0.006)), None);
        let refusal = accepts.refusal(&rope(0.008)).unwrap();
        assert!(refusal.contains("(4 mm) to"), "{refusal}");
        let open = Accepts {
            diameter_to_m: None,
            ..accepts.clone()
        };
        assert_eq!(open.refusal(&rope(0.008)), None);
        assert!(open.refusal(&rope(0.003)).unwrap().contains("and more"));
        let upto = Accepts {
            diameter_from_m: None,
            ..accepts
        };
        assert!(upto.refusal(&rope(0.007)).unwrap().contains("up to"));
    }

    #[test]
    fn a_core_is_refused_only_where_there_is_one() {
        let accepts = Accepts {
            cores: vec!["IWRC".into()],
            ..Accepts::default()
        };
        assert_eq!(accepts.refusal(&rope(0.005)), None, "7x19 has no choice of core");
        let fibre = Rope {
            core: Some("FC".into()),
            ..rope(0.005)
        };
        assert_eq!(
            accepts.refusal(&fibre).unwrap(),
            "it takes rope with IWRC core, not FC"
        );
    }

    #[test]
    fn words_are_listed_once() {
        let list = |words: &[&str]| listed(words.iter().map(|w| (*w).to_string()));
        assert_eq!(list(&[]), "none");
        assert_eq!(list(&["a", "a"]), "a");
        assert_eq!(list(&["a", "b", "a", "c"]), "a, b or c");
    }
}
