//! A stretch: a run that stands, with all that is counted along it.

use crate::clock::Line;
use crate::run::{Motion, Run, Step};
use crate::word::Word;
use plumbline_ltc::{Codeword, Together, UserBitsHeard};
use plumbline_timecode::{Count, TimeAddress, UserBits};

/// Codewords over which a stretch's beginning is averaged: ten seconds at 25 frames a second.
const HEAD: u64 = 250;

/// Whether codewords that are heard together count on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Going {
    On,
    /// One part of them says another start.
    Jumps,
}

impl Going {
    fn of(heard: &Together) -> Self {
        if heard.jumps() { Self::Jumps } else { Self::On }
    }
}

/// What a stretch rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Basis {
    /// Codewords that were read one by one.
    Each,
    /// All of them together.
    Together {
        /// The odds against any other start, as a power of ten.
        odds_log10: f64,
        /// Whether the sound is what it is taken for: see [`Together::fit`].
        fit: f64,
        /// Whether the code goes on without a break.
        going: Going,
        /// Whether user bits are told too.
        user_bits: UserBitsHeard,
    },
}

/// A run that stands.
#[derive(Debug, Clone)]
pub(crate) struct Stretch {
    pub(crate) run: Run,
    pub(crate) basis: Basis,
    /// Codewords missing between those that were read.
    pub(crate) lost: u64,
    /// Codewords from the first to the last, whether read or not.
    pub(crate) length: u64,
    /// How many codewords have the drop-frame flag set.
    pub(crate) flagged: u64,
    /// How many touch full scale.
    pub(crate) full_scale: u64,
    /// Sum of the codewords' amplitudes.
    pub(crate) amplitude: f64,
    /// Places of all its codewords.
    pub(crate) line: Line,
    /// Places of its first codewords.
    head: Line,
}

impl Stretch {
    pub(crate) fn begin(run: Run) -> Self {
        let first = run.first;
        let line = Line::new(first.first_edge, first.period);
        let mut stretch = Stretch {
            run,
            basis: Basis::Each,
            lost: 0,
            length: 1,
            flagged: 0,
            full_scale: 0,
            amplitude: 0.0,
            line,
            head: line,
        };
        stretch.tally(&first);
        stretch
    }

    /// A stretch of which no codeword was read, only all of them together.
    pub(crate) fn together(heard: &Together) -> Option<Self> {
        let mut words = Word::of_together(heard);
        let mut stretch = Stretch::begin(Run::begin(words.next()?)?);
        for word in words {
            let step = stretch.run.follows(&word)?;
            stretch.accept(word, step);
        }
        stretch.basis = Basis::Together {
            odds_log10: heard.odds_log10(),
            fit: heard.fit,
            going: Going::of(heard),
            user_bits: heard.user_bits,
        };
        Some(stretch)
    }

    /// The same with what was heard later, if that is the same code: each of the two starts, by
    /// itself, is as improbable by chance as its odds say.
    pub(crate) fn joined(&self, later: &Together) -> Option<Self> {
        let Basis::Together {
            odds_log10,
            fit,
            going,
            user_bits,
        } = self.basis
        else {
            return None;
        };
        let mut joined = self.clone();
        for word in Word::of_together(later) {
            let step = joined.run.follows(&word)?;
            joined.accept(word, step);
        }
        joined.basis = Basis::Together {
            odds_log10: odds_log10 + later.odds_log10(),
            fit: fit.min(later.fit),
            going: match going {
                Going::On => Going::of(later),
                Going::Jumps => Going::Jumps,
            },
            user_bits: match user_bits {
                UserBitsHeard::Alike => later.user_bits,
                UserBitsHeard::Various => UserBitsHeard::Various,
            },
        };
        Some(joined)
    }

    /// Whether it may be believed.
    pub(crate) fn is_certain(&self) -> bool {
        match self.basis {
            Basis::Each => true,
            Basis::Together {
                odds_log10,
                fit,
                going,
                ..
            } => {
                odds_log10 >= Together::CERTAIN_LOG10 && fit >= Together::FITS && going == Going::On
            }
        }
    }

    /// How many of its codewords were read from their own sound.
    pub(crate) fn read(&self) -> u64 {
        match self.basis {
            Basis::Each => self.run.read,
            Basis::Together { .. } => 0,
        }
    }

    /// Takes a codeword that follows.
    pub(crate) fn accept(&mut self, word: Word, step: Step) {
        self.run.accept(word, step);
        self.lost += step.codewords - 1;
        self.length += step.codewords;
        self.tally(&word);
    }

    fn tally(&mut self, word: &Word) {
        self.flagged += u64::from(word.codeword.drop_flag());
        self.full_scale += u64::from(word.full_scale);
        self.amplitude += f64::from(word.amplitude);
        let index = self.length - 1;
        self.line.add(index, word.first_edge);
        if index < HEAD {
            self.head.add(index, word.first_edge);
        }
    }

    pub(crate) fn motion(&self) -> Motion {
        self.run.motion()
    }

    /// Where its first codeword's bit 0 begins, averaged over its first codewords.
    pub(crate) fn start(&self) -> f64 {
        self.head.intercept()
    }

    /// The counting to read it in: the wanted one where it holds, else the first that does.
    pub(crate) fn count(&self, wanted: Count) -> Count {
        let held = self.run.counts;
        if held.contains(wanted) {
            wanted
        } else {
            held.iter().next().unwrap_or(wanted)
        }
    }

    /// The first address, in the wanted counting where it holds.
    pub(crate) fn first(&self, wanted: Count) -> Option<TimeAddress> {
        self.run.first.codeword.address(self.count(wanted)).ok()
    }

    /// The last address, in the wanted counting where it holds.
    pub(crate) fn last(&self, wanted: Count) -> Option<TimeAddress> {
        self.address(&self.run.last, wanted)
    }

    /// The address of one of its codewords, in the wanted counting where it holds.
    pub(crate) fn address(&self, word: &Word, wanted: Count) -> Option<TimeAddress> {
        word.codeword.address(self.count(wanted)).ok()
    }

    /// Its first codeword, if its user bits are told.
    pub(crate) fn with_user_bits(&self) -> Option<Codeword> {
        match self.basis {
            Basis::Together {
                user_bits: UserBitsHeard::Various,
                ..
            } => None,
            _ => Some(self.run.first.codeword),
        }
    }

    /// The user bits of its first codeword.
    pub(crate) fn user_bits(&self) -> Option<UserBits> {
        self.with_user_bits().map(Codeword::user_bits)
    }
}
