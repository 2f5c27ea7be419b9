"""Our reader reads what the naive writer writes.

Each case is a recording made by ltc_writer.py, whose truth is known; every report is judged
against it: each whole codeword read (address, drop flag, user bits, place), nothing reported that
is not there, start, rate and counting right, the findings that must be there and no others.

Asked: SMPTE ST 12-1:2014 clauses 8 and 9 and IEC 60461:2010 clauses 4 and 8, as ltc_writer.py has
them.

    python3 ltc_read.py [--list] [WORD …]     only the cases whose names hold all the words
"""

from __future__ import annotations

import sys
import zlib
from dataclasses import replace
from functools import partial

import numpy as np

from ltc_checks import Case, Expected, Tally, run_cases, self_check, start_of
from ltc_writer import (
    RATES,
    Address,
    Take,
    Word,
    address,
    address_of,
    amplitude,
    bext,
    count_on,
    frames_in_day,
    record,
    spoiled,
    words,
)

SAMPLE_RATES = (8000, 11025, 16000, 22050, 44100, 48000, 88200, 96000, 176400, 192000)
BGF = ((0, 0, 0), (0, 0, 1), (0, 1, 0), (1, 0, 0), (1, 0, 1), (1, 1, 0), (1, 1, 1))


def seed_of(name: str) -> np.random.Generator:
    return np.random.default_rng(zlib.crc32(name.encode()))


def word_samples(rate: str, sample_rate: int) -> float:
    return float(sample_rate / RATES[rate][0])


def random_address(rng, base: int, drop: bool) -> Address:
    return address_of(int(rng.integers(0, frames_in_day(base, drop) - 2000)), base, drop)


# ---------------------------------------------------------------------------------------------
# The grid: every rate, sample rate, depth and level


def grid_case(name, rate, drop, sample_rate, depth, dbfs) -> Case:
    rng = seed_of(name)
    _, base = RATES[rate]
    per_word = word_samples(rate, sample_rate)
    level = amplitude(dbfs)
    # Near the end of a second, so that it is seen how far the frames count.
    first = random_address(rng, base, drop)
    first = replace(first, seconds=int(rng.integers(10, 50)), frames=base - 12)
    sent = words(
        count_on(first, 28),
        int(rng.integers(0, 2**32)),
        BGF[rng.integers(0, len(BGF))],
        colour=bool(rng.integers(0, 2)) and base != 24,
        corrected=bool(rng.integers(0, 4)),
    )
    begins = -float(rng.uniform(0.1, 0.9)) * per_word
    offset = float(rng.uniform(-1, 1)) * min(0.3, 3 * level, 0.99 - level)
    offset *= float(rng.integers(0, 2))
    length = int(per_word * float(rng.uniform(24.2, 26.8)))
    take = Take(sent, begins, per_word, level)
    made = record([take], length, sample_rate, inverted=bool(rng.integers(0, 2)))
    # The level is the peak of the samples, whatever the converter's low-pass has added.
    made.samples = made.samples * (level / np.abs(made.samples).max()) + offset
    made.rate, made.drop = rate, drop
    findings, allowed = [], set()
    if dbfs <= -60:
        findings.append(Expected("weak_level"))
    elif dbfs <= -40:
        allowed.add("weak_level")
    if rate == "30" and drop:
        findings.append(Expected("unusual_count"))
    return Case(
        name,
        made,
        depth,
        findings=findings,
        allowed=frozenset(allowed),
        level_dbfs=dbfs if depth != "u8" else None,
        **start_of(made, per_word, begins, first),
    )


def grid() -> list:
    makers = []
    countings = [(rate, False) for rate in RATES] + [("29.97", True)]
    for rate, drop in countings:
        for sample_rate in SAMPLE_RATES:
            for depth in ("u8", "s16", "s24", "f32"):
                for dbfs in (-1, -18, -40, -60):
                    if depth == "u8" and dbfs < -18:
                        continue  # fewer than three steps of eight bits
                    mark = "drop" if drop else ""
                    name = f"grid {rate}{mark} {sample_rate} {depth} {dbfs} dBFS"
                    makers.append((name, partial(grid_case, name, rate, drop, sample_rate, depth, dbfs)))
    for depth in ("s32", "f64"):
        name = f"grid 25 48000 {depth} -18 dBFS"
        makers.append((name, partial(grid_case, name, "25", False, 48000, depth, -18)))
    name = "grid 30drop 48000 s24 -18 dBFS"
    makers.append((name, partial(grid_case, name, "30", True, 48000, "s24", -18)))
    return makers


