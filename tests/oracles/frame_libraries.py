"""General libraries that count frames, for the oracles: FFmpeg's libavutil and GStreamer's video
library, called straight through ctypes, so that a million calls take seconds: libavutil.so.57
(FFmpeg 5.1) and libgstvideo-1.0.so.0 (GStreamer 1.22). With what both are asked for, a timebase, and
with a tally of what they said.
"""

from __future__ import annotations

import ctypes as c
import sys
from collections import Counter
from collections.abc import Iterator
from typing import NamedTuple


class Timebase(NamedTuple):
    """A rate and a count, in our words and in numbers."""

    rate: str
    numerator: int
    denominator: int
    per_second: int
    drop: bool

    @property
    def count(self) -> str:
        return f"{self.per_second}{'drop' if self.drop else ''}"

    @property
    def dropped(self) -> int:
        """Frame numbers that are left out in nine minutes of ten: IEC 60461 clause 4.2.3."""
        return self.per_second // 15 if self.drop else 0

    @property
    def ten_minutes(self) -> int:
        return self.per_second * 600 - self.dropped * 9

    @property
    def day(self) -> int:
        return self.ten_minutes * 144

    @property
    def is_standard(self) -> bool:
        """Drop-frame at a whole rate is common practice; neither library has it."""
        return not self.drop or self.denominator == 1001

    def __str__(self) -> str:
        return f"{self.rate} counted {self.count}"


def timebases() -> Iterator[Timebase]:
    whole = ((24, True), (25, False), (30, True), (48, True), (50, False), (60, True))
    for nominal, pulled in (*whole, (100, False), (120, True)):
        for drop in (False, True) if nominal % 30 == 0 else (False,):
            yield Timebase(str(nominal), nominal, 1, nominal, drop)
            if pulled:
                name = f"{nominal / 1.001:.3f}" if nominal in (24, 48) else f"{nominal / 1.001:.2f}"
                yield Timebase(name, nominal * 1000, 1001, nominal, drop)


def digits_of(address: str) -> tuple[int, int, int, int]:
    hours, minutes, seconds, frames = address.replace(";", ":").split(":")
    return int(hours), int(minutes), int(seconds), int(frames)


class Tally:
    """Counts what was asked of whom, and prints the first disagreements in full."""

    def __init__(self) -> None:
        self.passed: Counter[str] = Counter()
        self.failed: Counter[str] = Counter()

    def same(self, oracle: str, what: str, ours: object, theirs: object) -> None:
        if ours == theirs:
            self.passed[oracle] += 1
            return
        self.failed[oracle] += 1
        if self.failed[oracle] <= 20:
            print(f"FAIL {oracle}, {what}: ours {ours}, theirs {theirs}")


# ---------------------------------------------------------------------------------------------
# FFmpeg's libavutil: the better oracle for counting. It accepts digits that name no frame
# (00:01:00;00 becomes frame 1798, 24:00:00:00 and frames past the last are taken as they are),
# so it is not asked about those. It wraps at midnight only with the flag for 24 hours.


class Rational(c.Structure):
    _fields_ = [("numerator", c.c_int), ("denominator", c.c_int)]


class AvTimecode(c.Structure):
    _fields_ = [
        ("start", c.c_int),
        ("flags", c.c_uint32),
        ("rate", Rational),
        ("fps", c.c_uint),
    ]


