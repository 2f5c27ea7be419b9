//! Real time: exact seconds and samples, and addresses to and from them.

use thiserror::Error;

use crate::{
    AddressError, Count, Fraction, FrameNumber, Frames, Rate, Rounding, SampleRate, TimeAddress,
    Timebase,
};

/// Exact real time, in seconds; below 0 before its origin.
///
/// A second of a pulled-down timebase is not one of these: 30 frames at 29.97 are 1.001.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Seconds(pub Fraction);

/// Exact time counted in samples of some [`SampleRate`]; whole or not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Samples(pub Fraction);

/// Why a real time has no address, or an address no real time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum RealTimeError {
    /// The address is counted in another way than the timebase counts.
    #[error("{address} is counted as {}, but the timebase counts {count}", address.count())]
    CountsDiffer {
        /// The address.
        address: TimeAddress,
        /// How the timebase counts.
        count: Count,
    },
    /// The time is not within the day of the address.
    #[error(transparent)]
    Day(#[from] AddressError),
    /// The time is larger, or finer, than exact arithmetic in 128 bits holds.
    #[error("the time is too large or too finely divided to be counted in frames exactly")]
    TooLarge,
}

impl Seconds {
    /// A whole number of nanoseconds.
    pub const fn from_nanoseconds(nanoseconds: i64) -> Self {
        Self(Fraction::reduced(nanoseconds as i128, 1_000_000_000))
    }

    /// Whole nanoseconds; none where they do not fit.
    pub fn nanoseconds(self, rounding: Rounding) -> Option<i128> {
        Some(
            self.0
                .checked_mul(Fraction::whole(1_000_000_000))?
                .round(rounding),
        )
    }

    /// The same time in samples; none where it does not fit.
    pub fn samples(self, sample_rate: SampleRate) -> Option<Samples> {
        self.0.checked_mul(sample_rate.fraction()).map(Samples)
    }

    /// In floating point, for showing.
    pub fn as_f64(self) -> f64 {
        self.0.as_f64()
    }
}

impl Samples {
    /// A whole number of samples.
    pub const fn whole(samples: i64) -> Self {
        Self(Fraction::whole(samples))
    }

    /// The whole number that `rounding` names.
    pub fn round(self, rounding: Rounding) -> i128 {
        self.0.round(rounding)
    }

    /// The same time in seconds; none where it does not fit.
    pub fn seconds(self, sample_rate: SampleRate) -> Option<Seconds> {
        self.0.checked_div(sample_rate.fraction()).map(Seconds)
    }

    /// In floating point, for signals and for showing.
    pub fn as_f64(self) -> f64 {
        self.0.as_f64()
    }
}

impl Rate {
    /// How long that many frames take.
    pub fn seconds(self, frames: Frames) -> Seconds {
        let rate = self.fraction();
        // 64 bits by 10, over 17: fits.
        Seconds(Fraction::reduced(
            i128::from(frames.0) * rate.denominator(),
            rate.numerator(),
        ))
    }

    /// How long that many frames take, in samples.
    pub fn samples(self, frames: Frames, sample_rate: SampleRate) -> Samples {
        let (rate, hertz) = (self.fraction(), sample_rate.fraction());
        // 64 bits by 10 by 52, over 17 by 20: fits.
        Samples(Fraction::reduced(
            i128::from(frames.0) * rate.denominator() * hertz.numerator(),
            rate.numerator() * hertz.denominator(),
        ))
    }

    /// How many frames begin within that time; none where exact arithmetic does not hold it.
    pub fn frames(self, time: Seconds, rounding: Rounding) -> Option<Frames> {
        let frames = time.0.checked_mul(self.fraction())?.round(rounding);
        i64::try_from(frames).ok().map(Frames)
    }
}

impl Timebase {
    /// The real time from midnight to the beginning of the frame.
    ///
    /// Midnight is where the address was 00:00:00:00, as EBU Tech 3285 has it; by the clock on
    /// the wall a pulled-down day is longer or shorter than 24 h.
    ///
    /// ```
    /// use plumbline_timecode::{Count, Rate, Rounding, TimeAddress, Timebase};
    /// let timebase = Timebase::new(Rate::F29_97, Count::F30Drop)?;
    /// let hour = TimeAddress::new(Count::F30Drop, 1, 0, 0, 0)?;
    /// let nanoseconds = timebase.seconds_at(hour)?.nanoseconds(Rounding::Nearest);
    /// assert_eq!(nanoseconds, Some(3_599_996_400_000));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn seconds_at(self, address: TimeAddress) -> Result<Seconds, RealTimeError> {
        Ok(self.rate().seconds(self.number_of(address)?.into()))
    }

    /// The same, in samples: frames since midnight over the rate, by the sample rate.
    ///
    /// Not a whole number at 29.97, so whoever writes it to a file rounds it and says how;
    /// [`Rounding::Nearest`] is right for EBU Tech 3285's time reference.
    ///
    /// ```
    /// use plumbline_timecode::{Count, Rate, Rounding, SampleRate, TimeAddress, Timebase};
    /// let timebase = Timebase::new(Rate::F29_97, Count::F30Drop)?;
    /// let hour = TimeAddress::new(Count::F30Drop, 1, 0, 0, 0)?;
    /// let rate = SampleRate::hertz(48_000)?;
    /// let samples = timebase.samples_at(hour, rate)?;
    /// assert_eq!(samples.0.to_string(), "863999136/5"); // 172799827.2
    /// assert_eq!(samples.round(Rounding::Nearest), 172_799_827);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn samples_at(
        self,
        address: TimeAddress,
        sample_rate: SampleRate,
    ) -> Result<Samples, RealTimeError> {
        Ok(self
            .rate()
            .samples(self.number_of(address)?.into(), sample_rate))
    }

    /// The frame that begins at, before or after that time since midnight, as `rounding` says,
    /// if it is on the same day.
    ///
    /// [`Rounding::Down`] gives the frame in progress, but only if `time` was never rounded.
    pub fn address_at(
        self,
        time: Seconds,
        rounding: Rounding,
    ) -> Result<TimeAddress, RealTimeError> {
        let frames = self
            .rate()
            .frames(time, rounding)
            .ok_or(RealTimeError::TooLarge)?;
        Ok(TimeAddress::midnight(self.count()).checked_plus(frames)?)
    }

    /// The same, from samples since midnight.
    ///
    /// ```
    /// use plumbline_timecode::{Count, Rate, Rounding, SampleRate, Samples, Timebase};
    /// let timebase = Timebase::new(Rate::F29_97, Count::F30Drop)?;
    /// let rate = SampleRate::hertz(48_000)?;
    /// // The hour is at 172799827.2: what a file holds of it is 0.2 samples early.
    /// let stamp = Samples::whole(172_799_827);
    /// let at = |rounding| timebase.address_at_samples(stamp, rate, rounding);
    /// assert_eq!(at(Rounding::Nearest)?.to_string(), "01:00:00;00");
    /// assert_eq!(at(Rounding::Down)?.to_string(), "00:59:59;29");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn address_at_samples(
        self,
        samples: Samples,
        sample_rate: SampleRate,
        rounding: Rounding,
    ) -> Result<TimeAddress, RealTimeError> {
        self.address_at(
            samples
                .seconds(sample_rate)
                .ok_or(RealTimeError::TooLarge)?,
            rounding,
        )
    }

    fn number_of(self, address: TimeAddress) -> Result<FrameNumber, RealTimeError> {
        if address.count() == self.count() {
            Ok(address.frame_number())
        } else {
            Err(RealTimeError::CountsDiffer {
                address,
                count: self.count(),
            })
        }
    }
}
