//! Frames above 30 a second and the codewords that carry them.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use plumbline_timecode::{CodeAddress, Count, FrameNumber, Rate, TimeAddress, Timebase};

fn code(text: &str, count: Count) -> CodeAddress {
    TimeAddress::parse(text, count).unwrap().code()
}

/// IEC 60461 clauses 8.5 and 11 for 50, 59.94 and 60, SMPTE ST 12-1 for 47.952 and 48;
/// SMPTE ST 12-3 for 100, 119.88 and 120.
#[test]
fn each_rate_has_its_code_rate() {
    let expected = [
        (Rate::F23_976, Rate::F23_976, 1),
        (Rate::F24, Rate::F24, 1),
        (Rate::F25, Rate::F25, 1),
        (Rate::F29_97, Rate::F29_97, 1),
        (Rate::F30, Rate::F30, 1),
        (Rate::F47_952, Rate::F23_976, 2),
        (Rate::F48, Rate::F24, 2),
        (Rate::F50, Rate::F25, 2),
        (Rate::F59_94, Rate::F29_97, 2),
        (Rate::F60, Rate::F30, 2),
        (Rate::F100, Rate::F25, 4),
        (Rate::F119_88, Rate::F29_97, 4),
        (Rate::F120, Rate::F30, 4),
    ];
    assert_eq!(expected.map(|(rate, ..)| rate), Rate::ALL);
    for (rate, code, frames) in expected {
        assert_eq!(
            (rate.code(), rate.frames_per_codeword()),
            (code, frames),
            "{rate}"
        );
        assert_eq!(rate.count().frames_per_codeword(), frames, "{rate}");
    }
    let mut all = 0;
    for timebase in Timebase::all() {
        let code = timebase.code();
        assert_eq!(
            Timebase::new(code.rate(), code.count()),
            Ok(code),
            "{timebase}"
        );
        assert_eq!(
            code.count().is_drop(),
            timebase.count().is_drop(),
            "{timebase}"
        );
        all += 1;
    }
    assert_eq!(all, 19);
}

/// IEC 60461 clause 8.5: bits 0 to 39 belong to the first frame of the pair, 40 to 79 to the
/// second. At 120 by SMPTE ST 12-3's four sub-frames.
#[test]
fn a_frame_is_a_part_of_a_codeword() {
    let second = code("10:00:00:49", Count::F50);
    assert_eq!(second.address().to_string(), "10:00:00:24");
    assert_eq!(
        (second.part(), second.parts(), second.bits()),
        (1, 2, 40..80)
    );

    let minute = TimeAddress::from_frame_number(Count::F60Drop, FrameNumber(3600)).unwrap();
    assert_eq!(minute.to_string(), "00:01:00;04");
    assert_eq!(minute.code().address().to_string(), "00:01:00;02");
    assert_eq!(minute.code().bits(), 0..40);

    let fast = TimeAddress::from_frame_number(Count::F120, FrameNumber(47))
        .unwrap()
        .code();
    assert_eq!(fast.address().to_string(), "00:00:00:11");
    assert_eq!((fast.part(), fast.parts(), fast.bits()), (3, 4, 60..80));

    let plain = code("10:00:00:24", Count::F25);
    assert_eq!((plain.part(), plain.bits()), (0, 0..80));
    assert_eq!(plain.address().to_string(), "10:00:00:24");
}

#[test]
fn a_part_of_a_codeword_is_a_frame() {
    let address = TimeAddress::parse("10:00:00:24", Count::F25).unwrap();
    let frame = |part, count| CodeAddress::new(address, part, count);
    assert_eq!(
        frame(1, Count::F50).unwrap().frame().to_string(),
        "10:00:00:49"
    );
    assert_eq!(
        frame(3, Count::F100).unwrap().frame().to_string(),
        "10:00:00:99"
    );
    assert_eq!(
        frame(2, Count::F50).unwrap_err().to_string(),
        "a codeword spans 2 frames at 50 frames a second: there is no part 2"
    );
    assert_eq!(
        frame(0, Count::F60).unwrap_err().to_string(),
        "10:00:00:24 is counted as 25, but codewords under 60 count 30"
    );
}
