//! The generated pages of `docs/` are those that the program writes now.

use crate::support::{root, run};

#[test]
fn the_pages_checked_in_are_current() {
    let ran = run(&root(), &["reference", "docs", "--check"]);
    assert_eq!(ran.status, 0, "{}", ran.err);
}
