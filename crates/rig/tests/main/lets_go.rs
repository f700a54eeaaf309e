//! What becomes of a rig when an adjustable grip, a secondary line or a stated force is gone, and what a push does.

use crate::{POUND_N, assert_near, verdict};
use practice::Severity;
use rig::Verdict;

/// A sign of 60 lb on two lines 5 ft long and 9 ft over the public, in pieces that a test may change.
struct Sign {
    /// Keys of each point besides its place.
    point: &'static str,
    makeups: [&'static str; 2],
    roles: [&'static str; 2],
    /// Half the distance of the lines, feet.
    half_ft: f64,
    /// Height of its centre over its picks, feet.
    centre_ft: f64,
    load: &'static str,
    more: &'static str,
}

const SIGN: Sign = Sign {
    point: "allows = { down = \"1000 lb\", side = \"200 lb\", by = \"engineer\", document = \"letter 1\" }",
    makeups: ["drop", "grip"],
    roles: ["carries", "carries"],
    half_ft: 3.0,
    centre_ft: -0.75,
    load: "",
    more: "",
};

impl Sign {
    fn document(&self) -> String {
        let Sign {
            point,
            half_ft,
            centre_ft,
            load,
            more,
            ..
        } = self;
        let mut text = format!(
            "title = \"Larkspur Library sign\"\npractice = \"static-overhead\"\n\
             [points.left]\nat = [\"{left:?} ft\", \"0 ft\", \"14 ft\"]\n{point}\n\
             [points.right]\nat = [\"{half_ft:?} ft\", \"0 ft\", \"14 ft\"]\n{point}\n\
             [loads.sign]\nweight = \"60 lb\"\nweight_from = \"weighed\"\nmargin = \"5 %\"\n\
             centre = [\"0 ft\", \"0 ft\", \"{centre_ft:?} ft\"]\n\
             picks = {{ left = [\"{left:?} ft\", \"0 ft\", \"0 ft\"], right = [\"{half_ft:?} ft\", \"0 ft\", \"0 ft\"] }}\n\
             trim = {{ at = [\"0 ft\", \"0 ft\", \"9 ft\"] }}\nunder = \"public\"\nservice = \"still\"\n{load}\n\
             [makeups]\n\
             drop = {{ parts = [\"shackle-1/4\", \"eye-sleeve-1/8\", \"rope-7x19-galv-1/8\", \"eye-sleeve-1/8\", \"shackle-1/4\"] }}\n\
             grip = {{ parts = [\"shackle-1/4\", \"eye-sleeve-1/8\", \"rope-7x19-galv-1/8\", {{ part = \"grip-loop-1/8\", tail = \"4 in\" }}] }}\n",
            left = -half_ft,
        );
        for ((name, makeup), role) in ["left", "right"].iter().zip(self.makeups).zip(self.roles) {
            text += &format!(
                "[lines.{name}]\nfrom = \"{name}\"\nto = \"sign.{name}\"\nmakeup = \"{makeup}\"\nlength = \"to trim\"\nrole = \"{role}\"\n"
            );
        }
        text + more
    }

    fn verdict(&self) -> Verdict {
        verdict(&self.document())
    }
}

fn says(verdict: &Verdict, rule: &str, severity: Severity) -> Vec<String> {
    let found = verdict
        .findings
        .iter()
        .filter(|f| f.rule == rule && f.severity == severity);
    found.map(|f| format!("{}: {}", f.subject, f.says)).collect()
}

/// One end on an adjustable grip: without it the sign hangs plumb below its other pick, tilted by
/// 90 degrees - atan(0.75 / 3) = 75.96 degrees.
#[test]
fn one_end_on_an_adjustable_grip_does_not_hang_without_it() {
    let stops = says(&SIGN.verdict(), "grip-sole-support", Severity::Stop);
    assert_eq!(stops.len(), 1);
    assert!(
        stops[0].contains("`sign` turns over") && stops[0].contains("tilted by 76.0 degrees"),
        "{stops:?}"
    );
}

/// A pipe of 20 ft on lines 5 ft long, 9 ft up: its other end would come down through the floor.
#[test]
fn an_end_that_comes_down_to_the_floor_is_named() {
    let pipe = Sign {
        half_ft: 10.0,
        ..SIGN
    };
    let stops = says(&pipe.verdict(), "grip-sole-support", Severity::Stop);
    assert!(stops[0].contains("comes down to the floor"), "{stops:?}");
}

/// Spare lines that are a foot longer: each pick goes down by that, a little stretch and a little way inward.
#[test]
fn what_it_may_move_is_held() {
    let spare = |side: &str| {
        format!(
            "[lines.spare_{side}]\nfrom = \"{side}\"\nto = \"sign.{side}\"\nmakeup = \"drop\"\nlength = \"6 ft\"\n\
             role = \"carries\"\n"
        )
    };
    let rig = |load: &'static str| {
        let sign = Sign {
            makeups: ["grip", "grip"],
            load,
            ..SIGN
        };
        let text = sign.document() + &spare("left") + &spare("right");
        says(&verdict(&text), "grip-sole-support", Severity::Stop)
    };
    assert!(rig("may_move = \"11 in\"")[0].contains("moves further than it may"));
    // A little of it is that the sign rolls as it is caught, with its centre a hundredth of its radius of gyration off.
    let far = rig("may_move = \"16 in\"");
    assert!(far.is_empty(), "{far:?}");
}

/// Without the left line the right point gets all of 60 lb x 1.05 and a little rope; here it may get 40 lb.
#[test]
fn a_point_is_held_to_its_allowance_without_the_grip() {
    let sign = Sign {
        point: "allows = { down = \"40 lb\", side = \"200 lb\", by = \"engineer\" }",
        ..SIGN
    };
    let stops = says(&sign.verdict(), "grip-remaining", Severity::Stop);
    assert!(
        stops[0].starts_with("points.left: once the adjustable grip of `right` lets go, `left` gets 63."),
        "{stops:?}"
    );
    assert!(says(&SIGN.verdict(), "grip-remaining", Severity::Stop).is_empty());
}

#[test]
fn a_secondary_line_that_holds_an_end_is_a_stop() {
    let sign = Sign {
        makeups: ["drop", "drop"],
        roles: ["carries", "secondary"],
        ..SIGN
    };
    let stops = says(&sign.verdict(), "secondary", Severity::Stop);
    assert!(
        stops[0].contains("`sign` turns over without its secondary lines `right`"),
        "{stops:?}"
    );
}

#[test]
fn a_permit_covers_all_that_hangs_by_the_grips_and_its_highest_place() {
    let second = "[loads.tail]\nweight = \"60 lb\"\nweight_from = \"weighed\"\npicks = { top = [\"0 ft\", \"0 ft\", \"0 ft\"] }\n\
                  trim = { at = [\"0 ft\", \"0 ft\", \"6 ft\"] }\nunder = \"public\"\n\
                  [lines.tail]\nfrom = \"sign.left\"\nto = \"tail.top\"\nmakeup = \"drop\"\nlength = \"6 ft\"\nrole = \"carries\"\n\
                  [permits.one]\nlines = [\"left\", \"right\"]\nweight = \"WEIGHT\"\nheight = \"HEIGHT\"\nunder = \"public\"\n\
                  approved_by = \"R. Osei\"\nwhy = \"no second point\"\nuntil = \"2026-12-31\"\n";
    let found = |weight: &str, height: &str| {
        let sign = Sign {
            makeups: ["grip", "grip"],
            more: second,
            ..SIGN
        };
        let text = sign
            .document()
            .replace("WEIGHT", weight)
            .replace("HEIGHT", height);
        says(&verdict(&text), "grip-sole-support", Severity::Stop).join("; ")
    };
    // 63 lb and 60 lb hang by them; the highest place is the picks at 9 ft.
    assert!(
        found("122 lb", "10 ft").contains("weighs 123 lb"),
        "{}",
        found("122 lb", "10 ft")
    );
    assert!(
        found("124 lb", "8 ft").contains("reaches 9 ft"),
        "{}",
        found("124 lb", "8 ft")
    );
}

/// A load whose centre stands 2 m inside its picks on the short side and h above them tips over at a push of 2 / h of its
/// weight: at 30 m that is 0.067, at 10 m 0.2, at 3 m 0.67.
#[test]
fn a_top_heavy_load_rolls_over_at_a_push() {
    let corners = [
        ("a", -3.0, -2.0),
        ("b", 3.0, -2.0),
        ("c", 3.0, 2.0),
        ("d", -3.0, 2.0),
    ];
    let rig = |centre_m: f64| {
        let points = corners.map(|(name, x, y)| (name, [x, y, 5.0]));
        let picks = corners
            .map(|(name, x, y)| format!("{name} = [\"{x:?} m\", \"{y:?} m\", \"0 m\"]"))
            .join(", ");
        let load = format!(
            "[loads.tower]\nweight = \"600 N\"\ncentre = [\"0 m\", \"0 m\", \"{centre_m:?} m\"]\npicks = {{ {picks} }}\n\
             trim = {{ at = [\"0 m\", \"0 m\", \"0 m\"] }}\nunder = \"nobody\"\n"
        );
        let ends = corners.map(|(name, ..)| (name, format!("tower.{name}")));
        let lines: Vec<_> = ends
            .iter()
            .map(|(name, pick)| (*name, *name, pick.as_str(), 5.0, 1e6))
            .collect();
        verdict(&crate::document(&points, &load, &lines))
    };
    let found = |centre_m: f64| {
        let verdict = rig(centre_m);
        let found = verdict.findings.iter().find(|f| f.rule == "top-heavy");
        found.map(|f| f.severity)
    };
    assert_eq!(found(30.0), Some(Severity::Stop));
    assert_eq!(found(10.0), Some(Severity::Caution));
    assert_eq!(found(3.0), None);
    assert_eq!(found(-1.0), None);
}

/// A bar that hangs from one pick an inch above its axis, with two others below it in balance, is no table.
#[test]
fn a_mobile_in_balance_is_not_top_heavy() {
    let text = "title = \"Larkspur Library stair: mobile\"\npractice = \"static-overhead\"\n\
        [points.top]\nat = [\"0 ft\", \"0 ft\", \"30 ft\"]\n\
        [loads.bar]\nweight = \"12 lb\"\npicks = { up = [\"0 ft\", \"0 ft\", \"1 in\"], l = [\"-3 ft\", \"0 ft\", \"0 ft\"], r = [\"2 ft\", \"0 ft\", \"0 ft\"] }\n\
        trim = { at = [\"0 ft\", \"0 ft\", \"25 ft\"] }\nunder = \"public\"\n\
        [loads.fish]\nweight = \"8 lb\"\npicks = { t = [\"0 ft\", \"0 ft\", \"6 in\"] }\ntrim = { at = [\"-3 ft\", \"0 ft\", \"22 ft\"] }\nunder = \"public\"\n\
        [loads.bird]\nweight = \"12 lb\"\npicks = { t = [\"0 ft\", \"0 ft\", \"6 in\"] }\ntrim = { at = [\"2 ft\", \"0 ft\", \"21 ft\"] }\nunder = \"public\"\n\
        [lines.main]\nfrom = \"top\"\nto = \"bar.up\"\nlength = \"to trim\"\nstiffness = \"1 MN\"\n\
        [lines.fish]\nfrom = \"bar.l\"\nto = \"fish.t\"\nlength = \"to trim\"\nstiffness = \"1 MN\"\n\
        [lines.bird]\nfrom = \"bar.r\"\nto = \"bird.t\"\nlength = \"to trim\"\nstiffness = \"1 MN\"\n";
    let verdict = verdict(text);
    assert!(
        verdict.findings.iter().all(|f| f.rule != "top-heavy"),
        "{:?}",
        verdict.findings
    );
}

/// Two legs from one point to picks 3 ft to each side and 4 ft below: 36.87 degrees each from the vertical, out of a plane
/// that their sum lies in.
#[test]
fn each_line_on_an_eye_bolt_lies_in_the_plane_of_its_eye() {
    let bolt = |plane: &str| {
        let sign = Sign {
            makeups: ["drop", "drop"],
            ..SIGN
        };
        let text = sign
            .document()
            .replace("from = \"right\"", "from = \"left\"")
            .replace(
                "[points.right]",
                &format!(
                    "part = \"eyebolt-shoulder-1/2\"\naxis = [0, 0, -1]\nplane = {plane}\n[points.right]"
                ),
            );
        let text = text.replacen(
            "at = [\"-3.0 ft\", \"0 ft\", \"14 ft\"]",
            "at = [\"0 ft\", \"0 ft\", \"13 ft\"]",
            1,
        );
        says(&verdict(&text), "pull-angle", Severity::Stop).join("; ")
    };
    assert!(
        bolt("[0, 1, 0]").contains("36.9 degrees out of the plane"),
        "{}",
        bolt("[0, 1, 0]")
    );
    assert!(bolt("[1, 0, 0]").is_empty(), "{}", bolt("[1, 0, 0]"));
}

/// Plumb lines in a plan that is turned: what the search leaves over sideways is no force.
#[test]
fn no_side_load_allowed_and_none_there_is_in_order() {
    let sign = Sign {
        point: "allows = { down = \"33 lb\", side = \"0 lb\", by = \"engineer\", document = \"letter 1\" }",
        makeups: ["drop", "drop"],
        ..SIGN
    };
    let turned = sign.document().replace(
        "trim = { at = [\"0 ft\", \"0 ft\", \"9 ft\"]",
        "trim = { at = [\"0 ft\", \"0 ft\", \"9 ft\"], heading = \"34 deg\"",
    );
    let (sin, cos) = 34_f64.to_radians().sin_cos();
    let at = |x: f64| format!("at = [\"{:?} ft\", \"{:?} ft\", \"14 ft\"]", x * cos, x * sin);
    let turned = turned
        .replace("at = [\"-3.0 ft\", \"0 ft\", \"14 ft\"]", &at(-3.0))
        .replace("at = [\"3.0 ft\", \"0 ft\", \"14 ft\"]", &at(3.0));
    let verdict = verdict(&turned);
    assert!(
        says(&verdict, "allowance", Severity::Stop).is_empty(),
        "{:?}",
        verdict.findings
    );
    // 63 lb on two lines that weigh 5 ft x 0.029 lb/ft each, of 33 lb.
    let used = verdict.points["left"].utilisation.unwrap();
    assert_near(used, (31.5 + 5.0 * 0.029) / 33.0, 2e-3, "use of the allowance");
    assert!(
        verdict.decides.starts_with("points.left: uses 96 %"),
        "{}",
        verdict.decides
    );
    assert_near(verdict.loads["sign"].weight_n / POUND_N, 63.0, 1e-9, "weight");
}

/// A frame on four lines at its corners, its centre in their plane: on two of them in a diagonal it is in balance, and
/// nothing keeps it from turning about that diagonal. With the centre a quarter of the size below it comes to rest.
#[test]
fn what_is_held_by_balance_alone_does_not_count_as_hanging() {
    let corners = [
        ("a", -3.0, -2.0, "grip"),
        ("b", 3.0, -2.0, "drop"),
        ("c", 3.0, 2.0, "grip"),
        ("d", -3.0, 2.0, "drop"),
    ];
    let rig = |centre_ft: f64| {
        let mut text = String::from("title = \"Larkspur Library frame\"\npractice = \"static-overhead\"\n");
        for (name, x, y, _) in corners {
            text += &format!("[points.{name}]\nat = [\"{x:?} ft\", \"{y:?} ft\", \"14 ft\"]\n");
        }
        let picks = corners
            .map(|(name, x, y, _)| format!("{name} = [\"{x:?} ft\", \"{y:?} ft\", \"0 ft\"]"))
            .join(", ");
        text += &format!(
            "[loads.frame]\nweight = \"60 lb\"\ncentre = [\"0 ft\", \"0 ft\", \"{centre_ft:?} ft\"]\npicks = {{ {picks} }}\n\
             trim = {{ at = [\"0 ft\", \"0 ft\", \"9 ft\"] }}\nunder = \"public\"\n{MAKEUPS}"
        );
        for (name, _, _, makeup) in corners {
            text += &format!(
                "[lines.{name}]\nfrom = \"{name}\"\nto = \"frame.{name}\"\nmakeup = \"{makeup}\"\nlength = \"to trim\"\n"
            );
        }
        says(&verdict(&text), "grip-sole-support", Severity::Stop)
    };
    let stops = rig(0.0);
    assert!(
        stops[0].contains("does not stay as it comes to hang once the adjustable grip of `a` lets go"),
        "{stops:?}"
    );
    assert!(rig(-0.9).is_empty(), "{:?}", rig(-0.9));
}

const MAKEUPS: &str = "[makeups]\n\
    drop = { parts = [\"shackle-1/4\", \"eye-sleeve-1/8\", \"rope-7x19-galv-1/8\", \"eye-sleeve-1/8\", \"shackle-1/4\"] }\n\
    grip = { parts = [\"shackle-1/4\", \"eye-sleeve-1/8\", \"rope-7x19-galv-1/8\", { part = \"grip-loop-1/8\", tail = \"4 in\" }] }\n";

/// A pipe whose centre is on its axis rolls about that for nothing, however its lines are off.
#[test]
fn a_pipe_that_rolls_about_its_own_axis_has_not_rolled_over() {
    let pipe = Sign {
        makeups: ["drop", "drop"],
        centre_ft: 0.0,
        ..SIGN
    };
    for length in ["5 ft", "5 ft 1/4 in", "5 ft 1 in"] {
        let text = pipe
            .document()
            .replacen("length = \"to trim\"", &format!("length = \"{length}\""), 1);
        let verdict = verdict(&text);
        assert!(
            verdict.findings.iter().all(|f| f.rule != "top-heavy"),
            "{length}: {:?}",
            verdict.findings
        );
    }
}

/// A tail of 60 lb hangs by an adjustable grip from a sign on two others: without it the sign hangs on, and a permit is for
/// the tail alone.
#[test]
fn what_hangs_above_a_grip_does_not_fall_with_it() {
    let tail = "[loads.tail]\nweight = \"60 lb\"\nweight_from = \"weighed\"\npicks = { top = [\"0 ft\", \"0 ft\", \"0 ft\"] }\n\
                trim = { at = [\"0 ft\", \"0 ft\", \"6 ft\"] }\nunder = \"UNDER\"\n\
                [lines.tail]\nfrom = \"sign.middle\"\nto = \"tail.top\"\nmakeup = \"grip\"\nlength = \"to trim\"\nrole = \"carries\"\n";
    let found = |under: &str| {
        let sign = Sign {
            makeups: ["drop", "drop"],
            more: tail,
            ..SIGN
        };
        let text = sign.document().replace("UNDER", under).replace(
            "picks = { left",
            "picks = { middle = [\"0 ft\", \"0 ft\", \"0 ft\"], left",
        );
        says(&verdict(&text), "grip-sole-support", Severity::Stop)
    };
    // Whoever is below the sign is below what hangs on it.
    for under in ["nobody", "public"] {
        let stops = found(under);
        assert!(
            stops.len() == 1 && stops[0].starts_with("loads.tail"),
            "{stops:?}"
        );
    }
}

/// A load hung under a load by the same pick: one line up and one down are a straight pull, not legs of a bridle.
#[test]
fn a_line_up_and_a_line_down_include_no_angle() {
    let tail = "[loads.tail]\nweight = \"20 lb\"\nweight_from = \"weighed\"\npicks = { left = [\"-3 ft\", \"0 ft\", \"0 ft\"], right = [\"3 ft\", \"0 ft\", \"0 ft\"] }\n\
                trim = { at = [\"0 ft\", \"0 ft\", \"6 ft\"] }\nunder = \"public\"\n\
                [lines.under_left]\nfrom = \"sign.left\"\nto = \"tail.left\"\nmakeup = \"drop\"\nlength = \"to trim\"\n\
                [lines.under_right]\nfrom = \"sign.right\"\nto = \"tail.right\"\nmakeup = \"drop\"\nlength = \"to trim\"\n";
    let sign = Sign {
        makeups: ["drop", "drop"],
        more: tail,
        ..SIGN
    };
    assert!(says(&sign.verdict(), "included-angle", Severity::Stop).is_empty());
}

/// A ring on a gripped line over two slack legs: once the grip has let go the ring hangs below on the spare line, and what
/// it is held against is no more than the load, not the stretch of a line that is gone.
#[test]
fn a_line_that_is_gone_pulls_on_nothing() {
    let rig = format!(
        "title = \"Larkspur Library bridle\"\npractice = \"static-overhead\"\n\
         [points.top]\nat = [\"0 ft\", \"0 ft\", \"20 ft\"]\n\
         [points.left]\nat = [\"-3 ft\", \"0 ft\", \"20 ft\"]\n[points.right]\nat = [\"3 ft\", \"0 ft\", \"20 ft\"]\n\
         [junctions.ring]\nnear = [\"0 ft\", \"0 ft\", \"15 ft\"]\npart = \"shackle-1/2\"\n\
         [loads.sign]\nweight = \"60 lb\"\nweight_from = \"weighed\"\ncentre = [\"0 ft\", \"0 ft\", \"-1 ft\"]\n\
         picks = {{ left = [\"-3 ft\", \"0 ft\", \"0 ft\"], right = [\"3 ft\", \"0 ft\", \"0 ft\"] }}\n\
         trim = {{ at = [\"0 ft\", \"0 ft\", \"11 ft\"] }}\nunder = \"public\"\n{MAKEUPS}\
         [lines.main]\nfrom = \"top\"\nto = \"ring\"\nmakeup = \"grip\"\nlength = \"to trim\"\n\
         [lines.leg_left]\nfrom = \"ring\"\nto = \"sign.left\"\nmakeup = \"drop\"\nlength = \"to trim\"\n\
         [lines.leg_right]\nfrom = \"ring\"\nto = \"sign.right\"\nmakeup = \"drop\"\nlength = \"to trim\"\n\
         [lines.spare_left]\nfrom = \"left\"\nto = \"sign.left\"\nmakeup = \"drop\"\nlength = \"9 ft 2 in\"\n\
         [lines.spare_right]\nfrom = \"right\"\nto = \"sign.right\"\nmakeup = \"drop\"\nlength = \"9 ft 2 in\"\n"
    );
    let verdict = verdict(&rig);
    assert!(
        says(&verdict, "grip-remaining", Severity::Stop).is_empty(),
        "{:?}",
        verdict.findings
    );
    // It drops two inches on them, and what they then get is found in time.
    let stops = says(&verdict, "grip-on-the-way", Severity::Stop);
    assert!(
        stops
            .iter()
            .any(|says| says.contains("the line `spare_left` gets a peak")),
        "{stops:?}"
    );
}

/// Two adjustable grips at each end of a sign 2 ft wide, and spare lines a foot and an inch longer: without one grip the
/// other holds, without all the sign comes down level, but without both at one end it tilts by about
/// asin(13 / 24) = 32.8 degrees.
#[test]
fn one_adjustable_grip_does_not_make_another_at_the_same_end_redundant() {
    let rig = |spare: &str| {
        let mut text = Sign {
            makeups: ["grip", "grip"],
            half_ft: 1.0,
            centre_ft: -0.3,
            ..SIGN
        }
        .document();
        for side in ["left", "right"] {
            for (name, makeup, length) in [("second", "grip", "to trim"), ("spare", "drop", spare)] {
                text += &format!(
                    "[lines.{name}_{side}]\nfrom = \"{side}\"\nto = \"sign.{side}\"\nmakeup = \"{makeup}\"\nlength = \"{length}\"\n"
                );
            }
        }
        says(&verdict(&text), "grip-sole-support", Severity::Stop)
    };
    let stops = rig("6 ft 1 in");
    assert!(
        stops.len() == 1
            && stops[0].contains("turns over once the adjustable grips of `left` and `second_left` let go"),
        "{stops:?}"
    );
    assert!(rig("5 ft 6 in").is_empty());
}

/// A top-heavy frame of 0.5 ft by 6 ft goes over at a push of 0.5 / 6 = 0.083 of its weight, however long its ropes are:
/// rope that hangs on its upper end is no ballast.
#[test]
fn long_ropes_do_not_steady_a_top_heavy_load() {
    let rig = |point_ft: f64| {
        let corners = [
            ("a", -0.5, -0.5),
            ("b", 0.5, -0.5),
            ("c", 0.5, 0.5),
            ("d", -0.5, 0.5),
        ];
        let mut text = String::from("title = \"Larkspur Library lantern\"\npractice = \"static-overhead\"\n");
        let mut picks = Vec::new();
        for (name, x, y) in corners {
            text += &format!("[points.{name}]\nat = [\"{x:?} ft\", \"{y:?} ft\", \"{point_ft:?} ft\"]\n");
            text += &format!(
                "[lines.{name}]\nfrom = \"{name}\"\nto = \"lantern.{name}\"\nmakeup = \"drop\"\nlength = \"to trim\"\n"
            );
            picks.push(format!("{name} = [\"{x:?} ft\", \"{y:?} ft\", \"0 ft\"]"));
        }
        text += &format!(
            "[loads.lantern]\nweight = \"20 lb\"\ncentre = [\"0 ft\", \"0 ft\", \"6 ft\"]\npicks = {{ {} }}\n\
             trim = {{ at = [\"0 ft\", \"0 ft\", \"12 ft\"] }}\nunder = \"public\"\n{MAKEUPS}",
            picks.join(", ")
        );
        says(&verdict(&text), "top-heavy", Severity::Stop).len()
    };
    assert_eq!([rig(20.0), rig(72.0)], [1, 1]);
}

/// A load on one pick with its centre 0.6 m beside it and 0.3 m below, kept level by a stated lift: without the lift it turns until its
/// centre is below the pick, by atan(0.6 / 0.3).
#[test]
fn a_load_that_only_a_stated_force_holds_level_is_a_stop() {
    let text = "title = \"Larkspur Library porch: a sign\"\npractice = \"static-overhead\"\n\
                [points.p]\nat = [\"0 m\", \"0 m\", \"6 m\"]\n\
                [loads.sign]\nweight = \"800 N\"\ncentre = [\"0.6 m\", \"0 m\", \"-0.3 m\"]\nunder = \"nobody\"\n\
                picks = { top = [\"0 m\", \"0 m\", \"0 m\"] }\ntrim = { at = [\"0 m\", \"0 m\", \"3 m\"] }\n\
                forces = [{ what = \"a hand\", force = [\"0 N\", \"0 N\", \"400 N\"], at = [\"1.2 m\", \"0 m\", \"-0.3 m\"] }]\n\
                [lines.l]\nfrom = \"p\"\nto = \"sign.top\"\nlength = \"3 m\"\nstiffness = \"1 MN\"\n";
    let verdict = verdict(text);
    let finding = verdict
        .findings
        .iter()
        .find(|finding| finding.rule == "forces-away")
        .unwrap();
    assert_eq!(finding.severity, practice::Severity::Stop);
    assert!(finding.says.contains("63.4 degrees"), "{}", finding.says);
}

/// A tie-down that pulls a floating load down by 300 N less 200 N: its point is pulled up by that times the dynamic factor.
#[test]
fn a_pull_upward_is_told_with_the_dynamic_factor() {
    let text = "title = \"Larkspur Library porch: a balloon\"\npractice = \"moving-overhead\"\n\
                [points.f]\nat = [\"0 m\", \"0 m\", \"0 m\"]\n\
                [loads.sign]\nweight = \"200 N\"\nunder = \"nobody\"\nservice = \"moving\"\ndynamic = 1.5\n\
                picks = { below = [\"0 m\", \"0 m\", \"0 m\"] }\ntrim = { at = [\"0 m\", \"0 m\", \"3 m\"] }\n\
                forces = [{ what = \"a balloon\", force = [\"0 N\", \"0 N\", \"300 N\"], at = [\"0 m\", \"0 m\", \"0.5 m\"] }]\n\
                [lines.l]\nfrom = \"f\"\nto = \"sign.below\"\nlength = \"3 m\"\nstiffness = \"1 MN\"\nrole = \"ties down\"\n";
    let verdict = verdict(text);
    let up_n = verdict.points["f"].demand_up_n.unwrap();
    assert!((up_n - 150.0).abs() < 1e-3, "{up_n}");
    assert!(verdict.numbers.contains_key("points.f.demand_up"));
}
