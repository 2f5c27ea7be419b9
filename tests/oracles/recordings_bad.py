"""Bad input: each file gets an object that says what is wrong and where, and the others go on.

Asked: the RIFF rules for chunks as EBU Tech 3285 clause 2 and EBU Tech 3306 lay them out. All
files stand in one call of the reader, good ones among them; then some stand alone.
"""

from __future__ import annotations

import struct
import tempfile
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from ltc_checks import Tally, build_reader, judge_frames, run_reader
from ltc_writer import (
    Recording,
    Take,
    address,
    bext,
    chunk,
    count_on,
    fmt,
    quantised,
    record,
    wav_bytes,
    words,
)

# The kinds of error that the reader knows.
EMPTY, UNKNOWN, MALFORMED, UNSUPPORTED, TRUNCATED = (
    "empty", "unknown", "malformed", "unsupported", "truncated",
)


@dataclass
class Bad:
    """A file, and what may be said of it."""

    name: str
    content: bytes
    # Kinds of error that are right; None among them: no error is right as well.
    kinds: frozenset
    # Words of which the error's text, place or remedy must hold at least one.
    speaks_of: tuple[str, ...] = ()
    # The code that must be read in spite of it.
    code: Recording | None = None
    # The code that may be read, or not.
    code_if_any: Recording | None = None
    # The finding that must be there where there is no error.
    finding: str | None = None


def kinds(*names) -> frozenset:
    return frozenset(names)


def code(seconds: float = 2.0) -> Recording:
    count = int(seconds * 25) + 2
    take = Take(words(count_on(address("14:03:20:07", 25), count), 0x25112601), -700.3, 1920.0, 0.3)
    return record([take], int(seconds * 48000), 48000)


def cut(made: Recording, samples: int) -> Recording:
    """The truth of a recording of which only the first samples are left."""
    frames = []
    for frame in made.frames:
        inside = frame.last_edge <= samples - 5
        frames.append(
            replace(
                frame,
                whole=frame.whole and inside,
                optional=frame.optional or (frame.whole and not inside and frame.last_edge < samples + 5),
            )
        )
    return Recording(made.samples[:samples], made.sample_rate, frames, made.rate, made.drop)


def riff(*chunks: bytes, size: int | None = None, form: bytes = b"RIFF") -> bytes:
    body = b"WAVE" + b"".join(chunks)
    return form + struct.pack("<I", len(body) if size is None else size) + body


def sized(name: bytes, size: int, body: bytes) -> bytes:
    """A chunk whose length says what it likes."""
    return name + struct.pack("<I", size) + body


def fmt_of(tag=1, channels=1, rate=48000, bytes_per_second=None, block=None, bits=24) -> bytes:
    block = channels * bits // 8 if block is None else block
    per_second = rate * block if bytes_per_second is None else bytes_per_second
    return struct.pack(
        "<HHIIHH", tag, channels, rate, per_second & 0xFFFFFFFF, block & 0xFFFF, bits
    )


