//! A small model of a pull test, for made-up logs of which all is known.
//!
//! Conventions: SI; time from the start.
//! Assumes: a machine that is a spring pulls a specimen that is one too, of equal strands side by side; bedding makes it soft at first. A slip
//! lengthens it at once; a strand that breaks takes its share of the stiffness with it; inertia, heat and creep are left out, but that a force
//! which is held sags.
//! Valid for: made-up examples and tests of what reads logs. It says nothing of real parts.
//! Source: springs in a row and side by side (by hand).
//! Checked by: tests/logs.rs (against its own truth), C27 in tests/published.rs.

use crate::specimen::{Kind, in_a_row_n_per_m};

/// A made-up specimen in a machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Made {
    /// Stiffness of the specimen with all its strands, N/m.
    pub stiffness_n_per_m: f64,
    /// Stiffness of the machine, N/m.
    pub machine_n_per_m: f64,
    /// Equal strands.
    pub strands: u32,
    /// How far bedding goes, m; 0 for none.
    pub bedding_m: f64,
    /// What gives way, in the order of the forces at which it does, N.
    pub gives: Vec<(f64, Gives)>,
    /// What the machine does.
    pub steps: Vec<Step>,
}

/// What gives way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Gives {
    /// It slips so far, m, and holds again.
    Slips(f64),
    /// So many strands break.
    Strands(u32),
    /// It breaks.
    Breaks,
    /// From here on it slips as fast as it is pulled, and holds less the further it slips: so much per metre, N/m.
    PullsOut(f64),
}

/// What a machine does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Step {
    /// It stands still for so long, s.
    Stands(f64),
    /// It goes on at so many m/s, until so much force is there, N, or the specimen is gone.
    Pulls(f64, f64),
    /// It goes on for so long at so many m/s.
    Goes(f64, f64),
    /// It is let down at so many m/s, until no more than so much force is there, N.
    LetsDown(f64, f64),
    /// It is pumped: so many strokes of so many metres each, a second each, sagging by a share between.
    Pumps(u32, f64, f64),
    /// It stands still for so long, s, while the force sags by a share of itself with so many seconds as its measure.
    Holds(f64, f64),
    /// It stands still, and the specimen slips so far, m.
    Slips(f64),
}

/// What really happened.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Truth {
    /// The greatest force, N.
    pub peak_n: f64,
    /// When.
    pub peak_s: f64,
    /// What gave way: what, when, the force before, and by how much it fell, N.
    pub events: Vec<(Kind, f64, f64, f64)>,
}

/// What was there at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// s.
    pub time_s: f64,
    /// N.
    pub force_n: f64,
    /// Travel of the machine, m.
    pub travel_m: f64,
}

/// Makes a test up, read so many times a second; all that happened is known.
#[must_use]
pub fn make_up(made: &Made, rate_hz: f64) -> (Vec<Moment>, Truth) {
    let mut test = Test {
        made,
        now: Moment {
            time_s: 0.0,
            force_n: 0.0,
            travel_m: 0.0,
        },
        read: Vec::new(),
        truth: Truth::default(),
        slipped_m: 0.0,
        whole: made.strands,
        next: 0,
        pulls_out: None,
        rate_hz,
        dt_s: (0.05 / rate_hz).min(5e-4),
        ticks: 0,
    };
    test.read.push(test.now);
    for step in &made.steps {
        test.run(*step);
    }
    (test.read, test.truth)
}

struct Test<'a> {
    made: &'a Made,
    now: Moment,
    read: Vec<Moment>,
    truth: Truth,
    slipped_m: f64,
    whole: u32,
    next: usize,
    /// The force that is held, N, and by how much less for each metre, once it pulls out.
    pulls_out: Option<(f64, f64)>,
    rate_hz: f64,
    dt_s: f64,
    ticks: u64,
}

