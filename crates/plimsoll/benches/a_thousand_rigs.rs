//! A thousand rig files checked in one run of the program, as a shop does after it changes its parts book.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a bench that can not go on says so"
)]

use criterion::{Criterion, criterion_group, criterion_main};
use std::process::{Command, Stdio};
use tempfile::TempDir;

/// Writes the starter rig a thousand times, each with another weight.
fn rigs(folder: &TempDir) -> Vec<String> {
    let program = env!("CARGO_BIN_EXE_plimsoll");
    let starter = Command::new(program).arg("new").output().unwrap();
    let starter = String::from_utf8(starter.stdout).unwrap();
    let write = |n: usize| {
        let file = format!("rig-{n:04}.toml");
        let text = starter.replace("\"60 lb\"", &format!("\"{} lb\"", 30.0 + 0.05 * n as f64));
        fs_err::write(folder.path().join(&file), text).unwrap();
        file
    };
    (0..1000).map(write).collect()
}

fn a_thousand_rigs(criterion: &mut Criterion) {
    let folder = TempDir::new().unwrap();
    let rigs = rigs(&folder);
    criterion.bench_function("check a thousand rigs", |bencher| {
        bencher.iter(|| {
            let status = Command::new(env!("CARGO_BIN_EXE_plimsoll"))
                .current_dir(folder.path())
                .args(["check", "--brief"])
                .args(&rigs)
                .stdout(Stdio::null())
                .status()
                .unwrap();
            assert!(status.success());
        });
    });
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(10);
    targets = a_thousand_rigs
}
criterion_main!(benches);
