//! Bytes to samples: containers, sample formats, embedded time.
