//! An input that is listened to: sound in, as it comes, and what is heard in it.

use plumbline_shoot::Now;
use plumbline_shoot::reading::Verdict;
use plumbline_timecode::SampleRate;
use plumbline_timecode::st309::UtcOffset;
use plumbline_tone::{CodeClock, Now as Moment};
use plumbline_words::{self as words, Fact, counted, thousands};

use crate::ago::whole_seconds;
use crate::record::Record;
use crate::strip::Strip;
use crate::{
    Apart, Compared, Comparison, FoundIn, Heard, HeardChannel, Hearing, Held, InputClock, Plan,
    Recorded,
};

/// Listens to every channel of an input.
#[derive(Debug)]
pub struct Listener {
    sample_rate: SampleRate,
    input: InputClock,
    strips: Vec<Strip>,
    /// The number of the first sample that was heard, as the input counts, and of the next one.
    first: Option<i64>,
    next: i64,
    /// Samples that never came.
    missing: u64,
    plan: Plan,
    held: Option<CodeClock>,
    day: Option<TimeOfDay>,
    record: Option<Record>,
}

/// The device's time of day against the page's clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimeOfDay {
    /// By how many milliseconds since 1970 it is ahead of the page's clock.
    pub ahead: f64,
    /// How far local time is ahead of UTC.
    pub offset: UtcOffset,
}

/// Silence stands for at most so many seconds of sound that never came.
const FILLED: f64 = 2.0;
/// What is missing is made up for in pieces of so many samples.
const PIECE: usize = 4096;

impl Listener {
    /// Listens to so many channels of an input that takes so long, in milliseconds, as far as that
    /// is known.
    pub fn new(sample_rate: SampleRate, channels: u16, latency: f64) -> Self {
        Self {
            sample_rate,
            input: InputClock::new(sample_rate, latency),
            strips: Strip::all(sample_rate, channels.into()),
            first: None,
            next: 0,
            missing: 0,
            plan: Plan::default(),
            held: None,
            day: None,
            record: None,
        }
    }

    /// Takes a reading of the page's clock: see [`InputClock::read`].
    pub fn read_clock(&mut self, page_milliseconds: f64, samples: f64) {
        self.input.read(page_milliseconds, samples);
    }

    /// Compares with a plan from now on.
    pub const fn expect(&mut self, plan: Plan) {
        self.plan = plan;
    }

    /// Compares with a clock that is held, or with none.
    pub const fn compare_with(&mut self, held: Option<CodeClock>) {
        self.held = held;
    }

    /// Compares with the time of day.
    pub const fn set_time_of_day(&mut self, day: TimeOfDay) {
        self.day = Some(day);
    }

    /// Hears the next samples, one slice a channel; `number` is that of the first of them, as the
    /// input counts. Where some are missing before them, silence stands in their place, so that
    /// time goes on as it did.
    pub fn push(&mut self, number: i64, planes: &[&[f32]]) {
        let first = *self.first.get_or_insert(number);
        if first == number {
            self.next = number;
        }
        self.fill(number.saturating_sub(self.next));
        let length = planes.iter().map(|plane| plane.len()).max().unwrap_or(0);
        self.next = number.saturating_add(i64::try_from(length).unwrap_or(i64::MAX));
        self.hear(planes);
    }

