//! Parts as documents list them for a makeup, and the makeup they make.
//!
//! Conventions: SI; places in bytes of the text.
//! Assumes: nothing.
//! Valid for: lists of the form [`LISTED`].
//! Source: none.
//! Checked by: tests of `rig` and of the command line.

use crate::book::Book;
use crate::part::{Body, EndForm, GripForm, Made, Makeup, Part, Piece};
use document::{Key, Placed, Problem, Shape, Table, Takes, Value};
use quantity::Kind;
use std::ops::Range;
use std::sync::Arc;

const LENGTH: Takes = Takes::Quantity(Kind::Length);

/// What such a list takes: parts by id, or each with how it was made up.
pub const LISTED: Takes = Takes::List(&Takes::TextOr(&Takes::Table(&PIECE)));

static PIECE: Shape = Shape {
    name: "piece",
    doc: "A part together with how it was made up.",
    keys: &[
        Key::required("part", Takes::Text, "Its id in the parts book."),
        Key::optional("count", Takes::Count, "Clips: how many."),
        Key::optional("spacing", LENGTH, "Clips: from clip to clip."),
        Key::optional("turnback", LENGTH, "Clips: length of rope turned back."),
        Key::optional(
            "torque",
            Takes::Quantity(Kind::Torque),
            "Clips: what the nuts were set to.",
        ),
        Key::optional(
            "saddle_on",
            Takes::Word(&["live", "dead"]),
            "Clips: the side the saddles bear on.",
        ),
        Key::optional(
            "tail",
            LENGTH,
            "Adjustable grips: length of rope beyond the grip.",
        ),
        Key::optional(
            "pin",
            LENGTH,
            "Eyes: diameter of the pin they bear on, if it is not the next part's.",
        ),
    ],
};

/// The parts of a makeup, by id.
#[derive(Debug, Clone, PartialEq)]
pub struct Listed {
    /// The parts from top to bottom.
    pub pieces: Vec<ListedPiece>,
    /// Where the list stands.
    pub at: Range<usize>,
}

/// A part by id, and how it was made up.
#[derive(Debug, Clone, PartialEq)]
pub struct ListedPiece {
    /// Its id in the parts book.
    pub part: Placed<String>,
    /// How it was made up.
    pub made: Made,
}

/// Reads the list of parts under a key of the form [`LISTED`]; none where it is missing.
pub fn read_listed(t: &Table<'_>, key: &str) -> Option<Listed> {
    let list = t.value(key)?;
    let pieces: Vec<ListedPiece> = list.list().iter().filter_map(piece).collect();
    if pieces.is_empty() {
        list.problem(
            "the makeup has no parts",
            "list the parts from top to bottom; exactly one is a rope",
        );
    }
    Some(Listed {
        pieces,
        at: list.at(),
    })
}

fn piece(value: &Value<'_>) -> Option<ListedPiece> {
    let Some(t) = value.table() else {
        return Some(ListedPiece {
            part: value.text()?,
            made: Made::default(),
        });
    };
    let made = Made {
        count: t.count("count"),
        spacing_m: t.positive("spacing"),
        turnback_m: t.positive("turnback"),
        torque_n_m: t.positive("torque"),
        saddle_on_live: t.text("saddle_on").map(|word| word.value == "live"),
        tail_m: t.not_negative("tail"),
        pin_diameter_m: t.positive("pin"),
    };
    Some(ListedPiece {
        part: t.text("part")?,
        made,
    })
}

impl Listed {
    /// Looks the parts up and puts them together; none where a part is not in the book. What is wrong is added to the problems, but for what
    /// only makes a bad makeup, which the rules judge.
    pub fn made_of(&self, name: &str, book: &Book, problems: &mut Vec<Problem>) -> Option<Makeup> {
        let pieces = self.pieces.iter().filter_map(|piece| {
            let part = find(&piece.part, book, problems)?;
            problems.extend(keys_of_other_parts(piece, &part));
            Some(Piece {
                part,
                made: piece.made.clone(),
            })
        });
        let pieces: Vec<Piece> = pieces.collect();
        if pieces.len() < self.pieces.len() {
            return None;
        }
        let makeup = Makeup {
            name: name.to_string(),
            pieces,
            evidence: Vec::new(),
        };
        let wrong = makeup
            .mismatches()
            .into_iter()
            .filter(crate::mismatch::Mismatch::is_no_makeup);
        problems.extend(wrong.map(|says| Problem::new(self.at.clone(), format!("makeup `{name}`: {says}"))));
        Some(makeup)
    }
}

/// Finds a part by its id; where there is none, the nearest id is told.
pub fn find(id: &Placed<String>, book: &Book, problems: &mut Vec<Problem>) -> Option<Arc<Part>> {
    let found = book.get(&id.value);
    if found.is_none() {
        let problem = Problem::new(
            id.at.clone(),
            format!("the parts book has no part `{}`", id.value),
        );
        problems.push(match book.nearest(&id.value) {
            Some(near) => problem.instead(format!("did you mean `{near}`?")),
            None => problem.instead("`plimsoll parts WORD` searches the book"),
        });
    }
    found
}

/// Finds what is said of a piece but can not be said of its part, such as the count of a shackle. It would be dropped.
fn keys_of_other_parts(piece: &ListedPiece, part: &Part) -> Vec<Problem> {
    let made = &piece.made;
    let is_clips = matches!(part.body, Body::Clips(_));
    let is_eye = match &part.body {
        Body::End(end) => end.form == EndForm::Eye,
        Body::Grip(grip) => grip.form == GripForm::Returns,
        _ => is_clips,
    };
    let (of_clips, of_grips) = ("clips", "an adjustable grip");
    let told = [
        ("count", made.count.is_some(), is_clips, of_clips),
        ("spacing", made.spacing_m.is_some(), is_clips, of_clips),
        ("turnback", made.turnback_m.is_some(), is_clips, of_clips),
        ("torque", made.torque_n_m.is_some(), is_clips, of_clips),
        ("saddle_on", made.saddle_on_live.is_some(), is_clips, of_clips),
        ("tail", made.tail_m.is_some(), part.grip().is_some(), of_grips),
        ("pin", made.pin_diameter_m.is_some(), is_eye, "the eye of a rope"),
    ];
    let strange = told
        .iter()
        .filter(|(_, is_said, belongs, _)| *is_said && !belongs);
    strange
        .map(|(key, _, _, owner)| {
            let says = format!(
                "`{key}` is said of `{}`, which is a part of the kind {}",
                part.id,
                part.kind()
            );
            let instead = if *key == "count" {
                "`count` tells how many clips there are; name any other part as often as it is there".into()
            } else {
                format!("`{key}` can be said of {owner} only: write it there, or leave it out")
            };
            Problem::new(piece.part.at.clone(), says).instead(instead)
        })
        .collect()
}
