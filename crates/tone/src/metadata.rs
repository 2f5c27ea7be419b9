//! What the file says of itself: its name, bext and iXML, which agree with the code.

use plumbline_media::{Bext, Encoding, Ixml, IxmlTrack, Speed};
use plumbline_timecode::Timebase;
use plumbline_words::counted;

use crate::Plan;
use crate::sound::Beside;

/// Who made the file.
pub const ORIGINATOR: &str = "Plumbline";

/// What an iXML says of rates, for sound whose first sample is so many samples past midnight by
/// code that counts so.
pub fn stated_speed(
    timebase: Timebase,
    hertz: u32,
    encoding: Encoding,
    samples_since_midnight: u64,
) -> Speed {
    let code = timebase.code();
    let rate = code.rate().fraction();
    let rate = format!("{}/{}", rate.numerator(), rate.denominator());
    let flag = if code.count().is_drop() { "DF" } else { "NDF" };
    Speed {
        master_speed: Some(rate.clone()),
        current_speed: Some(rate.clone()),
        timecode_rate: Some(rate),
        timecode_flag: Some(flag.to_owned()),
        file_sample_rate: Some(hertz),
        audio_bit_depth: Some(encoding.bits()),
        digitizer_sample_rate: Some(hertz),
        samples_since_midnight: Some(samples_since_midnight),
        timestamp_sample_rate: Some(hertz),
        ..Speed::default()
    }
}

impl Plan {
    /// What the file should be called: `tone_10-00-00-00_25.wav`.
    pub fn file_name(&self) -> String {
        let address = self.extent.first.to_string().replace([':', ';'], "-");
        let count = self.timebase.to_string().replace(' ', "-");
        format!("tone_{address}_{count}.wav")
    }

    /// What the tone says, in a line.
    fn description(&self) -> String {
        let last = self.address(self.codeword_count() - 1);
        let takes = match self.takes.number {
            1 => String::new(),
            number => format!(" in {}", counted(number.into(), "take")),
        };
        format!(
            "Timecode tone at {}: {} to {last}{takes}, code on channel 1",
            self.timebase, self.extent.first
        )
    }

    /// The time reference is that of the first sample, where the first codeword begins.
    pub(crate) fn bext(&self) -> Bext {
        Bext {
            description: self.description(),
            originator: ORIGINATOR.to_owned(),
            time_reference: self.samples_since_midnight(),
            version: 1,
            ..Bext::default()
        }
    }

    /// The rate and the flag are those of the code.
    pub(crate) fn ixml(&self) -> Ixml {
        Ixml {
            ubits: Some(self.content.groups.on_day(0).to_string()),
            note: Some(self.description()),
            speed: Some(stated_speed(
                self.timebase,
                self.sound.hertz,
                self.sound.encoding,
                self.samples_since_midnight(),
            )),
            tracks: self.tracks(),
            ..Ixml::default()
        }
    }

    fn tracks(&self) -> Vec<IxmlTrack> {
        let beside = match self.sound.beside {
            Beside::Nothing => None,
            Beside::Silence => Some("Silence"),
            Beside::LineUp => Some("Line-up tone"),
            Beside::Blips => Some("Blips"),
        };
        let names = std::iter::once("Timecode").chain(beside);
        (1..)
            .zip(names)
            .map(|(number, name)| IxmlTrack {
                channel_index: Some(number),
                interleave_index: Some(number),
                name: Some(name.to_owned()),
                function: None,
            })
            .collect()
    }

    /// How samples are written, in words.
    pub(crate) fn samples_in_words(&self) -> String {
        let bits = match self.sound.encoding {
            Encoding::F32 => "32-bit float".to_owned(),
            other => format!("{} bits", other.bits()),
        };
        let channels = counted(self.sound.channels().into(), "channel");
        format!(
            "{} Hz, {bits}, {channels}",
            plumbline_words::thousands(self.sound.hertz.into())
        )
    }
}
