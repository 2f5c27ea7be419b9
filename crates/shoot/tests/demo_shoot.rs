//! The day that is made up has the troubles that it was made to have, and no more.

use plumbline_shoot::lineup::{Corrections, Entry, Shoot, ShootFindingKind as Kind, shoot};
use plumbline_shoot::reading::Reading;
use plumbline_shoot::report::FindingKind;
use plumbline_shoot::{DemoRecording, DemoShoot, FrameList, RecordingReader};
use std::io::Cursor;

type Outcome = Result<(), Box<dyn std::error::Error>>;

fn read(recording: &DemoRecording) -> Result<Reading, Box<dyn std::error::Error>> {
    let bytes = recording.bytes.as_slice();
    let mut source = Cursor::new(bytes);
    let mut reader = RecordingReader::open(&recording.name, &mut source, FrameList::Leave)
        .map_err(|reading| format!("{:?}", reading.report.error))?;
    for data in reader.pieces() {
        reader.push(&bytes[usize::try_from(data.start)?..usize::try_from(data.end)?]);
    }
    Ok(reader.finish())
}

fn places(shoot: &Shoot, wanted: Kind) -> Vec<String> {
    let findings = shoot.findings.iter();
    let own = findings.filter(|finding| finding.kind == wanted);
    own.map(|finding| format!("{} · {}", finding.heading, finding.place))
        .collect()
}

#[test]
fn the_day_has_its_troubles_and_no_more() -> Outcome {
    let (mut entries, mut own) = (Vec::new(), Vec::new());
    for number in 0..DemoShoot::len() {
        let recording = DemoShoot::make(number).ok_or("it is there")?;
        assert!(recording.bytes.len() < 5_000_000, "{}", recording.name);
        let reading = read(&recording)?;
        let codes = reading.report.codes.iter();
        let kinds = codes.flat_map(|code| code.findings.iter().map(|finding| finding.kind));
        let kinds: Vec<FindingKind> = kinds.collect();
        if !kinds.is_empty() {
            own.push((recording.name.clone(), kinds));
        }
        assert!(reading.suspected.is_empty(), "{}", recording.name);
        entries.push(Entry {
            key: format!("{}/{}", recording.folder, recording.name),
            folder: recording.folder,
            summary: reading.summary,
            ..Entry::default()
        });
    }
    let shoot = shoot(&entries, &Corrections::default());
    let kinds: Vec<Kind> = shoot.findings.iter().map(|finding| finding.kind).collect();
    assert_eq!(
        kinds,
        [
            Kind::NoPlace,
            Kind::OtherRate,
            Kind::SetAgain,
            Kind::Drift,
            Kind::NoCode
        ]
    );
    let place = |kind| places(&shoot, kind).concat();
    assert_eq!(place(Kind::NoPlace), "Nothing says when · mast_0022.wav");
    assert_eq!(
        place(Kind::OtherRate),
        "Bridge camera: another rate · bridge_0102.wav"
    );
    assert_eq!(
        place(Kind::SetAgain),
        "Mast camera: clock set again · 09:31 to 14:20"
    );
    assert_eq!(
        place(Kind::NoCode),
        "Bridge camera: no code · bridge_0103.wav"
    );
    // 4 ppm of the 27,438 s from first to last, at 25 frames a second: 2.74.
    assert_eq!(place(Kind::Drift), "Deck camera drifts · −2.8 f by 16:41");
    let verdict = &shoot.verdict;
    assert_eq!(
        format!("{}[{}]{}", verdict.before, verdict.mark, verdict.after),
        "Nine of twelve recordings share one clock. [mast_0022.wav] has no place on it, and four \
         more things need a look."
    );
    assert_eq!(
        shoot.about,
        "12 recordings · 4 devices · 2 min 55 s of sound · 25 frames a second"
    );
    // Stamps beside the code by half a frame or more, and the plug of the last take.
    let wanted = [
        ("deck_0414.wav", FindingKind::EmbeddedDisagrees),
        ("deck_0416.wav", FindingKind::EmbeddedDisagrees),
        ("mast_0023.wav", FindingKind::EmbeddedDisagrees),
        ("bag_0442.wav", FindingKind::Dropout),
        ("deck_0421.wav", FindingKind::EmbeddedDisagrees),
    ];
    let wanted = wanted.map(|(name, kind)| (name.to_owned(), vec![kind]));
    assert_eq!(own, wanted);
    Ok(())
}
