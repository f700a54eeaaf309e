//! What the tests run the program with.

use assert_cmd::Command;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// The day on which every test asks.
pub const TODAY: &str = "2026-03-14";

/// Starts the program with nothing of the surroundings it is tested in.
pub fn plimsoll() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_plimsoll"));
    for variable in ["PLIMSOLL_BOOK", "COLUMNS", "NO_COLOR", "TERM"] {
        command.env_remove(variable);
    }
    command.env("PLIMSOLL_TODAY", TODAY);
    command
}

/// What one run came to.
pub struct Ran {
    pub status: i32,
    pub out: String,
    pub err: String,
}

/// Gives a text however its lines were broken.
pub fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Runs the program in a folder.
pub fn run(folder: &Path, words: &[&str]) -> Ran {
    ran(plimsoll().current_dir(folder).args(words))
}

/// Runs a prepared command.
pub fn ran(command: &mut Command) -> Ran {
    let output = command.output().unwrap();
    Ran {
        status: output.status.code().unwrap(),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

/// The root of the repository.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../..")
        .canonicalize()
        .unwrap()
}

/// A folder for one test that goes when the test ends.
pub fn folder(files: &[(&str, &str)]) -> TempDir {
    let folder = TempDir::new().unwrap();
    for (file, text) in files {
        let path = folder.path().join(file);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        #[expect(clippy::disallowed_methods, reason = "a failing test prints the path anyway")]
        std::fs::write(path, text).unwrap();
    }
    folder
}

/// A rig that is fit: 60 lb on two lines, 5 ft long, over the public.
pub fn fit() -> String {
    let starter = run(Path::new("."), &["new"]);
    assert_eq!(starter.status, 0);
    starter.out
}

/// The same rig with ten times the weight: a stop.
pub fn stop() -> String {
    fit().replace("\"60 lb\"", "\"600 lb\"")
}
