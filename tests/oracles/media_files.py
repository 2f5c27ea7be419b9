"""Recordings between us and FFmpeg, libsndfile and wavinfo, both ways.

FFmpeg and libsndfile write WAV, extensible WAV and RF64 in every sample format, with bext; our
reader must give every header field and every sample. Our writer writes the same with bext and iXML;
libsndfile and FFmpeg must give every sample, wavinfo and ffprobe every field.

    python media_files.py            needs numpy, soundfile, wavinfo; ffmpeg and ffprobe

With PLUMBLINE_VENV set to a virtual environment, that one's Python is used.
"""

from __future__ import annotations

import json
import os
import struct
import subprocess
import sys
import tempfile
import zlib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def use_the_named_environment() -> None:
    named = os.environ.get("PLUMBLINE_VENV")
    if named and Path(sys.prefix).resolve() != Path(named).resolve():
        python = str(Path(named) / "bin" / "python")
        os.execv(python, [python, *sys.argv])


if __name__ == "__main__":
    use_the_named_environment()

import numpy as np
import soundfile
from wavinfo import WavInfoReader

# 23:59:59:24 at 25 frames a second, counted at 96 kHz: past 32 bits (EBU Tech 3285 clause 2.3, the
# time reference in two words).
LATE = 8_294_396_160


class Tally:
    """Counts cases; prints each failure in full as it happens."""

    def __init__(self):
        self.passed = 0
        self.failed = 0

    def same(self, name: str, found, expected) -> None:
        if found == expected:
            self.passed += 1
        else:
            self.failed += 1
            print(f"FAILED {name}\n    found    {found!r}\n    expected {expected!r}", flush=True)

    def finish(self) -> None:
        print(f"{self.passed} passed, {self.failed} failed")
        sys.exit(1 if self.failed or not self.passed else 0)


def run(*command: str, stdin: bytes | None = None) -> bytes:
    done = subprocess.run(command, input=stdin, capture_output=True, cwd=ROOT, check=False)
    if done.returncode:
        raise SystemExit(f"{' '.join(command)}\n{done.stderr.decode(errors='replace')}")
    return done.stdout


def example(name: str, *arguments: object) -> bytes:
    command = ["cargo", "run", "--release", "-q", "-p", "plumbline-media", "--example", name, "--"]
    return run(*command, *map(str, arguments))


def read_by_us(files: list[Path]) -> list[dict]:
    return [json.loads(line) for line in example("header", *files).splitlines()]


def sums(samples: np.ndarray) -> list[int]:
    """The CRC-32 of each channel as 32-bit floating point."""
    return [zlib.crc32(np.ascontiguousarray(channel, "<f4").tobytes()) for channel in samples.T]


# --- Samples that every format holds exactly, made from random bytes with a fixed seed.

FORMATS = {
    # ours: FFmpeg's codec, libsndfile's subtype, bits, numpy type of the raw samples
    "U8": ("pcm_u8", "PCM_U8", 8, None),
    "S16": ("pcm_s16le", "PCM_16", 16, "<i2"),
    "S24": ("pcm_s24le", "PCM_24", 24, None),
    "S32": ("pcm_s32le", "PCM_32", 32, "<i4"),
    "F32": ("pcm_f32le", "FLOAT", 32, "<f4"),
    "F64": ("pcm_f64le", "DOUBLE", 64, "<f8"),
}
FRAMES = 5003


def made(encoding: str, channels: int) -> tuple[np.ndarray, bytes]:
    """Samples (frames by channels, 64-bit floating point) and the same as the format's raw bytes."""
    random = np.random.default_rng([FORMATS[encoding][2], channels])
    bits = FORMATS[encoding][2]
    if encoding.startswith("F"):
        samples = random.uniform(-1.5, 1.5, (FRAMES, channels)).astype(FORMATS[encoding][3])
        return samples.astype("f8"), samples.tobytes()
    whole = random.integers(-(1 << (bits - 1)), 1 << (bits - 1), (FRAMES, channels), dtype=np.int64)
    whole[0, :], whole[1, :] = -(1 << (bits - 1)), (1 << (bits - 1)) - 1
    if encoding == "U8":
        raw = (whole + 128).astype("u1").tobytes()
    elif encoding == "S24":
        raw = whole.astype("<i4").view("u1").reshape(FRAMES, channels, 4)[:, :, :3].tobytes()
    else:
        raw = whole.astype(FORMATS[encoding][3]).tobytes()
    return whole / (1 << (bits - 1)), raw


def raw_input(encoding: str, channels: int, rate: int) -> list[str]:
    form = FORMATS[encoding][0].removeprefix("pcm_")
    return ["-f", form, "-ar", str(rate), "-ac", str(channels), "-i", "pipe:0"]


# --- What others write and we read.


