//! Whatever the bytes, a header's statements hold together.
//!
//! `cargo +nightly fuzz run header`

#![no_main]

use std::io::Cursor;

use libfuzzer_sys::fuzz_target;
use plumbline_media::{Coding, Decoders, limits, open_for};

fuzz_target!(|file: &[u8]| {
    match open_for(&mut Cursor::new(file), Decoders::OwnAndOutside) {
        Ok(header) => {
            for piece in &header.pieces {
                assert!(piece.bytes.start < piece.bytes.end);
                assert!(piece.bytes.end <= file.len() as u64);
                assert!(piece.track < header.tracks.len());
            }
            let is_stream = matches!(header.tracks[0].coding, Coding::Stream(_));
            assert!(is_stream || header.sample_frames > 0);
            assert!((1..=limits::CHANNELS_AT_MOST).contains(&header.channels()));
            assert!((1..=limits::SAMPLE_RATE_AT_MOST).contains(&header.sample_rate));
            for problem in &header.problems {
                assert!(!problem.to_string().is_empty() && !problem.remedy().is_empty());
            }
            if let Some(speed) = header.ixml.and_then(|ixml| ixml.speed) {
                let _ = speed.timebase();
            }
        }
        Err(error) => assert!(!error.to_string().is_empty() && !error.remedy().is_empty()),
    }
});
