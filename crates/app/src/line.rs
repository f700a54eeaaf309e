//! May I use this here? One makeup against one demand, without a rig file.

use crate::shelf::Shelf;
use parts::{Made, Makeup, Part, Piece};
use practice::{
    EndAt, Facts, Finding, GripTrial, LineFacts, LoadFacts, Practice, Role, Service, Trial, Under, cautions,
    judge,
};
use quantity::Kind;
use rig::VerdictWord;
use schemars::JsonSchema;
use serde::Serialize;
use std::sync::Arc;
use working::{Number, Record, Source};

/// The question: this makeup, under this demand, in this place.
#[derive(Debug, Clone, Default)]
pub struct LineQuestion {
    /// The parts from top to bottom.
    pub parts: Vec<String>,
    /// What the line has to carry, as in `520 lb`.
    pub demand: String,
    /// Who may be below: `public`, `crew` or `nobody`.
    pub under: String,
    /// The practice; none takes `static-overhead`, or `static-clear-below` with nobody below.
    pub practice: Option<String>,
    /// What the load does: `still`, `moving` or `people`; none means still.
    pub service: Option<String>,
    /// The factor on the demand when it moves.
    pub dynamic: Option<f64>,
    /// The diameter of the pin or bar that the eyes bear on, as in `1/2 in`.
    pub pin: Option<String>,
    /// Whether the derivation of the working load is wanted.
    pub working: bool,
}

/// The answer.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LineAnswer {
    /// The version of the program.
    pub plimsoll: String,
    /// The practice in force.
    pub practice: String,
    /// The verdict in one word.
    pub verdict: VerdictWord,
    /// What the line is held against, newtons.
    pub demand_n: Option<f64>,
    /// What it may carry, newtons; none if it has no working load.
    pub working_load_n: Option<f64>,
    /// The least maker's rating among its parts, newtons.
    pub rating_n: Option<f64>,
    /// The part that decides.
    pub governing_part: Option<String>,
    /// Demand over working load.
    #[serde(rename = "use")]
    pub utilisation: Option<f64>,
    /// What each part may carry at its place.
    pub parts: Vec<LinePart>,
    /// What the rules found, stops first.
    pub findings: Vec<Finding>,
    /// What was assumed because nobody said.
    pub defaults: Vec<String>,
    /// The usual cautions.
    pub cautions: Vec<String>,
    /// The derivation of the working load; only if asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub working: Option<Record>,
    /// The working load itself, for those who unfold it.
    #[serde(skip)]
    #[schemars(skip)]
    pub number: Option<Number>,
}

/// What one part may carry at its place.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LinePart {
    /// Its id.
    pub part: String,
    /// Where it stands.
    pub place: String,
    /// What it may carry there, newtons; none if it is unrated.
    pub working_load_n: Option<f64>,
    /// What its maker states it may carry there, newtons.
    pub rating_n: Option<f64>,
    /// Why it has no working load; empty if it has one.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub unrated: String,
}

/// Why the question has no answer: what is wrong with it, all at once.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}", .0.join("\n"))]
pub struct LineFailure(pub Vec<String>);

/// A greater dynamic factor is a slip of the pen.
const MOST_DYNAMIC: f64 = 1e6;

/// Answers whether a makeup may be used here. `today` is the day, as in `2026-03-14`.
pub fn line(shelf: &Shelf, question: &LineQuestion, today: Option<&str>) -> Result<LineAnswer, LineFailure> {
    let mut wrong = Vec::new();
    let asked = Asked::read(shelf, question, &mut wrong);
    let Some(asked) = asked.filter(|_| wrong.is_empty()) else {
        return Err(LineFailure(wrong));
    };
    let judgement = judge(&asked.facts(today));
    let findings: Vec<Finding> = judgement
        .findings
        .into_iter()
        .filter(|finding| !about_the_frame(finding))
        .collect();
    let judged = judgement.measured.lines.into_iter().next();
    let judged = judged.ok_or_else(|| LineFailure(vec!["the rules gave no judgement on the line".into()]))?;
    let value = |number: &Option<Number>| number.as_ref().map(Number::value);
    Ok(LineAnswer {
        plimsoll: env!("CARGO_PKG_VERSION").to_string(),
        practice: asked.practice.id.clone(),
        verdict: VerdictWord::of(&findings),
        demand_n: value(&judged.demand_n),
        working_load_n: value(&judged.load.working_load_n),
        rating_n: value(&judged.load.rating_n),
        governing_part: judged.load.governing_part.clone(),
        utilisation: value(&judged.utilisation),
        parts: parts(&judged),
        findings,
        defaults: asked.defaults,
        cautions: cautions().iter().map(ToString::to_string).collect(),
        working: judged
            .load
            .working_load_n
            .as_ref()
            .filter(|_| question.working)
            .map(Record::from),
        number: judged.load.working_load_n,
    })
}

