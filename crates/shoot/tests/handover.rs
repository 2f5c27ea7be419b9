//! What is handed over: each recording where it stands, in whole frames, and none dropped.
//!
//! How other programs read the same is asked in `tests/oracles/hand_over.py`.

mod summaries;

use plumbline_shoot::handover::{EditList, Lists, Mark, edit_lists, otio, table};
use plumbline_shoot::lineup::{Corrections, Entry, line_up, shoot};
use plumbline_shoot::summary::StampLine;
use serde_json::Value;
use summaries::HERTZ;

/// A recording with code at 25 frames a second, `from` and `length` in frames.
fn coded(file: &str, from: f64, length: f64) -> Entry {
    let mut entry = summaries::coded(file, from / 25.0, length / 25.0);
    entry.folder = "day 1".into();
    if !file.ends_with("wav") {
        entry.summary.container = Some("mov".into());
    }
    entry.summary.codes[0].clock_ppm = None;
    entry
}

fn stamped(mut entry: Entry, frames: f64, ahead: f64) -> Entry {
    entry.summary.stamps = vec![StampLine {
        source: "tmcd".into(),
        start: frames * HERTZ / 25.0,
        ahead: Some(ahead),
        ..StampLine::default()
    }];
    entry
}

fn timeline(entries: &[Entry], corrections: &Corrections) -> Value {
    serde_json::from_str(&otio(&line_up(entries, corrections), "Ferry")).unwrap_or_default()
}

fn lists(entries: &[Entry], lists: Lists) -> Vec<EditList> {
    edit_lists(
        &line_up(entries, &Corrections::default()),
        "The last crossing",
        lists,
    )
}

/// The lines of a list's events, and the whole without them.
fn events(list: &EditList) -> Vec<&str> {
    let lines = list.text.lines();
    lines
        .filter(|line| line.starts_with(|c: char| c.is_ascii_digit()))
        .collect()
}

const TEN: f64 = 900_000.0;

#[test]
fn a_clip_stands_at_the_nearest_frame_with_its_remainder_beside_it() {
    let entries = [
        coded("deck_01.mov", TEN, 500.0),
        stamped(coded("deck_02.mov", TEN + 1000.4, 250.5), TEN + 1003.0, 2.6),
    ];
    let timeline = timeline(&entries, &Corrections::default());
    assert_eq!(timeline["global_start_time"]["value"], TEN);
    let [track] = timeline["tracks"]["children"]
        .as_array()
        .unwrap()
        .as_slice()
    else {
        panic!("one device, one track: {timeline}");
    };
    assert_eq!(
        (&track["kind"], &track["name"]),
        (&"Video".into(), &"Deck".into())
    );
    let children = track["children"].as_array().unwrap();
    let schemas: Vec<&Value> = children.iter().map(|child| &child["OTIO_SCHEMA"]).collect();
    assert_eq!(schemas, ["Clip.2", "Gap.1", "Clip.2"]);
    assert_eq!(children[1]["source_range"]["duration"]["value"], 500.0);

    let clip = &children[2];
    // From its own stamp; 250.5 frames are 250 whole ones, though its end is nearest to 251 on.
    assert_eq!(clip["source_range"]["start_time"]["value"], TEN + 1003.0);
    assert_eq!(clip["source_range"]["duration"]["value"], 250.0);
    let media = &clip["media_references"]["DEFAULT_MEDIA"];
    assert_eq!(media["target_url"], "deck_02.mov");
    assert_eq!(
        media["available_range"]["start_time"]["value"],
        TEN + 1003.0
    );
    let facts = &clip["metadata"]["plumbline"];
    let remainder = facts["remainder_seconds"].as_f64().unwrap();
    assert!((remainder - 0.016).abs() < 1e-9, "{facts}");
    assert_eq!(
        (&facts["placed_by"], &facts["code_channel"]),
        (&"code".into(), &2.into())
    );
    assert_eq!(facts["folder"], "day 1");
    // The first has no stamp, and its media begins at 0.
    assert_eq!(children[0]["source_range"]["start_time"]["value"], 0.0);
}

