//! Code that has been through what sound goes through, by FFmpeg: every whole codeword is read.
//!
//! `cargo test -p plumbline-ltc --test chains -- --ignored`; needs `ffmpeg` in the path.

#![expect(clippy::unwrap_used, clippy::panic, reason = "what fails is the test")]

mod common;

use std::env::temp_dir;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{self, Command};

use common::{Take, counting, dbfs, demodulate, hertz, some_address, take, tone};
use plumbline_ltc::{Quality, Received, Tone};
use plumbline_timecode::CODES;

/// What happens to the sound.
struct Chain {
    name: &'static str,
    links: &'static [Link],
    /// The sample rate at its end.
    sample_rate: u32,
    /// How many codewords of 600 it may spoil. The codec bends some edges by a third of a cell in
    /// its first half second; band-pass and clipping together turn that into edges that are gone.
    may_spoil: usize,
}

enum Link {
    /// Into AAC at 128 kb/s.
    Aac,
    /// Through a filter, and stored in 24 bits.
    Filter(&'static str),
    /// Stored in eight bits.
    EightBits,
}

const BAND: Link = Link::Filter("highpass=f=300,lowpass=f=6000");
/// 20 dB beyond full scale, and cut off there.
const CLIP: Link = Link::Filter("volume=20dB,aformat=sample_fmts=flt,asoftclip=type=hard");
const RESAMPLE: Link = Link::Filter("aresample=44100");

const fn chain(name: &'static str, links: &'static [Link], sample_rate: u32) -> Chain {
    Chain {
        name,
        links,
        sample_rate,
        may_spoil: 0,
    }
}

const CHAINS: [Chain; 8] = [
    chain("AAC", &[Link::Aac], 48_000),
    chain("44.1 kHz", &[RESAMPLE], 44_100),
    chain("band-pass", &[BAND], 48_000),
    chain("clipped", &[CLIP], 48_000),
    chain("eight bits", &[Link::EightBits], 48_000),
    chain("band-pass, clipped", &[BAND, CLIP], 48_000),
    Chain {
        may_spoil: 1,
        ..chain(
            "AAC, 44.1 kHz, band-pass, clipped",
            &[Link::Aac, RESAMPLE, BAND, CLIP],
            44_100,
        )
    },
    Chain {
        may_spoil: 1,
        ..chain(
            "clipped, band-pass, 44.1 kHz, AAC",
            &[CLIP, BAND, RESAMPLE, Link::Aac],
            44_100,
        )
    },
];

#[test]
#[ignore = "needs FFmpeg"]
fn every_whole_codeword_survives_real_chains() {
    let folder = temp_dir().join(format!("plumbline-chains-{}", process::id()));
    fs::create_dir_all(&folder).unwrap();
    for (rate, count) in CODES {
        // Cut out of code that runs on, so that no codec has to invent what comes before.
        let words = counting(some_address(count), 0x2511_2601, 600);
        let usual = tone(rate, hertz(48_000), 0, 5);
        let whole = take(
            Tone {
                level: dbfs(-12.0),
                ..usual
            },
            &words,
        );
        let end = whole.samples.len() - 700;
        let sent = whole.cut(700, end);
        for chain in &CHAINS {
            let name = format!("{count} at {rate}: {}", chain.name);
            let samples = through(&folder, &sent.samples, chain.links);
            judge(
                &name,
                chain,
                &sent,
                &demodulate(hertz(chain.sample_rate), &samples),
            );
        }
    }
    fs::remove_dir_all(folder).unwrap();
}

/// The codewords are there, trusted, in their order, and all have been moved alike.
fn judge(name: &str, chain: &Chain, sent: &Take, received: &[Received]) {
    let scale = f64::from(chain.sample_rate) / 48_000.0;
    let mut left = sent.words.iter();
    let mut moved = Vec::new();
    let mut departure = 0.0_f32;
    for word in received.iter().filter(|word| word.quality.is_trusted()) {
        let truth = left.find(|truth| truth.codeword == word.codeword);
        let truth =
            truth.unwrap_or_else(|| panic!("{name}: {} was not sent", word.codeword.digits()));
        moved.push(word.begins.as_f64() - truth.begins * scale);
        if let Quality::Edges { departure: own, .. } = word.quality {
            departure = departure.max(own);
        }
    }
    let spoilt = sent.words.len() - moved.len();
    let mean = moved.iter().sum::<f64>() / moved.len() as f64;
    let worst = moved
        .iter()
        .fold(0.0_f64, |worst, moved| worst.max((moved - mean).abs()));
    println!(
        "{name}: {spoilt} spoilt; moved {mean:+.3}, each within {worst:.3}; {departure:.3} off"
    );
    assert!(spoilt <= chain.may_spoil, "{name}: {spoilt} spoilt");
    assert!(
        mean.abs() < 2.0 && worst < 0.1,
        "{name}: moved {mean}, within {worst}"
    );
}

fn through(folder: &Path, samples: &[f32], links: &[Link]) -> Vec<f32> {
    let mut at = folder.join("0.wav");
    let raw = folder.join("sent.raw");
    let bytes: Vec<u8> = samples
        .iter()
        .flat_map(|sample| sample.to_le_bytes())
        .collect();
    fs::write(&raw, bytes).unwrap();
    let input = ["-f", "f32le", "-ar", "48000", "-ac", "1"];
    ffmpeg(&input, &raw, &["-c:a", "pcm_s24le"], &at);
    for (number, link) in (1..).zip(links) {
        let next = folder.join(format!("{number}.wav"));
        match link {
            Link::Filter(filter) => ffmpeg(&[], &at, &["-af", filter, "-c:a", "pcm_s24le"], &next),
            Link::EightBits => ffmpeg(&[], &at, &["-c:a", "pcm_u8"], &next),
            Link::Aac => {
                let coded: PathBuf = folder.join(format!("{number}.m4a"));
                ffmpeg(&[], &at, &["-c:a", "aac", "-b:a", "128k"], &coded);
                ffmpeg(&[], &coded, &["-c:a", "pcm_s24le"], &next);
            }
        }
        at = next;
    }
    let raw = folder.join("received.raw");
    ffmpeg(&[], &at, &["-f", "f32le"], &raw);
    let bytes = fs::read(raw).unwrap();
    let (fours, _) = bytes.as_chunks::<4>();
    fours
        .iter()
        .map(|&bytes| f32::from_le_bytes(bytes))
        .collect()
}

fn ffmpeg(input: &[&str], from: &Path, options: &[&str], to: &Path) {
    let status = Command::new("ffmpeg")
        .args(["-v", "error", "-y", "-bitexact"])
        .args(input)
        .arg("-i")
        .arg(from)
        .args(options)
        .arg(to)
        .status()
        .unwrap();
    assert!(status.success(), "ffmpeg {options:?}");
}
