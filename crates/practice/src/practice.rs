//! What a practice is: the design factors and limits that apply to one duty.

use crate::facts::{Service, Under};
use parts::{Body, Part};
use std::collections::BTreeMap;
use working::Number;

/// The design factors and limits that apply to one duty.
#[derive(Debug, Clone)]
pub struct Practice {
    /// Its name in rig documents.
    pub id: String,
    /// What it is, in a few words.
    pub title: String,
    /// What it is for and what it asks, in words.
    pub statement: String,
    /// Whether loads may move while they hang.
    pub covers_moving: bool,
    /// When a dynamic factor has to be stated.
    pub dynamic_factor: DynamicFactor,
    /// Whether adjustable grips may be used at all.
    pub adjustable_grips: bool,
    /// Which share of a load a line is held against where sharing hangs on exact lengths.
    pub sharing: Sharing,
    /// The least span over deflection of a pipe.
    pub deflection_ratio: Number,
    /// The design factors by who may be below; who is missing may not be below.
    pub below: BTreeMap<Under, Factors>,
    /// The shop's file and the practice it is based on; none for a published practice.
    pub shop: Option<ShopPractice>,
}

/// When a dynamic factor has to be stated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum DynamicFactor {
    /// For loads that move.
    WhenMoving,
    /// For every load.
    Always,
}

/// Which share of a load a line is held against where sharing hangs on exact lengths.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sharing {
    /// The share at the stated lengths. Looser, and always a caution.
    Elastic,
    /// The worse of that and of the greatest share that inexact lengths can bring.
    Worst,
}

/// What a shop's practice is based on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShopPractice {
    /// The file it was read from.
    pub file: String,
    /// The practice it is based on.
    pub based_on: String,
    /// In what it is looser than that, each in words.
    pub looser: Vec<String>,
    /// Why it is looser, in the shop's words; empty if it is not.
    pub because: String,
}

/// The design factors for one kind of place below.
#[derive(Debug, Clone)]
pub struct Factors {
    /// For wire rope with its ends and bends.
    pub rope: Number,
    /// For shackles.
    pub shackle: Number,
    /// For all other hardware.
    pub hardware: Number,
    /// For adjustable grips.
    pub adjustable_grip: Number,
    /// What a reader must know when it is used.
    pub note: Option<String>,
}

impl Practice {
    /// Gives the design factors with these people below; none if the practice refuses them.
    pub fn factors(&self, under: Under) -> Option<&Factors> {
        self.below.get(&under)
    }

    /// Says what it covers and asks, and in what a shop's differs from the one it is based on.
    pub fn sentences(&self) -> Vec<String> {
        let moving = if self.covers_moving {
            "loads that move and loads that hang still"
        } else {
            "loads that hang still"
        };
        let dynamic = match self.dynamic_factor {
            DynamicFactor::WhenMoving => "for loads that move",
            DynamicFactor::Always => "for every load",
        };
        let grips = if self.adjustable_grips {
            "allowed"
        } else {
            "refused"
        };
        let sharing = match self.sharing {
            Sharing::Worst => {
                "the worse of the share at the stated lengths and the greatest that inexact lengths can bring"
            }
            Sharing::Elastic => "the share at the stated lengths",
        };
        let mut said = vec![
            format!("Covers {moving}. A dynamic factor is due {dynamic}. Adjustable grips are {grips}."),
            format!("Where sharing hangs on exact lengths a line is held against {sharing}."),
        ];
        said.push(format!(
            "A pipe may sag by its span over {} ({}).",
            self.deflection_ratio.value(),
            self.deflection_ratio.source()
        ));
        if let Some(shop) = &self.shop {
            said.push(format!("Based on {}, by {}.", shop.based_on, shop.file));
            if !shop.looser.is_empty() {
                said.push(format!(
                    "Looser in: {}. Reason: {}.",
                    shop.looser.join("; "),
                    shop.because
                ));
            }
        }
        let notes = self
            .below
            .iter()
            .filter_map(|(under, factors)| Some((under, factors.note.as_ref()?)));
        said.extend(notes.map(|(under, note)| format!("With {}: {note}.", under.words())));
        said
    }

    /// Tells whether a load that does this must have a dynamic factor stated.
    pub fn asks_dynamic_factor(&self, service: Service) -> bool {
        service != Service::Still || self.dynamic_factor == DynamicFactor::Always
    }
}

impl Factors {
    /// Gives the design factor for a part.
    pub fn of(&self, part: &Part) -> &Number {
        match part.body {
            Body::Rope(_) | Body::End(_) | Body::Clips(_) | Body::Thimble(_) => &self.rope,
            Body::Shackle(_) => &self.shackle,
            Body::Grip(_) => &self.adjustable_grip,
            // A section bends and stands in no line: what it may carry there has its factor in it.
            Body::EyeBolt(_) | Body::Turnbuckle(_) | Body::Link(_) | Body::Section(_) => &self.hardware,
        }
    }

    /// Gives each factor with the name it has in a practice document.
    pub fn each(&self) -> [(&'static str, &Number); 4] {
        [
            ("rope", &self.rope),
            ("shackle", &self.shackle),
            ("hardware", &self.hardware),
            ("adjustable_grip", &self.adjustable_grip),
        ]
    }
}

impl Under {
    /// Says who is below, as in "with the public below".
    pub fn words(self) -> &'static str {
        match self {
            Under::Nobody => "nobody below",
            Under::Crew => "crew below",
            Under::Public => "the public below",
        }
    }

    /// Tells whether anyone may be below.
    pub fn is_overhead(self) -> bool {
        self != Under::Nobody
    }
}
