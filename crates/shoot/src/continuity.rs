//! The only place that may say a codeword was read: one codeword can be chance or damage, two
//! that count on from each other are code.
//!
//! A run stands once enough of its codewords agree. While it stands, a codeword that does not
//! follow waits (`waiting.rs`); if the standing run goes on, the odd one was damaged, and if its own
//! followers come, the code really jumped.

use crate::capped::Capped;
use crate::clock::Clock;
use crate::cover::Cover;
use crate::run::{Run, Step};
use crate::stretch::{Basis, Stretch};
use crate::waiting::{More, Patience, Waiting};
use crate::word::Word;
use plumbline_ltc::{Seam, Together};
use plumbline_timecode::UserBits;

/// Places of one kind that are kept one by one; the rest are counted.
pub(crate) const PLACES: usize = 200;
/// Stretches that are kept one by one.
pub(crate) const STRETCHES: usize = 5_000;
/// Odds from which on something is suspected, as a power of ten. Noise does not come near.
const SUSPECTED_LOG10: f64 = 1.5;

/// Codewords missing inside a stretch.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Dropout {
    pub(crate) stretch: usize,
    /// The last codeword before it.
    pub(crate) before: Word,
    pub(crate) frames: u64,
}

/// A codeword that counts wrong among neighbours that count right.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Damaged {
    pub(crate) stretch: usize,
    pub(crate) word: Word,
}

/// User bits that become others and stay so for two codewords at least.
#[derive(Debug, Clone, Copy)]
pub(crate) struct UserBitsChange {
    pub(crate) word: Word,
    pub(crate) from: UserBits,
}

/// Places of one kind, apart by what is around them.
#[derive(Debug, Clone)]
pub(crate) struct Places<T> {
    /// Those among codewords that edges show.
    pub(crate) clear: Capped<T, PLACES>,
    /// Those beside codewords that had to be weighed.
    pub(crate) covered: Capped<T, PLACES>,
}

/// What the codewords on either side of a place are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Around {
    /// Both were read by their edges.
    Edges,
    /// One at least had to be weighed.
    Weighed,
}

/// What the codewords of one channel come to.
#[derive(Debug, Clone)]
pub(crate) struct Continuity {
    /// Stretches in order, the last of them perhaps still going on.
    pub(crate) stretches: Capped<Stretch, STRETCHES>,
    pub(crate) dropouts: Places<Dropout>,
    pub(crate) damaged: Places<Damaged>,
    /// Codewords missing in covered dropouts.
    pub(crate) lost_under_cover: u64,
    pub(crate) cover: Cover,
    pub(crate) user_bits: Capped<UserBitsChange, PLACES>,
    pub(crate) clock: Clock,
    /// What some seconds say together, but not surely: the surest of it.
    pub(crate) suspected: Option<Stretch>,
    /// The last of it, which the next may bear out.
    pending: Option<Stretch>,
    /// Codewords that were read, where a list was asked for.
    pub(crate) words: Option<Vec<Word>>,
    /// The user bits in force, and others that were seen since.
    held: Option<UserBits>,
    seen: Option<Seen>,
    /// Codewords since the last one that followed.
    waiting: Waiting,
}

/// User bits that were seen in codewords that follow each other.
#[derive(Debug, Clone, Copy)]
struct Seen {
    first: Word,
    codewords: u32,
}

/// So often in a row must user bits be seen where codewords had to be weighed: their addresses bear
/// each other out, but nothing bears out their user bits.
const WEIGHED_ALIKE: u32 = 8;

impl Seen {
    fn once(first: Word) -> Self {
        Seen {
            first,
            codewords: 1,
        }
    }

    fn user_bits(&self) -> UserBits {
        self.first.codeword.user_bits()
    }

    /// Whether they are what is sent now, and not damage.
    fn is_believed(&self, held: Option<UserBits>) -> bool {
        let enough = match (self.first.over, held) {
            (Some(_), _) => WEIGHED_ALIKE,
            (None, Some(_)) => 2,
            (None, None) => 1,
        };
        self.codewords >= enough
    }
}

/// Whether each codeword that was read is kept for the report.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FrameList {
    /// Keep every codeword: memory grows with the recording.
    Keep,
    /// Keep only what the stretches and findings need.
    Leave,
}

impl Continuity {
    pub(crate) fn new(frames: FrameList, patience: Patience) -> Self {
        Continuity {
            stretches: Capped::default(),
            dropouts: Places::new(),
            damaged: Places::new(),
            lost_under_cover: 0,
            cover: Cover::new(),
            user_bits: Capped::default(),
            clock: Clock::new(),
            suspected: None,
            pending: None,
            words: (frames == FrameList::Keep).then(Vec::new),
            held: None,
            seen: None,
            waiting: Waiting::new(patience),
        }
    }

    /// Takes the next codeword, in the order of the recording.
    pub(crate) fn push(&mut self, word: Word) {
        if let Some(step) = self.open().and_then(|open| open.run.follows(&word)) {
            self.settle_strays(&word, step);
            self.read(word, step);
        } else {
            self.waiting.push(word);
            self.judge(More::Perhaps);
        }
    }

    /// Takes what was heard where the last codeword ended: that is believed if it was heard whole,
    /// or in two halves, and the rest bears it out.
    pub(crate) fn bear_out(&mut self, seam: &Seam) {
        let last = match self.waiting.words() {
            [] => Word::across(seam),
            [word] => Some(*word),
            _ => None,
        };
        if let Some(last) = last.filter(|word| word.is_borne_out(seam)) {
            self.waiting.drain();
            self.begin(vec![last]);
        }
    }