class Avutil:
    DROP, WRAP = 1, 2

    def __init__(self) -> None:
        self.library = c.CDLL("libavutil.so.57")
        self.library.av_timecode_init.argtypes = [
            c.POINTER(AvTimecode), Rational, c.c_int, c.c_int, c.c_void_p,
        ]  # fmt: skip
        self.make_string = self.library.av_timecode_make_string
        self.make_string.argtypes = [c.POINTER(AvTimecode), c.c_char_p, c.c_int]
        self.make_string.restype = c.c_char_p
        self.smpte = self.library.av_timecode_get_smpte_from_framenum
        self.smpte.argtypes = [c.POINTER(AvTimecode), c.c_int]
        self.smpte.restype = c.c_uint32
        self.adjust = self.library.av_timecode_adjust_ntsc_framenum2
        self.adjust.argtypes = [c.c_int, c.c_int]
        self.text = c.create_string_buffer(64)
        # It says so on standard error when it is asked for what it does not have.
        self.library.av_log_set_level(-8)

    def timecode(self, base: Timebase) -> AvTimecode:
        # It refuses drop-frame at whole rates, so there the numbers are adjusted by hand below.
        flags = self.WRAP | (self.DROP if base.drop and base.is_standard else 0)
        timecode = AvTimecode()
        rate = Rational(base.numerator, base.denominator)
        status = self.library.av_timecode_init(c.byref(timecode), rate, flags, 0, None)
        if status != 0:
            sys.exit(f"libavutil refuses {base}: {status}")
        return timecode

    def address(self, base: Timebase, timecode: AvTimecode, frame: int) -> str:
        if base.is_standard:
            return self.make_string(timecode, self.text, frame).decode()
        adjusted = self.adjust(frame, base.per_second)
        before, frames = self.make_string(timecode, self.text, adjusted).decode().rsplit(":", 1)
        return f"{before};{frames}"

    def pair(self, base: Timebase, timecode: AvTimecode, frame: int) -> tuple[str, int]:
        """The address in a codeword up to 60 frames a second, and which of the pair it is.

        Above 60 its word overflows: it knows pairs, not fours.
        """
        word = self.smpte(timecode, frame)
        # The field mark is bit 7 at 50, bit 23 at the others.
        mark = 7 if base.per_second == 50 else 23
        second = word >> mark & 1
        word &= ~(1 << mark)
        frames, seconds = word >> 24 & 0x3F, word >> 16 & 0x7F
        minutes, hours = word >> 8 & 0x7F, word & 0x3F
        before_frames = ";" if word >> 30 & 1 else ":"
        # Binary-coded decimal: the hex digits are the digits.
        return f"{hours:02x}:{minutes:02x}:{seconds:02x}{before_frames}{frames:02x}", second


# ---------------------------------------------------------------------------------------------
# GStreamer's video library: the better oracle for what exists. It knows neither 47.952 nor
# 119.88.


class GstTimecode(c.Structure):
    _fields_ = [
        ("numerator", c.c_uint),
        ("denominator", c.c_uint),
        ("flags", c.c_int),
        ("latest_daily_jam", c.c_void_p),
        ("hours", c.c_uint),
        ("minutes", c.c_uint),
        ("seconds", c.c_uint),
        ("frames", c.c_uint),
        ("field_count", c.c_uint),
    ]


class Gstreamer:
    DROP = 1

    def __init__(self) -> None:
        library = c.CDLL("libgstvideo-1.0.so.0")
        self.glib = c.CDLL("libglib-2.0.so.0")
        self.glib.g_free.argtypes = [c.c_void_p]
        timecode = c.POINTER(GstTimecode)
        self.is_valid = library.gst_video_time_code_is_valid
        self.is_valid.argtypes = [timecode]
        self.frames = library.gst_video_time_code_frames_since_daily_jam
        self.frames.argtypes, self.frames.restype = [timecode], c.c_uint64
        self.nanoseconds = library.gst_video_time_code_nsec_since_daily_jam
        self.nanoseconds.argtypes, self.nanoseconds.restype = [timecode], c.c_uint64
        self.add = library.gst_video_time_code_add_frames
        self.add.argtypes = [timecode, c.c_int64]
        self.to_string = library.gst_video_time_code_to_string
        self.to_string.argtypes, self.to_string.restype = [timecode], c.c_void_p

    def timecode(self, base: Timebase, digits: tuple[int, int, int, int]) -> GstTimecode:
        flags = self.DROP if base.drop else 0
        return GstTimecode(base.numerator, base.denominator, flags, None, *digits, 0)

    def knows(self, base: Timebase) -> bool:
        known = self.is_valid(self.timecode(base, (0, 0, 0, 0))) != 0
        expected = base.is_standard and base.rate not in ("47.952", "119.88")
        if expected and not known:
            sys.exit(f"GStreamer no longer knows {base}")
        return known

    def address(self, timecode: GstTimecode) -> str:
        text = self.to_string(timecode)
        try:
            return c.string_at(text).decode()
        finally:
            self.glib.g_free(text)
