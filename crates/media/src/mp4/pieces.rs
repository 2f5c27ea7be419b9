//! The pieces of all tracks in the order in which they stand in the file.

use std::ops::Range;

use crate::Piece;

/// How many bytes they have together.
pub(super) fn bytes(pieces: &[Range<u64>]) -> u64 {
    pieces
        .iter()
        .map(|piece| piece.end.saturating_sub(piece.start))
        .fold(0, u64::saturating_add)
}

/// What of them is there: up to the first that the end of the file cuts.
pub(super) fn within(pieces: Vec<Range<u64>>, file_len: u64) -> Vec<Range<u64>> {
    let mut there = Vec::new();
    for piece in pieces {
        let end = piece.end.min(file_len);
        if piece.start < end {
            there.push(piece.start..end);
        }
        if end < piece.end {
            break;
        }
    }
    there
}

/// Each track's pieces keep their order; of all that are next, the first in the file comes first.
/// Pieces of a track that touch are one.
pub(super) fn in_order(tracks: &[Vec<Range<u64>>]) -> Vec<Piece> {
    let mut next = vec![0; tracks.len()];
    let mut pieces: Vec<Piece> = Vec::new();
    loop {
        let heads = tracks.iter().zip(&next).enumerate();
        let first = heads
            .filter_map(|(track, (list, &next))| Some((track, list.get(next)?)))
            .min_by_key(|(_, piece)| piece.start);
        let Some((track, bytes)) = first else {
            return pieces;
        };
        let touches = |last: &&mut Piece| last.track == track && last.bytes.end == bytes.start;
        match pieces.last_mut().filter(touches) {
            Some(last) => last.bytes.end = bytes.end,
            None => pieces.push(Piece {
                bytes: bytes.clone(),
                track,
            }),
        }
        if let Some(next) = next.get_mut(track) {
            *next += 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tracks_take_turns_and_neighbours_join() {
        let pieces = in_order(&[vec![0..10, 10..20, 50..60], vec![20..30, 60..70]]);
        let found: Vec<_> = pieces.into_iter().map(|p| (p.bytes, p.track)).collect();
        let expected = [(0..20, 0), (20..30, 1), (50..60, 0), (60..70, 1)];
        assert_eq!(found, expected);
    }

    #[test]
    fn a_track_whose_pieces_stand_backwards_keeps_their_order() {
        let pieces = in_order(&[vec![50..60, 0..10]]);
        assert_eq!(
            pieces.iter().map(|p| p.bytes.start).collect::<Vec<_>>(),
            [50, 0]
        );
    }

    #[test]
    fn what_the_file_cuts_ends_the_track() {
        assert_eq!(within(vec![0..10, 15..25, 5..6], 20), [0..10, 15..20]);
    }
}
