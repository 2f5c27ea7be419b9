//! The border as a worker meets it: real files of a browser, `FileReaderSync`, JavaScript values.
#![cfg(target_arch = "wasm32")]
#![expect(
    clippy::unwrap_used,
    reason = "a test; clippy does not know this attribute as one"
)]

use js_sys::{Array, Reflect, Uint8Array};
use plumbline_page::{
    BlobSource, Demo, Making, ReadingBack, Recording, codeword_at, default_settings, now_address,
    sketch, worksheet, worksheet_help,
};
use plumbline_shoot::{FrameList, RecordingReader, csv};
use plumbline_sums::worksheet::Worksheet;
use plumbline_tone::{Plan, Settings};
use std::io::{Cursor, Read as _, Seek as _, SeekFrom};
use tsify::{Ts, Tsify as _};
use wasm_bindgen::JsValue;
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};
use web_sys::{Blob, File};

wasm_bindgen_test_configure!(run_in_dedicated_worker);

fn file(bytes: &[u8], name: &str) -> File {
    let parts = Array::of1(&Uint8Array::from(bytes));
    File::new_with_u8_array_sequence(&parts, name).unwrap()
}

fn blob(bytes: &[u8]) -> Blob {
    file(bytes, "a file").into()
}

/// More than one window, and nothing in it repeats at a window's distance.
fn pattern() -> Vec<u8> {
    (0..500_000_u32)
        .map(|n| (n.wrapping_mul(2_654_435_761) >> 24) as u8)
        .collect()
}

#[wasm_bindgen_test]
fn a_blob_reads_as_its_bytes() {
    let bytes = pattern();
    let mut read = Vec::new();
    BlobSource::new(blob(&bytes))
        .unwrap()
        .read_to_end(&mut read)
        .unwrap();
    assert!(read == bytes, "{} bytes of {}", read.len(), bytes.len());
}

#[wasm_bindgen_test]
fn a_blob_reads_the_same_from_any_place() {
    let bytes = pattern();
    let mut source = BlobSource::new(blob(&bytes)).unwrap();
    let mut slice = Cursor::new(&bytes);
    let places = [
        SeekFrom::Start(131_071),
        SeekFrom::Current(-64),
        SeekFrom::End(-3),
        SeekFrom::Start(0),
        SeekFrom::Current(400_000),
        SeekFrom::Start(600_000),
    ];
    for place in places {
        assert_eq!(
            source.seek(place).unwrap(),
            slice.seek(place).unwrap(),
            "{place:?}"
        );
        let (mut here, mut there) = (Vec::new(), Vec::new());
        source.by_ref().take(1000).read_to_end(&mut here).unwrap();
        slice.by_ref().take(1000).read_to_end(&mut there).unwrap();
        assert_eq!(here, there, "{place:?}");
    }
    assert!(source.seek(SeekFrom::Current(-1_000_000)).is_err());
}

#[wasm_bindgen_test]
fn a_recording_is_read_as_it_is_without_the_page() {
    let demo = plumbline_shoot::demo();
    let mut source = Cursor::new(&demo.bytes);
    let mut reader = RecordingReader::open(&demo.name, &mut source, FrameList::Leave).unwrap();
    let pieces = reader.pieces();
    assert_eq!(pieces.len(), 1, "a WAV's sound stands in one piece");
    let data = &pieces[0];
    let [begins, ends] = [data.start, data.end].map(|at| usize::try_from(at).unwrap());
    let sound = &demo.bytes[begins..ends];
    reader.push(sound);
    let wanted = reader.finish().report;
    assert!(!wanted.codes.is_empty());

    let mut recording = Recording::open(file(&demo.bytes, &demo.name)).unwrap();
    assert_eq!(recording.pieces(), [begins as f64, ends as f64]);
    for block in sound.chunks(100_003) {
        recording.push(&Uint8Array::from(block));
    }
    let finished = recording.finish().unwrap();
    assert_eq!(finished.csv(), csv(&wanted));
    let reading = JsValue::from(finished.reading());
    let report = Reflect::get(&reading, &"report".into()).unwrap();
    let codes = Array::from(&Reflect::get(&report, &"codes".into()).unwrap());
    assert_eq!(codes.length() as usize, wanted.codes.len());
    let start = Reflect::get(&codes.get(0), &"start".into()).unwrap();
    assert_eq!(start.as_string(), wanted.codes[0].start);
}

#[wasm_bindgen_test]
fn a_file_that_is_no_recording_gives_an_error_and_nothing_to_push() {
    let recording = Recording::open(file(b"Deck, dawn.", "call-sheet.wav")).unwrap();
    assert!(recording.pieces().is_empty());
    let reading = JsValue::from(recording.finish().unwrap().reading());
    let report = Reflect::get(&reading, &"report".into()).unwrap();
    let error = Reflect::get(&report, &"error".into()).unwrap();
    assert!(Reflect::get(&error, &"text".into()).unwrap().is_string());
}

