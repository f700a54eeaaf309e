//! What a series that is still to be pulled asks for: specimens, machine, guard and pins.
//!
//! Conventions: SI.
//! Assumes: a guess of mean and scatter; the rope breaks at the latest a fifth past its published breaking force.
//! Valid for: kinds of a series document, pulled or not.
//! Source: `proving::Aim`; ISO 3108 as told elsewhere for rate, free length (from memory) and shields; what is marked as our judgement below.
//! Checked by: tests/plan.rs.

use crate::answer::ClaimAnswer;
use crate::document::{Kind, Machine, Series};
use crate::doubts::ROPES_BEAT;
use crate::kind::{breaking_n, claim};
use crate::series::{USUAL, assumed_level, free_length_m, made_up};
use document::Problem;
use indexmap::IndexMap;
use parts::{Body, Book, Makeup};
use proving::specimen::{
    RATE_PAST_80_PER_S, estimated_recoil_m_per_s, estimated_stored_j, falls_from_m, stored_j,
};
use proving::{Aim, Level, free, tolerance_factor};
use quantity::{Kind as Of, Style};
use schemars::JsonSchema;
use serde::Serialize;

/// How often a plan is to come out.
const CHANCE: f64 = 0.9;
/// The scatter that is taken where nobody guesses one: our judgement, about what pressed and gripped ends scatter by.
const SCATTER: f64 = 0.05;
/// For how many specimens it is told what they may show.
const ROWS: [usize; 5] = [3, 5, 10, 20, 30];
/// Of means and scatters that are guessed, the strongest is so many standard deviations above the mean: our judgement.
const STRONGEST: f64 = 4.0;
/// Rope is longer by this share when it breaks (2 to 4 %, from memory).
const STRETCHES: f64 = 0.04;
/// What eyes and fittings take up as they bed in, m: our judgement.
const BEDS_M: f64 = 0.02;
/// A cell reads coarsely in the lower part of its range, below this share (classes of ISO 7500-1 begin there as a rule, from memory).
const COARSE: f64 = 0.2;
/// The pull is slow from this share of the breaking force on (ISO 3108, as told elsewhere).
const SLOW_FROM: f64 = 0.8;
/// Readings in a second that tell slips from breaks: our judgement.
const READINGS_HZ: f64 = 100.0;
/// What stored energy is compared with, kg.
const FALLS_KG: f64 = 10.0;

/// A plan of a series.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct TestPlan {
    /// The version of the program.
    pub plimsoll: String,
    /// The title of the series.
    pub series: String,
    /// The share of all such lines that limits are for.
    pub share: f64,
    /// How often such limits are right.
    pub confidence: f64,
    /// How often the series is to show its claim, if mean and scatter are as guessed.
    pub chance: f64,
    /// What is to be tested, by name.
    pub kinds: IndexMap<String, KindPlan>,
    /// What to keep in mind.
    pub remarks: Vec<String>,
    /// What was assumed because nobody said.
    pub defaults: Vec<String>,
    /// The usual cautions.
    pub cautions: Vec<String>,
}

/// A plan of one kind.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct KindPlan {
    /// The parts, from end to end.
    pub parts: Vec<String>,
    /// The part on trial.
    pub tests: String,
    /// The published breaking force of the rope, N.
    pub breaking_n: Option<f64>,
    /// The claim; none where there is none.
    pub claim: Option<ClaimAnswer>,
    /// The mean strength that is guessed, N.
    pub mean_n: Option<f64>,
    /// The scatter that is guessed, as a share of the mean.
    pub scatter: f64,
    /// What so many specimens may show.
    pub rows: Vec<PlanRow>,
    /// The least number that shows the claim as often as is asked; none where none does, or the mean is not guessed.
    pub needed: Option<usize>,
    /// The number that must all hold what is claimed where nothing is assumed of how strengths scatter.
    pub all_must_hold: Option<u64>,
    /// The greatest force that is to be expected, N.
    pub greatest_n: Option<f64>,
    /// Whether the mean that is guessed is below what is claimed.
    pub is_hopeless: bool,
    /// What machine, cell and specimen must be like.
    pub needs: Vec<Need>,
    /// What is stored when it lets go; none where that is not known.
    pub stored: Option<Stored>,
    /// What to put between that and people.
    pub guard: Vec<String>,
    /// How each eye bears on the pin of the machine.
    pub pins: Vec<Pin>,
}

