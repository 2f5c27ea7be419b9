"""Stamped copies of WAVs, against programs outside the project.

FFmpeg and libsndfile write the originals, in every sample format, with bext and iXML or without,
with chunks that nobody knows before and after the sound, as WAV and RF64. The example program
`stamp` of plumbline-media copies them. ffprobe, wavinfo and libsndfile say what stands in the
copies; FFmpeg's MD5 of the sound and a walk through the chunks by the rules of EBU Tech 3285 and
3306 say whether everything else is as it was, byte for byte.

    python stamped.py                needs numpy, soundfile, wavinfo; ffmpeg and ffprobe
    python stamped.py --long         also an original of 5 GB and one just short of 4 GiB, copied
                                     whole, and how much memory that takes
"""

from __future__ import annotations

import json
import os
import struct
import subprocess
import sys
import tempfile
import time
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import numpy as np
import soundfile
from wavinfo import WavInfoReader

from media_files import ROOT, Tally, run

RATE = 48_000
FRAMES = 4_801
# 10:00:00:00 at 25; the first whose count passes 32 bits at 96 kHz (EBU Tech 3285 clause 2.3).
STARTS = (1_728_000_000, 8_294_396_160)
# FFmpeg's name, libsndfile's, and what libsndfile gives every sample of it as.
ENCODINGS = {
    "u8": ("pcm_u8", "PCM_U8", "int16"),
    "s16": ("pcm_s16le", "PCM_16", "int16"),
    "s24": ("pcm_s24le", "PCM_24", "int32"),
    "s32": ("pcm_s32le", "PCM_32", "int32"),
    "f32": ("pcm_f32le", "FLOAT", "float32"),
    "f64": ("pcm_f64le", "DOUBLE", "float64"),
}
IXML = b"""<?xml version="1.0" encoding="UTF-8"?>
<BWFXML>
  <PROJECT>Salt &amp; Tide</PROJECT>
  <SCENE>12B</SCENE>
  <SPEED>
    <TIMECODE_RATE>24/1</TIMECODE_RATE>
    <TIMECODE_FLAG>NDF</TIMECODE_FLAG>
    <TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>0</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>
    <TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>99</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>
    <TIMESTAMP_SAMPLE_RATE>48000</TIMESTAMP_SAMPLE_RATE>
  </SPEED>
  <TRACK_LIST>
    <TRACK_COUNT>2</TRACK_COUNT>
    <TRACK><CHANNEL_INDEX>1</CHANNEL_INDEX><INTERLEAVE_INDEX>1</INTERLEAVE_INDEX><NAME>Boom</NAME></TRACK>
    <TRACK><CHANNEL_INDEX>2</CHANNEL_INDEX><INTERLEAVE_INDEX>2</INTERLEAVE_INDEX><NAME>Code</NAME></TRACK>
  </TRACK_LIST>
</BWFXML>
"""
# No more than so many bytes for a copy of any length.
MEMORY = 24 << 20
SEE_DS64 = 0xFFFF_FFFF


def build() -> None:
    command = ["cargo", "build", "--release", "-q", "-p", "plumbline-media", "--example", "stamp"]
    subprocess.run(command, cwd=ROOT, check=True)


def stamp(original: Path, copy: Path, *keys: str) -> tuple[dict, int]:
    """What the program says, and the most memory that it had, in bytes."""
    target = Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
    program = target / "release" / "examples" / "stamp"
    most = 0
    with subprocess.Popen([program, original, copy, *keys], stdout=subprocess.PIPE) as process:
        # What the system counts for a child begins with what this script had when it was born.
        while process.poll() is None:
            most = max(most, memory_of(process.pid))
            time.sleep(0.02)
        return json.loads(process.stdout.read()), most


def memory_of(process: int) -> int:
    """The most memory that a process has had, in bytes; 0 where the system does not tell."""
    try:
        lines = Path(f"/proc/{process}/status").read_text().splitlines()
    except OSError:
        return 0
    kilobytes = [line.split()[1] for line in lines if line.startswith("VmHWM:")]
    return int(kilobytes[0]) * 1024 if kilobytes else 0


# ---------------------------------------------------------------------------------------------
# Originals


