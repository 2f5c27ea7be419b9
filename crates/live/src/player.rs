//! An order becomes samples, as many at a time as are asked for.

use plumbline_ltc::{Modulator, ModulatorError, Tone};
use plumbline_timecode::{Fraction, Frames, Rounding, Samples, TimeAddress};
use plumbline_tone::{Begins, Heard, Order};
use thiserror::Error;

use crate::beep::beep;

/// Plays code: silence until it is told to play, then an order, then perhaps another.
///
/// What it plays does not depend on how many samples are asked for at a time. Samples are counted
/// as the output counts them.
#[derive(Debug, Clone)]
pub struct Player {
    modulator: Modulator,
    /// What the modulator was made for.
    tone: Tone,
    code: Option<Code>,
}

/// Code that is being played.
#[derive(Debug, Clone)]
struct Code {
    order: Order,
    /// Which of the order's codewords is played first, as number 0 of those that are played.
    first: i64,
    /// Where that one begins.
    begins: Samples,
    /// The next sample to be handed out.
    next: i64,
    /// Samples that are made and not handed out yet.
    made: Vec<f32>,
    to_modulate: i64,
    to_tell: i64,
    /// The codeword with which the screen flashes.
    flash: Option<i64>,
}

/// A codeword that begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Begun {
    /// What it says.
    pub address: TimeAddress,
    /// The place of its first edge, in samples.
    pub sample: f64,
}

/// Samples that were asked for are not those that follow the last ones: sound is missing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("sample {asked} was asked for where {next} follows")]
pub struct Missed {
    /// The first that was asked for.
    pub asked: i64,
    /// The one whose turn it was.
    pub next: i64,
}

/// So many samples of silence stand before the first edge, so that it can rise as others do.
const LEAD: i64 = 64;
/// A flash is told so many codewords before it comes, so that the screen can be ready.
const NOTICE: i64 = 4;

impl Player {
    /// Silent, and ready for this order or for another that sounds alike: that takes
    /// milliseconds, playing it then takes none.
    pub fn new(order: &Order) -> Result<Self, ModulatorError> {
        let tone = order.tone();
        Ok(Self {
            modulator: Modulator::new(tone)?,
            tone,
            code: None,
        })
    }

    /// Plays an order from sample `next` on, instead of what was played before.
    pub fn play(&mut self, order: &Order, next: i64) -> Result<(), ModulatorError> {
        if order.tone() != self.tone {
            *self = Self::new(order)?;
        }
        let (first, begins) = beginning(order, next).ok_or(ModulatorError::TooFine)?;
        let silence = (begins.0.checked_sub(Fraction::whole(next))).map(Samples);
        let silence = silence.ok_or(ModulatorError::TooFine)?;
        self.modulator.restart(silence)?;
        self.code = Some(Code {
            order: *order,
            first,
            begins,
            next,
            made: Vec::new(),
            to_modulate: 0,
            to_tell: 0,
            flash: None,
        });
        Ok(())
    }

    /// Plays nothing any more, until it is told to play again.
    pub fn rest(&mut self) {
        self.code = None;
    }

    /// The samples from number `from` on, full scale at 1.
    ///
    /// Where they don't follow the last ones there is an error and silence, and no code any more
    /// until it is told to play again.
    pub fn render(&mut self, from: i64, samples: &mut [f32]) -> Result<(), Missed> {
        samples.fill(0.0);
        let Some(code) = &mut self.code else {
            return Ok(());
        };
        if code.next != from {
            let next = code.next;
            self.code = None;
            return Err(Missed { asked: from, next });
        }
        match code.order.heard() {
            Heard::Code => code.modulate(&mut self.modulator, samples),
            Heard::Beeps => code.beep(samples),
        }
        let count = i64::try_from(samples.len()).unwrap_or(i64::MAX);
        code.next = code.next.saturating_add(count);
        Ok(())
    }

    /// The next codeword that began within the samples handed out: each of them once.
    pub fn begun(&mut self) -> Option<Begun> {
        let code = self.code.as_mut()?;
        if code.place(code.to_tell) >= Fraction::whole(code.next) {
            return None;
        }
        code.to_tell += 1;
        Some(code.codeword(code.to_tell - 1))
    }

    /// Has the screen flash with a codeword that begins shortly, and a beep go with it where the
    /// code is not heard. A flash that is still to come stays. None where nothing plays.
    pub fn flash(&mut self) -> Option<Begun> {
        let code = self.code.as_mut()?;
        let coming = code.flash.filter(|&flash| flash >= code.to_tell);
        let flash = coming.unwrap_or(code.to_tell + NOTICE);
        code.flash = Some(flash);
        Some(code.codeword(flash))
    }
}

impl Code {
    fn modulate(&mut self, modulator: &mut Modulator, samples: &mut [f32]) {
        while self.made.len() < samples.len() {
            let codeword = self
                .order
                .codeword(self.first.saturating_add(self.to_modulate));
            self.to_modulate += 1;
            modulator.push(codeword, &mut |made| self.made.extend_from_slice(made));
        }
        samples.copy_from_slice(&self.made[..samples.len()]);
        self.made.drain(..samples.len());
    }

    fn beep(&self, samples: &mut [f32]) {
        let Some(flash) = self.flash else {
            return;
        };
        let hertz = self.order.output_rate().exact().as_f64();
        let length = self.place(1).as_f64() - self.place(0).as_f64();
        let begins = self.place(flash).as_f64() - self.next as f64;
        for (number, sample) in samples.iter_mut().enumerate() {
            *sample = beep((number as f64 - begins) / hertz, length / hertz);
        }
    }

    /// Where a codeword begins.
    fn place(&self, number: i64) -> Fraction {
        let length = after(&self.order, number);
        // The caller's numbers are of codewords that can be played: thousands of years fit.
        self.begins.0.checked_add(length).unwrap_or(self.begins.0)
    }

    fn codeword(&self, number: i64) -> Begun {
        Begun {
            address: self.order.address(self.first.saturating_add(number)),
            sample: self.place(number).as_f64(),
        }
    }
}

/// How many samples so many codewords last.
fn after(order: &Order, codewords: i64) -> Fraction {
    let (rate, hertz) = (order.timebase().rate(), order.output_rate().exact());
    rate.samples(Frames(codewords), hertz).0
}

/// The codeword with which an order begins where sample `next` comes next, counted from its first
/// one, and where it begins.
fn beginning(order: &Order, next: i64) -> Option<(i64, Samples)> {
    let earliest = Fraction::whole(next.checked_add(LEAD)?);
    let Begins::Counted(first) = order.begins() else {
        return Some((0, Samples(earliest)));
    };
    let first = Fraction::whole(first);
    let number = (earliest.checked_sub(first)?)
        .checked_div(after(order, 1))?
        .round(Rounding::Up);
    let number = i64::try_from(number).ok()?;
    Some((number, Samples(first.checked_add(after(order, number))?)))
}
