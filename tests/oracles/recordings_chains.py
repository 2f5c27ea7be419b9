"""Code that has been through real chains: every whole codeword is read.

FFmpeg does to the sound what shoots do to it: AAC at 128 kb/s and back, another sample rate, a
band-pass of 300 Hz to 6 kHz, 20 dB of clipping, and all of these one after another.

Addresses, flags and user bits are judged for each codeword, and that each is there. Filters and
codecs move the sound by a few samples, the same for all; how far is printed, and bounded.

With speech in the other channel of the same AAC file, the codec spends its bits on the speech and
spoils some codewords. There, nothing may be false, what was lost must be counted, and nine in ten
must be read; how many are is printed.
"""

from __future__ import annotations

import subprocess
import tempfile
from dataclasses import replace
from multiprocessing.pool import ThreadPool
from pathlib import Path

import numpy as np

from ltc_checks import Tally, build_reader, judge_frames, run_reader
from recordings_silent import formants
from ltc_writer import RATES, Take, address, amplitude, count_on, record, wav_bytes, words

SECONDS = 20
BAND = "highpass=f=300,lowpass=f=6000"
# 20 dB over full scale in floating point, then cut off there.
CLIP = "volume=20dB,aformat=sample_fmts=flt,asoftclip=type=hard"

CHAINS = {
    "aac": [["-c:a", "aac", "-b:a", "128k"]],
    "44100": [["-ar", "44100"]],
    "band-pass": [["-af", BAND]],
    "clipped": [["-af", CLIP]],
    "aac, 44100, band-pass, clipped": [
        ["-c:a", "aac", "-b:a", "128k"],
        ["-ar", "44100"],
        ["-af", BAND],
        ["-af", CLIP],
    ],
    "clipped, band-pass, 44100, aac": [
        ["-af", CLIP],
        ["-af", BAND],
        ["-ar", "44100"],
        ["-c:a", "aac", "-b:a", "128k"],
    ],
}


def ffmpeg(source: Path, target: Path, options: list[str]) -> None:
    command = ["ffmpeg", "-v", "error", "-y", "-bitexact", "-i", str(source), *options, str(target)]
    subprocess.run(command, check=True)


def through(chain: list[list[str]], source: Path, folder: Path) -> Path:
    """The WAV at the end of the chain; 24 bits between its links."""
    at = source
    for number, options in enumerate(chain):
        link = folder / f"{source.stem}-{number}"
        if "aac" in options:
            ffmpeg(at, link.with_suffix(".m4a"), options)
            ffmpeg(link.with_suffix(".m4a"), link.with_suffix(".wav"), ["-c:a", "pcm_s24le"])
        else:
            ffmpeg(at, link.with_suffix(".wav"), [*options, "-c:a", "pcm_s24le"])
        at = link.with_suffix(".wav")
    return at


def source(rate: str, drop: bool, channels: int):
    """Code over a minute's end; in two channels, speech beside it."""
    numbers = RATES[rate]
    per_word = float(48000 / numbers[0])
    first = address(f"14:03:50:{numbers[1] - 8:02}", numbers[1], drop)
    count = int(SECONDS * 48000 / per_word)
    take = Take(words(count_on(first, count), 0x25112601), -0.37 * per_word, per_word, amplitude(-12))
    made = record([take], int((count - 1) * per_word), 48000)
    sound = made.samples
    if channels == 2:
        sound = np.stack([sound, formants(np.random.default_rng(5), len(sound))], axis=1)
    return made, sound


