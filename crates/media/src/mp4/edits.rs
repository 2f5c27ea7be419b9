//! The edit list: which part of a track is presented, and when (ISO/IEC 14496-12, 8.6.6).

use crate::Edit;
use crate::big_endian::Fields;

/// A track's edits, in the order in which they are presented.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Edits(Vec<Entry>);

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Entry {
    /// How long it is presented, in the movie's time scale; 0 is as long as there is.
    length: u64,
    /// From where in the track, in its own time scale; none where nothing is presented.
    from: Option<u64>,
}

impl Edits {
    /// From the content of an `elst`.
    pub(super) fn read(content: &[u8]) -> Self {
        let mut fields = Fields::new(content);
        let (version, _) = fields.version_and_flags();
        let count = fields.u32();
        let size = if version == 1 { 20 } else { 12 };
        let mut entries = Vec::new();
        for _ in 0..count {
            if fields.left() < size {
                break;
            }
            let length = fields.versioned(version);
            let from = if version == 1 {
                i64::from_be_bytes(fields.array())
            } else {
                i32::from_be_bytes(fields.array()).into()
            };
            fields.skip(4);
            entries.push(Entry {
                length,
                from: u64::try_from(from).ok(),
            });
        }
        Self(entries)
    }

    /// Whether the file has no edit list, or one that says nothing.
    pub(super) const fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// How many parts of the track are presented one after the other.
    pub(super) fn parts(&self) -> usize {
        self.0.iter().filter(|entry| entry.from.is_some()).count()
    }

    /// What the edits come to in sample frames: silence, then one part of the track. Where there
    /// are more parts, the track is taken to run on from the first.
    pub(super) fn edit(&self, movie_scale: u32, track_scale: u32, sample_rate: u32) -> Edit {
        let movie = |time| scaled(time, movie_scale, sample_rate);
        let silence = self
            .0
            .iter()
            .take_while(|entry| entry.from.is_none())
            .map(|entry| movie(entry.length))
            .fold(0, u64::saturating_add);
        let mut parts = self.0.iter().filter(|entry| entry.from.is_some());
        let first = parts.next();
        let is_only = parts.next().is_none();
        let from = first.and_then(|entry| entry.from).unwrap_or(0);
        // The movie's clock may be coarse: what it leaves over is kept.
        let grain = movie(1);
        let length = first.map_or(0, |entry| entry.length);
        let frames = if is_only && length > 0 {
            movie(length).saturating_add(grain)
        } else {
            u64::MAX
        };
        Edit {
            silence,
            skip: scaled(from, track_scale, sample_rate),
            frames,
        }
    }
}

/// A time in another scale, rounded.
pub(super) fn scaled(time: u64, from: u32, to: u32) -> u64 {
    let from = u128::from(from.max(1));
    let scaled = (u128::from(time) * u128::from(to) + from / 2) / from;
    u64::try_from(scaled).unwrap_or(u64::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn elst(entries: &[(u32, i32)]) -> Edits {
        let mut content = vec![0; 4];
        content.extend(u32::try_from(entries.len()).unwrap().to_be_bytes());
        for (length, from) in entries {
            content.extend(length.to_be_bytes());
            content.extend(from.to_be_bytes());
            content.extend([0, 1, 0, 0]);
        }
        Edits::read(&content)
    }

    #[test]
    fn run_in_is_skipped_and_an_empty_edit_is_silence() {
        let edit = elst(&[(500, -1), (2_000, 1_024)]).edit(1_000, 48_000, 48_000);
        assert_eq!((edit.silence, edit.skip), (24_000, 1_024));
        // Two seconds, and the 48 sample frames that a clock of milliseconds cannot tell.
        assert_eq!(edit.frames, 96_048);
    }

    #[test]
    fn no_edits_present_the_whole_track() {
        assert_eq!(elst(&[]).edit(600, 48_000, 48_000), Edit::WHOLE);
    }

    #[test]
    fn a_length_of_zero_or_a_second_part_runs_to_the_end() {
        assert_eq!(elst(&[(0, 7)]).edit(600, 48_000, 48_000).frames, u64::MAX);
        let two = elst(&[(600, 0), (600, 48_000)]);
        assert_eq!(
            (two.parts(), two.edit(600, 48_000, 48_000).frames),
            (2, u64::MAX)
        );
    }

    #[test]
    fn a_list_that_is_cut_gives_what_is_there() {
        let mut content = vec![0; 4];
        content.extend(u32::MAX.to_be_bytes());
        content.extend([0; 30]);
        assert_eq!(Edits::read(&content).parts(), 2);
    }
}
