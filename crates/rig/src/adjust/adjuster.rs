//! How each line can be adjusted, and by how much at a time.
//!
//! Conventions: SI; what is taken up makes a line shorter, what is let out makes it longer.
//! Assumes: a turnbuckle has a right-hand and a left-hand thread, so one turn of its body moves its ends by two pitches.
//! Valid for: makeups with one adjuster or several; a turnbuckle goes before a grip, since it can be turned while it carries.
//! Source: the pitch of the thread from the parts book; the step of 1/4 in or 5 mm along a rope that slides through a grip is
//! our judgement, as fine as a mark on a rope is read.
//! Checked by: tests/main/adjust.rs.

use crate::document::{Adjust, Line};
use crate::model::LineModel;
use parts::{Body, Grip, Locking, Part, Piece, Turnbuckle};
use quantity::{Kind, Style};

/// What adjusts a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum By {
    /// A turnbuckle.
    Turnbuckle,
    /// An adjustable grip through which its rope slides.
    Grip,
    /// What the rig document says of it alone.
    Stated,
    /// Nothing.
    Nothing,
}

/// How a line can be adjusted.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Adjuster {
    pub(crate) by: By,
    /// The part, by id.
    pub(crate) part: Option<String>,
    /// One unit of adjustment, metres.
    pub(crate) unit_m: f64,
    /// How far its ends move in one turn of a turnbuckle, metres.
    pub(crate) per_turn_m: Option<f64>,
    /// What is left to take up and to let out, metres; none where that is not known.
    pub(crate) left_m: [Option<f64>; 2],
    /// Whether it may be set while the line carries.
    pub(crate) under_load: bool,
    /// What else in the line could adjust it, by id: a turnbuckle goes before a grip, and the first before others.
    pub(crate) others: Vec<String>,
    /// What to see to when all is set.
    pub(crate) afterwards: Vec<String>,
    /// What was assumed.
    pub(crate) assumed: Vec<String>,
}

/// One unit where nothing else is known, metres: 1/4 in.
const QUARTER_INCH_M: f64 = 0.25 * 0.0254;
/// One unit where nothing else is known and units are metric, metres.
const FIVE_MM_M: f64 = 5e-3;

/// Finds how a line can be adjusted.
pub(crate) fn adjuster(line: &Line, modelled: &LineModel, metric: bool) -> Adjuster {
    let nominal_m = if metric { FIVE_MM_M } else { QUARTER_INCH_M };
    let pieces = modelled.makeup.iter().flat_map(|makeup| &makeup.pieces);
    let is_adjuster =
        |piece: &&Piece| matches!(piece.part.body, Body::Turnbuckle(_)) || piece.part.grip().is_some();
    let of_this_line: Vec<&str> = pieces
        .clone()
        .filter(is_adjuster)
        .map(|piece| piece.part.id.as_str())
        .collect();
    let turnbuckle = pieces.clone().find_map(|piece| match &piece.part.body {
        Body::Turnbuckle(turnbuckle) => Some((piece.part.as_ref(), turnbuckle)),
        _ => None,
    });
    let grip = pieces.clone().find_map(|piece| Some((piece, piece.part.grip()?)));
    let mut found = match (turnbuckle, grip, &line.adjust) {
        (Some((part, turnbuckle)), ..) => of_turnbuckle(part, turnbuckle, nominal_m),
        (None, Some((piece, grip)), _) => of_grip(piece, grip, nominal_m),
        (None, None, Some(_)) => Adjuster {
            afterwards: vec![
                "lock it as its maker says, mark it, and look at the mark whenever the line is".into(),
            ],
            ..blank(By::Stated, nominal_m)
        },
        (None, None, None) => blank(By::Nothing, nominal_m),
    };
    let taken = of_this_line
        .iter()
        .position(|part| found.part.as_deref() == Some(part));
    let others = of_this_line.iter().enumerate().filter(|(i, _)| Some(*i) != taken);
    found.others = others.map(|(_, part)| (*part).to_string()).collect();
    if let Some(stated) = &line.adjust {
        found.take(stated);
    }
    found
}

fn blank(by: By, unit_m: f64) -> Adjuster {
    Adjuster {
        by,
        part: None,
        unit_m,
        per_turn_m: None,
        left_m: [None; 2],
        under_load: true,
        others: Vec::new(),
        afterwards: Vec::new(),
        assumed: Vec::new(),
    }
}

