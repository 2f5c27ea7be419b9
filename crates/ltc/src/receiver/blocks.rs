//! Blocks that were read, and what their neighbours bear out of them.

use std::collections::VecDeque;

use crate::robust::{Heard, Places, Witness, agreed};
use crate::{Received, Together};

/// What a block came to.
#[derive(Debug, Clone, Default)]
pub(super) struct Block {
    pub(super) found: Vec<Found>,
    /// What the group that it is the last one of says, if none of its codewords is handed out.
    pub(super) together: Option<Together>,
}

impl Block {
    pub(super) fn of_edges(words: impl IntoIterator<Item = Received>) -> Self {
        Self {
            found: words.into_iter().map(Found::Edges).collect(),
            together: None,
        }
    }

    /// Whether codewords were read, as far as this block alone can say.
    pub(super) fn speaks(&self) -> bool {
        let found = self.found.iter().filter(|found| found.witnesses());
        let found: Vec<(usize, &Found)> = found.map(|found| (0, found)).collect();
        agreed(&witnesses(&found)).contains(&true)
    }
}

/// A codeword that was found.
#[derive(Debug, Clone, Copy)]
pub(super) enum Found {
    /// By its edges.
    Edges(Received),
    /// By weighing: it stays if others agree. If not, what its edges say, if they said something.
    Weighed(Received, Heard, Option<Received>),
}

/// How many blocks on either side judge what was weighed in one.
const NEIGHBOURS: usize = 2;
/// How sure a codeword is by its edges, in nats.
const EDGES_MARGIN: f32 = 30.0;

/// Some that were handed out, and those that were not yet.
#[derive(Debug, Clone, Default)]
pub(super) struct Blocks {
    queue: VecDeque<Block>,
    handed_out: usize,
}

/// Which blocks may be handed out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Due {
    /// Those of which enough neighbours are known.
    Judged,
    /// All: no more will come.
    All,
}

impl Blocks {
    pub(super) fn push(&mut self, block: Block) {
        self.queue.push_back(block);
    }

    /// The last one that was read.
    pub(super) fn last_mut(&mut self) -> Option<&mut Block> {
        self.queue.back_mut()
    }

    /// The next block to be handed out: its codewords, and what its group says together.
    pub(super) fn next(&mut self, due: Due) -> Option<(Vec<Received>, Option<Together>)> {
        let block = self.queue.get(self.handed_out)?;
        let was_weighed = block.found.iter().any(Found::was_weighed);
        let ahead = self.queue.len() - self.handed_out - 1;
        if was_weighed && due == Due::Judged && ahead < NEIGHBOURS {
            return None;
        }
        let words = if was_weighed {
            self.judged()
        } else {
            block.found.iter().map(|found| *found.word()).collect()
        };
        let together = block.together.clone();
        self.handed_out += 1;
        if self.handed_out > NEIGHBOURS {
            self.queue.pop_front();
            self.handed_out -= 1;
        }
        Some((words, together))
    }

    /// What of the next block its neighbours bear out.
    fn judged(&self) -> Vec<Received> {
        let near = self.queue.iter().take(self.handed_out + NEIGHBOURS + 1);
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
        let block = self.queue.get(self.handed_out);
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

    pub(super) fn begins(&self) -> f64 {
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

/// Codewords as witnesses, their places counted by the time between them.
fn witnesses(found: &[(usize, &Found)]) -> Vec<Witness> {
    let mut places = Places::default();
    let witness = |&(_, found): &(usize, &Found)| {
        let word = *found.word();
        let place = places.of(word.begins.as_f64(), word.samples_per_codeword);
        let (margin, is_clean) = match found {
            Found::Edges(_) => (EDGES_MARGIN, true),
            Found::Weighed(_, heard, _) => (heard.weighed.margin, heard.is_clean),
        };
        let place = (place, word.samples_per_codeword);
        Witness::new(place, word.direction, word.codeword, margin, is_clean)
    };
    found.iter().map(witness).collect()
}