/// Tells whether a finding is about the load or point that stand in for those nobody described.
fn about_the_frame(finding: &Finding) -> bool {
    finding.subject.starts_with("points.")
}

fn parts(judged: &practice::LineJudgement) -> Vec<LinePart> {
    let rated = judged.load.by_part.iter().map(|part| LinePart {
        part: part.part.clone(),
        place: part.place.clone(),
        working_load_n: Some(part.working_load_n.value()),
        rating_n: part.rating_n.as_ref().map(Number::value),
        unrated: String::new(),
    });
    let unrated = judged.load.unrated.iter().map(|part| LinePart {
        part: part.part.clone(),
        place: part.place.clone(),
        working_load_n: None,
        rating_n: None,
        unrated: part.why.clone(),
    });
    rated.chain(unrated).collect()
}

/// The question, read.
struct Asked {
    makeup: Arc<Makeup>,
    demand_n: Number,
    under: Under,
    service: Service,
    dynamic: Option<Number>,
    practice: Practice,
    defaults: Vec<String>,
}

impl Asked {
    fn read(shelf: &Shelf, question: &LineQuestion, wrong: &mut Vec<String>) -> Option<Asked> {
        let mut defaults = Vec::new();
        let quantity = |kind: Kind, text: &str, wrong: &mut Vec<String>| {
            document::quantity(kind, text)
                .map_err(|error| wrong.push(error.to_string()))
                .ok()
        };
        let demand_n = quantity(Kind::Force, &question.demand, wrong);
        let pin_m = question
            .pin
            .as_deref()
            .and_then(|pin| quantity(Kind::Length, pin, wrong));
        let makeup = makeup(shelf, &question.parts, pin_m, wrong);
        let under = word(&question.under, "who is below", &UNDER, wrong);
        let service = if let Some(service) = question.service.as_deref() {
            word(service, "what the load does", &SERVICE, wrong)
        } else {
            defaults.push("service `still`".into());
            Some(Service::Still)
        };
        let practice = practice(shelf, question, under?, &mut defaults, wrong);
        let dynamic = question.dynamic.unwrap_or(1.0);
        if !(1.0..=MOST_DYNAMIC).contains(&dynamic) {
            wrong.push(format!(
                "the dynamic factor is not from 1 up to {MOST_DYNAMIC}; 1.25 or more is usual for a load that moves"
            ));
        }
        if demand_n.is_some_and(|demand_n| demand_n <= 0.0) {
            wrong.push("the demand is not more than zero".into());
        }
        defaults.push("the line hangs plumb and is the only one that holds the load".into());
        let stated = |what: &str, symbol: &str, kind: Kind, value: f64| {
            Number::given(what, symbol, kind, value, Source::stated("the question"))
        };
        Some(Asked {
            makeup: Arc::new(makeup?),
            demand_n: stated("what the line has to carry", "T", Kind::Force, demand_n?),
            under: under?,
            service: service?,
            dynamic: question
                .dynamic
                .map(|factor| stated("dynamic factor", "k_dyn", Kind::Number, factor)),
            practice: practice?,
            defaults,
        })
    }

