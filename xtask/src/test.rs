//! Runs everything that must pass. That the generated pages are current is one of the tests.

use crate::step::{has_cargo, run_with};
use crate::{say, step};
use anyhow::Result;

/// Runs format, lints, tests and docs, in the order in which they are quick to fail.
pub fn run() -> Result<()> {
    step::run("cargo", &["fmt", "--all", "--check"])?;
    step::run(
        "cargo",
        &["clippy", "--workspace", "--all-targets", "--", "-D", "warnings"],
    )?;
    step::run("cargo", &["test", "--workspace"])?;
    run_with(
        "cargo",
        &["doc", "--workspace", "--no-deps"],
        &[("RUSTDOCFLAGS", "-Dwarnings")],
        &[0],
    )?;
    if has_cargo("deny") {
        step::run("cargo", &["deny", "check", "licenses", "bans", "sources"])?;
    } else {
        say("\nskipped: cargo deny check licenses bans sources (cargo-deny is not installed)");
    }
    say("\nall passed");
    Ok(())
}
