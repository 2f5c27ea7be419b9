//! A day made up to show what many recordings on one clock are: a film on a ferry, "The last
//! crossing", from nine to five, with the honest troubles of such a day.
//!
//! | trouble                     | where                                                        |
//! |-----------------------------|--------------------------------------------------------------|
//! | a clock that drifts         | the deck camera is 4 ppm slow and was not jammed again       |
//! | another rate                | the bridge camera is set to 24 after lunch                   |
//! | a battery change            | the mast camera's clock stands for half a minute over lunch  |
//! | neither code nor start time | the mast camera before lunch                                 |
//! | no code                     | the bridge camera in the afternoon                           |
//! | a gap in the code           | the sound bag's last take                                    |

use crate::demo::DemoRecording;
use crate::made_up::{Code, DATE, HERTZ, MadeUpError, Slate, ixml, length, sound, wav};
use plumbline_media::Bext;
use plumbline_timecode::{Rate, Rounding, SampleRate, TimeAddress, Timebase, UserBits};

/// The recordings of a day, each made when it is asked for.
///
/// ```
/// use plumbline_shoot::DemoShoot;
/// let first = DemoShoot::make(0).unwrap();
/// assert_eq!((first.folder.as_str(), first.name.as_str()), ("sound bag", "bag_0411.wav"));
/// assert!(DemoShoot::make(DemoShoot::len()).is_none());
/// ```
#[derive(Debug)]
pub struct DemoShoot;

impl DemoShoot {
    /// How many recordings it has.
    pub const fn len() -> usize {
        TAKES.len()
    }

    /// The folder and the name of the recording with this number, counted from 0.
    pub fn place(number: usize) -> Option<(&'static str, &'static str)> {
        let take = TAKES.get(number)?;
        Some((take.device.folder, take.name))
    }

    /// The recording with this number, counted from 0: 2 to 5 MB.
    pub fn make(number: usize) -> Option<DemoRecording> {
        let take = TAKES.get(number)?;
        Some(DemoRecording {
            folder: take.device.folder.to_owned(),
            name: take.name.to_owned(),
            // Nothing in it can fail: every number below is legal, and memory takes all bytes.
            bytes: take.make(number).unwrap_or_default(),
        })
    }
}

#[derive(Debug)]
struct Device {
    folder: &'static str,
    /// Who it says it is, in its files.
    originator: &'static str,
    /// A date typed day first, and the number of the device.
    user_bits: UserBits,
    /// How fast the code is against its crystal.
    fast_ppm: i128,
    clock: Clock,
}

/// How a device states when it began.
#[derive(Debug, Clone, Copy)]
enum Clock {
    /// It is jammed all day, and counts samples.
    ToTheSample,
    /// It runs by itself, and counts frames: so many parts per million slow since it was jammed.
    InFrames { slow_ppm: i64 },
}

const BAG: Device = Device {
    folder: "sound bag",
    originator: "Sound bag",
    user_bits: UserBits(0x2511_2600),
    fast_ppm: 0,
    clock: Clock::ToTheSample,
};
const DECK: Device = Device {
    folder: "deck camera",
    originator: "Deck camera",
    user_bits: UserBits(0x2511_2601),
    fast_ppm: 4,
    clock: Clock::InFrames { slow_ppm: 4 },
};
const BRIDGE: Device = Device {
    folder: "bridge camera",
    originator: "Bridge camera",
    user_bits: UserBits(0x2511_2602),
    fast_ppm: -2,
    clock: Clock::InFrames { slow_ppm: 0 },
};
const MAST: Device = Device {
    folder: "mast camera",
    originator: "Mast camera",
    user_bits: UserBits(0x2511_2603),
    fast_ppm: 1,
    clock: Clock::InFrames { slow_ppm: 0 },
};

/// All devices were jammed at half past eight.
const JAMMED: i64 = 30_600 * HERTZ as i64;

#[derive(Debug)]
struct Take {
    device: &'static Device,
    name: &'static str,
    slate: Slate,
    rate: Rate,
    /// The first codeword.
    first: (u8, u8, u8, u8),
    seconds: u32,
    code: Cable,
    stamp: Stamp,
}

/// What came of the code on its way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Cable {
    In,
    /// It was never plugged in: the channel hears what the other does.
    Out,
    /// It was out from one codeword to before another.
    OutFrom(i64, i64),
}

/// What the file states.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stamp {
    /// The device's own clock.
    Own,
    /// That clock, which stood for so many frames while it had no battery.
    Stood(i64),
    Nothing,
}

const fn slate(
    scene: &'static str,
    take: &'static str,
    note: &'static str,
    sound: &'static str,
) -> Slate {
    Slate {
        scene,
        take,
        note,
        sound,
    }
}

const fn take(
    device: &'static Device,
    name: &'static str,
    slate: Slate,
    first: (u8, u8, u8, u8),
    seconds: u32,
) -> Take {
    Take {
        device,
        name,
        slate,
        rate: Rate::F25,
        first,
        seconds,
        code: Cable::In,
        stamp: Stamp::Own,
    }
}