/// What so many specimens may show.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct PlanRow {
    /// How many.
    pub n: usize,
    /// By how many standard deviations the limit is below their mean.
    pub factor: f64,
    /// The true mean at which they show the claim as often as is asked, N; none where no mean is enough, or there is no claim.
    pub mean_needed_n: Option<f64>,
    /// How often they show it at the mean that is guessed; none where none is.
    pub chance: Option<f64>,
}

/// What is needed, and what is there.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Need {
    /// What.
    pub what: String,
    /// How much is needed.
    pub needed: f64,
    /// How much there is; none where the document does not say.
    pub there: Option<f64>,
    /// The unit of both.
    pub unit: String,
    /// Whether it is enough; none where that is not known.
    pub enough: Option<bool>,
    /// Why, and from where.
    pub says: String,
    /// What kind of quantity it is.
    #[serde(skip)]
    #[schemars(skip)]
    pub kind: Of,
}

/// What is stored in a specimen and its machine.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Stored {
    /// From and to how much is stored in the rope, J.
    pub rope_j: [f64; 2],
    /// What is stored in the machine, J; none where its stiffness is not known.
    pub machine_j: Option<f64>,
    /// The most of both, J.
    pub most_j: f64,
    /// How fast an end of the rope comes back at the most, m/s; none where its mass is not known.
    pub recoil_m_per_s: Option<f64>,
    /// From how high 10 kg bring as much, m.
    pub like_10_kg_from_m: f64,
}

/// How an eye bears on the pin of the machine.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Pin {
    /// The eye, by its part, and at which end.
    pub eye: String,
    /// Whether the pin suits it; none where the pin is not stated.
    pub suits: Option<bool>,
    /// Why.
    pub says: String,
}

/// Plans a series, in sentences with the units of `style` first.
///
/// # Errors
///
/// Parts that are in no book.
pub fn plan(series: &Series, book: &Book, style: Style) -> Result<TestPlan, Vec<Problem>> {
    let mut problems = Vec::new();
    let level = series.level.unwrap_or(USUAL);
    let mut kinds = IndexMap::new();
    for (name, kind) in &series.kinds {
        let Some(makeup) = made_up(name, kind, book, &mut problems) else {
            continue;
        };
        let planned = Planned {
            kind,
            makeup: &makeup,
            book,
            series,
            level,
            style: style.in_sentences(),
        };
        kinds.insert(name.clone(), planned.answer());
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    Ok(TestPlan {
        plimsoll: env!("CARGO_PKG_VERSION").to_string(),
        series: series.title.clone(),
        share: level.reliability,
        confidence: level.confidence,
        chance: CHANCE,
        remarks: remarks(),
        defaults: defaults(series),
        cautions: practice::cautions().iter().map(ToString::to_string).collect(),
        kinds,
    })
}

fn remarks() -> Vec<String> {
    [
        "a plan is no promise: the scatter is a guess, and that of three specimens may be off by a factor from a half to six (95 times in 100)",
        "whoever makes the lines makes the specimens, with the same tool, settings and reel; mark the rope where it enters each fitting, so that a slip \
         is seen",
        "a second person stays outside of the reach and can stop the machine; nobody looks over the guard while there is load",
        "what was pulled is out of service, whatever it held",
    ]
    .map(String::from)
    .to_vec()
}

fn defaults(series: &Series) -> Vec<String> {
    let mut told: Vec<String> = assumed_level(series).into_iter().collect();
    for (name, kind) in &series.kinds {
        let expects = kind.expects.unwrap_or_default();
        if expects.scatter.is_none() {
            told.push(format!(
                "`{name}` scatters by 5 % of its mean, our judgement (say `expects.scatter`)"
            ));
        }
        if expects.mean_n.is_none() {
            told.push(format!(
                "the mean strength of `{name}` is not guessed, so how often so many show the claim is not known (say `expects.mean`)"
            ));
        }
    }
    told
}

/// A kind with everything that is known of it.
struct Planned<'a> {
    kind: &'a Kind,
    makeup: &'a Makeup,
    book: &'a Book,
    series: &'a Series,
    level: Level,
    style: Style,
}

