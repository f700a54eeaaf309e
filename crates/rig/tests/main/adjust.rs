//! What adjusting a rig does, what it weighs by what is read on it, and the steps that set it right.

use crate::{assert_near, book, verdict};
use practice::{Practices, Severity};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed};
use rig::{Goal, TrimAnswer, TrimError, trim};

/// Answers how to set a rig right, with the published books and the demo book over them.
fn trimmed(text: &str, readings: Option<&str>, goal: &Goal) -> TrimAnswer {
    let practices = Practices::published();
    trim(text, readings, goal, &book(), practices, Some("2026-03-14"))
        .unwrap_or_else(|error| panic!("{error:?}"))
}

fn table(text: &str) -> TrimAnswer {
    trimmed(text, None, &Goal::default())
}

const CORNERS: [[f64; 2]; 4] = [[1.5, 1.0], [-1.5, 1.0], [-1.5, -1.0], [1.5, -1.0]];

/// A plate of 3 x 2 m on four upright legs of 4 m; each leg is that much longer.
struct Plate {
    weight_n: f64,
    centre_m: [f64; 3],
    longer_m: [f64; 4],
    /// What every line says besides its ends and its length.
    line: &'static str,
}

const SPRING: &str = "stiffness = \"1 MN\"";
const STATED: &str =
    "stiffness = \"1 MN\"\nadjust = { travel = \"200 mm\", at = \"100 mm\", step = \"1 mm\" }";

impl Plate {
    fn even() -> Self {
        Plate {
            weight_n: 4000.0,
            centre_m: [0.0, 0.0, -0.2],
            longer_m: [0.0; 4],
            line: SPRING,
        }
    }

    fn text(&self) -> String {
        let [x, y, z] = self.centre_m;
        let mut text = format!(
            "title = \"Larkspur Library porch: a plate\"\npractice = \"static-clear-below\"\n[loads.plate]\n\
             weight = \"{:?} N\"\ncentre = [\"{x:?} m\", \"{y:?} m\", \"{z:?} m\"]\nunder = \"nobody\"\n\
             trim = {{ at = [\"0 m\", \"0 m\", \"2 m\"], heading = \"0 deg\" }}\npicks = {{ ",
            self.weight_n
        );
        for (i, [x, y]) in CORNERS.iter().enumerate() {
            text += &format!("p{i} = [\"{x} m\", \"{y} m\", \"0 m\"], ");
        }
        text = text.trim_end_matches(", ").to_string() + " }\n";
        for (i, [x, y]) in CORNERS.iter().enumerate() {
            text += &format!("[points.q{i}]\nat = [\"{x} m\", \"{y} m\", \"6 m\"]\n");
            text += &format!(
                "[lines.l{i}]\nfrom = \"q{i}\"\nto = \"plate.p{i}\"\nlength = \"{:?} m\"\ntolerance = \"30 mm\"\n{}\n",
                3.999 + self.longer_m[i],
                self.line
            );
        }
        text
    }
}

/// Writes what would be read on a rig: every load cell and the height of every pick, each off by some of its uncertainty.
fn readings(of: &str, noise: &mut dyn FnMut() -> f64) -> String {
    let there = verdict(of);
    let mut text = String::new();
    for (name, line) in &there.lines {
        let reads = (line.tension_n.unwrap() + 5.0 * noise()).max(0.0);
        text +=
            &format!("[[tension]]\nline = \"{name}\"\nreads = \"{reads:.6} N\"\nuncertainty = \"10 N\"\n");
    }
    for (name, load) in &there.loads {
        for (pick, at) in &load.picks {
            let reads_mm = 1e3 * at.at_m.unwrap()[2] + 0.5 * noise();
            text += &format!(
                "[[height]]\nof = \"{name}.{pick}\"\nreads = \"{reads_mm:.6} mm\"\nuncertainty = \"1 mm\"\n"
            );
        }
    }
    text
}

