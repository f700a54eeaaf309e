//! One plain function for each question a user can ask: all that a front door may call.
//!
//! Takes texts with the names of the files they came from, and gives plain data. It reads no file, no clock and
//! no environment: the front doors do that.

mod check;
mod explain;
mod letgo;
mod line;
mod log_plot;
mod mistakes;
mod part_words;
mod parts_page;
mod prove_log;
mod prove_plan;
mod prove_series;
mod rules_page;
mod schemas;
mod series_plot;
mod shelf;
mod spread;
mod starter;
mod trim;

pub use check::{Ask, CheckFailure, Text, check, check_all};
pub use document::nearest;
pub use explain::{Unexplained, explain, explain_line, paths, paths_under};
pub use letgo::{LetGoAsk, LetGoFailure, LetGoReply, MOST_SECONDS, letgo};
pub use line::{LineAnswer, LineFailure, LinePart, LineQuestion, line};
pub use mistakes::Mistakes;
pub use parts_page::{PartFigure, PartPage, PartSummary, part, parts};
pub use practice::{Finding, Severity, cautions, share_in_words};
pub use prove_log::{LogAsk, LogFailure, LogReply, prove_log};
pub use prove_plan::prove_plan;
pub use prove_series::{SeriesAsk, SeriesReply, explain_kind, prove_series};
pub use quantity::{Kind, Style, Units, paragraph};
pub use rig::{
    AdjusterAnswer, EffectAnswer, EstimateAnswer, Figure, HoldsMeanwhile, PlanAnswer, ReadingAnswer, Remark,
    RigNow, StepAnswer, TrimAnswer, WeightAnswer,
};
pub use rig::{
    AlongVerdict, BayVerdict, BuiltInVerdict, CaseBuiltIn, CaseForces, CaseKind, CaseLine, CaseOnBuilding,
    CaseVerdict, Equilibrium, GroupVerdict, JunctionVerdict, LineVerdict, LoadVerdict, PickVerdict,
    PipePickVerdict, PipeVerdict, PointVerdict, Shop, Verdict, VerdictWord,
};
pub use rig::{
    Causes, Chance, Estimate, Group, InputLaw, InputSpread, LineSpread, LoadSpread, MOST_SAMPLES, MostCause,
    PointSpread, SampleCount, SpreadAnswer, Spreading, TwoLegs,
};
pub use rig::{
    LetGoAnswer, LetGoCase, LetGoClamp, LetGoGroup, LetGoJunction, LetGoLine, LetGoLoad, LetGoPipe,
    LetGoPoint, LetGoSplice, LetGoWay, Outcome, Parting, PullTests, Which,
};
pub use rules_page::{PracticeFactor, PracticePage, RulePage, practice, rule, rules};
pub use schemas::{REFERENCES, SCHEMAS, reference, schema};
pub use series::{
    Comparison, EventAnswer, EventKind, HoldAnswer, KindAnswer, KindPlan, LogAnswer, LogReading, Need, Open,
    PreloadAnswer, SEEN, SeriesAnswer, SpecimenAnswer, Supported, TestPlan, Warning,
};
pub use shelf::{Shelf, shop};
pub use spread::{SpreadAsk, SpreadFailure, spread};
pub use starter::starter;
pub use trim::{TrimFailure, TrimQuestion, trim};
