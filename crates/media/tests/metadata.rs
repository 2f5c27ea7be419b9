//! bext and iXML, field by field.

#![allow(
    clippy::unwrap_used,
    reason = "tests may stop where they did not foresee something"
)]

mod common;

use common::*;
use plumbline_media::{Bext, Hundredths, Ixml, Speed};

fn read_bext(content: &[u8]) -> Bext {
    let header = open(&plain(&[chunk(b"bext", content)])).unwrap();
    assert_eq!(header.problems, []);
    header.bext.unwrap()
}

fn read_ixml(content: &[u8]) -> Ixml {
    let header = open(&plain(&[chunk(b"iXML", content)])).unwrap();
    assert_eq!(header.problems, []);
    header.ixml.unwrap()
}

fn put(content: &mut [u8], at: usize, bytes: &[u8]) {
    content[at..at + bytes.len()].copy_from_slice(bytes);
}

/// Every field where EBU Tech 3285 (version 2, clause 2.3) has it.
fn full_bext(version: u16) -> Vec<u8> {
    let mut content = vec![0; 602];
    put(&mut content, 0, b"Ferry, deck two");
    put(&mut content, 256, b"Cart mixer");
    put(&mut content, 288, b"NO-FERRY-0007");
    put(&mut content, 320, b"2026-05-17");
    put(&mut content, 330, b"09-30-00");
    put(&mut content, 338, &3_999_428_864_u32.to_le_bytes());
    put(&mut content, 342, &1_u32.to_le_bytes());
    put(&mut content, 346, &version.to_le_bytes());
    put(&mut content, 348, &[0x06, 0x0A, 0x2B, 0x34]);
    put(&mut content, 412, &(-2300_i16).to_le_bytes());
    put(&mut content, 414, &750_i16.to_le_bytes());
    put(&mut content, 416, &(-5_i16).to_le_bytes());
    put(&mut content, 418, &0x7FFF_i16.to_le_bytes());
    put(&mut content, 420, &(-1850_i16).to_le_bytes());
    content.extend(b"A=PCM,F=96000,W=24,M=mono\r\n");
    content
}

#[test]
fn every_field_of_bext_version_2() {
    let bext = read_bext(&full_bext(2));
    assert_eq!(bext.description, "Ferry, deck two");
    assert_eq!(bext.originator, "Cart mixer");
    assert_eq!(bext.originator_reference, "NO-FERRY-0007");
    assert_eq!(bext.origination_date, "2026-05-17");
    assert_eq!(bext.origination_time, "09-30-00");
    // 23:59:59:24 at 25 frames a second and 96 kHz: the high word is 1.
    assert_eq!(bext.time_reference, 8_294_396_160);
    assert_eq!(bext.version, 2);
    assert_eq!(bext.umid.unwrap()[..5], [0x06, 0x0A, 0x2B, 0x34, 0]);
    let loudness = bext.loudness.unwrap();
    assert_eq!(loudness.integrated, Some(Hundredths(-2300)));
    assert_eq!(loudness.range.unwrap().to_string(), "7.50");
    assert_eq!(loudness.max_true_peak.unwrap().to_string(), "-0.05");
    assert_eq!(loudness.max_momentary, None);
    assert_eq!(loudness.max_short_term.unwrap().to_string(), "-18.50");
    assert_eq!(bext.coding_history, "A=PCM,F=96000,W=24,M=mono\r\n");
}

#[test]
fn earlier_versions_leave_the_later_fields_reserved() {
    let one = read_bext(&full_bext(1));
    assert_eq!(
        (one.version, one.umid.is_some(), one.loudness),
        (1, true, None)
    );
    let nought = read_bext(&full_bext(0));
    assert_eq!(
        (nought.version, nought.umid, nought.loudness),
        (0, None, None)
    );
    assert_eq!(nought.coding_history, "A=PCM,F=96000,W=24,M=mono\r\n");
}

#[test]
fn texts_beyond_ascii_are_kept() {
    let mut content = bext(0);
    put(&mut content, 0, "Überfahrt, Szene drei".as_bytes());
    put(&mut content, 256, b"Fj\xE6re lyd \xE9");
    let bext = read_bext(&content);
    assert_eq!(bext.description, "Überfahrt, Szene drei");
    assert_eq!(bext.originator, "Fjære lyd é");
    // Filled to the brim, the last character cut.
    content[256] = b'a';
    put(&mut content, 257, &"å".repeat(16).as_bytes()[..31]);
    assert_eq!(
        read_bext(&content).originator,
        format!("a{}", "å".repeat(15))
    );
}

