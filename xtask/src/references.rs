//! Runs the independent Python scripts of `references/`, whose results the tests are held against.

use crate::step::{root, run, target};
use anyhow::{Context, Result, bail};
use std::path::Path;

/// Runs every script with `mode`: `--check` compares its results with those checked in, `--write` writes them.
///
/// The scripts run in an environment of their own under the build folder, so nothing is installed elsewhere.
pub fn run_scripts(mode: &str) -> Result<()> {
    let scripts = scripts(&root().join("references"))?;
    if scripts.is_empty() {
        bail!("references/ holds no script");
    }
    let environment = target().join("references");
    let home = environment
        .to_str()
        .context("the path of the build folder is not text")?;
    let folder = if cfg!(windows) { "Scripts" } else { "bin" };
    let python = environment.join(folder).join("python");
    let python = python
        .to_str()
        .context("the path of the build folder is not text")?;
    if !Path::new(python).exists() {
        run("python3", &["-m", "venv", home])?;
    }
    if root().join("references/requirements.txt").exists() {
        run(
            python,
            &[
                "-m",
                "pip",
                "install",
                "--quiet",
                "--requirement",
                "references/requirements.txt",
            ],
        )?;
    }
    for script in scripts {
        run(python, &[&script, mode])?;
    }
    Ok(())
}

/// Script that times other libraries and so has no answers to write or check.
const TIMED: &str = "peers.py";

/// Lists the scripts, relative to the root; a name that begins with `_` is a module of theirs.
fn scripts(folder: &Path) -> Result<Vec<String>> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).context("references")? {
        let name = entry?.file_name().to_string_lossy().into_owned();
        if Path::new(&name).extension().is_some_and(|end| end == "py")
            && !name.starts_with('_')
            && name != TIMED
        {
            found.push(format!("references/{name}"));
        }
    }
    found.sort();
    Ok(found)
}
