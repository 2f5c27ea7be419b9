//! From bits to codewords.
//!
//! Time: adds no delay.

use super::cells::Bit;
use super::crossings::{Edge, EdgeKind};
use super::envelope::{Extremes, higher};
use super::timing::{self, Timing};
use crate::sync::Register;
use crate::{Codeword, Direction, Received, Seam};

/// A codeword that was read, with what its own edges say of its place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Word {
    pub(super) codeword: Codeword,
    pub(super) direction: Direction,
    /// The number of its first bit as it arrived, in a count that leaps where bits are missing.
    pub(super) first_bit: u64,
    /// A sample near its beginning, from which `middle` is counted.
    pub(super) sample: u64,
    /// The mean of all its edges, each less its place in the codeword: where its middle is, if
    /// its speed is even.
    pub(super) middle: f64,
    /// How long it is, by its own edges.
    pub(super) length: f64,
    /// Where it begins and ends by the edges between the cells there alone.
    pub(super) begins: f64,
    pub(super) ends: f64,
    /// The largest departure of its edges from their places, in cells.
    pub(super) departure: f32,
    /// Between which levels the signal moves in its middle.
    pub(super) band: Extremes,
}

const BITS: usize = Codeword::BITS as usize;
/// How many bits are kept: a power of two, so that a slot is soon found.
const KEPT: usize = 128;

#[derive(Debug, Clone)]
pub(super) struct Words {
    register: Register,
    /// The last bits, number n at n modulo [`KEPT`].
    bits: Box<[Bit; KEPT]>,
    /// How many bits came, in a count that leaps where some are missing.
    came: u64,
    /// How many of them came without a break.
    unbroken: u32,
    timing: Timing,
}

impl Default for Words {
    fn default() -> Self {
        let bit = Bit {
            value: false,
            begins: Edge::NONE,
            middle: 0.0,
            departure: 0.0,
            band: Extremes::NONE,
        };
        Self {
            register: Register::default(),
            bits: Box::new([bit; KEPT]),
            came: 0,
            unbroken: 0,
            timing: Timing::default(),
        }
    }
}

impl Words {
    /// Takes the next bit and the edge that ends it. Inlined, as it comes every few dozen samples,
    /// but not what follows once in eighty times.
    #[inline]
    pub(super) fn push(&mut self, bit: Bit, closing: Edge, received: &mut impl FnMut(Received)) {
        self.take(bit);
        if let Some(direction) = self.direction() {
            self.complete(direction, closing, received);
        }
    }

    /// Hands out the codeword that has just come, and tells whether it was there whole.
    #[inline(never)]
    fn complete(
        &mut self,
        direction: Direction,
        closing: Edge,
        received: &mut impl FnMut(Received),
    ) -> bool {
        let Some(word) = self.word(direction, closing) else {
            return false;
        };
        self.timing.push(word, received);
        true
    }

    /// Where the last codeword ended, and what was heard there.
    pub(super) fn seam(&self) -> Option<Seam> {
        // Of the very first bit, a part may be missing.
        let bits = self.unbroken.saturating_sub(1).min(Register::BITS);
        let (direction, since) = self.register.seam(bits)?;
        let across = self.across(direction, since)?;
        Some(Seam::new(self.register, bits, since, across))
    }

    /// Takes a bit that the edge `closing` would end, if that completes a codeword.
    pub(super) fn close(
        &mut self,
        bit: Bit,
        closing: Edge,
        received: &mut impl FnMut(Received),
    ) -> bool {
        let before = (self.register, self.came, self.unbroken);
        self.take(bit);
        let way = self.direction();
        if way.is_some_and(|way| self.complete(way, closing, received)) {
            return true;
        }
        // What it overwrites in `bits` is older than any codeword.
        (self.register, self.came, self.unbroken) = before;
        false
    }

    /// Bits are missing here.
    pub(super) fn break_off(&mut self, received: &mut impl FnMut(Received)) {
        self.unbroken = 0;
        self.came += BITS as u64;
        self.timing.break_off(received);
    }

    /// As new.
    pub(super) fn reset(&mut self) {
        self.came = 0;
        self.unbroken = 0;
        self.timing.reset();
    }

    #[inline]
    fn take(&mut self, bit: Bit) {
        self.register.push(bit.value);
        self.bits[slot(self.came)] = bit;
        self.came += 1;
        self.unbroken = self.unbroken.saturating_add(1);
    }

    /// Which way a whole codeword has just come, if one has.
    fn direction(&self) -> Option<Direction> {
        self.register
            .direction()
            .filter(|_| self.unbroken >= u32::from(Codeword::BITS))
    }

    /// The edge that begins one of the last 80 cells.
    fn edge(&self, cell: usize) -> Edge {
        self.bits[slot(self.came - (BITS - cell) as u64)].begins
    }

