//! Parts and rigs that the tests are made of. Also compiled into the tests in `tests/`.

use crate::{
    Allowance, Along, BayFacts, EndAt, Facts, Finding, GripTrial, GroupFacts, JunctionFacts, LineFacts,
    LoadFacts, PickFacts, PipeFacts, PointFacts, Practices, Remains, Role, Service, ShopAllowance,
    SpliceFacts, ThrustFacts, Trial, Under, WeightFrom, judge,
};
use parts::{
    Accepted, Accepts, AngleBand, Bending, Body, Book, Clips, End, EndForm, EyeBolt, Grip, GripForm, Link,
    Locking, Made, MakersDocument, Makeup, Origin, Part, Piece, Rating, Rope, Shackle, SheaveRatio, Thimble,
};
use quantity::Kind;
use std::sync::Arc;
use working::{Number, Seen, Source};

/// Pound-force in newtons: 0.45359237 kg under 9.80665 m/s².
pub const LB: f64 = 0.453_592_37 * 9.80665;
/// Inch in metres.
pub const IN: f64 = 0.0254;

pub fn given(what: &str, kind: Kind, si: f64) -> Number {
    Number::given(what, "x", kind, si, Source::stated("sample"))
}

pub fn force(si: f64) -> Number {
    given("force", Kind::Force, si)
}

pub fn length(si: f64) -> Number {
    given("length", Kind::Length, si)
}

pub fn part(id: &str, body: Body, rating: Rating) -> Part {
    Part {
        id: id.into(),
        name: id.into(),
        body,
        rating,
        length_m: None,
        mass_kg: None,
        invented: false,
        origin: Origin::Published,
        notes: Vec::new(),
    }
}

pub fn rated(pounds: f64, design_factor: Option<f64>) -> Rating {
    Rating::WorkingLoad {
        load: Number::given("rating", "R", Kind::Force, pounds * LB, Source::stated("sample")),
        design_factor: design_factor.map(|factor| {
            Number::given(
                "maker's design factor",
                "d",
                Kind::Number,
                factor,
                Source::stated("sample"),
            )
        }),
    }
}

/// 3/16 in 7x19 galvanised, 4200 lbf: [bib:faa-ac43] Table 7-3, read as text.
pub fn rope() -> Part {
    rope_of("7x19", "galvanised", 3.0 / 16.0, 4200.0)
}

pub fn rope_of(construction: &str, material: &str, inches: f64, pounds: f64) -> Part {
    let strength = Number::given(
        "least breaking strength",
        "F",
        Kind::Force,
        pounds * LB,
        Source::cited("faa-ac43", "Table 7-3", Seen::Text),
    );
    let body = Rope {
        construction: construction.into(),
        core: None,
        material: material.into(),
        diameter_m: length(inches * IN),
        stiffness_n: None,
        mass_kg_per_m: None,
        expansion_per_k: None,
        settling: None,
        coated: false,
        bends: Book::published().bends().into(),
        sheaves: sheaves(construction),
    };
    part(
        "rope-7x19-galv-3/16",
        Body::Rope(body),
        Rating::Breaking(strength),
    )
}

fn sheaves(construction: &str) -> Option<SheaveRatio> {
    let mut rows = Book::published().sheaves();
    let (_, ratio) = rows.find(|(of, _)| *of == construction)?;
    Some(ratio.clone())
}

/// A thimbled eye that leaves this share of the strength.
pub fn eye(efficiency: f64) -> Part {
    end(EndForm::Eye, true, efficiency)
}

pub fn end(form: EndForm, thimbled: bool, efficiency: f64) -> Part {
    let share = Number::given(
        "efficiency",
        "e",
        Kind::Ratio,
        efficiency,
        Source::stated("sample"),
    );
    let body = End {
        form,
        thimbled,
        accepts: Accepts::default(),
    };
    part("eye-sleeve-3/16", Body::End(body), Rating::Efficiency(share))
}

