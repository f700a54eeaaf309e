//! Every wrong input of `wrong_inputs.txt` is answered in the words that stand there.

use quantity::Kind;

#[test]
fn every_wrong_input_is_answered() {
    let mut kind = None;
    let mut count = 0;
    let mut lines = include_str!("wrong_inputs.txt").lines();
    while let Some(line) = lines.next() {
        if let Some(name) = line.strip_prefix("# ") {
            kind = Kind::ALL.into_iter().find(|kind| format!("{kind:?}") == name);
            assert!(kind.is_some(), "no kind {name}");
        } else if let Some(input) = line.strip_prefix('>') {
            let input = input.strip_prefix(' ').unwrap_or(input).replace("\\n", "\n");
            let answer = kind.unwrap().parse_si(&input).expect_err(&input).to_string();
            assert_eq!(Some(answer.as_str()), lines.next());
            count += 1;
        }
    }
    assert!(count >= 60, "only {count} inputs were found");
}
