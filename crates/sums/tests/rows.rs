//! Lists to add up.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod common;

use common::{row, value};
use plumbline_sums::{CheckedLine, LineState, RowsAnswer, RowsForm, rows};

fn list(text: &str) -> RowsForm {
    RowsForm {
        text: text.into(),
        ..RowsForm::default()
    }
}

fn drop(text: &str) -> RowsForm {
    RowsForm {
        rate: "29.97".into(),
        counting: "drop".into(),
        ..list(text)
    }
}

fn total(answer: &RowsAnswer) -> &str {
    value(&answer.tables, "Total", "Total")
}

fn states(answer: &RowsAnswer) -> Vec<LineState> {
    answer.lines.iter().map(|line| line.state).collect()
}

fn line(answer: &RowsAnswer, number: u32) -> &CheckedLine {
    answer
        .lines
        .iter()
        .find(|line| line.number == number)
        .unwrap()
}

/// SMPTE ST 2059-1 clause 9.3.3.4: ten minutes are 17982 frames, a minute of the other nine 1798.
#[test]
fn drop_frame_rows_have_the_frames_that_the_sum_gives() {
    let answer = rows(&drop(
        "01:00:00;00\t01:10:00;00\n01:11:00;02\t01:12:00;02\n00:00:59;29\t00:01:00;02",
    ));
    let frames: Vec<&str> = answer
        .lines
        .iter()
        .map(|line| line.frames.as_str())
        .collect();
    assert_eq!(frames, ["17982", "1798", "1"]);
    assert_eq!(value(&answer.tables, "Total", "Frames"), "19781");
    assert_eq!(total(&answer), "00:10:59;29");
    // 19781 × 1001/30000 s.
    assert_eq!(
        value(&answer.tables, "Total", "Real time"),
        "00:11:00.026033"
    );
}

#[test]
fn whatever_stands_between_the_columns_the_rows_are_the_same() {
    let lists = [
        "ferry\t01:00:00;02\t01:00:10;02",
        "ferry,01:00:00;02,01:00:10;02",
        "\"ferry\",\"01:00:00;02\",\"01:00:10;02\"",
        "ferry;01:00:00;02;01:00:10;02",
        "ferry   01:00:00;02   01:00:10;02",
        "01:00:00;02 01:00:10;02 ferry",
        "ferry | 01:00:00;02 | 01:00:10;02 | 00:00:10;00",
        "ferry 01:00:00:02 01:00:10:02",
        "ferry 01:00:00.02 01:00:10.02",
    ];
    for text in lists {
        let answer = rows(&drop(text));
        let only = line(&answer, 1);
        assert_eq!(only.state, LineState::Row, "{text}: {}", only.text);
        assert_eq!(only.label, "ferry", "{text}");
        assert_eq!(
            (only.in_point.as_str(), only.out_point.as_str()),
            ("01:00:00;02", "01:00:10;02")
        );
        assert_eq!(total(&answer), "00:00:10;00", "{text}");
    }
}

#[test]
fn a_heading_and_blank_lines_are_no_rows() {
    let answer = rows(&list(
        "Shot,In,Out\n\n1,10:00:00:00,10:00:01:00\n  \n2,10:00:01:00,10:00:02:00\n",
    ));
    assert_eq!(
        states(&answer),
        [LineState::Heading, LineState::Row, LineState::Row]
    );
    assert_eq!(total(&answer), "00:00:02:00");
    assert_eq!(line(&answer, 5).follows, "follows directly");
    assert_eq!(answer.problems, []);
    assert!(
        answer.verdict.contains("outs exclusive"),
        "{}",
        answer.verdict
    );
}

#[test]
fn inclusive_outs_count_their_frame() {
    let form = list("10:00:00:00 10:00:00:24\n10:00:01:00 10:00:01:00");
    let answer = rows(&RowsForm {
        outs: "inclusive".into(),
        ..form.clone()
    });
    assert_eq!(total(&answer), "00:00:01:01");
    assert_eq!(line(&answer, 2).follows, "follows directly");
    assert!(
        answer.verdict.contains("outs inclusive"),
        "{}",
        answer.verdict
    );
    let exclusive = rows(&form);
    assert_eq!(total(&exclusive), "00:00:00:24");
    assert!(line(&exclusive, 2).text.contains("no frames"));
}

