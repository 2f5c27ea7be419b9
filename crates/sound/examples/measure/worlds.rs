//! What sounds, made once for all pairs of recorders that hear it.

use crate::scene::Source;
use plumbline_damage::Seed;
use std::collections::VecDeque;
use std::sync::{Arc, Mutex};

/// How many are kept: those of one seed, and some of the next.
const KEPT: usize = 10;
/// Longer ones are not kept, in seconds.
const LONGEST: f64 = 200.0;

/// Sounds of the last seeds.
#[derive(Debug, Default)]
pub(crate) struct Worlds(Mutex<VecDeque<(Key, Arc<Vec<f64>>)>>);

/// What kind, how long in seconds, from which seed.
type Key = (Source, f64, Seed);

impl Worlds {
    /// So many seconds of a sound.
    pub(crate) fn sound(&self, source: Source, seconds: f64, seed: Seed) -> Arc<Vec<f64>> {
        let key = (source, seconds, seed);
        let kept = |worlds: &VecDeque<(Key, Arc<Vec<f64>>)>| {
            let found = worlds.iter().find(|(other, _)| *other == key);
            found.map(|(_, sound)| Arc::clone(sound))
        };
        let found = self.0.lock().ok().and_then(|worlds| kept(&worlds));
        found.unwrap_or_else(|| {
            let sound = Arc::new(source.sound(seconds, seed));
            if seconds <= LONGEST
                && let Ok(mut worlds) = self.0.lock()
            {
                worlds.push_back((key, Arc::clone(&sound)));
                if worlds.len() > KEPT {
                    worlds.pop_front();
                }
            }
            sound
        })
    }
}
