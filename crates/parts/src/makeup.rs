//! From a list of parts to what is wrong with it and to its mechanics.
//!
//! Conventions: SI; a makeup is read top to bottom, so what stands before its rope is its upper end.
//! Assumes: only rope stretches; eyes, clips and thimbles sit on the rope and add no length; what the rope turns
//! back adds no mass; an unknown length or mass counts as 0 and is listed.
//! Valid for: makeups with exactly one rope. Otherwise [`Mismatch`], and no mechanics.
//! Source: mechanics: rope length = line length - hardware, k = EA / rope length, EA of the line = k x line length.
//! Checked by: tests/main/makeup.rs.

use crate::fit::{same_size, size};
use crate::mismatch::Mismatch;
use crate::part::{Body, EndForm, GripForm, Makeup, Part, Piece, Rope};
use quantity::Kind;
use std::fmt;
use working::{Expression, Number, Source, sum};

/// Which end of the rope of a makeup.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// What stands before the rope.
    Upper,
    /// What stands after it.
    Lower,
}

impl Side {
    /// Both sides, upper first.
    pub const BOTH: [Side; 2] = [Side::Upper, Side::Lower];
}

impl fmt::Display for Side {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Side::Upper => "upper",
            Side::Lower => "lower",
        })
    }
}

impl Makeup {
    /// Gives the only rope with its part; none unless there is exactly one.
    pub fn rope(&self) -> Option<(&Part, &Rope)> {
        let part = &self.pieces.get(self.rope_at()?)?.part;
        Some((part, part.rope()?))
    }

    /// Gives the ids of its parts, from end to end.
    pub fn ids(&self) -> impl Iterator<Item = &str> {
        self.pieces.iter().map(|piece| piece.part.id.as_str())
    }

    /// Lists the pieces on one side of the rope, the one next to the rope first.
    pub fn pieces_at(&self, side: Side) -> Vec<&Piece> {
        let Some(at) = self.rope_at() else {
            return Vec::new();
        };
        let (before, after) = self.pieces.split_at(at);
        match side {
            Side::Upper => before.iter().rev().collect(),
            Side::Lower => after.iter().skip(1).collect(),
        }
    }

    /// Tells whether the eye at one end is made around a thimble: its own, or one that stands next to it.
    pub fn end_is_thimbled(&self, side: Side) -> bool {
        let pieces = self.pieces_at(side);
        let has_thimble = pieces
            .iter()
            .any(|piece| matches!(piece.part.body, Body::Thimble(_)));
        pieces.iter().any(|piece| match &piece.part.body {
            Body::End(end) => end.thimbled || (end.form == EndForm::Eye && has_thimble),
            Body::Clips(_) => has_thimble,
            Body::Grip(grip) => grip.form == GripForm::Returns && has_thimble,
            _ => false,
        })
    }

    /// Says everything that is wrong with the list of parts.
    pub fn mismatches(&self) -> Vec<Mismatch> {
        let ropes: Vec<String> = self
            .pieces
            .iter()
            .filter(|p| p.part.rope().is_some())
            .map(|p| p.part.id.clone())
            .collect();
        match (ropes.as_slice(), self.rope()) {
            ([], _) => vec![Mismatch::NoRope],
            (_, Some((part, rope))) => Side::BOTH
                .iter()
                .flat_map(|side| self.mismatches_at(*side, part, rope))
                .collect(),
            _ => vec![Mismatch::SeveralRopes(ropes)],
        }
    }

