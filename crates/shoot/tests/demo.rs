//! The demo recording says what it was made to say.

use plumbline_shoot::reading::Reading;
use plumbline_shoot::report::FindingKind;
use plumbline_shoot::{FrameList, RecordingReader, codeword_at, demo};
use plumbline_timecode::Rate;
use std::io::Cursor;

type Outcome = Result<(), Box<dyn std::error::Error>>;

fn read(bytes: &[u8], block: usize) -> Result<Reading, Box<dyn std::error::Error>> {
    let mut source = Cursor::new(bytes);
    let mut recording = RecordingReader::open("demo.wav", &mut source, FrameList::Leave)
        .map_err(|reading| format!("{:?}", reading.report.error))?;
    for data in recording.pieces() {
        let data = usize::try_from(data.start)?..usize::try_from(data.end)?;
        for piece in bytes[data].chunks(block) {
            recording.push(piece);
        }
    }
    Ok(recording.finish())
}

#[test]
fn the_demo_has_its_three_faults_and_no_more() -> Outcome {
    let demo = demo();
    let reading = read(&demo.bytes, 1 << 20)?;
    let code = &reading.report.codes[0];
    assert_eq!(code.channel, 1);
    assert_eq!((code.rate.as_str(), code.drop_frame), ("25", false));
    assert_eq!(code.start.as_deref(), Some("14:03:20:06"));
    // Of 1,500 codewords the recording cuts the last, and the plug spoils two.
    assert_eq!((code.frames_read, code.frames_lost), (1497, 2));
    let kinds: Vec<FindingKind> = code.findings.iter().map(|finding| finding.kind).collect();
    assert_eq!(
        kinds,
        [
            FindingKind::EmbeddedDisagrees,
            FindingKind::Dropout,
            FindingKind::JumpForward
        ]
    );
    let frames: Vec<Option<f64>> = code.findings.iter().map(|finding| finding.frames).collect();
    assert_eq!(frames[1..], [Some(2.0), Some(28.0)]);
    let (ppm, deviation) = (
        code.clock_ppm.expect("a minute is enough"),
        code.clock_ppm_uncertainty.expect("so"),
    );
    assert!(
        (ppm + 3.0).abs() < 0.05 + 3.0 * deviation,
        "{ppm} ± {deviation}"
    );
    Ok(())
}

#[test]
fn how_the_bytes_are_cut_changes_nothing() -> Outcome {
    let demo = demo();
    let whole = read(&demo.bytes, usize::MAX)?;
    assert_eq!(whole.report.codes.len(), 1);
    for block in [1_009, 65_536, 1_000_003] {
        assert_eq!(read(&demo.bytes, block)?, whole, "blocks of {block}");
    }
    Ok(())
}

#[test]
fn a_codeword_that_is_pointed_at_has_all_its_bits() {
    let demo = demo();
    let mut source = Cursor::new(&demo.bytes);
    let found = codeword_at(&mut source, 1, Rate::F25, 10.0)
        .unwrap()
        .expect("code is there");
    // The first codeword begins at sample 412.6, 14:03:20:07.
    assert_eq!(found.timecode, "14:03:30:06");
    let bits: usize = found.fields.iter().map(|field| field.bits.len()).sum();
    assert_eq!(bits, 80);
    assert!(found.previous.expect("one before") < found.second);
    assert!(found.next.expect("one after") > found.second);
    assert!(
        codeword_at(&mut source, 0, Rate::F25, 10.0)
            .unwrap()
            .is_none()
    );
    assert!(
        codeword_at(&mut source, 9, Rate::F25, 10.0)
            .unwrap()
            .is_none()
    );
}
