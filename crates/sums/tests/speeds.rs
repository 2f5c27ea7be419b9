//! Material shot at one rate and played at another.

mod common;

use common::{row, value};
use plumbline_sums::{Answer, SpeedsForm, speeds};

fn played(shot: &str, played: &str, duration: &str, sample_rate: &str) -> Answer {
    let answer = speeds(&SpeedsForm {
        shot: shot.into(),
        played: played.into(),
        duration: duration.into(),
        sample_rate: sample_rate.into(),
        ..SpeedsForm::default()
    });
    assert_eq!(answer.problems, []);
    answer
}

/// IEC 60461 clause 4.2.3: 1 s is 1.001 s. The sample rates: 48000/1.001 and 48048.
#[test]
fn a_thousandth_costs_three_point_six_seconds_an_hour() {
    let answer = played("24", "23.976", "01:00:00:00", "48000");
    let speed = |label| value(&answer.tables, "Speed", label);
    assert_eq!(speed("Exactly"), "1000/1001");
    assert_eq!(speed("Seconds longer, each hour"), "3.6");
    // 1200 log₂ 1.001 = 1.730.
    assert_eq!(
        speed("Pitch of sound that is relabelled, in cents"),
        "−1.730"
    );
    let length = |label| value(&answer.tables, "Length", label);
    assert_eq!(length("Real time when played"), "01:00:03.600000");
    assert_eq!(length("Seconds longer"), "3.6");
    assert_eq!(length("Frames"), "86400");
    assert_eq!(length("Length counted at 23.976, played"), "01:00:00:00");
    let sound = |label| row(&answer.tables, "Sound", label);
    assert_eq!(
        sound("Sample rate to relabel to, in Hz").value,
        "47952.047952"
    );
    assert!(sound("Sample rate to relabel to, in Hz").rounded.is_some());
    assert_eq!(
        sound("Sample rate to record at for 48 kHz, in Hz").value,
        "48048"
    );
    let nearest = sound("Nearest that a file can say, in Hz");
    assert_eq!(nearest.value, "47952");
    assert!(
        nearest
            .rounded
            .as_ref()
            .is_some_and(|it| it.contains("1 ppm, 3.6 ms an hour"))
    );
    let up = played("23.976", "24", "01:00:00:00", "48000");
    assert_eq!(
        value(&up.tables, "Sound", "Sample rate to relabel to, in Hz"),
        "48048"
    );
    assert!(up.verdict.contains("faster"), "{}", up.verdict);
}

/// Common practice: 24 to 25 is 4 1/6 % fast and 0.71 of a semitone up (1200 log₂ 25/24 = 70.672).
#[test]
fn film_on_a_25_frame_machine_is_sharp() {
    let answer = played("24", "25", "1 h", "48000");
    let pitch = value(
        &answer.tables,
        "Speed",
        "Pitch of sound that is relabelled, in cents",
    );
    assert_eq!(pitch, "70.672");
    assert_eq!(
        value(&answer.tables, "Length", "Real time when played"),
        "00:57:36.000000"
    );
    assert_eq!(
        value(&answer.tables, "Length", "Length counted at 25, played"),
        "00:57:36:00"
    );
    assert_eq!(
        value(&answer.tables, "Sound", "Sample rate to relabel to, in Hz"),
        "50000"
    );
    assert!(
        answer.verdict.contains("faster: 1 h lasts 144 s shorter"),
        "{}",
        answer.verdict
    );
}

#[test]
fn high_speed_material_is_slowed_down() {
    let answer = played("120", "24", "00:00:10:000", "96000");
    assert_eq!(
        value(&answer.tables, "Length", "Real time when played"),
        "00:00:50.000000"
    );
    assert_eq!(value(&answer.tables, "Speed", "Per cent"), "20");
    // Two octaves and a third: 1200 log₂ 5 = 2786.314.
    let pitch = value(
        &answer.tables,
        "Speed",
        "Pitch of sound that is relabelled, in cents",
    );
    assert_eq!(pitch, "−2786.314");
}

#[test]
fn what_stays_as_it_is_says_so() {
    let answer = played("25", "25", "00:01:00:00", "48000");
    assert_eq!(answer.verdict, "Shot and played at 25: nothing changes.");
    let pitch = row(
        &answer.tables,
        "Speed",
        "Pitch of sound that is relabelled, in cents",
    );
    assert_eq!(
        (pitch.value.as_str(), pitch.rounded.clone()),
        ("0.000", None)
    );
}

/// Half a frame is no frame: a length by the clock is not counted in addresses.
#[test]
fn a_length_between_frames_keeps_its_fraction() {
    let answer = played("25", "24", "0.5 s", "48000");
    assert_eq!(value(&answer.tables, "Length", "Frames"), "12.5");
    let counted = |row: &plumbline_sums::Row| row.label.starts_with("Length counted");
    assert!(!answer.tables[1].rows.iter().any(counted));
}
