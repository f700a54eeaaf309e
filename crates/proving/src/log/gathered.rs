//! Rows put in order, and what was mended.
//!
//! Conventions: times from the first reading, s; forces N; travel m.
//! Assumes: a row that stands twice says nothing new; a clock that is set back goes on where it was.
//! Valid for: any rows.
//! Source: our judgement.
//! Checked by: tests/logs.rs.

use crate::log::clock::DAY_S;
use crate::log::error::LogError;
use crate::log::read::{Log, Reading};
use crate::log::rows::{Odd, Piece, Timed};
use crate::log::times::Times;
use crate::log::units::{Measure, Unit};

/// With fewer readings nothing can be told.
const LEAST_ROWS: usize = 8;
/// A step longer than so many is a gap.
const GAP: f64 = 5.0;
/// Times that are nearer than this are the same.
const SAME_S: f64 = 1e-9;

/// Travel goes if it goes this share of all its way until the force is greatest.
const GOES: f32 = 0.1;

/// So many readings of nothing but nines are no chance.
const LEAST_NINES: usize = 3;
/// They stand above what was read before, of which this share would be nearer.
const NINES_FROM: f32 = 0.85;

/// Tells whether a number has three digits or more, and nothing but nines.
fn is_nines(value: f64) -> bool {
    let text = format!("{value:.5}");
    let digits = text.trim_end_matches('0').replace('.', "");
    let digits = digits.trim_start_matches('0');
    digits.len() >= 3 && digits.bytes().all(|byte| byte == b'9')
}

/// All rows, as they are gathered.
pub(crate) struct Gathered {
    times: Times,
    force_n: Vec<f32>,
    travel_m: Vec<f32>,
    over: Vec<usize>,
    resets: Vec<usize>,
    first_s: Option<f64>,
    /// What is added to what the clock says.
    offset_s: f64,
    /// The middle of the last steps, roughly.
    step_s: f64,
    doubled: usize,
    back: usize,
    midnights: usize,
    lines: usize,
    missing: Odd,
    short: Odd,
    words: Odd,
    moved: Odd,
    other_word: Option<String>,
    clock: ClockRuns,
}

/// How the clock of a log runs.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct ClockRuns {
    /// Whether several readings have one time, since it is coarser than they are.
    pub(crate) is_coarse: bool,
    /// Whether it runs down: the newest reading stands first.
    pub(crate) is_back: bool,
}

/// One row on its way in.
#[derive(Clone, Copy)]
struct Row {
    said_s: f64,
    force_n: f32,
    travel_m: Option<f32>,
    is_over: bool,
    /// Whether its time is of a day that is not told.
    is_of_day: bool,
}

impl Gathered {
    pub(crate) fn new(clock: ClockRuns) -> Self {
        Gathered {
            times: Times::default(),
            force_n: Vec::new(),
            travel_m: Vec::new(),
            over: Vec::new(),
            resets: Vec::new(),
            first_s: None,
            offset_s: 0.0,
            step_s: 0.0,
            doubled: 0,
            back: 0,
            midnights: 0,
            lines: 0,
            missing: Odd::default(),
            short: Odd::default(),
            words: Odd::default(),
            moved: Odd::default(),
            other_word: None,
            clock,
        }
    }

    pub(crate) fn add_all(&mut self, pieces: Vec<Piece>, timed: Timed) {
        for piece in pieces {
            self.add(piece, timed);
        }
    }

    fn add(&mut self, piece: Piece, timed: Timed) {
        let is_of_day = matches!(timed, Timed::Clock { .. }) && !piece.has_day;
        let is_rate = matches!(timed, Timed::Rate(_));
        let mut over = piece.over.iter().copied().peekable();
        let mut last = self.times.last();
        for (at, (time_s, force_n)) in piece.time_s.iter().zip(&piece.force_n).enumerate() {
            let is_over = over.next_if_eq(&at).is_some();
            let force_n = if is_over {
                self.force_n.last().copied()
            } else {
                None
            }
            .unwrap_or(*force_n);
            let row = Row {
                said_s: if self.clock.is_back { -time_s } else { *time_s },
                force_n,
                travel_m: piece.travel_m.get(at).copied(),
                is_over,
                is_of_day,
            };
            let now_s = if is_rate {
                Some(last.map_or(0.0, |last_s| last_s + time_s))
            } else {
                self.now_s(row, last)
            };
            let Some(now_s) = now_s else { continue };
            if is_over {
                self.over.push(self.times.len());
            }
            self.times.push(now_s);
            last = Some(now_s);
            self.force_n.push(force_n);
            self.travel_m.extend(row.travel_m);
        }
        let lines = self.lines;
        self.missing.add(piece.missing, lines);
        self.short.add(piece.short, lines);
        self.words.add(piece.words, lines);
        self.moved.add(piece.moved, lines);
        self.lines += piece.lines;
        self.other_word = self.other_word.take().or(piece.other_word);
    }

