//! Runs the benches, and times other libraries on the same rigs.

use crate::say;
use crate::step::{root, run, target};
use anyhow::{Context, Result};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// Names the Python that has references/requirements.txt.
const VARIABLE: &str = "PEERS_PYTHON";

/// Runs every bench of the workspace; then, where there is a Python with what references/peers.py needs, prints its
/// times beside ours. That Python is the given one, else that of the variable, else that of `cargo xtask references`.
pub fn bench(python: Option<&str>) -> Result<()> {
    run("cargo", &["bench", "--workspace"])?;
    let named = python
        .map(PathBuf::from)
        .or_else(|| std::env::var_os(VARIABLE).map(PathBuf::from));
    let folder = if cfg!(windows) { "Scripts" } else { "bin" };
    let python = named.unwrap_or_else(|| target().join("references").join(folder).join("python"));
    if !has_requirements(&python) {
        say(&format!(
            "\nskipped: the times of other libraries. {} is no Python with references/requirements.txt; name one with \
             `cargo xtask bench PYTHON` or {VARIABLE}, or let `cargo xtask references` make one",
            python.display()
        ));
        return Ok(());
    }
    let ours = target().join("criterion");
    let word = |path: &Path| path.to_str().map(String::from).context("a path is not text");
    run(
        &word(&python)?,
        &["references/peers.py", "--beside", &word(&ours)?],
    )
}

fn has_requirements(python: &Path) -> bool {
    let asked = "import sys; sys.path.append('references'); import numpy, pandas, scipy, mujoco, _opensees";
    let tried = Command::new(python)
        .args(["-c", asked])
        .current_dir(root())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status();
    tried.is_ok_and(|status| status.success())
}
