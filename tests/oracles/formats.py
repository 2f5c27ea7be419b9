"""Code in every container and codec that the page reads, at a place that is known.

FFmpeg, flac, sox and libsndfile write the files. In each one the code must be found on its channel,
its first edge where it was put (encoder run-in and edit lists taken out), every codeword whole; and
what ffprobe says of a timecode track must be what we say. Then each file is cut at every hundredth
of its length: what is read of it must be true, or an error must say what to do. What only a
browser's decoder decodes must be refused here, saying so; that it is read on the page, and where,
is the business of tests/browser/browser-decoders.spec.ts, on files of the same kinds.

The table of formats in the README is what this script saw: `formats.py --write` writes it, and
without that the script fails where the README says something else.

    python formats.py            needs numpy, soundfile; ffmpeg, ffprobe, flac and sox
"""

from __future__ import annotations

import json
import random
import subprocess
import sys
import tempfile
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

import numpy as np
import soundfile

from ltc_checks import ROOT, Tally, build_reader, judge_frames, run_reader
from ltc_writer import RATES, Take, address, amplitude, count_on, record, wav_bytes, words

SECONDS = 6
# Shorter, for the hundred cuts of each.
SECONDS_TO_CUT = 2
# The first edge: an odd place, so that no block or packet begins there.
BEGINS = 4801.0
CHANNEL = 1
# Lossless sound keeps an edge to what 16 bits resolve; codecs that lose move it by less than this.
EXACT, NEAR = 0.02, 0.5


@dataclass(frozen=True)
class Format:
    """A container with a codec in it: the file's ending, the writer's options, what the README calls
    them, and how near to its place an edge must be; `by_itself` where the run-in is nowhere told;
    `says` is what a refusal must say."""

    suffix: str
    options: str
    container: str
    codec: str
    tolerance: float = EXACT
    by_itself: bool = False
    writer: str = "ffmpeg"
    says: str = ""


