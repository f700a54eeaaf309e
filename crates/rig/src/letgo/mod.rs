//! What happens when a part lets go, for every part of a rig.
//!
//! `event` lists what may let go; `masses` says what is how hard to turn; `scene` makes the rig ready to be followed, at each
//! stiffness that its lines may have; `run` follows one event in one way, for longer while that is `unfinished`; `off` does so with centres of gravity off; `gets` says what everything gets
//! in it, `pipes` what pipes do; `case` takes the worst of all ways; `sweep` does so for
//! all events; `answer` is what comes out; `on_the_way` and `catch` say it in the words of the rules.

mod answer;
mod case;
mod catch;
mod event;
mod gets;
mod masses;
mod off;
mod on_the_way;
mod pipes;
mod run;
mod scene;
mod sweep;
mod unfinished;

pub(crate) use catch::caught_sets;
pub(crate) use on_the_way::follow_in_time;
pub(crate) use scene::Standing;

pub use answer::{
    LetGoAnswer, LetGoCase, LetGoClamp, LetGoGroup, LetGoJunction, LetGoLine, LetGoLoad, LetGoPipe,
    LetGoPoint, LetGoSplice, LetGoWay, Outcome, Parting,
};
pub use sweep::{History, LetGoError, LetGoQuestion, Which, letgo};
