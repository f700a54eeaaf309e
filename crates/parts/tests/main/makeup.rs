//! Makeups: what is wrong with a list of parts, and its mechanics.

use crate::support::{assert_near, length_m, rope};
use parts::{Book, Made, Makeup, Mismatch, Piece, Side};
use proptest::prelude::*;
use quantity::{Kind, Style};

const GRIPS: &str = include_str!("../../../../examples/parts/grips.toml");

fn makeup(ids: &[&str]) -> Makeup {
    let book = Book::published().overlaid(&Book::read("grips.toml", GRIPS).0);
    let piece = |id: &&str| Piece {
        part: book.get(id).unwrap_or_else(|| panic!("no `{id}`")),
        made: Made::default(),
    };
    Makeup {
        name: "leg".into(),
        pieces: ids.iter().map(piece).collect(),
        evidence: Vec::new(),
    }
}

fn mistakes(ids: &[&str]) -> Vec<String> {
    makeup(ids).mismatches().iter().map(ToString::to_string).collect()
}

/// The makeup of the house plan.
const LEG: [&str; 5] = [
    "shackle-demo-3/8",
    "eye-sleeve-3/16",
    "rope-7x19-galv-3/16",
    "grip-screw-3/16",
    "shackle-demo-3/8",
];

#[test]
fn a_right_makeup_has_no_mistakes() {
    assert_eq!(mistakes(&LEG), Vec::<String>::new());
    let both_eyes = [
        "shackle-3/8",
        "thimble-3/8",
        "clips-forged-3/8",
        "rope-6x19-iwrc-ips-3/8",
        "eye-mechanical-3/8",
    ];
    assert_eq!(mistakes(&both_eyes), Vec::<String>::new());
    assert_eq!(
        mistakes(&[
            "eye-sleeve-copper-1/8",
            "rope-7x19-stainless-1/8",
            "stop-pressed-1/8"
        ]),
        Vec::<String>::new()
    );
}

#[test]
fn a_makeup_has_one_rope_held_at_both_ends() {
    assert_eq!(makeup(&["shackle-3/8"]).mismatches(), [Mismatch::NoRope]);
    let two = makeup(&["rope-7x19-galv-3/16", "rope-7x19-galv-3/16"]);
    assert!(matches!(two.mismatches()[..], [Mismatch::SeveralRopes(_)]));
    assert!(two.rope().is_none() && two.pieces_at(Side::Upper).is_empty());
    let bare = makeup(&["shackle-3/8", "rope-7x19-galv-3/16", "eye-sleeve-3/16"]);
    assert_eq!(bare.mismatches(), [Mismatch::NoEnd { side: Side::Upper }]);
    assert_eq!(
        mistakes(&[
            "eye-sleeve-3/16",
            "rope-7x19-galv-3/16",
            "grip-screw-3/16",
            "eye-sleeve-3/16"
        ]),
        ["`grip-screw-3/16` and `eye-sleeve-3/16` hold the rope at its lower end; one does"]
    );
}

#[test]
fn what_holds_the_rope_stands_next_to_it() {
    assert_eq!(
        mistakes(&[
            "eye-sleeve-3/16",
            "turnbuckle-jaw-eye-1/2",
            "rope-7x19-galv-3/16",
            "eye-sleeve-3/16"
        ]),
        ["`turnbuckle-jaw-eye-1/2` stands between the rope and `eye-sleeve-3/16` that holds it"]
    );
}

