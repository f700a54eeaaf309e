//! Times of many readings in little room.
//!
//! Conventions: seconds; a block has its first time as a double, and what follows it as single precision from there.
//! Assumes: a block is short, so that a distance from its first time is known to a few parts in ten million of it.
//! Valid for: times that never run backwards.
//! Source: definitions.
//! Checked by: the tests below.

const BLOCK: usize = 1024;

/// Times of readings, s, that never run backwards.
#[derive(Debug, Clone, Default)]
pub struct Times {
    firsts_s: Vec<f64>,
    after_s: Vec<f32>,
}

impl Times {
    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.after_s.len()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.after_s.is_empty()
    }

    /// Gives one of them, s.
    ///
    /// # Panics
    ///
    /// Where there is none of that number.
    #[must_use]
    pub fn at(&self, index: usize) -> f64 {
        self.firsts_s[index / BLOCK] + f64::from(self.after_s[index])
    }

    /// Gives the last, s.
    #[must_use]
    pub fn last(&self) -> Option<f64> {
        self.len().checked_sub(1).map(|last| self.at(last))
    }

    /// Gives the first that is no earlier than a time; how many there are where none is.
    #[must_use]
    pub fn first_from(&self, time_s: f64) -> usize {
        let (mut low, mut high) = (0_usize, self.len());
        while low < high {
            let middle = low.midpoint(high);
            if self.at(middle) < time_s {
                low = middle + 1;
            } else {
                high = middle;
            }
        }
        low
    }

    pub(crate) fn push(&mut self, time_s: f64) {
        if self.after_s.len().is_multiple_of(BLOCK) {
            self.firsts_s.push(time_s);
        }
        let first_s = self.firsts_s.last().copied().unwrap_or(time_s);
        self.after_s.push((time_s - first_s) as f32);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_far_from_nought_stay_apart() {
        let mut times = Times::default();
        for i in 0..5000 {
            times.push(1e6 + f64::from(i) * 1e-4);
        }
        assert!((times.at(4999) - (1e6 + 0.4999)).abs() < 1e-8);
        assert!((1..5000).all(|i| (times.at(i) - times.at(i - 1) - 1e-4).abs() < 1e-8));
        assert_eq!(times.last(), Some(times.at(4999)));
    }
}
