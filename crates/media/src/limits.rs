//! Limits that keep a damaged or hostile file from using up memory or time.

/// Most channels that are read. Recorders have up to 32 tracks; a header that says 65,535 is
/// damaged.
pub const CHANNELS_AT_MOST: u16 = 64;

/// Highest sample rate that is believed, in hertz: five times what any recorder offers.
pub const SAMPLE_RATE_AT_MOST: u32 = 1_000_000;

/// How much is read from the source at a time, in bytes: a read may cost most of a millisecond
/// however small it is.
pub const WINDOW: usize = 64 * 1024;

/// Most chunks that are walked through. A file of nothing but empty chunks would otherwise take
/// hours.
pub const CHUNKS_AT_MOST: usize = 4096;

/// Most entries of a ds64 table that are kept. Only chunks past 4 GiB need one.
pub const DS64_ENTRIES_AT_MOST: usize = 256;

/// Longest coding history that is read, in bytes; the rest is left out.
pub const CODING_HISTORY_AT_MOST: usize = 256 * 1024;

/// Longest iXML that is read, in bytes. Real ones are some kilobytes.
pub const IXML_AT_MOST: u64 = 4 * 1024 * 1024;

/// So many bytes of a list chunk are looked at.
pub const LIST_AT_MOST: u64 = 64 * 1024;

/// Most elements of an iXML that are kept: 64 tracks need fewer than 1,000.
pub const IXML_ELEMENTS_AT_MOST: usize = 20_000;

/// Deepest nesting of an iXML that is followed.
pub const IXML_DEPTH_AT_MOST: usize = 16;

/// So many zero bytes after the last chunk are padding, not worth a word.
pub const PADDING_AT_MOST: u64 = 64 * 1024;

/// How many bytes of a file that is no WAV are shown.
pub const OPENING_SHOWN: usize = 32;

/// More bytes than a packet of sound, or a picture among packets of sound, takes: so many are kept
/// in hand where packets must be looked for.
pub const STREAM_RESERVE: usize = 8 * 1024 * 1024;

/// Most boxes of an MP4 that are walked through at one level.
pub const BOXES_AT_MOST: usize = 100_000;

/// Longest table of an MP4's track that is read, in bytes: a hundred hours of packets.
pub const TABLE_AT_MOST: u64 = 256 * 1024 * 1024;

/// Most runs of bytes that sound is spread over: a day of pictures between them.
pub const PIECES_AT_MOST: usize = 20_000_000;

/// Most packets of one size that are believed: four days of AAC.
pub const PACKETS_AT_MOST: u64 = 1 << 24;

/// Longest packet that is believed where it can't be decoded, in sample frames: twice the longest
/// that codecs have as a rule.
pub const PACKET_FRAMES_AT_MOST: u32 = 8192;

/// Most broken packets one after the other before a file counts as ended.
pub const BROKEN_AT_MOST: u32 = 1000;

/// Longest that a track is believed to begin after the recording does, in seconds. A track that
/// says more is read from the recording's beginning: that much silence is in no recording, and
/// giving it would keep the page waiting.
pub const SILENCE_AT_MOST: u64 = 600;
