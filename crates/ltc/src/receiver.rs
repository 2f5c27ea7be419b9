//! The whole receiver: edges where they can be seen, and all that can be heard where they can't.
//!
//! Sound is cut into blocks of two seconds, counted from the first sample ever pushed. Edges are
//! looked at everywhere. A block that they cover with codewords, one after the other, is done; any
//! other is read again, with half a second of what is around it, by [`crate::robust`]. What that
//! gives is judged together with two blocks on either side, so that nothing stands alone.
//!
//! Where ten seconds gave no codeword, but something that may be code, all of them together are asked
//! for their start.
//!
//! Where there was no code for half a minute, edges are still looked at everywhere, but only one block
//! in eight is weighed: so code that begins under noise later than that is found up to 16 s late.
//! Beside a channel whose code edges show, patience is shorter, and edges are soon looked at in glimpses
//! only: see [`crate::push_in_step`].
//!
//! Time: a block that edges cover is handed out a second after it has ended, any other four seconds
//! later.

use std::collections::VecDeque;

use plumbline_timecode::SampleRate;

use crate::finer::Finer;
use crate::robust::{Heard, HeardTogether, Pieces, Reading, Run, Witness, agreed};
use crate::{Demodulator, Evidence, Neighbours, Position, Quality, Received, Together};

/// Reads code from sound: what [`Demodulator`] reads, and what noise, hum, clicks, other sound or
/// lossy coding left of code.
///
/// What comes out does not depend on how the input is cut, and memory does not grow with it: about
/// ten seconds of sound are kept. Samples that are not finite count as 0.
///
/// ```
/// use plumbline_ltc::Receiver;
/// use plumbline_timecode::SampleRate;
/// let mut receiver = Receiver::new(SampleRate::hertz(48_000)?);
/// let mut evidence = Vec::new();
/// receiver.push(&[0.0; 4800], &mut |found| evidence.push(found));
/// receiver.finish(&mut |found| evidence.push(found));
/// assert!(evidence.is_empty());
/// # Ok::<(), plumbline_timecode::SampleRateError>(())
/// ```
#[derive(Debug, Clone)]
pub struct Receiver {
    demodulator: Demodulator,
    gaze: Gaze,
    finer: Finer,
    pieces: Pieces,
    /// Samples in a block.
    block: u64,
    /// The sound from `kept_from` on.
    kept: Vec<f32>,
    kept_from: u64,
    pushed: u64,
    /// The number of the next block to be read.
    next: u64,
    /// Codewords by edges that no block has taken yet.
    by_edges: VecDeque<Received>,
    /// The last one that a block took.
    before: Option<Received>,
    /// How code ran in the last block.
    run: Option<Run>,
    /// How many blocks were read since code was last handed out, or since the recording began.
    without: u64,
    /// Blocks that were read: some that were handed out, and those that were not yet.
    blocks: VecDeque<Block>,
    handed_out: usize,
    /// How code may run in the blocks of this group that were read; none once one had codewords.
    supposed: Option<Vec<Run>>,
    /// Where the last codeword that was handed out ends.
    read_until: f64,
    /// Where the last codeword of the last block is.
    last: f64,
}

/// How edges are looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Gaze {
    /// All of them, as samples come.
    Steady,
    /// Some of each block, when it is read.
    Glimpses,
}

/// What other channels of the same recording have at the same time.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Beside<'a> {
    /// Code that edges show.
    PlainCode,
    /// Sound in which code was weighed just before, or may have been, a piece of each such channel.
    Weighed(&'a [&'a [f32]]),
}

impl Beside<'_> {
    pub(crate) const NOTHING: Self = Beside::Weighed(&[]);
}

/// What a block came to.
#[derive(Debug, Clone, Default)]
struct Block {
    found: Vec<Found>,
    /// What the group that it is the last one of says, if none of its codewords is handed out.
    together: Option<Together>,
}

impl Block {
    fn of_edges(words: impl IntoIterator<Item = Received>) -> Self {
        Self {
            found: words.into_iter().map(Found::Edges).collect(),
            together: None,
        }
    }

    /// Whether codewords were read, as far as this block alone can say.
    fn speaks(&self) -> bool {
        let found = self.found.iter().filter(|found| found.witnesses());
        let found: Vec<(usize, &Found)> = found.map(|found| (0, found)).collect();
        agreed(&witnesses(&found)).contains(&true)
    }
}

