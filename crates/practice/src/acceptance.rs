//! Which ropes the ends, clips, thimbles and adjustable grips of a makeup take.
//!
//! Conventions: diameters are nominal, metres.
//! Assumes: a part without a list of ropes takes any; an adjustable grip takes only the exact ropes it is rated on.
//! Valid for: parts on one rope. What refuses its rope leaves the line without a working load.
//! Source: [bib:b3026-2010] (as the maker recommends); [bib:univ-prod] (thimbles).
//! Checked by: tests in `rules/rope_accepted.rs` and `working_load.rs`.

use crate::says;
use parts::{Body, Part, Rope};

/// Two printings of one nominal size differ by less than this share; neighbouring sizes differ by far more.
const SAME_SIZE: f64 = 0.02;

/// Says why a part does not take a rope; none if it does.
pub(crate) fn refusal(part: &Part, rope: &Rope) -> Option<String> {
    match &part.body {
        Body::End(end) => end.accepts.refusal(rope),
        Body::Clips(clips) => clips
            .accepts
            .refusal(rope)
            .or_else(|| by_size(clips.rope_diameter_m, rope)),
        Body::Thimble(thimble) => by_size(thimble.rope_diameter_m, rope),
        Body::Grip(grip) => grip.accepted(rope).err().map(|why| why.to_string()),
        _ => None,
    }
}

fn by_size(made_for_m: f64, rope: &Rope) -> Option<String> {
    let diameter_m = rope.diameter_m.value();
    // Written so that a size that is no number is refused.
    let same = (made_for_m - diameter_m).abs() <= SAME_SIZE * diameter_m;
    (!same).then(|| {
        format!(
            "it is made for {}, this rope is {}",
            says::metres(made_for_m),
            says::metres(diameter_m)
        )
    })
}
