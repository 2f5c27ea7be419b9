//! Recordings as clips of whole frames, and tracks on which they do not overlap.

use crate::lineup::place::stamp_start;
use crate::lineup::{LineUp, Placed, Recording, ShootClock};
use crate::summary::Summary;
use crate::whole::signed;
use plumbline_timecode::Frames;

/// A recording in whole frames of the shoot's clock.
#[derive(Debug, Clone)]
pub(super) struct Clip<'a> {
    /// The number of its recording.
    pub(super) number: usize,
    pub(super) recording: &'a Recording<'a>,
    pub(super) placed: Placed,
    pub(super) kind: Kind,
    /// Its first frame, counted from the midnight of the shoot's day.
    pub(super) at: Frames,
    /// How much later than that frame its first sample is, in seconds; less than 0 is earlier.
    pub(super) remainder: f64,
    /// How long it is in its place.
    pub(super) length: Frames,
    /// The start of its file by the file's own metadata; 0 where that has none.
    pub(super) source: Frames,
    /// The whole frames in its file, at least one.
    pub(super) available: Frames,
}

/// What a track holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Picture,
    Sound,
}

impl Kind {
    /// Both, in the order in which timelines have them.
    pub(super) const BOTH: [Self; 2] = [Self::Picture, Self::Sound];

    fn of(summary: &Summary) -> Self {
        let films = ["mov", "mp4", "matroska"];
        let container = summary.container.as_deref().unwrap_or_default();
        // Both of these containers hold sound alone under another ending.
        let ending = summary.file.rsplit_once('.').map(|(_, ending)| ending);
        let sound = |ending: &str| ["m4a", "mka"].contains(&ending.to_lowercase().as_str());
        if films.contains(&container) && !ending.is_some_and(sound) {
            Self::Picture
        } else {
            Self::Sound
        }
    }
}

impl Clip<'_> {
    /// The frame after its last.
    pub(super) fn end(&self) -> Frames {
        self.at + self.length
    }
}

/// The recordings that have a place, in order of time.
pub(super) fn clips<'a>(line_up: &'a LineUp<'a>, clock: ShootClock) -> Vec<Clip<'a>> {
    let recordings = line_up.recordings.iter().enumerate();
    let mut clips: Vec<Clip<'a>> = recordings
        .filter_map(|(number, recording)| clip(number, recording, clock))
        .collect();
    clips.sort_by_key(|clip| (clip.at, clip.number));
    clips
}

fn clip<'a>(number: usize, recording: &'a Recording<'a>, clock: ShootClock) -> Option<Clip<'a>> {
    let placed = recording.placed?;
    let summary = &recording.entry.summary;
    let at = clock.nearest_frame(placed.from);
    // A hair more, so that a whole number that floating point made smaller stays one.
    let whole = (clock.frames(summary.seconds()) + 1e-6).floor();
    let available = Frames(signed(whole).max(1));
    let spanned = clock.nearest_frame(placed.to) - at;
    let source = stamp_start(summary, clock);
    Some(Clip {
        number,
        recording,
        placed,
        kind: Kind::of(summary),
        at,
        remainder: placed.from.0 - clock.seconds(at.0 as f64),
        length: spanned.clamp(Frames(1), available),
        source: source.map_or(Frames(0), |source| clock.nearest_frame(source)),
        available,
    })
}

/// Clips in order of time, on as few tracks as hold them without an overlap.
///
/// Where a recorder splits its files, the last frame of one may be the first of the next: then the
/// former ends a frame earlier, and they stay on one track.
pub(super) fn lanes(clips: Vec<Clip<'_>>) -> Vec<Vec<Clip<'_>>> {
    let mut lanes: Vec<Vec<Clip<'_>>> = Vec::new();
    for clip in clips {
        let fitting = lanes.iter_mut().find_map(|lane| {
            let last = lane.last_mut()?;
            let overlap = last.end() - clip.at;
            if overlap == Frames(1) && last.length > Frames(1) {
                last.length = last.length - overlap;
            }
            (last.end() <= clip.at).then_some(lane)
        });
        match fitting {
            Some(lane) => lane.push(clip),
            None => lanes.push(vec![clip]),
        }
    }
    lanes
}
