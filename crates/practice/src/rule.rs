//! What a rule is, and the list of all of them.

use crate::facts::Facts;
use crate::finding::{Finding, Severity};
use crate::judgement::{JunctionJudgement, LineJudgement, PointJudgement};
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
    pub lines: &'a [LineJudgement],
    pub points: &'a [PointJudgement],
    pub junctions: &'a [JunctionJudgement],
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
        }
    }
}

/// Lists every rule, in the order in which findings on one subject are given.
pub fn rules() -> &'static [Rule] {
    crate::rules::ALL
}
