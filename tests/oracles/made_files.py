"""Files that Make writes, against documents and programs outside the project.

Each file comes from the example program `make` of plumbline-tone. ffprobe, wavinfo and libsndfile
say what stands in it; what should stand in it is worked out here, from EBU Tech 3285 (bext) and
3306 (RF64), the iXML specification and, in `asked_tone.py`, the standards of timecode. Every
codeword is read from the sound by the naive reader and compared bit for bit with the naive
writer's.

    python made_files.py [WORD …]    only cases with all these words
    python made_files.py --long      also a file past 4 GiB and one of a day, both written whole
"""

from __future__ import annotations

import json
import multiprocessing
import os
import struct
import subprocess
import sys
import tempfile
from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path

import numpy as np
import soundfile
from wavinfo import WavInfoReader

from asked_tone import HIGH, ZONES, Asked
from ltc_checks import ROOT, Tally, expect
from ltc_reader import read
from ltc_writer import RATES, Take, Word, amplitude, quantised, record, spoiled

# Of each: libsndfile's name, FFmpeg's codec, bits.
SAMPLES = {
    "16": ("PCM_16", "pcm_s16le", 16),
    "24": ("PCM_24", "pcm_s24le", 24),
    "float": ("FLOAT", "pcm_f32le", 32),
}
# EBU R 68: the level of a line-up tone.
LINE_UP = amplitude(-18)

# ---------------------------------------------------------------------------------------------
# Making


def build() -> None:
    command = ["cargo", "build", "--release", "-q", "-p", "plumbline-tone", "--example", "make"]
    subprocess.run(command, cwd=ROOT, check=True)


def make_command(settings: list[str]) -> list[str]:
    target = Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
    return [str(target / "release" / "examples" / "make"), *settings]


def make(asked: Asked, file: Path) -> list[str]:
    with file.open("wb") as out:
        done = subprocess.run(make_command(asked.settings()), stdout=out, stderr=subprocess.PIPE)
    if done.returncode == 0:
        return []
    return [f"not made: {done.stderr.decode(errors='replace')}", " ".join(asked.settings())]


# ---------------------------------------------------------------------------------------------
# Judging the header


def chunks(file: Path) -> dict[bytes, tuple[int, int]]:
    """Where each chunk's content is, and its length, by EBU Tech 3285 and 3306 alone."""
    found = {}
    with file.open("rb") as content:
        form, length, kind = struct.unpack("<4sI4s", content.read(12))
        assert kind == b"WAVE" and form in (b"RIFF", b"RF64"), (form, kind)
        found[form] = (0, length)
        while len(head := content.read(8)) == 8:
            name, length = struct.unpack("<4sI", head)
            if name == b"ds64":
                sizes = struct.unpack("<QQQ", content.read(24))
                found[b"RF64"] = (0, sizes[0])
                content.seek(-24, os.SEEK_CUR)
            if name == b"data" and length == 0xFFFFFFFF:
                length = sizes[1]
            found[name] = (content.tell(), length)
            content.seek(length + length % 2, os.SEEK_CUR)
    return found


def judge_chunks(asked: Asked, file: Path) -> list[str]:
    found = chunks(file)
    size = file.stat().st_size
    channels = 1 if asked.beside == "nothing" else 2
    data = asked.sample_frames() * channels * SAMPLES[asked.samples][2] // 8
    form = b"RIFF" if size - 8 < 2**32 - 1 else b"RF64"
    if form not in found:
        return [f"{size} bytes, and it is no {form.decode()}"]
    before, length = found[b"data"]
    odd = [name for name, (_, length) in found.items() if name != b"data" and length % 2]
    return [
        expect("length of the form", found[form][1], size - 8),
        expect("length of data", length, data),
        expect("length of the file", size, before + data + data % 2),
        # Not every reader pads a chunk of an odd length as RIFF has it.
        expect("odd chunks", odd, []),
    ]


def probe(file: Path) -> dict:
    entries = "format_tags:stream=codec_name,sample_rate,channels,duration_ts"
    command = ["ffprobe", "-v", "error", "-of", "json", "-show_entries", entries, str(file)]
    return json.loads(subprocess.run(command, stdout=subprocess.PIPE, check=True).stdout)