# ---------------------------------------------------------------------------------------------
# A plain case, and its variations


def plain(
    name,
    sent: list[Word],
    *,
    rate="25",
    sample_rate=48000,
    dbfs=-18.0,
    begins: float | None = None,
    length: int | None = None,
    depth="s24",
    ppm: float = 0.0,
    speed: float = 1.0,
    reverse: bool = False,
    muted=(),
    noise: float = 0.0,
    extra=(),
    **rest,
) -> Case:
    """One take; it begins inside a codeword and ends inside one, unless it is told otherwise."""
    rng = seed_of(name)
    first = sent[0].at
    per_word = word_samples(rate, sample_rate) / (1 + ppm * 1e-6) / speed
    if begins is None:
        begins = -float(rng.uniform(0.2, 0.8)) * per_word
    if length is None:
        length = int(begins + (len(sent) - float(rng.uniform(0.2, 0.8))) * per_word)
    take = Take(sent, begins, per_word, amplitude(dbfs), 40e-6 / speed)
    made = record([take], length, sample_rate, reverse=reverse, muted=muted, noise=noise)
    made.rate, made.drop = rate, first.drop
    given = {"clock_ppm": ppm, "speed": speed, "reverse": reverse}
    if speed == 1.0 and not reverse:
        given |= start_of(made, per_word, begins, first)
    return Case(name, made, depth, extra=extra, **(given | rest))


def at_word(case: Case, index: int, length: float | None = None, kind="", **rest) -> Expected:
    """A finding within a frame of the first edge of the word sent as number `index`."""
    frame = case.recording.frames[index]
    span = abs(frame.last_edge - frame.first_edge)
    return Expected(
        kind, frame.first_edge - 1.01 * span, frame.first_edge + (length or 1.01) * span, **rest
    )


# ---------------------------------------------------------------------------------------------
# Speed and direction


def speed_case(name, rate, drop, sample_rate, speed, reverse) -> Case:
    rng = seed_of(name)
    base = RATES[rate][1]
    first = replace(random_address(rng, base, drop), seconds=20, frames=base - 10)
    sent = words(count_on(first, 24), int(rng.integers(0, 2**32)))
    findings = []
    if speed != 1.0:
        findings.append(Expected("off_speed"))
    if reverse:
        findings.append(Expected("reversed"))
    return plain(
        name,
        sent,
        rate=rate,
        sample_rate=sample_rate,
        speed=speed,
        reverse=reverse,
        findings=findings,
        # At a wrong speed nothing tells 23.976 from 24, nor 29.97 from 30.
        judge_rate=speed == 1.0,
        clock_ppm=0.0 if speed == 1.0 else None,
    )


def speeds() -> list:
    makers = []
    for rate, drop in (("24", False), ("25", False), ("29.97", True), ("30", False)):
        for sample_rate in (44100, 48000, 96000, 192000):
            for speed in (0.1, 0.25, 0.5, 0.9, 1.0, 1.1, 2.0, 4.0, 10.0):
                if word_samples(rate, sample_rate) / 160 / speed < 2.4:
                    continue
                for reverse in (False, True):
                    if speed == 1.0 and not reverse:
                        continue
                    way = " reverse" if reverse else ""
                    mark = "drop" if drop else ""
                    name = f"speed {rate}{mark} {sample_rate} {speed}x{way}"
                    maker = partial(speed_case, name, rate, drop, sample_rate, speed, reverse)
                    makers.append((name, maker))
    return makers


# ---------------------------------------------------------------------------------------------
# Roll-overs (IEC 60461 clause 4.2.3)