#[test]
fn parts_take_the_rope_of_the_makeup() {
    assert_eq!(
        mistakes(&["eye-sleeve-3/16", "rope-7x19-galv-1/8", "eye-sleeve-1/8"]),
        [
            "`eye-sleeve-3/16` does not take `rope-7x19-galv-1/8`: it takes rope of 3/16 in (4.76 mm), not 1/8 in (3.17 mm)"
        ]
    );
    assert_eq!(
        mistakes(&[
            "eye-sleeve-3/16",
            "rope-7x19-stainless-3/16",
            "eye-sleeve-copper-3/16"
        ]),
        [
            "`eye-sleeve-3/16` does not take `rope-7x19-stainless-3/16`: it takes galvanised rope, not stainless-304"
        ]
    );
    assert_eq!(
        mistakes(&[
            "clips-forged-1/8",
            "rope-1x19-stainless-304-1/8",
            "clips-forged-1/8"
        ])[0],
        "`clips-forged-1/8` does not take `rope-1x19-stainless-304-1/8`: it takes 7x7, 7x19, 6x7, 6x19 or 6x36 rope, not 1x19"
    );
    assert_eq!(
        mistakes(&["eye-sleeve-1/8", "rope-7x19-galv-1/8", "grip-screw-1/8"]),
        ["`grip-screw-1/8` does not take `rope-7x19-galv-1/8`: it is not rated on 7x19 rope; it takes 7x7"]
    );
    assert_eq!(
        mistakes(&["socket-swaged-3/8", "rope-6x19-fc-ips-3/8", "socket-poured-3/8"]),
        ["`socket-swaged-3/8` does not take `rope-6x19-fc-ips-3/8`: it takes rope with IWRC core, not FC"]
    );
    let wrong = makeup(&[
        "thimble-3/8",
        "eye-sleeve-soft-3/16",
        "rope-7x19-galv-3/16",
        "socket-poured-3/8",
        "thimble-3/16",
    ])
    .mismatches();
    assert!(
        wrong
            .iter()
            .any(|m| matches!(m, Mismatch::ThimbleSize { part, .. } if part == "thimble-3/8")),
        "{wrong:?}"
    );
    assert!(
        wrong
            .iter()
            .any(|m| matches!(m, Mismatch::LooseThimble { part } if part == "thimble-3/16")),
        "{wrong:?}"
    );
}

#[test]
fn a_thimble_next_to_a_soft_eye_makes_it_thimbled() {
    let sides = |ids: &[&str]| Side::BOTH.map(|side| makeup(ids).end_is_thimbled(side));
    assert_eq!(
        sides(&["eye-sleeve-3/16", "rope-7x19-galv-3/16", "eye-sleeve-soft-3/16"]),
        [true, false]
    );
    assert_eq!(
        sides(&[
            "clips-forged-3/8",
            "rope-6x19-fc-ips-3/8",
            "clips-forged-3/8",
            "thimble-3/8"
        ]),
        [false, true]
    );
    assert_eq!(
        sides(&[
            "thimble-3/16",
            "eye-sleeve-soft-3/16",
            "rope-7x19-galv-3/16",
            "grip-screw-3/16"
        ]),
        [true, false]
    );
    assert_eq!(
        sides(&[
            "thimble-1/8",
            "grip-loop-1/8",
            "rope-7x19-galv-1/8",
            "grip-loop-1/8"
        ]),
        [true, false]
    );
}

/// Mechanics: what the hardware takes of the length, and what that makes of the stiffness.
#[test]
fn a_line_is_its_rope_and_its_hardware() {
    let leg = makeup(&LEG);
    let (hardware, unknown) = leg.hardware_length_m();
    assert_near(
        hardware.value() / 0.0254,
        2.0 * 1.44 + 2.25,
        1e-9,
        "two shackles and a grip; the eye sits on the rope",
    );
    assert!(unknown.is_empty());
    let line = length_m(3.0);
    let rope_length = leg.rope_length_m(&line).unwrap().value();
    assert_near(rope_length, 3.0 - hardware.value(), 1e-12, "the rest");
    let of_rope = rope("rope-7x19-galv-3/16").stiffness_n.unwrap().value();
    let of_line = leg.line_stiffness_n(&line).unwrap();
    // A line of stiffness EA_l and length L stretches under a load as its rope does.
    assert_near(
        3.0 / of_line.value(),
        rope_length / of_rope,
        1e-15,
        "stretch per newton",
    );
    assert!(of_line.unsound().is_empty(), "{:?}", of_line.unsound());
    let (mass, unknown) = leg.mass_of_line_kg(&line);
    let lb = 0.453_592_37;
    let expected = 2.0 * 0.31 * lb + 0.18 * lb + rope_length * 6.5 * lb / 30.48;
    assert_near(mass.value(), expected, 1e-9, "shackles, grip and rope");
    assert_eq!(
        unknown,
        ["eye-sleeve-3/16"],
        "the mass of a sleeve is not published"
    );
    assert_eq!(leg.rope().unwrap().0.id, "rope-7x19-galv-3/16");
}