def judge_programs(asked: Asked, file: Path) -> list[str]:
    """What ffprobe, libsndfile and wavinfo make of it."""
    subtype, codec, bits = SAMPLES[asked.samples]
    channels = 1 if asked.beside == "nothing" else 2
    frames = asked.sample_frames()
    found = probe(file)
    stream, tags = found["streams"][0], found["format"]["tags"]
    got = (stream["codec_name"], stream["sample_rate"], stream["channels"], stream["duration_ts"])
    said = [expect("ffprobe", got, (codec, str(asked.sample_rate), channels, frames))]
    info = soundfile.info(file)
    form = "WAV" if file.stat().st_size - 8 < 2**32 - 1 else "RF64"
    got = (info.format, info.subtype, info.samplerate, info.channels, info.frames)
    said.append(expect("libsndfile", got, (form, subtype, asked.sample_rate, channels, frames)))
    reader = WavInfoReader(str(file))
    fmt = (reader.fmt.channel_count, reader.fmt.sample_rate, reader.fmt.bits_per_sample)
    said.append(expect("wavinfo", fmt, (channels, asked.sample_rate, bits)))
    said += judge_bext(asked, tags, reader.bext.to_dict())
    said += judge_ixml(asked, reader.ixml.parsed, reader.bext.time_reference)
    return said


def judge_bext(asked: Asked, tags: dict, bext: dict) -> list[str]:
    """EBU Tech 3285 clause 2.3."""
    time = bext["time_reference"]
    ends = (asked.frame(0), asked.frame(asked.numbers()[-1][-1]))
    said = [
        # The nearest whole sample; half-way either is.
        "" if abs(time - asked.time_reference()) <= Fraction(1, 2)
        else f"time reference {time}, and {float(asked.time_reference()):.3f} is right",
        expect("time reference by ffprobe", tags.get("time_reference"), str(time)),
        expect("originator", (bext["originator"], tags.get("encoded_by")), ("Plumbline",) * 2),
        expect("description by ffprobe", tags.get("comment"), bext["description"]),
    ]
    text = bext["description"]
    said += [f"{end} is not in {text!r}" for end in ends if end not in text]
    if not text.isascii():
        said.append(f"description {text!r} is not ASCII")
    return said


def judge_ixml(asked: Asked, root, time_reference: int) -> list[str]:
    """The iXML specification: what it says is what bext, fmt and the code say."""
    rate = asked.code_rate()
    speed = {
        "TIMECODE_RATE": f"{rate.numerator}/{rate.denominator}",
        "MASTER_SPEED": f"{rate.numerator}/{rate.denominator}",
        "CURRENT_SPEED": f"{rate.numerator}/{rate.denominator}",
        "TIMECODE_FLAG": "DF" if asked.drop else "NDF",
        "FILE_SAMPLE_RATE": str(asked.sample_rate),
        "DIGITIZER_SAMPLE_RATE": str(asked.sample_rate),
        "TIMESTAMP_SAMPLE_RATE": str(asked.sample_rate),
        "AUDIO_BIT_DEPTH": str(SAMPLES[asked.samples][2]),
        "TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI": str(time_reference >> 32),
        "TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO": str(time_reference & 0xFFFFFFFF),
    }
    said = [
        expect(f"iXML {name}", root.findtext(f"SPEED/{name}"), value)
        for name, value in speed.items()
    ]
    said.append(expect("iXML UBITS", root.findtext("UBITS"), f"{asked.first_user_bits():08X}"))
    channels = 1 if asked.beside == "nothing" else 2
    said.append(expect("iXML TRACK_COUNT", root.findtext("TRACK_LIST/TRACK_COUNT"), str(channels)))
    tracks = root.findall("TRACK_LIST/TRACK")
    indexes = [track.findtext("INTERLEAVE_INDEX") for track in tracks]
    said.append(expect("iXML tracks", indexes, [str(n + 1) for n in range(channels)]))
    if not all(track.findtext("NAME") for track in tracks):
        said.append("a track in the iXML has no name")
    leaves = [element for element in root.iter() if not len(element)]
    empty = [leaf.tag for leaf in leaves if not (leaf.text or "").strip()]
    said.append(expect("empty elements", empty, []))
    return said