    /// No more codewords will come. The last ones may be a short run, unless others were damaged before
    /// them.
    pub(crate) fn end(&mut self) {
        let last = self.stretches.items.len().checked_sub(1);
        let damaged = self.damaged.clear.items.last().map(|word| word.stretch);
        if last.is_none() || damaged != last {
            self.judge(More::None);
        }
    }

    /// Takes what some seconds without a codeword say together. Where that is not sure, the next
    /// ones may bear it out.
    pub(crate) fn hear(&mut self, heard: &Together) {
        let last = self.stretches.items.last_mut();
        if let Some(last) = last.filter(|_| self.stretches.more == 0)
            && let Some(joined) = last.joined(heard).filter(Stretch::is_certain)
        {
            *last = joined;
            return;
        }
        let borne_out = self.pending.take().and_then(|before| before.joined(heard));
        let Some(now) = borne_out.or_else(|| Stretch::together(heard)) else {
            return;
        };
        if now.is_certain() {
            self.end();
            self.waiting.drain();
            self.stretches.push(now);
            return;
        }
        if odds(&now) > self.suspected.as_ref().map_or(SUSPECTED_LOG10, odds) {
            self.suspected = Some(now.clone());
        }
        self.pending = Some(now);
    }

    /// The stretch that goes on, codeword by codeword.
    fn open(&self) -> Option<&Stretch> {
        let last = self.stretches.items.last();
        last.filter(|last| self.stretches.more == 0 && last.basis == Basis::Each)
    }

    /// The standing run goes on over whatever did not follow: that was damage or loss.
    fn settle_strays(&mut self, next: &Word, step: Step) {
        let stretch = self.stretches.items.len() - 1;
        let odd = self.waiting.drain();
        let Some(before) = self.open().map(|open| open.run.last) else {
            return;
        };
        let around = match before.over.or(next.over) {
            None => Around::Edges,
            Some(_) => Around::Weighed,
        };
        let missing = step.codewords - 1;
        let frames = missing.saturating_sub(odd.len() as u64);
        if frames > 0 {
            let dropout = Dropout {
                stretch,
                before,
                frames,
            };
            self.dropouts.among(around).push(dropout);
            if around == Around::Weighed {
                self.lost_under_cover += frames;
            }
        }
        let missing = usize::try_from(missing).unwrap_or(usize::MAX);
        for word in odd.into_iter().take(missing) {
            let damaged = Damaged { stretch, word };
            self.damaged.among(around).push(damaged);
        }
    }

    fn read(&mut self, word: Word, step: Step) {
        let Some(open) = self.stretches.items.last_mut() else {
            return;
        };
        open.accept(word, step);
        let index = open.length - 1;
        self.note(word, index);
    }

    /// Notes what is kept of every codeword that was read.
    fn note(&mut self, word: Word, index: u64) {
        let stretch = self.stretches.items.len() - 1;
        self.clock.add(stretch, index, word.first_edge);
        self.watch_user_bits(word);
        self.cover.add(&word);
        if let Some(words) = &mut self.words {
            words.push(word);
        }
    }

    fn watch_user_bits(&mut self, word: Word) {
        let now = word.codeword.user_bits();
        if self.held == Some(now) {
            self.seen = None;
            return;
        }
        let seen = match self.seen.take() {
            Some(seen) if seen.user_bits() == now => Seen {
                codewords: seen.codewords + 1,
                ..seen
            },
            _ => Seen::once(word),
        };
        if seen.is_believed(self.held) {
            if let Some(from) = self.held.replace(now) {
                let word = seen.first;
                self.user_bits.push(UserBitsChange { word, from });
            }
        } else {
            self.seen = Some(seen);
        }
    }

    /// Begins stretches with those that wait, if they may be believed.
    fn judge(&mut self, more: More) {
        while let Some(words) = self.waiting.take_run(more) {
            self.begin(words);
        }
    }

    /// Begins a stretch with the first of some codewords; the others may be of it or not.
    fn begin(&mut self, words: Vec<Word>) {
        let mut words = words.into_iter();
        let Some(mut run) = words.next().and_then(Run::begin) else {
            return;
        };
        self.stretches.push(Stretch::begin(run.clone()));
        if self.stretches.more == 0 {
            self.note(run.first, 0);
            words.for_each(|word| self.push(word));
            return;
        }
        // Beyond what is kept, stretches are only counted.
        for word in words {
            match run.follows(&word) {
                Some(step) => run.accept(word, step),
                None => self.waiting.push(word),
            }
        }
    }
}

impl<T: Copy> Places<T> {
    fn new() -> Self {
        Places {
            clear: Capped::default(),
            covered: Capped::default(),
        }
    }

    fn among(&mut self, around: Around) -> &mut Capped<T, PLACES> {
        match around {
            Around::Edges => &mut self.clear,
            Around::Weighed => &mut self.covered,
        }
    }

    /// All of them, in the order that a key gives.
    pub(crate) fn together(&self, key: impl Fn(&T) -> f64) -> Capped<T, PLACES> {
        let mut items: Vec<T> = self.clear.items.clone();
        items.extend_from_slice(&self.covered.items);
        items.sort_by(|a, b| key(a).total_cmp(&key(b)));
        Capped {
            items,
            more: self.clear.more + self.covered.more,
        }
    }
}

fn odds(stretch: &Stretch) -> f64 {
    match stretch.basis {
        Basis::Each => f64::INFINITY,
        Basis::Together { odds_log10, .. } => odds_log10,
    }
}

#[cfg(test)]
mod tests;
