//! The sound of the second channel.

use std::f64::consts::TAU;

use plumbline_ltc::Level;

use crate::Plan;
use crate::schedule::Place;
use crate::sound::Beside;

/// Hertz of what is beside the code.
const FREQUENCY: u32 = 1000;

/// The second channel, block by block, in step with the code on the first.
#[derive(Debug, Clone)]
pub(crate) struct SecondChannel {
    /// The two latest bursts, the last one first: samples of the code are handed out a little
    /// after its codeword began, so the one before may not be over.
    bursts: [Burst; 2],
    block: Vec<f32>,
}

impl SecondChannel {
    pub(crate) fn new() -> Self {
        Self {
            bursts: [Burst::default(), Burst::default()],
            block: Vec::new(),
        }
    }

    /// Takes note that the codeword with that number of all follows.
    pub(crate) fn announce(&mut self, plan: &Plan, codeword: u64) {
        let schedule = &plan.schedule;
        let cycles = match plan.sound.beside {
            Beside::LineUp if schedule.begins_run(codeword) => schedule.cycles_in_run(FREQUENCY),
            Beside::Blips if plan.begins_second(codeword) => {
                let parts = plan.timebase.count().frames_per_codeword();
                schedule.cycles_in_frame(FREQUENCY, parts)
            }
            Beside::Nothing | Beside::Silence | Beside::LineUp | Beside::Blips => return,
        };
        self.bursts.rotate_right(1);
        let [burst, _] = &mut self.bursts;
        burst.set(schedule.begins(codeword), cycles, plan.sound.hertz);
    }

    /// The samples from number `from` on, as many as the code has.
    pub(crate) fn samples(&mut self, from: u64, count: usize) -> &[f32] {
        self.block.clear();
        self.block.resize(count, 0.0);
        for burst in &self.bursts {
            burst.fill(from, &mut self.block);
        }
        &self.block
    }
}

/// Whole cycles of a sine from some place on, at the alignment level of EBU R 68, -18 dBFS. It
/// begins and ends where it passes nought, so nothing clicks.
#[derive(Debug, Clone, Default)]
struct Burst {
    /// Its first sample, and the one after its last.
    first: u64,
    end: u64,
    /// A hundredth of a second from `first` on, after which it repeats: a whole number of samples
    /// at every sample rate that can be asked for.
    cycle: Vec<f32>,
}

impl Burst {
    fn set(&mut self, begins: Place, cycles: u64, hertz: u32) {
        self.first = begins.rounded_up();
        let length = begins.fraction() + cycles as f64 * f64::from(hertz) / f64::from(FREQUENCY);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a day at 192 kHz has 34 bits"
        )]
        let length = length.ceil() as u64;
        self.end = begins.sample + length;
        let turn = TAU * f64::from(FREQUENCY) / f64::from(hertz);
        let late = (self.first - begins.sample) as f64 - begins.fraction();
        let level = Level::default().amplitude();
        self.cycle.clear();
        self.cycle.extend((0..hertz / 100).map(|sample| {
            let value = level * (turn * (f64::from(sample) + late)).sin();
            narrowed(value)
        }));
    }

    /// Its part of the samples from number `from` on.
    fn fill(&self, from: u64, block: &mut [f32]) {
        let begins = self.first.max(from);
        let ends = self.end.min(from + block.len() as u64);
        let Some(samples) = (ends > begins)
            .then(|| index(begins - from)..index(ends - from))
            .and_then(|range| block.get_mut(range))
        else {
            return;
        };
        let into = index((begins - self.first) % (self.cycle.len().max(1) as u64));
        let cycle = self.cycle.iter().cycle().skip(into);
        for (sample, value) in samples.iter_mut().zip(cycle) {
            *sample = *value;
        }
    }
}

/// A distance within a block or a cycle.
fn index(distance: u64) -> usize {
    usize::try_from(distance).unwrap_or(usize::MAX)
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "samples are single precision"
)]
const fn narrowed(value: f64) -> f32 {
    value as f32
}
