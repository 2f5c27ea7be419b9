//! The only place that may say a codeword was read: one codeword can be chance or damage, two
//! that count on from each other are code.
//!
//! A run stands once enough of its codewords agree. While it stands, a codeword that does not
//! follow waits as the beginning of another run; if the standing run goes on, the odd one was
//! damaged, and if its own followers come, the code really jumped.

use crate::capped::Capped;
use crate::clock::Clock;
use crate::run::{Run, Step};
use crate::stretch::Stretch;
use crate::word::Word;
use plumbline_timecode::UserBits;

/// Places of one kind that are kept one by one; the rest are counted.
pub(crate) const PLACES: usize = 200;
/// Stretches that are kept one by one.
pub(crate) const STRETCHES: usize = 5_000;
/// Codewords that may wait for a run to stand.
const WAITING: usize = 8;

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

/// What the codewords of one channel come to.
#[derive(Debug, Clone)]
pub(crate) struct Continuity {
    /// Stretches in order, the last of them perhaps still going on.
    pub(crate) stretches: Capped<Stretch, STRETCHES>,
    pub(crate) dropouts: Capped<Dropout, PLACES>,
    pub(crate) damaged: Capped<Damaged, PLACES>,
    pub(crate) user_bits: Capped<UserBitsChange, PLACES>,
    pub(crate) clock: Clock,
    /// Codewords that were read, where a list was asked for.
    pub(crate) words: Option<Vec<Word>>,
    /// The user bits in force, and others that were seen once.
    held: Option<UserBits>,
    seen_once: Option<(UserBits, Word)>,
    /// Codewords that follow each other but are too few yet, with the steps between them.
    candidate: Option<Run>,
    members: Vec<(Word, Option<Step>)>,
    /// Codewords since the last one that followed, which belong to nothing.
    strays: Vec<Word>,
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
    pub(crate) fn new(frames: FrameList) -> Self {
        Continuity {
            stretches: Capped::default(),
            dropouts: Capped::default(),
            damaged: Capped::default(),
            user_bits: Capped::default(),
            clock: Clock::new(),
            words: (frames == FrameList::Keep).then(Vec::new),
            held: None,
            seen_once: None,
            candidate: None,
            members: Vec::new(),
            strays: Vec::new(),
        }
    }

    /// Takes the next codeword, in the order of the recording.
    pub(crate) fn push(&mut self, word: Word) {
        if let Some(step) = self.open().and_then(|open| open.run.follows(&word)) {
            self.settle_strays(step);
            self.read(word, step);
        } else if let Some(step) = self.candidate.as_ref().and_then(|run| run.follows(&word)) {
            self.support(word, step);
        } else {
            self.wait(word);
        }
    }

    fn open(&self) -> Option<&Stretch> {
        self.stretches
            .items
            .last()
            .filter(|_| self.stretches.more == 0)
    }

    /// The standing run goes on over whatever did not follow: that was damage or loss.
    fn settle_strays(&mut self, step: Step) {
        let stretch = self.stretches.items.len() - 1;
        let candidate = self.members.drain(..).map(|(word, _)| word);
        let mut odd: Vec<Word> = self.strays.drain(..).chain(candidate).collect();
        odd.sort_by(|a, b| a.begins.total_cmp(&b.begins));
        self.candidate = None;
        let missing = step.codewords - 1;
        let silent = missing.saturating_sub(odd.len() as u64);
        if let (true, Some(before)) = (silent > 0, self.open().map(|open| open.run.last)) {
            self.dropouts.push(Dropout {
                stretch,
                before,
                frames: silent,
            });
        }
        for word in odd
            .into_iter()
            .take(usize::try_from(missing).unwrap_or(usize::MAX))
        {
            self.damaged.push(Damaged { stretch, word });
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
        if let Some(words) = &mut self.words {
            words.push(word);
        }
    }

    fn watch_user_bits(&mut self, word: Word) {
        let now = word.codeword.user_bits();
        match self.held {
            None => self.held = Some(now),
            Some(held) if held == now => self.seen_once = None,
            Some(from) => match self.seen_once {
                Some((seen, first)) if seen == now => {
                    self.user_bits.push(UserBitsChange { word: first, from });
                    self.held = Some(now);
                    self.seen_once = None;
                }
                _ => self.seen_once = Some((now, word)),
            },
        }
    }

    /// A codeword that follows the waiting ones.
    fn support(&mut self, word: Word, step: Step) {
        let Some(run) = &mut self.candidate else {
            return;
        };
        run.accept(word, step);
        self.members.push((word, Some(step)));
        if run.stands() {
            self.promote();
        }
    }

    /// The waiting codewords are a stretch of their own.
    fn promote(&mut self) {
        self.strays.clear();
        self.candidate = None;
        let members = std::mem::take(&mut self.members);
        let mut members = members.into_iter();
        let Some(run) = members.next().and_then(|(word, _)| Run::begin(word)) else {
            return;
        };
        let first = run.first;
        self.stretches.push(Stretch::begin(run));
        if self.stretches.more > 0 {
            return;
        }
        self.note(first, 0);
        for (word, step) in members {
            if let Some(step) = step {
                self.read(word, step);
            }
        }
    }

    /// A codeword that follows nothing: perhaps the first of a run.
    fn wait(&mut self, word: Word) {
        self.strays
            .extend(self.members.drain(..).map(|(word, _)| word));
        self.candidate = Run::begin(word);
        if self.candidate.is_some() {
            self.members.push((word, None));
        } else {
            self.strays.push(word);
        }
        let over = self.strays.len().saturating_sub(WAITING);
        self.strays.drain(..over);
    }
}

#[cfg(test)]
mod tests;
