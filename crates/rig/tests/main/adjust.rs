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
        legs(&CORNERS, self.weight_n, self.centre_m, &self.longer_m, self.line)
    }
}

/// A plate on upright legs at some corners, each of 4 m and longer by so much.
fn legs(corners: &[[f64; 2]], weight_n: f64, centre_m: [f64; 3], longer_m: &[f64], line: &str) -> String {
    let [x, y, z] = centre_m;
    let mut text = format!(
        "title = \"Larkspur Library porch: a plate\"\npractice = \"static-clear-below\"\n[loads.plate]\n\
         weight = \"{weight_n:?} N\"\ncentre = [\"{x:?} m\", \"{y:?} m\", \"{z:?} m\"]\nunder = \"nobody\"\n\
         trim = {{ at = [\"0 m\", \"0 m\", \"2 m\"], heading = \"0 deg\" }}\npicks = {{ "
    );
    for (i, [x, y]) in corners.iter().enumerate() {
        text += &format!("p{i} = [\"{x} m\", \"{y} m\", \"0 m\"], ");
    }
    text = text.trim_end_matches(", ").to_string() + " }\n";
    for (i, ([x, y], longer_m)) in corners.iter().zip(longer_m).enumerate() {
        text += &format!("[points.q{i}]\nat = [\"{x} m\", \"{y} m\", \"6 m\"]\n");
        text += &format!(
            "[lines.l{i}]\nfrom = \"q{i}\"\nto = \"plate.p{i}\"\nlength = \"{:?} m\"\ntolerance = \"30 mm\"\n{line}\n",
            3.999 + longer_m,
        );
    }
    text
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
        let weight_n = told.weight_n.unwrap();
        within(is.weight_n, &weight_n, "weight")?;
        prop_assert!(weight_n.standard_uncertainty.unwrap() < 12.0);
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

/// Pseudo-random numbers by a fixed rule, -1 to 1.
fn numbers(seed: u64) -> impl FnMut() -> f64 {
    let mut state = seed;
    move || {
        state = state
            .wrapping_mul(6364136223846793005)
            .wrapping_add(1442695040888963407);
        (state >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }
}

/// Says how far a reading is off that is spoilt: by 6 to 60 of its standard uncertainties, 5 N or 0.5 mm.
const SPOILT: [f64; 2] = [6.0, 60.0];

/// Reads some of a rig: every load cell, and the heights and the total where they are wanted; noise over the standard
/// uncertainties, and one reading spoilt. Gives what was spoilt.
fn read_some(
    of: &str,
    [heights, total]: [bool; 2],
    noise: &mut dyn FnMut() -> f64,
    spoil: Option<(usize, f64)>,
) -> (String, Option<String>) {
    let there = verdict(of);
    let mut text = String::new();
    let mut which = None;
    let mut count = 0;
    let mut spoilt = |what: String, by: &mut dyn FnMut() -> f64| {
        count += 1;
        if let Some((index, size)) = spoil
            && index + 1 == count
        {
            which = Some(what);
            return size;
        }
        by()
    };
    let mut sum_n = 0.0;
    for (name, line) in &there.lines {
        let is_n = line.tension_n.unwrap();
        sum_n += is_n;
        let off_n = 5.0 * spoilt(format!("tension of {name} (upper)"), noise);
        // No cell reads less than nothing: one that would is spoilt the other way.
        let reads_n = if is_n + off_n < 0.0 {
            is_n + off_n.abs()
        } else {
            is_n + off_n
        };
        text +=
            &format!("[[tension]]\nline = \"{name}\"\nreads = \"{reads_n:.6} N\"\nuncertainty = \"10 N\"\n");
    }
    if heights {
        for (pick, at) in &there.loads["plate"].picks {
            let off_mm = 0.5 * spoilt(format!("height of plate.{pick}"), noise);
            let reads_mm = 1e3 * at.at_m.unwrap()[2] + off_mm;
            text += &format!(
                "[[height]]\nof = \"plate.{pick}\"\nreads = \"{reads_mm:.6} mm\"\nuncertainty = \"1 mm\"\n"
            );
        }
    }
    if total {
        let lines: Vec<String> = there.lines.keys().map(|name| format!("\"{name}\"")).collect();
        let reads_n = sum_n + 5.0 * noise();
        text += &format!(
            "[[total]]\nof = [{}]\nreads = \"{reads_n:.6} N\"\nuncertainty = \"10 N\"\n",
            lines.join(", ")
        );
    }
    (text, which)
}

/// Leaves the load cells of some lines out of readings.
fn without_cells(read: &str, lines: &[&str]) -> String {
    let is_cell = |block: &str, line: &str| {
        block.starts_with("tension") && block.contains(&format!("line = \"{line}\""))
    };
    let kept = read
        .split("[[")
        .filter(|block| !lines.iter().any(|line| is_cell(block, line)));
    kept.collect::<Vec<_>>().join("[[")
}

/// Stiff enough that some millimetres make a leg slack.
const STIFF: &str = "stiffness = \"5 MN\"";

/// Plates on three and four legs that are off by up to 5 mm, so that some of them are slack: whatever is read of them fits the
/// rig that it was read on, and one reading that is spoilt is found or at least not cleared.
#[test]
fn readings_fit_the_rig_that_they_were_read_on() {
    let mut next = numbers(20260316);
    let (mut slack, mut named, mut passed) = (0, 0, 0);
    for case in 0..60 {
        let corners: &[[f64; 2]] = if case % 3 == 2 { &CORNERS[..3] } else { &CORNERS };
        // Three legs stand at three corners; the middle of these is not that of four.
        let middle = if corners.len() == 3 {
            [-0.5, 0.0]
        } else {
            [0.0, 0.0]
        };
        let weight_n = 4000.0 * (1.0 + 0.2 * next());
        let centre_m = [middle[0] + 0.25 * next(), middle[1] + 0.2 * next(), -0.2];
        let longer_m: Vec<f64> = corners.iter().map(|_| 5e-3 * next()).collect();
        let stated_m = [middle[0], middle[1], -0.2];
        let stated = legs(corners, 4000.0, stated_m, &vec![0.0; corners.len()], STIFF);
        let is = legs(corners, weight_n, centre_m, &longer_m, STIFF);
        slack += usize::from(verdict(&is).lines.values().any(|line| line.slack));
        let what = [[true, true], [true, false], [false, true], [false, false]][case % 4];
        for noise in [0.0, 1.7] {
            let mut off = || noise * next();
            let (read, _) = read_some(&is, what, &mut off, None);
            let answer = trimmed(&stated, Some(&read), &Goal::default());
            let estimate = answer
                .estimate
                .as_ref()
                .unwrap_or_else(|| panic!("{case}: {:?}", answer.remarks));
            assert!(estimate.agree || noise > 0.0, "{case}: {:?}", estimate.suspects);
            let told = estimate.loads["plate"].weight_n.unwrap();
            let sure_n = told.standard_uncertainty.unwrap();
            // Errors are evenly spread up to 1.7 standard uncertainties, so that more than 3.5 of the sum would be a wonder.
            assert!(
                (told.value - weight_n).abs() < 3.5 * sure_n,
                "{case}: {told:?}, is {weight_n}"
            );
        }
        let readings = corners.len() * if what[0] { 2 } else { 1 };
        let size = SPOILT[0] + (SPOILT[1] - SPOILT[0]) * 0.5 * (1.0 + next());
        let size = size.copysign(next());
        let mut off = || next();
        let (read, which) = read_some(&is, what, &mut off, Some((case % readings, size)));
        let which = which.unwrap();
        let answer = trimmed(&stated, Some(&read), &Goal::default());
        let estimate = answer.estimate.as_ref().unwrap();
        if estimate.suspects.is_empty() {
            passed += 1;
            continue;
        }
        named += 1;
        assert!(
            estimate.suspects.contains(&which),
            "{case}: {which}, not {:?}",
            estimate.suspects
        );
    }
    assert!(slack > 15, "{slack} of 60 had slack lines");
    // What no other reading checks can not be found to be wrong: that is most cells under a load that nobody weighed.
    assert!(named > 20 && passed > 5, "{named} named, {passed} not");
}

/// Weight and centre of a pipe by what two lines carry: of one that is heavier all along, and of one with a lamp on it that
/// nobody wrote down.
#[test]
fn readings_tell_what_a_pipe_weighs() {
    let pipe = |more: &str| {
        let mut text =
            String::from("title = \"Larkspur Library porch: a batten\"\npractice = \"static-clear-below\"\n");
        for (name, x) in [("a", -2.0), ("b", 2.0)] {
            text += &format!("[points.{name}]\nat = [\"{x} m\", \"0 m\", \"10 m\"]\n");
            text += &format!(
                "[lines.{name}]\nfrom = \"{name}\"\nto = \"batten.{name}\"\nstiffness = \"5 MN\"\nlength = \"7 m\"\n"
            );
        }
        text + "[pipes.batten]\nlength = \"6 m\"\npicks = { a = \"1 m\", b = \"5 m\" }\nunder = \"nobody\"\n\
                trim = { at = [\"0 m\", \"0 m\", \"3 m\"], heading = \"0 deg\" }\nEI = \"20 kN m2\"\n"
            + more
    };
    let lamp = "mass = \"2 kg/m\"\ncarries = [{ what = \"lamp\", weight = \"60 N\", at = \"4.5 m\" }]";
    let own_n = 2.0 * 6.0 * 9.80665;
    for (is, weight_n, moment_nm) in [
        ("mass = \"3 kg/m\"", 1.5 * own_n, 0.0),
        (lamp, own_n + 60.0, 60.0 * 1.5),
    ] {
        let read = readings(&pipe(is), &mut || 0.0);
        let answer = trimmed(&pipe("mass = \"2 kg/m\""), Some(&read), &Goal::default());
        let estimate = answer.estimate.unwrap();
        assert!(estimate.agree, "{:?}", estimate.suspects);
        let told = &estimate.loads["batten"];
        // Exact readings; what is known beforehand pulls a weight by (5 N over its own size) squared towards that stated.
        assert_near(told.weight_n.unwrap().value, weight_n, 0.5, "weight");
        assert_near(
            told.centre_m[0].unwrap().value,
            moment_nm / weight_n,
            5e-3,
            "centre",
        );
        assert!(told.centre_m[1].is_none() && told.centre_m[2].is_none());
    }
}

/// A height that is misread by an inch: the others agree without that one alone.
#[test]
fn a_wrong_reading_is_found() {
    let adjustable = Plate {
        line: STATED,
        ..Plate::even()
    };
    let tight = adjustable
        .text()
        .replace("tolerance = \"30 mm\"", "tolerance = \"2 mm\"");
    let right = readings(&tight, &mut || 0.0);
    let answer = trimmed(&tight, Some(&right), &Goal::default());
    assert!(
        answer.estimate.as_ref().unwrap().agree
            && answer.remarks.iter().all(|r| r.severity != Severity::Stop)
    );
    let at = right.find("of = \"plate.p2\"\nreads = \"").unwrap() + "of = \"plate.p2\"\nreads = \"".len();
    let to = at + right[at..].find(" mm").unwrap();
    let misread_mm = right[at..to].parse::<f64>().unwrap() + 25.0;
    let wrong = format!("{}{misread_mm:.6}{}", &right[..at], &right[to..]);
    assert_ne!(wrong, right);
    let answer = trimmed(&tight, Some(&wrong), &Goal::default());
    let estimate = answer.estimate.as_ref().unwrap();
    assert!(!estimate.agree && estimate.chi_squared > estimate.chi_squared_limit.unwrap());
    assert_eq!(estimate.suspects, ["height of plate.p2"]);
    assert_eq!(estimate.left_out.as_deref(), Some("height of plate.p2"));
    let worst = estimate.readings.iter().max_by(|a, b| {
        let size = |of: &rig::ReadingAnswer| of.normalised_residual.unwrap_or(0.0).abs();
        size(a).total_cmp(&size(b))
    });
    let worst = worst.unwrap();
    assert_eq!(worst.what, "height of plate.p2");
    // By the others it hangs where it was before it was misread.
    let others = worst.by_the_others.unwrap();
    assert_near(
        others.value,
        6.0 - 3.999 * (1.0 + 1000.0 / 1e6),
        4.0 * others.standard_uncertainty.unwrap(),
        "by the others",
    );
    assert!(
        answer
            .remarks
            .iter()
            .any(|r| r.severity == Severity::Stop && r.says.contains("height of plate.p2"))
    );
    // What follows is without it, so nothing has to be adjusted.
    assert!(answer.plan.unwrap().steps.is_empty());
}

/// A load cell that does not fit the weight may be wrong, or the weight, or any other cell: nobody adjusts by that.
#[test]
fn where_more_than_one_reading_may_be_wrong_there_is_no_plan() {
    let text = Plate::even().text();
    let right = readings(&text, &mut || 0.0)
        + "[[weight]]\nof = \"plate\"\nreads = \"4000 N\"\nuncertainty = \"10 N\"\n";
    assert!(
        trimmed(&text, Some(&right), &Goal::default())
            .estimate
            .unwrap()
            .agree
    );
    let wrong = right.replacen("reads = \"1000.", "reads = \"1100.", 1);
    let wrong = if wrong == right {
        right.replacen("reads = \"999.", "reads = \"1100.", 1)
    } else {
        wrong
    };
    assert_ne!(wrong, right);
    let answer = trimmed(&text, Some(&wrong), &Goal::default());
    let estimate = answer.estimate.unwrap();
    assert_eq!(estimate.suspects.len(), 5, "{:?}", estimate.suspects);
    assert!(estimate.left_out.is_none() && answer.plan.is_none());
    assert!(
        answer
            .remarks
            .iter()
            .any(|remark| remark.severity == Severity::Stop && remark.subject == "readings")
    );
    // A second cell in that line tells that it is the first.
    let second =
        wrong + "[[tension]]\nline = \"l0\"\nat = \"lower\"\nreads = \"1000 N\"\nuncertainty = \"10 N\"\n";
    let answer = trimmed(&text, Some(&second), &Goal::default());
    assert_eq!(answer.estimate.unwrap().suspects, ["tension of l0 (upper)"]);
}

proptest! {
    #![proptest_config(Config { cases: 16, rng_seed: RngSeed::Fixed(20260315), failure_persistence: None, ..Config::default() })]

    /// A plate that whole steps have set wrong is set right by the same steps, and each step does what was predicted.
    #[test]
    fn what_was_set_wrong_by_steps_is_set_right_by_them(
        wrong in prop::array::uniform4(-9_i32..10),
        x in -0.2_f64..0.2,
        weight_n in 9000.0_f64..12000.0,
    ) {
        let even = Plate { weight_n, centre_m: [x, 0.0, -0.2], line: STATED, ..Plate::even() };
        // As long as puts every pick at its height with the shares as even as can be.
        let stretched = |i: usize| {
            let [a, b] = CORNERS[i];
            let share = 0.25 * (1.0 + x * a / 2.25 + 0.0 * b);
            4.0 / (1.0 + share * weight_n / 1e6) - 3.999
        };
        let trim_m: [f64; 4] = std::array::from_fn(stretched);
        let is = Plate {
            longer_m: std::array::from_fn(|i| trim_m[i] + 1e-3 * f64::from(wrong[i])),
            ..even
        };
        let goal = Goal { level_m: Some(0.4e-3), even: Some(0.02), metric: true };
        let answer = trimmed(&is.text(), None, &goal);
        let plan = answer.plan.as_ref().unwrap();
        prop_assert!(plan.reached, "{} {:?}", plan.off_trim_m, plan.uneven);
        let mut units = [0; 4];
        let mut here = is;
        for step in &plan.steps {
            let line = step.line[1..].parse::<usize>().unwrap();
            units[line] += step.units;
            here.longer_m[line] -= step.shorter_m;
            let then = verdict(&here.text());
            for (name, of) in &step.after.lines {
                prop_assert!((of.tension_n.value - then.lines[name].tension_n.unwrap()).abs() < 0.05, "{name}");
            }
            prop_assert!((step.after.loads["plate"].tilt_deg - then.loads["plate"].tilt_deg.unwrap()).abs() < 1e-3);
        }
        prop_assert_eq!(units, wrong);
    }
}

/// A canopy on four turnbuckles that were turned at random: no step passes a working load, or the plan says stop.
#[test]
fn no_step_passes_a_working_load() {
    const CANOPY: &str = include_str!("../../../../examples/canopy.toml");
    // Heavy, so that what a turn too many brings to one diagonal is past its working load.
    let heavy = CANOPY.replace("\"420 lb\"", "\"780 lb\"");
    let lengths: Vec<f64> = verdict(&heavy)
        .lines
        .values()
        .map(|line| line.unloaded_length_m)
        .collect();
    let mut split = 0;
    let mut stops = 0;
    for turns in [
        [8, 8, 8, 8],
        [4, -4, 4, -4],
        [6, 0, -5, 2],
        [-7, 7, 7, -7],
        [9, 1, 9, 1],
        [0, 3, 12, -3],
    ] {
        let mut text = heavy.clone();
        for (turns, length_m) in turns.iter().zip(&lengths) {
            let length_m = length_m + f64::from(*turns) * 0.125 * 0.0254;
            text = text.replacen("\"to trim\"", &format!("\"{length_m:.9} m\""), 1);
        }
        let goal = Goal {
            level_m: Some(1e-3),
            even: Some(0.1),
            metric: false,
        };
        let answer = trimmed(&text, None, &goal);
        let plan = answer.plan.as_ref().unwrap();
        assert!(plan.reached, "{turns:?}");
        let twice =
            |step: &rig::StepAnswer| plan.steps.iter().filter(|other| other.line == step.line).count() > 1;
        split += usize::from(plan.steps.iter().any(twice));
        let says_stop = answer
            .remarks
            .iter()
            .any(|r| r.subject == "plan" && r.severity == Severity::Stop);
        stops += usize::from(says_stop);
        for step in &plan.steps {
            let most = step.greatest_use.as_ref().unwrap();
            assert!(most.utilisation <= 1.0 || says_stop, "{turns:?}: {most:?}");
            for (name, line) in &step.after.lines {
                let used = line.tension_n.value / line.working_load_n.unwrap();
                assert!(used <= most.utilisation + 1e-9, "{name}");
            }
        }
        let mut made = [0; 4];
        let names = ["northwest", "northeast", "southeast", "southwest"];
        for step in &plan.steps {
            made[names.iter().position(|name| *name == step.line).unwrap()] += step.units;
        }
        assert_eq!(made, turns);
    }
    assert!(stops <= 1, "{stops} of 6 found no way");
    assert!(
        split > 0,
        "none of these has to be split, so splitting was not tried"
    );
}

const REFLECTOR: &str = include_str!("../../../../examples/reflector.toml");

/// The reflector with its adjustable grip an inch too far out, all three lines with their lengths stated.
fn low_reflector() -> String {
    let lengths: Vec<f64> = verdict(REFLECTOR)
        .lines
        .values()
        .map(|line| line.unloaded_length_m)
        .collect();
    let mut text = REFLECTOR.to_string();
    for (length_m, off_m) in lengths.iter().zip([0.0, 0.0, 0.0254]) {
        text = text.replacen("\"to trim\"", &format!("\"{:.9} m\"", length_m + off_m), 1);
    }
    text
}

/// An adjustable grip is never slid while its line carries, unless its maker's document permits that.
#[test]
fn a_grip_is_not_slid_under_load() {
    let goal = Goal {
        level_m: Some(3e-3),
        ..Goal::default()
    };
    let answer = trimmed(&low_reflector(), None, &goal);
    assert_eq!(answer.adjusters["tilt"].by, "grip");
    assert!(!answer.adjusters["tilt"].under_load);
    // A tail of 4 in of which 3 in have to stay.
    assert_near(
        answer.adjusters["tilt"].left_to_let_out_m.unwrap(),
        0.0254,
        1e-9,
        "let out",
    );
    let plan = answer.plan.unwrap();
    let [step] = plan.steps.as_slice() else {
        panic!("{:?}", plan.steps)
    };
    assert_eq!((step.line.as_str(), step.units), ("tilt", 4));
    let unload = step.unload_first.as_ref().unwrap();
    assert!(
        unload.contains("left, right") && unload.contains("slack"),
        "{unload}"
    );
    assert!(step.meanwhile.holds, "{}", step.meanwhile.why_not);
    // Two plumb lines at the middle of its sides carry half of it each.
    assert_near(
        step.meanwhile.lines_n["left"],
        step.meanwhile.lines_n["right"],
        1e-3,
        "alike",
    );
    for what in ["tail", "stop"] {
        assert!(
            plan.afterwards
                .iter()
                .any(|said| said.starts_with("tilt:") && said.contains(what))
        );
    }

    let permits = include_str!("../../../../examples/parts/grips.toml").replace(
        "released_by = \"pushing the sleeve back by hand while the line is slack\"",
        "released_by = \"pushing the sleeve back by hand\"\nadjust_under_load = true",
    );
    let (demo, problems) = parts::Book::read("grips.toml", &permits);
    assert!(problems.is_empty(), "{problems:?}");
    let book = parts::Book::published().overlaid(&demo);
    let answer = trim(&low_reflector(), None, &goal, &book, Practices::published(), None).unwrap();
    let plan = answer.plan.unwrap();
    assert!(plan.steps.iter().all(|step| step.unload_first.is_none()));
}

/// Of two lines neither holds the load without the other: whoever adjusts one has to hold it another way.
#[test]
fn a_step_that_nothing_else_would_hold_is_a_stop() {
    let text = "title = \"Larkspur Library porch: a bar\"\npractice = \"static-clear-below\"\n\
        [points.a]\nat = [\"-1 m\", \"0 m\", \"5 m\"]\n[points.b]\nat = [\"1 m\", \"0 m\", \"5 m\"]\n\
        [loads.bar]\nweight = \"1000 N\"\ncentre = [\"0 m\", \"0 m\", \"-0.2 m\"]\nunder = \"nobody\"\n\
        picks = { a = [\"-1 m\", \"0 m\", \"0 m\"], b = [\"1 m\", \"0 m\", \"0 m\"] }\n\
        trim = { at = [\"0 m\", \"0 m\", \"2 m\"] }\n\
        [lines.a]\nfrom = \"a\"\nto = \"bar.a\"\nstiffness = \"1 MN\"\nlength = \"3.04 m\"\n\
        adjust = { travel = \"10 cm\", at = \"6 cm\", step = \"1 cm\" }\n\
        [lines.b]\nfrom = \"b\"\nto = \"bar.b\"\nstiffness = \"1 MN\"\nlength = \"3 m\"\n";
    let goal = Goal {
        level_m: Some(3e-3),
        ..Goal::default()
    };
    let answer = trimmed(text, None, &goal);
    let step = &answer.plan.as_ref().unwrap().steps[0];
    assert_eq!((step.line.as_str(), step.units), ("a", 4));
    assert!(
        !step.meanwhile.holds && step.meanwhile.why_not.contains("tilt"),
        "{}",
        step.meanwhile.why_not
    );
    assert!(
        answer
            .remarks
            .iter()
            .any(|r| r.severity == Severity::Stop && r.subject == "lines.a")
    );
    assert_eq!(answer.verdict, rig::VerdictWord::Stop);
    // From where it stands it can not be taken up by four steps if only three are left.
    let short = text.replace("\"6 cm\"", "\"3 cm\"");
    let answer = trimmed(&short, None, &goal);
    let plan = answer.plan.unwrap();
    assert!(!plan.reached && plan.steps.iter().all(|step| step.units <= 3));
}

/// A turn of a turnbuckle moves its ends by two pitches: a 3/8-16 thread by 1/8 in.
#[test]
fn a_turn_is_two_pitches() {
    let answer = table(include_str!("../../../../examples/canopy.toml"));
    let of = &answer.adjusters["northwest"];
    assert_near(of.unit_m, 0.0254 / 8.0, 1e-12, "a turn");
    // Its take-up of 6 in, at half.
    assert_near(of.left_to_take_up_m.unwrap(), 0.0762, 1e-9, "left");
    let metric = trimmed(
        REFLECTOR,
        None,
        &Goal {
            metric: true,
            ..Goal::default()
        },
    );
    assert_near(metric.adjusters["left"].unit_m, 5e-3, 1e-12, "nominal");
    assert_eq!(metric.adjusters["left"].by, "nothing");
}

/// A rig that does not hang is a stop, and so is what names nothing of the rig a mistake of the readings.
#[test]
fn what_can_not_be_answered_says_why() {
    let mut falls = Plate::even().text();
    for i in 0..4 {
        falls = falls.replace(&format!("to = \"plate.p{i}\""), "to = \"ring\"");
    }
    let answer = table(&(falls + "[junctions.ring]\nnear = [\"0 m\", \"0 m\", \"2 m\"]\n"));
    assert!(answer.now.is_none() && answer.effects.is_empty());
    assert_eq!(
        (answer.check, answer.verdict),
        (rig::VerdictWord::Stop, rig::VerdictWord::Stop)
    );
    assert_eq!(answer.remarks[0].severity, Severity::Stop);
    let wrong = "[[tension]]\nline = \"l9\"\nreads = \"10 N\"\nuncertainty = \"1 N\"\n";
    let practices = Practices::published();
    let outcome = trim(
        &Plate::even().text(),
        Some(wrong),
        &Goal::default(),
        &book(),
        practices,
        None,
    );
    assert!(matches!(outcome, Err(TrimError::Readings(problems)) if problems.len() == 1));
}

proptest! {
    #![proptest_config(Config { cases: 24, rng_seed: RngSeed::Fixed(20260317), failure_persistence: None, ..Config::default() })]

    /// A plate on stiff legs, some of them slack, that whole steps can set level with every leg taut, is set so; points that
    /// allow little more than an even share are within what they allow at the end, as the verdict on that document has it.
    #[test]
    fn what_whole_steps_can_set_right_is_set_right(
        wrong in prop::array::uniform4(-4_i32..5),
        x in -0.1_f64..0.1,
        y in -0.1_f64..0.1,
    ) {
        const LINE: &str = "stiffness = \"4 MN\"\nadjust = { travel = \"200 mm\", at = \"100 mm\", step = \"2 mm\" }";
        let weight_n = 8000.0;
        let shares_n = CORNERS.map(|[a, b]| 0.25 * weight_n * (1.0 + x * a / 2.25 + y * b));
        let right_m: [f64; 4] = std::array::from_fn(|i| 4.0 / (1.0 + shares_n[i] / 4e6) - 3.999);
        let centre_m = [x, y, -0.2];
        // An even share is 2000 N; with one diagonal slack the other carries about twice as much.
        let allowed = |text: String| text.replace("\"6 m\"]", "\"6 m\"]\nallows = { down = \"3100 N\" }");
        let is_m: [f64; 4] = std::array::from_fn(|i| right_m[i] + 2e-3 * f64::from(wrong[i]));
        let text = |longer_m: &[f64]| allowed(legs(&CORNERS, weight_n, centre_m, longer_m, LINE));
        let goal = Goal { level_m: Some(3e-3), even: None, metric: true };
        let answer = trimmed(&text(&is_m), None, &goal);
        let plan = answer.plan.as_ref().unwrap();
        prop_assert!(plan.reached, "{wrong:?}: {}", plan.off_trim_m);
        let mut then_m = is_m;
        for step in &plan.steps {
            then_m[step.line[1..].parse::<usize>().unwrap()] -= step.shorter_m;
        }
        let then = verdict(&text(&then_m));
        for (name, line) in &then.lines {
            prop_assert!(!line.slack, "{wrong:?}: {name}");
            prop_assert!(line.tension_n.unwrap() <= 3100.0, "{wrong:?}: {name} {:?}", line.tension_n);
        }
        for (pick, at) in &then.loads["plate"].picks {
            prop_assert!((at.at_m.unwrap()[2] - 2.0).abs() < 3e-3 + 1e-7, "{wrong:?}: {pick}");
        }
    }
}

/// What is used most on the way has the uncertainty of the state in which it is used, so that it is no less than what the table
/// after the step says, and no more than is possible: all weight on one line.
#[test]
fn uncertainties_are_those_of_each_state() {
    let line = "stiffness = \"5 MN\"\nadjust = { travel = \"200 mm\", at = \"100 mm\", step = \"2 mm\" }";
    let stated = legs(&CORNERS, 4000.0, [0.0, 0.0, -0.2], &[0.0; 4], line)
        .replace("\"6 m\"]", "\"6 m\"]\nallows = { down = \"5000 N\" }");
    let is = legs(&CORNERS, 4000.0, [0.0, 0.0, -0.2], &[8e-3, 0.0, 5e-3, 0.0], line);
    let (read, _) = read_some(&is, [true, true], &mut || 0.0, None);
    // A line with a cell that reads nothing is to be taken up before steps are found.
    let read = without_cells(&read, &["l0", "l2"]);
    let goal = Goal {
        level_m: Some(2e-3),
        ..Goal::default()
    };
    let answer = trimmed(&stated, Some(&read), &goal);
    let now = &answer.now.as_ref().unwrap().lines;
    // Slack by millimetres, and read to be so: the others carry all of it, within what their cells and the total may be off.
    for slack in ["l0", "l2"] {
        let figure = now[slack].tension_n;
        assert!(
            figure.value + 2.0 * figure.standard_uncertainty.unwrap() < 30.0,
            "{figure:?}"
        );
    }
    let plan = answer.plan.unwrap();
    assert!(plan.reached && !plan.steps.is_empty());
    for step in &plan.steps {
        let most = step.greatest_use.as_ref().unwrap().utilisation;
        for (name, line) in &step.after.lines {
            let most_n = line.tension_n.value + 2.0 * line.tension_n.standard_uncertainty.unwrap();
            assert!(most_n <= 4100.0, "{name}: {most_n}");
            assert!(most_n / 5000.0 <= most + 1e-3, "{name}: {most_n} of 5000, {most}");
        }
    }
}

/// Less weight than is stated, and a centre elsewhere, are said as plainly as more weight.
#[test]
fn another_weight_or_centre_is_said_both_ways() {
    let stated = Plate::even().text().replace(
        "under = \"nobody\"",
        "under = \"nobody\"\nweight_from = \"weighed\"",
    );
    for (weight_n, x, says) in [
        (4000.0, 0.0, None),
        (3700.0, 0.0, Some("too light")),
        (4300.0, 0.0, Some("state what it weighs")),
        (4000.0, 0.2, Some("centre of gravity")),
    ] {
        let is = Plate {
            weight_n,
            centre_m: [x, 0.0, -0.2],
            ..Plate::even()
        };
        let (read, _) = read_some(&is.text(), [true, true], &mut || 0.0, None);
        let answer = trimmed(&stated, Some(&read), &Goal::default());
        let said: Vec<&str> = answer
            .remarks
            .iter()
            .filter(|remark| remark.subject == "loads.plate")
            .map(|remark| remark.says.as_str())
            .collect();
        match says {
            None => assert!(said.is_empty(), "{said:?}"),
            Some(says) => assert!(said.len() == 1 && said[0].contains(says), "{said:?}"),
        }
    }
}

/// Heights alone tell no weight: it is taken as stated, and no line is said to be overloaded for not knowing it.
#[test]
fn what_is_not_told_is_taken_as_stated() {
    let stated = Plate::even()
        .text()
        .replace("\"6 m\"]", "\"6 m\"]\nallows = { down = \"2500 N\" }");
    let there = verdict(&stated);
    let mut read = String::new();
    for (pick, at) in &there.loads["plate"].picks {
        let reads_mm = 1e3 * at.at_m.unwrap()[2];
        read += &format!(
            "[[height]]\nof = \"plate.{pick}\"\nreads = \"{reads_mm:.6} mm\"\nuncertainty = \"1 mm\"\n"
        );
    }
    let answer = trimmed(&stated, Some(&read), &Goal::default());
    let estimate = answer.estimate.unwrap();
    assert!(estimate.agree && estimate.loads["plate"].weight_n.is_none());
    assert!(
        estimate
            .not_told
            .iter()
            .any(|what| what.contains("what plate weighs"))
    );
    for (name, line) in &answer.now.unwrap().lines {
        // An even share is 1000 N, and heights do not tell which diagonal carries: one leg may have nothing, or 2000 N.
        let sure_n = 2.0 * line.tension_n.standard_uncertainty.unwrap();
        assert!((50.0..1200.0).contains(&sure_n), "{name}: {sure_n}");
    }
    assert!(
        answer
            .remarks
            .iter()
            .all(|remark| remark.severity != Severity::Stop),
        "{:?}",
        answer.remarks
    );
}

/// Where a line can not be taken up or let out as far as is needed, that is said, and not that a finer step would help.
#[test]
fn the_end_of_a_travel_is_named() {
    let ends = "stiffness = \"5 MN\"\nadjust = { travel = \"20 mm\", at = \"4 mm\", step = \"1 mm\" }";
    let text = legs(&CORNERS, 4000.0, [0.0, 0.0, -0.2], &[20e-3, 0.0, 0.0, 0.0], ends);
    let goal = Goal {
        level_m: Some(1e-3),
        even: Some(0.5),
        metric: true,
    };
    let answer = trimmed(&text, None, &goal);
    assert!(!answer.plan.unwrap().reached);
    let said = answer
        .remarks
        .iter()
        .find(|remark| remark.subject == "plan")
        .unwrap();
    assert!(
        said.says.contains("`l0` would have to be taken up") && !said.says.contains("adjust.step"),
        "{said:?}"
    );
    let coarse = "stiffness = \"5 MN\"\nadjust = { travel = \"90 mm\", at = \"44 mm\", step = \"15 mm\" }";
    let text = legs(
        &CORNERS,
        4000.0,
        [0.0, 0.0, -0.2],
        &[20e-3, 0.0, 0.0, 0.0],
        coarse,
    );
    let answer = trimmed(&text, None, &goal);
    let said = answer
        .remarks
        .iter()
        .find(|remark| remark.subject == "plan")
        .unwrap();
    assert!(said.says.contains("adjust.step"), "{said:?}");
}

/// A total is of two lines or of one, never of none and of none twice; and no uncertainty is zero, nor said to be allowed so.
#[test]
fn mistakes_of_readings_are_told() {
    let reading = |of: &str, uncertainty: &str| {
        format!("[[total]]\nof = {of}\nreads = \"4000 N\"\nuncertainty = \"{uncertainty}\"\n")
    };
    for (of, uncertainty, says) in [
        ("[]", "10 N", "of no line"),
        ("[\"l0\", \"l1\", \"l0\"]", "10 N", "twice"),
        ("[\"l0\", \"l1\"]", "0 N", "not more than zero"),
        ("[\"l0\", \"l1\"]", "1e-12 N", "too small"),
    ] {
        let read = reading(of, uncertainty);
        let outcome = trim(
            &Plate::even().text(),
            Some(&read),
            &Goal::default(),
            &book(),
            Practices::published(),
            None,
        );
        let Err(TrimError::Readings(problems)) = outcome else {
            panic!("{read}")
        };
        assert_eq!(problems.len(), 1, "{problems:?}");
        assert!(problems[0].says.contains(says), "{problems:?}");
        let instead = problems[0].instead.as_deref().unwrap();
        assert!(!instead.starts_with("0, or"), "{instead}");
    }
}

/// A leg that reads next to nothing may as well be slack, and then longer by anything; the others are not named.
#[test]
fn a_leg_that_may_as_well_be_slack_is_named() {
    let stated = Plate::even().text();
    for (longer_m, named) in [(0.0, false), (17e-3, true), (25e-3, true)] {
        let is = Plate {
            longer_m: [longer_m, 0.0, 0.0, 0.0],
            ..Plate::even()
        };
        let (read, _) = read_some(&is.text(), [true, false], &mut || 0.0, None);
        let remarks = trimmed(&stated, Some(&read), &Goal::default()).remarks;
        let slack = remarks
            .iter()
            .filter(|remark| remark.says.contains("may be slack"));
        let slack: Vec<&str> = slack.map(|remark| remark.subject.as_str()).collect();
        assert_eq!(slack.contains(&"lines.l0"), named, "{longer_m}: {remarks:?}");
        assert!(
            !slack.iter().any(|line| ["lines.l1", "lines.l3"].contains(line)),
            "{slack:?}"
        );
    }
}

/// What is predicted after each step holds, also where a leg was slack for all that was read and longer by anything.
#[test]
fn what_is_predicted_of_a_leg_that_may_be_slack_holds() {
    let mut next = numbers(20260319);
    let (mut slack, mut held) = (0, 0);
    let stated = Plate {
        line: STATED,
        ..Plate::even()
    };
    for case in 0..40 {
        let mut is = Plate {
            weight_n: 4000.0 * (1.0 + 0.1 * next()),
            centre_m: [0.1 * next(), 0.1 * next(), -0.2],
            longer_m: [0.0; 4].map(|_| 4e-3 * next()),
            ..stated
        };
        is.longer_m[case % 4] += 25e-3 * next().abs();
        let (read, _) = read_some(&is.text(), [true, true], &mut || 1.7 * next(), None);
        // No steps are found where the cell of a line reads next to nothing, so that one line has none.
        let read = without_cells(&read, &[&format!("l{}", case % 4)]);
        let answer = trimmed(&stated.text(), Some(&read), &Goal::default());
        let may_be_slack = answer
            .remarks
            .iter()
            .any(|remark| remark.says.contains("may be slack"));
        slack += usize::from(may_be_slack);
        for step in answer.plan.iter().flat_map(|plan| &plan.steps) {
            let line: usize = step.line[1..].parse().unwrap();
            is.longer_m[line] -= step.shorter_m;
            let there = verdict(&is.text());
            for (name, of) in &step.after.lines {
                let off_n = (of.tension_n.value - there.lines[name].tension_n.unwrap()).abs();
                let sure_n = 2.0 * of.tension_n.standard_uncertainty.unwrap();
                assert!(
                    off_n < 1.75 * sure_n,
                    "{case}: {name} off by {off_n}, +- {sure_n}"
                );
                held += usize::from(may_be_slack);
            }
            for (name, of) in &step.after.picks {
                let is_m = there.loads["plate"].picks[&name["plate.".len()..]].at_m.unwrap()[2];
                let sure_m = 2.0 * of.height_m.standard_uncertainty.unwrap();
                assert!(
                    (of.height_m.value - is_m).abs() < 1.75 * sure_m,
                    "{case}: {name}, +- {sure_m}"
                );
            }
        }
    }
    assert!(
        slack > 5 && held > 30,
        "{slack} may have been slack, {held} predictions of them"
    );
}

/// Two cells of three say nothing of the third leg: a load of half as much again with its centre towards that leg reads the same.
/// So neither weight nor centre is told, whatever the prior; and with no heights read nobody knows whether it is at its trim.
#[test]
fn too_few_readings_tell_nothing() {
    let stated = legs(&CORNERS[..3], 3000.0, [-0.5, 1.0 / 3.0, -0.2], &[0.0; 3], STATED);
    let text = "[[tension]]\nline = \"l0\"\nreads = \"1003 N\"\nuncertainty = \"10 N\"\n\
                [[tension]]\nline = \"l1\"\nreads = \"1003 N\"\nuncertainty = \"10 N\"\n";
    let answer = trimmed(&stated, Some(text), &Goal::default());
    let plate = &answer.estimate.as_ref().unwrap().loads["plate"];
    assert!(
        plate.weight_n.is_none() && plate.centre_m[1].is_none(),
        "{plate:?}"
    );
    // Anywhere between all on two legs and three times the weight, at the prior's end: x = 3 T / W - 1.5 m.
    let x = plate.centre_m[0].unwrap();
    assert!(2.0 * x.standard_uncertainty.unwrap() > 0.4, "{x:?}");
    assert_eq!(answer.verdict, rig::VerdictWord::Caution.max(answer.check));
    for says in ["what it weighs", "is at its trim is not known"] {
        assert!(
            answer.remarks.iter().any(|remark| remark.says.contains(says)),
            "{says}: {:?}",
            answer.remarks
        );
    }
}

/// What is not known of a tension acts along its line: under a plumb line the building is pulled no further sideways for it.
#[test]
fn what_is_not_known_of_a_plumb_line_pulls_nothing_sideways() {
    let allowing = Plate {
        line: STATED,
        ..Plate::even()
    }
    .text()
    .replace(
        "\"6 m\"]",
        "\"6 m\"]\nallows = { down = \"9 kN\", side = \"20 N\" }",
    );
    let read = "[[tension]]\nline = \"l0\"\nreads = \"1000 N\"\nuncertainty = \"10 N\"\n";
    let answer = trimmed(&allowing, Some(read), &Goal::default());
    let stops = answer
        .remarks
        .iter()
        .filter(|remark| remark.severity == Severity::Stop);
    let on_points: Vec<_> = stops
        .filter(|remark| remark.subject.starts_with("points"))
        .collect();
    assert!(on_points.is_empty(), "{on_points:?}");
}

/// A load that weighs a many times more or less than stated is another load, or something else was read: a stop.
#[test]
fn a_weight_many_times_off_is_a_stop() {
    for (share, severity) in [
        (0.1, Severity::Stop),
        (0.8, Severity::Caution),
        (3.0, Severity::Stop),
    ] {
        let weight_n = 4000.0 * share;
        let is = Plate {
            weight_n,
            ..Plate::even()
        };
        let (read, _) = read_some(&is.text(), [true, true], &mut || 0.0, None);
        let answer = trimmed(&Plate::even().text(), Some(&read), &Goal::default());
        let said = answer
            .remarks
            .iter()
            .find(|remark| remark.subject == "loads.plate")
            .unwrap();
        assert_eq!(said.severity, severity, "{share}: {said:?}");
    }
}

/// Of a plate on four plumb legs with its centre in the middle no leg carries more than half of it (moments about the diagonal through
/// its neighbours), whatever the lengths; of six on a ring, none more than half either. Where nothing but the weight is read the
/// uncertainty of a tension says that and no more.
#[test]
fn no_tension_is_told_past_what_balance_lets_it_come_to() {
    let hexagon: Vec<[f64; 2]> = (0..6)
        .map(|i| f64::from(i) * std::f64::consts::FRAC_PI_3)
        .map(|angle| [angle.cos(), angle.sin()].map(|along| (1.5e6 * along).round() / 1e6 + 0.0))
        .collect();
    for corners in [CORNERS.to_vec(), hexagon] {
        let text = legs(
            &corners,
            4000.0,
            [0.0, 0.0, -0.2],
            &vec![0.0; corners.len()],
            SPRING,
        );
        let text = text.replace(
            "under = \"nobody\"\n",
            "under = \"nobody\"\ncentre_spread = \"0 mm\"\n",
        );
        let read =
            "title = \"a weighing\"\n[[weight]]\nof = \"plate\"\nreads = \"4000 N\"\nuncertainty = \"4 N\"\n";
        let answer = trimmed(&text, Some(read), &Goal::default());
        for (name, line) in answer.now.unwrap().lines {
            let most_n = line.tension_n.value + 2.0 * line.tension_n.standard_uncertainty.unwrap();
            // Lever arms in a pose count as nothing below a twentieth (docs/theory/sharing.md).
            assert!((1990.0..2110.0).contains(&most_n), "{name}: {most_n}");
        }
    }
}

/// Cells that agree on twice the weight are told of, though heights contradict one another.
#[test]
fn a_weight_many_times_off_is_a_stop_beside_contradictions() {
    let mut plate = Plate::even();
    plate.weight_n = 10_000.0;
    let mut read = readings(&plate.text(), &mut || 0.0);
    let at = read.find("of = \"plate.p0\"\nreads = \"").unwrap() + "of = \"plate.p0\"\nreads = \"".len();
    read.replace_range(at..=at, "9");
    let answer = trimmed(&Plate::even().text(), Some(&read), &Goal::default());
    let stop = |subject: &str| {
        answer
            .remarks
            .iter()
            .any(|remark| remark.severity == Severity::Stop && remark.subject == subject)
    };
    assert!(stop("readings") && stop("loads.plate"), "{:?}", answer.remarks);
}
