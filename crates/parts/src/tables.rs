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
    pub expansion: Vec<ExpansionRow>,
    pub settling: Vec<SettlingRow>,
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

/// Thermal expansion of ropes of some materials.
#[derive(Debug, Clone)]
pub(crate) struct ExpansionRow {
    pub materials: Vec<String>,
    pub expansion_per_k: Number,
}

/// Settling of ropes of some constructions with one core, or with any.
#[derive(Debug, Clone)]
pub(crate) struct SettlingRow {
    pub constructions: Vec<String>,
    pub core: Option<String>,
    pub stretch: SettlingStretch,
}

/// How much longer a rope becomes for good as its wires bed in (constructional stretch), as shares of its length.
#[derive(Debug, Clone)]
pub struct SettlingStretch {
    /// The low end of what is published; none where only the high end is.
    pub least: Option<Number>,
    /// The high end.
    pub most: Number,
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
            expansion: [over.expansion.as_slice(), &self.expansion].concat(),
            settling: [over.settling.as_slice(), &self.settling].concat(),
        }
    }

    /// Tells whether there is nothing in them that ropes are given by [`Tables::hand_to`].
    pub fn hands_nothing(&self) -> bool {
        self.bends.is_empty()
            && self.sheaves.is_empty()
            && self.expansion.is_empty()
            && self.settling.is_empty()
    }

    /// Gives a rope the rows on bends, sheaves, expansion and settling that speak of it; where none do, it keeps what it
    /// has.
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
        let of_material = |row: &&ExpansionRow| row.materials.contains(&rope.material);
        if let Some(row) = self.expansion.iter().find(of_material) {
            rope.expansion_per_k = Some(row.expansion_per_k.clone());
        }
        let of_construction = |row: &&SettlingRow| {
            row.constructions.contains(&rope.construction) && (row.core.is_none() || row.core == rope.core)
        };
        if let Some(row) = self.settling.iter().find(of_construction) {
            rope.settling = Some(row.stretch.clone());
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
