//! Tables of the parts book that belong to no single part.
//!
//! Conventions: SI; ratios are diameter over diameter; efficiencies are shares of the rope's breaking strength.
//! Assumes: a straight line between printed points of the table of bends; EA proportional to diameter squared.
//! Valid for: ratios of 1 and more; constructions and materials that are listed. Otherwise none.
//! Source: data/parts/tables.toml, each row with its own ([bib:bend-eff], [bib:g-factors], [bib:dd-table]).
//! Checked by: tests/main/published.rs, tests/main/laws.rs, tests/main/conflicts.rs.

use crate::part::Rope;
use quantity::Kind;
use working::{Number, Seen, Source};

/// The tables of a book.
#[derive(Debug, Clone, Default)]
pub(crate) struct Tables {
    pub bend: Vec<BendPoint>,
    pub stretch: Vec<StretchRow>,
    pub settling: Vec<SettlingRow>,
    pub sheaves: Vec<SheaveRatio>,
    pub expansion: Vec<ExpansionRow>,
}

/// One printed point of the table of bends.
#[derive(Debug, Clone)]
pub(crate) struct BendPoint {
    pub ratio: Number,
    pub efficiency: Number,
}

/// Stiffness of ropes of one construction: EA over diameter squared, pascals.
#[derive(Debug, Clone)]
pub(crate) struct StretchRow {
    pub construction: String,
    pub core: Option<String>,
    pub materials: Vec<String>,
    pub stiffness_over_d2_pa: Number,
}

/// How much new ropes settle for good.
#[derive(Debug, Clone)]
pub(crate) struct SettlingRow {
    pub constructions: Vec<String>,
    pub core: Option<String>,
    pub most: Number,
}

/// Sheave diameter over rope diameter for a rope that runs.
#[derive(Debug, Clone)]
pub struct SheaveRatio {
    /// The construction it is for.
    pub construction: String,
    /// The least ratio.
    pub least: Number,
    /// The suggested ratio.
    pub suggested: Number,
}

/// Growth of ropes by heat, per kelvin.
#[derive(Debug, Clone)]
pub(crate) struct ExpansionRow {
    pub materials: Vec<String>,
    pub per_k: Number,
}

impl Tables {
    /// Lays another book's tables over these: its rows are found first, its table of bends replaces this one.
    pub fn overlaid(&self, over: &Tables) -> Tables {
        let bend = if over.bend.is_empty() {
            &self.bend
        } else {
            &over.bend
        };
        Tables {
            bend: bend.clone(),
            stretch: [over.stretch.as_slice(), &self.stretch].concat(),
            settling: [over.settling.as_slice(), &self.settling].concat(),
            sheaves: [over.sheaves.as_slice(), &self.sheaves].concat(),
            expansion: [over.expansion.as_slice(), &self.expansion].concat(),
        }
    }

    /// Gives the share of its strength that a rope keeps where it bends.
    pub fn bend_efficiency(&self, ratio: &Number) -> Option<Number> {
        let r = ratio.value();
        let last = self.bend.last()?;
        if r >= last.ratio.value() {
            return Some(last.efficiency.clone());
        }
        let (a, b) = self
            .bend
            .windows(2)
            .filter_map(|pair| match pair {
                [a, b] => Some((a, b)),
                _ => None,
            })
            .find(|(a, b)| a.ratio.value() <= r && r < b.ratio.value())?;
        let slope = (&b.efficiency - &a.efficiency) / (&b.ratio - &a.ratio);
        let formula = &a.efficiency + slope * (ratio - &a.ratio);
        let source = Source::plain(
            "straight line between the printed points, common practice",
            Seen::CommonPractice,
        );
        Some(Number::computed(
            "share of the strength left at the bend",
            "e_b",
            Kind::Ratio,
            formula,
            source,
        ))
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

    /// Gives the sheave ratio for a rope that runs.
    pub fn sheave_ratio(&self, rope: &Rope) -> Option<&SheaveRatio> {
        self.sheaves
            .iter()
            .find(|row| row.construction == rope.construction)
    }

    /// Gives the most by which a new rope settles.
    pub fn settling(&self, rope: &Rope) -> Option<Number> {
        let row = self
            .settling
            .iter()
            .find(|row| row.constructions.contains(&rope.construction) && row.core == rope.core)?;
        Some(row.most.clone())
    }

    /// Gives the growth of a rope by heat.
    pub fn thermal_expansion(&self, rope: &Rope) -> Option<Number> {
        let row = self
            .expansion
            .iter()
            .find(|row| row.materials.contains(&rope.material))?;
        Some(row.per_k.clone())
    }
}