impl Planned<'_> {
    fn answer(&self) -> KindPlan {
        let expects = self.kind.expects.unwrap_or_default();
        let scatter = expects.scatter.unwrap_or(SCATTER);
        let claim = claim(self.kind, self.makeup).map(ClaimAnswer::from);
        let aim = claim.as_ref().map(|claim| Aim {
            level: self.level,
            // What the cell may read too much by, all of its readings do.
            required: claim.required_n / (1.0 - self.series.cell.uncertainty.unwrap_or(0.0)),
        });
        let rows = ROWS.iter().filter_map(|n| {
            let aim = aim.as_ref();
            Some(PlanRow {
                n: *n,
                factor: tolerance_factor(*n, self.level)?,
                mean_needed_n: aim.and_then(|aim| aim.mean(*n, CHANCE, scatter)),
                chance: aim
                    .zip(expects.mean_n)
                    .and_then(|(aim, mean_n)| aim.chance(*n, mean_n, scatter * mean_n)),
            })
        });
        let greatest_n = self.greatest_n();
        // A guess may be wrong: the guard is for what the rope may reach.
        let stored = self
            .rope_n()
            .or(greatest_n)
            .map(|rope_n| rope_n.max(greatest_n.unwrap_or(0.0)));
        let stored = stored.and_then(|strongest_n| self.stored(strongest_n));
        KindPlan {
            parts: self.makeup.ids().map(String::from).collect(),
            tests: self.kind.tests.value.clone(),
            breaking_n: breaking_n(self.kind, self.makeup),
            mean_n: expects.mean_n,
            scatter,
            rows: rows.collect(),
            needed: aim
                .zip(expects.mean_n)
                .and_then(|(aim, mean_n)| aim.number(CHANCE, mean_n, scatter * mean_n)),
            all_must_hold: free::number_for_rank(1, self.level.reliability, self.level.confidence),
            is_hopeless: aim
                .zip(expects.mean_n)
                .is_some_and(|(aim, mean_n)| mean_n <= aim.required),
            claim,
            greatest_n,
            needs: self.needs(greatest_n),
            guard: stored
                .map(|stored| guard(&stored, self.style))
                .unwrap_or_default(),
            stored,
            pins: self.pins(),
        }
    }

    /// Gives the greatest force that is to be expected: what the rope breaks at, or where less is guessed, the strongest of such.
    fn greatest_n(&self) -> Option<f64> {
        let rope_n = self.rope_n();
        let expects = self.kind.expects.unwrap_or_default();
        let scatter = expects.scatter.unwrap_or(SCATTER);
        let guessed_n = expects.mean_n.map(|mean_n| mean_n * (1.0 + STRONGEST * scatter));
        rope_n.into_iter().chain(guessed_n).reduce(f64::min)
    }

    /// Gives what the rope itself may reach, N.
    fn rope_n(&self) -> Option<f64> {
        let own = self.kind.own.as_ref().map(|(mean_n, _, _)| *mean_n);
        let rope_n = breaking_n(self.kind, self.makeup).map(|breaking_n| ROPES_BEAT * breaking_n);
        own.into_iter().chain(rope_n).reduce(f64::max)
    }

    fn needs(&self, greatest_n: Option<f64>) -> Vec<Need> {
        let (machine, cell) = (&self.series.machine, &self.series.cell);
        let mut needs = Vec::new();
        if let Some(greatest_n) = greatest_n {
            let at_least = |what: &str, needed_n: f64, there_n: Option<f64>, says: String| {
                need(
                    (what, Of::Force, "N"),
                    needed_n,
                    there_n,
                    there_n.map(|there_n| there_n >= needed_n),
                    says,
                )
            };
            needs.push(at_least(
                "pull of the machine",
                greatest_n,
                machine.capacity_n,
                "the most that the strongest specimen may take: a fifth past the published breaking force of the rope, or four standard deviations \
                 past the mean that is guessed (our judgement)"
                    .into(),
            ));
            needs.push(at_least(
                "range of the cell",
                greatest_n,
                cell.capacity_n,
                "past its range a cell tells nothing, and the specimen is only known to have held it".into(),
            ));
            needs.extend(cell.capacity_n.filter(|there_n| greatest_n < COARSE * there_n).map(|there_n| {
                let says = "a cell reads coarsely in the lowest fifth of its range (from memory): take a smaller one";
                need(("force for this cell", Of::Force, "N"), COARSE * there_n, Some(greatest_n), Some(false), says.into())
            }));
        }
        needs.extend(self.stroke(greatest_n, machine));
        needs.extend(self.free_length());
        needs.extend(self.rate(greatest_n));
        let says = "slips and breaks are over in hundredths of a second (our judgement); log force and travel with one clock";
        needs.push(need(
            ("readings in a second", Of::Number, "1/s"),
            READINGS_HZ,
            None,
            None,
            says.into(),
        ));
        needs
    }

    /// Says how fast the force may grow. What fails before the test of ropes begins to ask is held to the same, of what it may fail at.
    fn rate(&self, greatest_n: Option<f64>) -> Option<Need> {
        let breaking_n = breaking_n(self.kind, self.makeup)?;
        let force = |force_n: f64| Of::Force.print(force_n, self.style);
        let asked_n = SLOW_FROM * breaking_n;
        let below_n = greatest_n.filter(|greatest_n| *greatest_n < asked_n);
        let says = match below_n {
            None => {
                let unless = match self.kind.expects.and_then(|expects| expects.mean_n) {
                    Some(_) => "",
                    None => {
                        "; an end that fails below that sees none of it: guess a mean (`expects.mean`) to be told how fast then"
                    }
                };
                format!(
                    "quickly up to {}, 80 % of the breaking force of the rope, and no faster than this from there on (ISO 3108, as told elsewhere){unless}",
                    force(asked_n)
                )
            }
            Some(greatest_n) => format!(
                "it is expected to fail below {}, 80 % of the breaking force of the rope, from where the test of ropes asks for a slow pull (ISO 3108, as \
                 told elsewhere): quickly up to {}, 80 % of the greatest force that is expected, and no faster than 0.5 % of that force in a second from \
                 there on (our judgement)",
                force(asked_n),
                force(SLOW_FROM * greatest_n)
            ),
        };
        let most = ("most growth of the pull in a second", Of::Force, "N");
        let needed = RATE_PAST_80_PER_S * below_n.unwrap_or(breaking_n);
        Some(need(most, needed, None, None, says))
    }

    /// Says how far the machine must go.
    fn stroke(&self, greatest_n: Option<f64>, machine: &Machine) -> Option<Need> {
        let rope_m = STRETCHES * self.kind.rope_length_m?;
        let tails = self.makeup.pieces.iter().filter_map(|piece| piece.made.tail_m);
        let slips_m: f64 = tails.sum();
        let gives_m = greatest_n
            .zip(machine.stiffness_n_per_m)
            .map_or(0.0, |(greatest_n, stiffness)| greatest_n / stiffness);
        let length = |length_m: f64| Of::Length.print(length_m, self.style);
        let says = format!(
            "rope that stretches by 4 % until it breaks (from memory) {}, tails that slip through {}, what the machine gives {}, bedding in {} (our judgement)",
            length(rope_m),
            length(slips_m),
            length(gives_m),
            length(BEDS_M)
        );
        let needed_m = rope_m + slips_m + gives_m + BEDS_M;
        let enough = machine.stroke_m.map(|there_m| there_m >= needed_m);
        Some(need(
            ("stroke of the machine", Of::Length, "m"),
            needed_m,
            machine.stroke_m,
            enough,
            says,
        ))
    }

    fn free_length(&self) -> Option<Need> {
        let needed_m = free_length_m(self.makeup)?;
        let there_m = self.kind.rope_length_m;
        let says = "30 diameters of rope between its ends, so that these do not bear on one another (ISO 3108, from memory)";
        let enough = there_m.map(|there_m| there_m >= needed_m);
        Some(need(
            ("rope between the ends", Of::Length, "m"),
            needed_m,
            there_m,
            enough,
            says.into(),
        ))
    }

    fn stored(&self, greatest_n: f64) -> Option<Stored> {
        let (length_m, breaking_n) = self.kind.rope_length_m.zip(breaking_n(self.kind, self.makeup))?;
        let rope_j = estimated_stored_j(greatest_n, length_m, breaking_n);
        let machine = self.series.machine.stiffness_n_per_m;
        let machine_j = machine.map(|stiffness| stored_j(greatest_n, stiffness));
        let most_j = rope_j[1] + machine_j.unwrap_or(0.0);
        let mass = self
            .makeup
            .rope()
            .and_then(|(_, rope)| Some(rope.mass_kg_per_m.as_ref()?.value()));
        Some(Stored {
            rope_j,
            machine_j,
            most_j,
            recoil_m_per_s: mass.map(|mass| estimated_recoil_m_per_s(greatest_n, breaking_n, mass)),
            like_10_kg_from_m: falls_from_m(most_j, FALLS_KG),
        })
    }

    /// Says how each eye at an end of the makeup bears on the pin of the machine.
    fn pins(&self) -> Vec<Pin> {
        let count = self.makeup.pieces.len();
        let ends = [("upper", 0), ("lower", count.saturating_sub(1))];
        let pins = ends.into_iter().filter_map(|(which, at)| self.pin(which, at));
        pins.collect()
    }

    /// Gives how wide a thimble for a rope is inside, m; none where no book has one.
    fn inside_m(&self, rope_m: f64) -> Option<f64> {
        let mut widths = self.book.parts().filter_map(|part| match &part.body {
            Body::Thimble(thimble) if (thimble.rope_diameter_m - rope_m).abs() < 1e-6 => {
                Some(thimble.inside_width_m.as_ref()?.value())
            }
            _ => None,
        });
        widths.next()
    }

    fn pin(&self, which: &str, at: usize) -> Option<Pin> {
        let (piece, (_, rope)) = (self.makeup.pieces.get(at)?, self.makeup.rope()?);
        let rope_m = rope.diameter_m.value();
        let is_thimbled = match &piece.part.body {
            Body::End(end) if end.form == parts::EndForm::Eye => end.thimbled,
            Body::Grip(grip) if grip.form == parts::GripForm::Returns => false,
            Body::Clips(_) => false,
            Body::Thimble(_) => true,
            _ => return None,
        };
        let (suits, says) = on_pin(
            self.series.machine.pin_m,
            rope_m,
            is_thimbled,
            self.inside_m(rope_m),
            self.style,
        );
        Some(Pin {
            eye: format!("`{}` at the {which} end", piece.part.id),
            suits,
            says,
        })
    }
}

