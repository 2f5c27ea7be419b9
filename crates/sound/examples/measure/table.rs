//! What came out, as Markdown.

use crate::cases::Case;
use crate::scene::{Ear, Source};
use crate::trial::{Outcome, Truth, print};
use plumbline_damage::Seed;
use plumbline_sound::{Refusal, candidates};
use std::fmt::Write as _;
use std::time::Instant;

/// A line for each case.
pub(crate) fn table(cases: &[&Case], outcomes: &[Vec<Outcome>]) -> String {
    let mut out = String::new();
    for (truth, heading) in [
        (Truth::SameSound, "Both heard the same"),
        (Truth::NoAnswer, "There is no answer"),
    ] {
        let _ = writeln!(
            out,
            "## {heading}\n\n| pair | within 1 ms | refused | wrong | worst error, µs | worst drift \
             error, ppm | worst, in its own σ | refused because |\n|---|---|---|---|---|---|---|---|"
        );
        let mut sums = [0; 3];
        for (case, outcomes) in cases.iter().zip(outcomes) {
            if case.pair.truth == truth {
                out.push_str(&line(case, outcomes, &mut sums));
            }
        }
        let [right, refused, wrong] = sums;
        let _ = writeln!(
            out,
            "| **all** | **{right}** | **{refused}** | **{wrong}** | | | | |\n"
        );
    }
    out
}

fn line(case: &Case, outcomes: &[Outcome], sums: &mut [usize; 3]) -> String {
    let (mut counts, mut worst, mut why) = ([0; 3], [0.0_f64; 3], Vec::new());
    for outcome in outcomes {
        match outcome {
            Outcome::Right {
                error,
                drift,
                sigmas,
            } => {
                counts[0] += 1;
                for (worst, value) in worst.iter_mut().zip([error * 1e6, *drift, *sigmas]) {
                    *worst = worst.max(value);
                }
            }
            Outcome::Refused(refusal) => {
                counts[1] += 1;
                let name = named(refusal);
                if !why.contains(&name) {
                    why.push(name);
                }
            }
            Outcome::Wrong(error) => {
                counts[2] += 1;
                eprintln!("wrong: {}: {error} s", case.name);
            }
        }
    }
    why.sort_unstable();
    for (sum, count) in sums.iter_mut().zip(counts) {
        *sum += count;
    }
    let [right, refused, wrong] = counts;
    let worst = if right > 0 {
        format!("{:.0} | {:.1} | {:.1}", worst[0], worst[1], worst[2])
    } else {
        " | | ".into()
    };
    format!(
        "| {} | {right} | {refused} | {wrong} | {worst} | {} |\n",
        case.name,
        why.join(", ")
    )
}

fn named(refusal: &Refusal) -> &'static str {
    match refusal {
        Refusal::TooQuiet(_) => "too quiet",
        Refusal::TooShort { .. } => "too short",
        Refusal::NothingStandsOut => "nothing stands out",
        Refusal::PlacesAlike { .. } => "places alike",
        Refusal::WindowsDisagree { .. } => "windows disagree",
        _ => "another reason",
    }
}

/// How fast prints are made and compared on this machine.
pub(crate) fn speed() -> String {
    let seconds = 600.0;
    let ear = Ear::new(0.0, seconds);
    let world = Source::Speech.sound(seconds + 10.0, Seed::tuning(0));
    let samples = ear.hears(&world, Seed::tuning(0), 2);
    let begun = Instant::now();
    let made = print(&samples, ear);
    let making = begun.elapsed().as_secs_f64();
    let begun = Instant::now();
    let found = candidates(&made, &made, None).len();
    let comparing = begun.elapsed().as_secs_f64();
    format!(
        "## Speed\n\nOn the machine that made these tables, on one of its cores: a print is made \
         {:.0} times faster than its sound lasts (48 kHz), and takes {:.0} bytes a second. To look \
         for ten minutes in ten minutes took {comparing:.2} s ({found} found).\n",
        seconds / making,
        made.to_bytes().len() as f64 / seconds
    )
}