#[test]
fn what_was_moved_by_hand_says_so_and_what_has_no_place_is_named() {
    let mut nowhere = coded("mast_01.mov", 0.0, 100.0);
    nowhere.summary.codes.clear();
    let entries = [coded("deck_01.mov", TEN, 500.0), nowhere];
    let mut corrections = Corrections::default();
    let correction = corrections.recordings.entry(entries[0].key.clone());
    correction.or_default().nudge = "2".into();
    let timeline = timeline(&entries, &corrections);
    assert_eq!(timeline["global_start_time"]["value"], TEN + 2.0);
    let clip = &timeline["tracks"]["children"][0]["children"][0];
    assert_eq!(
        clip["metadata"]["plumbline"]["changed"],
        "moved by +2 frames from 10:00:00:00"
    );
    let nowhere = &timeline["metadata"]["plumbline"]["without_place"];
    assert_eq!(nowhere[0]["file"], "mast_01.mov");
    let [marker] = timeline["tracks"]["markers"].as_array().unwrap().as_slice() else {
        panic!("one finding: {timeline}");
    };
    assert_eq!(
        (&marker["OTIO_SCHEMA"], &marker["color"]),
        (&"Marker.2".into(), &"RED".into())
    );
    assert_eq!(marker["name"], "Nothing says when");

    let line_up = line_up(&entries, &corrections);
    let by_device = edit_lists(&line_up, "Ferry", Lists::OneADevice);
    let mast = by_device.last().unwrap();
    assert_eq!(mast.name, "Mast");
    assert!(
        mast.text
            .ends_with("* WITHOUT PLACE: mast_01.mov (nothing says when)\n"),
        "{}",
        mast.text
    );
    let all = edit_lists(&line_up, "Ferry", Lists::OneForAll);
    assert!(all[0].text.contains("* WITHOUT PLACE: mast_01.mov"));
}

#[test]
fn what_overlaps_spills_and_what_touches_does_not() {
    let entries = [
        coded("deck_01.mov", TEN, 500.0),
        coded("deck_02.mov", TEN + 400.0, 500.0),
        // The last frame of the first is the first of this one.
        coded("deck_03.mov", TEN + 899.0, 500.0),
        coded("bell_01.wav", TEN, 500.0),
    ];
    let timeline = timeline(&entries, &Corrections::default());
    let tracks = timeline["tracks"]["children"].as_array().unwrap();
    let named: Vec<(&str, &str, usize)> = tracks
        .iter()
        .map(|track| {
            (
                track["name"].as_str().unwrap(),
                track["kind"].as_str().unwrap(),
                track["children"].as_array().unwrap().len(),
            )
        })
        .collect();
    assert_eq!(
        named,
        [
            ("Deck", "Video", 3),
            ("Deck 2", "Video", 2),
            ("Bell", "Audio", 1)
        ]
    );
    let touching = [
        coded("deck_01.mov", TEN, 500.0),
        coded("deck_02.mov", TEN + 499.0, 500.0),
    ];
    let lists = lists(&touching, Lists::OneADevice);
    assert_eq!(
        events(&lists[0]),
        [
            "001  DECK01   V     C        00:00:00:00 00:00:19:24 10:00:00:00 10:00:19:24",
            "002  DECK02   V     C        00:00:00:00 00:00:20:00 10:00:19:24 10:00:39:24",
        ]
    );
}

#[test]
fn a_list_has_title_count_events_in_order_and_where_each_comes_from() {
    let entries = [
        stamped(
            coded("deck camera_0418.mov", TEN + 750.0, 250.0),
            TEN + 748.0,
            -2.0,
        ),
        coded("deck camera_0417.mov", TEN, 500.0),
    ];
    let lists = lists(&entries, Lists::OneADevice);
    assert_eq!(
        lists[0].text,
        "TITLE: The last crossing, Deck camera\n\
         FCM: NON-DROP FRAME\n\
         001  DECK0417 V     C        00:00:00:00 00:00:20:00 10:00:00:00 10:00:20:00\n\
         * FROM CLIP NAME: deck camera_0417.mov\n\
         * SOURCE FILE: day 1/deck camera_0417.mov\n\
         002  DECK0418 V     C        10:00:29:23 10:00:39:23 10:00:30:00 10:00:40:00\n\
         * FROM CLIP NAME: deck camera_0418.mov\n\
         * SOURCE FILE: day 1/deck camera_0418.mov\n"
    );
}