    fn mismatches_at(&self, side: Side, rope_part: &Part, rope: &Rope) -> Vec<Mismatch> {
        let pieces = self.pieces_at(side);
        let mut found: Vec<Mismatch> = pieces
            .iter()
            .filter_map(|piece| misfit(&piece.part, rope_part, rope))
            .collect();
        let holding: Vec<usize> = (0..pieces.len())
            .filter(|i| pieces.get(*i).is_some_and(|p| holds(&p.part)))
            .collect();
        let id = |i: &usize| {
            pieces
                .get(*i)
                .map(|piece| piece.part.id.clone())
                .unwrap_or_default()
        };
        match holding.as_slice() {
            // A button alone holds the rope; beyond another end it is a stop on the tail.
            [] if pieces.iter().any(|piece| is_stop(&piece.part)) => {}
            [] => found.push(Mismatch::NoEnd { side }),
            [end] => {
                let between = pieces
                    .iter()
                    .take(*end)
                    .filter(|piece| !sits_on_rope(&piece.part));
                found.extend(between.map(|piece| Mismatch::Between {
                    part: piece.part.id.clone(),
                    end: id(end),
                }));
            }
            several => found.push(Mismatch::SeveralEnds {
                side,
                parts: several.iter().map(id).collect(),
            }),
        }
        let eye = pieces.iter().any(|piece| makes_eye(&piece.part));
        let thimbles = pieces
            .iter()
            .filter(|piece| !eye && matches!(piece.part.body, Body::Thimble(_)));
        found.extend(thimbles.map(|piece| Mismatch::LooseThimble {
            part: piece.part.id.clone(),
        }));
        found
    }

    /// Adds up the lengths of the hardware; the ids of pieces whose length is not known, which count as 0.
    pub fn hardware_length_m(&self) -> (Number, Vec<String>) {
        let pieces = self
            .pieces
            .iter()
            .filter(|piece| piece.part.rope().is_none() && !sits_on_rope(&piece.part));
        tally("hardware length", "l_h", Kind::Length, pieces, |part| {
            part.length_m.as_ref()
        })
    }

    /// Adds up the mass of the hardware on one side; the ids of pieces whose mass is not known, which count as 0.
    pub fn hardware_mass_kg(&self, side: Side) -> (Number, Vec<String>) {
        let what = format!("hardware mass at the {side} end");
        tally(
            &what,
            "m_h",
            Kind::Mass,
            self.pieces_at(side).into_iter(),
            |part| part.mass_kg.as_ref(),
        )
    }

    /// Gives the length of rope in a line of this length, unloaded; none if no rope is left.
    pub fn rope_length_m(&self, line_length: &Number) -> Option<Number> {
        let (hardware, _) = self.hardware_length_m();
        let what = format!("rope length of {}", self.name);
        let source = Source::mechanics("a line is its rope and its hardware, end to end");
        let rope = Number::computed(what, "l_r", Kind::Length, line_length - &hardware, source);
        (self.rope().is_some() && rope.value() > 0.0).then_some(rope)
    }

    /// Gives the axial stiffness EA of the line, newtons: that of a rope as long as the line that stretches as much.
    ///
    /// None if the rope's stiffness is not known or no rope is left.
    pub fn line_stiffness_n(&self, line_length: &Number) -> Option<Number> {
        let (_, rope) = self.rope()?;
        let of_rope = rope.stiffness_n.as_ref()?;
        let rope_length = self.rope_length_m(line_length)?;
        let what = format!("axial stiffness of {}", self.name);
        let source = Source::mechanics(
            "only the rope stretches: EA of the line = EA of the rope x line length / rope length",
        );
        Some(Number::computed(
            what,
            "EA_l",
            Kind::Force,
            of_rope * line_length / &rope_length,
            source,
        ))
    }

    /// Gives the mass of the rope in a line of this length; none if it is not known or no rope is left.
    pub fn rope_mass_kg(&self, line_length: &Number) -> Option<Number> {
        let (_, rope) = self.rope()?;
        let per_length = rope.mass_kg_per_m.as_ref()?;
        let rope_length = self.rope_length_m(line_length)?;
        let what = format!("mass of the rope of {}", self.name);
        let source = Source::mechanics("mass per length times length; what turns back is not counted");
        Some(Number::computed(
            what,
            "m_r",
            Kind::Mass,
            per_length * &rope_length,
            source,
        ))
    }