    /// Gives the time of a row from the first, s; none for one that stands there already.
    #[inline]
    fn now_s(&mut self, row: Row, last: Option<f64>) -> Option<f64> {
        let first_s = *self.first_s.get_or_insert(row.said_s);
        let mut now_s = row.said_s - first_s + self.offset_s;
        let Some(last_s) = last else { return Some(now_s) };
        if row.is_of_day {
            now_s = self.past_midnight(now_s, last_s);
        }
        if now_s > last_s + SAME_S {
            let step_s = now_s - last_s;
            self.step_s = if self.step_s == 0.0 {
                step_s
            } else {
                self.step_s + 0.05 * (step_s.min(2.0 * self.step_s) - self.step_s)
            };
            return Some(now_s);
        }
        self.not_later(row, now_s, last_s)
    }

    /// A clock of the day begins anew at midnight, and one of half a day at noon.
    fn past_midnight(&mut self, mut now_s: f64, last_s: f64) -> f64 {
        if now_s < last_s - 0.49 * DAY_S {
            self.midnights += 1;
            while now_s < last_s - 0.25 * DAY_S {
                self.offset_s += 0.5 * DAY_S;
                now_s += 0.5 * DAY_S;
            }
        }
        now_s
    }

    /// Of a row that is not later than the one before it: it stands twice, it is a little early, or the clock was set.
    fn not_later(&mut self, row: Row, now_s: f64, last_s: f64) -> Option<f64> {
        let is_same = (now_s - last_s).abs() <= SAME_S;
        let same_values =
            self.force_n.last() == Some(&row.force_n) && self.travel_m.last().copied() == row.travel_m;
        let stands_twice = if is_same {
            same_values && !self.clock.is_coarse
        } else {
            self.stands_before(row, now_s)
        };
        if stands_twice && !row.is_over {
            self.doubled += 1;
            return None;
        }
        if is_same {
            return Some(last_s);
        }
        if now_s > last_s - 3.0 * self.step_s.max(SAME_S) {
            self.back += 1;
            return Some(last_s);
        }
        // Nobody knows how long it stood.
        self.resets.push(self.times.len());
        self.offset_s += last_s + self.step_s - now_s;
        Some(last_s + self.step_s)
    }

    /// Whether a row of this time and these values stands further up.
    fn stands_before(&self, row: Row, now_s: f64) -> bool {
        let near_s = 0.01 * self.step_s;
        let since_reset = self.resets.last().copied().unwrap_or(0);
        let low = self.times.first_from(now_s - near_s).max(since_reset);
        low < self.times.len()
            && (self.times.at(low) - now_s).abs() <= near_s
            && self.force_n[low] == row.force_n
            && self.travel_m.get(low).copied() == row.travel_m
    }

