//! Reading code that edges do not show: buried in noise, hum, speech, music, clicks or what lossy
//! coding left of it.
//!
//! [`Pieces`] turns some seconds of sound into codewords, each weighed by itself; [`agreed`] says
//! which of them may be called read.

mod blanking;
mod channels;
mod echoes;
mod frame_clock;
mod hum;
mod level;
mod line;
mod model;
mod modelled;
mod opinions;
mod parabola;
mod pattern;
mod piece;
mod reading;
mod repeats;
mod residue;
mod running_sum;
mod smoother;
mod sound;
mod spectra;
mod stretches;
mod sync_chain;
mod sync_fold;
#[cfg(test)]
mod testing;
mod together;
mod trellis;
mod weigh;
mod whitening;
mod whole;
mod window;

pub(crate) use modelled::Heard;
pub(crate) use piece::Pieces;
pub(crate) use reading::{Reading, Run};
pub(crate) use stretches::{Places, Witness, agreed};
pub(crate) use window::HeardTogether;
