//! Tables of the parts book that belong to no single part.
//!
//! Conventions: SI; ratios are diameter over diameter; efficiencies are shares of the rope's breaking strength.
//! Assumes: EA is proportional to diameter squared within a construction.
//! Valid for: constructions and materials that are listed. Otherwise none.
//! Source: data/parts/tables.toml, each row with its own ([bib:bend-eff], [bib:g-factors], [bib:dd-table]).
//! Checked by: tests/main/published.rs, tests/main/laws.rs, tests/main/shop_book.rs.

use crate::bend::BendRow;
use crate::part::Rope;
use quantity::Kind;
use std::sync::Arc;
use working::{Number, Source};

/// The tables of a book.
#[derive(Debug, Clone, Default)]
pub(crate) struct Tables {
    /// The table of bends, least ratio first; empty if the book has none.
    pub bends: Arc<[BendRow]>,
    pub stretch: Vec<StretchRow>,
    pub sheaves: Vec<SheaveRow>,
}

/// Stiffness of ropes of one construction: EA over diameter squared, pascals.
#[derive(Debug, Clone)]
pub(crate) struct StretchRow {
    pub construction: String,
    pub core: Option<String>,
    pub materials: Vec<String>,
    pub stiffness_over_d2_pa: Number,
}

/// Sheave ratio of ropes of one construction.
#[derive(Debug, Clone)]
pub(crate) struct SheaveRow {
    pub construction: String,
    pub ratio: SheaveRatio,
}

/// Sheave diameter over rope diameter for a rope that runs.
#[derive(Debug, Clone)]
pub struct SheaveRatio {
    /// The least ratio.
    pub least: Number,
    /// The suggested ratio.
    pub suggested: Number,
}

impl Tables {
    /// Lays another book's tables over these: its rows are found first, its table of bends replaces this one.
    pub fn overlaid(&self, over: &Tables) -> Tables {
        let bends = if over.bends.is_empty() {
            &self.bends
        } else {
            &over.bends
        };
        Tables {
            bends: bends.clone(),
            stretch: [over.stretch.as_slice(), &self.stretch].concat(),
            sheaves: [over.sheaves.as_slice(), &self.sheaves].concat(),
        }
    }

    /// Gives a rope the rows on bends and sheaves that speak of it; where none do, it keeps what it has.
    pub fn hand_to(&self, rope: &mut Rope) {
        if !self.bends.is_empty() {
            rope.bends = self.bends.clone();
        }
        let row = self
            .sheaves
            .iter()
            .find(|row| row.construction == rope.construction);
        if let Some(row) = row {
            rope.sheaves = Some(row.ratio.clone());
        }
    }

    /// Gives the axial stiffness EA of a rope, newtons.
    pub fn stiffness_n(&self, what: String, rope: &Rope) -> Option<Number> {
        let row = self.stretch.iter().find(|row| {
            row.construction == rope.construction
                && row.core == rope.core
                && row.materials.contains(&rope.material)
        })?;
        let d = &rope.diameter_m;
        let source = Source::mechanics("EA is proportional to diameter squared within a construction");
        Some(Number::computed(
            what,
            "EA",
            Kind::Force,
            &row.stiffness_over_d2_pa * d * d,
            source,
        ))
    }
}