def written_by_ffmpeg(folder: Path) -> list[tuple[Path, dict]]:
    cases = []
    for encoding in FORMATS:
        for channels in (1, 2, 8):
            for rf64 in ("never", "always"):
                samples, raw = made(encoding, channels)
                file = folder / f"ffmpeg-{encoding}-{channels}-{rf64}.wav"
                time_reference = LATE if rf64 == "always" else 172_800_000
                tags = {
                    "description": "Ferry, deck two",
                    "originator": "Cart mixer",
                    "originator_reference": "NO-FERRY-0007",
                    "origination_date": "2026-05-17",
                    "origination_time": "23:59:59",
                    "time_reference": str(time_reference),
                    "coding_history": f"A=PCM,F=96000,W={FORMATS[encoding][2]}",
                }
                metadata = [part for tag in tags.items() for part in ("-metadata", "=".join(tag))]
                output = ["-c:a", FORMATS[encoding][0], "-write_bext", "1", "-rf64", rf64, str(file)]
                before = ["ffmpeg", "-hide_banner", "-loglevel", "error", "-y"]
                inputs = raw_input(encoding, channels, 96_000)
                run(*before, *inputs, *metadata, *output, stdin=raw)
                expected = facts(encoding, channels, 96_000, samples)
                expected["container"] = "rf64" if rf64 == "always" else "wav"
                expected["bext"] = tags | {"time_reference": time_reference}
                cases.append((file, expected))
    return cases


def written_by_libsndfile(folder: Path) -> list[tuple[Path, dict]]:
    cases = []
    for encoding, (_, subtype, _, _) in FORMATS.items():
        for container in ("WAV", "WAVEX", "RF64"):
            for channels in (1, 2, 8):
                for rate in (8_000, 44_100, 192_000):
                    samples, _ = made(encoding, channels)
                    file = folder / f"sndfile-{encoding}-{container}-{channels}-{rate}.wav"
                    # libsndfile scales by full scale less one step, so it is handed whole numbers.
                    soundfile.write(file, for_soundfile(encoding, samples), rate, subtype, format=container)
                    expected = facts(encoding, channels, rate, samples)
                    expected["container"] = "rf64" if container == "RF64" else "wav"
                    cases.append((file, expected))
    return cases


def for_soundfile(encoding: str, samples: np.ndarray) -> np.ndarray:
    """Whole numbers at the top of 32 bits, which libsndfile only shifts; floats as they are."""
    if encoding.startswith("F"):
        return samples.astype("f4" if encoding == "F32" else "f8")
    return (samples * (1 << 31)).astype("i4")


def facts(encoding: str, channels: int, rate: int, samples: np.ndarray) -> dict:
    return {
        "encoding": encoding,
        "valid_bits": FORMATS[encoding][2],
        "channels": channels,
        "sample_rate": rate,
        "sample_frames": FRAMES,
        "problems": [],
        "crc32": sums(samples),
    }


def fewer_valid_bits(folder: Path) -> list[tuple[Path, dict]]:
    """20 bits in three bytes: FFmpeg's file with the field of the longer form set by hand."""
    samples, raw = made("S24", 8)
    file = folder / "twenty-bits.wav"
    before = ["ffmpeg", "-hide_banner", "-loglevel", "error", "-y"]
    run(*before, *raw_input("S24", 8, 48_000), "-c:a", "pcm_s24le", str(file), stdin=raw)
    content = bytearray(file.read_bytes())
    at = content.index(b"fmt ") + 8
    assert struct.unpack_from("<H", content, at)[0] == 0xFFFE, "eight channels are extensible"
    struct.pack_into("<H", content, at + 18, 20)
    file.write_bytes(content)
    return [(file, facts("S24", 8, 48_000, samples) | {"valid_bits": 20})]


def unfinished(folder: Path) -> list[tuple[Path, dict]]:
    """FFmpeg writing where it cannot seek back, as a recorder that lost power leaves it."""
    samples, raw = made("S24", 2)
    before = ["ffmpeg", "-hide_banner", "-loglevel", "error"]
    inputs = raw_input("S24", 2, 48_000)
    content = run(*before, *inputs, "-c:a", "pcm_s24le", "-f", "wav", "pipe:1", stdin=raw)
    file = folder / "unfinished.wav"
    file.write_bytes(content)
    expected = facts("S24", 2, 48_000, samples)
    del expected["problems"]
    return [(file, expected)]


def check_what_others_write(tally: Tally, folder: Path) -> None:
    cases = (
        written_by_ffmpeg(folder)
        + written_by_libsndfile(folder)
        + fewer_valid_bits(folder)
        + unfinished(folder)
    )
    reports = read_by_us([file for file, _ in cases])
    tally.same("a report a file", len(reports), len(cases))
    for (file, expected), report in zip(cases, reports):
        bext = expected.pop("bext", {})
        found = {key: report.get(key) for key in expected}
        tally.same(file.name, found, expected)
        for key, value in bext.items():
            found = (report["bext"] or {}).get(key)
            if key == "coding_history":
                found = (found or "").rstrip("\r\n")
            tally.same(f"{file.name} bext {key}", found, value)
    report = reports[-1]
    tally.same("unfinished", [problem["kind"] for problem in report["problems"]], ["truncated"])


# --- What we write and others read.


def known(frames: int, channels: int) -> np.ndarray:
    frame = np.arange(frames)[:, None]
    return (frame * 7919 + np.arange(channels)[None, :] * 104_729) % 256 / 128 - 1