PCM = "PCM"
BROWSER = "left to a browser's own decoder"
MORE = "AAC, more channels"
FORMATS = [
    Format(".wav", "-c:a pcm_s16le", "WAV", PCM),
    Format(".wav", "-c:a pcm_u8", "WAV", PCM, 0.2),
    Format(".wav", "-c:a pcm_f32le -rf64 always", "RF64", PCM),
    Format(".mov", "-c:a pcm_s16le", "MOV", PCM),
    Format(".mov", "-c:a pcm_s16be", "MOV", PCM),
    Format(".mov", "-c:a pcm_s24be", "MOV", PCM),
    Format(".mov", "-c:a pcm_s24le", "MOV", PCM),
    Format(".mov", "-c:a pcm_s32be", "MOV", PCM),
    Format(".mov", "-c:a pcm_s32le", "MOV", PCM),
    Format(".mov", "-c:a pcm_f32le", "MOV", PCM),
    Format(".mov", "-c:a pcm_f64be", "MOV", PCM),
    Format(".mov", "-c:a pcm_u8", "MOV", PCM, 0.2),
    Format(".mov", "-c:a pcm_s8", "MOV", PCM, 0.2),
    Format(".mov", "-c:a alac", "MOV", "ALAC"),
    Format(".mov", "-c:a aac -b:a 256k", "MOV", "AAC", NEAR),
    Format(".mp4", "-c:a aac -b:a 256k", "MP4", "AAC", NEAR),
    Format(".mp4", "-c:a aac -b:a 256k -movflags +faststart", "MP4", "AAC", NEAR),
    Format(
        ".mp4",
        "-c:a aac -b:a 256k -movflags +frag_keyframe+empty_moov+delay_moov -frag_duration 500000",
        "MP4",
        "AAC",
        NEAR,
    ),
    Format(".mp4", "-c:a alac", "MP4", "ALAC"),
    Format(".m4a", "-c:a aac -b:a 256k", "M4A", "AAC", NEAR),
    Format(".m4a", "-c:a alac", "M4A", "ALAC"),
    Format(".caf", "-c:a pcm_s24le", "CAF", PCM),
    Format(".caf", "-c:a pcm_s16be", "CAF", PCM),
    Format(".caf", "-c:a pcm_f32be", "CAF", PCM),
    Format(".caf", "-c:a alac", "CAF", "ALAC"),
    Format(".aiff", "-c:a pcm_s24be", "AIFF", PCM),
    Format(".aiff", "-c:a pcm_s16le", "AIFF", PCM),
    Format(".aiff", "-c:a pcm_f32be", "AIFF", PCM),
    Format(".flac", "-c:a flac", "FLAC", "FLAC"),
    Format(".ogg", "-c:a flac", "Ogg", "FLAC"),
    Format(".ogg", "-c:a libvorbis -q:a 8", "Ogg", "Vorbis", NEAR),
    Format(".mp3", "-c:a libmp3lame -b:a 320k", "MP3", "MP3", NEAR),
    Format(".mp2", "-c:a mp2 -b:a 384k", "MP2", "MP2", NEAR, by_itself=True),
    Format(".aac", "-c:a aac -b:a 256k", "AAC", "AAC", NEAR, by_itself=True),
    Format(".mkv", "-c:a pcm_s24le", "Matroska", PCM),
    Format(".mkv", "-c:a flac", "Matroska", "FLAC"),
    Format(".mkv", "-c:a libmp3lame -b:a 320k", "Matroska", "MP3", NEAR, by_itself=True),
    Format(".mkv", "-c:a aac -b:a 256k", "Matroska", "AAC", NEAR, by_itself=True),
    Format(".webm", "-c:a libvorbis -q:a 8", "WebM", "Vorbis", NEAR),
    *(
        Format(suffix, options, container, codec, tolerance, writer=writer)
        for writer, suffix, options, container, codec, tolerance in [
            ("flac", ".flac", "-8", "FLAC", "FLAC", EXACT),
            ("flac", ".flac", "-0 --no-padding", "FLAC", "FLAC", EXACT),
            ("flac", ".oga", "--ogg", "Ogg", "FLAC", EXACT),
            ("sox", ".wav", "-b 16", "WAV", PCM, EXACT),
            ("sox", ".wav", "-b 24", "WAV", PCM, EXACT),
            ("sox", ".wav", "-e floating-point -b 64", "WAV", PCM, EXACT),
            ("sox", ".aiff", "-b 24", "AIFF", PCM, EXACT),
            ("sox", ".aifc", "-b 16", "AIFF", PCM, EXACT),
            ("sox", ".caf", "-b 24", "CAF", PCM, EXACT),
            ("sox", ".flac", "-b 24", "FLAC", "FLAC", EXACT),
            ("sox", ".ogg", "-C 8", "Ogg", "Vorbis", NEAR),
            ("libsndfile", ".wav", "WAV PCM_24", "WAV", PCM, EXACT),
            ("libsndfile", ".wav", "WAVEX PCM_24", "WAV", PCM, EXACT),
            ("libsndfile", ".wav", "RF64 PCM_24", "RF64", PCM, EXACT),
            ("libsndfile", ".aiff", "AIFF PCM_24", "AIFF", PCM, EXACT),
            ("libsndfile", ".aifc", "AIFF DOUBLE", "AIFF", PCM, EXACT),
            ("libsndfile", ".caf", "CAF FLOAT", "CAF", PCM, EXACT),
            ("libsndfile", ".caf", "CAF ALAC_24", "CAF", "ALAC", EXACT),
            ("libsndfile", ".flac", "FLAC PCM_24", "FLAC", "FLAC", EXACT),
            ("libsndfile", ".ogg", "OGG VORBIS", "Ogg", "Vorbis", NEAR),
            ("libsndfile", ".mp3", "MP3 MPEG_LAYER_III", "MP3", "MP3", NEAR),
        ]
    ),
]
# What is refused, and what is then said of it.
SIX = "-af pan=5.1|FL=c0|FC=c1|FR=c0|BL=c0|BR=c0|LFE=c0"
REFUSED = [
    Format(".opus", "-c:a libopus", "Ogg", "Opus", says=BROWSER),
    Format(".opus", "OGG OPUS", "Ogg", "Opus", writer="libsndfile", says=BROWSER),
    Format(".webm", "-c:a libopus", "WebM", "Opus", says=BROWSER),
    Format(".mka", "-c:a libopus", "Matroska", "Opus", says=BROWSER),
    Format(".mp4", "-c:a libopus", "MP4", "Opus", says=BROWSER),
    Format(".m4a", f"{SIX} -c:a aac", "M4A", MORE, says=BROWSER),
    Format(".mov", f"{SIX} -c:a aac", "MOV", MORE, says=BROWSER),
    Format(".mp4", f"{SIX} -c:a aac", "MP4", MORE, says=BROWSER),
    Format(".mkv", f"{SIX} -c:a aac", "Matroska", MORE, says=BROWSER),
    Format(".aac", f"{SIX} -c:a aac", "AAC", MORE, says=BROWSER),
    Format(".mp4", "-c:a ac3", "MP4", "AC-3", says="not decoded here"),
    Format(".mkv", "-c:a ac3", "Matroska", "AC-3", says="not decoded here"),
]