#[test]
fn what_is_not_known_counts_as_nothing_and_is_listed() {
    let leg = makeup(&[
        "shackle-3/8",
        "eye-sleeve-3/16",
        "rope-7x19-galv-3/16",
        "eye-sleeve-3/16",
        "turnbuckle-jaw-eye-1/2",
    ]);
    let (hardware, unknown) = leg.hardware_length_m();
    assert_near(hardware.value(), 0.0, 0.0, "nothing is published");
    assert_eq!(unknown, ["shackle-3/8", "turnbuckle-jaw-eye-1/2"]);
    assert!(hardware.remarks()[0].contains("counted as 0"));
    let (upper, unknown) = leg.hardware_mass_kg(Side::Upper);
    assert_near(upper.value(), 0.0, 0.0, "nothing is published");
    assert_eq!(unknown, ["eye-sleeve-3/16", "shackle-3/8"]);
}

#[test]
fn hardware_mass_goes_to_its_own_side() {
    let leg = makeup(&[
        "shackle-metric-1t",
        "eye-sleeve-3/16",
        "rope-7x19-galv-3/16",
        "grip-screw-3/16",
        "ring-demo-1/2",
    ]);
    assert_near(
        leg.hardware_mass_kg(Side::Upper).0.value(),
        0.14,
        1e-12,
        "printed in kilograms",
    );
    assert_near(
        leg.hardware_mass_kg(Side::Lower).0.value(),
        (0.18 + 0.72) * 0.453_592_37,
        1e-12,
        "grip and ring",
    );
}

#[test]
fn a_line_shorter_than_its_hardware_has_no_rope() {
    let leg = makeup(&LEG);
    let short = length_m(0.1);
    assert!(leg.rope_length_m(&short).is_none());
    assert!(leg.line_stiffness_n(&short).is_none() && leg.rope_mass_kg(&short).is_none());
    let no_stiffness = makeup(&["socket-poured-6mm", "rope-6x7-iwrc-1770-6mm", "socket-poured-6mm"]);
    assert!(
        no_stiffness.line_stiffness_n(&length_m(3.0)).is_none(),
        "nothing is published for it"
    );
}

/// The working of a line's stiffness can be read down to the printed factor.
#[test]
fn the_working_of_a_stiffness_is_told() {
    let stiffness = makeup(&LEG).line_stiffness_n(&length_m(3.0)).unwrap();
    insta::assert_snapshot!(working::explain(&stiffness, Style::both(), 100));
}

/// The working of a rating tells every source that was weighed and what was set aside.
#[test]
fn the_working_of_a_rating_is_told() {
    let text = [
        "eyebolt-shoulder-1/2",
        "eyebolt-shoulder-3/8",
        "turnbuckle-jaw-eye-3/4",
        "eye-sleeve-3/16",
    ]
    .map(|id| working::explain(&crate::support::rating(id), Style::us(), 100))
    .join("\n");
    insta::assert_snapshot!(text);
}

proptest! {
    #![proptest_config(ProptestConfig {
        rng_seed: proptest::test_runner::RngSeed::Fixed(7),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    /// A line of the same makeup is softer the longer it is, as force per length, and its EA nears that of its rope.
    #[test]
    fn hardware_stiffens_a_line_less_the_longer_it_is(a in 0.2..50.0_f64, more in 0.1..50.0_f64) {
        let leg = makeup(&LEG);
        let of_rope = rope("rope-7x19-galv-3/16").stiffness_n.unwrap().value();
        let at = |l: f64| leg.line_stiffness_n(&length_m(l)).unwrap().value();
        prop_assert!(at(a) > at(a + more) && at(a + more) > of_rope);
        prop_assert_eq!(leg.line_stiffness_n(&length_m(a)).unwrap().kind(), Kind::Force);
    }
}