/// A codeword that was found.
#[derive(Debug, Clone, Copy)]
enum Found {
    /// By its edges.
    Edges(Received),
    /// By weighing: it stays if others agree. If not, what its edges say, if they said something.
    Weighed(Received, Heard, Option<Received>),
}

/// How long a block is, in seconds...
const BLOCK_SECONDS: f64 = 2.0;
/// ...how much around it is looked at, in parts of that...
const AROUND: f64 = 0.25;
/// ...and how long after its end all edges in it are known, in the same parts: code may run at a
/// tenth of its speed.
const AFTER: f64 = 0.5;
/// How many blocks on either side judge what was weighed in one.
const NEIGHBOURS: usize = 2;
/// So many blocks are heard together if no codeword is read in any of them.
const GROUP: u64 = 5;
/// After so many blocks without code...
const PATIENCE: u64 = 15;
/// ...only one in so many is weighed, until code is found again.
const NOW_AND_THEN: u64 = 8;
/// The same beside a channel whose code edges show: after so many, and twice as many each time...
const PATIENCE_BESIDE: u64 = 3;
/// ...and in the end one in so many. From the first of them on, edges are looked at in glimpses...
const RARELY: u64 = 64;
/// ...of which a block has so many...
const GLIMPSES: u64 = 2;
/// ...each such a part of it: long enough to know cells from half cells.
const GLIMPSE: f64 = 1.0 / 16.0;
/// Codewords are the same one if they begin within this part of one.
const SAME: f64 = 0.4;
/// Codewords that follow each other may part by this much of one.
const GAP: f64 = 0.1;
/// How sure a codeword is by its edges, in nats.
const EDGES_MARGIN: f32 = 30.0;