def judged(made, report: dict, name: str, beside_speech: bool) -> list[str]:
    if "error" in report:
        return [f"error: {report['error']}"]
    codes = [code for code in report["codes"] if code["channel"] == 0]
    if len(codes) != 1 or len(report["codes"]) != 1:
        return [f"channels with code: {[code['channel'] for code in report['codes']]}"]
    code = codes[0]
    # The truth on the clock of what came out of the chain, moved as far as the chain moves it.
    scale = report["sample_rate"] / 48000
    moved = movement([at_scale(frame, scale, 0.0) for frame in made.frames], code["frames"])
    frames = [at_scale(frame, scale, moved) for frame in made.frames]
    whole = [frame for frame in frames if frame.whole]
    print(f"    {name}: {code['frames_read']} read of {len(whole)} whole, moved {moved:+.2f} samples")
    if beside_speech:
        frames = [replace(f, whole=False, optional=f.optional or f.whole) for f in frames]
        said = judge_lost(whole, code)
    else:
        said = judge_findings(code["findings"])
        if code["frames_lost"]:
            said.append(f"frames_lost {code['frames_lost']}")
    said += judge_frames(replace(made, frames=frames), code, 2.0)
    if beside_speech:
        said = without_few_user_bits(said, len(whole))
    if abs(moved) > 20:
        said.append(f"moved by {moved:.1f} samples")
    for key, right in (("rate", made.rate), ("drop_frame", made.drop)):
        if code[key] != right:
            said.append(f"{key} {code[key]}, and {right} is right")
    if name.endswith("clipped") and "clipped" not in [f["kind"] for f in code["findings"]]:
        said.append("the clipping is not named")
    return said


def without_few_user_bits(said: list[str], codewords: int) -> list[str]:
    """What lossy coding made of the user bits of one codeword in a hundred may be wrong: addresses
    are borne out by their neighbours, user bits by nothing."""
    bits = [complaint for complaint in said if ": user bits" in complaint]
    return said if len(bits) > codewords / 100 else [c for c in said if c not in bits]


def at_scale(frame, scale: float, moved: float):
    first, last = frame.first_edge * scale + moved, frame.last_edge * scale + moved
    return replace(frame, first_edge=first, last_edge=last)


def judge_findings(findings: list[dict]) -> list[str]:
    allowed = {"clipped"}
    return [f"finding too many: {f}" for f in findings if f["kind"] not in allowed]


def judge_lost(whole: list, code: dict) -> list[str]:
    """Lost codewords between the first and the last one read are counted, and are not many."""
    said = []
    if code["frames_read"] < 0.9 * len(whole):
        said.append(f"{code['frames_read']} read of {len(whole)} whole")
    places = [frame["sample"] for frame in code["frames"]]
    between = [f for f in whole if places[0] - 5 <= f.first_edge <= places[-1] + 5]
    if code["frames_lost"] != len(between) - len(places):
        said.append(f"frames_lost {code['frames_lost']}, {len(between) - len(places)} is right")
    return said


def movement(frames, read: list[dict]) -> float:
    true = {str(frame.at): frame.first_edge for frame in frames}
    apart = [r["sample"] - true[r["timecode"]] for r in read if r["timecode"] in true]
    return float(np.median(apart)) if apart else 0.0


def run(counting: tuple[str, bool, int]) -> list[tuple[str, list[str]]]:
    """All chains for one way of counting: names and complaints."""
    rate, drop, channels = counting
    with tempfile.TemporaryDirectory(prefix="plumbline-") as folder:
        made, sound = source(rate, drop, channels)
        made.rate, made.drop = rate, drop
        start = Path(folder) / "code.wav"
        start.write_bytes(wav_bytes(sound, 48000, "s24"))
        ends = []
        for number, chain in enumerate(CHAINS.values()):
            own = Path(folder) / str(number)
            own.mkdir()
            ends.append(through(chain, start, own))
        reports, status, errors = run_reader(ends)
    full = f"{rate}{'drop' if drop else ''}, {channels} channels"
    results = []
    if len(reports) != len(CHAINS) or status != 0:
        results.append((full, [f"exit status {status}: {errors}"]))
    for name, report in zip(CHAINS, reports):
        said = judged(made, report, f"{full}, {name}", channels == 2 and "aac" in name)
        results.append((f"{full}, {name}", said))
    return results


COUNTINGS = [(rate, False, 1) for rate in RATES] + [("29.97", True, 1), ("25", False, 2)]


def main() -> None:
    build_reader()
    tally = Tally()
    with ThreadPool(2) as pool:
        for results in pool.imap(run, COUNTINGS):
            for name, complaints in results:
                tally.case(name, complaints)
    tally.finish()


if __name__ == "__main__":
    main()
