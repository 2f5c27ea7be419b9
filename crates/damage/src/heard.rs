//! Where codewords are once time was bent.

use crate::Truth;

/// One end of a codeword passes.
#[derive(Debug, Clone, Copy)]
struct Passing {
    word: usize,
    end: End,
    time: f64,
}

/// One end of a codeword, as the recording ran.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum End {
    Begins,
    Ends,
}

/// The codewords that are heard from end to end while `place` tells which place of the recording
/// is heard when; in the order in which they end. Backwards they run the other way, and a
/// codeword that is passed twice is heard twice.
pub(crate) fn heard(words: &[Truth], samples: usize, place: impl Fn(f64) -> f64) -> Vec<Truth> {
    let mut last: Vec<Option<Passing>> = vec![None; words.len()];
    let mut all = Vec::new();
    for passing in passings(words, samples, place) {
        let word = words[passing.word];
        match last[passing.word].replace(passing) {
            Some(before) if before.end != passing.end => all.push(Truth {
                begins: before.time,
                ends: passing.time,
                direction: match before.end {
                    End::Begins => word.direction,
                    End::Ends => word.direction.turned(),
                },
                ..word
            }),
            _ => {}
        }
    }
    all
}

/// What is at the first moment may have been rounded to so much before it, in samples.
const ROUNDED: f64 = 1e-6;

/// All ends that pass, in order.
fn passings(words: &[Truth], samples: usize, place: impl Fn(f64) -> f64) -> Vec<Passing> {
    // In order of place, since codewords are in that order and do not overlap.
    let ends: Vec<(f64, usize, End)> = words
        .iter()
        .enumerate()
        .flat_map(|(n, word)| [(word.begins, n, End::Begins), (word.ends, n, End::Ends)])
        .collect();
    let mut all = Vec::new();
    for n in 0..samples {
        let from = if n == 0 { -ROUNDED } else { n as f64 };
        let to = n as f64 + 1.0;
        let (here, there) = (place(from), place(to));
        let (low, high) = (here.min(there), here.max(there));
        let first = ends.partition_point(|end| end.0 <= low);
        let after = ends.partition_point(|end| end.0 <= high);
        let passed = ends[first..after].iter().map(|&(at, word, end)| Passing {
            word,
            end,
            time: when(at, from, to, &place),
        });
        if here <= there {
            all.extend(passed);
        } else {
            all.extend(passed.rev());
        }
    }
    all
}

/// When a place is passed, between two times on either side of it.
fn when(at: f64, mut from: f64, mut to: f64, place: impl Fn(f64) -> f64) -> f64 {
    let rises = place(from) <= place(to);
    // Each halves what is left: a sample to a millionth of a millionth.
    for _ in 0..40 {
        let middle = f64::midpoint(from, to);
        if (place(middle) < at) == rises {
            from = middle;
        } else {
            to = middle;
        }
    }
    f64::midpoint(from, to)
}