/// P20 of tests/published/mechanics/cases.toml: one leg longer by d takes k d / 4 off itself and its partner on the diagonal
/// and gives it to the others; one that is taken up does the reverse.
#[test]
fn one_leg_of_four_changes_all_by_a_quarter_of_its_stiffness() {
    let answer = table(&Plate::even().text());
    let effect = &answer.effects["l0"];
    // Lines given by stiffness alone can not be adjusted; the figures are for 1/4 in.
    assert_eq!(answer.adjusters["l0"].by, "nothing");
    assert_near(effect.shorter_m, 0.00635, 1e-12, "1/4 in");
    let quarter_n_per_m = 1e6 / 3.999 / 4.0;
    for (line, sign) in [("l0", 1.0), ("l1", -1.0), ("l2", 1.0), ("l3", -1.0)] {
        let of = effect.lines[line];
        // The closed form leaves out that lines stretch by a thousandth and that the plate tilts on them as on pendulums.
        assert_near(
            of.slope_n_per_m,
            sign * quarter_n_per_m,
            4e-3 * quarter_n_per_m,
            line,
        );
        assert_near(of.change_n, sign * quarter_n_per_m * 0.00635, 3.0, line);
    }
    assert_near(
        effect.loads["plate"].slope_m_per_m,
        0.25,
        1e-3,
        "the middle rises by a quarter",
    );
}

proptest! {
    #![proptest_config(Config { cases: 24, rng_seed: RngSeed::Fixed(20260314), failure_persistence: None, ..Config::default() })]

    /// The table says what the verdict on a document with that length says.
    #[test]
    fn the_table_is_the_verdict_on_a_changed_document(
        line in 0_usize..4,
        x in -0.8_f64..0.8,
        y in -0.5_f64..0.5,
        weight_n in 500.0_f64..9000.0,
    ) {
        let plate = Plate { weight_n, centre_m: [x, y, -0.3], line: STATED, ..Plate::even() };
        let answer = table(&plate.text());
        let effect = &answer.effects[&format!("l{line}")];
        prop_assert!((effect.shorter_m - 1e-3).abs() < 1e-12);
        let mut longer_m = [0.0; 4];
        longer_m[line] = -1e-3;
        let changed = verdict(&Plate { longer_m, ..plate }.text());
        for (name, of) in &effect.lines {
            // Both are solved to 1e-9 of all forces, lines of 250 kN/m along soft turns of the plate.
            prop_assert!((of.tension_n - changed.lines[name].tension_n.unwrap()).abs() < 1e-3, "{name}");
        }
        let load = &changed.loads["plate"];
        let height_m = answer.now.as_ref().unwrap().loads["plate"].height_m.value + effect.loads["plate"].rises_m;
        prop_assert!((height_m - load.at_m.unwrap()[2]).abs() < 1e-7);
        prop_assert!((effect.loads["plate"].tilt_deg - load.tilt_deg.unwrap()).abs() < 1e-5);
    }

    /// A rig with another weight, another centre and other lengths is found again within its uncertainty.
    #[test]
    fn readings_tell_weight_and_centre(
        share in 0.7_f64..1.3,
        x in -0.3_f64..0.3,
        y in -0.2_f64..0.2,
        // So that all four stay taut: with two of them slack nothing tells where the centre is across the others.
        off in prop::array::uniform4(-1.2_f64..1.2),
        noise in prop::collection::vec(-1.7_f64..1.7, 8),
    ) {
        let is = Plate {
            weight_n: 4000.0 * share,
            centre_m: [x, y, -0.2],
            longer_m: off.map(|mm| 1e-3 * mm),
            ..Plate::even()
        };
        let mut next = noise.into_iter().cycle();
        let read = readings(&is.text(), &mut || next.next().unwrap());
        let answer = trimmed(&Plate::even().text(), Some(&read), &Goal::default());
        let estimate = answer.estimate.as_ref().unwrap();
        let told = &estimate.loads["plate"];
        // Errors are evenly spread up to 1.7 standard uncertainties here, so none is more than four of its own off.
        let within = |value: f64, figure: &rig::Figure, what: &str| {
            let sure = figure.standard_uncertainty.unwrap();
            prop_assert!((figure.value - value).abs() < 4.0 * sure, "{what}: {} +- {sure}, is {value}", figure.value);
            Ok(())
        };
        within(is.weight_n, &told.weight_n, "weight")?;
        prop_assert!(told.weight_n.standard_uncertainty.unwrap() < 12.0);
        within(x, told.centre_m[0].as_ref().unwrap(), "x")?;
        within(y, told.centre_m[1].as_ref().unwrap(), "y")?;
        for (i, longer_m) in is.longer_m.iter().enumerate() {
            within(*longer_m, &estimate.longer_m[&format!("l{i}")], "length")?;
        }
        // How high the centre is makes next to no difference to a plate that is all but level.
        prop_assert!(told.centre_m[2].is_none());
        prop_assert!(estimate.not_told.iter().any(|what| what.contains("in height")), "{:?}", estimate.not_told);
    }
}