    /// Adds up the mass of a line of this length; the ids of parts whose mass is not known, which count as 0.
    pub fn mass_of_line_kg(&self, line_length: &Number) -> (Number, Vec<String>) {
        let sides = Side::BOTH.map(|side| self.hardware_mass_kg(side));
        let mut terms: Vec<Expression> = sides.iter().map(|(mass, _)| mass.into()).collect();
        let mut unknown: Vec<String> = sides.iter().flat_map(|(_, unknown)| unknown.clone()).collect();
        match (self.rope_mass_kg(line_length), self.rope()) {
            (Some(mass), _) => terms.push(mass.into()),
            (None, Some((rope, _))) => unknown.push(rope.id.clone()),
            (None, None) => {}
        }
        let source = Source::mechanics("the sum of its parts");
        let what = format!("mass of {}", self.name);
        (
            Number::computed(what, "m_l", Kind::Mass, sum(terms), source),
            unknown,
        )
    }

    fn rope_at(&self) -> Option<usize> {
        let mut ropes =
            (0..self.pieces.len()).filter(|i| self.pieces.get(*i).is_some_and(|p| p.part.rope().is_some()));
        let first = ropes.next()?;
        ropes.next().is_none().then_some(first)
    }
}

fn misfit(part: &Part, rope_part: &Part, rope: &Rope) -> Option<Mismatch> {
    let refused = |why| Mismatch::Refused {
        part: part.id.clone(),
        rope: rope_part.id.clone(),
        why,
    };
    match &part.body {
        Body::End(end) => end.accepts.refusal(rope).map(refused),
        Body::Clips(clips) => clips.accepts.refusal(rope).map(refused),
        Body::Grip(grip) => {
            let why = grip.accepted(rope).err()?;
            Some(Mismatch::GripRefused {
                part: part.id.clone(),
                rope: rope_part.id.clone(),
                why,
            })
        }
        Body::Thimble(thimble) if !same_size(thimble.rope_diameter_m, rope.diameter_m.value()) => {
            Some(Mismatch::ThimbleSize {
                part: part.id.clone(),
                made_for: size(thimble.rope_diameter_m),
                rope: rope_part.id.clone(),
                given: size(rope.diameter_m.value()),
            })
        }
        _ => None,
    }
}

/// Tells whether a part holds the end of a rope by itself.
fn holds(part: &Part) -> bool {
    matches!(part.body, Body::End(_) | Body::Clips(_) | Body::Grip(_)) && !is_stop(part)
}

fn is_stop(part: &Part) -> bool {
    matches!(&part.body, Body::End(end) if end.form == EndForm::Stop)
}

fn makes_eye(part: &Part) -> bool {
    match &part.body {
        Body::End(end) => end.form == EndForm::Eye,
        Body::Clips(_) => true,
        Body::Grip(grip) => grip.form == GripForm::Returns,
        _ => false,
    }
}

/// Tells whether a part sits on the rope or in its eye, so that it adds no length of its own.
fn sits_on_rope(part: &Part) -> bool {
    match &part.body {
        Body::End(end) => end.form != EndForm::Body,
        Body::Clips(_) | Body::Thimble(_) => true,
        _ => false,
    }
}

fn tally<'a>(
    what: &str,
    symbol: &str,
    kind: Kind,
    pieces: impl Iterator<Item = &'a Piece>,
    of: impl Fn(&'a Part) -> Option<&'a Number>,
) -> (Number, Vec<String>) {
    let mut terms: Vec<Expression> = Vec::new();
    let mut unknown = Vec::new();
    for piece in pieces {
        match of(&piece.part) {
            Some(number) => terms.push(number.into()),
            None => unknown.push(piece.part.id.clone()),
        }
    }
    let number = if terms.is_empty() {
        Number::given(
            what,
            symbol,
            kind,
            0.0,
            Source::mechanics("no piece has one that is known"),
        )
    } else {
        Number::computed(
            what,
            symbol,
            kind,
            sum(terms),
            Source::mechanics("the sum over its pieces"),
        )
    };
    if unknown.is_empty() {
        return (number, unknown);
    }
    let remark = format!("not known and counted as 0: {}", unknown.join(", "));
    (number.remark(remark), unknown)
}
