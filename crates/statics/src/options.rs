//! What a caller may choose about a solve.

/// Sets how far a solve goes and what it judges besides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Options {
    /// Judge whether the guess, as drawn, balances but would roll over. Leave it out for a re-solve whose
    /// guess is an earlier solution and not a drawing.
    pub judge_drawn_pose: bool,
    /// Look for motions that nothing resists.
    pub find_free_motions: bool,
    /// Newton steps over all stages before giving up.
    pub max_iterations: u32,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            judge_drawn_pose: true,
            find_free_motions: true,
            max_iterations: 4000,
        }
    }
}

impl Options {
    /// Leaves out the judgement of the drawn pose.
    pub fn warm() -> Self {
        Self {
            judge_drawn_pose: false,
            ..Self::default()
        }
    }
}
