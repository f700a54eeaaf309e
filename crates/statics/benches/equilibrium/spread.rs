//! Many samples of one rig, solved from its nominal solution on several threads.

use crate::rigs::Case;
use rayon::prelude::*;
use rayon::{ThreadPool, ThreadPoolBuilder};
use statics::{Options, Outcome, Parameters, Solution, Workspace, solve_again};

/// Says what differs from sample to sample.
#[derive(Clone, Copy)]
pub enum Varied {
    /// Unloaded lengths by up to 5 mm, as in references/peers.py.
    Lengths,
    /// Besides, the weight by up to 5 % and the centre by up to 2 cm each way.
    LengthsWeightCentre,
}

/// Holds a rig, its nominal solution, and what solves its samples.
pub struct Spread {
    case: Case,
    nominal: Solution,
    samples: usize,
    pool: ThreadPool,
}

/// Samples that a thread takes at once.
const AT_ONCE: usize = 250;

impl Spread {
    pub fn new(case: Case, samples: usize, threads: usize) -> Self {
        let nominal = case.solve(&mut Workspace::new(&case.topology));
        let pool = ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        Self {
            case,
            nominal,
            samples,
            pool,
        }
    }

    /// Solves every sample; gives the greatest tension of all.
    pub fn solve(&self, varied: Varied) -> f64 {
        let each = || {
            (0..self.samples)
                .into_par_iter()
                .with_min_len(AT_ONCE)
                .map_init(
                    || Worker::new(self),
                    |worker, sample| worker.solve(self, varied, sample),
                )
                .reduce(|| 0.0, f64::max)
        };
        self.pool.install(each)
    }
}

struct Worker {
    parameters: Parameters,
    workspace: Workspace,
    solution: Solution,
}

impl Worker {
    fn new(spread: &Spread) -> Self {
        Self {
            parameters: spread.case.parameters.clone(),
            workspace: Workspace::new(&spread.case.topology),
            solution: spread.nominal.clone(),
        }
    }

    fn solve(&mut self, spread: &Spread, varied: Varied, sample: usize) -> f64 {
        let nominal = &spread.case.parameters;
        let mut dice = Dice(sample as u64);
        for (line, given) in self.parameters.lines.iter_mut().zip(&nominal.lines) {
            line.unloaded_length_m = given.unloaded_length_m + 0.005 * dice.either_side();
        }
        if let Varied::LengthsWeightCentre = varied {
            self.parameters.weight_n[0] = nominal.weight_n[0] * (1.0 + 0.05 * dice.either_side());
            let off = [0, 1, 2].map(|_| 0.02 * dice.either_side());
            self.parameters.centre_m[0] = nominal.centre_m[0] + statics::Vector3::from(off);
        }
        let state = &mut self.solution.state;
        state.position_m.copy_from_slice(&spread.nominal.state.position_m);
        state.rotation.copy_from_slice(&spread.nominal.state.rotation);
        let Self {
            parameters,
            workspace,
            solution,
        } = self;
        match solve_again(
            &spread.case.topology,
            parameters,
            &Options::warm(),
            workspace,
            solution,
        ) {
            Ok(Outcome::Found(())) => solution
                .lines
                .iter()
                .map(|line| line.tension_n)
                .fold(0.0, f64::max),
            other => panic!("sample {sample}: {other:?}"),
        }
    }
}

/// A stream of its own for every sample, so that the order of threads does not matter (SplitMix64, Steele, Lea and Flood
/// 2014, from memory).
struct Dice(u64);

impl Dice {
    /// Between -1 and 1.
    fn either_side(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_add(0x9e37_79b9_7f4a_7c15)
            .wrapping_mul(0xd134_2543_de82_ef95);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }
}
