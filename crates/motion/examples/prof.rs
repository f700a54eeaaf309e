#[path = "../tests/support.rs"]
#[allow(dead_code)]
mod support;
fn main() {
    let ring = std::env::args().nth(1).unwrap() == "ring";
    let damping: f64 = std::env::args().nth(2).unwrap().parse().unwrap();
    let mut rig = if ring {
        support::plate_on_ring(damping)
    } else {
        support::plate_on_four(damping)
    };
    let line = rig.topology.lines().nth(if ring { 2 } else { 1 }).unwrap();
    rig.cut(line);
    let t = std::time::Instant::now();
    let n = if ring { 200 } else { 1000 };
    for _ in 0..n {
        rig.follow(1.5, 1e-5);
    }
    println!("{:?}", t.elapsed() / n);
}