def roll_case(name, rate, drop, start) -> Case:
    rng = seed_of(name)
    base = RATES[rate][1]
    first = address(start, base, drop)
    sent = words(count_on(first, 80), int(rng.integers(0, 2**32)))
    case = plain(name, sent, rate=rate)
    if rate == "30" and drop:
        case.findings.append(Expected("unusual_count"))
    if first.hours == 23 and sent[-1].at.hours == 0:
        new_day = [n for n, word in enumerate(sent) if word.at.hours == 0][0]
        case.findings.append(at_word(case, new_day, kind="midnight"))
    return case


def rolls() -> list:
    makers = []
    for rate, drop in [(rate, False) for rate in RATES] + [("29.97", True), ("30", True)]:
        for minute in ("00:00", "00:09", "00:19", "09:59", "10:00", "12:34", "23:59"):
            name = f"roll-over {rate}{'drop' if drop else ''} {minute}"
            base = RATES[rate][1]
            start = f"{minute}:58:{base - 5}"
            makers.append((name, partial(roll_case, name, rate, drop, start)))
    return makers


# ---------------------------------------------------------------------------------------------
# Where code begins and ends


def silence_before(name, rate, noise, seconds, start="10:20:30:10") -> Case:
    base = RATES[rate][1]
    sent = words(count_on(address(start, base), 60), 0x25112601)
    begins = 48000 * seconds + 0.37
    case = plain(name, sent, rate=rate, begins=begins, noise=noise)
    if seconds >= 1:
        case.findings.append(at_word(case, 0, kind="late_start"))
    else:
        case.allowed = frozenset(["late_start"])
    return case


def silence_after(name, noise, whole_last: bool) -> Case:
    sent = words(count_on(address("10:20:30:10", 25), 60), 0x25112601)
    muted = ()
    length = int(60 * 1920 + 48000 * 2)
    if not whole_last:
        muted = [(57 * 1920 + 700, length)]
    case = plain(name, sent, begins=-411.3, length=length, muted=muted, noise=noise)
    last = 56 if not whole_last else 59
    case.findings.append(at_word(case, last, 2.5, kind="early_end"))
    return case


def blip(name, count) -> Case:
    """A few whole codewords alone, between silences."""
    sent = words(count_on(address("05:06:07:20", 25), count + 1), 0x12345678)
    case = plain(name, sent, begins=96000.4, length=96000 * 2 + 1920 * (count + 1))
    return replace(
        case,
        findings=[],
        allowed=frozenset(["late_start", "early_end"]),
        judge_rate=False,
        clock_ppm=None,
        may_be_silent=count == 1,
    )


def two_takes(name, second, kind) -> Case:
    """Two takes with a second and a half between them, each cut off inside a codeword."""
    first = words(count_on(address("08:00:00:00", 25), 70), 0x00000017)
    later = words(count_on(address(second, 25), 70), 0x00000017)
    begins = (-700.25, 70 * 1920 + 72000 + 133.6)
    takes = [Take(first, begins[0], 1920.0, 0.2), Take(later, begins[1], 1920.0, 0.2)]
    length = int(begins[1] + 69.4 * 1920)
    muted = [(int(begins[0] + 69.3 * 1920), int(begins[1] + 0.4 * 1920))]
    made = record(takes, length, 48000, muted=muted)
    case = Case(
        name, made, frames_lost=None, stretches=2, **start_of(made, 1920.0, begins[0], first[0].at)
    )
    gap = (muted[0][0] - 2000, muted[0][1] + 4000)
    case.findings.append(Expected(kind, *gap))
    # The silence between may be named by itself as well.
    case.allowed = frozenset(["dropout"])
    return case


def beginnings() -> list:
    makers = []
    for rate in RATES:
        for noise in (0.0, 1e-4):
            for seconds in (0.3, 2):
                name = f"code begins {rate} after {seconds} s, noise {noise}"
                makers.append((name, partial(silence_before, name, rate, noise, seconds)))
    name = "code begins just after midnight, the recording before"
    makers.append((name, partial(silence_before, name, "25", 0.0, 2, "00:00:00:10")))
    for noise in (0.0, 1e-4):
        for whole in (True, False):
            name = f"code ends {'after' if whole else 'inside'} a codeword, noise {noise}"
            makers.append((name, partial(silence_after, name, noise, whole)))
    for count in (1, 2, 3, 5):
        name = f"{count} codewords alone"
        makers.append((name, partial(blip, name, count)))
    for second, kind in (("09:10:11:12", "jump_forward"), ("07:10:11:12", "jump_back")):
        name = f"two takes, {kind}"
        makers.append((name, partial(two_takes, name, second, kind)))
    return makers