impl Receiver {
    /// Ready for the first sample.
    pub fn new(sample_rate: SampleRate) -> Self {
        let hertz = sample_rate.as_f64();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "`as` saturates"
        )]
        let block = ((BLOCK_SECONDS * hertz).round() as u64).max(4);
        Self {
            demodulator: Demodulator::new(sample_rate),
            gaze: Gaze::Steady,
            finer: Finer::new(hertz),
            pieces: Pieces::new(hertz),
            block,
            kept: Vec::new(),
            kept_from: 0,
            pushed: 0,
            next: 0,
            by_edges: VecDeque::new(),
            before: None,
            run: None,
            without: 0,
            blocks: VecDeque::new(),
            handed_out: 0,
            supposed: Some(Vec::new()),
            read_until: f64::MIN,
            last: f64::MIN,
        }
    }

    /// Takes the next samples, in any number, and hands out codewords in the order of the
    /// recording.
    pub fn push(&mut self, samples: &[f32], found: &mut impl FnMut(Evidence)) {
        self.push_watched(samples, &mut |_| (), found);
    }

    /// The same, and `seen` is told of each codeword that edges show, as soon as the next one has
    /// been read: seconds before all that can be heard has been weighed. Of these it may later be
    /// found that they were damage.
    pub fn push_watched(
        &mut self,
        samples: &[f32],
        seen: &mut impl FnMut(&Received),
        found: &mut impl FnMut(Evidence),
    ) {
        let mut rest = samples;
        while !rest.is_empty() {
            let (now, later) = rest.split_at(self.room().min(rest.len()));
            self.take(now, seen);
            if self.room() == 0 {
                self.read(Beside::NOTHING);
                self.hand_out_judged(found);
            }
            rest = later;
        }
    }

    /// How many samples have to come until the next block can be read.
    pub(crate) fn room(&self) -> usize {
        let due = (self.next + 1) * self.block + self.part(AFTER);
        usize::try_from(due - self.pushed).unwrap_or(usize::MAX)
    }

    /// Takes samples, no more than there is room for.
    pub(crate) fn take(&mut self, samples: &[f32], seen: &mut impl FnMut(&Received)) {
        if self.gaze == Gaze::Steady {
            let by_edges = &mut self.by_edges;
            self.demodulator.push(samples, &mut |word| {
                seen(&word);
                by_edges.push_back(word);
            });
        }
        self.kept.extend_from_slice(samples);
        self.pushed += samples.len() as u64;
    }

    /// Whether edges show all that the next block has.
    pub(crate) fn is_plain(&self) -> bool {
        let (from, to) = self.next_block();
        self.is_covered(from, to)
    }

    /// The sound of the next block, with some around it, if code was weighed in the one before, or
    /// there is none before.
    pub(crate) fn weighed(&self) -> Option<&[f32]> {
        let (from, to) = self.next_block();
        let may_be_code = self.run.is_some() || self.next == 0;
        may_be_code.then(|| self.around(from, to).1)
    }

    /// Hands out what edges have shown to the last, of which `seen` was not told yet, as if the
    /// input ended here, which it does not; and gives what was heard on either side of the last of
    /// it.
    pub fn in_hand(&self, seen: &mut impl FnMut(&Received)) -> Option<Neighbours> {
        self.demodulator.in_hand(&mut |word| seen(&word))
    }

    /// Takes the end of the input: hands out what was still in hand, and is then as new.
    pub fn finish(&mut self, found: &mut impl FnMut(Evidence)) {
        self.take_end();
        while self.has_blocks() {
            self.read(Beside::NOTHING);
        }
        self.finish_blocks(found);
    }

    /// Takes what edges show to the end of the input.
    pub(crate) fn take_end(&mut self) {
        self.gaze_again();
        let by_edges = &mut self.by_edges;
        self.demodulator
            .finish(&mut |word| by_edges.push_back(word));
    }

    /// Whether there are samples in blocks that were not read.
    pub(crate) fn has_blocks(&self) -> bool {
        self.next * self.block < self.pushed
    }

    /// Hands out what is in hand when all blocks were read, and is then as new.
    pub(crate) fn finish_blocks(&mut self, found: &mut impl FnMut(Evidence)) {
        if !self.next.is_multiple_of(GROUP)
            && let Some(last) = self.blocks.pop_back()
        {
            let together = self.together();
            self.blocks.push_back(Block { together, ..last });
        }
        // What was placed after the last sample.
        let left = Block::of_edges(self.by_edges.drain(..));
        self.blocks.push_back(left);
        self.hand_out(0, found);
        self.reset();
    }

    fn reset(&mut self) {
        self.kept.clear();
        self.by_edges.clear();
        self.blocks.clear();
        (self.kept_from, self.pushed, self.next, self.handed_out) = (0, 0, 0, 0);
        self.without = 0;
        self.gaze = Gaze::Steady;
        self.demodulator.begin_at(0);
        self.supposed = Some(Vec::new());
        (self.before, self.run) = (None, None);
        (self.last, self.read_until) = (f64::MIN, f64::MIN);
    }

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "`as` saturates"
    )]
    fn part(&self, of_block: f64) -> u64 {
        (of_block * self.block as f64) as u64
    }

    /// Where a sample is in those that are kept.
    fn index(&self, sample: u64) -> usize {
        usize::try_from(sample.saturating_sub(self.kept_from)).unwrap_or(usize::MAX)
    }

    /// From which sample to which the next block goes.
    fn next_block(&self) -> (u64, u64) {
        let from = self.next * self.block;
        (from, (from + self.block).min(self.pushed))
    }

    /// Reads the next block.
    pub(crate) fn read(&mut self, beside: Beside<'_>) {
        let (from, to) = self.next_block();
        self.turn_gaze(from, beside);
        let mut block = if self.is_covered(from, to) || !self.is_looked_at(beside) {
            Block::of_edges(self.take_edges(to))
        } else {
            self.read_again(from, to, beside)
        };
        if let Some(last) = block.found.last() {
            self.last = last.begins();
        }
        self.without += 1;
        self.next += 1;
        if block.speaks() {
            self.supposed = None;
        }
        if self.next.is_multiple_of(GROUP) {
            block.together = self.together();
            self.supposed = Some(Vec::new());
        }
        self.blocks.push_back(block);
        self.forget();
    }

    /// Looks at edges in glimpses where there was no code for long beside code that edges show, and
    /// steadily again as soon as a glimpse shows what looks like code, or there may be some.
    fn turn_gaze(&mut self, from: u64, beside: Beside<'_>) {
        let may_rest = matches!(beside, Beside::PlainCode) && self.without >= PATIENCE_BESIDE;
        if self.gaze == Gaze::Glimpses && (!may_rest || self.glimpses_code(from)) {
            self.gaze_again();
        } else if self.gaze == Gaze::Steady
            && may_rest
            && self.by_edges.is_empty()
            && !self.demodulator.follows()
        {
            self.gaze = Gaze::Glimpses;
        }
    }

    fn glimpses_code(&mut self, from: u64) -> bool {
        (0..GLIMPSES).any(|number| {
            let begins = from + number * self.block / GLIMPSES;
            let ends = begins + self.part(GLIMPSE);
            let Some(glimpse) = self.kept.get(self.index(begins)..self.index(ends)) else {
                return false;
            };
            self.demodulator.begin_at(begins);
            self.demodulator.push(glimpse, &mut |_| ());
            self.demodulator.follows()
        })
    }

    /// Looks at all edges from the block before the next one on, in which code may have begun.
    fn gaze_again(&mut self) {
        if self.gaze == Gaze::Steady {
            return;
        }
        self.gaze = Gaze::Steady;
        let begins = self.next.saturating_sub(1) * self.block;
        let since = self.kept.get(self.index(begins)..).unwrap_or_default();
        let by_edges = &mut self.by_edges;
        self.demodulator.begin_at(begins);
        self.demodulator
            .push(since, &mut |word| by_edges.push_back(word));
    }

    /// Forgets the sound that nothing will ask for any more.
    fn forget(&mut self) {
        let group = self.next / GROUP * GROUP;
        let next = match self.gaze {
            Gaze::Glimpses => group.min(self.next.saturating_sub(1)),
            Gaze::Steady if self.supposed.is_some() => group,
            Gaze::Steady => self.next,
        };
        let around = self.part(AROUND);
        let keep_from = (next * self.block).saturating_sub(around).min(self.pushed);
        let gone = usize::try_from(keep_from.saturating_sub(self.kept_from)).unwrap_or(usize::MAX);
        self.kept.drain(..gone.min(self.kept.len()));
        self.kept_from = self.kept_from.max(keep_from);
    }

    /// What the group of blocks that ends here says together.
    fn together(&self) -> Option<Together> {
        let supposed = self.supposed.as_ref().filter(|runs| !runs.is_empty())?;
        let group = (self.next - 1) / GROUP * GROUP;
        let begins = (group * self.block).max(self.kept_from);
        let ends = (self.next * self.block).min(self.pushed);
        let window = self.kept.get(self.index(begins)..self.index(ends))?;
        let heard = self.pieces.together(window, supposed)?;
        Some(together(&heard, begins))
    }

    /// Whether the next block is weighed if edges do not cover it: most sound has no code in it, and
    /// weighing takes long.
    fn is_looked_at(&self, beside: Beside<'_>) -> bool {
        let without = self.without;
        match beside {
            Beside::Weighed(_) => without < PATIENCE || self.next.is_multiple_of(NOW_AND_THEN),
            Beside::PlainCode => {
                without < PATIENCE_BESIDE
                    || without < RARELY && without.is_power_of_two()
                    || without.is_multiple_of(RARELY)
            }
        }
    }

    /// Whether codewords by edges, each trusted, cover the sound from one sample to another.
    fn is_covered(&self, from: u64, to: u64) -> bool {
        let mut covered = from as f64;
        let mut slack = GAP;
        for word in self.before.iter().chain(&self.by_edges) {
            let (begins, ends) = (word.begins.as_f64(), word.ends.as_f64());
            if ends <= from as f64 || begins >= to as f64 {
                continue;
            }
            if from == 0 && covered <= 0.0 {
                // The recording began within a codeword.
                slack = 1.0;
            }
            if !word.quality.is_trusted() || begins - covered > slack * word.samples_per_codeword {
                return false;
            }
            slack = GAP;
            covered = ends;
        }
        let last = self.before.iter().chain(&self.by_edges).next_back();
        let length = last.map_or(0.0, |word| word.samples_per_codeword);
        // The recording may end within a codeword.
        let slack = if to == self.pushed { 1.0 } else { GAP };
        to as f64 - covered <= slack * length
    }

    /// How many codewords by edges have their middle before a sample.
    fn edges_before(&self, to: u64) -> usize {
        let is_before = |word: &&Received| middle(word) < to as f64;
        self.by_edges.iter().take_while(is_before).count()
    }

    /// The codewords by edges whose middle comes before a sample.
    fn take_edges(&mut self, to: u64) -> Vec<Received> {
        let count = self.edges_before(to);
        let taken: Vec<Received> = self.by_edges.drain(..count).collect();
        if let Some(last) = taken.last() {
            self.before = Some(*last);
        }
        taken
    }

    /// Reads a block with all that can be heard.
    fn read_again(&mut self, from: u64, to: u64, beside: Beside<'_>) -> Block {
        self.look_closer(from, to);
        if self.is_covered(from, to) {
            return Block::of_edges(self.take_edges(to));
        }
        let (begins, piece) = self.around(from, to);
        let others = match beside {
            Beside::PlainCode => &[],
            Beside::Weighed(others) => others,
        };
        let Reading {
            words: heard,
            run,
            supposed,
        } = self.pieces.read(piece, others, self.run);
        self.run = run;
        if let Some(runs) = &mut self.supposed {
            runs.extend(supposed);
        }
        let by_edges = self.take_edges(to);
        let mut words: Vec<Found> = Vec::new();
        let mut unused: Vec<Option<Received>> = by_edges.into_iter().map(Some).collect();
        for heard in heard {
            let word = placed(&heard, begins);
            let slack = GAP * word.samples_per_codeword;
            let (first, last) = (from as f64 - slack, to as f64 + slack);
            let is_new = word.begins.as_f64() - self.last > SAME * word.samples_per_codeword;
            let is_later = self
                .by_edges
                .front()
                .is_some_and(|later| is_same(later, &word));
            if !(first..last).contains(&middle(&word)) || !is_new || is_later {
                continue;
            }
            let own = unused
                .iter_mut()
                .find(|own| own.is_some_and(|own| is_same(&own, &word)));
            words.push(match own.and_then(Option::take) {
                Some(own) if own.quality.is_trusted() => Found::Edges(own),
                own => Found::Weighed(word, heard, own),
            });
        }
        words.extend(unused.into_iter().flatten().map(Found::Edges));
        words.sort_by(|a, b| a.begins().total_cmp(&b.begins()));
        Block {
            found: words,
            together: None,
        }
    }

    /// A block's sound with some around it, and at which sample that begins.
    fn around(&self, from: u64, to: u64) -> (u64, &[f32]) {
        let around = self.part(AROUND);
        let begins = from.saturating_sub(around).max(self.kept_from);
        let ends = (to + around).min(self.pushed);
        let piece = self.kept.get(self.index(begins)..self.index(ends));
        (begins, piece.unwrap_or_default())
    }

    /// Looks for edges between the samples of a block. What they show stands for what edges showed
    /// there, if it is more.
    fn look_closer(&mut self, from: u64, to: u64) {
        let (begins, piece) = self.around(from, to);
        let mut words = self.finer.read(piece, begins);
        words.retain(|word| {
            let is_new = word.begins.as_f64() - self.last > SAME * word.samples_per_codeword;
            is_new && (from as f64..to as f64).contains(&middle(word))
        });
        let count = self.edges_before(to);
        if words.len() > count {
            drop(self.by_edges.drain(..count));
            words
                .into_iter()
                .rev()
                .for_each(|word| self.by_edges.push_front(word));
        }
    }

    /// Hands out blocks that can be judged by their neighbours.
    pub(crate) fn hand_out_judged(&mut self, found: &mut impl FnMut(Evidence)) {
        self.hand_out(NEIGHBOURS, found);
    }

    /// Hands out blocks of which enough neighbours are known, `ahead` of them.
    fn hand_out(&mut self, ahead: usize, found: &mut impl FnMut(Evidence)) {
        while let Some(block) = self.blocks.get(self.handed_out) {
            let was_weighed = block.found.iter().any(Found::was_weighed);
            if was_weighed && self.blocks.len() - self.handed_out <= ahead {
                break;
            }
            let words = if was_weighed {
                self.judged()
            } else {
                block.found.iter().map(|found| *found.word()).collect()
            };
            let together = block.together.clone();
            for word in words {
                if word.quality.is_trusted() {
                    self.without = 0;
                    self.read_until = word.ends.as_f64();
                }
                found(Evidence::Each(word));
            }
            if let Some(together) = together
                && together.begins.as_f64() > self.read_until
            {
                if together.is_certain() {
                    self.without = 0;
                }
                found(Evidence::Together(together));
            }
            self.handed_out += 1;
            if self.handed_out > NEIGHBOURS {
                self.blocks.pop_front();
                self.handed_out -= 1;
            }
        }
    }

    /// What of the next block its neighbours bear out.
    fn judged(&self) -> Vec<Received> {
        let near = self.blocks.iter().take(self.handed_out + NEIGHBOURS + 1);
        let near: Vec<(usize, &Found)> = near
            .enumerate()
            .flat_map(|(number, block)| block.found.iter().map(move |found| (number, found)))
            .filter(|(_, found)| found.witnesses())
            .collect();
        let agreed = agreed(&witnesses(&near));
        let mut agreed = near
            .iter()
            .zip(agreed)
            .filter(|((number, _), _)| *number == self.handed_out);
        let block = self.blocks.get(self.handed_out);
        let all = block.into_iter().flat_map(|block| &block.found);
        let read = all.filter_map(|found| {
            let is_read = found.witnesses() && agreed.next().is_some_and(|(_, read)| read);
            match found {
                Found::Weighed(word, ..) if is_read => Some(*word),
                Found::Edges(word) | Found::Weighed(_, _, Some(word)) => Some(*word),
                Found::Weighed(..) => None,
            }
        });
        read.collect()
    }
}