    /// Says the question in the words of the rules: one load on one plumb line.
    fn facts(&self, today: Option<&str>) -> Facts {
        let has_grip = self.makeup.pieces.iter().any(|piece| piece.part.grip().is_some());
        let fall = || Trial::Falls("it is the only line".into());
        let without_grips = has_grip
            .then(|| GripTrial {
                gone: vec![LINE.into()],
                outcome: fall(),
                without_secondary: None,
                on_the_way: None,
            })
            .into_iter()
            .collect();
        Facts {
            practice: self.practice.clone(),
            today: today.map(str::to_string),
            loads: vec![LoadFacts {
                name: LOAD.into(),
                weight_n: self.demand_n.clone(),
                weight_from: Some(practice::WeightFrom::Weighed),
                margin: None,
                under: self.under,
                service: self.service,
                dynamic: self.dynamic.clone(),
                height_m: 0.0,
                top_m: 0.0,
                may_move_m: None,
                accelerates_m_per_s2: None,
                caught: Vec::new(),
                slips: Vec::new(),
                disturbances: Vec::new(),
                included: None,
                moved_m: Some(0.0),
                turned_rad: Some(0.0),
                falls: None,
                unstable_as_drawn: false,
                free_motions: Vec::new(),
                line_count: 1,
                shares_by_length: false,
                shares_bounded: true,
                tilt_rad: Some(0.0),
                forces_away: Vec::new(),
                without_secondary: None,
                without_carrying: Vec::new(),
                without_grips,
            }],
            lines: vec![LineFacts {
                name: LINE.into(),
                makeup: Some(self.makeup.clone()),
                loads: vec![LOAD.into()],
                under: self.under,
                service: self.service,
                dynamic: self.dynamic.clone(),
                tension_n: Some(self.demand_n.clone()),
                worst_share_n: None,
                within_tolerances: false,
                set_by_adjustment: false,
                slip_range_n: None,
                slack: false,
                role: Role::Carries,
                lifts: true,
                from_horizontal_rad: std::f64::consts::FRAC_PI_2,
                ends: [
                    EndAt::Point("point".into()),
                    EndAt::Pick(LOAD.into(), "pick".into()),
                ],
                bends: Vec::new(),
            }],
            points: Vec::new(),
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
}

const LINE: &str = "line";
const LOAD: &str = "load";
const UNDER: [(&str, Under); 3] = [
    ("public", Under::Public),
    ("crew", Under::Crew),
    ("nobody", Under::Nobody),
];
const SERVICE: [(&str, Service); 3] = [
    ("still", Service::Still),
    ("moving", Service::Moving),
    ("people", Service::People),
];

fn word<T: Copy>(said: &str, what: &str, known: &[(&str, T)], wrong: &mut Vec<String>) -> Option<T> {
    let found = known
        .iter()
        .find(|(word, _)| *word == said)
        .map(|(_, value)| *value);
    if found.is_none() {
        let words: Vec<String> = known.iter().map(|(word, _)| format!("`{word}`")).collect();
        wrong.push(format!(
            "`{said}` does not say {what}: one of {}",
            words.join(", ")
        ));
    }
    found
}

fn practice(
    shelf: &Shelf,
    question: &LineQuestion,
    under: Under,
    defaults: &mut Vec<String>,
    wrong: &mut Vec<String>,
) -> Option<Practice> {
    let id = question.practice.clone().unwrap_or_else(|| {
        let id = if under == Under::Nobody {
            "static-clear-below"
        } else {
            "static-overhead"
        };
        defaults.push(format!("practice `{id}`"));
        id.to_string()
    });
    let found = shelf.practices.get(&id);
    if found.is_none() {
        wrong.push(format!(
            "there is no practice `{id}`; known: {}",
            shelf.practices().join(", ")
        ));
    }
    found
}

fn makeup(shelf: &Shelf, ids: &[String], pin_m: Option<f64>, wrong: &mut Vec<String>) -> Option<Makeup> {
    let part = |id: &String, wrong: &mut Vec<String>| -> Option<Arc<Part>> {
        let found = shelf.book.get(id);
        if found.is_none() {
            let near = shelf
                .book
                .nearest(id)
                .map(|near| format!("; did you mean `{near}`?"))
                .unwrap_or_default();
            wrong.push(format!("the parts book has no part `{id}`{near}"));
        }
        found
    };
    let made = Made {
        pin_diameter_m: pin_m,
        ..Made::default()
    };
    let pieces: Vec<Piece> = ids
        .iter()
        .filter_map(|id| {
            Some(Piece {
                part: part(id, wrong)?,
                made: made.clone(),
            })
        })
        .collect();
    if pieces.len() < ids.len() {
        return None;
    }
    let makeup = Makeup {
        name: LINE.into(),
        pieces,
        evidence: Vec::new(),
    };
    wrong.extend(
        makeup
            .mismatches()
            .iter()
            .filter(|m| m.is_no_makeup())
            .map(ToString::to_string),
    );
    Some(makeup)
}