# ---------------------------------------------------------------------------------------------
# Code that does not count on


def jump(name, rate, drop, size) -> Case:
    """The address after the jump is `size` frames beside the one that was due."""
    base = RATES[rate][1]
    first = count_on(address("11:22:33:10", base, drop), 60)
    due = first[-1].frame_number() + 1
    then = count_on(address_of(due + size, base, drop), 60)
    case = plain(name, words(first + then, 0x00000042), rate=rate, stretches=2)
    kind = "jump_forward" if size > 0 else "jump_back"
    if size == -1:
        kind = "jump_back|stands_still"
    case.findings.append(at_word(case, 60, kind=kind, frames=size))
    if abs(size) > 80000:
        case.allowed = frozenset(["midnight"])
    return case


def dropout(name, rate, lost, noise) -> Case:
    """Silence from inside one codeword to inside another: `lost` words are touched."""
    sent = words(count_on(address("14:03:20:07", RATES[rate][1]), 120), 0x25112601)
    per_word = word_samples(rate, 48000)
    begins = -0.4 * per_word
    muted = [(int(begins + 50.3 * per_word), int(begins + (50.3 + lost - 1 + 0.4) * per_word))]
    case = plain(
        name,
        sent,
        rate=rate,
        begins=begins,
        muted=muted,
        noise=noise,
        frames_lost=lost,
        stretches=None,
    )
    case.findings.append(at_word(case, 50, kind="dropout", frames=lost))
    return case


def several_dropouts(name) -> Case:
    sent = words(count_on(address("14:03:20:07", 25), 300), 0x25112601)
    muted = [(100 * 1920, 102 * 1920 + 960), (150 * 1920, 150 * 1920 + 900), (250 * 1920, 255 * 1920)]
    case = plain(name, sent, begins=-500.2, muted=muted, stretches=None)
    touched = [
        [n for n, f in enumerate(case.recording.frames) if f.last_edge > m0 and f.first_edge < m1]
        for m0, m1 in muted
    ]
    for lost in touched:
        case.findings.append(at_word(case, lost[0], kind="dropout", frames=len(lost)))
    case.frames_lost = sum(len(lost) for lost in touched)
    return case


def user_bits_change(name) -> Case:
    bits = [0x25112601] * 40 + [0x25112602] * 40
    case = plain(name, words(count_on(address("16:00:00:00", 25), 80), bits))
    case.findings.append(at_word(case, 40, kind="user_bits_change"))
    return case


def user_bits_always(name) -> Case:
    """User bits that differ in every codeword, as pages of data do: all read."""
    rng = seed_of(name)
    bits = [int(rng.integers(0, 2**32)) for _ in range(80)]
    case = plain(name, words(count_on(address("16:00:00:00", 25), 80), bits))
    case.allowed = frozenset(["user_bits_change"])
    return case


def standing(name, bits) -> Case:
    held = [address("20:10:05:04", 25)] * 80
    case = plain(name, words(held, bits))
    allowed = frozenset(["user_bits_change"]) if isinstance(bits, list) else frozenset()
    return replace(
        case,
        findings=[Expected("stands_still")],
        allowed=allowed,
        start_digits=(),
        start_samples=None,
        judge_rate=True,
        stretches=None,
    )


def stands_for_a_while(name) -> Case:
    first = count_on(address("20:10:05:04", 25), 50)
    sent = first + [first[-1]] * 25 + count_on(first[-1].next(), 50)
    case = plain(name, words(sent, 0x00000042), stretches=None)
    case.findings.append(at_word(case, 50, kind="stands_still"))
    case.allowed = frozenset(["jump_back"])
    return case


def damaged(name, every) -> Case:
    """One digit of some codewords is wrong: they are no frames, all others are."""
    sent = words(count_on(address("13:14:15:00", 25), 100), 0x00000042)
    hit = range(30, 100, every) if every else [30]
    for n in hit:
        sent[n] = spoiled(sent[n], 32, 59)  # minute units, and polarity set right again
    case = plain(name, sent, frames_lost=len(hit), stretches=None)
    case.findings = [at_word(case, n, kind="damaged_codeword") for n in hit][: 1 if every else None]
    if every:
        case.findings = [Expected("damaged_codeword")]
        case.allowed = frozenset(["damaged_codeword"])
    return case


