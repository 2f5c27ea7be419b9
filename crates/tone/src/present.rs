//! Settings looked at while they are being typed.

use plumbline_media::Container;
use plumbline_words::{Fact, Problem, clock, counted, in_letters, size, thousands, user_bits};

use crate::extent::first_frame;
use crate::remarks::Remarks;
use crate::{Ends, Now, Plan, Settings, Sketch, counting};

/// What settings come to, and what is wrong with them. Never fails.
///
/// ```
/// use plumbline_tone::{Settings, sketch};
/// let sketch = sketch(&Settings { rate: "26".to_owned(), ..Settings::default() });
/// assert_eq!(sketch.problems[0].text, "“26” is not a frame rate.");
/// ```
pub fn sketch(settings: &Settings) -> Sketch {
    let mut remarks = Remarks::default();
    let plan = Plan::read(settings, &mut remarks);
    let Remarks { notes, problems } = remarks;
    Sketch {
        verdict: match &plan {
            Some(plan) => plan.verdict(),
            None => missing(&problems),
        },
        ends: plan.as_ref().map(Plan::ends),
        file_name: plan.as_ref().map(Plan::file_name),
        facts: plan.as_ref().map(Plan::facts).unwrap_or_default(),
        notes,
        problems,
    }
}

/// The address that a clock set to this device's time of day shows at the rate and in the count
/// that are set; above 30 frames a second the codeword in progress is the one that counts.
pub fn now_address(settings: &Settings, now: Now) -> Result<String, Problem> {
    let mut remarks = Remarks::default();
    match counting::timebase(settings, &mut remarks) {
        Some(timebase) => Ok(first_frame(now.codeword(timebase).address, timebase).to_string()),
        None => Err(remarks.problems.swap_remove(0)),
    }
}

fn missing(problems: &[Problem]) -> String {
    match problems.len() {
        1 => "Nothing to make yet: one setting is not right.".to_owned(),
        many => format!(
            "Nothing to make yet: {} settings are not right.",
            in_letters(many)
        ),
    }
}

impl Plan {
    fn verdict(&self) -> String {
        let Ends { first, last } = self.ends();
        let what = format!("code at {}, {first} to {last}", self.timebase);
        let (length, size) = (self.length(), size(self.file_bytes()));
        match self.takes.number {
            1 => format!("{length} of {what}, in a file of {size}."),
            number => {
                let takes = counted(number.into(), "take");
                format!("{takes} of {what}, {length} in all, in a file of {size}.")
            }
        }
    }

    fn length(&self) -> String {
        self.seconds().map(clock).unwrap_or_default()
    }

    fn ends(&self) -> Ends {
        Ends {
            first: self.extent.first.to_string(),
            last: self.address(self.codeword_count() - 1).to_string(),
        }
    }

    fn facts(&self) -> Vec<Fact> {
        let mut facts = Vec::new();
        let mut fact = |label: &str, value: String| {
            facts.push(Fact::new(label, value));
        };
        fact("Codewords", thousands(self.codeword_count()));
        if self.takes.number > 1 {
            fact(
                "Each take",
                counted(self.extent.codewords.into(), "codeword"),
            );
            let second = self.address(self.extent.codewords.into());
            fact("Second take begins at", second.to_string());
        }
        fact("Length by the clock", self.length());
        fact(
            "User bits",
            user_bits::in_pairs(self.content.groups.on_day(0)),
        );
        fact("Sound", self.samples_in_words());
        fact("File", self.file_in_words());
        let samples = thousands(self.samples_since_midnight());
        fact(
            "Start time in the file",
            format!("{samples} samples since midnight"),
        );
        facts
    }

    fn file_in_words(&self) -> String {
        let kind = match self.recording().container() {
            Ok(Container::Wav) => "WAV",
            _ => "RF64, as it passes 4 GiB",
        };
        format!("{kind}, {}", counted(self.file_bytes(), "byte"))
    }
}