impl Test<'_> {
    fn run(&mut self, step: Step) {
        match step {
            Step::Stands(seconds) => self.go_for(seconds, 0.0),
            Step::Goes(seconds, speed) => self.go_for(seconds, speed),
            Step::Slips(by_m) => self.slip(by_m),
            Step::Holds(seconds, sag) => {
                let from_n = self.now.force_n;
                let (start_s, slipped_m) = (self.now.time_s, self.slipped_m);
                while self.now.time_s < start_s + seconds {
                    let share = sag * (1.0 - (-(self.now.time_s - start_s) / (0.3 * seconds)).exp());
                    self.slipped_m = slipped_m + share * from_n / self.stiffness();
                    self.tick(0.0);
                }
            }
            Step::Pulls(speed, until_n) => {
                while self.now.force_n < until_n && self.whole > 0 && self.now.travel_m < 10.0 {
                    self.tick(speed);
                }
            }
            Step::LetsDown(speed, until_n) => {
                while self.now.force_n > until_n && self.whole > 0 {
                    self.tick(-speed);
                }
            }
            Step::Pumps(strokes, stroke_m, sag) => {
                for _ in 0..strokes {
                    self.go_for(0.4, stroke_m / 0.4);
                    let (start_s, slipped_m) = (self.now.time_s, self.slipped_m);
                    let back_m = sag * self.now.force_n / self.stiffness().max(1.0);
                    while self.now.time_s < start_s + 0.6 {
                        let share = 1.0 - (-(self.now.time_s - start_s) / 0.3).exp();
                        self.slipped_m = slipped_m + share * back_m;
                        self.tick(0.0);
                    }
                }
            }
        }
    }

    fn go_for(&mut self, seconds: f64, speed: f64) {
        let until_s = self.now.time_s + seconds;
        while self.now.time_s < until_s {
            self.tick(speed);
        }
    }

    fn stiffness(&self) -> f64 {
        let share = f64::from(self.whole) / f64::from(self.made.strands);
        if share > 0.0 {
            in_a_row_n_per_m(share * self.made.stiffness_n_per_m, self.made.machine_n_per_m)
        } else {
            0.0
        }
    }

    fn force_n(&self) -> f64 {
        let long_m = (self.now.travel_m - self.slipped_m).max(0.0);
        let bedding_m = self.made.bedding_m;
        let pulled_m = if bedding_m > 0.0 {
            long_m - bedding_m * (1.0 - (-long_m / bedding_m).exp())
        } else {
            long_m
        };
        self.stiffness() * pulled_m
    }

    fn tick(&mut self, speed: f64) {
        self.ticks += 1;
        self.now.time_s = self.ticks as f64 * self.dt_s;
        self.now.travel_m += speed * self.dt_s;
        self.now.force_n = self.force_n();
        self.give_way();
        if let Some((held_n, less)) = self.pulls_out
            && self.now.force_n > held_n
        {
            let slips_m = (self.now.force_n - held_n) / self.stiffness();
            self.slipped_m += slips_m;
            self.pulls_out = Some(((held_n - less * slips_m).max(0.0), less));
            self.now.force_n = self.force_n();
        }
        if self.now.force_n > self.truth.peak_n {
            (self.truth.peak_n, self.truth.peak_s) = (self.now.force_n, self.now.time_s);
        }
        if self.now.time_s * self.rate_hz >= self.read.len() as f64 - 1e-9 {
            self.read.push(self.now);
        }
    }

    fn slip(&mut self, by_m: f64) {
        let before_n = self.now.force_n;
        self.slipped_m += by_m;
        self.now.force_n = self.force_n();
        self.truth
            .events
            .push((Kind::Slip, self.now.time_s, before_n, before_n - self.now.force_n));
    }

    /// Lets go what this force makes give way.
    fn give_way(&mut self) {
        while let Some((at_n, gives)) = self.made.gives.get(self.next) {
            if self.now.force_n < *at_n || self.whole == 0 {
                return;
            }
            self.next += 1;
            let before_n = self.now.force_n;
            if before_n > self.truth.peak_n {
                (self.truth.peak_n, self.truth.peak_s) = (before_n, self.now.time_s);
            }
            let kind = match gives {
                Gives::Slips(by_m) => {
                    self.slip(*by_m);
                    continue;
                }
                Gives::Strands(count) => {
                    self.whole = self.whole.saturating_sub(*count);
                    Kind::Break
                }
                Gives::Breaks => {
                    self.whole = 0;
                    Kind::Break
                }
                Gives::PullsOut(less) => {
                    self.pulls_out = Some((before_n, *less));
                    continue;
                }
            };
            self.now.force_n = self.force_n();
            self.truth
                .events
                .push((kind, self.now.time_s, before_n, before_n - self.now.force_n));
        }
    }
}
