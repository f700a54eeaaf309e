//! When a line comes taut, goes slack or parts within a step.
//!
//! Conventions: a share of a step is from 0 to 1.
//! Assumes: within a step that is true enough a line does not come and go more than once or twice, an eighth of the step apart.
//! Valid for: steps whose error was accepted.
//! Source: events located on the dense output: Hairer, Norsett and Wanner, II.6; the Illinois method (Dowell and Jarratt 1971, from
//! memory) within a bracket.
//! Checked by: tests/closed_forms.rs (a falling weight), tests/laws.rs.

use crate::moment::Hold;
use crate::run::{AT_ONCE_S, PARTS, Run};

/// What changes at a moment.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Change {
    /// A line comes taut, loose or slack.
    Hold(usize),
    /// Something parts, by its place in the list.
    Parts(usize),
}

/// Most tries to locate a change; eight are usual.
const TRIES: usize = 200;

impl Run<'_> {
    /// Finds what changes first within the step whose end was measured, and at which share of it.
    pub(crate) fn first_change(&mut self) -> Option<(f64, Change)> {
        let all = (0..self.holds.len())
            .map(Change::Hold)
            .chain((0..self.breaking.len()).map(Change::Parts));
        let may: Vec<(Change, bool)> = all
            .filter_map(|change| {
                let is_past = self.past(change) > 0.0;
                (is_past || self.may_pass(change)).then_some((change, is_past))
            })
            .collect();
        if may.is_empty() {
            return None;
        }
        self.fill_in();
        let mut first: Option<(f64, Change)> = None;
        for (change, is_past_at_end) in may {
            let by = first.map_or(1.0, |first| first.0);
            let past_at = |run: &mut Self, share: f64| run.past_at(share, change) > 0.0;
            let past = if is_past_at_end && (by == 1.0 || past_at(self, by)) {
                Some(by)
            } else {
                let shares = (1..2 * PARTS).map(|part| by * part as f64 / (2 * PARTS) as f64);
                shares.into_iter().find(|share| past_at(self, *share))
            };
            if let Some(share) = past {
                first = Some((self.locate(share, change), change));
            }
        }
        first
    }

    /// Says how far a change is past its moment: above 0 if it has come. Metres for a line, newtons for what parts.
    fn past(&self, change: Change) -> f64 {
        match change {
            Change::Hold(line) => {
                let of = &self.model.lines[line];
                if of.has_parted() {
                    return -1.0;
                }
                let stretch_m = self.moment.stretch_m[line];
                let is_damped = of.damping_n_s_per_m > 0.0 && !of.on_junction;
                let pulls_m = stretch_m + of.lead_s() * self.moment.rate_m_per_s[line];
                match self.holds[line] {
                    Hold::Slack => stretch_m,
                    Hold::Loose => pulls_m.max(-stretch_m),
                    Hold::Taut if is_damped => -pulls_m.min(stretch_m),
                    Hold::Taut => -stretch_m,
                }
            }
            Change::Parts(at) => self.signals.now_n[self.breaking[at].signal] - self.breaking[at].breaking_n,
        }
    }

    /// Gives how a line is after a change that has come: of two that may have, the one that is further past its moment (see `past`), since
    /// both are 0 but for rounding.
    pub(crate) fn after(&self, line: usize) -> Hold {
        let of = &self.model.lines[line];
        let stretch_m = self.moment.stretch_m[line];
        let pulls_m = stretch_m + of.lead_s() * self.moment.rate_m_per_s[line];
        let is_damped = of.damping_n_s_per_m > 0.0 && !of.on_junction;
        match self.holds[line] {
            Hold::Taut if is_damped && pulls_m < stretch_m => Hold::Loose,
            Hold::Loose if pulls_m < -stretch_m => Hold::Slack,
            Hold::Taut => Hold::Slack,
            Hold::Loose | Hold::Slack => Hold::Taut,
        }
    }

    fn past_at(&mut self, share: f64, change: Change) -> f64 {
        self.measure_between(share);
        self.past(change)
    }

    /// Whether a change may come and go within the step.
    fn may_pass(&self, change: Change) -> bool {
        let length_s = self.step.length_s;
        match change {
            Change::Hold(line) if self.model.lines[line].has_parted() => false,
            Change::Hold(line) if self.holds[line] == Hold::Taut => {
                self.signals.range_n(line, length_s)[0] < 0.0
            }
            Change::Hold(line) if self.holds[line] == Hold::Loose => true,
            // The tension of a slack line is 0 at both ends; what it would be is seen from its stretch.
            Change::Hold(line) => {
                let of = &self.model.lines[line];
                let [_, most_n] = self.signals.range_n(line, length_s);
                of.stiffness_n_per_m * self.moment.stretch_m[line] + most_n > 0.0
            }
            Change::Parts(at) => {
                let [_, most_n] = self.signals.range_n(self.breaking[at].signal, length_s);
                most_n > self.breaking[at].breaking_n
            }
        }
    }

    /// Finds when something changes that has changed at a share of the step.
    fn locate(&mut self, by: f64, change: Change) -> f64 {
        // Rounding may show what has just changed as changed back.
        let early = [0.0, 1e-3, 0.03].map(|share| share * by);
        let mut before = None;
        for share in early {
            let past = self.past_at(share, change);
            if past <= 0.0 {
                before = Some((share, past));
                break;
            }
        }
        let Some(mut before) = before else { return 0.0 };
        let mut after = (by, self.past_at(by, change));
        let near = (0.1 * AT_ONCE_S / self.step.length_s).max(1e-14);
        let (mut last_was_after, mut wide) = (None, f64::INFINITY);
        for try_ in 0..TRIES {
            let width = after.0 - before.0;
            if width <= near {
                break;
            }
            // A little past the line between both, so that the bracket closes from this side too; its middle where that does not help.
            let aim = before.0 - before.1 * width / (after.1 - before.1);
            let is_slow = try_ % 2 == 1 && width > 0.25 * wide;
            let share = if is_slow {
                before.0 + 0.5 * width
            } else {
                aim + 0.5 * near
            };
            if try_ % 2 == 1 {
                wide = width;
            }
            let share = share.clamp(before.0 + 0.25 * near, after.0 - 0.25 * near);
            let past = self.past_at(share, change);
            let is_after = past > 0.0;
            let (moved, other) = if is_after {
                (&mut after, &mut before)
            } else {
                (&mut before, &mut after)
            };
            *moved = (share, past);
            if last_was_after == Some(is_after) && !is_slow {
                other.1 *= 0.5;
            }
            last_was_after = Some(is_after);
        }
        after.0
    }
}
