//! How the bytes are cut never changes the samples, and what is chosen is what all hold.
//!
//! `cargo +nightly fuzz run blocks`

#![no_main]

use std::io::Cursor;

use libfuzzer_sys::fuzz_target;
use plumbline_media::{Blocks, Header, open};

fuzz_target!(|input: &[u8]| {
    // The first bytes say how to cut.
    let Some((cuts, file)) = input.split_first_chunk::<16>() else {
        return;
    };
    let Ok(header) = open(&mut Cursor::new(file)) else {
        return;
    };
    let data = &file[header.data.start as usize..header.data.end as usize];
    let whole = samples(&header, Blocks::new(&header), std::iter::once(data));
    let pieces = Cutting { rest: data, cuts: cuts.iter().cycle() };
    let cut = samples(&header, Blocks::new(&header), pieces);
    assert_eq!(whole, cut);
    assert_eq!(whole[0].len() as u64, header.sample_frames);
    let last = header.channels - 1;
    let chosen = Blocks::of_channels(&header, &[last]).expect("the last channel is there");
    let chosen = samples(&header, chosen, std::iter::once(data));
    assert_eq!(chosen[0], whole[usize::from(last)]);
});

/// The bits of every sample, channel by channel.
fn samples<'d>(
    header: &Header,
    mut blocks: Blocks,
    pieces: impl Iterator<Item = &'d [u8]>,
) -> Vec<Vec<u32>> {
    let mut all = vec![Vec::new(); header.channels.into()];
    for piece in pieces {
        blocks.push(piece, &mut |block| {
            for (channel, slice) in all.iter_mut().zip(block) {
                assert!(slice.iter().all(|sample| sample.is_finite()));
                channel.extend(slice.iter().map(|sample| sample.to_bits()));
            }
        });
    }
    all
}

struct Cutting<'d, C> {
    rest: &'d [u8],
    cuts: C,
}

impl<'d, 'c, C: Iterator<Item = &'c u8>> Iterator for Cutting<'d, C> {
    type Item = &'d [u8];

    fn next(&mut self) -> Option<&'d [u8]> {
        if self.rest.is_empty() {
            return None;
        }
        let cut = usize::from(*self.cuts.next()?) + 1;
        let (piece, rest) = self.rest.split_at(cut.min(self.rest.len()));
        self.rest = rest;
        Some(piece)
    }
}
