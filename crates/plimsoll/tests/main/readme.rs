//! What the README shows is what the program prints and what the examples hold.

use crate::support::{root, run};

/// A fenced block, and the text before it back to the block before.
struct Block {
    before: String,
    language: String,
    lines: Vec<String>,
}

fn blocks(page: &str) -> Vec<Block> {
    let pieces: Vec<&str> = page.split("```").collect();
    let fenced = pieces.chunks_exact(2).map(|pair| {
        let mut lines = pair[1].lines();
        Block {
            before: pair[0].to_string(),
            language: lines.next().unwrap_or_default().to_string(),
            lines: lines.map(str::to_string).collect(),
        }
    });
    fenced.collect()
}

/// Asserts that the runs of lines between `...` stand in a text, in this order.
fn assert_excerpt(lines: &[String], of: &str, what: &str) {
    let mut rest = of;
    for excerpt in lines.split(|line| line == "...") {
        let text = excerpt.join("\n");
        let Some(at) = rest.find(&text) else {
            panic!("{what} does not hold, after what was found before:\n{text}\n--- it goes on with\n{rest}");
        };
        rest = &rest[at + text.len()..];
    }
}

#[test]
fn every_output_shown_is_what_the_program_prints() {
    let page = fs_err::read_to_string(root().join("README.md")).unwrap();
    let shown: Vec<Block> = blocks(&page)
        .into_iter()
        .filter(|block| block.language == "text")
        .collect();
    assert_eq!(shown.len(), 3);
    for block in shown {
        let (_, after) = block.before.rsplit_once("`plimsoll ").unwrap();
        let (words, _) = after.split_once('`').unwrap();
        let words: Vec<&str> = words.split(' ').collect();
        assert_excerpt(&block.lines, &run(&root(), &words).out, &words.join(" "));
    }
}

#[test]
fn the_rig_shown_is_that_of_the_example() {
    let page = fs_err::read_to_string(root().join("README.md")).unwrap();
    let example = fs_err::read_to_string(root().join("examples/flock.toml")).unwrap();
    let shown: Vec<Block> = blocks(&page)
        .into_iter()
        .filter(|block| block.language == "toml")
        .collect();
    assert_eq!(shown.len(), 1);
    for paragraph in shown[0].lines.split(String::is_empty) {
        assert_excerpt(paragraph, &example, "examples/flock.toml");
    }
}

/// The commands of the README's table can be given as they stand.
#[test]
fn the_line_asked_for_in_the_readme_gets_an_answer() {
    let page = fs_err::read_to_string(root().join("README.md")).unwrap();
    let asked = page
        .lines()
        .find_map(|line| line.split_once("`plimsoll line "))
        .unwrap()
        .1;
    let words = asked.split_once('`').unwrap().0.replace("\"60 lb\"", "60_lb");
    let words: Vec<String> = words.split(' ').map(|word| word.replace('_', " ")).collect();
    let words: Vec<&str> = std::iter::once("line")
        .chain(words.iter().map(String::as_str))
        .collect();
    let ran = run(&root(), &words);
    assert!(
        ran.out.starts_with("FIT") || ran.out.starts_with("CAUTION"),
        "{}{}",
        ran.out,
        ran.err
    );
}