#[test]
fn drop_frame_lists_say_so() {
    let mut entry = coded("deck_01.mov", 0.0, 0.0);
    entry.summary.samples = 96_096;
    let code = &mut entry.summary.codes[0];
    (code.rate, code.drop_frame) = ("29.97".into(), true);
    // 10:00:00;00 is frame 1,078,920 (SMPTE ST 2059-1 clause 9.3.3.4), of 1601.6 samples each.
    code.start = 1_078_920.0 * 1_601.6;
    let lists = lists(&[entry], Lists::OneADevice);
    assert!(lists[0].text.contains("FCM: DROP FRAME\n"));
    assert_eq!(
        events(&lists[0]),
        ["001  DECK01   V     C        00:00:00;00 00:00:02;00 10:00:00;00 10:00:02;00"]
    );
}

#[test]
fn a_night_is_cut_at_midnight_in_lists_of_their_own() {
    let midnight = 2_160_000.0;
    let entries = [
        coded("deck_01.mov", midnight - 100.0, 200.0),
        coded("deck_02.mov", midnight + 300.0, 100.0),
    ];
    let lists = lists(&entries, Lists::OneADevice);
    let names: Vec<&str> = lists.iter().map(|list| list.name.as_str()).collect();
    assert_eq!(names, ["Deck", "Deck 2"]);
    assert_eq!(
        events(&lists[0]),
        ["001  DECK01   V     C        00:00:00:00 00:00:04:00 23:59:56:00 24:00:00:00"]
    );
    assert_eq!(
        events(&lists[1]),
        [
            "001  DECK01   V     C        00:00:04:00 00:00:08:00 00:00:00:00 00:00:04:00",
            "002  DECK02   V     C        00:00:00:00 00:00:04:00 00:00:12:00 00:00:16:00",
        ]
    );
}

#[test]
fn reels_are_short_plain_and_each_their_own() {
    let mut named = coded("x.mov", TEN, 10.0);
    named.summary.reel = Some("A001C003_281126".into());
    let mut black = coded("y.mov", TEN + 100.0, 10.0);
    black.summary.reel = Some("black".into());
    let entries = [
        named,
        black,
        coded("ä/„ö“.mov", TEN + 200.0, 10.0),
        coded("bow-deck-camera-0001.mov", TEN + 300.0, 10.0),
        coded("bowdeck_other-0001.mov", TEN + 400.0, 10.0),
    ];
    let lists = lists(&entries, Lists::OneForAll);
    let reels: Vec<&str> = events(&lists[0])
        .iter()
        .map(|line| line[5..13].trim_end())
        .collect();
    assert_eq!(
        reels,
        ["A001C003", "BLACK2", "REEL", "BOWD0001", "BOWD0002"]
    );
}

#[test]
fn a_list_ends_after_999_events() {
    let entries: Vec<Entry> = (0..1_500)
        .map(|n| coded(&format!("deck_{n:04}.mov"), TEN + f64::from(n) * 20.0, 10.0))
        .collect();
    let lists = lists(&entries, Lists::OneADevice);
    let counts: Vec<usize> = lists.iter().map(|list| events(list).len()).collect();
    assert_eq!(counts, [999, 501]);
    assert!(events(&lists[1])[0].starts_with("001  "));
}