/// A pin shackle of 3/8 in, 2000 lbf at a factor of six: [bib:shackle-us], read as text; side loads [bib:side-load].
pub fn shackle() -> Part {
    let band = |degrees: f64, share: f64| AngleBand {
        up_to_rad: degrees.to_radians(),
        allows: Number::given(
            "share of the rating",
            "s",
            Kind::Ratio,
            share,
            Source::cited("side-load", "", Seen::Text),
        ),
    };
    let body = Shackle {
        pin_diameter_m: Some(length(7.0 / 16.0 * IN)),
        side_load: vec![band(5.0, 1.0), band(45.0, 0.7), band(90.0, 0.5)],
    };
    part("shackle-3/8", Body::Shackle(body), rated(2000.0, Some(6.0)))
}

/// An adjustable grip of ours on the sample rope.
pub fn grip(pounds: f64, design_factor: Option<f64>) -> Part {
    let Rating::WorkingLoad { load, design_factor } = rated(pounds, design_factor) else {
        unreachable!()
    };
    let body = Grip {
        form: GripForm::Ends,
        locking: Locking::ScrewLocked,
        accepts: vec![Accepted {
            construction: "7x19".into(),
            materials: vec!["galvanised".into()],
            diameter_m: 3.0 / 16.0 * IN,
            working_load_n: load,
            design_factor,
        }],
        static_only: true,
        least_tail_m: Some(length(2.0 * IN)),
        reusable: true,
        reuse: None,
        released_by: "backing its screw out".into(),
        permits_sole_support_overhead: false,
        adjust_under_load: false,
        document: Some(MakersDocument {
            title: "Sheet 1".into(),
            revision: "A".into(),
            date: "2025-01-01".into(),
        }),
    };
    part("grip-screw-3/16", Body::Grip(body), Rating::ByRope)
}

pub fn edit_grip(part: &mut Part, change: impl FnOnce(&mut Grip)) {
    if let Body::Grip(grip) = &mut part.body {
        change(grip);
    }
}

/// Clips for 3/16 in rope; at least three and 6 d apart, turnback and torque of [bib:clips-trade].
pub fn clips(forged: bool) -> Part {
    let body = Clips {
        forged,
        rope_diameter_m: 3.0 / 16.0 * IN,
        least_count: given("least number of clips", Kind::Number, 3.0),
        spacing_m: length(1.125 * IN),
        turnback_m: Some(length(3.75 * IN)),
        torque_n_m: Some(given("torque", Kind::Torque, 10.2)),
        accepts: Accepts::default(),
    };
    let share = Number::given(
        "efficiency",
        "e",
        Kind::Ratio,
        0.8,
        Source::cited("tm-305", "Table 4", Seen::Text),
    );
    part("clips-3/16", Body::Clips(body), Rating::Efficiency(share))
}

pub fn thimble(inches: f64) -> Part {
    let body = Thimble {
        rope_diameter_m: inches * IN,
        inside_width_m: Some(length(0.7 * IN)),
    };
    part(
        "thimble-3/16",
        Body::Thimble(body),
        Rating::Unrated("a thimble has no rating".into()),
    )
}

/// A shoulder eye bolt of 3/8 in: 1550 lbf in line, then 80, 65, 30 and 25 percent: [bib:eye-trade].
pub fn eye_bolt() -> Part {
    let band = |degrees: f64, pounds: f64| AngleBand {
        up_to_rad: degrees.to_radians(),
        allows: Number::given(
            "rating at its angle",
            "R",
            Kind::Force,
            pounds * LB,
            Source::cited("eye-trade", "", Seen::Text),
        ),
    };
    let body = EyeBolt {
        shoulder: true,
        by_angle: vec![
            band(0.0, 1550.0),
            band(15.0, 1240.0),
            band(30.0, 1007.5),
            band(45.0, 465.0),
            band(90.0, 387.5),
        ],
        refused_past_rad: 45_f64.to_radians(),
    };
    part(
        "eyebolt-shoulder-3/8",
        Body::EyeBolt(body),
        rated(1550.0, Some(5.0)),
    )
}

pub fn link(pounds: f64, design_factor: Option<f64>) -> Part {
    let body = Link {
        form: "ring".into(),
        stock_diameter_m: Some(length(0.5 * IN)),
    };
    part("link-1/2", Body::Link(body), rated(pounds, design_factor))
}

