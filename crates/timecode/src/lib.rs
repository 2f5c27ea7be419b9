//! Rates, time addresses, counting, user bits: exact, and without sound.
