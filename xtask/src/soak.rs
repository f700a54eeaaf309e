//! Tries the equilibrium solver on random rigs from fresh seeds.

use crate::step;
use anyhow::{Context, Result};
use std::time::{SystemTime, UNIX_EPOCH};

/// Rigs tried where no number is given, and a twentieth as many pipes; some minutes' work.
const RIGS: u64 = 100_000;

/// Solves that many rigs, and for every twenty of them a pipe, and recounts their forces. Each that fails is named by its seed; giving that seed again
/// draws the same rig.
pub fn run(rigs: Option<&str>, first_seed: Option<&str>) -> Result<()> {
    let number = |text: &str| {
        text.parse::<u64>()
            .with_context(|| format!("`{text}` is not a number"))
    };
    let rigs = rigs.map_or(Ok(RIGS), number)?.to_string();
    let first_seed = first_seed.map_or_else(fresh_seed, number)?.to_string();
    let words = "test --release -p statics --test all -- --nocapture random_rigs";
    let words: Vec<&str> = words.split(' ').collect();
    let asked = [
        ("SOAK_RIGS", rigs.as_str()),
        ("SOAK_FIRST_SEED", first_seed.as_str()),
    ];
    step::run_with("cargo", &words, &asked, &[0])
}

/// Takes a seed from the clock, in whole milliseconds.
fn fresh_seed() -> Result<u64> {
    let since = SystemTime::now().duration_since(UNIX_EPOCH)?;
    Ok(since.as_secs() * 1000 + u64::from(since.subsec_millis()))
}
