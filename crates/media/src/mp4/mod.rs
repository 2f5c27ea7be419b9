//! MP4 and QuickTime movies: one file a part of the index. Pictures are never read.

mod boxes;
mod edits;
mod entry;
mod fragments;
mod pieces;
mod table;
mod timecode;
mod track;

use std::io::{Read, Seek};
use std::ops::Range;

use crate::cursor::Cursor;
use crate::limits::{BOXES_AT_MOST, CHANNELS_AT_MOST};
use crate::{ChunkId, Coding, Container, Creation, Decoders, Header, MediaError, TimecodeTrack};
use boxes::Box;
use fragments::Run;
use track::{Kind, Sound};

/// Reads the index of a movie: where the sound is, and what the timecode tracks say.
pub(crate) fn open<S: Read + Seek>(
    cursor: &mut Cursor<S>,
    decoders: Decoders,
) -> Result<Header, MediaError> {
    let file = File::walk(cursor)?;
    let Some(moov) = &file.moov else {
        return Err(MediaError::NoIndex {
            has_sound: file.has_data,
        });
    };
    let within = boxes::all(cursor, moov.content.clone())?;
    let movie_scale = track::after_dates(cursor, moov, *b"mvhd")?;
    let mut tracks = Tracks {
        creation: track::creation(cursor, moov)?,
        ..Tracks::default()
    };
    for trak in within.iter().filter(|found| found.id.0 == *b"trak") {
        tracks.add(track::read(cursor, trak, movie_scale, decoders))?;
    }
    let defaults = fragments::defaults(cursor, &within)?;
    for (at, moof) in &file.fragments {
        for run in fragments::runs(cursor, moof, *at, &defaults)? {
            tracks.grow(run);
        }
    }
    if let Some(cut) = moov.is_cut().then(|| file.cut(cursor)) {
        tracks.problems.push(cut);
    }
    tracks.header(file.container, cursor.len())
}

/// The boxes at the top of the file.
struct File {
    container: Container,
    moov: Option<Box>,
    fragments: Vec<(u64, Box)>,
    has_data: bool,
}

impl File {
    fn walk<S: Read + Seek>(cursor: &mut Cursor<S>) -> Result<Self, MediaError> {
        let mut file = Self {
            container: Container::Mov,
            moov: None,
            fragments: Vec::new(),
            has_data: false,
        };
        let mut at = 0;
        for _ in 0..BOXES_AT_MOST {
            let Some(found) = boxes::first(cursor, at..cursor.len())? else {
                break;
            };
            match &found.id.0 {
                b"ftyp" => {
                    let brand = cursor.array::<4>(found.content.start)?;
                    if brand != Some(*b"qt  ") {
                        file.container = Container::Mp4;
                    }
                }
                b"mdat" => file.has_data = true,
                b"moov" if file.moov.is_none() => file.moov = Some(found.clone()),
                b"moof" => file.fragments.push((at, found.clone())),
                _ => {}
            }
            at = found.stated_end;
        }
        Ok(file)
    }

    fn cut<S: Read + Seek>(&self, cursor: &mut Cursor<S>) -> MediaError {
        MediaError::Truncated {
            place: ChunkId(*b"moov"),
            at: self.moov.as_ref().map_or(0, |moov| moov.content.start),
            cut: crate::Cut::Index {
                present: cursor.len(),
            },
        }
    }
}

/// The tracks that were found.
#[derive(Default)]
struct Tracks {
    sound: Vec<Sound>,
    timecodes: Vec<TimecodeTrack>,
    creation: Option<Creation>,
    others: usize,
    problems: Vec<MediaError>,
}

impl Tracks {
    /// A track that can't be read leaves the others as they are; a file that can't ends all.
    fn add(&mut self, read: Result<Kind, MediaError>) -> Result<(), MediaError> {
        match read {
            Ok(Kind::Sound(sound)) => self.add_sound(*sound),
            Ok(Kind::Timecode(timecode)) => self.timecodes.push(timecode),
            Ok(Kind::Other) => self.others += 1,
            Err(error @ MediaError::Source { .. }) => return Err(error),
            Err(error) => self.problems.push(error),
        }
        Ok(())
    }

    fn add_sound(&mut self, mut sound: Sound) {
        let channels: u16 = self.sound.iter().map(|sound| sound.track.channels).sum();
        let first = self.sound.first().map(|sound| sound.sample_rate);
        let fits = channels + sound.track.channels <= CHANNELS_AT_MOST;
        if first.is_some_and(|first| first != sound.sample_rate) || !fits {
            self.problems.push(MediaError::OtherTrack {
                hertz: sound.sample_rate,
                channels: sound.track.channels,
            });
            return;
        }
        self.problems.extend(sound.problem.take());
        self.sound.push(sound);
    }

    /// A run of samples that a fragment tells.
    fn grow(&mut self, run: Run) {
        let mut tracks = self.sound.iter_mut();
        let Some(sound) = tracks.find(|sound| sound.id == run.id) else {
            return;
        };
        if let Coding::Packets(packets) = &mut sound.track.coding {
            packets.sizes.extend(run.sizes);
            if packets.frames == 0 {
                packets.frames =
                    track::packet_frames(run.duration, sound.time_scale, sound.sample_rate);
            }
        }
        sound.pieces.push(run.bytes);
    }

    fn header(mut self, container: Container, file_len: u64) -> Result<Header, MediaError> {
        if self.sound.is_empty() {
            let others = self.others;
            return Err(self
                .problems
                .into_iter()
                .next()
                .unwrap_or(MediaError::NoSoundTrack { others }));
        }
        let mut sample_frames = 0;
        let mut decoded = 0;
        let mut lists: Vec<Vec<Range<u64>>> = Vec::new();
        let (mut needed, mut present) = (0, 0);
        for sound in &mut self.sound {
            needed += pieces::bytes(&sound.pieces);
            let there = pieces::within(std::mem::take(&mut sound.pieces), file_len);
            let bytes = pieces::bytes(&there);
            present += bytes;
            decoded = sound.decoded(bytes);
            sample_frames = sample_frames.max(sound.track.edit.length(decoded));
            lists.push(there);
        }
        if sample_frames == 0 {
            return Err(MediaError::NoSound { at: file_len });
        }
        if present < needed {
            self.problems.push(MediaError::Truncated {
                place: ChunkId(*b"mdat"),
                at: 0,
                cut: crate::Cut::Sound {
                    needed,
                    present,
                    sample_frames: decoded,
                },
            });
        }
        Ok(Header {
            container,
            sample_rate: self.sound.first().map_or(0, |sound| sound.sample_rate),
            pieces: pieces::in_order(&lists),
            tracks: self.sound.into_iter().map(|sound| sound.track).collect(),
            sample_frames,
            timecodes: self.timecodes,
            bext: None,
            ixml: None,
            creation: self.creation,
            problems: self.problems,
        })
    }
}
