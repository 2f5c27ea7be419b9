//! Test equipment: code with its truth beside it, and damage that is done to it.
//!
//! | type | is | unit |
//! |---|---|---|
//! | [`Source`] | what is sent: codewords and how they sound | |
//! | [`Take`] | a recording and what is true of it | samples |
//! | [`Truth`] | a codeword that was sent, and where | samples |
//! | [`Damage`] | a thing that can happen to a take, one file each | |
//! | [`Sound`] | something that can be heard over code, one file each | mean square 1 |
//! | [`Decibels`] | a ratio of mean squares | dB |
//! | [`Reader`] | whoever reads a take: ours, and an ordinary one | |
//! | [`Score`] | how well it did, by the truth | codewords |
//! | [`best_single_word`] | how well anybody could, by trying | codewords |
//! | [`Seed`] | where chance comes from: tuning and judging apart | |
//!
//! Damage composes: a take goes from one to the next, and its truth with it. The level of
//! whatever is added is told against the code as its source made it, so that the order in which
//! things are added does not matter.
//!
//! ```
//! use plumbline_damage::{Added, Decibels, Seed, Source, White};
//! use plumbline_timecode::{Rate, SampleRate};
//! let source = Source::new(Rate::F25, SampleRate::hertz(48_000)?);
//! let seed = Seed::tuning(1);
//! // Two seconds of code, 3 dB below white noise.
//! let take = source.take(50, seed)?.damaged(seed, &[&Added::at_snr(White, Decibels(-3.0))])?;
//! assert_eq!(take.samples.len(), 50 * 1920);
//! assert_eq!(take.words[1].begins, 1920.0);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # What this crate leaves out
//! * Recordings from the street. Everything here is made, and what is made is known.
//! * Files: a take is samples in memory. Only [`Codec`] starts a program, and has temporary files.
//!
//! It is a tool for tests: nothing that ships depends on it.

mod added;
mod band_limit;
mod bit_flips;
mod chart;
mod clicks;
mod clip;
mod codec;
mod convert;
mod damage;
mod dc_steps;
mod decibels;
mod dropouts;
mod edge_counter;
mod error;
mod gain_riding;
mod heard;
mod hum;
mod limit;
mod music;
mod pink;
mod q;
mod quantise;
mod random;
mod random_biphase;
mod reader;
mod resonator;
mod score;
mod seed;
mod sound;
mod source;
mod spectrum;
mod speech;
mod splices;
mod svg;
mod sweep;
mod take;
mod tape;
mod tones;
mod white;

pub use added::Added;
pub use band_limit::{BandLimit, Phase};
pub use bit_flips::BitFlips;
pub use clicks::Clicks;
pub use clip::Clip;
pub use codec::{Channels, Codec, Format};
pub use damage::Damage;
pub use dc_steps::DcSteps;
pub use decibels::Decibels;
pub use dropouts::Dropouts;
pub use edge_counter::EdgeCounter;
pub use error::DamageError;
pub use gain_riding::GainRiding;
pub use hum::{Hum, Mains};
pub use limit::{
    Trials, best_position, best_single_word, best_start, half_cell_snr, nearest_error,
    nearest_wrong_addresses, nearest_wrong_starts,
};
pub use music::Music;
pub use pink::Pink;
pub use q::q;
pub use quantise::{Dither, Quantise};
pub use random::Random;
pub use random_biphase::RandomBiphase;
pub use reader::{Plumbline, Reader, reading, recorded};
pub use score::{Frame, Score};
pub use seed::{Purpose, Seed};
pub use sound::Sound;
pub use source::{Addresses, Source, UserBitsSent};
pub use speech::Speech;
pub use splices::Splices;
pub use sweep::{Effort, SweepError, sweep};
pub use take::{Condition, Take, Truth};
pub use tape::{Motion, Tape};
pub use tones::{SteadyTone, Wave};
pub use white::White;
