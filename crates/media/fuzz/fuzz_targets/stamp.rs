//! Whatever the bytes, a copy that can be planned can be made, is as long as was said, and is what
//! reading back finds.
//!
//! `cargo +nightly fuzz run stamp`

#![no_main]

use std::io::Cursor;

use libfuzzer_sys::fuzz_target;
use plumbline_media::stamp::{Channels, Stamp, StampedCopy};
use plumbline_timecode::{Rate, Timebase};

/// The first byte names a channel to leave out, from 1; the others are the file.
fuzz_target!(|input: &[u8]| {
    let Some((&left_out, file)) = input.split_first() else {
        return;
    };
    let left_out = left_out.checked_sub(1);
    let stamp = Stamp {
        time_reference: 1 << 33,
        timebase: Timebase::non_drop(Rate::F23_976),
        tape: left_out.map(|number| number.to_string()),
        channels: Channels::without(left_out.map(u16::from)),
    };
    let copy = match StampedCopy::plan(&mut Cursor::new(file), &stamp) {
        Ok(copy) => copy,
        Err(error) => {
            assert!(!error.to_string().is_empty() && !error.remedy().is_empty());
            return;
        }
    };
    let (mut writer, mut out) = (copy.writer(), Vec::new());
    for piece in copy.pieces() {
        assert!(piece.start < piece.end && piece.end <= file.len() as u64);
        for block in file[piece.start as usize..piece.end as usize].chunks(7) {
            writer.push(block, &mut out);
        }
    }
    let written = writer.finish(&mut out).expect("all pieces were pushed");
    assert_eq!(out.len() as u64, copy.len());
    for remark in copy.remarks() {
        assert!(!remark.to_string().is_empty());
    }
    match copy.read_back(&mut Cursor::new(&out), written) {
        Ok(mut read_back) => {
            read_back.push(&out);
            read_back.finish().expect("nothing came between");
        }
        Err(difference) => panic!("{difference}"),
    }
});
