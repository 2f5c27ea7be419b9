//! Lines up pairs of made recordings and prints how often that was right, wrong and refused.
//!
//! `measure [--tuning] [--seeds N] [WORD…]` · `--tuning` takes the seeds that parameters are chosen
//! by; with words, only cases with all of them in their names.
#![expect(
    clippy::expect_used,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a measuring program: what it makes itself is known to fit"
)]

mod cases;
mod scene;
mod table;
mod trial;
mod worlds;

use cases::Case;
use plumbline_damage::Seed;
use std::process::ExitCode;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use trial::Outcome;
use worlds::Worlds;

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1).peekable();
    let (mut seed, mut seeds, mut words): (fn(u64) -> Seed, u64, Vec<String>) =
        (Seed::judging, 24, Vec::new());
    while let Some(argument) = arguments.next() {
        match argument.as_str() {
            "--tuning" => seed = Seed::tuning,
            "--seeds" => match arguments.next().and_then(|number| number.parse().ok()) {
                Some(number) => seeds = number,
                None => return usage(),
            },
            word if word.starts_with("--") => return usage(),
            word => words.push(word.to_owned()),
        }
    }
    let cases = cases::all();
    let cases: Vec<&Case> = cases
        .iter()
        .filter(|case| words.iter().all(|word| case.name.contains(word.as_str())))
        .collect();
    let outcomes = tried(&cases, seeds, seed);
    print!("{}", table::table(&cases, &outcomes));
    if words.is_empty() {
        print!("{}", table::speed());
    }
    ExitCode::SUCCESS
}

/// The outcomes of each case.
fn tried(cases: &[&Case], seeds: u64, seed: fn(u64) -> Seed) -> Vec<Vec<Outcome>> {
    // All cases of a seed one after the other: what sounds in them is made once.
    let jobs: Vec<(usize, u64)> = (0..seeds)
        .flat_map(|number| (0..cases.len()).map(move |case| (case, number)))
        .filter(|(case, number)| number % cases[*case].every == 0)
        .collect();
    let worlds = Worlds::default();
    let next = AtomicUsize::new(0);
    let outcomes = Mutex::new(vec![Vec::new(); cases.len()]);
    let workers = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..workers {
            scope.spawn(|| {
                while let Some((case, number)) = jobs.get(next.fetch_add(1, Ordering::Relaxed)) {
                    let outcome = cases[*case].pair.try_once(seed(*number), &worlds);
                    eprintln!("{} {number}: {outcome:?}", cases[*case].name);
                    outcomes.lock().expect("no worker broke")[*case].push(outcome);
                }
            });
        }
    });
    outcomes.into_inner().expect("no worker broke")
}

fn usage() -> ExitCode {
    eprintln!("usage: measure [--tuning] [--seeds N] [WORD…]");
    ExitCode::from(2)
}