    /// Makes a log of it, and says what was mended.
    pub(crate) fn log(
        mut self,
        mut reading: Reading,
        force_unit: &str,
        is_cut_off: bool,
    ) -> Result<Log, LogError> {
        if let Some(other) = self.other_word.take() {
            return Err(LogError::MixedUnits {
                first: force_unit.to_string(),
                other,
            });
        }
        if let Some((line, text)) = self.moved.first.take() {
            let line = reading.heading_lines + line;
            return Err(LogError::ColumnsMove { line, text });
        }
        let rows = self.times.len();
        if rows < LEAST_ROWS {
            return Err(if rows == 0 {
                LogError::NoRows
            } else {
                LogError::TooFew {
                    rows,
                    needed: LEAST_ROWS,
                }
            });
        }
        if self.clock.is_back {
            self.turn_round();
            reading
                .repairs
                .push("the newest reading stands first: readings are turned round".into());
        }
        if self.clock.is_coarse {
            self.times = spread(&self.times);
            reading.repairs.push(
                "the clock is coarser than the readings: those of one time are spread evenly until the next"
                    .into(),
            );
        }
        if self.force_n.iter().all(|force_n| *force_n == self.force_n[0]) {
            return Err(LogError::ForceStands);
        }
        self.leave_nines_out(force_unit, &mut reading);
        let middle_s = middle_step_s(&self.times);
        let is_gap = |at: &usize| self.times.at(*at) - self.times.at(*at - 1) > GAP * middle_s;
        let gaps: Vec<usize> = (1..rows).filter(is_gap).collect();
        let step_s = mean_step_s(&self.times, &gaps);
        // Written so that what is no number is none.
        let goes_on = step_s > 0.0;
        if !goes_on {
            return Err(LogError::TimeStands);
        }
        self.fill_travel(&mut reading);
        self.say(&mut reading, &gaps);
        let mut after_gap: Vec<usize> = gaps.into_iter().chain(self.resets.iter().copied()).collect();
        after_gap.sort_unstable();
        after_gap.dedup();
        if pulls_negative(&self.force_n) {
            for force_n in &mut self.force_n {
                *force_n = -*force_n;
            }
            reading
                .repairs
                .push("pull is negative in the log: forces are turned round".into());
        }
        self.turn_travel_round(&mut reading);
        reading.rows = rows;
        reading.rate_hz = 1.0 / step_s;
        Ok(Log {
            times: self.times,
            force_n: self.force_n,
            travel_m: self.travel_m,
            over: self.over,
            after_gap,
            is_cut_off,
            reading,
        })
    }

    /// Puts the last reading first.
    fn turn_round(&mut self) {
        let rows = self.times.len();
        let last_s = self.times.last().unwrap_or(0.0);
        let mut turned = Times::default();
        for at in (0..rows).rev() {
            turned.push(last_s - self.times.at(at));
        }
        self.times = turned;
        self.force_n.reverse();
        self.travel_m.reverse();
        let turn = |places: &mut Vec<usize>, from: usize| {
            for at in places.iter_mut() {
                *at = from - *at;
            }
            places.reverse();
        };
        turn(&mut self.over, rows.saturating_sub(1));
        for at in &self.over {
            // What is past the range is at least what it was before.
            self.force_n[*at] = self.force_n[at.saturating_sub(1)];
        }
        // What was before a reading is after it.
        turn(&mut self.resets, rows);
    }

    /// Gives where the force is greatest but for one reading or two that stand out.
    fn top(&self) -> usize {
        let least_of_three = |at: usize| {
            let beside = &self.force_n[at.saturating_sub(1)..(at + 2).min(self.force_n.len())];
            beside.iter().copied().fold(f32::INFINITY, f32::min)
        };
        let each = (0..self.force_n.len()).map(|at| (at, least_of_three(at)));
        each.fold(
            (0, f32::NEG_INFINITY),
            |top, next| {
                if next.1 > top.1 { next } else { top }
            },
        )
        .0
    }

    /// Turns travel round that runs down as the force grows.
    fn turn_travel_round(&mut self, reading: &mut Reading) {
        let ends = |of: &[f32]| {
            of.iter()
                .fold((f32::INFINITY, f32::NEG_INFINITY), |(least, most), travel_m| {
                    (least.min(*travel_m), most.max(*travel_m))
                })
        };
        let Some(first_m) = self.travel_m.first() else {
            return;
        };
        let (least_m, most_m) = ends(&self.travel_m);
        // Scatter of travel that stands is none.
        let least_way_m = GOES * (most_m - least_m);
        if *first_m - least_m <= 0.5 * least_way_m {
            return;
        }
        let until_top = &self.travel_m[..=self.top()];
        let went_m = until_top.last().copied().unwrap_or(*first_m) - first_m;
        let (own_least_m, own_most_m) = ends(until_top);
        let own_m = own_most_m - own_least_m;
        if own_m <= least_way_m || went_m >= -0.5 * own_m {
            return;
        }
        for travel_m in &mut self.travel_m {
            *travel_m = -*travel_m;
        }
        reading
            .repairs
            .push("travel runs down as the force grows: it is turned round".into());
    }