def breaks() -> list:
    makers = []
    for rate, drop in (("25", False), ("23.976", False), ("29.97", True), ("30", False)):
        for size in (1, -1, -2, 2, 10, 750, -750, 90000, -90000):
            name = f"jump {size:+} at {rate}{'drop' if drop else ''}"
            makers.append((name, partial(jump, name, rate, drop, size)))
    for rate in RATES:
        for lost in (1, 2, 5, 25):
            for noise in (0.0, 1e-4):
                name = f"dropout of {lost} at {rate}, noise {noise}"
                makers.append((name, partial(dropout, name, rate, lost, noise)))
    rng = seed_of("standing")
    others = [
        ("three dropouts", several_dropouts),
        ("user bits change", user_bits_change),
        ("user bits always change", user_bits_always),
        ("code stands still", partial(standing, bits=0x00000042)),
        (
            "code stands still under random user bits",
            partial(standing, bits=[int(b) for b in rng.integers(0, 2**32, 80)]),
        ),
        ("code stands still for a while", stands_for_a_while),
        ("one damaged codeword", partial(damaged, every=0)),
        ("every tenth codeword damaged", partial(damaged, every=10)),
    ]
    return makers + [(name, partial(make, name)) for name, make in others]


# ---------------------------------------------------------------------------------------------
# Counting that fits neither the flag nor the rate


def flag_against_count(name, rate, drop, flag) -> Case:
    first = address("01:04:59:10", 30, drop)
    case = plain(name, words(count_on(first, 60), 0x42, drop_flag=flag), rate=rate)
    return replace(
        case,
        findings=[Expected("flag_against_count")],
        allowed=frozenset(["unusual_count"]),
        judge_drop=False,
        start_digits=(),
        start_samples=None,
    )


def rate_against_count(name, base, rate) -> Case:
    """The digits count `base` frames in a second, the code runs at another rate."""
    first = address(f"01:04:50:{base - 10:02}", base)
    case = plain(name, words(count_on(first, 120), 0x42), rate=rate)
    return replace(
        case,
        findings=[Expected("rate_against_count|off_speed")],
        judge_rate=False,
        start_digits=(),
        start_samples=None,
        clock_ppm=None,
        speed=None,
    )


def counting() -> list:
    makers = []
    for rate in ("29.97", "30"):
        for drop in (False, True):
            name = f"counts {'drop-frame' if drop else 'non-drop'} at {rate} and says otherwise"
            makers.append((name, partial(flag_against_count, name, rate, drop, not drop)))
    for base, rate in ((24, "25"), (25, "24"), (25, "30"), (30, "25"), (24, "30"), (30, "24")):
        name = f"counts {base} at {rate} frames a second"
        makers.append((name, partial(rate_against_count, name, base, rate)))
    return makers


# ---------------------------------------------------------------------------------------------
# Clocks


def clock_case(name, rate, drop, sample_rate, ppm) -> Case:
    base = RATES[rate][1]
    sent = words(count_on(address("09:08:07:06", base, drop), 45 * base), 0x42)
    return plain(
        name,
        sent,
        rate=rate,
        sample_rate=sample_rate,
        ppm=ppm,
        noise=1e-5,
        clock_sigmas=3.0,
        # 0.05 sample rms in each of some 1,100 places over 45 s allows a few thousandths of a
        # ppm; one ppm is a generous limit.
        clock_uncertainty_below=1.0,
    )


def clocks() -> list:
    makers = []
    for rate, drop in (("23.976", False), ("24", False), ("25", False), ("29.97", True), ("30", False)):
        for sample_rate, ppm in ((48000, -3.1), (48000, 50.0), (44100, -100.0), (48000, 0.2)):
            name = f"clock {ppm:+} ppm at {rate}{'drop' if drop else ''} {sample_rate}"
            makers.append((name, partial(clock_case, name, rate, drop, sample_rate, ppm)))
    return makers


