//! Channels side by side: where the code of one is plain, the others cost less, and lose nothing that
//! matters.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on is to stop")]

mod common;

use common::{Random, counting, dbfs, hertz, some_address, take, tone};
use plumbline_ltc::{Evidence, Received, Receiver, Tone, finish_in_step, push_in_step};
use plumbline_timecode::{Count, Frames, Rate, TimeAddress};

fn code(codewords: u16) -> Vec<f32> {
    let usual = Tone {
        level: dbfs(-20.0),
        ..tone(Rate::F25, hertz(48_000), 700, 5)
    };
    let words = counting(some_address(Count::F25), 0x2511_2601, codewords);
    take(usual, &words).samples
}

fn noise(length: usize, level: f32, seed: u64) -> Vec<f32> {
    let mut random = Random::new(seed);
    (0..length).map(|_| level * random.normal()).collect()
}

fn sum(a: &[f32], b: &[f32]) -> Vec<f32> {
    a.iter().zip(b).map(|(a, b)| a + b).collect()
}

/// What each channel says, cut into blocks of a size.
fn received(planes: &[&[f32]], size: usize) -> Vec<Vec<Evidence>> {
    let mut channels: Vec<Receiver> = planes
        .iter()
        .map(|_| Receiver::new(hertz(48_000)))
        .collect();
    let mut receivers: Vec<&mut Receiver> = channels.iter_mut().collect();
    let mut all = vec![Vec::new(); planes.len()];
    let length = planes[0].len();
    for from in (0..length).step_by(size) {
        let until = (from + size).min(length);
        let blocks: Vec<&[f32]> = planes.iter().map(|plane| &plane[from..until]).collect();
        push_in_step(&mut receivers, &blocks, &mut |n, found| all[n].push(found));
    }
    finish_in_step(&mut receivers, &mut |n, found| all[n].push(found));
    all
}

fn trusted(evidence: &[Evidence]) -> usize {
    let words = evidence.iter().filter_map(Evidence::each);
    words.filter(|word| word.quality.is_trusted()).count()
}

/// The same code twice, plain and under noise as loud as it is; and plain code that begins after a
/// minute of noise: all of it is read, however the input is cut, and so it is without the first.
#[test]
fn beside_plain_code_other_code_is_read_from_its_beginning() {
    let plain = code(25 * 80);
    let length = plain.len();
    let buried = sum(&plain, &noise(length, 0.1, 201));
    let mut late = noise(length, 0.1, 202);
    late[60 * 48_000..].copy_from_slice(&plain[..length - 60 * 48_000]);
    let planes: [&[f32]; 3] = [&plain, &buried, &late];
    let read = received(&planes, 4096);
    let counts: Vec<usize> = read.iter().map(|channel| trusted(channel)).collect();
    assert!(counts[0] >= 25 * 80 - 1, "{counts:?}");
    assert!(counts[1] >= 25 * 80 * 98 / 100, "{counts:?}");
    assert!(counts[2] >= 25 * 20 - 3, "{counts:?}");
    for size in [777, 300_000] {
        assert_eq!(received(&planes, size), read, "blocks of {size}");
    }
}

/// How many codewords were read, and how many of those are not what was sent at their place.
fn right_and_wrong(evidence: &[Evidence], first: TimeAddress) -> (usize, usize) {
    let words = evidence.iter().filter_map(Evidence::each);
    let words = words.filter(|word| word.quality.is_trusted());
    let is_right = |word: &Received| {
        let number = (word.begins.as_f64() / 1920.0).round();
        #[expect(clippy::cast_possible_truncation, reason = "some hundreds")]
        let sent = first.plus_wrapping(Frames(number as i64));
        word.codeword.address(Count::F25) == Ok(sent)
    };
    let (right, wrong): (Vec<Received>, Vec<Received>) = words.copied().partition(is_right);
    (right.len(), wrong.len())
}

fn read(planes: &[&[f32]], firsts: &[TimeAddress]) -> Vec<(usize, usize)> {
    let all = received(planes, 4096);
    let all = all.iter().zip(firsts);
    all.map(|(channel, &first)| right_and_wrong(channel, first))
        .collect()
}

/// Two channels have the same code, each under noise of its own: together they are nearly as good as one
/// under half of the noise. One has it upside down. Each by itself misses a codeword in six.
#[test]
fn the_same_code_on_two_channels_is_read_together() {
    let plain = code(25 * 40);
    let turned: Vec<f32> = plain.iter().map(|sample| -sample).collect();
    let noises = [207, 208].map(|seed| noise(plain.len(), 0.18, seed));
    let planes = [sum(&plain, &noises[0]), sum(&turned, &noises[1])];
    let first = some_address(Count::F25);
    let backwards = planes
        .each_ref()
        .map(|plane| plane.iter().rev().copied().collect::<Vec<_>>());
    for (number, plane) in planes.iter().enumerate() {
        let alone = read(&[plane], &[first])[0];
        assert!(alone.0 < 880, "{number}: {alone:?}");
    }
    for (right, wrong) in read(&[&planes[0], &planes[1]], &[first, first]) {
        assert!(right > 980, "{right}");
        assert_eq!(wrong, 0);
    }
    for channel in received(&[&backwards[0], &backwards[1]], 4096) {
        assert!(trusted(&channel) > 980, "{}", trusted(&channel));
    }
}