def bad_headers(made: Recording) -> list[Bad]:
    data = quantised(made.samples, "s24")
    good_fmt = chunk(b"fmt ", fmt(48000, 1, "s24"))
    good_data = chunk(b"data", data)
    text = ("The ferry leaves at six.\n" * 400).encode()

    def with_fmt(**given) -> bytes:
        return riff(chunk(b"fmt ", fmt_of(**given)), good_data)

    fatal = kinds(MALFORMED, UNSUPPORTED)
    return [
        Bad("empty file", b"", kinds(EMPTY)),
        Bad("one byte", b"R", kinds(UNKNOWN, TRUNCATED, EMPTY)),
        Bad("eleven bytes", b"RIFF\x00\x00\x00\x00WAV", kinds(UNKNOWN, TRUNCATED, EMPTY)),
        Bad("text renamed", text, kinds(UNKNOWN)),
        Bad("a picture renamed", b"\x89PNG\r\n\x1a\n" + bytes(5000), kinds(UNKNOWN)),
        Bad("only zeros", bytes(100_000), kinds(UNKNOWN)),
        Bad("RIFF of another form", b"RIFF\x24\x00\x00\x00AVI " + bytes(32), kinds(UNKNOWN)),
        Bad("RIFF and nothing", riff(), kinds(TRUNCATED, MALFORMED, EMPTY), ("fmt", "data")),
        Bad("header only, no data chunk", riff(good_fmt), kinds(TRUNCATED, MALFORMED, EMPTY), ("data",)),
        Bad("header only, data of no length", riff(good_fmt, chunk(b"data", b"")),
            kinds(EMPTY, TRUNCATED, MALFORMED), ("data", "sound", "sample")),
        Bad("data before fmt", riff(good_data), kinds(MALFORMED, TRUNCATED), ("fmt",)),
        Bad("fmt of 4 bytes", riff(chunk(b"fmt ", bytes(4)), good_data), kinds(MALFORMED, TRUNCATED), ("fmt",)),
        Bad("fmt longer than the file", riff(sized(b"fmt ", 10**9, fmt_of()), good_data),
            kinds(MALFORMED, TRUNCATED), ("fmt",)),
        Bad("fmt of no length", riff(sized(b"fmt ", 0, b""), good_data), kinds(MALFORMED, TRUNCATED), ("fmt",)),
        Bad("zero channels", with_fmt(channels=0, block=3), fatal, ("channel",)),
        Bad("0 Hz", with_fmt(rate=0), fatal, ("Hz", "rate", "hertz", "a second")),
        Bad("4 294 967 295 Hz", with_fmt(rate=0xFFFFFFFF), fatal, ("Hz", "rate", "hertz", "a second")),
        Bad("block of no length", with_fmt(block=0), fatal, ("block", "align")),
        Bad("odd block align", with_fmt(channels=2, bits=24, block=5), fatal, ("block", "align")),
        Bad("0 bits", with_fmt(bits=0, block=3), fatal, ("bit",)),
        # 17 bits stand in three bytes, the lowest bits 0: read, or refused with a reason.
        Bad("17 bits", with_fmt(bits=17, block=3), fatal | {None}, ("bit",), code_if_any=made),
        Bad("65 535 bits", with_fmt(bits=65535, block=3), fatal, ("bit",)),
        Bad("65 535 channels", with_fmt(channels=65535, block=0xFFFD), fatal, ("channel",)),
        Bad("65 channels", with_fmt(channels=65, block=195), fatal, ("channel",)),
        Bad("compressed sound", with_fmt(tag=0x55), kinds(UNSUPPORTED), ("0055", "85", "format", "compress", "coding", "MP3", "MPEG")),
        Bad("extensible without its extension", riff(chunk(b"fmt ", fmt_of(tag=0xFFFE)), good_data),
            fatal | {TRUNCATED}, ("fmt", "extensible")),
        Bad("RF64 without ds64", riff(good_fmt, sized(b"data", 0xFFFFFFFF, data), form=b"RF64"),
            fatal | {TRUNCATED, None}, ("ds64", "length"), code_if_any=made),
        Bad("ds64 that lies", riff(
            chunk(b"ds64", struct.pack("<QQQI", 2**63, 2**63 + 5, 2**62, 0xFFFFFFFF)),
            good_fmt, sized(b"data", 0xFFFFFFFF, data), form=b"RF64"),
            fatal | {TRUNCATED, None}, code=made),
    ]


def lying_lengths(made: Recording) -> list[Bad]:
    data = quantised(made.samples, "s24")
    half = made.samples.size // 2
    good_fmt = chunk(b"fmt ", fmt(48000, 1, "s24"))
    odd = quantised(made.samples, "s24")[: 3 * half + 2]
    cut_off = kinds(TRUNCATED, None)
    lies = kinds(TRUNCATED, MALFORMED, None)
    return [
        Bad("data cut off in the middle", riff(good_fmt, sized(b"data", len(data), data[: 3 * half])),
            cut_off, code=cut(made, half), finding="cut_off"),
        Bad("data cut off inside a sample", riff(good_fmt, sized(b"data", len(data), odd)),
            cut_off, code=cut(made, half), finding="cut_off"),
        Bad("data longer than the file by a little", riff(good_fmt, sized(b"data", len(data) + 999, data)),
            lies, code=made, finding="cut_off"),
        Bad("data of 4 GiB", riff(good_fmt, sized(b"data", 0xFFFFFFFF, data), size=0xFFFFFFFF), lies, code=made),
        Bad("data of 4 GiB less 2", riff(good_fmt, sized(b"data", 0xFFFFFFFE, data)), lies, code=made),
        Bad("data whose length says zero", riff(good_fmt, sized(b"data", 0, data), size=0),
            kinds(TRUNCATED, MALFORMED, EMPTY, None), code_if_any=made),
        Bad("RIFF whose length says zero", riff(good_fmt, chunk(b"data", data), size=0), lies, code=made),
        Bad("RIFF whose length says 4 GiB", riff(good_fmt, chunk(b"data", data), size=0xFFFFFFFF), lies, code=made),
        Bad("data no multiple of the block", riff(good_fmt, chunk(b"data", data + b"\x01")), lies, code=made),
        Bad("a chunk before data longer than the file",
            riff(good_fmt, sized(b"junk", 0xFFFFFFF0, b"x" * 20), chunk(b"data", data)),
            kinds(TRUNCATED, MALFORMED, EMPTY), ("junk", "data")),
        Bad("a chunk after data longer than the file",
            riff(good_fmt, chunk(b"data", data), sized(b"LIST", 0xFFFFFFF0, b"x" * 20)), lies, code=made),
        Bad("bytes after the end", riff(good_fmt, chunk(b"data", data)) + b"some more", lies, code=made),
    ]


