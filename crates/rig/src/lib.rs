//! The rig document: from text to model to verdict.
//!
//! The way of the data: [`read`] takes a text to a [`Rig`] (what the writer said, with every name resolved);
//! `model` takes the rig and its parts to the mechanics; `found` solves it, with the subsets and trials the
//! rules ask for; `facts` says what came out in the words of the rules; [`check`] puts the verdict together. [`spread()`]
//! solves the same model over and over with what may be off a little off. `adjust` says how a rig is set right: [`trim`].

mod adjust;
mod balance;
mod cases;
mod check;
mod connect;
mod corners;
mod defaults;
mod document;
mod facts;
mod forces_away;
mod found;
mod geometry;
mod letgo;
mod model;
mod pipes;
mod pull_tests;
mod read;
mod shape;
mod shares;
mod shop;
mod slipping;
mod spread;
mod steadiness;
mod to_trim;
mod trials;
mod verdict;

pub use adjust::{
    AdjusterAnswer, Among, EffectAnswer, EstimateAnswer, Figure, Goal, HoldsMeanwhile, LineEffect, LineNow,
    LoadEffect, LoadNow, PickNow, PlanAnswer, READINGS, ReadingAnswer, Readings, Remark, RigNow, StepAnswer,
    TrimAnswer, TrimError, WeightAnswer, read_readings, trim,
};
pub use cases::{
    Acting, Case, CaseBuiltIn, CaseForce, CaseForces, CaseKind, CaseLine, CaseOnBuilding, CaseVerdict,
    CaseWeight, Face, Faced, Speed, Stage, Wind,
};
pub use check::{CheckError, check};
pub use document::{
    Allows, Applied, End, Given, Item, Junction, Length, Line, Load, MadeUp, Permit, Point, ProvedBy, Rig,
    Trim,
};
pub use letgo::{
    History, LetGoAnswer, LetGoCase, LetGoClamp, LetGoError, LetGoGroup, LetGoJunction, LetGoLine, LetGoLoad,
    LetGoPipe, LetGoPoint, LetGoQuestion, LetGoSplice, LetGoWay, Outcome, Parting, Which, letgo,
};
pub use pipes::{
    AlongVerdict, BayVerdict, BendingAllowed, BuiltInVerdict, Carried, Given as PipeGiven, Pipe, PipePick,
    PipePickVerdict, PipeVerdict, Splice, Spread,
};
pub use pull_tests::{PullTests, series_named};
pub use read::{GIVES_M_PER_N, read};
pub use shape::RIG;
pub use shop::{SHOP, Shop, read_shop};
pub use spread::{
    Causes, Chance, Estimate, Group, InputLaw, InputSpread, LineSpread, LoadSpread, MOST_SAMPLES, MostCause,
    PointSpread, SampleCount, SpreadAnswer, SpreadQuestion, Spreading, TwoLegs, spread,
};
pub use verdict::{
    Equilibrium, GroupVerdict, JunctionVerdict, LineVerdict, LoadVerdict, PickVerdict, PointVerdict, Verdict,
    VerdictWord,
};
