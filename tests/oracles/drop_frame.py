"""Our counting and our real time against FFmpeg's libavutil and GStreamer's video library.

A million and a half frames since midnight, random but for those round every roll-over, through
the example program `addresses` of plumbline-timecode. For each, libavutil gives the address and
the pair that a codeword carries; GStreamer, where it knows the rate, the address, the frame number
back and the real time. GStreamer also says of random digits, legal or not, whether they name a
frame.

    python3 drop_frame.py
"""

from __future__ import annotations

import random
import subprocess
import sys
from pathlib import Path

from frame_libraries import (
    Avutil,
    AvTimecode,
    Gstreamer,
    Tally,
    Timebase,
    digits_of,
    timebases,
)

ROOT = Path(__file__).resolve().parents[2]
FRAMES = 1_500_000
DIGITS = 300_000


def ask(questions: list[str]) -> list[str]:
    command = ["cargo", "run", "--release", "-q", "-p", "plumbline-timecode"]
    answers = subprocess.run(
        [*command, "--example", "addresses"],
        cwd=ROOT,
        input="\n".join(questions) + "\n",
        stdout=subprocess.PIPE,
        text=True,
        check=True,
    ).stdout.splitlines()
    assert len(answers) == len(questions), "one answer to each question"
    return answers


def frames_to_ask(base: Timebase, number: int, rng: random.Random) -> list[int]:
    """Either side of every minute and of midnight, and random ones."""
    minute = base.per_second * 60
    starts = (
        ten + (base.per_second * 60 + (one - 1) * (minute - base.dropped) if one else 0)
        for ten in range(0, base.day, base.ten_minutes)
        for one in range(10)
    )
    edges = [(start + step) % base.day for start in starts for step in (-1, 0, 1)]
    return edges + [rng.randrange(base.day) for _ in range(number - len(edges))]


def check_frames(tally: Tally, avutil: Avutil, gstreamer: Gstreamer, rng: random.Random) -> None:
    bases = list(timebases())
    asked = [
        (base, frame)
        for base in bases
        for frame in frames_to_ask(base, FRAMES // len(bases) + 1, rng)
    ]
    answers = ask([f"frame {base.rate} {base.count} {frame}" for base, frame in asked])
    timecodes = {base: avutil.timecode(base) for base in bases}
    known = {base: gstreamer.knows(base) for base in bases}
    for (base, frame), answer in zip(asked, answers):
        address, nanoseconds, code, part = answer.split()
        with_avutil(tally, avutil, base, timecodes[base], frame, (address, code, int(part)))
        if known[base]:
            with_gstreamer(tally, gstreamer, base, frame, address, int(nanoseconds))


def with_avutil(
    tally: Tally,
    avutil: Avutil,
    base: Timebase,
    timecode: AvTimecode,
    frame: int,
    ours: tuple[str, str, int],
) -> None:
    address, code, part = ours
    what = f"{base}, frame {frame}"
    theirs = avutil.address(base, timecode, frame)
    tally.same("libavutil, address", what, address, theirs)
    if base.is_standard and base.per_second <= 60:
        tally.same("libavutil, pair", what, (code, part), avutil.pair(base, timecode, frame))
    if base.is_standard and frame % 16 == 0:
        theirs = avutil.address(base, timecode, frame + base.day)
        tally.same("libavutil, a day later", what, address, theirs)


def with_gstreamer(
    tally: Tally, gstreamer: Gstreamer, base: Timebase, frame: int, address: str, nanoseconds: int
) -> None:
    what = f"{base}, frame {frame}"
    timecode = gstreamer.timecode(base, digits_of(address))
    theirs = (
        gstreamer.is_valid(timecode) != 0,
        gstreamer.frames(timecode),
        gstreamer.nanoseconds(timecode),
    )
    tally.same("GStreamer, digits to frame and time", what, (True, frame, nanoseconds), theirs)
    counted = gstreamer.timecode(base, (0, 0, 0, 0))
    gstreamer.add(counted, frame)
    theirs = digits_of(gstreamer.address(counted))
    tally.same("GStreamer, frame to digits", what, digits_of(address), theirs)


def check_digits(tally: Tally, gstreamer: Gstreamer, rng: random.Random) -> None:
    bases = [base for base in timebases() if base.denominator == (1001 if base.drop else 1)]
    bases = [base for base in bases if gstreamer.knows(base)]
    asked = [(rng.choice(bases), random_digits(rng)) for _ in range(DIGITS)]
    answers = ask([f"digits {base.count} {' '.join(map(str, d))}" for base, d in asked])
    for (base, digits), answer in zip(asked, answers):
        timecode = gstreamer.timecode(base, digits)
        exists = gstreamer.is_valid(timecode) != 0
        theirs = str(gstreamer.frames(timecode)) if exists else "none"
        kind = "exist" if exists else "do not exist"
        tally.same(f"GStreamer, digits that {kind}", f"{base}, {digits}", answer, theirs)


def random_digits(rng: random.Random) -> tuple[int, int, int, int]:
    """Mostly near the edges, where digits begin and cease to exist."""
    return (
        rng.choice((rng.randrange(24), rng.randrange(22, 27))),
        rng.choice((rng.randrange(60), rng.randrange(57, 63))),
        rng.choice((0, 0, rng.randrange(60), rng.randrange(57, 63))),
        rng.choice((rng.randrange(9), rng.randrange(120), rng.randrange(22, 32))),
    )


def main() -> int:
    tally, rng = Tally(), random.Random(60461)
    avutil, gstreamer = Avutil(), Gstreamer()
    check_frames(tally, avutil, gstreamer, rng)
    check_digits(tally, gstreamer, rng)
    for oracle in sorted(tally.passed | tally.failed):
        print(f"{oracle}: {tally.passed[oracle]} agree, {tally.failed[oracle]} do not")
    expected = {
        "libavutil, address": FRAMES,
        "libavutil, pair": FRAMES // 2,
        "libavutil, a day later": FRAMES // 25,
        "GStreamer, digits to frame and time": 1_000_000,
        "GStreamer, frame to digits": 1_000_000,
        "GStreamer, digits that exist": DIGITS // 10,
        "GStreamer, digits that do not exist": DIGITS // 10,
    }
    for oracle, least in expected.items():
        if tally.passed[oracle] < least:
            tally.failed[oracle] += 1
            print(f"FAIL {oracle}: only {tally.passed[oracle]} agree, {least} were to be asked")
    passed, failed = tally.passed.total(), tally.failed.total()
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
