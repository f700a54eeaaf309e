//! One rule, one file.

use crate::rule::Rule;

pub(crate) static ALL: &[Rule] = &[];
