//! What the module exports: numbers in and out, so that no glue is needed.
//!
//! An instance either plays, in a worklet, or watches, on the page. An order comes in byte after
//! byte; samples and texts go out as a place in the module's memory and a length.
#![expect(
    unsafe_code,
    reason = "a name by which a worklet can call must not be mangled, and the compiler can't see \
              that no other library has it: nothing else here is unsafe"
)]

use std::cell::RefCell;

use plumbline_tone::{ClockReading, Clocks, KnownBy, Order, Watch};

use crate::{Begun, Player};

#[derive(Default)]
struct Module {
    /// The bytes handed over so far.
    order: Vec<u8>,
    player: Option<Player>,
    samples: Vec<f32>,
    watch: Option<(Order, Watch)>,
    clocks: Option<Clocks>,
    text: String,
}

thread_local! {
    static MODULE: RefCell<Module> = RefCell::default();
}

fn with<T>(work: impl FnOnce(&mut Module) -> T) -> T {
    MODULE.with_borrow_mut(work)
}

/// It went as it should.
const DONE: u32 = 0;
/// It did not, and the text says why.
const FAILED: u32 = 1;

/// Blocks of sound that are made before any is heard: more than a codeword.
const REHEARSED: i32 = 64;

impl Module {
    /// Takes the order that was handed over.
    fn order(&mut self) -> Result<Order, String> {
        Order::from_bytes(&std::mem::take(&mut self.order)).map_err(|error| error.to_string())
    }

    fn prepare(&mut self) -> Result<(), String> {
        let order = self.order()?;
        self.player = Some(Player::new(&order).map_err(|error| error.to_string())?);
        self.rehearse(&order)
    }

    /// Does once what will have to be quick: browsers compile a function when it is first called,
    /// and that can take longer than the sound lasts which it is to make.
    fn rehearse(&mut self, order: &Order) -> Result<(), String> {
        let player = self.player.as_mut().ok_or("nothing was prepared")?;
        (player.play(order, 0)).map_err(|error| error.to_string())?;
        for block in 0..REHEARSED {
            self.render(i64::from(block) * 128, 128)?;
            let begun = self.player.as_mut().and_then(Player::begun);
            self.tell(begun);
        }
        if let Some(player) = &mut self.player {
            let flash = player.flash();
            player.rest();
            self.tell(flash);
        }
        Ok(())
    }

    fn play(&mut self, next: i64) -> Result<(), String> {
        let order = self.order()?;
        let player = self.player.as_mut().ok_or("nothing was prepared")?;
        (player.play(&order, next)).map_err(|error| error.to_string())
    }

    fn render(&mut self, from: i64, count: usize) -> Result<(), String> {
        self.samples.resize(count, 0.0);
        let player = self.player.as_mut().ok_or("nothing was prepared")?;
        (player.render(from, &mut self.samples)).map_err(|error| error.to_string())
    }

    fn watch(&mut self) -> Result<(), String> {
        let order = self.order()?;
        self.watch = Some((order, Watch::new(order.timebase())));
        Ok(())
    }

    fn check(&mut self) -> Result<(), String> {
        let Some(((_, watch), clocks)) = self.watch.as_mut().zip(self.clocks) else {
            return Ok(());
        };
        watch.push(clocks).words().map_or(Ok(()), Err)
    }

    fn status(&mut self, done: Result<(), String>) -> u32 {
        match done {
            Ok(()) => DONE,
            Err(text) => {
                self.text = text;
                FAILED
            }
        }
    }

    /// Where a codeword begins; its address becomes the text.
    fn tell(&mut self, begun: Option<Begun>) -> f64 {
        let Some(Begun { address, sample }) = begun else {
            return f64::NAN;
        };
        self.text = address.to_string();
        sample
    }
}

/// Takes the next byte of an order, for the next function that wants one.
#[unsafe(no_mangle)]
pub extern "C" fn order_byte(byte: u32) {
    // What has too many bytes is found out as none.
    with(|module| {
        if module.order.len() <= Order::BYTES {
            module.order.push(u8::try_from(byte).unwrap_or(u8::MAX));
        }
    });
}

/// Makes a player for the order handed over, silent and ready: 0, or 1 and a text.
#[unsafe(no_mangle)]
pub extern "C" fn prepare() -> u32 {
    with(|module| {
        let done = module.prepare();
        module.status(done)
    })
}

/// Plays the order handed over from sample number `next` on: 0, or 1 and a text.
#[unsafe(no_mangle)]
pub extern "C" fn play(next: f64) -> u32 {
    with(|module| {
        let done = module.play(whole(next));
        module.status(done)
    })
}

