//! Linear timecode: samples to codewords and back.