#[test]
fn the_table_has_a_row_a_recording_and_its_cells_under_their_headings() {
    let mut first = stamped(coded("deck, \"wide\".mov", TEN, 500.0), TEN + 2.0, 2.0);
    first.summary.codes[0].clock_ppm = Some(3.5);
    first.summary.reel = Some("Deck 7".into());
    let mut nowhere = coded("mast_01.mov", 0.0, 100.0);
    nowhere.summary.codes.clear();
    let entries = [first, nowhere];
    let table = table(&line_up(&entries, &Corrections::default()));
    let lines: Vec<&str> = table.split("\r\n").collect();
    assert_eq!(
        lines,
        [
            "device,file,folder,reel,starts_at,ends_at,start_samples_since_midnight,rate,placed_by,\
             channel,changed,own_start_ahead_frames,clock_ppm,findings",
            "Deck wide,\"deck, \"\"wide\"\".mov\",day 1,Deck 7,10:00:00:00,10:00:20:00,\
             1728000000,25,code,2,,2,3.5,Deck wide: own clock beside the code",
            "Mast,mast_01.mov,day 1,,,,,,,,,,,Nothing says when",
            "",
        ]
    );
}

#[test]
fn nothing_is_handed_over_as_nothing() {
    let line_up = line_up(&[], &Corrections::default());
    assert!(edit_lists(&line_up, "Ferry", Lists::OneADevice).is_empty());
    assert!(edit_lists(&line_up, "Ferry", Lists::OneForAll).is_empty());
    assert_eq!(table(&line_up).lines().count(), 1);
    let timeline: Value = serde_json::from_str(&otio(&line_up, "Ferry")).unwrap();
    assert_eq!(timeline["global_start_time"], Value::Null);
}

fn mark(address: &str, rate: &str, word: &str) -> Mark {
    Mark {
        address: address.into(),
        rate: rate.into(),
        word: word.into(),
        ..Mark::default()
    }
}

/// Two recordings around midnight; what was noted stands on the evening or the morning that it was
/// noted in, whatever its code counted, and is a marker of the timeline. None is dropped.
#[test]
fn marks_stand_where_their_digits_say() {
    let midnight = 2_160_000.0;
    let entries = [
        coded("deck_01.mov", midnight - 15_000.0, 1_500.0),
        coded("deck_02.mov", 15_000.0, 1_500.0),
    ];
    let corrections = Corrections {
        marks: vec![
            mark("00:10:30:12", "25", "gulls"),
            mark("23:50:10:15", "30", "horn"),
            mark("20:00:00:00", "25", "supper"),
            mark("later", "25", "no address"),
        ],
        ..Corrections::default()
    };
    let shown = shoot(&entries, &corrections);
    let marks = shown.marks.iter();
    let told: Vec<(&str, Option<f64>, &str)> = marks
        .map(|mark| (mark.title.as_str(), mark.at, mark.rolling.as_str()))
        .collect();
    let wanted = [
        ("horn", Some(85_810.5), "Deck"),
        ("gulls", Some(87_030.48), "Deck"),
        ("supper", Some(72_000.0), "nobody"),
        ("no address", None, "nobody"),
    ];
    assert_eq!(told.len(), wanted.len());
    for (title, at, rolling) in wanted {
        let (_, found, who) = told.iter().find(|told| told.0 == title).unwrap();
        assert_eq!(*who, rolling, "{title}");
        assert!(
            (found.unwrap_or(-1.0) - at.unwrap_or(-1.0)).abs() < 1e-6,
            "{title}: {found:?}"
        );
    }

    let timeline = timeline(&entries, &corrections);
    let markers = timeline["tracks"]["markers"].as_array().unwrap();
    let start = |name: &str| {
        let marker = markers
            .iter()
            .find(|marker| marker["name"] == name)
            .unwrap();
        marker["marked_range"]["start_time"]["value"]
            .as_f64()
            .unwrap()
    };
    assert!((start("gulls") - (30_000.0 + 762.0)).abs() < 1e-6);
    // Half a second past 23:50:10, at 25 frames a second.
    assert!((start("horn") - 263.0).abs() < 1.0);
    assert!(start("supper").abs() < 1e-6);
    let supper = markers
        .iter()
        .find(|marker| marker["name"] == "supper")
        .unwrap();
    assert!(
        supper["comment"]
            .as_str()
            .unwrap()
            .starts_with("Noted at 20:00:00:00, before")
    );
}