    fn fill(&mut self, missing: i64) {
        let missing = u64::try_from(missing).unwrap_or(0);
        self.missing += missing;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "`as` saturates"
        )]
        let mut left = missing.min((FILLED * self.sample_rate.as_f64()) as u64);
        if left < missing {
            // So much is missing that what was before says nothing about what is now.
            self.begin_anew();
            return;
        }
        let silence = [0.0; PIECE];
        while left > 0 {
            let piece = usize::try_from(left).unwrap_or(PIECE).min(PIECE);
            let planes: Vec<&[f32]> = self.strips.iter().map(|_| &silence[..piece]).collect();
            self.hear(&planes);
            left -= piece as u64;
        }
    }

    fn begin_anew(&mut self) {
        self.strips = Strip::all(self.sample_rate, self.strips.len());
        self.first = None;
    }

    fn hear(&mut self, planes: &[&[f32]]) {
        if let Some(record) = &mut self.record {
            record.push(planes);
        }
        self.part(planes);
        let first = self.first();
        let mut other: Option<Now> = None;
        let strips = self.strips.iter_mut().zip(planes);
        for (strip, plane) in strips.filter(|(strip, _)| !strip.repeats) {
            if strip.push(plane)
                && let Some(now) = strip.now
            {
                let page = self.input.page_milliseconds(first + now.first_edge);
                if let Some(page) = page.filter(|_| self.input.is_settled()) {
                    strip.compare_with_page(page);
                }
                if let Some(other) = &other {
                    strip.compare_with(other);
                }
            }
            other = other.or_else(|| strip.code());
        }
        if let (Some(record), Some(now)) = (&mut self.record, &other) {
            record.place(now);
        }
    }

    /// A channel that repeats the first no more goes on from what both of them had heard.
    fn part(&mut self, planes: &[&[f32]]) {
        let [first, others @ ..] = self.strips.as_mut_slice() else {
            return;
        };
        for (strip, plane) in others.iter_mut().zip(planes.iter().skip(1)) {
            if strip.repeats && planes.first() != Some(plane) {
                strip.clone_from(first);
            }
        }
    }

    /// The number of the first sample that was heard.
    fn first(&self) -> f64 {
        self.first.unwrap_or(0) as f64
    }

    /// A clock set from the code of a channel at a moment; none where no code runs there as a clock
    /// does.
    pub fn jam(&self, channel: u16, page_milliseconds: f64) -> Option<Held> {
        let strip = self.strips.get(usize::from(channel))?;
        let clock = strip.steady(page_milliseconds, &self.input, self.first())?;
        let apart = strip.page.as_ref().and_then(Comparison::apart);
        let from = format!("channel {}", u32::from(channel) + 1);
        let ahead = self.day.map_or(0.0, |day| day.ahead);
        Some(Held::jam(
            &clock,
            from,
            page_milliseconds,
            apart.as_ref(),
            ahead,
        ))
    }

    /// Records what comes in from now on.
    pub fn record(&mut self) {
        let from = self.strips.first().map_or(0, |strip| strip.ear.samples());
        let channels = u16::try_from(self.strips.len()).unwrap_or(u16::MAX);
        let mut record = Record::new(self.sample_rate, channels, from);
        if let Some(now) = self.strips.iter().find_map(Strip::code) {
            record.place(&now);
        }
        self.record = Some(record);
    }

    /// The bytes of what was recorded since this was asked last: they follow each other.
    pub fn take_recorded(&mut self) -> Vec<u8> {
        self.record.as_mut().map(Record::take).unwrap_or_default()
    }

    /// Records no more: gives what is to stand before the bytes, and behind them; none where
    /// nothing was recorded.
    pub fn end_record(&mut self) -> Option<Recorded> {
        self.record.take()?.end()
    }

    /// How many channels have code now: told sooner than all that is heard.
    pub fn codes(&self) -> usize {
        let codes = self.strips.iter().filter_map(Strip::code);
        codes.count()
    }

    /// What is heard now.
    pub fn heard(&self, page_milliseconds: f64) -> Heard {
        let channels: Vec<HeardChannel> = (0..)
            .zip(&self.strips)
            .filter(|(_, strip)| !strip.repeats)
            .map(|(number, strip)| self.channel(number, strip, page_milliseconds))
            .collect();
        let heard = self.strips.first().map_or(0, |strip| strip.ear.samples());
        let hertz = self.sample_rate.as_f64();
        Heard {
            verdict: self.verdict(&channels),
            channels,
            seconds: heard as f64 / hertz,
            missing: self.missing as f64 / hertz * 1e3,
        }
    }

    /// What the patient reader found in each channel that has code.
    pub fn findings(&self) -> Vec<FoundIn> {
        (0..)
            .zip(&self.strips)
            .filter_map(|(channel, strip)| {
                let reading = strip.ear.reading(channel)?;
                Some(FoundIn {
                    channel,
                    user_bits: reading.user_bits,
                    findings: reading.findings,
                })
            })
            .collect()
    }

    fn channel(&self, channel: u16, strip: &Strip, page_milliseconds: f64) -> HeardChannel {
        let level = strip.meter.level();
        let code = strip.code();
        let hearing = match (strip.now, code) {
            (None, _) => Hearing::Nothing,
            (Some(_), None) => Hearing::Stopped,
            (Some(_), Some(_)) => Hearing::Code,
        };
        let mut facts = strip.now.map_or_else(Vec::new, |now| facts(&now, strip));
        facts.push(Fact::new("Level", level.figure()));
        let ticking = strip.ticking(&self.input, self.first()).map(Into::into);
        HeardChannel {
            channel,
            title: self.title(channel),
            hearing,
            ticking,
            facts,
            departures: code.map_or_else(Vec::new, |now| self.plan.departures(&now)),
            level: level.remedy().map(str::to_owned),
            compared: self.compared(strip, page_milliseconds),
        }
    }

    /// "Channel 2", or "Channels 1 and 2 alike".
    fn title(&self, channel: u16) -> String {
        let repeats = (1_u32..)
            .zip(&self.strips)
            .filter(|(_, strip)| strip.repeats);
        let alike: Vec<u32> = repeats.map(|(number, _)| number).collect();
        match (channel, alike.as_slice()) {
            (0, [second]) => format!("Channels 1 and {second} alike"),
            (0, [_, .., last]) => format!("Channel 1 and others up to {last} alike"),
            _ => format!("Channel {}", u32::from(channel) + 1),
        }
    }

    /// How a channel's code parts from that of the first channel, from a held clock, from the time
    /// of day.
    fn compared(&self, strip: &Strip, page_milliseconds: f64) -> Vec<Compared> {
        let Some(now) = strip.code() else {
            return Vec::new();
        };
        let moment = self
            .day
            .and_then(|day| Moment::new(page_milliseconds + day.ahead, day.offset));
        let time = moment.map(|moment| moment.since_midnight().as_f64());
        let first = strip.first.as_ref().and_then(|comparison| {
            let other = self
                .strips
                .iter()
                .position(|strip| strip.code().is_some())?;
            let title = format!("Against channel {}", other + 1);
            Some(comparison.against(title, &comparison.apart()?, time))
        });
        let page = |title: &str, less: fn(&Self, &Now, &Apart, f64) -> Option<f64>| {
            let comparison = strip.page.as_ref()?;
            let apart = comparison.apart()?;
            let seconds = less(self, &now, &apart, page_milliseconds)?;
            let apart = Apart { seconds, ..apart };
            Some(comparison.against(title.to_owned(), &apart, time))
        };
        let held = page("Against the clock that is held", Self::ahead_of_held);
        let day = page("Against this device’s time of day", Self::ahead_of_day);
        [first, held, day].into_iter().flatten().collect()
    }

    /// By how many seconds code is ahead of the held clock; none where that counts otherwise.
    fn ahead_of_held(&self, now: &Now, apart: &Apart, page_milliseconds: f64) -> Option<f64> {
        let held = self.held.filter(|held| held.timebase() == now.timebase)?;
        Some(ahead(
            now,
            apart,
            page_milliseconds,
            held.frame_at(page_milliseconds),
        ))
    }

    /// By how many seconds it is ahead of the codeword that belongs to the time of day.
    fn ahead_of_day(&self, now: &Now, apart: &Apart, page_milliseconds: f64) -> Option<f64> {
        let day = self.day?;
        let moment = Moment::new(page_milliseconds + day.ahead, day.offset)?;
        let codeword = moment.codeword(now.timebase);
        let rate = now.timebase.rate().fraction().as_f64();
        let frame = f64::from(codeword.address.frame_number().0) + codeword.ago.as_f64() * rate;
        Some(ahead(now, apart, page_milliseconds, frame))
    }

    fn verdict(&self, channels: &[HeardChannel]) -> Verdict {
        let with = |hearing| {
            channels
                .iter()
                .filter(move |channel| channel.hearing == hearing)
        };
        let numbers: Vec<u32> = with(Hearing::Code)
            .map(|channel| u32::from(channel.channel) + 1)
            .collect();
        if numbers.is_empty() {
            return self.without_code(channels);
        }
        let on = words::channels(&numbers);
        let lost: u64 = (self.strips.iter())
            .filter(|strip| strip.code().is_some())
            .map(|strip| strip.last_minute().lost)
            .sum();
        let departs: Vec<&HeardChannel> = with(Hearing::Code)
            .filter(|channel| !channel.departures.is_empty())
            .collect();
        if let [first, others @ ..] = departs.as_slice() {
            let said = departing(first, others.len(), numbers.len());
            return verdict(format!("Code on {on}, but not as planned: "), said, ".");
        }
        if lost > 0 {
            let said = format!("{} lost in the last minute", counted(lost, "codeword"));
            return verdict(format!("Code on {on}, but "), said, ".");
        }
        let planned = if self.plan == Plan::default() {
            ""
        } else {
            " as planned,"
        };
        verdict(
            format!("Code on {on},{planned} nothing lost in the last minute."),
            String::new(),
            "",
        )
    }

    fn without_code(&self, channels: &[HeardChannel]) -> Verdict {
        let stopped = self
            .strips
            .iter()
            .filter_map(Strip::stopped)
            .min_by(f64::total_cmp);
        match stopped {
            Some(since) => {
                let since = whole_seconds(since.max(1.0));
                verdict(String::new(), format!("The code stopped {since} ago"), ".")
            }
            None if channels.iter().all(|channel| channel.level.is_some()) => verdict(
                String::new(),
                "No code, and no sound that could be code".to_owned(),
                ".",
            ),
            None => verdict(String::new(), "No code in what comes in".to_owned(), "."),
        }
    }
}