/// The same sound on both channels says no more than once, and code that differs by three frames bears
/// out nothing: each channel is read as if it were alone.
#[test]
fn nothing_is_won_from_the_same_noise_or_from_another_code() {
    let plain = code(25 * 20);
    let first = some_address(Count::F25);
    let own = sum(&plain, &noise(plain.len(), 0.15, 209));
    let alone = read(&[&own], &[first])[0];
    for (right, wrong) in read(&[&own, &own], &[first, first]) {
        assert!(right.abs_diff(alone.0) < 10, "{right} {alone:?}");
        assert_eq!(wrong, 0);
    }
    let later = &plain[3 * 1920..];
    let later = sum(later, &noise(later.len(), 0.15, 210));
    let firsts = [first, first.plus_wrapping(Frames(3))];
    let alone = [alone, read(&[&later], &firsts[1..])[0]];
    let beside = read(&[&own[..later.len()], &later], &firsts);
    for ((right, wrong), alone) in beside.into_iter().zip(alone) {
        assert!(right.abs_diff(alone.0) < 10, "{right} {alone:?}");
        assert_eq!(wrong, 0);
    }
}

/// What ten seconds say together, if it may be believed: whether it is what was sent at its place.
fn told(evidence: &[Evidence], first: TimeAddress) -> Option<bool> {
    let together = evidence.iter().find_map(|evidence| match evidence {
        Evidence::Together(together) if together.is_certain() => Some(together),
        _ => None,
    })?;
    #[expect(clippy::cast_possible_truncation, reason = "some hundreds")]
    let number = (together.begins.as_f64() / 1920.0).round() as i64;
    let sent = first.plus_wrapping(Frames(number));
    Some(together.codewords[0].address(Count::F25) == Ok(sent))
}

/// Ten seconds at -28 dB, of which the start can't be told: on two channels, each with noise of its own, it
/// can, also where one has it upside down. Where another code runs in step, each still speaks for itself.
#[test]
fn a_start_that_no_channel_tells_by_itself_is_told_by_two() {
    const LENGTH: usize = 480_000;
    let first = some_address(Count::F25);
    let plain = code(300);
    let (own, other) = (&plain[..LENGTH], &plain[20 * 1920..][..LENGTH]);
    let turned: Vec<f32> = own.iter().map(|sample| -sample).collect();
    // The root mean square of the code, and 28 dB.
    let under = |code: &[f32], seed| sum(code, &noise(LENGTH, 0.0945 * 25.1, seed));
    let [own, turned, other] = [under(own, 241), under(&turned, 242), under(other, 243)];
    for alone in [&own, &turned, &other] {
        assert_eq!(told(&received(&[alone], 4096)[0], first), None);
    }
    let both = received(&[&own, &turned], 4096);
    for channel in &both {
        assert_eq!(told(channel, first), Some(true));
    }
    assert_eq!(received(&[&own, &turned], 100_003), both);
    for channel in received(&[&own, &other], 4096) {
        assert_eq!(told(&channel, first), None);
    }
}

/// Edges are only glimpsed by then: plain code that comes for a little more than a second is read whole all
/// the same, wherever it begins.
#[test]
fn beside_plain_code_a_second_of_other_plain_code_is_seen() {
    let plain = code(25 * 60);
    let mut beside = noise(plain.len(), 0.001, 211);
    let bursts = [20.3, 27.0, 33.9, 41.55, 52.2];
    for begins in bursts {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "small"
        )]
        let begins = (begins * 48_000.0) as usize;
        for (sample, code) in beside[begins..].iter_mut().zip(&plain[..1920 * 30]) {
            *sample += code;
        }
    }
    let planes: [&[f32]; 2] = [&plain, &beside];
    let read = received(&planes, 4096);
    let trusted = trusted(&read[1]);
    assert!(trusted >= bursts.len() * 29, "{trusted}");
    assert_eq!(received(&planes, 1001), read);
}

/// Code under noise that begins at 40 s, when nothing was found for long: by itself it is found at
/// the next look, 16 s later at most; beside plain code nobody looks again for minutes.
#[test]
fn beside_plain_code_sound_without_code_is_seldom_weighed() {
    let plain = code(25 * 60);
    let mut late = noise(plain.len(), 0.1, 205);
    let begins = 40 * 48_000;
    let from_there = sum(&plain[begins..], &late[begins..]);
    late[begins..].copy_from_slice(&from_there);
    assert!(trusted(&received(&[&late], 4096)[0]) > 25);
    assert_eq!(trusted(&received(&[&plain, &late], 4096)[1]), 0);
}
