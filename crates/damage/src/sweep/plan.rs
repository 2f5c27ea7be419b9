//! Every kind of damage, and how far each is taken.

use plumbline_timecode::{Fraction, Rate, SampleRate, SampleRateError, Samples, UserBits};

use super::case::{Case, Sweep};
use crate::chart::{Scale, number};
use crate::{
    Added, BandLimit, BitFlips, Clicks, Clip, Codec, Damage, DcSteps, Decibels, Dither, Dropouts,
    Format, GainRiding, Hum, Mains, Music, Phase, Pink, Quantise, Seed, Sound, Source, Speech,
    Splices, Tape, UserBitsSent, White,
};

/// All sweeps, in the order of the page.
pub(crate) fn all() -> Result<Vec<Sweep>, SampleRateError> {
    let base = Base {
        rate: SampleRate::hertz(48_000)?,
    };
    Ok(vec![
        clean()?,
        base.white("white-25", "White noise, 25 frames a second", Rate::F25),
        base.white(
            "white-29.97",
            "White noise, 29.97 frames a second",
            Rate::F29_97,
        ),
        base.over(
            "pink",
            "Pink noise",
            Pink,
            &[-10.0, -5.0, 0.0, 5.0, 10.0, 15.0],
        ),
        base.hum(),
        base.over("speech", "Something like speech", Speech, CROSSTALK),
        base.over("music", "Something like music", Music, CROSSTALK),
        base.clicks(),
        base.clip(),
        base.gain_riding(),
        base.low_pass(),
        base.high_pass(),
        base.dc_steps(),
        base.quiet(),
        base.few_bits(),
        base.speed(),
        base.backwards(),
        base.speed_in_noise(),
        base.flutter(),
        base.flutter_in_noise(),
        base.ramps(),
        base.torn(),
        base.flips(),
        base.codec("aac-mono", "AAC, code alone", "", |kb| {
            Codec::mono(Format::Aac, kb)
        }),
        base.codec("aac-stereo", "AAC, stereo", BESIDE, |kb| {
            Codec::beside(Format::Aac, kb, Speech)
        }),
        base.codec("opus-mono", "Opus, code alone", "", |kb| {
            Codec::mono(Format::Opus, kb)
        }),
        base.codec("opus-stereo", "Opus, stereo", BESIDE, |kb| {
            Codec::beside(Format::Opus, kb, Speech)
        }),
        base.together(),
    ])
}

const CROSSTALK: &[f64] = &[-20.0, -10.0, 0.0, 10.0, 20.0, 30.0];
const BESIDE: &str = "Something like speech, as loud as the code, is on the other channel.";

/// Code as most of the sweeps have it: at 25 frames a second, with a date in its user bits, its
/// first edge between two samples.
fn source(rate: Rate, sample_rate: SampleRate) -> Source {
    let mut source = Source {
        user_bits: UserBitsSent::Constant(UserBits(0x2511_2601)),
        ..Source::new(rate, sample_rate)
    };
    if let Some(begins) = Fraction::new(1605, 16) {
        source.tone.begins = Samples(begins);
    }
    source
}

fn clean() -> Result<Sweep, SampleRateError> {
    let rates = [Rate::F23_976, Rate::F24, Rate::F25, Rate::F29_97, Rate::F30];
    let mut cases = Vec::new();
    for hertz in [8000, 44_100, 48_000, 96_000, 192_000] {
        for rate in rates {
            let source = source(rate, SampleRate::hertz(hertz)?);
            let label = format!("{rate} frames a second, {hertz} Hz");
            cases.push(Case::new(label, 0.0, source));
        }
    }
    for rate in rates {
        let source = source(rate, SampleRate::hertz(48_000)?).reversed();
        let label = format!("{rate} frames a second, 48000 Hz, backwards");
        cases.push(Case::new(label, 0.0, source));
    }
    Ok(Sweep {
        stem: "clean",
        title: "No damage",
        note: "",
        setting: "code",
        scale: None,
        cases,
    })
}

/// Where the cases come from.
#[derive(Debug, Clone, Copy)]
struct Base {
    rate: SampleRate,
}

impl Base {
    fn case(self, x: f64) -> Case {
        Case::new(number(x), x, source(Rate::F25, self.rate))
    }