impl Found {
    fn word(&self) -> &Received {
        match self {
            Self::Edges(word) | Self::Weighed(word, ..) => word,
        }
    }

    fn begins(&self) -> f64 {
        self.word().begins.as_f64()
    }

    fn was_weighed(&self) -> bool {
        matches!(self, Self::Weighed(..))
    }

    /// Whether it has something to say to others.
    fn witnesses(&self) -> bool {
        self.word().quality.is_trusted()
    }
}

fn middle(word: &Received) -> f64 {
    f64::midpoint(word.begins.as_f64(), word.ends.as_f64())
}

fn is_same(a: &Received, b: &Received) -> bool {
    let apart = (a.begins.as_f64() - b.begins.as_f64()).abs();
    apart < SAME * a.samples_per_codeword.min(b.samples_per_codeword)
}

/// A codeword that was weighed, in the place that it has in the recording.
fn placed(heard: &Heard, from: u64) -> Received {
    Received {
        codeword: heard.weighed.codeword,
        begins: Position::beside(from, heard.begins),
        ends: Position::beside(from, heard.ends),
        samples_per_codeword: heard.ends - heard.begins,
        direction: heard.direction,
        quality: Quality::Weighed {
            margin: heard.weighed.margin,
            over: heard.over,
        },
        low: -heard.level,
        high: heard.level,
    }
}