const FULL: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<BWFXML>
  <IXML_VERSION>2.10</IXML_VERSION>
  <PROJECT>The Crossing</PROJECT>
  <SCENE>12A &amp; 12B</SCENE>
  <TAKE>3</TAKE>
  <TAPE>Roll 2</TAPE>
  <CIRCLED>TRUE</CIRCLED>
  <NO_GOOD>false</NO_GOOD>
  <WILD_TRACK>FALSE</WILD_TRACK>
  <FILE_UID>NOFERRY0007</FILE_UID>
  <UBITS>25112601</UBITS>
  <NOTE>wind &#60; 5 m/s<!-- checked --></NOTE>
  <SPEED>
    <NOTE>camera off speed</NOTE>
    <MASTER_SPEED>25/1</MASTER_SPEED>
    <CURRENT_SPEED>25/1</CURRENT_SPEED>
    <TIMECODE_RATE>25/1</TIMECODE_RATE>
    <TIMECODE_FLAG>NDF</TIMECODE_FLAG>
    <FILE_SAMPLE_RATE>96000</FILE_SAMPLE_RATE>
    <AUDIO_BIT_DEPTH>24</AUDIO_BIT_DEPTH>
    <DIGITIZER_SAMPLE_RATE>96000</DIGITIZER_SAMPLE_RATE>
    <TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>1</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>
    <TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>3999428864</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>
    <TIMESTAMP_SAMPLE_RATE>96000</TIMESTAMP_SAMPLE_RATE>
  </SPEED>
  <TRACK_LIST>
    <TRACK_COUNT>2</TRACK_COUNT>
    <TRACK><CHANNEL_INDEX>1</CHANNEL_INDEX><INTERLEAVE_INDEX>1</INTERLEAVE_INDEX>
      <NAME>Boom</NAME><FUNCTION>BOOM</FUNCTION></TRACK>
    <TRACK><CHANNEL_INDEX>8</CHANNEL_INDEX><INTERLEAVE_INDEX>2</INTERLEAVE_INDEX>
      <NAME><![CDATA[Code <8>]]></NAME><FUNCTION/></TRACK>
  </TRACK_LIST>
  <FILE_SET>
    <TOTAL_FILES>2</TOTAL_FILES><FAMILY_UID>F1</FAMILY_UID>
    <FAMILY_NAME>12A-3</FAMILY_NAME><FILE_SET_INDEX>A</FILE_SET_INDEX>
  </FILE_SET>
  <HISTORY>
    <ORIGINAL_FILENAME>12A-3.wav</ORIGINAL_FILENAME>
    <PARENT_FILENAME>day1.wav</PARENT_FILENAME><PARENT_UID>P1</PARENT_UID>
  </HISTORY>
  <SYNC_POINT_LIST>
    <SYNC_POINT_COUNT>1</SYNC_POINT_COUNT>
    <SYNC_POINT><SYNC_POINT_TYPE>ABSOLUTE</SYNC_POINT_TYPE>
      <SYNC_POINT_FUNCTION>SLATE_GENERIC</SYNC_POINT_FUNCTION>
      <SYNC_POINT_COMMENT>clap</SYNC_POINT_COMMENT>
      <SYNC_POINT_LOW>5</SYNC_POINT_LOW><SYNC_POINT_HIGH>1</SYNC_POINT_HIGH>
      <SYNC_POINT_EVENT_DURATION>0</SYNC_POINT_EVENT_DURATION></SYNC_POINT>
  </SYNC_POINT_LIST>
  <BEXT>
    <BWF_DESCRIPTION>Ferry</BWF_DESCRIPTION><BWF_ORIGINATOR>Cart mixer</BWF_ORIGINATOR>
    <BWF_ORIGINATOR_REFERENCE>R7</BWF_ORIGINATOR_REFERENCE>
    <BWF_ORIGINATION_DATE>2026-05-17</BWF_ORIGINATION_DATE>
    <BWF_ORIGINATION_TIME>09-30-00</BWF_ORIGINATION_TIME>
    <BWF_TIME_REFERENCE_LOW>3999428864</BWF_TIME_REFERENCE_LOW>
    <BWF_TIME_REFERENCE_HIGH>1</BWF_TIME_REFERENCE_HIGH>
    <BWF_CODING_HISTORY>A=PCM</BWF_CODING_HISTORY>
  </BEXT>
  <LOCATION><LOCATION_NAME>Ferry, deck two</LOCATION_NAME></LOCATION>
  <USER>free text</USER>