pub fn piece(part: Part) -> Piece {
    Piece {
        part: Arc::new(part),
        made: Made::default(),
    }
}

pub fn makeup(name: &str, parts: Vec<Part>) -> Makeup {
    Makeup {
        name: name.into(),
        pieces: parts.into_iter().map(piece).collect(),
        evidence: Vec::new(),
    }
}

/// Shackle, sleeve eye at 0.95, rope, sleeve eye at 0.95, shackle.
pub fn plain() -> Makeup {
    makeup("leg", vec![shackle(), eye(0.95), rope(), eye(0.95), shackle()])
}

/// The same with an adjustable grip as its lower end.
pub fn gripped(grip: Part) -> Makeup {
    let mut makeup = makeup("grip-leg", vec![shackle(), eye(0.95), rope(), grip, shackle()]);
    makeup.pieces[3].made.tail_m = Some(3.0 * IN);
    makeup
}

pub fn line(name: &str, makeup: Makeup, pounds: f64) -> LineFacts {
    LineFacts {
        name: name.into(),
        makeup: Some(Arc::new(makeup)),
        loads: vec!["flock".into()],
        under: Under::Crew,
        service: Service::Still,
        dynamic: None,
        tension_n: Some(Number::given(
            "tension",
            "T",
            Kind::Force,
            pounds * LB,
            Source::mechanics("equilibrium"),
        )),
        worst_share_n: None,
        within_tolerances: false,
        set_by_adjustment: false,
        slip_range_n: None,
        slack: pounds == 0.0,
        role: Role::Carries,
        lifts: true,
        from_horizontal_rad: 60_f64.to_radians(),
        ends: [
            EndAt::Point("north".into()),
            EndAt::Pick("flock".into(), "nw".into()),
        ],
        bends: Vec::new(),
    }
}

pub fn load() -> LoadFacts {
    LoadFacts {
        name: "flock".into(),
        weight_n: Number::given("weight", "W", Kind::Force, 200.0 * LB, Source::stated("sample")),
        weight_from: Some(WeightFrom::Weighed),
        margin: None,
        under: Under::Crew,
        service: Service::Still,
        dynamic: None,
        height_m: 4.0,
        top_m: 4.0,
        may_move_m: None,
        accelerates_m_per_s2: None,
        caught: Vec::new(),
        slips: Vec::new(),
        disturbances: Vec::new(),
        included: None,
        moved_m: Some(0.01),
        turned_rad: Some(0.0),
        falls: None,
        unstable_as_drawn: false,
        free_motions: Vec::new(),
        line_count: 2,
        shares_by_length: false,
        shares_bounded: true,
        tilt_rad: Some(0.0),
        forces_away: Vec::new(),
        without_secondary: None,
        without_carrying: Vec::new(),
        without_grips: Vec::new(),
    }
}

/// What a building allows, pounds-force.
pub fn allows(down: f64, side: Option<f64>) -> Allowance {
    Allowance {
        down_n: Some(force(down * LB)),
        side_n: side.map(|side| force(side * LB)),
        by: Some("building's engineer".into()),
        document: Some("letter of 3 March".into()),
    }
}

/// Two points on a beam that get 200 lbf down together, of so many pounds-force allowed.
pub fn beam(allowed: f64) -> GroupFacts {
    GroupFacts {
        name: "beam 3".into(),
        points: vec!["north".into(), "south".into()],
        down_n: Some(force(200.0 * LB)),
        side_n: Some(force(0.0)),
        worst_down_n: None,
        worst_up_n: None,
        worst_side_n: None,
        allows: Some(allows(allowed, None)),
    }
}