    /// Marks readings of nothing but nines that no force leads up to as past the range: some instruments write that.
    fn leave_nines_out(&mut self, force_unit: &str, reading: &mut Reading) {
        let Some(unit) = Unit::read(force_unit, Measure::Force) else {
            return;
        };
        let size = |force_n: f32| force_n.abs();
        let most_n = self.force_n.iter().copied().map(size).fold(0.0, f32::max);
        if !is_nines(f64::from(most_n) / unit.factor) {
            return;
        }
        let places: Vec<usize> = (0..self.force_n.len())
            .filter(|at| size(self.force_n[*at]) >= most_n)
            .collect();
        let jumps = |at: &usize| *at > 0 && size(self.force_n[at - 1]) < NINES_FROM * most_n;
        let first_jumps = places.first().is_some_and(jumps);
        if places.len() < LEAST_NINES || !first_jumps {
            return;
        }
        reading.repairs.push(format!(
            "{} readings of nothing but nines, up to which no force leads: taken as past the range of the instrument",
            places.len()
        ));
        for at in &places {
            self.force_n[*at] = self.force_n[at - 1];
        }
        self.over.extend(places);
        self.over.sort_unstable();
        self.over.dedup();
    }

    /// Puts travel that was not taken with each reading on straight lines between what was.
    fn fill_travel(&mut self, reading: &mut Reading) {
        let missing = self.travel_m.iter().filter(|travel_m| travel_m.is_nan()).count();
        if missing == 0 {
            return;
        }
        if missing == self.travel_m.len() {
            self.travel_m.clear();
            reading.ignored.push(format!(
                "column {}: there are no numbers in it",
                reading.travel_column
            ));
            reading.travel_column.clear();
            reading.travel_unit.clear();
            return;
        }
        let known: Vec<usize> = (0..self.travel_m.len())
            .filter(|at| !self.travel_m[*at].is_nan())
            .collect();
        let (first, last) = (known[0], known[known.len() - 1]);
        let ends = [self.travel_m[first], self.travel_m[last]];
        self.travel_m[..first].fill(ends[0]);
        self.travel_m[last + 1..].fill(ends[1]);
        for pair in known.windows(2) {
            let [from, to] = [pair[0], pair[1]];
            let (from_s, to_s) = (self.times.at(from), self.times.at(to));
            let (from_m, to_m) = (f64::from(self.travel_m[from]), f64::from(self.travel_m[to]));
            for at in from + 1..to {
                let share = if to_s > from_s {
                    (self.times.at(at) - from_s) / (to_s - from_s)
                } else {
                    0.5
                };
                self.travel_m[at] = (from_m + share * (to_m - from_m)) as f32;
            }
        }
        reading.repairs.push(format!(
            "travel is missing at {missing} readings: taken from those beside them"
        ));
    }

    fn say(&self, reading: &mut Reading, gaps: &[usize]) {
        let starts = reading.heading_lines;
        let mut repair = |count: usize, one: &str, many: &str| match count {
            0 => {}
            1 => reading.repairs.push(format!("1 {one}")),
            count => reading.repairs.push(format!("{count} {many}")),
        };
        repair(self.doubled, "doubled row left out", "doubled rows left out");
        repair(
            self.midnights,
            "midnight or noon passed: the clock goes on from there",
            "midnights or noons passed: the clock goes on from there",
        );
        repair(
            self.back,
            "reading with a time a little before the one before it, taken as the same time",
            "readings with a time a little before the one before them, taken as the same time",
        );
        repair(
            self.resets.len(),
            "time the clock was set back: it goes on where it was, and how long it stood is not known",
            "times the clock was set back: it goes on where it was, and how long it stood is not known",
        );
        repair(
            self.over.len(),
            "reading past the range of the instrument: at least what was read before it",
            "readings past the range of the instrument: at least what was read before them",
        );
        if let Some(first) = gaps.first() {
            let longest = gaps
                .iter()
                .map(|at| self.times.at(*at) - self.times.at(*at - 1))
                .fold(0.0, f64::max);
            let many = if gaps.len() == 1 {
                "1 gap".to_string()
            } else {
                format!("{} gaps", gaps.len())
            };
            reading.repairs.push(format!(
                "{many} in the readings, the first after {:.3} s, the longest of {longest:.3} s: nothing is filled in",
                self.times.at(*first - 1)
            ));
        }
        let mut ignore = |odd: &Odd, what: &str| {
            if let Some((line, text)) = &odd.first {
                let rows = if odd.count == 1 {
                    "1 line".to_string()
                } else {
                    format!("{} lines", odd.count)
                };
                reading.ignored.push(format!(
                    "{rows} {what}, the first of them line {}: `{text}`",
                    starts + line
                ));
            }
        };
        ignore(&self.words, "of words");
        ignore(&self.short, "with too few fields");
        ignore(&self.missing, "without a force or a time");
    }
}