#[wasm_bindgen_test]
fn a_codeword_is_found_at_its_place_again() {
    let demo = Demo::make();
    let file = blob(&demo.into_bytes());
    let codeword = JsValue::from(codeword_at(file, 1, "25", 10.0).unwrap().unwrap());
    let fields = Array::from(&Reflect::get(&codeword, &"fields".into()).unwrap());
    let bits: usize = fields
        .iter()
        .map(|field| {
            Reflect::get(&field, &"bits".into())
                .unwrap()
                .as_string()
                .unwrap()
                .len()
        })
        .sum();
    assert_eq!(bits, 80);
    let second = Reflect::get(&codeword, &"second".into())
        .unwrap()
        .as_f64()
        .unwrap();
    assert!((second - 10.0).abs() < 0.05, "{second}");
}

fn length(typed: &str) -> Ts<Settings> {
    let settings = Settings {
        length: typed.to_owned(),
        ..Settings::default()
    };
    settings.into_ts().unwrap()
}

fn text(object: &JsValue, key: &str) -> Option<String> {
    Reflect::get(object, &key.into()).unwrap().as_string()
}

/// The whole file, taken into an array that has no round length.
fn made(settings: &Ts<Settings>) -> Vec<u8> {
    let mut making = Making::open(settings).unwrap();
    let array = Uint8Array::new_with_length(700_001);
    let mut file = Vec::new();
    loop {
        let count = making.fill(&array).unwrap();
        file.extend(array.subarray(0, count).to_vec());
        if count == 0 {
            assert_eq!(making.total_bytes().to_string(), file.len().to_string());
            return file;
        }
    }
}

#[wasm_bindgen_test]
fn a_tone_is_made_and_read_back_as_it_is_without_the_page() {
    let settings = length("20 s");
    let file = made(&settings);
    let mut writer = Plan::new(&settings.to_rust().unwrap())
        .unwrap()
        .file()
        .unwrap();
    let (mut wanted, mut piece) = (Vec::new(), Vec::new());
    while writer.next_piece(&mut piece).unwrap() {
        wanted.extend_from_slice(&piece);
    }
    assert!(file == wanted, "{} bytes of {}", file.len(), wanted.len());
    let mut reading = ReadingBack::open(&settings).unwrap();
    for block in file.chunks(100_003) {
        reading.push(&Uint8Array::from(block));
    }
    let outcome = JsValue::from(reading.finish().unwrap());
    assert_eq!(text(&outcome, "as_asked").as_deref(), Some("yes"));
    let said = text(&outcome, "text").unwrap();
    assert_eq!(said, "500 codewords read back, all as asked.");
}

#[wasm_bindgen_test]
fn settings_that_are_not_right_are_sketched_and_make_no_file() {
    let wrong = length("200 h");
    let sketched = JsValue::from(sketch(&wrong).unwrap());
    let problems = Array::from(&Reflect::get(&sketched, &"problems".into()).unwrap());
    assert_eq!(text(&problems.get(0), "field").as_deref(), Some("length"));
    assert!(Making::open(&wrong).is_err());
    assert!(ReadingBack::open(&wrong).is_err());
}

#[wasm_bindgen_test]
fn the_moment_is_handed_over() {
    // 2026-10-10 12:00 UTC, two hours further east.
    let noon = 1_791_590_400_000.0 + 12.0 * 3_600_000.0;
    let settings = default_settings(noon, 120).unwrap();
    let defaults = JsValue::from(settings.clone());
    assert_eq!(text(&defaults, "date").as_deref(), Some("2026-10-10"));
    assert_eq!(text(&defaults, "zone").as_deref(), Some("+02:00"));
    let address = now_address(&settings, noon, 120).unwrap();
    assert_eq!(address.as_deref(), Some("14:00:00:00"));
}

#[wasm_bindgen_test]
fn a_file_that_was_damaged_is_found_out() {
    let settings = length("20 s");
    let mut file = made(&settings);
    let middle = file.len() / 2;
    file[middle..middle + 20_000].fill(0);
    let mut reading = ReadingBack::open(&settings).unwrap();
    reading.push(&Uint8Array::from(file.as_slice()));
    let outcome = JsValue::from(reading.finish().unwrap());
    assert_eq!(text(&outcome, "as_asked").as_deref(), Some("no"));
    assert_ne!(text(&outcome, "remedy").as_deref(), Some(""));
}

fn get(value: &JsValue, name: &str) -> JsValue {
    Reflect::get(value, &name.into()).unwrap()
}

#[wasm_bindgen_test]
fn a_sheet_crosses_both_ways_with_places_as_javascript_counts() {
    let sheet = Worksheet {
        text: "10:00:00:00 + 90 frames\nprobe_𝄞 + 1".to_owned(),
        ..Worksheet::default()
    };
    let worked: JsValue = worksheet(&sheet.into_ts().unwrap()).unwrap().into();
    let lines = get(&worked, "lines");
    let line = |at: u32| Reflect::get_u32(&lines, at).unwrap();
    assert_eq!(get(&line(0), "kind").as_string().unwrap(), "address");
    assert_eq!(get(&line(0), "value").as_string().unwrap(), "10:00:03:15");
    let span = get(&get(&line(1), "fault"), "span");
    assert_eq!(get(&span, "start").as_f64(), Some(6.0));
    assert_eq!(get(&span, "end").as_f64(), Some(8.0));
    assert!(worksheet_help().unwrap().len() > 5);
}
