//! How long samples take: a stiff plate on four legs, all that may be off off. One sample is what comes before and after.

#![allow(
    clippy::unwrap_used,
    missing_docs,
    reason = "a bench that can not go on says so"
)]

use criterion::{Criterion, criterion_group, criterion_main};
use parts::Book;
use practice::Practices;
use rig::{SpreadQuestion, spread};
use std::hint::black_box;

/// The four-leg hang of crates/statics/benches: 4 kN on legs of about 6 m and EA of 1 MN.
const PLATE: &str = r#"
title = "four legs"
practice = "static-overhead"
points = { a = { at = ["1.95 m", "1.2 m", "0 m"] }, b = { at = ["-1.95 m", "1.2 m", "0 m"] }, c = { at = ["-1.95 m", "-1.2 m", "0 m"] }, d = { at = ["1.95 m", "-1.2 m", "0 m"] } }
[loads.plate]
weight = "4000 N"
weight_from = "weighed"
centre = ["0.1 m", "-0.05 m", "-0.3 m"]
picks = { a = ["1.5 m", "1 m", "0.2 m"], b = ["-1.5 m", "1 m", "0.2 m"], c = ["-1.5 m", "-1 m", "0.2 m"], d = ["1.5 m", "-1 m", "0.2 m"] }
trim = { at = ["0 m", "0 m", "-6 m"] }
under = "nobody"
[lines]
a = { from = "a", to = "plate.a", length = "5.8207 m", stiffness = "1 MN", weight = "0.14 kg/m", tolerance = "3 mm" }
b = { from = "b", to = "plate.b", length = "5.8207 m", stiffness = "1 MN", weight = "0.14 kg/m", tolerance = "3 mm" }
c = { from = "c", to = "plate.c", length = "5.8207 m", stiffness = "1 MN", weight = "0.14 kg/m", tolerance = "3 mm" }
d = { from = "d", to = "plate.d", length = "5.8207 m", stiffness = "1 MN", weight = "0.14 kg/m", tolerance = "3 mm" }
"#;

fn benches(criterion: &mut Criterion) {
    for samples in [1, 10_000] {
        criterion.bench_function(&format!("plate on four legs, {samples} samples"), |bencher| {
            bencher.iter(|| {
                let question = SpreadQuestion {
                    samples,
                    seed: 1,
                    points_give_m_per_n: None,
                };
                let (book, practices) = (Book::published(), Practices::published());
                let answer = spread(PLATE, book, practices, None, &question, &|_| true).unwrap();
                assert_eq!(answer.samples.hang, u64::from(samples));
                black_box(answer)
            });
        });
    }
}

criterion_group! {
    name = spreads;
    config = Criterion::default().sample_size(10);
    targets = benches
}
criterion_main!(spreads);