#[test]
fn gaps_overlaps_and_steps_back_are_told_apart() {
    let answer = rows(&list(
        "10:00:00:00 10:00:10:00\n10:00:15:00 10:00:20:00\n10:00:18:00 10:00:30:00\n\
         09:00:00:00 09:00:05:00",
    ));
    let follows: Vec<&str> = answer
        .lines
        .iter()
        .map(|line| line.follows.as_str())
        .collect();
    assert_eq!(
        follows,
        [
            "",
            "gap of 00:00:05:00",
            "overlap of 00:00:02:00",
            "ends 01:00:13:00 before the row before it begins"
        ]
    );
    let between = |label| value(&answer.tables, "Between the rows", label);
    assert_eq!(between("Gaps"), "00:00:05:00");
    assert_eq!(between("Overlaps"), "00:00:02:00");
    assert_eq!(between("Steps back"), "01:00:13:00");
    // 10 + 5 + 12 + 5 s, of which 2 s twice.
    assert_eq!(total(&answer), "00:00:32:00");
    assert_eq!(between("Covered"), "00:00:30:00");
    assert_eq!(between("From the first in to the last out"), "01:00:30:00");
}

#[test]
fn bad_rows_are_marked_counted_and_left_out() {
    let bad = [
        ("10:00:00:00 10:00:00:25", "frames 25 do not exist"),
        ("10:00:00;00 10:00:01;00", "the ; says drop-frame"),
        ("10:00:02:00 10:00:01:00", "is before the in"),
        ("10:00:00:00", "stands alone"),
        ("10:00:00:00 10:00:01", "has 3 fields"),
        ("-10:00:00:00 10:00:01:00", "has a sign"),
        ("pier, no code", "There is no time address"),
        (
            "10:00:00:00 10:00:01:00 00:00:02:00",
            "The third address says",
        ),
        (
            "1:2:3:4 1:2:3:4 1:2:3:4 1:2:3:4 1:2:3:4",
            "5 time addresses",
        ),
        ("25:00:00:00 25:00:01:00", "hours 25 do not exist"),
    ];
    for (text, says) in bad {
        let answer = rows(&list(&format!(
            "10:00:00:00 10:00:01:00\n{text}\n10:00:02:00 10:00:03:00"
        )));
        let marked = line(&answer, 2);
        assert_eq!(marked.state, LineState::Bad, "{text}");
        assert!(
            marked.text.to_lowercase().contains(&says.to_lowercase()),
            "{text}: {}",
            marked.text
        );
        assert!(!marked.remedy.is_empty(), "{text}");
        assert_eq!(marked.label, text);
        assert_eq!(total(&answer), "00:00:02:00", "{text}");
        assert_eq!(value(&answer.tables, "Rows", "Bad rows, left out"), "1");
        assert!(
            answer.verdict.contains("one more row is bad and left out"),
            "{}",
            answer.verdict
        );
        assert_eq!(answer.problems[0].field, "text");
        assert_eq!(
            line(&answer, 3).follows,
            "gap of 00:00:01:00, a bad row left out"
        );
        assert!(
            answer.csv.contains(&marked.text.replace('"', "\"\"")),
            "{}",
            answer.csv
        );
    }
}

#[test]
fn a_third_address_is_held_against_the_other_two() {
    let right = rows(&list("10:00:00:00 10:00:10:00 00:00:10:00"));
    assert_eq!(line(&right, 1).state, LineState::Row);
    let inclusive = rows(&list("10:00:00:00 10:00:10:00 00:00:10:01"));
    assert_eq!(
        line(&inclusive, 1).remedy,
        "They would agree with inclusive outs."
    );
}

#[test]
fn an_out_at_midnight_ends_the_day() {
    for out in ["24:00:00:00", "00:00:00:00"] {
        let answer = rows(&list(&format!("23:59:50:00 {out}")));
        assert_eq!(total(&answer), "00:00:10:00", "{out}");
        assert_eq!(line(&answer, 1).out_point, out);
    }
}