/// Makes `count` samples from number `from` on: 0, or 1 and a text where they don't follow the
/// last ones. They stand where [`samples`] says.
#[unsafe(no_mangle)]
pub extern "C" fn render(from: f64, count: u32) -> u32 {
    with(|module| {
        let done = module.render(whole(from), count as usize);
        module.status(done)
    })
}

/// Where the samples made last stand in the memory: 32-bit floating point, full scale at 1.
#[unsafe(no_mangle)]
pub extern "C" fn samples() -> usize {
    with(|module| module.samples.as_ptr().expose_provenance())
}

/// Where the next codeword began within the samples made so far, counted in samples, with its
/// address as the text; not a number where none did.
#[unsafe(no_mangle)]
pub extern "C" fn begun() -> f64 {
    with(|module| {
        let begun = module.player.as_mut().and_then(Player::begun);
        module.tell(begun)
    })
}

/// Has the screen flash with a codeword that begins shortly: where, with its address as the text;
/// not a number where nothing plays.
#[unsafe(no_mangle)]
pub extern "C" fn flash() -> f64 {
    with(|module| {
        let flash = module.player.as_mut().and_then(Player::flash);
        module.tell(flash)
    })
}

/// Begins to watch the order handed over being played: 0, or 1 and a text.
#[unsafe(no_mangle)]
pub extern "C" fn watch() -> u32 {
    with(|module| {
        let done = module.watch();
        module.status(done)
    })
}

/// Takes what the clocks say, as [`ClockReading`] has it, with what a browser does not say not a
/// number: 0, or 1 where a clock gives no time.
#[unsafe(no_mangle)]
pub extern "C" fn read_clocks(
    unix_milliseconds: f64,
    page_milliseconds: f64,
    output_seconds: f64,
    output_milliseconds: f64,
    made_seconds: f64,
    latency_seconds: f64,
) -> u32 {
    let said = |value: f64| Some(value).filter(|value| !value.is_nan());
    let reading = ClockReading {
        unix_milliseconds,
        page_milliseconds,
        output_seconds: said(output_seconds),
        output_milliseconds: said(output_milliseconds),
        made_seconds,
        latency_seconds: said(latency_seconds),
    };
    with(|module| {
        module.clocks = Clocks::new(&reading);
        u32::from(module.clocks.is_none())
    })
}

/// Compares the clocks read last with those before: 0, or 1 and a text where the output has
/// moved.
#[unsafe(no_mangle)]
pub extern "C" fn check() -> u32 {
    with(|module| {
        let done = module.check();
        module.status(done)
    })
}

/// Which sample is at the output `ahead` milliseconds after the clocks were read last; not a
/// number where that is not known.
#[unsafe(no_mangle)]
pub extern "C" fn output_sample(ahead: f64) -> f64 {
    with(|module| {
        let known = module.watch.as_ref().zip(module.clocks);
        known.map_or(f64::NAN, |((order, watch), clocks)| {
            let output = watch.output(&clocks).unwrap_or_else(|| clocks.output());
            (output + ahead * 1e-3) * f64::from(order.output_rate().as_hertz())
        })
    })
}

/// How many milliseconds a sample took from being made to the output of late; not a number where
/// nothing was checked.
#[unsafe(no_mangle)]
pub extern "C" fn latency() -> f64 {
    with(|module| {
        let latency = module.watch.as_ref().and_then(|(_, watch)| watch.latency());
        latency.map_or(f64::NAN, |seconds| seconds * 1e3)
    })
}

/// What that is known by: 0 measured, 1 stated by the browser, 2 nothing.
#[unsafe(no_mangle)]
pub extern "C" fn known_by() -> u32 {
    with(
        |module| match module.clocks.map(|clocks| clocks.known_by()) {
            Some(KnownBy::Timestamp) => 0,
            Some(KnownBy::Latency) => 1,
            Some(KnownBy::Nothing) | None => 2,
        },
    )
}

/// Has the text say how far the code has parted from the time of day.
#[unsafe(no_mangle)]
pub extern "C" fn parted() {
    with(|module| {
        module.text = (module.watch.as_ref()).map_or_else(String::new, |(_, watch)| watch.words());
    });
}

/// Where the last text stands in the memory, in UTF-8.
#[unsafe(no_mangle)]
pub extern "C" fn text() -> usize {
    with(|module| module.text.as_ptr().expose_provenance())
}

/// How many bytes it has.
#[unsafe(no_mangle)]
pub extern "C" fn text_length() -> usize {
    with(|module| module.text.len())
}

/// A sample's number. JavaScript has no other numbers, and they are exact to 2^53: at 192 kHz a
/// thousand years.
#[expect(
    clippy::cast_possible_truncation,
    reason = "`as` saturates, and a number that is none becomes 0"
)]
const fn whole(number: f64) -> i64 {
    number as i64
}