fn of_turnbuckle(part: &Part, turnbuckle: &Turnbuckle, nominal_m: f64) -> Adjuster {
    let pitch_m = turnbuckle.pitch_m.as_ref().map(working::Number::value);
    let per_turn_m = pitch_m.map(|pitch_m| 2.0 * pitch_m);
    let take_up_m = turnbuckle.take_up_m.as_ref().map(working::Number::value);
    let mut assumed = Vec::new();
    match &turnbuckle.pitch_m {
        Some(pitch) => assumed.push(format!(
            "one turn moves the ends of a turnbuckle by twice the pitch of its thread ({})",
            pitch.source()
        )),
        None => {
            assumed.push("a turnbuckle of a size without a known thread is set in the nominal step".into());
        }
    }
    if take_up_m.is_some() {
        assumed.push("a turnbuckle stands at half of its take-up".into());
    }
    Adjuster {
        part: Some(part.id.clone()),
        per_turn_m,
        left_m: [take_up_m.map(|take_up_m| 0.5 * take_up_m); 2],
        afterwards: vec![
            "see that its threads are fully engaged at both ends".into(),
            "secure it against turning by mousing wire through body and ends, or as its maker says; lock nuts alone only \
             where its maker takes them for that"
                .into(),
            "mark body and ends, so that a turn is seen".into(),
        ],
        assumed,
        ..blank(By::Turnbuckle, per_turn_m.unwrap_or(nominal_m))
    }
}

fn of_grip(piece: &Piece, grip: &Grip, nominal_m: f64) -> Adjuster {
    let least_tail_m = grip.least_tail_m.as_ref().map(working::Number::value);
    let tail_left_m = piece
        .made
        .tail_m
        .zip(least_tail_m)
        .map(|(tail, least)| (tail - least).max(0.0));
    let mut afterwards = Vec::new();
    if grip.locking == Locking::ScrewLocked {
        afterwards.push("set its screw to the torque of its maker".to_string());
    }
    afterwards.push(match least_tail_m {
        Some(least_m) => format!(
            "measure its tail: {} at the least",
            Kind::Length.print(least_m, Style::both())
        ),
        None => "measure its tail; its maker states no least one here".to_string(),
    });
    afterwards.push(
        "see that the stop on its tail is there, load it, and mark the rope where it leaves the grip".into(),
    );
    let mut assumed = Vec::new();
    if tail_left_m.is_none() {
        assumed.push("a grip whose tail or least tail is not stated is not let out".into());
    }
    Adjuster {
        part: Some(piece.part.id.clone()),
        left_m: [None, Some(tail_left_m.unwrap_or(0.0))],
        under_load: grip.adjust_under_load,
        afterwards,
        assumed,
        ..blank(By::Grip, nominal_m)
    }
}

impl Adjuster {
    /// Lets what the rig document states go before what the parts say.
    fn take(&mut self, stated: &Adjust) {
        let at_m = stated.at_m.unwrap_or(0.5 * stated.travel_m);
        let out_m = stated.travel_m - at_m;
        self.left_m = match (self.by, self.left_m) {
            // No travel lets a grip go beyond its least tail.
            (By::Grip, [_, Some(tail_left_m)]) => [Some(at_m), Some(out_m.min(tail_left_m))],
            _ => [Some(at_m), Some(out_m)],
        };
        self.assumed.retain(|said| !said.contains("half of its take-up"));
        if stated.at_m.is_none() {
            self.assumed.push("`adjust` stands at half of its travel".into());
        }
        if let Some(step_m) = stated.step_m {
            self.unit_m = step_m;
        }
    }

    /// Tells whether the line can be adjusted at all.
    pub(crate) fn is_there(&self) -> bool {
        self.by != By::Nothing
    }

    /// Gives how many whole units can be let out (as a number below zero) and taken up; no more than `most` either way.
    pub(crate) fn range(&self, most: i32) -> [i32; 2] {
        let whole = |left_m: Option<f64>| {
            left_m.map_or(most, |left_m| {
                ((left_m / self.unit_m + 1e-6).floor() as i32).clamp(0, most)
            })
        };
        [-whole(self.left_m[1]), whole(self.left_m[0])]
    }
}