pub fn point(name: &str) -> PointFacts {
    PointFacts {
        name: name.into(),
        down_n: Some(Number::given(
            "force down",
            "P",
            Kind::Force,
            100.0 * LB,
            Source::mechanics("equilibrium"),
        )),
        side_n: Some(Number::given(
            "force sideways",
            "S",
            Kind::Force,
            50.0 * LB,
            Source::mechanics("equilibrium"),
        )),
        force_n: Some(Number::given(
            "force",
            "P",
            Kind::Force,
            112.0 * LB,
            Source::mechanics("equilibrium"),
        )),
        worst_down_n: None,
        worst_up_n: None,
        worst_side_n: None,
        worst_force_n: None,
        allows: Some(allows(500.0, Some(60.0))),
        part: None,
        off_axis_rad: None,
        out_of_plane_rad: None,
        included_rad: None,
        under: Under::Crew,
        service: Service::Still,
        dynamic: None,
    }
}

pub fn junction(part: Option<Part>) -> JunctionFacts {
    JunctionFacts {
        name: "ring".into(),
        part: part.map(Arc::new),
        pulls: 3,
        greatest_n: Some(Number::given(
            "greatest tension",
            "T",
            Kind::Force,
            300.0 * LB,
            Source::mechanics("equilibrium"),
        )),
        included_rad: Some(60_f64.to_radians()),
        under: Under::Crew,
        service: Service::Still,
        dynamic: None,
    }
}

/// Two plain lines at 115 lbf that hold one load of 200 lbf over crew, in order in every way.
pub fn rig() -> Facts {
    Facts {
        practice: Practices::published().get("static-overhead").unwrap(),
        today: Some("2026-03-14".into()),
        loads: vec![load()],
        lines: vec![line("nw", plain(), 115.0), line("ne", plain(), 115.0)],
        points: vec![point("north")],
        groups: Vec::new(),
        junctions: Vec::new(),
        pipes: Vec::new(),
        allowances: Vec::new(),
        falls: None,
        winds: Vec::new(),
        simplified: Vec::new(),
        temperature_k: None,
        out_of_trim_m: Vec::new(),
    }
}

/// Foot-pound in newton metres.
pub const FT_LB: f64 = 12.0 * IN * LB;

pub fn torque(si: f64) -> Number {
    given("moment", Kind::Torque, si)
}

/// A force that is greatest 5 ft along a pipe.
pub fn along(force_n: f64) -> Along {
    Along {
        greatest: force(force_n),
        at_m: 5.0 * 12.0 * IN,
        worst: None,
    }
}

/// A thrust in a pipe, along so much of it, which counts so many times.
pub fn thrust(thrust_n: f64, length_m: f64, times: f64, pipe: &PipeFacts) -> ThrustFacts {
    let section = pipe.section.as_ref().and_then(|part| part.section());
    ThrustFacts {
        along: along(thrust_n),
        length_m: length(length_m),
        times: given("times that it counts", Kind::Number, times),
        stiffness_n_m2: section.map_or_else(
            || given("EI", Kind::BendingStiffness, 6e4),
            |section| section.bending_stiffness_n_m2.clone(),
        ),
    }
}

/// A moment that is greatest 5 ft along a pipe.
pub fn moment_along(moment_n_m: f64) -> Along {
    Along {
        greatest: torque(moment_n_m),
        ..along(0.0)
    }
}

pub fn bending(moment_n_m: f64, shear_n: f64, torque_n_m: Option<f64>) -> Bending {
    Bending {
        moment_n_m: torque(moment_n_m),
        shear_n: force(shear_n),
        torque_n_m: torque_n_m.map(torque),
    }
}

pub fn bay(overhang: bool, length_m: f64, deflection_m: f64) -> BayFacts {
    BayFacts {
        name: "between `a` and `b`".into(),
        overhang,
        length_m: length(length_m),
        deflection_m: Some(given("deflection", Kind::Stretch, deflection_m)),
        at_m: 1.0,
    }
}

pub fn splice(moment_n_m: f64, shear_n: f64, allows: Option<(f64, f64)>) -> SpliceFacts {
    SpliceFacts {
        name: "middle".into(),
        at_m: 3.0,
        moment_n_m: Some(torque(moment_n_m)),
        shear_n: Some(force(shear_n)),
        pull_n: None,
        allows: allows.map(|(moment, shear)| bending(moment, shear, None)),
    }
}

pub fn pick(name: &str, at_m: f64) -> PickFacts {
    PickFacts {
        name: name.into(),
        at_m,
        reaction_n: Some(force(100.0 * LB)),
        worst_reaction_n: None,
        slack: false,
        from_panel_m: None,
        part: None,
    }
}