def bad_metadata(made: Recording) -> list[Bad]:
    def with_chunks(*extra) -> bytes:
        return wav_bytes(made.samples, 48000, "s24", extra)

    scene = (
        b'<?xml version="1.0"?><BWFXML><IXML_VERSION>1.5</IXML_VERSION><SCENE>'
        b"&lt;script&gt;alert(1)&lt;/script&gt;</SCENE><TAKE>7</TAKE></BWFXML>"
    )
    raw_tag = b"<BWFXML><SCENE><script>alert(1)</script></SCENE></BWFXML>"
    laughs = b'<!DOCTYPE a [<!ENTITY b "ha"><!ENTITY c "' + b"&b;" * 200 + b'">' + b"".join(
        b"<!ENTITY %s \"%s\">" % (bytes([100 + n]), (b"&%s;" % bytes([99 + n])) * 200) for n in range(8)
    ) + b"]><BWFXML><SCENE>&k;</SCENE></BWFXML>"
    told = kinds(MALFORMED, None)
    return [
        Bad("iXML that is not XML", with_chunks((b"iXML", b"scene 12, take 7, nothing like XML")), told, code=made),
        Bad("iXML not closed", with_chunks((b"iXML", b"<BWFXML><SCENE>12</SCEN")), told, code=made),
        Bad("iXML of random bytes", with_chunks((b"iXML", bytes(range(256)) * 8)), told, code=made),
        Bad("iXML empty", with_chunks((b"iXML", b"")), told, code=made),
        Bad("iXML with a script in the scene", with_chunks((b"iXML", scene)), kinds(None), code=made),
        Bad("iXML with a tag in the scene", with_chunks((b"iXML", raw_tag)), told, code=made),
        Bad("iXML with entities that grow", with_chunks((b"iXML", laughs)), told, code=made),
        Bad("iXML nested deep", with_chunks((b"iXML", b"<a>" * 50_000 + b"</a>" * 50_000)), told, code=made),
        Bad("iXML with numbers past any range", with_chunks((b"iXML",
            b"<BWFXML><SPEED><TIMECODE_RATE>0/0</TIMECODE_RATE>"
            b"<TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>99999999999999999999</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>"
            b"<TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>-1</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>"
            b"</SPEED></BWFXML>")), told, code=made),
        Bad("bext of 10 bytes", with_chunks((b"bext", bytes(10))), told | {TRUNCATED}, code=made),
        Bad("bext of all ones", with_chunks((b"bext", b"\xff" * 602)), told, code=made),
        Bad("bext a week after midnight", with_chunks((b"bext", bext(7 * 86400 * 48000))), told, code=made),
    ]


def non_finite(made: Recording) -> Bad:
    """NaN and infinities in some samples; the codewords in which they stand may be lost."""
    samples = made.samples.copy()
    spots = {20_000: np.nan, 20_001: np.inf, 20_002: -np.inf, 50_000: np.nan}
    for spot, value in spots.items():
        samples[spot] = value
    frames = []
    for frame in made.frames:
        hit = any(frame.first_edge - 5 <= spot <= frame.last_edge + 5 for spot in spots)
        frames.append(replace(frame, whole=frame.whole and not hit, optional=frame.optional or hit))
    truth = Recording(samples, made.sample_rate, frames, made.rate, made.drop)
    content = wav_bytes(samples, 48000, "f32")
    return Bad("NaN and infinite samples", content, kinds(MALFORMED, None), code=truth)