/// What the first channel that departs from the plan does, of so many with code, and that others do
/// likewise.
fn departing(first: &HeardChannel, others: usize, codes: usize) -> String {
    let who = if codes == 1 {
        "it".to_owned()
    } else {
        format!("channel {}", u32::from(first.channel) + 1)
    };
    let what: Vec<&str> = (first.departures.iter())
        .map(|departure| departure.what.as_str())
        .collect();
    let more = match others {
        0 => String::new(),
        1 => ", and one more departs".to_owned(),
        more => format!(", and {more} more depart"),
    };
    format!("{who} {}{more}", what.join(", "))
}

/// By how many seconds code is ahead of a frame, whole days aside.
fn ahead(now: &Now, apart: &Apart, page_milliseconds: f64, frame: f64) -> f64 {
    let rate = now.timebase.rate().fraction().as_f64();
    let day = f64::from(now.timebase.count().frames_per_day()) / rate;
    let seconds = page_milliseconds * 1e-3 + apart.seconds - frame / rate;
    seconds - (seconds / day).round() * day
}

fn verdict(before: String, mark: String, after: &str) -> Verdict {
    Verdict {
        before,
        mark,
        after: after.to_owned(),
    }
}

fn facts(now: &Now, strip: &Strip) -> Vec<Fact> {
    let runs = match now.direction {
        0 => "the address stands still".to_owned(),
        way => {
            let way = if way < 0 { "backwards" } else { "forwards" };
            let off = (now.speed - 1.0).abs();
            if off < 1e-3 {
                way.to_owned()
            } else {
                format!("{way}, at {:.3} of its speed", now.speed)
            }
        }
    };
    let tally = strip.last_minute();
    let clock = (now.clock_ppm).map_or_else(
        || "being measured".to_owned(),
        |(ppm, one)| words::ppm(ppm, one),
    );
    vec![
        Fact::new("Rate", words::frames_a_second(now.timebase)),
        Fact::new("Runs", runs),
        Fact::new("User bits", words::user_bits::in_pairs(now.user_bits)),
        Fact::new(
            "Lost in the last minute",
            match tally.lost {
                0 => "none".to_owned(),
                lost => format!("{} of {}", thousands(lost), thousands(lost + tally.read)),
            },
        ),
        Fact::new("Clock against this input", clock),
    ]
}