/// A soft eye bears on at least so many diameters of its rope (EN 13414-1).
const SOFT: f64 = 2.0;

/// Says whether a pin suits an eye; `inside_m` is how wide a thimble for the rope is inside.
fn on_pin(
    pin_m: Option<f64>,
    rope_m: f64,
    is_thimbled: bool,
    inside_m: Option<f64>,
    style: Style,
) -> (Option<bool>, String) {
    let length = |length_m: f64| Of::Length.print(length_m, style);
    let inside = inside_m.map(length);
    let (least_m, why, wide) = if is_thimbled {
        (
            rope_m,
            "a thimble over a pin thinner than the rope gives way, and the eye kinks",
            inside.map(|inside| format!(" and no more than the {inside} inside a thimble for this rope")),
        )
    } else {
        (
            SOFT * rope_m,
            "a soft eye over a thin pin kinks, and then the pin is tested and not the fitting (twice the rope's diameter at the least, EN 13414-1)",
            inside.map(|inside| format!(", best as wide as a thimble for this rope is inside, {inside}")),
        )
    };
    let takes = format!(
        "it takes a pin of at least {}{}: {why}",
        length(least_m),
        wide.unwrap_or_default()
    );
    let does_not_go_in = |pin_m: f64| is_thimbled && inside_m.is_some_and(|inside_m| pin_m > inside_m);
    match pin_m {
        None => (None, format!("the document does not say the pin; {takes}")),
        Some(pin_m) if does_not_go_in(pin_m) => (
            Some(false),
            format!("the pin of {} does not go in; {takes}", length(pin_m)),
        ),
        Some(pin_m) if pin_m < least_m * (1.0 - 1e-9) => (
            Some(false),
            format!("the pin of {} is too thin; {takes}", length(pin_m)),
        ),
        Some(pin_m) => (
            Some(true),
            format!("the pin of {} suits it; {takes}", length(pin_m)),
        ),
    }
}