/// A batten of the published 1-1/2 in pipe on three picks, at 300 ft lb and 200 lbf, in order in every way.
pub fn pipe() -> PipeFacts {
    PipeFacts {
        name: "batten".into(),
        section: Book::published().get("pipe-1-1/2-sch40"),
        stated: None,
        loads: vec!["batten".into()],
        under: Under::Crew,
        service: Service::Still,
        dynamic: None,
        moment_n_m: Some(moment_along(300.0 * FT_LB)),
        shear_n: Some(along(200.0 * LB)),
        torque_n_m: None,
        thrust: None,
        pull_n: None,
        bays: vec![bay(false, 2.4, 0.002)],
        built_in: Vec::new(),
        splices: Vec::new(),
        picks: vec![pick("a", 0.6), pick("b", 3.0), pick("c", 5.4)],
        carried: Vec::new(),
    }
}

/// The plain rig with the batten.
pub fn pipe_rig() -> Facts {
    Facts {
        pipes: vec![pipe()],
        ..rig()
    }
}

/// The same with an adjustable grip in the first line, which the second line can do without.
pub fn grip_rig() -> Facts {
    let mut facts = rig();
    facts.lines[0] = line("nw", gripped(grip(840.0, Some(5.0))), 115.0);
    facts.loads[0].without_grips = vec![GripTrial {
        gone: vec!["nw".into()],
        outcome: hangs(200.0),
        without_secondary: None,
        on_the_way: None,
    }];
    facts
}

/// A trial in which the line `ne` remains, with so many pounds on it.
pub fn hangs(pounds: f64) -> Trial {
    Trial::Hangs(Box::new(remains(vec![line("ne", plain(), pounds)])))
}

/// A rest 0.2 m away, level, with these lines and nothing else.
pub fn remains(lines: Vec<LineFacts>) -> Remains {
    Remains {
        moved_m: 0.2,
        moves_m: None,
        tilt_rad: 0.0,
        turned_rad: 0.0,
        disturbances: Vec::new(),
        caught_by: Vec::new(),
        included: vec![None],
        height_m: 3.9,
        lines,
        points: Vec::new(),
        groups: Vec::new(),
        junctions: Vec::new(),
        pipes: Vec::new(),
    }
}

/// The same, held by nothing once the line with the adjustable grip is gone.
pub fn sole_grip_rig() -> Facts {
    let mut facts = grip_rig();
    facts.loads[0].without_grips = vec![GripTrial {
        gone: vec!["nw".into()],
        outcome: Trial::Falls("one line is left, beside its centre".into()),
        without_secondary: None,
        on_the_way: None,
    }];
    facts
}

pub fn shop_allowance() -> ShopAllowance {
    ShopAllowance {
        name: "light cranes".into(),
        lines: vec!["nw".into()],
        weight_n: 200.0 * LB,
        height_m: 4.0,
        under: Under::Crew,
        approved_by: "R. Osei, rigging lead".into(),
        why: "no second point".into(),
        until: "2026-06-30".into(),
    }
}

pub fn set_all_under(facts: &mut Facts, under: Under) {
    facts.loads.iter_mut().for_each(|load| load.under = under);
    facts.lines.iter_mut().for_each(|line| line.under = under);
    facts.points.iter_mut().for_each(|point| point.under = under);
    facts
        .junctions
        .iter_mut()
        .for_each(|junction| junction.under = under);
    facts.pipes.iter_mut().for_each(|pipe| pipe.under = under);
}

/// What one rule finds.
pub fn found(rule: &str, facts: &Facts) -> Vec<Finding> {
    judge(facts)
        .findings
        .into_iter()
        .filter(|finding| finding.rule == rule)
        .collect()
}

/// The severities that one rule finds, in words, such as `["stop"]`.
pub fn severities(rule: &str, facts: &Facts) -> Vec<String> {
    found(rule, facts)
        .into_iter()
        .map(|finding| format!("{:?}", finding.severity).to_lowercase())
        .collect()
}