# ---------------------------------------------------------------------------------------------
# Judging the sound


def judge_code(asked: Asked, sound: np.ndarray) -> list[str]:
    """Every codeword, bit for bit and in its place; and nothing else."""
    level = amplitude(float(asked.level))
    peak = np.abs(sound).max()
    # 0.45 dB is the 5 % of IEC 60461 clause 8.6.
    said = [] if abs(20 * np.log10(peak / level)) < 0.45 else [f"peak {peak}, and {level} is right"]
    runs = read(sound, float(asked.per_word() / 80), level)
    takes = asked.numbers()
    # Takes without silence between them are heard as one.
    if asked.gap() == 0:
        takes = [[number for take in takes for number in take]]
    said.append(expect("takes heard", len(runs), len(takes)))
    for number, (run, on) in enumerate(zip(runs, takes)):
        said += [f"take {number}: {complaint}" for complaint in run.complaints]
        upright = asked.polarity == "upright"
        said.append(expect(f"first edge of take {number} rises", run.upright, upright))
        said.append(expect(f"codewords of take {number}", len(run.words), len(on)))
        begins = asked.take_begins(number)
        for n, (word, right) in enumerate(zip(run.words, on)):
            name = f"codeword {n} of take {number}"
            if word.bits != asked.bits(right):
                said.append(f"{name} is not {asked.code(right)}: {word.bits}")
            place = float(begins + n * asked.per_word())
            # Half the height of the first edge of all stands at the very first sample.
            if abs(word.begins - place) > (0.1 if place else 0.6):
                said.append(f"{name} begins at {word.begins:.3f}, and {place:.3f} is right")
        ends = float(begins + len(on) * asked.per_word())
        if abs(run.ends - ends) > 1:
            said.append(f"take {number} ends at {run.ends:.2f}, {ends:.2f} is right")
    return said