/// What was heard together, in the place that it has in the recording.
fn together(heard: &HeardTogether, from: u64) -> Together {
    let codewords = &heard.codewords;
    Together {
        codewords: codewords.clone(),
        begins: Position::beside(from, heard.begins),
        ends: Position::beside(from, heard.ends),
        samples_per_codeword: (heard.ends - heard.begins) / codewords.len().max(1) as f64,
        direction: heard.direction,
        odds: heard.odds,
        fit: heard.fit,
        jumps: heard.jumps,
        level: heard.level,
    }
}

/// Codewords as witnesses, their places counted by the time between them.
fn witnesses(found: &[(usize, &Found)]) -> Vec<Witness> {
    let mut place = 0;
    let mut before: Option<Received> = None;
    let witness = |&(_, found): &(usize, &Found)| {
        let word = *found.word();
        if let Some(before) = before.replace(word) {
            let length = f64::midpoint(before.samples_per_codeword, word.samples_per_codeword);
            let apart = word.begins.as_f64() - before.begins.as_f64();
            #[expect(clippy::cast_possible_truncation, reason = "`as` saturates")]
            let codewords = (apart / length).round() as i64;
            place += codewords;
        }
        let (margin, is_clean) = match found {
            Found::Edges(_) => (EDGES_MARGIN, true),
            Found::Weighed(_, heard, _) => (heard.weighed.margin, heard.is_clean),
        };
        Witness::new(place, word.direction, word.codeword, margin, is_clean)
    };
    found.iter().map(witness).collect()
}
