use statics::*;
use std::time::Instant;
#[path = "../benches/shared.rs"]
mod shared;
fn main() {
    let arg = std::env::args().nth(1).unwrap_or_default();
    if arg == "cold" || arg == "warm" {
        let case = shared::four_leg_hang();
        let mut ws = Workspace::new(&case.topology);
        let mut sol = case.solve(&mut ws);
        let mut changed = case.parameters.clone();
        let t = Instant::now();
        for i in 0..400_000 {
            if arg == "cold" {
                sol = case.solve(&mut ws);
            } else {
                let trim = case.parameters.lines[0].unloaded_length_m;
                changed.lines[0].unloaded_length_m = trim + if i % 2 == 0 { 0.003 } else { 0.0 };
                solve_again(&case.topology, &changed, &Options::warm(), &mut ws, &mut sol).unwrap();
            }
        }
        println!(
            "{arg} {} its {} fact, wall {:?}",
            sol.iterations,
            sol.factorisations,
            t.elapsed() / 400_000
        );
        return;
    }
    for side in [2, 3, 4, 6, 8, 20, 50, 100] {
        let case = shared::net(side);
        let mut ws = Workspace::new(&case.topology);
        let t = Instant::now();
        let s = case.solve(&mut ws);
        println!(
            "net {side}: {} its {} fact {:?} T {}",
            s.iterations,
            s.factorisations,
            t.elapsed(),
            s.lines[0].tension_n
        );
    }
}