/// Gives the middle of all steps, or of many of them, s.
fn middle_step_s(times: &Times) -> f64 {
    let stride = (times.len() / 200_001).max(1);
    let mut steps: Vec<f64> = (1..times.len())
        .step_by(stride)
        .map(|at| times.at(at) - times.at(at - 1))
        .filter(|step_s| *step_s > 0.0)
        .collect();
    if steps.is_empty() {
        return 0.0;
    }
    let middle = steps.len() / 2;
    *steps.select_nth_unstable_by(middle, f64::total_cmp).1
}

/// Gives the mean of all steps but gaps, s: a clock with few digits has steps of none and of more than there are.
fn mean_step_s(times: &Times, gaps: &[usize]) -> f64 {
    let all_s = times.last().unwrap_or(0.0) - times.at(0);
    let gaps_s: f64 = gaps.iter().map(|at| times.at(*at) - times.at(*at - 1)).sum();
    let count = (times.len() - 1).saturating_sub(gaps.len());
    (all_s - gaps_s) / count.max(1) as f64
}

/// Spreads readings of one time evenly until the next time. The first and the last time may not have all of theirs: these lie as far apart as
/// those beside them.
fn spread(times: &Times) -> Times {
    let count = times.len();
    let mut begins: Vec<usize> = (0..count)
        .filter(|at| *at == 0 || times.at(*at) > times.at(*at - 1))
        .collect();
    let groups = begins.len();
    begins.push(count);
    let step_s = |group: usize| {
        let many = (begins[group + 1] - begins[group]) as f64;
        (times.at(begins[group + 1]) - times.at(begins[group])) / many
    };
    let mut spread = Times::default();
    let mut begins_s = None;
    for group in 0..groups {
        let (from, to) = (begins[group], begins[group + 1]);
        let is_last = group + 1 == groups;
        let own_s = match (group, is_last) {
            (0, false) if groups > 2 => step_s(1).min(step_s(0)),
            (_, false) => step_s(group),
            (0, true) => 0.0,
            (_, true) => step_s(group - 1),
        };
        // What is there of the first is its end.
        let until_s = if group == 0 && !is_last {
            times.at(to) - own_s * (to - from) as f64
        } else {
            times.at(from)
        };
        let first_s = *begins_s.get_or_insert(until_s);
        for at in from..to {
            spread.push(until_s - first_s + own_s * (at - from) as f64);
        }
    }
    spread
}

/// Tells whether an instrument has pull negative: force goes further below nought than above it, and further down from where it begins than up,
/// or hardly above nought at all; and not in one reading or two alone.
fn pulls_negative(force_n: &[f32]) -> bool {
    let mut begins: Vec<f32> = force_n.iter().take(21).copied().collect();
    let middle = begins.len() / 2;
    let begins = *begins.select_nth_unstable_by(middle, f32::total_cmp).1;
    let three = force_n.windows(3);
    let (down, up) = three.fold((f32::INFINITY, f32::NEG_INFINITY), |(down, up), three| {
        let (least, most) = (
            three[0].min(three[1]).min(three[2]),
            three[0].max(three[1]).max(three[2]),
        );
        (down.min(most), up.max(least))
    });
    -down > up && (begins - down > up - begins || up < -0.1 * down)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn readings_of_one_time_are_spread() {
        let mut times = Times::default();
        for time_s in [0.0, 0.0, 1.0, 1.0, 1.0, 1.0, 2.0, 2.0, 2.0, 2.0, 3.0] {
            times.push(time_s);
        }
        let spread = spread(&times);
        let all: Vec<f64> = (0..spread.len()).map(|at| spread.at(at)).collect();
        assert_eq!(all, [0.0, 0.25, 0.5, 0.75, 1.0, 1.25, 1.5, 1.75, 2.0, 2.25, 2.5]);
    }

    #[test]
    fn pull_that_is_negative_is_told_from_an_offset() {
        let ramp = |from: f32, to: f32| {
            (0..50)
                .map(|at| from + (to - from) * at as f32 / 49.0)
                .collect::<Vec<f32>>()
        };
        assert!(pulls_negative(&ramp(0.0, -10.0)));
        assert!(pulls_negative(&ramp(3.0, -10.0)));
        assert!(!pulls_negative(&ramp(-3.0, 10.0)));
        // Begun under load, and broken: a little below nought at the end.
        let mut broken = ramp(8.0, 10.0);
        broken.extend([-0.1; 20]);
        assert!(!pulls_negative(&broken));
        assert!(pulls_negative(&broken.iter().map(|f| -f).collect::<Vec<f32>>()));
    }
}