def source(seconds: int, noise: float):
    """Stereo: noise so loud, and code on the second channel."""
    per_word = float(48000 / RATES["25"][0])
    count = int((seconds * 48000 - BEGINS) / per_word)
    take = Take(words(count_on(address("14:03:59:20", 25), count), 0x25112601), BEGINS, per_word, amplitude(-12))
    made = record([take], seconds * 48000, 48000)
    other = noise * np.random.default_rng(5).standard_normal(len(made.samples))
    return made, np.stack([other, made.samples], axis=1)


def tone(folder: Path) -> Path:
    """Twenty seconds of code and nothing else."""
    file = folder / "code.wav"
    make = ["cargo", "run", "--release", "-q", "-p", "plumbline-tone", "--example", "make", "--"]
    settings = ["rate=25", "length=00:00:20:00", "sample_rate=48000", "samples=16"]
    file.write_bytes(subprocess.check_output([*make, *settings], cwd=ROOT))
    return file


def ffmpeg(*arguments: str) -> None:
    subprocess.run(["ffmpeg", "-v", "error", "-y", "-bitexact", *arguments], check=True)


def write(wav: Path, folder: Path, formats: list[Format]) -> list[Path]:
    files = []
    for number, format in enumerate(formats):
        file = folder / f"{number:02}-{format.codec}{format.suffix}".lower()
        write_one(wav, file, format)
        files.append(file)
    return files


def write_one(wav: Path, file: Path, format: Format) -> None:
    options = format.options.split()
    match format.writer:
        case "flac":
            subprocess.run(["flac", "--silent", "--force", *options, "-o", file, wav], check=True)
        case "sox":
            # Without dither: an edge stays where it is.
            subprocess.run(["sox", "-D", wav, *options, file], check=True)
        case "libsndfile":
            samples, rate = soundfile.read(wav)
            soundfile.write(file, samples, rate, format=options[0], subtype=options[1])
        case _:
            ffmpeg("-i", str(wav), *options, str(file))


def code_of(report: dict) -> dict | str:
    if "error" in report:
        return f"error: {report['error']}"
    channels = [code["channel"] for code in report["codes"]]
    if channels != [CHANNEL]:
        return f"code on channels {channels}"
    return report["codes"][0]


def judged(made, format: Format, report: dict) -> list[str]:
    code = code_of(report)
    if isinstance(code, str):
        return [code]
    said = []
    moved = 0.0
    if format.by_itself:
        # Nothing in the file tells the run-in; it is the same for all, and no more than a packet.
        moved = round(code["frames"][0]["sample"] - made.whole_frames()[0].first_edge)
        if not 0 <= moved <= 2112:
            said.append(f"moved by {moved} samples")
    truth = [
        replace(frame, first_edge=frame.first_edge + moved, last_edge=frame.last_edge + moved)
        for frame in made.frames
    ]
    return said + judge_frames(replace(made, frames=truth), code, format.tolerance)


def one_of_each(formats: list[Format]) -> list[Format]:
    return list({(format.container, format.codec): format for format in formats}.values())


def check_formats(tally: Tally, made, files: list[Path]) -> list[Format]:
    reports, _, _ = run_reader(files)
    good = []
    for format, report in zip(FORMATS, reports, strict=True):
        said = judged(made, format, report)
        tally.case(f"{format.writer}: {format.container}, {format.options}", said)
        if not said:
            good.append(format)
    return good


def check_refused(tally: Tally, files: list[Path]) -> list[Format]:
    reports, status, _ = run_reader(files)
    to_browser = []
    for format, report in zip(REFUSED, reports, strict=True):
        error = report.get("error", {})
        named = format.codec.split(",")[0] in error.get("text", "")
        right = error.get("kind") == "unsupported" and named and format.says in error["text"]
        tally.case(f"refused: {format.container}, {format.codec}", [] if right else [str(report)])
        if right and format.says == BROWSER:
            to_browser.append(format)
    tally.case("refused: the exit status", [] if status == 1 else [f"status {status}"])
    return to_browser


