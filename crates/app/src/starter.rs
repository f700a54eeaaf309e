//! A rig document to begin with.

/// Gives a commented rig document that is complete and fit, for a rigger to write over.
pub fn starter() -> &'static str {
    include_str!("starter.toml")
}
