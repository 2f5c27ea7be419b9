//! How quick the whole receiver is, in times real time: two minutes at 48 kHz of code, of code under
//! other sound, and of sound without code.
//!
//! `cargo bench -p plumbline-damage --bench receive [-- WORD …]`: the cases with all these words.
//! Each figure is the best of three runs, and each run must have read what there is to read.

use std::env::args;
use std::error::Error;
use std::time::Instant;

use plumbline_damage::{
    Added, Damage, Decibels, Music, Pink, Plumbline, Reader, Seed, Sound, Source, Speech, Take,
    White,
};
use plumbline_timecode::{Rate, SampleRate};

const SECONDS: u32 = 120;
const SEED: Seed = Seed::tuning(1);

fn main() -> Result<(), Box<dyn Error>> {
    let wanted: Vec<String> = args()
        .skip(1)
        .filter(|word| !word.starts_with('-'))
        .collect();
    for (name, damage) in [
        ("clean", None),
        ("10 dB over white noise", Some(white(10.0))),
        ("2 dB under white noise", Some(white(-2.0))),
        ("2 dB under music", Some(under(Music, 2.0))),
    ] {
        let name = format!("code, {name}");
        if is_wanted(&name, &wanted) {
            let damage: Vec<&dyn Damage> = damage.iter().map(AsRef::as_ref).collect();
            let source = Source::new(Rate::F25, SampleRate::hertz(48_000)?);
            report(
                &name,
                &source.take(25 * SECONDS, SEED)?.damaged(SEED, &damage)?,
            );
        }
    }
    for (name, sound) in [
        ("silence", None),
        ("white noise", Some(white(0.0))),
        ("pink noise", Some(under(Pink, 0.0))),
        ("speech", Some(under(Speech, 0.0))),
        ("music", Some(under(Music, 0.0))),
    ] {
        let name = format!("no code, {name}");
        if is_wanted(&name, &wanted) {
            let sound: Vec<&dyn Damage> = sound.iter().map(AsRef::as_ref).collect();
            let take = Take::without_code(SampleRate::hertz(48_000)?, f64::from(SECONDS));
            report(&name, &take.damaged(SEED, &sound)?);
        }
    }
    Ok(())
}

fn is_wanted(name: &str, words: &[String]) -> bool {
    words.iter().all(|word| name.contains(word))
}

fn white(snr: f64) -> Box<dyn Damage> {
    Box::new(Added::at_snr(White, Decibels(snr)))
}

fn under(sound: impl Sound + Copy + 'static, louder: f64) -> Box<dyn Damage> {
    Box::new(Added::at_snr(sound, Decibels(-louder)))
}

/// Reads a take three times.
fn report(name: &str, take: &Take) {
    let best = (0..3).map(|_| {
        let begins = Instant::now();
        let read = Plumbline.read(take).len();
        let took = begins.elapsed().as_secs_f64();
        let there = take.words.len();
        // Under other sound one in eight may be lost.
        assert!(
            read <= there && read >= there - there / 8,
            "{name}: {read} codewords of {there} read"
        );
        took
    });
    let best = best.fold(f64::MAX, f64::min);
    println!(
        "{name:32} {:8.1} times real time",
        f64::from(SECONDS) / best
    );
}