    /// The codeword of the last 80 bits, which the edge `closing` ends; none if it turns out not
    /// to have been there whole.
    fn word(&self, direction: Direction, closing: Edge) -> Option<Word> {
        let sample = self.edge(0).at.sample();
        let begins = border(|cell| self.edge(cell), sample)?;
        let ends = border(
            |cell| {
                if cell == 0 {
                    closing
                } else {
                    self.edge(BITS - cell)
                }
            },
            sample,
        )?;
        let (middle, cell) = self.line(sample)?;
        Some(Word {
            codeword: Codeword(self.register.bytes(direction)),
            direction,
            first_bit: self.came - BITS as u64,
            sample,
            middle,
            length: cell * f64::from(Codeword::BITS),
            begins,
            ends,
            departure: self.departure(closing),
            band: self.band(),
        })
    }

    /// The last 80 bits in the order of a codeword, where one ended so many bits ago; at the place
    /// of that one.
    fn across(&self, direction: Direction, since: u32) -> Option<Received> {
        if self.unbroken < u32::from(Codeword::BITS) {
            return None;
        }
        let sample = self.edge(0).at.sample();
        let (middle, cell) = self.line(sample)?;
        let middle = middle - cell * f64::from(since);
        let length = cell * f64::from(Codeword::BITS);
        let word = Word {
            codeword: Codeword(self.register.turned(since).bytes(direction)),
            direction,
            first_bit: self.came - BITS as u64,
            sample,
            middle,
            length,
            begins: middle - length / 2.0,
            ends: middle + length / 2.0,
            departure: self.departure(Edge::NONE),
            band: self.band(),
        };
        Some(timing::place(None, word, None))
    }

    /// The last 80 bits and their cells, counted from the middle of them.
    fn last(&self) -> impl Iterator<Item = (f64, &Bit)> {
        let places =
            (0..Codeword::BITS).map(|cell| f64::from(cell) - f64::from(Codeword::BITS) / 2.0);
        places.zip((self.came - BITS as u64..self.came).map(|number| &self.bits[slot(number)]))
    }

    /// The straight line through all edges of the last 80 bits: where their middle is, in samples
    /// from sample number `sample`, and how long a cell.
    fn line(&self, sample: u64) -> Option<(f64, f64)> {
        let mut fit = Fit::default();
        for (place, bit) in self.last() {
            let begins = bit.begins.at.after(sample);
            if bit.begins.kind == EdgeKind::Inner {
                fit.add(place, begins);
            }
            if bit.value {
                fit.add(place + 0.5, begins + f64::from(bit.middle));
            }
        }
        fit.line().filter(|&(_, cell)| cell > 0.0)
    }

    /// The largest departure of an edge of the last 80 bits from its place. Those out of silence or
    /// into it have been judged.
    fn departure(&self, closing: Edge) -> f32 {
        let judged = |&(number, (_, bit)): &(usize, (f64, &Bit))| {
            let closes = number == BITS - 1 && closing.kind == EdgeKind::Outer;
            bit.begins.kind == EdgeKind::Outer || closes
        };
        (self.last().enumerate())
            .filter(|bit| !judged(bit))
            .fold(0.0, |departure, (_, (_, bit))| {
                higher(departure, bit.departure)
            })
    }

    /// Between which levels the signal moves in the middle of the last 80 bits.
    fn band(&self) -> Extremes {
        self.bits[slot(self.came - BITS as u64 / 2)].band
    }
}

/// How many cells at the border of a codeword tell where it begins or ends, if its speed is uneven.
const BORDER: u8 = 10;

/// Where a codeword begins or ends by the edges between the cells there, in samples from sample
/// number `sample`: the straight line through them. `edge` gives them, counted from the outermost.
///
/// None where the outermost edge leads out of silence or into it and is not where the line has it.
/// A part of its cell is missing then, and who knows what it was.
fn border(edge: impl Fn(usize) -> Edge, sample: u64) -> Option<f64> {
    let at = |cell: u8| edge(usize::from(cell)).at.after(sample);
    let is_inner = edge(0).kind == EdgeKind::Inner;
    let mut fit = Fit::default();
    for cell in u8::from(!is_inner)..=BORDER {
        fit.add(f64::from(cell), at(cell));
    }
    let (place, cell) = fit.line()?;
    let is_whole = is_inner || (at(0) - place).abs() <= 1.0 + 0.06 * cell.abs();
    is_whole.then_some(place)
}

/// The straight line through edges: their places in the codeword, in cells, and in the input.
#[derive(Default)]
struct Fit {
    count: f64,
    cells: f64,
    samples: f64,
    cells_squared: f64,
    products: f64,
}

impl Fit {
    fn add(&mut self, cell: f64, sample: f64) {
        self.count += 1.0;
        self.cells += cell;
        self.samples += sample;
        self.cells_squared += cell * cell;
        self.products += cell * sample;
    }

    /// The sample where cells are counted from, and how many samples a cell has.
    fn line(&self) -> Option<(f64, f64)> {
        let spread = self.count * self.cells_squared - self.cells * self.cells;
        let slope = (self.count * self.products - self.cells * self.samples) / spread;
        let origin = (self.samples - slope * self.cells) / self.count;
        slope.is_finite().then_some((origin, slope))
    }
}

#[expect(clippy::cast_possible_truncation, reason = "less than KEPT")]
fn slot(number: u64) -> usize {
    (number % KEPT as u64) as usize
}
