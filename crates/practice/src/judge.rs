//! Judges a rig by every rule.

use crate::facts::Facts;
use crate::judgement::Judgement;

/// Judges a rig by every rule.
pub fn judge(_facts: &Facts) -> Judgement {
    Judgement::default()
}
