//! Codewords that follow no run that stands. Each is chance, or damaged, or the first of another run;
//! which, is told by the others that wait.

use crate::run::Run;
use crate::word::Word;

/// How soon a run is believed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Patience {
    /// As soon as two codewords agree: somebody looks on.
    Prompt,
    /// Once its codewords can't be damaged all alike.
    Patient,
}

/// Whether more codewords can come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum More {
    Perhaps,
    None,
}

/// Codewords that wait for their own kind, in order.
#[derive(Debug, Clone)]
pub(crate) struct Waiting {
    words: Vec<Word>,
    enough: u64,
}

/// So many may wait: then it is decided by them.
const MOST: usize = 16;
/// A run of so many codewords is believed if no more are strays, a shorter one if no more than half as
/// many. A stray belongs to no run, or to one that stands between codewords of another. Where one bit
/// of twenty-six is flipped in every codeword, five of seven have the same one flipped once in twenty
/// thousand times, and two that follow each other quite often.
const LONG: u64 = 5;
const FEW: u64 = 2;

/// Some of those that wait, which agree.
struct Chain {
    run: Run,
    /// Where the first and the last of them stand.
    first: usize,
    last: usize,
}

impl Waiting {
    pub(crate) fn new(patience: Patience) -> Self {
        Waiting {
            words: Vec::new(),
            enough: match patience {
                Patience::Prompt => 2,
                Patience::Patient => LONG,
            },
        }
    }

    pub(crate) fn push(&mut self, word: Word) {
        if self.words.len() == MOST {
            self.words.remove(0);
        }
        self.words.push(word);
    }

    /// Those that wait.
    pub(crate) fn words(&self) -> &[Word] {
        &self.words
    }

    /// All of them: they were damaged.
    pub(crate) fn drain(&mut self) -> Vec<Word> {
        std::mem::take(&mut self.words)
    }

    /// The first run among them that may be believed, with what came between its codewords and since;
    /// what came before it is no code.
    pub(crate) fn take_run(&mut self, more: More) -> Option<Vec<Word>> {
        let runs = self.runs();
        let apart = |run: &&Chain| !runs.iter().any(|other| other.overlaps(run));
        let orderly: u64 = runs.iter().filter(apart).map(Chain::read).sum();
        let strays = |run: &Chain| {
            let own = if apart(&run) { 0 } else { run.read() };
            self.words.len() as u64 - orderly - own
        };
        let is_plain = |run: &&Chain| run.read() >= FEW * strays(run);
        let is_long = |run: &&Chain| run.read() >= LONG && run.read() >= strays(run);
        let mut plain = runs.iter().filter(is_plain);
        let decided = more == More::None || self.words.len() == MOST;
        if !decided && !plain.any(|run| run.read() >= self.enough) {
            return None;
        }
        let believed = runs.iter().filter(|run| is_plain(run) || is_long(run));
        let begins = believed.map(|run| run.first).min()?;
        self.words.drain(..begins);
        Some(self.drain())
    }

    /// Those that agree, where there are enough of them to be a run.
    fn runs(&self) -> Vec<Chain> {
        let mut chains: Vec<Chain> = Vec::new();
        for (place, word) in self.words.iter().enumerate() {
            let follows = chains.iter_mut().filter_map(|chain| {
                let step = chain.run.follows(word)?;
                Some((chain, step))
            });
            let follows = follows.max_by_key(|(chain, _)| chain.read());
            if let Some((chain, step)) = follows {
                chain.run.accept(*word, step);
                chain.last = place;
            } else if let Some(run) = Run::begin(*word) {
                let (first, last) = (place, place);
                chains.push(Chain { run, first, last });
            }
        }
        chains.retain(|chain| chain.run.stands());
        chains
    }
}

impl Chain {
    fn read(&self) -> u64 {
        self.run.read
    }

    /// Whether codewords of one stand between those of the other.
    fn overlaps(&self, other: &Self) -> bool {
        self.first != other.first && self.first < other.last && other.first < self.last
    }
}