fn need(
    (what, kind, unit): (&str, Of, &str),
    needed: f64,
    there: Option<f64>,
    enough: Option<bool>,
    says: String,
) -> Need {
    Need {
        what: what.into(),
        needed,
        there,
        unit: unit.into(),
        enough,
        says,
        kind,
    }
}

/// Says what to put between what is stored and people.
fn guard(stored: &Stored, style: Style) -> Vec<String> {
    let energy = |energy_j: f64| Of::Energy.print(energy_j, style);
    let fast = stored.recoil_m_per_s.map(|speed| {
        format!(
            "an end that lets go begins to come back at up to {speed:.0} m/s: faster than anybody steps aside"
        )
    });
    let told = [
        Some(format!(
            "up to {} come free at once, as of 10 kg that fall from {}; that all of it comes back is the safe bound (our judgement)",
            energy(stored.most_j),
            Of::Length.print(stored.like_10_kg_from_m, style)
        )),
        stored
            .machine_j
            .is_none()
            .then(|| "what the machine stores is not in that: its stiffness is not known".to_string()),
        fast,
        Some(
            "close the specimen in on all sides, both ends and what holds them included, with what stops that much at one place (shields: ISO 3108, as \
             told elsewhere; a guard: FAA AC 43.13-1B)"
                .to_string(),
        ),
        Some(
            "nobody in line with the pull, nor nearer than the rope is long and half as much again (common practice, no source); read force and travel \
             from behind the guard"
                .to_string(),
        ),
    ];
    told.into_iter().flatten().collect()
}