def chunk(name: bytes, content: bytes) -> bytes:
    return name + struct.pack("<I", len(content)) + content + b"\0" * (len(content) % 2)


def chunks(file: Path) -> list[tuple[bytes, int, int]]:
    """Each chunk's name, and where its content begins and how long it is."""
    found, ds64 = [], None
    with file.open("rb") as source:
        size = source.seek(0, 2)
        at = 12
        while at + 8 <= size:
            source.seek(at)
            name, length = struct.unpack("<4sI", source.read(8))
            if name == b"ds64":
                ds64 = struct.unpack("<QQQ", source.read(24))
            if length == SEE_DS64:
                length = ds64[1]
            found.append((name, at + 8, length))
            at += 8 + length + length % 2
    return found


def contents(file: Path, leave_out: tuple[bytes, ...] = ()) -> list[tuple[bytes, bytes]]:
    with file.open("rb") as source:
        result = []
        for name, at, length in chunks(file):
            if name not in leave_out:
                source.seek(at)
                result.append((name, source.read(length)))
        return result


def content(file: Path, name: bytes) -> bytes:
    return next(found for other, found in contents(file) if other == name)


def put_in(file: Path, before: list[bytes], after: list[bytes]) -> None:
    """More chunks in a WAV, before the sound and after it."""
    whole = file.read_bytes()
    data = next(at - 8 for name, at, _ in chunks(file) if name == b"data")
    whole = whole[:data] + b"".join(before) + whole[data:] + b"".join(after)
    if whole[:4] == b"RIFF":
        whole = whole[:4] + struct.pack("<I", len(whole) - 8) + whole[8:]
    else:
        whole = whole[:20] + struct.pack("<Q", len(whole) - 8) + whole[28:]
    file.write_bytes(whole)


def noise(encoding: str, channels: int) -> np.ndarray:
    random = np.random.default_rng(channels * 7 + len(encoding))
    _, _, kind = ENCODINGS[encoding]
    if kind.startswith("float"):
        return random.uniform(-1, 1, (FRAMES, channels)).astype(kind)
    info = np.iinfo(kind)
    return random.integers(info.min, info.max, (FRAMES, channels), dtype=kind, endpoint=True)


def originals(folder: Path) -> list[Path]:
    files = []
    for encoding, (codec, subtype, _) in ENCODINGS.items():
        for channels in (1, 2, 5):
            for kind in ("WAV", "WAVEX", "RF64"):
                file = folder / f"{encoding}-{channels}-{kind.lower()}.wav"
                samples = noise(encoding, channels)
                soundfile.write(file, samples, RATE, subtype=subtype, format=kind)
                files.append(file)
            bext = folder / f"{encoding}-{channels}-bext.wav"
            command = ["ffmpeg", "-v", "error", "-i", str(files[-3]), "-c:a", codec]
            command += ["-write_bext", "1", "-metadata", "time_reference=123"]
            command += ["-metadata", "description=Ferry deck", "-metadata", "umid=0x0102"]
            command += ["-metadata", "coding_history=A=PCM,F=48000", str(bext)]
            run(*command)
            files.append(bext)
    for index, file in enumerate(files):
        # libsndfile loses its way in an RF64 with a chunk of an odd length before the sound.
        unknown = bytes(range(8 if "rf64" in file.stem else 7))
        before = [chunk(b"abcd", unknown), chunk(b"LIST", b"INFOISFT\x04\0\0\0Ours")]
        after = [chunk(b"wxyz", bytes(range(index % 40))), chunk(b"cue ", struct.pack("<I", 0))]
        if index % 2:
            before.append(chunk(b"iXML", IXML + b"\n" * (len(IXML) % 2)))
        put_in(file, before, after)
    return files


# ---------------------------------------------------------------------------------------------
# Judging


def sound(file: Path, channel: int | None = None) -> str:
    """FFmpeg's MD5 of the decoded sound, or of one of its channels."""
    only = [] if channel is None else ["-af", f"channelmap=map={channel}:channel_layout=mono"]
    codec = ["-c:a", "pcm_f64le"]
    return run("ffmpeg", "-v", "error", "-i", str(file), *only, *codec, "-f", "md5", "-").decode()