/// In order of time.
const TAKES: [Take; 12] = [
    take(
        &BAG,
        "bag_0411.wav",
        slate("11", "1", "Ropes off, first bell", "Boom"),
        (9, 4, 10, 3),
        25,
    ),
    take(
        &DECK,
        "deck_0413.wav",
        slate("11", "1", "Ines at the rail", "Deck"),
        (9, 4, 12, 18),
        20,
    ),
    take(
        &BRIDGE,
        "bridge_0101.wav",
        slate("11", "1", "The captain turns", "Bridge"),
        (9, 5, 0, 0),
        12,
    ),
    take(
        &MAST,
        "mast_0021.wav",
        slate("11", "2", "Wide from above", "Mast"),
        (9, 31, 40, 11),
        10,
    ),
    take(
        &DECK,
        "deck_0414.wav",
        slate("12", "1", "Cars come aboard", "Deck"),
        (11, 20, 5, 2),
        15,
    ),
    Take {
        code: Cable::Out,
        stamp: Stamp::Nothing,
        ..take(
            &MAST,
            "mast_0022.wav",
            slate("12", "1", "Gulls", "Mast"),
            (11, 48, 30, 0),
            8,
        )
    },
    take(
        &DECK,
        "deck_0416.wav",
        slate("12", "2", "Ines looks back", "Deck"),
        (13, 57, 50, 9),
        15,
    ),
    Take {
        rate: Rate::F24,
        ..take(
            &BRIDGE,
            "bridge_0102.wav",
            slate("12", "2", "The captain answers", "Bridge"),
            (13, 58, 0, 5),
            15,
        )
    },
    Take {
        stamp: Stamp::Stood(781),
        ..take(
            &MAST,
            "mast_0023.wav",
            slate("12", "3", "The wake", "Mast"),
            (14, 20, 15, 20),
            10,
        )
    },
    Take {
        code: Cable::Out,
        ..take(
            &BRIDGE,
            "bridge_0103.wav",
            slate("13", "1", "Radar alone", "Bridge"),
            (15, 10, 2, 6),
            10,
        )
    },
    Take {
        code: Cable::OutFrom(230, 268),
        ..take(
            &BAG,
            "bag_0442.wav",
            slate("14", "2", "Last bell, passengers leave", "Boom"),
            (16, 40, 1, 14),
            20,
        )
    },
    take(
        &DECK,
        "deck_0421.wav",
        slate("14", "2", "Ines goes ashore", "Deck"),
        (16, 41, 30, 23),
        15,
    ),
];

/// How many samples into a recording its first codeword begins: no recorder waits for it.
fn begins(number: u32) -> u32 {
    (number * 577 + 611) % 1_900
}

impl Take {
    fn make(&self, number: usize) -> Result<Vec<u8>, MadeUpError> {
        let seed = u32::try_from(number).unwrap_or_default();
        let begins = begins(seed);
        let (hours, minutes, seconds, frames) = self.first;
        let code = Code {
            rate: self.rate,
            first: TimeAddress::new(self.rate.count(), hours, minutes, seconds, frames)?,
            begins: i128::from(begins) * 10,
            fast_ppm: self.device.fast_ppm,
            user_bits: self.device.user_bits,
            seconds: self.seconds,
        };
        let heard = sound(length(self.seconds), seed);
        let beside = match self.code {
            Cable::Out => sound(length(self.seconds), seed + 100),
            Cable::In => code.samples(|_| 0, |_, _| ())?,
            Cable::OutFrom(from, to) => code.samples(
                |_| 0,
                |codeword, samples| {
                    if (from..to).contains(&codeword) {
                        samples.fill(0.0);
                    }
                },
            )?,
        };
        let bext = self.bext(code.first, begins)?;
        wav(bext, ixml(self.slate, self.rate), [&heard, &beside])
    }

    fn bext(&self, first: TimeAddress, begins: u32) -> Result<Option<Bext>, MadeUpError> {
        let timebase = Timebase::non_drop(self.rate);
        let samples = timebase.samples_at(first, SampleRate::hertz(HERTZ)?)?;
        let start = samples.round(Rounding::Nearest) - i128::from(begins);
        let start = i64::try_from(start).unwrap_or_default();
        let frame = i64::from(HERTZ / self.rate.count().frames_per_second());
        let stood = match self.stamp {
            Stamp::Nothing => return Ok(None),
            Stamp::Own => 0,
            Stamp::Stood(frames) => frames * frame,
        };
        let stamp = match self.device.clock {
            Clock::ToTheSample => start,
            Clock::InFrames { slow_ppm } => {
                let own = start - stood - (start - JAMMED) * slow_ppm / 1_000_000;
                (own + frame / 2) / frame * frame
            }
        };
        let (hours, minutes, seconds, _) = self.first;
        Ok(Some(Bext {
            description: self.slate.note.into(),
            originator: self.device.originator.into(),
            origination_date: DATE.into(),
            origination_time: format!("{hours:02}:{minutes:02}:{seconds:02}"),
            time_reference: u64::try_from(stamp).unwrap_or_default(),
            ..Bext::default()
        }))
    }
}