def check_what_we_write(tally: Tally, folder: Path) -> None:
    for encoding, (codec, subtype, bits, _) in FORMATS.items():
        for channels in (1, 2, 8):
            name = f"ours-{encoding}-{channels}"
            file = folder / f"{name}.wav"
            example("recording", file, encoding, channels, FRAMES)
            expected = known(FRAMES, channels)
            info = soundfile.info(file)
            tally.same(f"{name} libsndfile", (info.samplerate, info.channels), (96_000, channels))
            tally.same(f"{name} subtype", info.subtype, subtype)
            found, _ = soundfile.read(file, dtype="float64", always_2d=True)
            tally.same(f"{name} samples", differing(found, expected), 0)
            decoded = run("ffmpeg", "-loglevel", "error", "-i", str(file), "-f", "f64le", "pipe:1")
            found = np.frombuffer(decoded, "<f8").reshape(-1, channels)
            tally.same(f"{name} samples by FFmpeg", differing(found, expected), 0)
            check_ffprobe(tally, name, file, codec)
            check_wavinfo(tally, name, file, channels, bits)


def differing(found: np.ndarray, expected: np.ndarray) -> int | str:
    if found.shape != expected.shape:
        return f"shape {found.shape}, not {expected.shape}"
    return int(np.count_nonzero(found != expected))


def probe(file: Path) -> dict:
    entries = ["-show_entries", "format_tags:format=duration:stream=codec_name,duration_ts"]
    return json.loads(run("ffprobe", "-v", "error", "-of", "json", *entries, str(file)))


def check_ffprobe(tally: Tally, name: str, file: Path, codec: str) -> None:
    found = probe(file)
    stream, tags = found["streams"][0], found["format"]["tags"]
    tally.same(f"{name} ffprobe", (stream["codec_name"], stream["duration_ts"]), (codec, FRAMES))
    expected = {
        "comment": "Ferry, deck two",
        "encoded_by": "Plumbline",
        "originator_reference": "NO-FERRY-0007",
        "date": "2026-05-17",
        "creation_time": "23:59:59",
        "time_reference": str(LATE),
    }
    tally.same(f"{name} ffprobe bext", {key: tags.get(key) for key in expected}, expected)


def check_wavinfo(tally: Tally, name: str, file: Path, channels: int, bits: int) -> None:
    info = WavInfoReader(str(file))
    layout = (info.fmt.channel_count, info.fmt.sample_rate, info.fmt.bits_per_sample)
    tally.same(f"{name} wavinfo fmt", layout, (channels, 96_000, bits))
    tally.same(f"{name} wavinfo data", info.data.frame_count, FRAMES)
    expected = {
        "description": "Ferry, deck two",
        "originator": "Plumbline",
        "originator_ref": "NO-FERRY-0007",
        "originator_date": "2026-05-17",
        "originator_time": "23:59:59",
        "time_reference": LATE,
        "version": 2,
        "coding_history": "A=PCM,F=96000,W=24,M=mono,T=ferry\r\n",
        "loudness_value": -23.1,
    }
    bext = info.bext.to_dict()
    tally.same(f"{name} wavinfo bext", {key: bext[key] for key in expected}, expected)
    ixml = info.ixml
    found = [ixml.project, ixml.scene, ixml.take, ixml.tape]
    expected = ["The Crossing", '12A <wide> & "close"', "3", "Roll 2"]
    tally.same(f"{name} wavinfo ixml", found, expected)
    names = [track.name for track in ixml.track_list]
    tally.same(f"{name} tracks", names, [f"Track {number + 1}" for number in range(channels)])
    text = {element.tag: element.text for element in ixml.parsed.iter()}
    stamp = (text["TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI"], text["TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO"])
    tally.same(f"{name} stamp", stamp, (str(LATE >> 32), str(LATE & 0xFFFF_FFFF)))
    tally.same(f"{name} note", (text["NOTE"], text["UBITS"]), ("wind on deck, å", "25112601"))


def check_past_four_gibibytes(tally: Tally, folder: Path) -> None:
    """A file with a hole in it: its length is real, its samples are zeros that take no room."""
    for frames in (2**30 // 3, 2**31 // 3 + 5):
        file = folder / f"ours-long-{frames}.wav"
        example("recording", file, "S24", 2, frames, "header")
        os.truncate(file, file.stat().st_size + frames * 6)
        info = soundfile.info(file)
        kind = "RF64" if frames * 6 > 2**32 else "WAV"
        tally.same(f"{file.name} libsndfile", (info.format, info.frames), (kind, frames))
        found = probe(file)
        tally.same(f"{file.name} ffprobe", found["streams"][0]["duration_ts"], frames)
        tally.same(f"{file.name} tags", found["format"]["tags"]["time_reference"], str(LATE))
        file.unlink()


def main() -> None:
    tally = Tally()
    with tempfile.TemporaryDirectory() as folder:
        check_what_others_write(tally, Path(folder))
        check_what_we_write(tally, Path(folder))
        check_past_four_gibibytes(tally, Path(folder))
    tally.finish()


if __name__ == "__main__":
    main()