# ---------------------------------------------------------------------------------------------
# Embedded time (EBU Tech 3285: TimeReference)


def embedded(name, rate, drop, apart_frames, sample_rate=48000) -> Case:
    """The bext chunk states a start that is `apart_frames` later than the code's."""
    base = RATES[rate][1]
    case = plain(
        name, words(count_on(address("14:03:20:06", base, drop), 60), 0x42), rate=rate,
        sample_rate=sample_rate,
    )
    reference = round(case.start_samples + apart_frames * word_samples(rate, sample_rate))
    case.extra = ((b"bext", bext(reference)),)
    if apart_frames:
        finding = Expected(
            "embedded_disagrees", frames=apart_frames, frames_tolerance=0.01, unsigned=True
        )
        case.findings.append(finding)
    return case


def stamp_of_another_rate(name) -> Case:
    """The code counts and runs at 24, the stamp was worked out at 23.976: 3.6 s in an hour."""
    case = plain(name, words(count_on(address("10:00:00:00", 24), 60), 0x42), rate="24")
    at_wrong_rate = round(case.start_samples * 1001 / 1000)
    case.extra = ((b"bext", bext(at_wrong_rate)),)
    frames = (at_wrong_rate - case.start_samples) / 2000
    case.findings.append(
        Expected("embedded_disagrees", frames=frames, frames_tolerance=0.02, unsigned=True)
    )
    return case


def stamps() -> list:
    makers = []
    for rate, drop in (("25", False), ("23.976", False), ("29.97", True)):
        for apart in (0, 1, -1, 2, -25, 90000):
            name = f"bext {apart:+} frames beside the code at {rate}"
            makers.append((name, partial(embedded, name, rate, drop, apart)))
    # Past 2^32 samples the high word of the time reference counts.
    name = "bext +3 frames beside the code at 25, 192000"
    makers.append((name, partial(embedded, name, "25", False, 3, 192000)))
    name = "bext +0 frames beside the code at 25, 192000"
    makers.append((name, partial(embedded, name, "25", False, 0, 192000)))
    name = "bext worked out at 23.976, code at 24"
    makers.append((name, partial(stamp_of_another_rate, name)))
    return makers


# ---------------------------------------------------------------------------------------------
# Other channels, level


def beside_other_sound(name, channel, channels) -> Case:
    case = plain(name, words(count_on(address("14:03:20:06", 25), 100), 0x42), channel=channel)
    rng = seed_of(name)
    length = len(case.recording.samples)
    sound = 0.05 * rng.standard_normal((length, channels))
    sound[:, 0] += 0.2 * np.sin(2 * np.pi * 1000 * np.arange(length) / 48000)
    sound[:, channel] = case.recording.samples
    case.sound = sound
    return case


def clipped(name) -> Case:
    case = plain(name, words(count_on(address("14:03:20:06", 25), 100), 0x42), dbfs=0.0)
    case.recording.samples = np.clip(case.recording.samples * 10, -1, 1)
    case.findings.append(Expected("clipped"))
    case.position_tolerance = 0.2
    return case


def unfiltered(name, rate, sample_rate) -> Case:
    """Edges worked out sample by sample, without a converter's low-pass."""
    base = RATES[rate][1]
    per_word = word_samples(rate, sample_rate)
    first = address("14:03:20:06", base)
    take = Take(words(count_on(first, 60), 0x42), -700.3, per_word, 0.3)
    made = record([take], int(per_word * 58.4), sample_rate, filtered=False)
    made.rate = rate
    return Case(name, made, **start_of(made, per_word, -700.3, first))


def noisy(name, snr_db, hum) -> Case:
    """White noise so far under the code, and mains hum; the places get less certain."""
    noise = 0.2 * 10 ** (-snr_db / 20) if snr_db is not None else 0.0
    case = plain(
        name, words(count_on(address("14:03:20:06", 25), 250), 0x42),
        dbfs=20 * np.log10(0.2), noise=noise,
    )
    t = np.arange(len(case.recording.samples)) / 48000
    case.recording.samples = case.recording.samples + hum * np.sin(2 * np.pi * 50 * t)
    case.position_tolerance = 1.0
    case.start_tolerance = 1.0
    return case


