//! Tasks of this repository: `cargo xtask TASK`.
//!
//! Each task is a file. A task prints every command before it runs it, and stops at the first that fails, with the
//! exit status of that command.

mod bench;
mod demo;
mod generate;
mod references;
mod soak;
mod step;
mod test;

use std::process::ExitCode;

const TASKS: &str = "\
cargo xtask TASK

  demo                        builds the program and checks the demo rigs
  test                        runs everything that must pass: format, lints, tests, generated files, docs
  generate [--check]          writes the generated pages of docs/, or holds them against what is there
  references [--check|--write]  runs the independent Python scripts of references/
  bench [PYTHON]              runs the benches, and times other libraries on the same rigs
  soak [RIGS [FIRST_SEED]]    solves random rigs and pipes from fresh seeds, and names those that fail";

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let done = match words.as_slice() {
        ["demo"] => demo::run(),
        ["test"] => test::run(),
        ["generate"] => generate::run(false),
        ["generate", "--check"] => generate::run(true),
        ["references"] | ["references", "--check"] => references::run_scripts("--check"),
        ["references", "--write"] => references::run_scripts("--write"),
        ["bench"] => bench::bench(None),
        ["bench", python] => bench::bench(Some(python)),
        ["soak"] => soak::run(None, None),
        ["soak", rigs] => soak::run(Some(rigs), None),
        ["soak", rigs, first_seed] => soak::run(Some(rigs), Some(first_seed)),
        _ => {
            say(TASKS);
            return ExitCode::from(2);
        }
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            say(&format!("error: {error:#}"));
            step::status_of(&error)
        }
    }
}

/// Says something to the person who runs the task.
#[expect(clippy::print_stderr, reason = "this is what a task talks with")]
fn say(text: &str) {
    eprintln!("{text}");
}