def judged(bad: Bad, report: dict) -> list[str]:
    said = []
    error = report.get("error")
    if error is None:
        if None not in bad.kinds:
            said.append("no error is reported")
    else:
        said += judged_error(bad, error)
    if bad.code is not None:
        said += judged_code(bad.code, bad.finding, report)
    elif report["codes"] and bad.code_if_any is not None:
        said += judged_code(bad.code_if_any, None, report)
    elif report["codes"]:
        said.append("code is reported where there can be none")
    return said


def judged_error(bad: Bad, error: dict) -> list[str]:
    said = []
    if error["kind"] not in bad.kinds:
        right = " or ".join(sorted(kind for kind in bad.kinds if kind))
        said.append(f"kind {error['kind']}, and {right or 'no error'} is right: {error['text']}")
    for key in ("text", "remedy"):
        if len(error.get(key, "").strip()) < 10:
            said.append(f"{key} says too little: {error.get(key)!r}")
    at = error.get("at")
    if at is not None and not 0 <= at <= len(bad.content):
        said.append(f"at byte {at} of a file of {len(bad.content)}")
    words_said = " ".join(str(error.get(key)) for key in ("place", "text", "remedy")).lower()
    if bad.speaks_of and not any(word.lower() in words_said for word in bad.speaks_of):
        said.append(f"does not speak of {' or '.join(bad.speaks_of)}: {error}")
    return said


def judged_code(truth: Recording, finding: str | None, report: dict) -> list[str]:
    if len(report["codes"]) != 1:
        return [f"{len(report['codes'])} channels with code, and 1 is right; error {report.get('error')}"]
    read = report["codes"][0]
    said = judge_frames(truth, read, 0.1)
    if report["samples"] != len(truth.samples):
        said.append(f"samples {report['samples']}, and {len(truth.samples)} is right")
    found = [found["kind"] for found in read["findings"]]
    if finding and finding not in found and report.get("error") is None:
        said.append(f"neither an error nor the finding {finding}")
    return said


def main() -> None:
    build_reader()
    made = code()
    cases = [*bad_headers(made), *lying_lengths(made), *bad_metadata(made), non_finite(made)]
    good = Bad("a good file", wav_bytes(made.samples, 48000, "s24"), kinds(None), code=made)
    mixed = [good]
    for case in cases:
        mixed += [case, good]

    tally = Tally()
    with tempfile.TemporaryDirectory(prefix="plumbline-") as folder:
        files = []
        for number, case in enumerate(mixed):
            file = Path(folder) / f"{number:03}.wav"
            file.write_bytes(case.content)
            files.append(file)
        missing = Path(folder) / "not there.wav"
        reports, status, errors = run_reader([*files, missing])
        said = []
        if len(reports) != len(mixed) + 1:
            said.append(f"{len(reports)} objects for {len(mixed) + 1} files; stderr: {errors}")
        if status != 1:
            said.append(f"exit status {status}, and 1 is right; stderr: {errors}")
        for file, report in zip([*files, missing], reports):
            if Path(report["file"]).name != file.name:
                said.append(f"{report['file']} stands where {file.name} should")
        tally.case("all files in one call", said)
        if len(reports) == len(mixed) + 1:
            for case, report in zip(mixed, reports):
                tally.case(case.name, judged(case, report))
            told = reports[-1].get("error", {}).get("kind")
            tally.case("a file that is not there", [] if told == "source" else [f"kind {told}"])
        _, status, errors = run_reader(files[:1])
        tally.case("a good file alone", [] if status == 0 else [f"exit status {status}: {errors}"])
        alone(tally, cases, files)
    tally.finish()


def alone(tally: Tally, cases: list[Bad], files: list[Path]) -> None:
    """Each file that crashes or upsets the call is found by asking for it alone."""
    for case, file in zip(cases, files[1::2]):
        if None in case.kinds:
            continue
        reports, status, errors = run_reader([file])
        right = len(reports) == 1 and status == 1 and "panicked" not in errors
        tally.case(
            f"{case.name}, alone",
            [] if right else [f"exit status {status}, {len(reports)} objects; stderr: {errors}"],
        )


if __name__ == "__main__":
    main()