def bend(take: Take) -> float:
    """How far, in samples, the middle of a codeword is from midway between its ends, at most.

    Within a codeword whose speed changes, a place found from all of its edges can't be closer.
    """
    ends = take.begins + np.arange(len(take.words) + 1) * take.samples_per_word
    middles = take.warp((ends[1:] + ends[:-1]) / 2)
    ends = take.warp(ends)
    return float(np.abs(middles - (ends[1:] + ends[:-1]) / 2)[1:-1].max())


def fluttering(name, share, hertz) -> Case:
    """Tape whose speed swings by `share` of itself, `hertz` times a second."""
    per_word, begins = 1920.0, -700.3
    turn = 2 * np.pi * hertz / 48000

    def warp(places):
        return places + share / turn * np.sin(turn * places)

    sent = words(count_on(address("14:03:20:06", 25), 250), 0x42)
    take = Take(sent, begins, per_word, 0.2, warp=warp)
    made = record([take], int(249.4 * per_word), 48000)
    return Case(
        name,
        made,
        allowed=frozenset(["off_speed"]),
        position_tolerance=0.3 + 1.5 * bend(take),
        clock_ppm=None,
        judge_rate=False,
        speed=None,
    )


def gathering_speed(name, slowest) -> Case:
    """Tape that starts at `slowest` of its speed and reaches all of it in five seconds."""
    per_word, begins = 1920.0, -700.3
    # Speed grows evenly with the tape that has passed, `ramp` of it: the time is a logarithm.
    ramp = 240_000.0 * slowest
    steepness = (1 - slowest) / slowest

    def warp(places):
        grown = np.clip(steepness * places / ramp, -0.9, steepness)
        timed = ramp / (1 - slowest) * np.log1p(grown)
        return np.where(places > ramp, timed + places - ramp, timed)

    sent = words(count_on(address("14:03:20:06", 25), 250), 0x42)
    take = Take(sent, begins, per_word, 0.2, warp=warp)
    length = int(warp(np.array([begins + 249.4 * per_word]))[0])
    made = record([take], length, 48000)
    return Case(
        name,
        made,
        findings=[Expected("off_speed")],
        position_tolerance=0.3 + 1.5 * bend(take),
        clock_ppm=None,
        judge_rate=False,
        speed=None,
    )


def surroundings() -> list:
    makers = []
    for channel, channels in ((1, 2), (3, 8), (63, 64)):
        name = f"code in channel {channel} of {channels}"
        makers.append((name, partial(beside_other_sound, name, channel, channels)))
    makers.append(("code clipped by 20 dB", partial(clipped, "code clipped by 20 dB")))
    for snr_db, hum in ((40, 0.0), (30, 0.0), (25, 0.0), (None, 0.1), (30, 0.1)):
        name = f"noise {snr_db} dB under the code, hum {hum}"
        makers.append((name, partial(noisy, name, snr_db, hum)))
    for share, hertz in ((0.003, 10), (0.03, 0.5), (0.03, 4), (0.03, 12)):
        name = f"flutter of {share} at {hertz} Hz"
        makers.append((name, partial(fluttering, name, share, hertz)))
    for slowest in (0.25, 0.5, 0.9):
        name = f"speed grows from {slowest}"
        makers.append((name, partial(gathering_speed, name, slowest)))
    for rate in RATES:
        for sample_rate in (44100, 48000, 96000):
            name = f"unfiltered edges {rate} {sample_rate}"
            makers.append((name, partial(unfiltered, name, rate, sample_rate)))
    return makers


def all_cases() -> list:
    parts = (grid, speeds, rolls, beginnings, breaks, counting, clocks, stamps, surroundings)
    return [named for part in parts for named in part()]


def main() -> None:
    wanted = [argument for argument in sys.argv[1:] if not argument.startswith("--")]
    cases = [(n, make) for n, make in all_cases() if all(word in n for word in wanted)]
    if "--list" in sys.argv:
        print("\n".join(name for name, _ in cases))
        return
    self_check(grid_case("the judge", "25", False, 48000, "s24", -18))
    tally = Tally()
    run_cases([make for _, make in cases], tally)
    tally.finish()


if __name__ == "__main__":
    main()