def judge_beside(asked: Asked, sound: np.ndarray) -> list[str]:
    """The second channel."""
    if asked.beside == "silence":
        return [] if not sound.any() else ["the second channel is not silent"]
    right = np.zeros(len(sound), bool)
    for take, on in enumerate(asked.numbers()):
        begins = asked.take_begins(take)
        if asked.beside == "line-up":
            spans = [(begins, begins + len(on) * asked.per_word())]
        else:
            spans = seconds(asked, begins, on)
        for begin, end in spans:
            right[-int(-begin // 1) : -int(-end // 1)] = True
    said = []
    if np.abs(sound[~right]).max(initial=0.0) > 1e-6:
        place = int(np.flatnonzero(~right & (sound != 0))[0])
        said.append(f"the second channel is heard at sample {place}, where it should be silent")
    heard = sound[right]
    # A sine's root mean square; edges of a blip may be rounded.
    rms = np.sqrt(np.mean(heard**2))
    if not 0.85 < rms / (LINE_UP / np.sqrt(2)) < 1.01:
        said.append(f"the second channel's rms is {rms}, {LINE_UP / np.sqrt(2)} is right")
    first = np.flatnonzero(right)[0]
    length = int(np.flatnonzero(np.diff(np.append(right[first:], False).astype(int)) == -1)[0]) + 1
    said += judge_pitch(sound[first : first + length], asked.sample_rate)
    return said


def seconds(asked: Asked, begins: Fraction, on: list[int]) -> list[tuple[Fraction, Fraction]]:
    """The first frame of each second of the address: where it begins and ends."""
    frame = asked.per_word() / asked.high()[2]
    spans = []
    for n, number in enumerate(on):
        at = asked.code(number)
        # Drop-frame omits the first two numbers of most minutes (IEC 60461 clause 4.2.3).
        first = 2 if asked.drop and at.seconds == 0 and at.minutes % 10 else 0
        if at.frames == first:
            place = begins + n * asked.per_word()
            spans.append((place, place + frame))
    return spans


def judge_pitch(heard: np.ndarray, sample_rate: int) -> list[str]:
    size = 1 << 20
    spectrum = np.abs(np.fft.rfft(heard * np.hanning(len(heard)), size))
    hertz = spectrum.argmax() * sample_rate / size
    # How well so short a sound tells its pitch.
    allowed = max(0.5, 0.02 * sample_rate / len(heard))
    return [] if abs(hertz - 1000) <= allowed else [f"the second channel has {hertz:.2f} Hz"]


def judge(asked: Asked) -> list[str]:
    with tempfile.TemporaryDirectory(prefix="plumbline-") as folder:
        file = Path(folder) / "made.wav"
        return make(asked, file) or judge_file(asked, file)


def judge_file(asked: Asked, file: Path) -> list[str]:
    said = judge_chunks(asked, file) + judge_programs(asked, file)
    sound, _ = soundfile.read(file, dtype="float64", always_2d=True)
    said += judge_code(asked, sound[:, 0])
    if asked.beside != "nothing" and sound.shape[1] == 2:
        said += judge_beside(asked, sound[:, 1])
    return [complaint for complaint in said if complaint]


def judge_the_judge(asked: Asked) -> list[str]:
    """A file is not taken for one that was asked for otherwise, whatever was."""
    otherwise = {
        "rate": "29.97", "drop": False, "first": "23:59:58;28", "codewords": 39, "takes": 1,
        "silence": "1.5", "jump": 9, "sample_rate": 48000, "samples": "24", "level": "-17.5",
        "polarity": "inverted", "beside": "silence", "bgf": (0, 0, 0), "day": date(2026, 12, 30),
        "zone": "+01:00", "colour": False,
    }
    said = []
    with tempfile.TemporaryDirectory(prefix="plumbline-") as folder:
        file = Path(folder) / "made.wav"
        said += make(asked, file) or judge_file(asked, file)
        for name, value in otherwise.items():
            other = replace(asked, **{name: value})
            if name == "drop":
                other.first = asked.first.replace(";", ":")
            if not judge_file(other, file):
                said.append(f"the judge does not see that {name} was not {value}")
    return said


# ---------------------------------------------------------------------------------------------
# Cases


def contents() -> list[dict]:
    """User bits of every kind, and the flags that go with them (SMPTE ST 12-1 table 1)."""

    def kind(user_bits_are: str, **rest: str) -> dict[str, str]:
        return {"user_bits_are": user_bits_are, **rest}

    def stamped(zone: str, clock: str, bgf: tuple[int, int, int], day: date) -> dict:
        content = kind("date-and-zone", date=day.isoformat(), zone=zone, clock_time=clock)
        return {"content": content, "day": day, "zone": zone, "bgf": bgf}

    dated = {"date": "2026-11-25", "spare": "01"}
    return [
        {"content": kind("hex", user_bits="25112601"), "user_bits": 0x25112601},
        {"content": kind("hex", user_bits="FEDCBA98", clock_time="yes"), "user_bits": 0xFEDCBA98,
         "bgf": (0, 1, 0)},
        {"content": kind("day-month-year", **dated), "user_bits": 0x25112601},
        {"content": kind("month-day-year", **dated), "user_bits": 0x11252601},
        {"content": kind("year-month-day", **dated), "user_bits": 0x26112501},
        # The first character stands in groups 7 and 8, its low half in 7 (SMPTE ST 12-1 clause
        # 8.4.2): S Y N C is 53 59 4E 43 in ISO 646.
        {"content": kind("characters", characters="SYNC"), "user_bits": 0x53594E43,
         "bgf": (0, 0, 1)},
        stamped("+02:00", "no", (1, 0, 0), date(2026, 12, 31)),
        stamped("-03:30", "yes", (1, 1, 0), date(2028, 2, 28)),
        stamped("+12:45", "no", (1, 0, 0), date(2027, 4, 30)),
        stamped("+05:30", "no", (1, 0, 0), date(2026, 10, 10)),
    ]


SAMPLE_RATES = (44100, 48000, 88200, 96000, 176400, 192000)


def spread() -> list[Asked]:
    """Every rate and counting at every sample rate; all else in turn."""
    every = contents()
    countings = [(rate, False) for rate in (*RATES, *HIGH)]
    countings += [(rate, True) for rate in ("29.97", "30", "59.94", "60", "119.88", "120")]
    cases = []
    for number, (rate, drop) in enumerate(countings):
        for step, sample_rate in enumerate(SAMPLE_RATES):
            turn = number * 7 + step
            nominal, code, span = HIGH.get(rate) or (RATES[rate][1], rate, 1)
            mark = ";" if drop else ":"
            last = nominal - span * (3 + turn % 5)
            first = ("23:59:59", "00:00:59", "12:34:58", "09:59:59")[turn % 4]
            first = f"{first}{mark}{last:02}"
            asked = Asked(rate=rate, drop=drop, first=first, sample_rate=sample_rate)
            asked.codewords = 2 * RATES[code][1] + turn % 9
            asked.samples = list(SAMPLES)[turn % 3]
            asked.level = ("-18", "-1", "-40", "-20.5", "0")[turn % 5]
            asked.polarity = ("upright", "inverted")[turn % 2]
            asked.beside = ("nothing", "silence", "line-up", "blips")[(turn + step) % 4]
            asked.until = ("length", "last")[(turn // 2) % 2]
            asked.colour = asked.base() != 24 and turn % 4 == 1
            if turn % 3 == 1:
                asked.takes, asked.silence, asked.jump = 3, "0.7", (0, 40, -7)[step % 3]
                asked.codewords //= 3
            for name, value in every[turn % len(every)].items():
                setattr(asked, name, value)
            cases.append(asked)
    return cases


def by_themselves() -> list[Asked]:
    """What the spread does not come by."""
    return [
        # Takes that follow each other at once, and jump.
        Asked(takes=4, silence="0", jump=10, codewords=30),
        Asked(rate="29.97", drop=True, first="10:00:59;20", takes=4, silence="0", codewords=7),
        # A hundred takes, each a codeword and a third of a sample later.
        Asked(rate="23.976", takes=100, silence="0.1", codewords=1, sample_rate=44100),
        # Free run: the code goes on through the silence.
        Asked(takes=3, silence="2", jump=50, codewords=25, first="23:59:58:00"),
        # A time reference past 32 bits (EBU Tech 3285 clause 2.3).
        Asked(first="23:59:59:24", codewords=30, sample_rate=96000),
        Asked(codewords=1),
        # Ten minutes, with every roll-over of drop-frame in it.
        Asked(rate="29.97", drop=True, first="10:09:58;00", codewords=18_100, samples="16"),
        Asked(rate="59.94", drop=True, first="23:58:59;00", codewords=3_700, beside="blips"),
        *zones(),
    ]


# Nothing in it is as it is by default, so that all of it can be told.
JUDGED = Asked(
    rate="59.94", drop=True, first="23:59:59;40", codewords=40, takes=2, silence="1", jump=10,
    sample_rate=96000, samples="float", level="-12", beside="blips", bgf=(1, 1, 0), colour=True,
    content={"user_bits_are": "date-and-zone", "date": "2026-12-31", "zone": "+02:00",
             "clock_time": "yes"},
    day=date(2026, 12, 31), zone="+02:00",
)


def zones() -> list[Asked]:
    day = date(2026, 2, 28)
    return [
        Asked(first="23:59:59:20", codewords=12, day=day, zone=zone, bgf=(1, 0, 0),
              content={"user_bits_are": "date-and-zone", "date": day.isoformat(), "zone": zone})
        for zone in ZONES
    ]


# ---------------------------------------------------------------------------------------------
# Past 4 GiB


def header_of(asked: Asked) -> bytes:
    """The first bytes of a file of which nothing more is wanted."""
    with subprocess.Popen(
        make_command(asked.settings()), stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
    ) as making:
        begins = making.stdout.read(65536)
        making.stdout.close()
        making.terminate()
    return begins[: begins.index(b"data") + 8]


def judge_long_header(asked: Asked) -> list[str]:
    """A file with a hole in it: its header and its length are real, its samples take no room."""
    channels = 1 if asked.beside == "nothing" else 2
    data = asked.sample_frames() * channels * SAMPLES[asked.samples][2] // 8
    with tempfile.TemporaryDirectory(prefix="plumbline-") as folder:
        file = Path(folder) / "hole.wav"
        header = header_of(asked)
        file.write_bytes(header)
        os.truncate(file, len(header) + data + data % 2)
        said = judge_chunks(asked, file) + judge_programs(asked, file)
    return said


def long_headers() -> list[Asked]:
    """To both sides of 4 GiB, and far past it."""
    around = 2**32 // 5760
    return [
        Asked(codewords=around - 1),
        Asked(codewords=around + 1),
        Asked(codewords=2_160_000 - 1, first="00:00:00:01", beside="silence", sample_rate=192000,
              samples="float"),
        Asked(rate="29.97", drop=True, first="12:00:00;00", codewords=1_294_704, beside="line-up"),
    ]


def long_files() -> list[Asked]:
    return [
        Asked(codewords=75_000, beside="line-up", sample_rate=192000, samples="float"),
        Asked(codewords=2_160_000, first="00:00:00:00", sample_rate=44100, samples="16"),
    ]


def judge_long(asked: Asked) -> list[str]:
    """Written whole; a minute is read every ten, and the last one."""
    with tempfile.TemporaryDirectory(prefix="plumbline-") as folder:
        file = Path(folder) / "long.wav"
        said = make(asked, file)
        if not said:
            said += judge_chunks(asked, file) + judge_programs(asked, file)
            minute = 60 * asked.base()
            last = asked.codewords - minute
            for first in (*range(0, last, 10 * minute), last):
                said += judge_minute(asked, file, first, minute)
    return said


def judge_minute(asked: Asked, file: Path, first: int, minute: int) -> list[str]:
    """The codewords from that number on, where they are to begin at a whole sample."""
    begins, length = first * asked.per_word(), minute * asked.per_word()
    assert begins.denominator == length.denominator == 1
    sound, _ = soundfile.read(
        file, dtype="float64", always_2d=True, start=int(begins), frames=int(length)
    )
    runs = read(sound[:, 0], float(asked.per_word() / 80), amplitude(float(asked.level)))
    heard = [word for run in runs for word in run.words]
    said = [expect(f"codewords from number {first} on", len(heard), minute)]
    for n, word in enumerate(heard):
        if word.bits != asked.bits(first + n):
            said.append(f"codeword {first + n} is not {asked.code(first + n)}: {word.bits}")
        # The first edge was cut through.
        if n and abs(word.begins - float(n * asked.per_word())) > 0.1:
            said.append(f"codeword {first + n} is {word.begins:.3f} samples after number {first}")
    return said


# ---------------------------------------------------------------------------------------------
# Reading back


def judge_read_back(asked: Asked) -> list[str]:
    """Our own file and the naive writer's sound in it are as asked; spoiled ones are not."""
    with tempfile.TemporaryDirectory(prefix="plumbline-") as folder:
        file = Path(folder) / "made.wav"
        if said := make(asked, file):
            return said
        header = file.read_bytes()[: chunks(file)[b"data"][0]]
        (on,) = asked.numbers()
        words = [Word(asked.bits(n), asked.code(n), asked.user_bits, asked.drop) for n in on]
        later = words[1:] + [Word(asked.bits(len(on)), asked.code(len(on)), 0, asked.drop)]
        middle = len(words) // 2
        flipped = [
            [*words[:middle], spoiled(words[middle], bit), *words[middle + 1 :]]
            for bit in (0, 4, 10, 27, 47, 59, 63, 70)
        ]
        whole = header + by_the_naive_writer(asked, words)
        shorter = replace(asked, codewords=asked.codewords - 1)
        return [
            expect("our own file", read_back(asked, file.read_bytes()), 0),
            expect("the naive writer's sound", read_back(asked, whole), 0),
            *(
                expect("with a wrong bit", read_back(asked, header + sound), 1)
                for sound in (by_the_naive_writer(asked, wrong) for wrong in flipped)
            ),
            expect("a frame late", read_back(asked, header + by_the_naive_writer(asked, later)), 1),
            expect("cut short", read_back(asked, whole[: -len(whole) // 10]), 1),
            expect("a codeword too long", read_back(shorter, whole), 1),
        ]


def by_the_naive_writer(asked: Asked, words: list[Word]) -> bytes:
    level = amplitude(float(asked.level))
    take = Take(words, 0.0, float(asked.per_word()), level)
    sound = record([take], asked.sample_frames(), asked.sample_rate).samples
    depth = {"16": "s16", "24": "s24", "float": "f32"}[asked.samples]
    return quantised(sound, depth)


def read_back(asked: Asked, file: bytes) -> int:
    command = make_command([*asked.settings(), "read-back"])
    return subprocess.run(command, input=file, stdout=subprocess.DEVNULL).returncode


def to_be_read_back() -> list[Asked]:
    return [
        Asked(first="23:59:58:00", user_bits=0x25112601, codewords=60,
              content={"user_bits": "25112601"}),
        Asked(rate="29.97", drop=True, first="00:00:59;00", codewords=60, samples="16"),
        Asked(rate="23.976", codewords=50, samples="float", sample_rate=44100),
        Asked(rate="60", codewords=50, sample_rate=96000),
    ]


# ---------------------------------------------------------------------------------------------
# What can't be made


WRONG = [
    # No drop-frame but at 30 and its multiples (IEC 60461 clauses 5.2 and 6.2).
    ("counting", ["rate=25", "counting=drop"]),
    ("counting", ["rate=24", "counting=drop"]),
    ("counting", ["rate=50", "counting=drop"]),
    # Numbers that drop-frame omits (IEC 60461 clause 4.2.3).
    ("start", ["rate=29.97", "counting=drop", "start=00:01:00;00"]),
    ("start", ["rate=59.94", "counting=drop", "start=00:01:00;02"]),
    ("start", ["rate=25", "start=10:00:00:25"]),
    ("start", ["rate=25", "start=24:00:00:00"]),
    # Inside a codeword, which spans two frames (IEC 60461 clause 8.5).
    ("start", ["rate=50", "start=10:00:00:01"]),
    ("length", ["length=200 h"]),
    ("level", ["level=3"]),
    # SMPTE ST 309 table 2 has no code for a quarter of an hour but one.
    ("zone", ["user_bits_are=date-and-zone", "date=2026-10-10", "zone=+05:45"]),
    ("characters", ["user_bits_are=characters", "characters=SYN"]),
    # IEC 60461 table 1: 011 is reserved.
    ("clock_time", ["user_bits_are=characters", "characters=SYNC", "clock_time=yes"]),
    # No such flag at 24 (IEC 60461 table 3).
    ("colour_frame", ["rate=24", "colour_frame=set"]),
    ("date", ["user_bits_are=day-month-year", "date=2026-02-29"]),
    ("takes", ["takes=0"]),
]


def judge_wrong(case: tuple[str, list[str]]) -> list[str]:
    """Nothing is made, and the field is named."""
    name, settings = case
    done = subprocess.run(make_command(settings), capture_output=True)
    said = [expect("bytes", len(done.stdout), 0)]
    if done.returncode == 0:
        said.append("it was made")
    if name not in done.stderr.decode():
        said.append(f"{name} is not named: {done.stderr.decode(errors='replace')}")
    return said


# ---------------------------------------------------------------------------------------------


def main() -> None:
    cases = [(judge, asked.name(), asked) for asked in spread() + by_themselves()]
    cases += [(judge_long_header, "header " + asked.name(), asked) for asked in long_headers()]
    cases += [(judge_read_back, "read back " + asked.name(), asked) for asked in to_be_read_back()]
    cases += [(judge_wrong, "wrong " + " ".join(case[1]), case) for case in WRONG]
    cases.append((judge_the_judge, "the judge", JUDGED))
    if "--long" in sys.argv:
        cases += [(judge_long, "long " + asked.name(), asked) for asked in long_files()]
    wanted = [word for word in sys.argv[1:] if word != "--long"]
    cases = [case for case in cases if all(word in case[1] for word in wanted)]
    build()
    tally = Tally()
    with multiprocessing.get_context("fork").Pool(2) as pool:
        for name, complaints in pool.imap(run, cases):
            tally.case(name, [complaint for complaint in complaints if complaint])
    tally.finish()


def run(case) -> tuple[str, list[str]]:
    judged, name, asked = case
    return name, judged(asked)


if __name__ == "__main__":
    main()
