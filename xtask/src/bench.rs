//! Runs the benches.

use crate::step;
use anyhow::Result;

/// Runs every bench of the workspace.
pub fn run() -> Result<()> {
    step::run("cargo", &["bench", "--workspace"])
}
