//! What secondary lines catch, in the words of the rules.
//!
//! Conventions: SI.
//! Assumes: all lines that carry a load let go at once, those with adjustable grips among them; it is followed without damping, at the
//! stated stiffness and a fifth more, which catches harder.
//! Valid for: loads on which secondary lines bear; of several loads on the same lines all fall together.
//! Source: docs/theory/motion.md; free fall h = g t² / 2.
//! Checked by: tests/main/in_time.rs.

use crate::defaults::Defaults;
use crate::letgo::answer::{LetGoCase, Outcome};
use crate::letgo::case::case;
use crate::letgo::event::{Event, What};
use crate::letgo::on_the_way::on_the_way;
use crate::letgo::run::{Ran, run_proved};
use crate::letgo::scene::{Scenery, Standing, Ways};
use motion::GRAVITY_M_PER_S2;
use practice::{Catch, Facts, LoadFacts, OnTheWay, PeakOf, Role};
use quantity::Kind;
use working::{Number, Source};

/// A catch is over after this, seconds.
const CATCH_S: f64 = 2.5;

/// Says of every load with secondary lines how these catch it.
pub(crate) fn follow_catches(facts: &mut Facts, standing: Standing<'_>) {
    let asked: Vec<usize> = (0..facts.loads.len())
        .filter(|load| lines_of(facts, &facts.loads[*load], true).next().is_some())
        .collect();
    if asked.is_empty() {
        return;
    }
    let scenery = Scenery::new(
        standing,
        (Ways::Undamped, Some(CATCH_S)),
        &mut Defaults::default(),
    );
    for index in asked {
        let load = &facts.loads[index];
        let by: Vec<String> = lines_of(facts, load, true).map(str::to_string).collect();
        let gone: Vec<String> = lines_of(facts, load, false).map(str::to_string).collect();
        if gone.is_empty() || load.falls.is_some() {
            continue;
        }
        let caught = match &scenery {
            Ok(scenery) => catch(scenery, load, gone, by),
            Err(error) => unknown(gone, by, error.to_string()),
        };
        facts.loads[index].caught = Some(caught);
    }
}

/// Lists the lines that bear on a load: the secondary ones, or the others.
fn lines_of<'a>(facts: &'a Facts, load: &'a LoadFacts, secondary: bool) -> impl Iterator<Item = &'a str> {
    let bear = facts.lines.iter().filter(|line| line.loads.contains(&load.name));
    bear.filter(move |line| (line.role == Role::Secondary) == secondary)
        .map(|line| line.name.as_str())
}

fn catch(scenery: &Scenery<'_>, load: &LoadFacts, gone: Vec<String>, by: Vec<String>) -> Catch {
    let model = scenery.plain.model;
    let event = Event {
        what: What::Grips,
        parts: Vec::new(),
        lines: gone
            .iter()
            .filter_map(|name| model.lines.get_index_of(name))
            .collect(),
        frees: Vec::new(),
        longer_m: None,
        falls: None,
    };
    let ran: Vec<Ran> = scenery
        .ways
        .iter()
        .map(|way| run_proved(scenery, &event, *way))
        .collect();
    let hardest = |ran: &Ran| {
        let peaks = ran
            .followed()
            .and_then(|followed| followed.motion.as_ref())
            .map(|motion| &motion.lines);
        peaks
            .into_iter()
            .flatten()
            .map(|peak| peak.force_n)
            .fold(0.0, f64::max)
    };
    let Some(worst) = ran.iter().max_by(|a, b| hardest(a).total_cmp(&hardest(b))) else {
        return unknown(gone, by, "nothing was followed".into());
    };
    let told = case(scenery, &event, &ran, worst);
    if told
        .falls
        .iter()
        .any(|path| path.ends_with(&format!(".{}", load.name)))
    {
        let falls = Some(
            worst
                .followed()
                .map(|followed| followed.why.clone())
                .unwrap_or_default(),
        );
        return Catch {
            falls,
            ..unknown(gone, by, String::new())
        };
    }
    if told.outcome == Outcome::NotKnown {
        return unknown(gone, by, told.says);
    }
    caught(scenery, load, worst, &told, gone, by)
}

fn caught(
    scenery: &Scenery<'_>,
    load: &LoadFacts,
    worst: &Ran,
    told: &LetGoCase,
    gone: Vec<String>,
    by: Vec<String>,
) -> Catch {
    let model = scenery.plain.model;
    let way = on_the_way(scenery.plain, told, &gone, &load.name);
    let peak_of = |name: &String| {
        let peak = way
            .peaks
            .iter()
            .find(|peak| peak.of == PeakOf::Line && peak.name == *name);
        peak.map_or(0.0, |peak| peak.peak_n.value())
    };
    let hardest = by
        .iter()
        .max_by(|a, b| peak_of(a).total_cmp(&peak_of(b)))
        .cloned()
        .unwrap_or_default();
    let starts = by.iter().filter_map(|name| {
        let line = model.lines.get_index_of(name)?;
        worst.followed()?.motion.as_ref()?.pulls_from_s[line]
    });
    let from_s = starts.fold(f64::INFINITY, f64::min);
    let from_s = if from_s.is_finite() { from_s } else { 0.0 };
    let law = || Source::mechanics("followed in time until the first secondary line pulls: h = g t² / 2");
    let given = |what: String, symbol: &str, kind: Kind, value: f64, source: Source| {
        Number::given(what, symbol, kind, value, source)
    };
    let fall_m = 0.5 * GRAVITY_M_PER_S2 * from_s * from_s;
    let line = model.lines.get(&hardest);
    let stiffness = line.map_or(0.0, |line| line.stiffness_n.value() / line.length_m.value());
    Catch {
        falls: None,
        fall_m: given(
            format!("fall of `{}` before a secondary line pulls", load.name),
            "h",
            Kind::Length,
            fall_m,
            law(),
        ),
        stiffness_n_per_m: given(
            format!("stiffness of `{hardest}`"),
            "k",
            Kind::Stiffness,
            stiffness,
            Source::mechanics("EA over unloaded length"),
        ),
        energy_j: given(
            format!("energy that `{}` brings until it is lowest", load.name),
            "E",
            Kind::Energy,
            load.weight_n.value() * way.drops_m,
            Source::mechanics("weight times the greatest drop of its centre"),
        ),
        hardest,
        on_the_way: way,
        gone,
        by,
    }
}

/// A catch of which nothing is known but why.
fn unknown(gone: Vec<String>, by: Vec<String>, why: String) -> Catch {
    let none = |kind: Kind| Number::given("not found", "-", kind, 0.0, Source::mechanics("not found"));
    Catch {
        gone,
        by,
        falls: None,
        fall_m: none(Kind::Length),
        stiffness_n_per_m: none(Kind::Stiffness),
        hardest: String::new(),
        energy_j: none(Kind::Energy),
        on_the_way: OnTheWay {
            moves_m: 0.0,
            drops_m: 0.0,
            tilt_rad: 0.0,
            peaks: Vec::new(),
            parts: Vec::new(),
            not_found: Some(why),
            at_worst: String::new(),
        },
    }
}