TIMECODES = [
    ("25", "10:00:00:00", "25"),
    ("24000/1001", "01:00:00:00", "23.976"),
    ("30000/1001", "01:00:00;02", "29.97"),
    ("30000/1001", "23:59:59:29", "29.97"),
    ("50", "10:00:00:49", "50"),
    ("60000/1001", "01:00:00;00", "59.94"),
]


def check_timecodes(tally: Tally, wav: Path, folder: Path) -> None:
    """Pictures, two tracks of sound, and a timecode track, beside what ffprobe reads."""
    for number, (rate, start, _) in enumerate(TIMECODES):
        file = folder / f"camera-{number}.mov"
        pictures = ["-f", "lavfi", "-i", f"testsrc=size=64x64:rate={rate}"]
        tracks = ["-map", "0", "-map", "1", "-map", "1", "-t", "3", "-c:v", "mpeg4"]
        ffmpeg(*pictures, "-i", str(wav), *tracks, "-c:a", "pcm_s24le", "-timecode", start, str(file))
        [report], _, _ = run_reader([file])
        probe = ["ffprobe", "-v", "error", "-show_entries", "stream_tags=timecode", "-of", "json"]
        streams = json.loads(subprocess.check_output([*probe, str(file)]))["streams"]
        theirs = {stream["tags"]["timecode"] for stream in streams if "timecode" in stream.get("tags", {})}
        ours = {stamp["start"] for stamp in report["embedded"] if stamp["source"] == "tmcd"}
        said = [] if ours == theirs == {start} else [f"ours {ours}, ffprobe's {theirs}"]
        channels = [code["channel"] for code in report["codes"]]
        if report["channels"] != 4 or channels != [1, 3]:
            said.append(f"{report['channels']} channels, code on {channels}")
        tally.case(f"timecode track: {start} at {rate}", said)


CREATED = "2025-11-26T09:12:44Z"


def check_creation(tally: Tally, wav: Path, folder: Path) -> None:
    """When a file says that it was made, beside what ffprobe reads."""
    for suffix, options, place in [
        (".mov", "-c:a pcm_s16le", "mvhd"),
        (".m4a", "-c:a aac", "mvhd"),
        (".mka", "-c:a flac", "DateUTC"),
        (".wav", "-c:a pcm_s16le", "ICRD"),
    ]:
        file = folder / f"created{suffix}"
        dates = ["-metadata", f"creation_time={CREATED}", "-metadata", "date=2025-11-26"]
        ffmpeg("-i", str(wav), *options.split(), *dates, str(file))
        header = ["cargo", "run", "--release", "-q", "-p", "plumbline-media", "--example", "header"]
        ours = json.loads(subprocess.check_output([*header, "--", str(file)], cwd=ROOT))["creation"]
        probe = ["ffprobe", "-v", "error", "-show_entries", "format_tags", "-of", "json", str(file)]
        tags = json.loads(subprocess.check_output(probe))["format"]["tags"]
        if place == "ICRD":
            right = tags["date"]
        else:
            theirs = datetime.fromisoformat(tags["creation_time"].replace("Z", "+00:00"))
            second = theirs.hour * 3600 + theirs.minute * 60 + theirs.second
            right = [theirs.year, theirs.month, theirs.day, second]
        said = [] if ours == {"place": place, "when": right} else [f"ours {ours}, ffprobe's {tags}"]
        tally.case(f"creation: {suffix}", said)


def check_bit_rates(tally: Tally, wav: Path, folder: Path) -> None:
    """Too few bits for the code are told with the codec's name, enough of them are not; and noise in
    sound that lost nothing is no codec's."""
    for suffix, options, kind in [
        (".m4a", "-ac 1 -c:a aac -b:a 24k", "compressed"),
        (".m4a", "-ac 1 -c:a aac -b:a 192k", None),
        (".flac", "-af volume=-34dB,aeval=val(0)+0.02*(random(0)-0.5) -c:a flac", "under_noise"),
    ]:
        file = folder / f"bit rate {kind}{suffix}"
        ffmpeg("-i", str(wav), *options.split(), str(file))
        [report], _, _ = run_reader([file])
        found = [finding for code in report["codes"] for finding in code["findings"]]
        kinds = {f["kind"] for f in found} & {"compressed", "under_noise"}
        said = [] if kinds == {kind} - {None} else [str(found)]
        if kind == "compressed" and not any("compressed with AAC" in f["text"] for f in found):
            said.append(f"no codec is named: {found}")
        tally.case(f"bit rate: {options}", said)


