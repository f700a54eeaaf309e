//! What a rule is, and the list of all of them.

use crate::facts::{Facts, LineFacts, PipeFacts};
use crate::finding::{Finding, Severity};
use crate::judgement::{LineJudgement, Measured, PipeJudgement};
use crate::working_load::{only_rope, place};
use parts::{Makeup, Piece, Rope};
use working::{Seen, Source};

/// One rule: what it says, where it comes from, and how it is judged.
#[derive(Debug)]
pub struct Rule {
    /// Its name in findings.
    pub id: &'static str,
    /// What it is about, in a few words.
    pub title: &'static str,
    /// What it says, in our own words.
    pub statement: &'static str,
    /// Where it comes from.
    pub sources: &'static [SourceRef],
    /// The worst finding that it can give.
    pub severity: Severity,
    /// Whether it can be asked of a makeup alone, without a rig.
    pub needs_rig: bool,
    /// Finds what it has to say.
    pub(crate) judge: fn(&Judged<'_>) -> Vec<Finding>,
}

/// Where a rule comes from.
#[derive(Debug, Clone, Copy)]
pub enum SourceRef {
    /// A document of the bibliography: its key, the place in it, and how far it was checked.
    Cited(&'static str, &'static str, Seen),
    /// A source in words, and how far it was checked.
    Plain(&'static str, Seen),
}

impl SourceRef {
    /// Gives the source in full.
    pub fn source(self) -> Source {
        match self {
            SourceRef::Cited(key, place, seen) => Source::cited(key, place, seen),
            SourceRef::Plain(says, seen) => Source::plain(says, seen),
        }
    }
}

/// A habit of the trade without a document.
pub(crate) const COMMON_PRACTICE: SourceRef =
    SourceRef::Plain("common practice, no source", Seen::CommonPractice);

/// What a rule is shown: the facts and the loads worked out from them, in the same order.
pub(crate) struct Judged<'a> {
    pub facts: &'a Facts,
    pub measured: &'a Measured,
}

impl<'a> Judged<'a> {
    /// Lists the lines with what was worked out for them.
    pub fn lines(&self) -> impl Iterator<Item = (&'a LineFacts, &'a LineJudgement)> + use<'a> {
        self.facts.lines.iter().zip(&self.measured.lines)
    }

    /// Lists the pipes with what was worked out for them.
    pub fn pipes(&self) -> impl Iterator<Item = (&'a PipeFacts, &'a PipeJudgement)> + use<'a> {
        self.facts.pipes.iter().zip(&self.measured.pipes)
    }

    /// Lists the makeups in use, each once, with its rope if it has exactly one.
    pub fn makeups(&self) -> Vec<Made<'a>> {
        let mut found: Vec<Made<'a>> = Vec::new();
        for makeup in self.facts.lines.iter().filter_map(|line| line.makeup.as_deref()) {
            if found.iter().all(|known| known.makeup.name != makeup.name) {
                found.push(Made {
                    makeup,
                    rope_at: only_rope(makeup),
                });
            }
        }
        found
    }
}

/// A makeup with the place of its rope.
pub(crate) struct Made<'a> {
    pub makeup: &'a Makeup,
    pub rope_at: Option<usize>,
}

impl<'a> Made<'a> {
    /// Gives the rope, if there is exactly one.
    pub fn rope(&self) -> Option<&'a Rope> {
        self.makeup.pieces.get(self.rope_at?)?.part.rope()
    }

    /// Lists the pieces with their places; nothing without exactly one rope.
    pub fn pieces(&self) -> impl Iterator<Item = (usize, &'static str, &'a Piece)> + use<'a> {
        let rope_at = self.rope_at;
        let pieces = self.makeup.pieces.iter().enumerate();
        pieces.filter_map(move |(index, piece)| Some((index, place(index, rope_at?), piece)))
    }

    /// Names it as the subject of a finding.
    pub fn subject(&self) -> String {
        format!("makeups.{}", self.makeup.name)
    }
}

impl Rule {
    /// Names its sources in one text.
    pub fn source(&self) -> String {
        let each: Vec<String> = self
            .sources
            .iter()
            .map(|source| source.source().to_string())
            .collect();
        each.join("; ")
    }

    pub(crate) fn stop(
        &self,
        subject: impl Into<String>,
        says: impl Into<String>,
        mend: impl Into<String>,
    ) -> Finding {
        self.finding(Severity::Stop, subject.into(), says.into(), mend.into())
    }

    pub(crate) fn caution(
        &self,
        subject: impl Into<String>,
        says: impl Into<String>,
        mend: impl Into<String>,
    ) -> Finding {
        self.finding(Severity::Caution, subject.into(), says.into(), mend.into())
    }

    pub(crate) fn note(
        &self,
        subject: impl Into<String>,
        says: impl Into<String>,
        mend: impl Into<String>,
    ) -> Finding {
        self.finding(Severity::Note, subject.into(), says.into(), mend.into())
    }

    fn finding(&self, severity: Severity, subject: String, says: String, mend: String) -> Finding {
        Finding {
            rule: self.id.to_string(),
            severity,
            subject,
            says,
            mend,
            source: self.source(),
            case: None,
            size: None,
            part: String::new(),
        }
    }
}

/// Lists every rule, in the order in which findings on one subject are given.
pub fn rules() -> &'static [&'static Rule] {
    &crate::rules::ALL
}
