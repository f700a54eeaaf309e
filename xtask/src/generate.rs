//! Writes the generated pages of `docs/`.

use crate::step;
use anyhow::Result;

/// Lets the program write its own pages, or hold them against what is there.
pub fn run(check: bool) -> Result<()> {
    let mut words = vec![
        "run",
        "--quiet",
        // All packages are chosen by that, as in a test, so that nothing is built twice.
        "--bin",
        "plimsoll",
        "--",
        "reference",
        "docs",
    ];
    if check {
        words.push("--check");
    }
    step::run("cargo", &words)
}