</BWFXML>
"#;

#[test]
fn every_part_of_ixml() {
    let ixml = read_ixml(FULL.as_bytes());
    let is = |text: &Option<String>, expected: &str| assert_eq!(text.as_deref(), Some(expected));
    is(&ixml.version, "2.10");
    is(&ixml.project, "The Crossing");
    is(&ixml.scene, "12A & 12B");
    is(&ixml.take, "3");
    is(&ixml.tape, "Roll 2");
    is(&ixml.note, "wind < 5 m/s");
    is(&ixml.file_uid, "NOFERRY0007");
    is(&ixml.ubits, "25112601");
    is(&ixml.location, "Ferry, deck two");
    is(&ixml.user, "free text");
    assert_eq!((ixml.circled, ixml.no_good), (Some(true), Some(false)));
    assert_eq!((ixml.wild_track, ixml.false_start), (Some(false), None));
    let speed = ixml.speed.unwrap();
    is(&speed.note, "camera off speed");
    is(&speed.master_speed, "25/1");
    is(&speed.current_speed, "25/1");
    assert_eq!(speed.timebase().unwrap().to_string(), "25");
    assert_eq!(speed.file_sample_rate, Some(96_000));
    assert_eq!(speed.audio_bit_depth, Some(24));
    assert_eq!(speed.digitizer_sample_rate, Some(96_000));
    assert_eq!(speed.samples_since_midnight, Some(8_294_396_160));
    assert_eq!(speed.timestamp_sample_rate, Some(96_000));
    let [boom, code] = &ixml.tracks[..] else {
        panic!("{:?}", ixml.tracks);
    };
    assert_eq!(
        (boom.channel_index, boom.interleave_index),
        (Some(1), Some(1))
    );
    is(&boom.name, "Boom");
    is(&boom.function, "BOOM");
    assert_eq!(
        (code.channel_index, code.interleave_index),
        (Some(8), Some(2))
    );
    is(&code.name, "Code <8>");
    assert_eq!(code.function, None);
    let set = ixml.file_set.unwrap();
    assert_eq!(set.total_files, Some(2));
    is(&set.family_uid, "F1");
    is(&set.family_name, "12A-3");
    is(&set.file_set_index, "A");
    let history = ixml.history.unwrap();
    is(&history.original_filename, "12A-3.wav");
    is(&history.parent_filename, "day1.wav");
    is(&history.parent_uid, "P1");
    let [clap] = &ixml.sync_points[..] else {
        panic!("{:?}", ixml.sync_points);
    };
    is(&clap.kind, "ABSOLUTE");
    is(&clap.function, "SLATE_GENERIC");
    is(&clap.comment, "clap");
    assert_eq!(
        (clap.samples, clap.duration),
        (Some(4_294_967_301), Some(0))
    );
    let copy = ixml.bext.unwrap();
    is(&copy.description, "Ferry");
    is(&copy.originator, "Cart mixer");
    is(&copy.originator_reference, "R7");
    is(&copy.origination_date, "2026-05-17");
    is(&copy.origination_time, "09-30-00");
    is(&copy.coding_history, "A=PCM");
    assert_eq!(copy.time_reference, Some(8_294_396_160));
}

#[test]
fn a_script_in_a_scene_name_is_text() {
    let script = "<script>alert(1)</script>";
    let as_markup = format!("<BWFXML><SCENE>{script}</SCENE></BWFXML>");
    let as_text = "<BWFXML><SCENE>&lt;script&gt;alert(1)&lt;/script&gt;</SCENE></BWFXML>";
    let as_cdata = format!("<BWFXML><SCENE><![CDATA[{script}]]></SCENE></BWFXML>");
    for document in [as_markup.as_str(), as_text, as_cdata.as_str()] {
        assert_eq!(
            read_ixml(document.as_bytes()).scene.as_deref(),
            Some(script),
            "{document}"
        );
    }
}

