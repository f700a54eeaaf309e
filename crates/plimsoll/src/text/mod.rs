//! Answers as plain text, made to be read in a terminal of 80 columns or on a phone.
//!
//! Nothing rests on colour alone, and a number is never parted from its unit.

mod cases;
mod figures;
mod findings;
mod lengths;
mod letgo;
mod line_answer;
mod lists;
mod page;
mod parts_pages;
mod pipes;
mod prove_log;
mod prove_plan;
mod prove_series;
mod rules_pages;
mod spread;
mod table;
mod trim;
mod trim_plan;
mod verdict;

pub use letgo::letgo_page;
pub use line_answer::line_answer;
pub use lists::columns;
pub use page::Page;
pub use parts_pages::{part_list, part_page};
pub use prove_log::log_page;
pub use prove_plan::{plan_page, test_sheet};
pub use prove_series::series_page;
pub use rules_pages::{practice_page, rule_list, rule_page};
pub use spread::spread_page;
pub use trim::trim_page;
pub use verdict::{brief, summary, verdict_page, working_of_lines};
