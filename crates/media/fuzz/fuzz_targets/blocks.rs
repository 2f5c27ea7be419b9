//! How the bytes are cut never changes the samples.
//!
//! `cargo +nightly fuzz run blocks`

#![no_main]

use std::io::Cursor;

use libfuzzer_sys::fuzz_target;
use plumbline_media::{Header, Samples, open};

fuzz_target!(|input: &[u8]| {
    // The first bytes say how to cut.
    let Some((cuts, file)) = input.split_first_chunk::<16>() else {
        return;
    };
    let Ok(header) = open(&mut Cursor::new(file)) else {
        return;
    };
    let whole = samples(&header, file, &mut std::iter::repeat(usize::MAX));
    let mut cuts = cuts.iter().cycle().map(|&cut| usize::from(cut) + 1);
    assert_eq!(whole, samples(&header, file, &mut cuts));
});

/// The bits of every sample, channel by channel.
fn samples(header: &Header, file: &[u8], cuts: &mut impl Iterator<Item = usize>) -> Vec<Vec<u32>> {
    let mut all = vec![Vec::new(); header.channels().into()];
    let mut samples = Samples::new(header).expect("the header was opened");
    let mut block = |first: u16, planes: &[&[f32]]| {
        for (channel, plane) in all[usize::from(first)..].iter_mut().zip(planes) {
            assert!(plane.iter().all(|sample| sample.is_finite()));
            channel.extend(plane.iter().map(|sample| sample.to_bits()));
        }
    };
    for piece in &header.pieces {
        let mut rest = &file[piece.bytes.start as usize..piece.bytes.end as usize];
        while !rest.is_empty() {
            let cut = cuts.next().expect("cuts go on");
            let (now, later) = rest.split_at(cut.min(rest.len()));
            samples.push(now, &mut block);
            rest = later;
        }
    }
    samples.finish(&mut block);
    all
}
