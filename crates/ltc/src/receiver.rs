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

mod blocks;
mod edges;
mod kept;

use std::ops::Range;

use plumbline_timecode::SampleRate;

use crate::robust::{Heard, HeardTogether, Pieces, Reading, Run};
use crate::{Evidence, Position, Quality, Received, Seam, Together};
use blocks::{Block, Blocks, Due, Found};
use edges::{Edges, Gaze};
use kept::Kept;

/// Reads code from sound: what [`crate::Demodulator`] reads, and what noise, hum, clicks, other sound or
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
    edges: Edges,
    pieces: Pieces,
    /// Samples in a block.
    block: u64,
    kept: Kept,
    /// The number of the next block to be read.
    next: u64,
    /// How code ran in the last block.
    run: Option<Run>,
    /// How many blocks were read since code was last handed out, or since the recording began.
    without: u64,
    blocks: Blocks,
    /// How code may run in the blocks of this group that were read; none once one had codewords.
    supposed: Option<Vec<Run>>,
    /// Where the last codeword that was handed out ends.
    read_until: f64,
    /// Where the last codeword of the last block is.
    last: f64,
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

/// How long a block is, in seconds...
const BLOCK_SECONDS: f64 = 2.0;
/// ...how much around it is looked at, in parts of that...
const AROUND: f64 = 0.25;
/// ...and how long after its end all edges in it are known, in the same parts: code may run at a
/// tenth of its speed.
const AFTER: f64 = 0.5;
/// So many blocks are heard together if no codeword is read in any of them.
const GROUP: u64 = 5;
/// After so many blocks without code...
const PATIENCE: u64 = 15;
/// ...only one in so many is weighed, until code is found again.
const NOW_AND_THEN: u64 = 8;
/// The same beside a channel whose code edges show: weighed are those after so many...
const EARLY_LOOKS: [u64; 3] = [0, 4, 16];
/// ...and then one in so many.
const RARELY: u64 = 256;
/// After so many blocks without code, edges are looked at in glimpses there.
const GAZE_BESIDE: u64 = 2;
/// Codewords are the same one if they begin within this part of one.
const SAME: f64 = 0.4;
/// Codewords that follow each other may part by this much of one.
const GAP: f64 = 0.1;

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
            edges: Edges::new(sample_rate),
            pieces: Pieces::new(hertz),
            block,
            kept: Kept::default(),
            next: 0,
            run: None,
            without: 0,
            blocks: Blocks::default(),
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
                self.conclude(&[]);
                self.hand_out(found);
            }
            rest = later;
        }
    }

    /// How many samples have to come until the next block can be read.
    pub(crate) fn room(&self) -> usize {
        let due = (self.next + 1) * self.block + self.part(AFTER);
        usize::try_from(due - self.kept.end()).unwrap_or(usize::MAX)
    }

    /// Takes samples, no more than there is room for.
    pub(crate) fn take(&mut self, samples: &[f32], seen: &mut impl FnMut(&Received)) {
        self.edges.push(samples, seen);
        self.kept.push(samples);
    }

    /// Whether edges show all that the next block has.
    pub(crate) fn is_plain(&self) -> bool {
        self.edges.cover(&self.next_block(), &self.kept)
    }

    /// The sound of the next block, with some around it, if code was weighed in the one before, or
    /// there is none before.
    pub(crate) fn weighed(&self) -> Option<&[f32]> {
        let may_be_code = self.run.is_some() || self.next == 0;
        may_be_code.then(|| self.kept.around(&self.next_block(), self.part(AROUND)).1)
    }

    /// Hands out what edges have shown to the last, of which `seen` was not told yet, as if the
    /// input ended here, which it does not; and gives where the last codeword ended.
    pub fn in_hand(&self, seen: &mut impl FnMut(&Received)) -> Option<Seam> {
        self.edges.in_hand(seen)
    }

    /// Takes the end of the input: hands out what was still in hand, and is then as new.
    pub fn finish(&mut self, found: &mut impl FnMut(Evidence)) {
        self.take_end();
        while self.has_blocks() {
            self.read(Beside::NOTHING);
            self.conclude(&[]);
        }
        self.finish_blocks(found);
    }

    /// Takes what edges show to the end of the input.
    pub(crate) fn take_end(&mut self) {
        self.edges.gaze_again(&self.kept, self.block_before());
        self.edges.finish();
    }

    /// Whether there are samples in blocks that were not read.
    pub(crate) fn has_blocks(&self) -> bool {
        self.next * self.block < self.kept.end()
    }

    /// Hands out what is in hand when all blocks were read, and is then as new.
    pub(crate) fn finish_blocks(&mut self, found: &mut impl FnMut(Evidence)) {
        // What was placed after the last sample.
        self.blocks.push(Block::of_edges(self.edges.take_all()));
        self.hand_out_due(Due::All, found);
        self.reset();
    }

    fn reset(&mut self) {
        self.edges.reset();
        self.kept = Kept::default();
        self.blocks = Blocks::default();
        (self.next, self.without) = (0, 0);
        self.supposed = Some(Vec::new());
        self.run = None;
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

    /// From which sample to which the next block goes.
    fn next_block(&self) -> Range<u64> {
        let from = self.next * self.block;
        from..(from + self.block).min(self.kept.end())
    }

    /// Where the block before the next one begins.
    fn block_before(&self) -> u64 {
        self.next.saturating_sub(1) * self.block
    }

    /// Reads the next block.
    pub(crate) fn read(&mut self, beside: Beside<'_>) {
        let block = self.next_block();
        self.turn_gaze(&block, beside);
        let block = if self.edges.cover(&block, &self.kept) || !self.is_looked_at(beside) {
            Block::of_edges(self.edges.take_before(block.end))
        } else {
            self.read_again(&block, beside)
        };
        if let Some(last) = block.found.last() {
            self.last = last.begins();
        }
        self.without += 1;
        self.next += 1;
        if block.speaks() {
            self.supposed = None;
        }
        self.blocks.push(block);
    }

    /// Concludes a group of blocks if the block that was read is its last one, or the last of all: what
    /// they say together, and together with the groups of other channels. Forgets what will not be asked
    /// for again.
    pub(crate) fn conclude(&mut self, beside: &[&[f32]]) {
        if self.ends_group() {
            let together = self.together(beside);
            if let Some(last) = self.blocks.last_mut() {
                last.together = together;
            }
            self.supposed = Some(Vec::new());
        }
        self.forget();
    }

    /// Whether the block that was read is the last one of a group: the fifth, or the last of all. While
    /// samples come, there are always some of the next.
    fn ends_group(&self) -> bool {
        self.next.is_multiple_of(GROUP) || !self.has_blocks()
    }

    /// The sound of a group of blocks that ends here, from its first sample, if no codeword was read in it
    /// but something may be code.
    pub(crate) fn group(&self) -> Option<&[f32]> {
        let may_be_code = self.supposed.as_ref().is_some_and(|runs| !runs.is_empty());
        let is_asked_for = may_be_code && self.ends_group();
        is_asked_for
            .then(|| self.kept.get(self.last_group()))
            .flatten()
    }

    /// From which sample to which the group goes that the last block is in, as far as it was read.
    fn last_group(&self) -> Range<u64> {
        let group = self.next.saturating_sub(1) / GROUP * GROUP;
        group * self.block..(self.next * self.block).min(self.kept.end())
    }

    /// Looks at edges in glimpses where there was no code for long beside code that edges show, and
    /// steadily again as soon as a glimpse shows what looks like code, or there may be some.
    fn turn_gaze(&mut self, block: &Range<u64>, beside: Beside<'_>) {
        let may_rest = matches!(beside, Beside::PlainCode) && self.without >= GAZE_BESIDE;
        match self.edges.gaze() {
            Gaze::Steady if may_rest => self.edges.rest(),
            Gaze::Glimpses if !may_rest || self.edges.glimpse(&self.kept, block) => {
                self.edges.gaze_again(&self.kept, self.block_before());
            }
            Gaze::Steady | Gaze::Glimpses => (),
        }
    }

    /// Forgets the sound that nothing will ask for any more.
    fn forget(&mut self) {
        let group = self.next / GROUP * GROUP;
        let next = match self.edges.gaze() {
            Gaze::Glimpses => group.min(self.next.saturating_sub(1)),
            Gaze::Steady if self.supposed.is_some() => group,
            Gaze::Steady => self.next,
        };
        let from = (next * self.block).saturating_sub(self.part(AROUND));
        self.kept.forget_before(from);
    }

    /// What the group of blocks that ends here says together, with those of other channels if it does
    /// not by itself.
    fn together(&self, beside: &[&[f32]]) -> Option<Together> {
        let supposed = self.supposed.as_ref().filter(|runs| !runs.is_empty())?;
        let group = self.last_group();
        let begins = group.start.max(self.kept.from());
        let samples = self.kept.get(begins..group.end)?;
        let heard = self.pieces.together(samples, beside, supposed)?;
        Some(together(&heard, begins))
    }

    /// Whether the next block is weighed if edges do not cover it: most sound has no code in it, and
    /// weighing takes long.
    fn is_looked_at(&self, beside: Beside<'_>) -> bool {
        let without = self.without;
        match beside {
            Beside::Weighed(_) => without < PATIENCE || self.next.is_multiple_of(NOW_AND_THEN),
            Beside::PlainCode => {
                // What was weighed in the last block has not been handed out yet.
                self.run.is_some()
                    || EARLY_LOOKS.contains(&without)
                    || without.is_multiple_of(RARELY)
            }
        }
    }

    /// Reads a block with all that can be heard.
    fn read_again(&mut self, block: &Range<u64>, beside: Beside<'_>) -> Block {
        let (begins, piece) = self.kept.around(block, self.part(AROUND));
        self.edges.look_closer(block, (begins, piece), self.last);
        if self.edges.cover(block, &self.kept) {
            return Block::of_edges(self.edges.take_before(block.end));
        }
        let others = match beside {
            Beside::PlainCode => &[],
            Beside::Weighed(others) => others,
        };
        let Reading {
            words: heard,
            run,
            supposed,
            ..
        } = self.pieces.read(piece, others, self.run);
        self.run = run;
        if let Some(runs) = &mut self.supposed {
            runs.extend(supposed);
        }
        let by_edges = self.edges.take_before(block.end);
        let mut words: Vec<Found> = Vec::new();
        let mut unused: Vec<Option<Received>> = by_edges.into_iter().map(Some).collect();
        for heard in heard {
            let word = placed(&heard, begins);
            let slack = GAP * word.samples_per_codeword;
            let (first, last) = (block.start as f64 - slack, block.end as f64 + slack);
            let is_new = word.begins.as_f64() - self.last > SAME * word.samples_per_codeword;
            let is_later = self.edges.next().is_some_and(|later| is_same(later, &word));
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

    /// Hands out blocks that can be judged by their neighbours.
    pub(crate) fn hand_out(&mut self, found: &mut impl FnMut(Evidence)) {
        self.hand_out_due(Due::Judged, found);
    }

    fn hand_out_due(&mut self, due: Due, found: &mut impl FnMut(Evidence)) {
        while let Some((words, together)) = self.blocks.next(due) {
            for word in words {
                if word.quality.is_trusted() {
                    self.without = 0;
                    self.read_until = word.ends.as_f64();
                }
                found(Evidence::Each(word));
            }
            let unread = |heard: &Together| heard.begins.as_f64() > self.read_until;
            if let Some(together) = together.filter(unread) {
                if together.is_certain() {
                    self.without = 0;
                }
                found(Evidence::Together(together));
            }
        }
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
        user_bits: heard.user_bits,
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