#[test]
fn every_encoding_that_recorders_use() {
    let document = "<BWFXML><SCENE>Fjære 3</SCENE></BWFXML>";
    let units: Vec<u16> = document.encode_utf16().collect();
    let little: Vec<u8> = units.iter().flat_map(|unit| unit.to_le_bytes()).collect();
    let big: Vec<u8> = units.iter().flat_map(|unit| unit.to_be_bytes()).collect();
    let latin: Vec<u8> = document.chars().map(|c| u8::try_from(c).unwrap()).collect();
    for content in [
        document.as_bytes().to_vec(),
        [b"\xEF\xBB\xBF", document.as_bytes()].concat(),
        [b"\xFF\xFE", &little[..]].concat(),
        [b"\xFE\xFF", &big[..]].concat(),
        latin,
        [document.as_bytes(), &[0; 300]].concat(),
    ] {
        assert_eq!(
            read_ixml(&content).scene.as_deref(),
            Some("Fjære 3"),
            "{content:02x?}"
        );
    }
}

#[test]
fn liberties_that_recorders_take() {
    let ixml = read_ixml(b"\r\n<bwfxml><Scene> INT & EXT </Scene><TAKE>  </TAKE></bwfxml>\n");
    assert_eq!(ixml.scene.as_deref(), Some("INT & EXT"));
    assert_eq!(ixml.take, None);
}

#[test]
fn the_halves_of_a_time_stamp() {
    let stamp = |high: &str, low: &str| {
        let document = format!(
            "<BWFXML><SPEED>\
             <TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>{high}</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>\
             <TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>{low}</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>\
             </SPEED></BWFXML>"
        );
        read_ixml(document.as_bytes())
            .speed
            .unwrap()
            .samples_since_midnight
    };
    assert_eq!(stamp("0", "172800000"), Some(172_800_000));
    assert_eq!(stamp("", "172800000"), Some(172_800_000));
    assert_eq!(stamp("1", "3999428864"), Some(8_294_396_160));
    assert_eq!(stamp("4294967295", "4294967295"), Some(u64::MAX));
    // Written as signed.
    assert_eq!(stamp("1", "-295538432"), Some(8_294_396_160));
    for (high, low) in [("0", ""), ("0", "4294967296"), ("x", "1"), ("0", "1.5")] {
        assert_eq!(stamp(high, low), None, "{high} {low}");
    }
}

#[test]
fn frame_rates_as_recorders_write_them() {
    for (rate, flag, expected) in [
        ("30000/1001", "DF", "29.97 drop-frame"),
        ("30000/1001", "NDF", "29.97"),
        ("2997/100", "ND", "29.97"),
        ("2997ND", "", "29.97"),
        ("2997D", "", "29.97 drop-frame"),
        ("29.97DF", "", "29.97 drop-frame"),
        ("29.97 fps", "NDF", "29.97"),
        ("29.970", "ndf", "29.97"),
        ("24000/1001", "NDF", "23.976"),
        ("23.976", "NDF", "23.976"),
        ("23.98", "NDF", "23.976"),
        ("2398", "", "23.976"),
        ("23976", "", "23.976"),
        ("24/1", "NDF", "24"),
        ("24.00", "", "24"),
        ("25", "", "25"),
        ("25/1", "NDF", "25"),
        ("25000/1000", "NDF", "25"),
        ("30/1", "NDF", "30"),
        ("30DF", "", "30 drop-frame"),
        ("30", "", "30"),
        ("47.95", "", "47.952"),
        ("5994", "DF", "59.94 drop-frame"),
        ("60000/1001", "NDF", "59.94"),
        ("11988", "ND", "119.88"),
        ("120", "", "120"),
        ("100", "NDF", "100"),
    ] {
        let speed = Speed {
            timecode_rate: Some(rate.to_owned()),
            timecode_flag: Some(flag.to_owned()),
            ..Speed::default()
        };
        let found = speed.timebase().map(|timebase| timebase.to_string());
        assert_eq!(found.as_deref(), Some(expected), "{rate} {flag}");
    }
    for (rate, flag) in [
        ("25/1", "DF"),
        ("2997ND", "DF"),
        ("29.97", ""),
        ("30000/1001", ""),
        ("", "NDF"),
        ("26", "NDF"),
        ("25/0", "NDF"),
        ("999999999999999999999999", "NDF"),
        ("1/999999999999", "NDF"),
        ("quick", "NDF"),
        ("25 or so", "NDF"),
        ("-25", "NDF"),
        ("29.5", "NDF"),
    ] {
        let speed = Speed {
            timecode_rate: Some(rate.to_owned()),
            timecode_flag: Some(flag.to_owned()),
            ..Speed::default()
        };
        assert_eq!(speed.timebase(), None, "{rate} {flag}");
    }
}