def samples(file: Path, encoding: str) -> np.ndarray:
    return soundfile.read(file, dtype=ENCODINGS[encoding][2], always_2d=True)[0]


def probe(file: Path) -> dict:
    shown = ["-show_entries", "format_tags=time_reference,description,coding_history"]
    shown += ["-show_entries", "stream=codec_name,channels,sample_rate"]
    return json.loads(run("ffprobe", "-v", "error", *shown, "-of", "json", str(file)))


def check(tally: Tally, original: Path, copy: Path, start: int, left_out: int | None) -> None:
    name = f"{original.stem} from {start}, without {left_out}"
    encoding = original.stem.split("-")[0]
    keys = [f"time-reference={start}", "rate=29.97", "drop-frame=yes"]
    if left_out is not None:
        keys.append(f"without={left_out + 1}")
    said, _ = stamp(original, copy, *keys)
    tally.same(f"{name}: remarks", said.get("remarks"), [])
    before, after = probe(original), probe(copy)
    tags = after["format"]["tags"]
    tally.same(f"{name}: time reference by ffprobe", tags.pop("time_reference"), str(start))
    kept = before["format"].get("tags", {})
    kept.pop("time_reference", None)
    tally.same(f"{name}: other tags", tags, kept)
    info = WavInfoReader(str(copy))
    tally.same(f"{name}: time reference by wavinfo", info.bext.time_reference, start)
    check_ixml(tally, name, original, copy, start, left_out)
    wanted = samples(original, encoding)
    if left_out is None:
        tally.same(f"{name}: streams", after["streams"], before["streams"])
        tally.same(f"{name}: the sound by FFmpeg", sound(copy), sound(original))
        tally.same(f"{name}: fmt", content(copy, b"fmt "), content(original, b"fmt "))
    else:
        kept = [channel for channel in range(wanted.shape[1]) if channel != left_out]
        for place, channel in enumerate(kept):
            found, expected = sound(copy, place), sound(original, channel)
            tally.same(f"{name}: channel {channel} by FFmpeg", found, expected)
        wanted = np.delete(wanted, left_out, axis=1)
    same = np.array_equal(samples(copy, encoding), wanted)
    tally.same(f"{name}: the sound by libsndfile", same, True)
    check_chunks(tally, name, original, copy, left_out)


def check_ixml(tally, name, original: Path, copy: Path, start: int, left_out: int | None) -> None:
    root = ElementTree.fromstring(content(copy, b"iXML").rstrip(b"\0"))
    speed = {child.tag: child.text for child in root.find("SPEED")}
    wanted = {
        "TIMECODE_RATE": "30000/1001",
        "TIMECODE_FLAG": "DF",
        "TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI": str(start >> 32),
        "TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO": str(start & 0xFFFF_FFFF),
        "TIMESTAMP_SAMPLE_RATE": str(RATE),
    }
    tally.same(f"{name}: SPEED", speed, wanted)
    if all(other != b"iXML" for other, _ in contents(original)):
        return
    # Every line but those of the start, and of the channel that is left out.
    lines = content(copy, b"iXML").splitlines()
    kept = [line for line in IXML.splitlines() if line in lines]
    changed = {0: 7, 1: 6}.get(left_out, 4)
    tally.same(f"{name}: lines of the iXML", len(kept), len(IXML.splitlines()) - changed)
    names = [track.findtext("NAME") for track in root.iter("TRACK")]
    there = [track for place, track in enumerate(["Boom", "Code"]) if place != left_out]
    tally.same(f"{name}: tracks", names, there)


def check_chunks(tally, name, original: Path, copy: Path, left_out: int | None) -> None:
    stamped = (b"iXML", b"bext", b"ds64")
    if left_out is not None:
        # libsndfile writes the channels' peaks, and looks whether there is one for each.
        stamped += (b"fmt ", b"data", b"PEAK")
    found, wanted = contents(copy, stamped), contents(original, stamped)
    tally.same(f"{name}: other chunks", found == wanted, True)
    bext = [old for other, old in contents(original) if other == b"bext"]
    if bext:
        new = content(copy, b"bext")
        same = new[:338] + new[346:] == bext[0][:338] + bext[0][346:]
        tally.same(f"{name}: bext beside the time reference", same, True)
    check_lengths(tally, name, original, copy)