    fn cases<D: Damage + 'static>(self, values: &[f64], damage: impl Fn(f64) -> D) -> Vec<Case> {
        values
            .iter()
            .map(|&x| self.case(x).with(damage(x)))
            .collect()
    }

    fn white(self, stem: &'static str, title: &'static str, rate: Rate) -> Sweep {
        let cases = (-5..=8)
            .rev()
            .map(|half| f64::from(2 * half))
            .map(|snr| Case {
                source: source(rate, self.rate),
                snr: Some(Decibels(snr)),
                ..self.case(snr).with(Added::at_snr(White, Decibels(snr)))
            });
        Sweep {
            stem,
            title,
            note: "Each codeword is judged on its own; the limit is that of single codewords with known timing.",
            setting: "SNR (dB)",
            scale: Some(Scale::Linear),
            cases: cases.collect(),
        }
    }

    fn over<S: Sound + Copy + 'static>(
        self,
        stem: &'static str,
        title: &'static str,
        sound: S,
        levels: &[f64],
    ) -> Sweep {
        Sweep {
            stem,
            title,
            note: "",
            setting: "sound over code (dB)",
            scale: Some(Scale::Linear),
            cases: self.cases(levels, |db| Added::over_code(sound, Decibels(db))),
        }
    }

    fn hum(self) -> Sweep {
        let hum = Hum {
            mains: Mains::Hertz50,
            harmonics: 12,
        };
        let levels = [-20.0, -10.0, 0.0, 10.0, 20.0, 30.0];
        self.over("hum", "Hum of 50 Hz with eleven harmonics", hum, &levels)
    }

    fn clicks(self) -> Sweep {
        let clicks = |per_second| Clicks {
            per_second,
            over: Decibels(12.0),
            samples: 2,
        };
        Sweep {
            stem: "clicks",
            title: "Clicks, 12 dB over the code",
            note: "Each lasts one or two samples.",
            setting: "clicks a second",
            scale: Some(Scale::Logarithmic),
            cases: self.cases(&[1.0, 10.0, 100.0, 300.0, 1000.0], clicks),
        }
    }

    fn clip(self) -> Sweep {
        Sweep {
            stem: "clip",
            title: "Clipping",
            note: "",
            setting: "limit over the mean square of code (dB)",
            scale: None,
            cases: self.cases(&[0.0, -10.0, -20.0, -40.0], |db| Clip {
                limit: Decibels(db),
            }),
        }
    }

    fn gain_riding(self) -> Sweep {
        Sweep {
            stem: "gain-riding",
            title: "Gain that swings twice a second",
            note: "",
            setting: "swing either way (dB)",
            scale: None,
            cases: self.cases(&[3.0, 10.0, 20.0], |db| GainRiding {
                swing: Decibels(db),
                hertz: 2.0,
            }),
        }
    }

    fn low_pass(self) -> Sweep {
        Sweep {
            stem: "low-pass",
            title: "High frequencies lost",
            note: "A Butterworth filter of fourth order that keeps times.",
            setting: "nothing above (Hz)",
            scale: Some(Scale::Logarithmic),
            cases: self.cases(&[700.0, 1000.0, 1400.0, 2000.0, 4000.0, 8000.0], |hertz| {
                BandLimit::below(hertz, 4, Phase::Linear)
            }),
        }
    }

    fn high_pass(self) -> Sweep {
        Sweep {
            stem: "high-pass",
            title: "Low frequencies lost",
            note: "A Butterworth filter of second order that keeps times.",
            setting: "nothing below (Hz)",
            scale: Some(Scale::Logarithmic),
            cases: self.cases(&[20.0, 100.0, 300.0, 600.0, 1000.0, 1500.0], |hertz| {
                BandLimit::above(hertz, 2, Phase::Linear)
            }),
        }
    }

    fn dc_steps(self) -> Sweep {
        Sweep {
            stem: "dc-steps",
            title: "A constant that jumps every half second",
            note: "",
            setting: "furthest offset over code (dB)",
            scale: Some(Scale::Linear),
            cases: self.cases(&[-10.0, 0.0, 10.0, 20.0, 30.0], |db| DcSteps {
                over: Decibels(db),
                seconds: 0.5,
            }),
        }
    }

    /// Code so quiet that the dither of 16 bits is over it: white noise with a known mean square,
    /// so that the limit is known too.
    fn quiet(self) -> Sweep {
        let quantise = Quantise {
            bits: 16,
            dither: Dither::Triangular,
        };
        let cases = [-60.0, -80.0, -84.0, -88.0, -92.0, -96.0, -100.0, -104.0];
        let cases = cases.into_iter().filter_map(|dbfs| {
            let case = self.case(dbfs).with(quantise);
            let source = case.source.at_dbfs(dbfs).ok()?;
            // The same at every level but for the level itself.
            let code = source.take(50, Seed::tuning(0)).ok()?.code_power;
            Some(Case {
                source,
                snr: Some(Decibels::of_powers(code, quantise.dithered_noise())),
                ..case
            })
        });
        Sweep {
            stem: "quiet",
            title: "Quiet code in 16 bits with dither",
            note: "",
            setting: "peak level (dBFS)",
            scale: Some(Scale::Linear),
            cases: cases.collect(),
        }
    }

    fn few_bits(self) -> Sweep {
        let cases = [2_u32, 4, 8, 12, 24].map(|bits| {
            let quantise = Quantise {
                bits,
                dither: Dither::None,
            };
            let case = self.case(bits.into()).with(quantise);
            // At full scale, or there would be nothing left of it in two bits.
            Case {
                source: case.source.at_dbfs(0.0).unwrap_or(case.source),
                ..case
            }
        });
        Sweep {
            stem: "few-bits",
            title: "Few bits",
            note: "Code at full scale, without dither.",
            setting: "bits a sample",
            scale: None,
            cases: cases.into(),
        }
    }

    fn played(self, speed: f64) -> Case {
        let words = 250.0 * speed.abs().clamp(0.2, 4.0);
        Case {
            words: u32::try_from(crate::convert::whole(words)).unwrap_or(250),
            ..self.case(speed).with(Tape::at_speed(speed))
        }
    }

    fn speed(self) -> Sweep {
        let speeds = [0.1, 0.2, 0.5, 0.9, 1.0, 1.1, 2.0, 5.0, 8.0, 10.0];
        Sweep {
            stem: "speed",
            title: "Tape at another speed, forwards",
            note: "Ten times leaves 1.2 samples for half a cell.",
            setting: "speed (times its own)",
            scale: Some(Scale::Logarithmic),
            cases: speeds.into_iter().map(|speed| self.played(speed)).collect(),
        }
    }

    fn backwards(self) -> Sweep {
        let speeds = [0.1, 0.2, 0.5, 0.9, 1.0, 1.1, 2.0, 5.0, 8.0, 10.0];
        let cases = speeds.into_iter().map(|speed: f64| Case {
            x: speed,
            ..self.played(-speed)
        });
        Sweep {
            stem: "speed-backwards",
            title: "Tape at another speed, backwards",
            note: "",
            setting: "speed (times its own)",
            scale: Some(Scale::Logarithmic),
            cases: cases.collect(),
        }
    }

    fn speed_in_noise(self) -> Sweep {
        let speeds = [
            0.4, 0.5, 0.667, 0.8, 0.9, 0.96, 0.999, 1.0, 1.001, 1.042, 1.1, 1.25, 1.5, 2.0, 2.5,
        ];
        let cases = speeds.into_iter().map(|speed| {
            let noise = Added::at_snr(White, Decibels(0.0));
            self.played(speed).with(noise)
        });
        Sweep {
            stem: "speed-noise",
            title: "Tape at another speed, in white noise as loud as the code",
            note: "The faster it is, the less of each half cell is heard.",
            setting: "speed (times its own)",
            scale: Some(Scale::Logarithmic),
            cases: cases.collect(),
        }
    }

    fn flutter(self) -> Sweep {
        let cases = [0.5, 2.0, 8.0, 12.0, 50.0, 200.0];
        Sweep {
            stem: "flutter",
            title: "Flutter of 3 %",
            note: "",
            setting: "swings a second (Hz)",
            scale: Some(Scale::Logarithmic),
            cases: self.cases(&cases, |hertz| Tape::flutter(0.03, hertz)),
        }
    }

    fn flutter_in_noise(self) -> Sweep {
        let cases = [0.5, 1.0, 2.0, 4.0, 8.0, 16.0];
        let cases = cases.into_iter().map(|hertz| {
            let noise = Added::at_snr(White, Decibels(0.0));
            self.case(hertz)
                .with(Tape::flutter(0.01, hertz))
                .with(noise)
        });
        Sweep {
            stem: "flutter-noise",
            title: "Flutter of 1 %, in white noise as loud as the code",
            note: "Code of 25 frames a second that swings 8 times is faster in one codeword and slower in the next but one.",
            setting: "swings a second (Hz)",
            scale: Some(Scale::Logarithmic),
            cases: cases.collect(),
        }
    }

    fn ramps(self) -> Sweep {
        let ramps = [
            (0.25, 4.0),
            (4.0, 0.25),
            (-0.5, -2.0),
            (1.0, -1.0),
            (-2.0, 2.0),
        ];
        let cases = ramps.into_iter().map(|(from, to)| {
            let label = format!("from {} to {} times", number(from), number(to));
            Case {
                label,
                ..self.case(0.0).with(Tape::ramp(from, to))
            }
        });
        let in_noise = [6.0, 3.0, 0.0].into_iter().map(|decibels| {
            let noise = Added::at_snr(White, Decibels(decibels));
            Case {
                label: format!("from 0.9 to 1.1 times, in white noise at {decibels} dB"),
                ..self.case(0.0).with(Tape::ramp(0.9, 1.1)).with(noise)
            }
        });
        let cases = cases.chain(in_noise);
        Sweep {
            stem: "ramps",
            title: "Tape that gathers speed, slows down and turns",
            note: "Where the tape turns, codewords slower than a tenth of their speed are asked for too.",
            setting: "speed",
            scale: None,
            cases: cases.collect(),
        }
    }

    fn torn(self) -> Sweep {
        let named = |label: &str| Case {
            label: label.to_owned(),
            ..self.case(0.0)
        };
        let dropouts = |per_second| Dropouts {
            per_second,
            seconds: 0.03,
        };
        Sweep {
            stem: "torn",
            title: "Dropouts and splices",
            note: "Whole codewords are asked for. Dropouts last 30 ms; a splice takes out up to half a second.",
            setting: "damage",
            scale: None,
            cases: vec![
                named("a dropout every 5 s").with(dropouts(0.2)),
                named("a dropout a second").with(dropouts(1.0)),
                named("three dropouts a second").with(dropouts(3.0)),
                named("two splices").with(Splices {
                    cuts: 2,
                    seconds: 0.5,
                }),
                named("eight splices").with(Splices {
                    cuts: 8,
                    seconds: 0.5,
                }),
            ],
        }
    }

    fn flips(self) -> Sweep {
        let cases = [(10, 1), (4, 1), (2, 1), (2, 3), (1, 1)].into_iter();
        let cases = cases.map(|(every, bits)| {
            let mut case = self.case(0.0);
            case.source.flips = BitFlips { every, bits };
            case.label = format!("{bits} in one of {every}");
            case
        });
        Sweep {
            stem: "flips",
            title: "Flipped bits",
            note: "Codewords without flipped bits are asked for. An address that nobody meant is wrong.",
            setting: "bits flipped in one of so many codewords",
            scale: None,
            cases: cases.collect(),
        }
    }

    fn codec(
        self,
        stem: &'static str,
        title: &'static str,
        note: &'static str,
        codec: impl Fn(u32) -> Codec,
    ) -> Sweep {
        let cases = [16_u32, 24, 32, 48, 64, 96, 128].into_iter();
        let cases = cases.map(|kb| self.case(kb.into()).with(codec(kb)));
        Sweep {
            stem,
            title,
            note,
            setting: "bit rate of all channels (kb/s)",
            scale: Some(Scale::Logarithmic),
            cases: cases.collect(),
        }
    }

    fn together(self) -> Sweep {
        let hum = Hum {
            mains: Mains::Hertz50,
            harmonics: 8,
        };
        let clicks = Clicks {
            per_second: 20.0,
            over: Decibels(12.0),
            samples: 2,
        };
        let cases = [-18.0, -12.0, -6.0, 0.0, 6.0].map(|over| {
            let over = |db: f64| Decibels(over + db);
            self.case(over(0.0).0)
                .with(Tape::flutter(0.001, 4.0))
                .with(Added::over_code(White, over(0.0)))
                .with(Added::over_code(hum, over(12.0)))
                .with(Added::over_code(Speech, over(6.0)))
                .with(clicks)
                .with(GainRiding {
                    swing: Decibels(6.0),
                    hertz: 0.5,
                })
                .with(Clip {
                    limit: Decibels(12.0),
                })
                .with(Codec::mono(Format::Aac, 96))
        });
        Sweep {
            stem: "together",
            title: "Everything at once",
            note: "Flutter of 0.1 %; white noise, hum 12 dB and something like speech 6 dB over the noise; \
                   twenty clicks a second 12 dB over the code; gain that swings by 6 dB; clipping 12 dB \
                   over the code; AAC at 96 kb/s.",
            setting: "white noise over code (dB)",
            scale: Some(Scale::Linear),
            cases: cases.into(),
        }
    }
}
