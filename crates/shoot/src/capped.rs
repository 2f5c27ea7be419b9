//! A list that keeps the first of what it is given and counts the rest, so that no recording,
//! however broken, makes memory grow without end.

/// The first `N` items, and how many came after them.
#[derive(Debug, Clone)]
pub(crate) struct Capped<T, const N: usize> {
    pub(crate) items: Vec<T>,
    pub(crate) more: u64,
}

impl<T, const N: usize> Default for Capped<T, N> {
    fn default() -> Self {
        Capped {
            items: Vec::new(),
            more: 0,
        }
    }
}

impl<T, const N: usize> Capped<T, N> {
    pub(crate) fn push(&mut self, item: T) {
        if self.items.len() < N {
            self.items.push(item);
        } else {
            self.more += 1;
        }
    }
}
