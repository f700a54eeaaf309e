//! The least number that is enough.
//!
//! Conventions: counts.
//! Assumes: what is enough stays so with more.
//! Valid for: any bounds.
//! Source: bisection.
//! Checked by: the tests of what uses it: free.rs, tolerance.rs.

/// Gives the least number above `low` and up to `high` that is enough; none where `high` is not.
pub(crate) fn least_number((mut low, mut high): (u64, u64), is_enough: impl Fn(u64) -> bool) -> Option<u64> {
    if !is_enough(high) {
        return None;
    }
    while high - low > 1 {
        let middle = u64::midpoint(low, high);
        if is_enough(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(high)
}