def check_lengths(tally: Tally, name: str, original: Path, copy: Path) -> None:
    with copy.open("rb") as source, original.open("rb") as other:
        head = source.read(44)
        tally.same(f"{name}: kind", head[:4], other.read(4))
    size = copy.stat().st_size
    if head[:4] == b"RIFF":
        tally.same(f"{name}: RIFF's length", struct.unpack("<I", head[4:8])[0], size - 8)
    else:
        riff, data = struct.unpack("<QQ", head[20:36])
        there = next(length for found, _, length in chunks(copy) if found == b"data")
        tally.same(f"{name}: ds64", (riff, data), (size - 8, there))


def check_original(tally: Tally, original: Path, before: bytes) -> None:
    tally.same(f"{original.stem}: untouched", original.read_bytes() == before, True)


# ---------------------------------------------------------------------------------------------
# Long ones


def sparse(file: Path, data: int, kind: bytes) -> None:
    """Silence of so many bytes, two channels of 24 bits, of which the disk keeps none."""
    fmt = chunk(b"fmt ", struct.pack("<HHIIHH", 1, 2, RATE, RATE * 6, 6, 24))
    body = fmt + b"data"
    if kind == b"RF64":
        ds64 = struct.pack("<QQQI", 4 + 36 + len(body) + 4 + data, data, data // 6, 0)
        head = b"RF64\xff\xff\xff\xffWAVE" + chunk(b"ds64", ds64) + body + b"\xff" * 4
    else:
        riff = 4 + len(body) + 4 + data
        head = b"RIFF" + struct.pack("<I", riff) + b"WAVE" + body + struct.pack("<I", data)
    with file.open("wb") as out:
        out.write(head)
        # A few samples that are none of the others, far out.
        for place in (0, data // 2 // 6 * 6, data - 6):
            out.seek(len(head) + place)
            out.write(bytes([1, 2, 3, 4, 5, 6]))
        out.truncate(len(head) + data)


def check_long(tally: Tally, folder: Path) -> None:
    # The second leaves no room for bext and iXML in 32 bits.
    for kind, data in ((b"RF64", 5_000_000_004), (b"RIFF", (2**32 - 60) // 6 * 6)):
        original, copy = folder / "long.wav", folder / "copy.wav"
        sparse(original, data, kind)
        for keys, channels in (([], 2), (["without=2"], 1)):
            name = f"{kind.decode()} of {data} bytes with {channels} channels"
            said, memory = stamp(original, copy, f"time-reference={STARTS[0]}", *keys)
            print(f"{name}: {memory / 1e6:.1f} MB of memory", flush=True)
            tally.same(f"{name}: memory", memory <= MEMORY, True)
            tally.same(f"{name}: channels", said.get("channels"), channels)
            with copy.open("rb") as source:
                is_long = kind == b"RF64" or channels == 2
                tally.same(f"{name}: kind", source.read(4), b"RF64" if is_long else b"RIFF")
            info = soundfile.info(str(copy))
            found = (info.frames, info.channels, info.samplerate)
            tally.same(f"{name}: by libsndfile", found, (data // 6, channels, RATE))
            tags = probe(copy)["format"]["tags"]
            tally.same(f"{name}: by ffprobe", tags["time_reference"], str(STARTS[0]))
            for frame in (0, data // 2 // 6, data // 6 - 1):
                part = soundfile.read(copy, frames=1, start=frame, dtype="int32", always_2d=True)
                wanted = [0x030201 << 8, 0x060504 << 8][:channels]
                tally.same(f"{name}: frame {frame}", part[0][0].tolist(), wanted)
            copy.unlink()
        original.unlink()


def main() -> None:
    tally = Tally()
    build()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for number, original in enumerate(originals(folder)):
            before = original.read_bytes()
            channels = int(original.stem.split("-")[1])
            copy = folder / "copy.wav"
            check(tally, original, copy, STARTS[number % 2], None)
            copy.unlink()
            if channels > 1:
                check(tally, original, copy, STARTS[number % 2], number % channels)
                copy.unlink()
            check_original(tally, original, before)
        if "--long" in sys.argv:
            check_long(tally, folder)
    tally.finish()


if __name__ == "__main__":
    main()