def check_cuts(tally: Tally, made, good: list[Format], wav: Path, folder: Path) -> None:
    """What is read of a file that ends early is true; one with bytes changed has an answer."""
    lost = replace(made, frames=[replace(f, whole=False, optional=f.whole or f.optional) for f in made.frames])
    for format, file in zip(good, write(wav, folder, good), strict=True):
        whole = file.read_bytes()
        cuts = []
        for hundredth in range(100):
            cut = folder / f"cut-{hundredth:02}{format.suffix}"
            cut.write_bytes(whole[: len(whole) * hundredth // 100])
            cuts.append(cut)
        reports, _, stderr = run_reader(cuts)
        said = [stderr] if len(reports) != len(cuts) else []
        for hundredth, report in enumerate(reports):
            error = report.get("error")
            if error is not None and not (error["text"] and error["remedy"]):
                said.append(f"{hundredth} %: an error without words: {error}")
            for code in report["codes"]:
                apart = judged_cut(lost, format, code)
                said += [f"{hundredth} %: {complaint}" for complaint in apart]
        tally.case(f"cut: {format.container}, {format.options}", said[:5])
        check_changes(tally, format, whole, folder)


# Copies with bytes changed, of each file.
CHANGED = 40


def check_changes(tally: Tally, format: Format, whole: bytes, folder: Path) -> None:
    """Bytes changed, most of them where the header is: the reader goes on to the last file."""
    chance = random.Random(format.options)
    copies = []
    for number in range(CHANGED):
        copy = bytearray(whole)
        for _ in range(chance.randint(1, 8)):
            end = chance.choice([100, 1000, len(copy)])
            copy[chance.randrange(min(end, len(copy)))] = chance.randrange(256)
        copies.append(folder / f"changed-{number:02}{format.suffix}")
        copies[-1].write_bytes(copy)
    reports, _, stderr = run_reader(copies, frames=False)
    said = [] if len(reports) == CHANGED else [f"{len(reports)} reports", stderr[-500:]]
    tally.case(f"changed: {format.container}, {format.options}", said)


def judged_cut(lost, format: Format, code: dict) -> list[str]:
    if format.by_itself:
        return []
    # The last codeword before the cut may end in what a codec makes of the end.
    return judge_frames(lost, code, max(format.tolerance, 0.1))


BEGIN, END = "<!-- formats: written by tests/oracles/formats.py -->\n", "<!-- formats end -->"


def table(good: list[Format]) -> str:
    columns = [PCM, "AAC", MORE, "ALAC", "FLAC", "MP3", "MP2", "Vorbis", "Opus"]
    lines = ["| container | " + " | ".join(columns) + " |", "|---|" + ":-:|" * len(columns)]
    for container in dict.fromkeys(format.container for format in good):
        read = {format.codec: format for format in good if format.container == container}
        cells = [cell(read.get(column)) for column in columns]
        lines.append(f"| {container} | " + " | ".join(cells) + " |")
    return "\n".join(lines) + "\n"


def cell(format: Format | None) -> str:
    if format is None:
        return ""
    if format.says:
        return "by the browser"
    return "run-in stays" if format.by_itself else "to the sample"


def check_readme(tally: Tally, good: list[Format]) -> None:
    readme = ROOT / "README.md"
    text = readme.read_text()
    before, rest = text.split(BEGIN)
    _, after = rest.split(END)
    right = before + BEGIN + table(good) + END + after
    if "--write" in sys.argv:
        readme.write_text(right)
    elif text != right:
        tally.case("the README's table", ["is not what was seen; formats.py --write writes it"])


def main() -> None:
    build_reader()
    tally = Tally()
    made, sound = source(SECONDS, 0.01)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        wav = folder / "source.wav"
        wav.write_bytes(wav_bytes(sound, 48000))
        good = check_formats(tally, made, write(wav, folder, FORMATS))
        to_browser = check_refused(tally, write(wav, folder, REFUSED))
        check_timecodes(tally, wav, folder)
        check_creation(tally, wav, folder)
        check_bit_rates(tally, tone(folder), folder)
        made, sound = source(SECONDS_TO_CUT, 0.0)
        wav.write_bytes(wav_bytes(sound, 48000))
        check_cuts(tally, made, one_of_each(good), wav, folder)
    check_readme(tally, good + to_browser)
    tally.finish()


if __name__ == "__main__":
    main()
