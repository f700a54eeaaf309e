//! Straight lines through readings.
//!
//! Conventions: least squares; x and y in any units.
//! Assumes: errors in y alone, alike and independent.
//! Valid for: three readings or more for a scatter.
//! Source: handbooks.
//! Checked by: the tests below.

/// A straight line through readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Line {
    pub(crate) slope: f64,
    mean_x: f64,
    mean_y: f64,
    /// Standard error of the slope; infinite through two readings.
    pub(crate) slope_error: f64,
    /// Scatter about it; 0 through two readings.
    pub(crate) scatter: f64,
    squares_x: f64,
    n: f64,
}

impl Line {
    /// Fits a line; none through less than two places.
    pub(crate) fn fit(points: impl Iterator<Item = (f64, f64)> + Clone) -> Option<Line> {
        let (n, sum_x, sum_y) = points
            .clone()
            .fold((0.0, 0.0, 0.0), |(n, x, y), (a, b)| (n + 1.0, x + a, y + b));
        if n < 2.0 {
            return None;
        }
        let (mean_x, mean_y) = (sum_x / n, sum_y / n);
        let (xx, xy) = points.clone().fold((0.0, 0.0), |(xx, xy), (x, y)| {
            (xx + (x - mean_x) * (x - mean_x), xy + (x - mean_x) * (y - mean_y))
        });
        // Written so that what is no number is none.
        let has_way = xx > 0.0;
        if !has_way {
            return None;
        }
        let slope = xy / xx;
        let left: f64 = points
            .map(|(x, y)| (y - mean_y - slope * (x - mean_x)).powi(2))
            .sum();
        let slope_error = if n > 2.0 {
            (left / (n - 2.0) / xx).sqrt()
        } else {
            f64::INFINITY
        };
        Some(Line {
            slope,
            mean_x,
            mean_y,
            slope_error,
            scatter: if n > 2.0 { (left / (n - 2.0)).sqrt() } else { 0.0 },
            squares_x: xx,
            n,
        })
    }

    /// Gives the line at a place.
    pub(crate) fn at(&self, x: f64) -> f64 {
        self.mean_y + self.slope * (x - self.mean_x)
    }

    /// How sure its slope is, over the scatter of one reading.
    pub(crate) fn slope_error_of_one(&self) -> f64 {
        1.0 / self.squares_x.sqrt()
    }

    /// How sure the line is at a place, over the scatter of one reading.
    pub(crate) fn error_at(&self, x: f64) -> f64 {
        (1.0 / self.n + (x - self.mean_x).powi(2) / self.squares_x).sqrt()
    }
}

/// Gives the middle of some values; 0 of none.
pub(crate) fn median(values: &mut [f64]) -> f64 {
    if values.is_empty() {
        return 0.0;
    }
    let middle = values.len() / 2;
    let upper = *values.select_nth_unstable_by(middle, f64::total_cmp).1;
    if values.len() % 2 == 1 {
        return upper;
    }
    let lower = values[..middle].iter().copied().fold(f64::NEG_INFINITY, f64::max);
    0.5 * (lower + upper)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_goes_through_what_lies_on_it() {
        let line = Line::fit([(0.0, 1.0), (1.0, 3.0), (2.0, 5.0)].into_iter()).unwrap();
        assert!(
            (line.slope - 2.0).abs() < 1e-12 && line.slope_error < 1e-9 && (line.at(3.0) - 7.0).abs() < 1e-12
        );
        // At the middle of three readings it is as sure as their mean.
        assert!((line.error_at(1.0) - (1.0_f64 / 3.0).sqrt()).abs() < 1e-12);
        assert!(Line::fit([(1.0, 1.0), (1.0, 2.0)].into_iter()).is_none());
        assert_eq!(median(&mut [3.0, 1.0, 2.0]), 2.0);
        assert_eq!(median(&mut [4.0, 1.0, 2.0, 3.0]), 2.5);
    }
}