#[test]
fn durations_add_up_past_a_day() {
    let answer = rows(&RowsForm {
        rows_are: "durations".into(),
        ..list("wide 20:00:00:00\nclose 10:30:00:12\nall 01:00:00:00 02:00:00:00")
    });
    assert_eq!(total(&answer), "30:30:00:12");
    assert_eq!(line(&answer, 3).state, LineState::Bad);
    assert_eq!(line(&answer, 2).running_total, "30:30:00:12");
    assert!(
        !answer
            .tables
            .iter()
            .any(|table| table.title == "Between the rows")
    );
}

/// The event lines, remarks and FCM lines of the public descriptions of the CMX 3600 list layout.
#[test]
fn an_edit_list_is_added_up_by_either_pair() {
    let text = "TITLE: FERRY\nFCM: NON-DROP FRAME\n\n\
        001  FERRY01  V     C        01:00:10:00 01:00:20:00 00:00:00:00 00:00:10:00\n\
        * FROM CLIP NAME: FERRY WIDE 01:00:00:00\n\
        M2   FERRY01       012.5                01:00:10:00\n\
        002  FERRY02  V     C        05:00:00:00 05:00:05:00 00:00:12:00 00:00:14:12\n";
    let answer = rows(&list(text));
    assert_eq!(
        states(&answer),
        [
            LineState::Remark,
            LineState::Remark,
            LineState::Row,
            LineState::Remark,
            LineState::Remark,
            LineState::Row
        ]
    );
    assert_eq!(total(&answer), "00:00:15:00");
    assert!(
        line(&answer, 7).text.contains("00:00:02:12 long"),
        "{}",
        line(&answer, 7).text
    );
    let record = rows(&RowsForm {
        pair: "last".into(),
        ..list(text)
    });
    assert_eq!(total(&record), "00:00:12:12");
    assert_eq!(
        value(&record.tables, "Between the rows", "Gaps"),
        "00:00:02:00"
    );
}

#[test]
fn a_list_that_says_how_it_is_counted_is_listened_to() {
    let answer = rows(&drop("FCM: NON-DROP FRAME\n01:00:00:00 01:00:10:00"));
    assert_eq!(answer.problems[0].field, "counting");
    assert!(
        answer.problems[0]
            .text
            .contains("Line 1 says non-drop-frame")
    );
    assert!(
        answer.verdict.contains("No address has a semicolon"),
        "{}",
        answer.verdict
    );
    let said = rows(&drop("FCM: DROP FRAME\n01:00:00;00 01:00:10;00"));
    assert_eq!(said.problems, []);
    assert!(!said.verdict.contains("semicolon"));
}

/// RFC 4180.
#[test]
fn csv_holds_every_line_and_is_safe_in_a_spreadsheet() {
    let answer = rows(&list(
        "=SUM(A1)\t10:00:00:00\t10:00:01:00\n+x\n\"a \"\"b\"\"\"\t10:00:02:00\t10:00:03:00",
    ));
    let lines: Vec<&str> = answer.csv.split("\r\n").collect();
    assert_eq!(
        lines[..2],
        [
            "line,is,label,in,out,frames,duration,running total,follows,text,remedy",
            "1,row,'=SUM(A1),10:00:00:00,10:00:01:00,25,00:00:01:00,00:00:01:00,,,"
        ]
    );
    assert!(lines[2].starts_with("2,bad,'+x,"), "{}", lines[2]);
    assert!(
        lines[3].starts_with("3,row,a b,10:00:02:00"),
        "{}",
        lines[3]
    );
    assert_eq!(lines.len(), 5);
}

#[test]
fn nothing_pasted_is_no_list() {
    let answer = rows(&RowsForm::default());
    assert_eq!(answer.verdict, "No list to add up yet.");
    assert_eq!(
        (
            answer.problems.len(),
            answer.tables.len(),
            answer.lines.len()
        ),
        (0, 0, 0)
    );
}

#[test]
fn the_total_says_how_it_came_about() {
    let answer = rows(&list("10:00:00:00 10:00:01:00"));
    let real = row(&answer.tables, "Total", "Real time");
    assert_eq!(
        (real.value.as_str(), real.how.as_str()),
        ("00:00:01.000000", "25 ÷ 25 s")
    );
}
