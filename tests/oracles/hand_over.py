"""What a shoot is handed over as, read by the libraries that others read it with.

Shoots of summaries, whose truth is kept in fractions, go through the example program `hand_over` of
plumbline-shoot:

* OpenTimelineIO opens the timeline, writes it again without a loss, and says where each clip
  stands, what its media offers and what the markers say;
* otio-cmx3600-adapter and pycmx read every event of the edit lists;
* Python's own csv module reads the table;
* jsonschema finds the saved sheet to be as `docs/sheet.schema.json` says, and it is what went in.

    python hand_over.py
"""

from __future__ import annotations

import csv
import io
import json
import random
import subprocess
import tempfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from math import floor
from pathlib import Path
from urllib.parse import unquote

import opentimelineio as otio
import pycmx
from jsonschema import Draft202012Validator

from frame_libraries import Timebase, timebases
from ltc_checks import ROOT, Tally

CARGO = ["cargo", "run", "--release", "-q", "-p", "plumbline-shoot"]
HAND_OVER = [*CARGO, "--example", "hand_over", "--"]
# Rates and counts that code has: OpenTimelineIO refuses drop-frame digits at 30.
BASES = [b for b in timebases() if b.per_second <= 30 and b.is_standard]
DEVICES = (("sound bag", "wav"), ("deck", "mov"), ("bridge", "mp4"), ("mast", "mov"))
ODD = (
    'say "ah".mov',
    "naïve – große Fähre.mov",
    "渡し船 01.mov",
    "a/b\\c: 50% #1?.mov",
    "=1+1.mov",
    "line\nbreak.mov",
    "-.mov",
    ".mov",
)


@dataclass
class Truth:
    """One recording: what is handed in, and where it belongs, in frames from the first midnight."""

    entry: dict
    device: str
    kind: str
    at: Fraction | None
    length: int = 0
    available: int = 0
    source: int = 0
    placed_by: str = ""

    @property
    def file(self) -> str:
        return self.entry["summary"]["file"]

    @property
    def first(self) -> int:
        return nearest(self.at)


@dataclass
class Shoot:
    """A shoot with its truth."""

    name: str
    base: Timebase
    recordings: list[Truth]
    corrections: dict = field(default_factory=lambda: {"names": {}, "recordings": {}})
    days: int = 1
    # Frames at which somebody noted something.
    marks: list[int] = field(default_factory=list)

    @property
    def rate(self) -> Fraction:
        return Fraction(self.base.numerator, self.base.denominator)

    def placed(self) -> list[Truth]:
        return [truth for truth in self.recordings if truth.at is not None]


def nearest(value: Fraction) -> int:
    return floor(value + Fraction(1, 2))


def address(base: Timebase, frame: int) -> str:
    """Digits of a frame of the day, by counting: IEC 60461 clause 4.2.3."""
    tens, rest = divmod(frame, base.ten_minutes)
    minute = max(0, rest - base.dropped) // (base.per_second * 60 - base.dropped)
    number = frame + base.dropped * (tens * 9 + minute)
    seconds, frames = divmod(number, base.per_second)
    mark = ";" if base.drop else ":"
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}{mark}{frames:02}"


# ---------------------------------------------------------------------------------------------
# Making


def recording(
    shoot: Shoot,
    rng: random.Random,
    number: int,
    device: int,
    at: float,
    seconds: float,
    by: str = "code",
    name: str | None = None,
) -> Truth:
    """A recording whose first sample is at so many frames; it may be past the first midnight."""
    folder, ending = DEVICES[device]
    hertz = rng.choice((44_100, 48_000, 48_000, 96_000))
    rate, day = shoot.rate, shoot.base.day
    ppm = round(rng.uniform(-40, 40), 3) if by == "code" and rng.random() < 0.8 else None
    start = float(Fraction(at % day) / rate * hertz)
    summary = {
        "file": name or f"{folder.replace(' ', '-')}_{number:04}.{ending}",
        "container": ending,
        "sample_rate": hertz,
        "samples": int(seconds * hertz),
        "channels": 2,
        "codes": [],
        "stamps": [],
        "findings": 0,
    }
    if by == "code":
        channel = rng.randrange(2)
        code = {"channel": channel, "rate": shoot.base.rate, "drop_frame": shoot.base.drop}
        code |= {"start": start, "user_bits": "00000000", "runs": [], "leaps": False}
        if ppm is not None:
            code |= {"clock_ppm": ppm, "clock_ppm_uncertainty": 0.05}
        summary["codes"] = [code]
        if rng.random() < 0.2:
            summary["codes"].append(code | {"channel": 1 - channel, "leaks": True})
    source = 0
    if by == "stamp" or by == "code" and rng.random() < 0.7:
        ahead = 0 if by == "stamp" else rng.randrange(-3, 4)
        source = max(1, (nearest(Fraction(at)) + ahead) % day)
        stamp = {"source": "tmcd", "start": float(source / rate * hertz), "steps": "frames"}
        if by == "code":
            stamp["ahead"] = source - at % day
        if rng.random() < 0.5:
            stamp["rate"] = shoot.base.rate
            if shoot.base.drop:
                stamp["drop_frame"] = True
        summary["stamps"] = [stamp]
        if by == "stamp":
            start = stamp["start"]
    truth = Truth(
        {"key": f"{folder}/{number}", "folder": f"day/{folder}", "summary": summary},
        folder,
        "Audio" if ending == "wav" else "Video",
        None,
        source=source,
        placed_by=by,
    )
    if by != "nothing":
        on_day = Fraction(start) / hertz * rate
        days = round((Fraction(at) - on_day) / day)
        truth.at = on_day + days * day
        natural = Fraction(summary["samples"], hertz) * rate
        end = truth.at + natural * (1 + Fraction(ppm or 0) / 1_000_000)
        truth.available = max(1, floor(natural))
        truth.length = min(max(1, nearest(end) - truth.first), truth.available)
    return truth


def day(base: Timebase, name: str, begins: float, hours: float, count: int, seed: int) -> Shoot:
    """Recordings of four devices, spread over so many hours; now and then two overlap."""
    shoot, rng = Shoot(name, base, []), random.Random(seed)
    rate = float(shoot.rate)
    each = hours * 3600 * len(DEVICES) / count
    free = [begins * 3600 * rate] * len(DEVICES)
    for number in range(count):
        device = number % len(DEVICES)
        seconds = rng.uniform(0.1, 0.9) * each
        # Off the half-frames, where either neighbour is the nearest.
        at = round(free[device] + rng.uniform(0.01, 0.1) * each * rate) + rng.uniform(-0.4, 0.4)
        if rng.random() < 0.03:
            at -= 0.3 * each * rate
        by = rng.choices(("code", "stamp", "nothing"), (90, 6, 4))[0]
        odd = ODD[number // len(DEVICES)] if number % len(DEVICES) == 1 and number < 32 else None
        shoot.recordings.append(recording(shoot, rng, number, device, at, seconds, by, odd))
        free[device] = at + seconds * rate
    nudged = [truth for truth in shoot.placed() if rng.random() < 0.05]
    for truth in nudged:
        frames = rng.choice((-7, -1, 2, 30))
        correction = {"device": "", "start": "", "nudge": str(frames), "rate": ""}
        correction["reel"] = f"R{truth.length}"
        shoot.corrections["recordings"][truth.entry["key"]] = correction
        truth.at += frames
    for truth in rng.sample(shoot.placed(), min(5, len(shoot.placed()))):
        frame = truth.first + truth.length // 2
        shoot.marks.append(frame)
        shoot.corrections.setdefault("marks", []).append(
            {
                "address": address(base, frame % base.day),
                "rate": base.rate,
                "drop_frame": base.drop,
                "heard": "channel 1",
                "made": "2026-11-28 10:00:00",
                "word": f"gulls, {frame}",
                "scene": "",
                "take": "",
            }
        )
    return shoot


def two_days(base: Timebase, name: str, seed: int) -> Shoot:
    """Two days at once, whose files say when they were made by clocks that are some seconds off."""
    rng = random.Random(seed)
    both = [day(base, name, 8, 9, 60, seed), day(base, name, 8, 9, 60, seed + 1)]
    shoot = Shoot(name, base, [], days=2)
    for number, one in enumerate(both):
        for truth in one.recordings:
            key = truth.entry["key"]
            truth.entry["key"] = f"{number} {key}"
            if (changed := one.corrections["recordings"].get(key)) is not None:
                shoot.corrections["recordings"][truth.entry["key"]] = changed
            if truth.at is not None:
                seconds = int(truth.at / one.rate) + rng.randrange(-3, 4)
                clock = f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}"
                truth.entry["summary"]["made"] = f"2026-11-{29 + number}T{clock}"
                truth.at += number * base.day
        shoot.recordings += one.recordings
    return shoot


def shoots() -> Iterator[Shoot]:
    for number, base in enumerate(BASES):
        yield day(base, f"Day at {base}", 7, 14, 200, 100 + number)
        yield day(base, f"Night at {base}", 18.5, 13, 60, 200 + number)
        yield two_days(base, f"Two days at {base}", 400 + number)
    yield day(BASES[0], "A thousand and more", 6, 12, 4_400, 300)
    yield day(BASES[-1], "One", 10, 1, 1, 301)


def sheet_of(shoot: Shoot) -> dict:
    entries = [truth.entry for truth in shoot.recordings]
    sheet = {"plumbline": "shoot", "version": 1, "name": shoot.name}
    return sheet | {"entries": entries, "corrections": shoot.corrections}


def hand_over(shoot: Shoot, folder: Path) -> None:
    text = json.dumps(sheet_of(shoot)).encode()
    subprocess.run([*HAND_OVER, str(folder)], cwd=ROOT, input=text, check=True)


# ---------------------------------------------------------------------------------------------
# Asking


def timeline_complaints(shoot: Shoot, text: str) -> Iterator[str]:
    timeline = otio.adapters.read_from_string(text, "otio_json")
    again = otio.adapters.write_to_string(timeline, "otio_json")
    if not otio.adapters.read_from_string(again, "otio_json").is_equivalent_to(timeline):
        yield "it is another timeline after it was written again"
    if timeline.name != shoot.name:
        yield f"its name is {timeline.name!r}"
    rate = float(shoot.rate)
    begins = timeline.global_start_time
    if begins.rate != rate:
        yield f"its rate is {begins.rate}, not {rate}"
    wanted = {(truth.entry["folder"], truth.file, truth.first): truth for truth in shoot.placed()}
    for track in timeline.tracks:
        for clip, after in zip(track, [*track[1:], None]):
            if isinstance(clip, otio.schema.Gap):
                continue
            # From the end of what stands before it, on the track and so in the timeline.
            at = begins + clip.transformed_time(clip.source_range.start_time, timeline.tracks)
            facts = clip.metadata["plumbline"]
            truth = wanted.pop((facts["folder"], clip.name, round(at.value)), None)
            if truth is None:
                yield f"{clip.name} stands at {at}, where nobody put it"
                continue
            touches = isinstance(after, otio.schema.Clip)
            yield from clip_complaints(clip, track, facts, truth, rate, touches)
    for truth in wanted.values():
        yield f"{truth.file} is not at {truth.first}"
    nowhere = [truth.file for truth in shoot.recordings if truth.at is None]
    named = [each["file"] for each in timeline.metadata["plumbline"]["without_place"]]
    if named != nowhere:
        yield f"without a place: {named}, not {nowhere}"
    yield from marker_complaints(shoot, timeline)


def clip_complaints(clip, track, facts, truth: Truth, rate: float, touches: bool) -> Iterator[str]:
    lengths = (truth.length, truth.length - 1) if touches else (truth.length,)
    if round(clip.source_range.duration.value) not in lengths:
        yield f"{clip.name} lasts {clip.source_range.duration}, not {truth.length}"
    available = clip.media_reference.available_range
    got = (available.start_time.value, available.duration.value, available.start_time.rate)
    if got != (truth.source, truth.available, rate):
        yield f"{clip.name} offers {got}, not {(truth.source, truth.available, rate)}"
    if clip.source_range.start_time != available.start_time:
        yield f"{clip.name} begins within its media"
    if unquote(clip.media_reference.target_url) != truth.file:
        yield f"{clip.name} is sought at {clip.media_reference.target_url}"
    if set(clip.media_reference.target_url) & set(' "#?/\\:\n'):
        yield f"{clip.media_reference.target_url} is no relative reference"
    if track.kind != truth.kind:
        yield f"{clip.name} is on a track of kind {track.kind}"
    if facts["placed_by"] != truth.placed_by:
        yield f"{clip.name} is placed by {facts['placed_by']}, not {truth.placed_by}"
    remainder = float((truth.at - truth.first) / Fraction(rate))
    if abs(facts["remainder_seconds"] - remainder) > 1e-6:
        yield f"{clip.name} has a remainder of {facts['remainder_seconds']}, not {remainder}"


def marker_complaints(shoot: Shoot, timeline) -> Iterator[str]:
    noted = {}
    markers = []
    for marker in timeline.tracks.markers:
        if "word" in marker.metadata["plumbline"]:
            noted[marker.name] = timeline.global_start_time + marker.marked_range.start_time
        else:
            markers.append(marker)
    wanted = {f"gulls, {frame}": frame for frame in shoot.marks}
    if {name: round(at.value) for name, at in noted.items()} != wanted:
        yield f"marks stand at {noted}, not {wanted}"
    kinds = Counter(marker.metadata["plumbline"]["kind"] for marker in markers)
    if any(truth.at is None for truth in shoot.recordings) != (kinds["no_place"] == 1):
        yield f"no_place is marked {kinds['no_place']} times"
    stamped = {truth.device for truth in shoot.placed() if truth.placed_by == "stamp"}
    if kinds["no_code"] != len(stamped):
        yield f"no_code is marked {kinds['no_code']} times, not {len(stamped)}"
    midnight = [m for m in markers if m.metadata["plumbline"]["kind"] == "midnight"]
    for marker in midnight:
        at = timeline.global_start_time + marker.marked_range.start_time
        if round(at.value) != shoot.base.day:
            yield f"midnight is marked at {at}"
    ends = max(truth.first + truth.length for truth in shoot.placed())
    if bool(midnight) != (ends > shoot.base.day and shoot.days == 1):
        yield f"midnight is marked {len(midnight)} times"
    if kinds["days"] != shoot.days - 1:
        yield f"days are marked {kinds['days']} times"
    for marker in markers:
        if not marker.comment or marker.marked_range.start_time.value < 0:
            yield f"marker {marker.name!r} says nothing, or stands before the beginning"


def events_wanted(shoot: Shoot) -> Counter:
    """Clip name, source in and out, record in and out, in digits: cut at each midnight."""
    wanted: Counter = Counter()
    whole = shoot.base.day
    for truth in shoot.placed():
        source, record, left = truth.source, truth.first, truth.length
        while left:
            length = min(left, whole - source % whole, whole - record % whole)
            spans = []
            for begin in (source, record):
                end = (begin + length) % whole
                last = address(shoot.base, end) if end else "24" + address(shoot.base, 0)[2:]
                spans += [address(shoot.base, begin % whole), last]
            wanted[(" ".join(truth.file.split("\n")), *spans)] += 1
            source, record, left = source + length, record + length, left - length
    return wanted


def list_complaints(shoot: Shoot, lists: list[Path]) -> Iterator[str]:
    wanted = events_wanted(shoot)
    seen = {"the adapter": Counter(), "pycmx": Counter()}
    nowhere: list[str] = []
    for path in lists:
        text = path.read_text(encoding="utf-8")
        lines = text.split("\n")
        count = "DROP FRAME" if shoot.base.drop else "NON-DROP FRAME"
        if not lines[0].startswith(f"TITLE: {shoot.name}") or lines[1] != f"FCM: {count}":
            yield f"{path.name} begins {lines[:2]}"
        nowhere += [line for line in lines if line.startswith("* WITHOUT PLACE: ")]
        events = [line for line in lines if line[:3].isdigit()]
        if len(events) > 999:
            yield f"{path.name} has {len(events)} events"
        if not events:
            continue
        records = [line.split()[-2] for line in events]
        if records != sorted(records):
            yield f"{path.name} is not in order"
        seen["the adapter"] += adapter_events(shoot, path)
        seen["pycmx"] += pycmx_events(path)
    for who, got in seen.items():
        yield from trimmed_complaints(shoot, who, got, wanted)
    if len(nowhere) != sum(truth.at is None for truth in shoot.recordings):
        yield f"{len(nowhere)} recordings are told to have no place"


def trimmed_complaints(shoot: Shoot, who: str, got: Counter, wanted: Counter) -> Iterator[str]:
    missing, more = wanted - got, got - wanted
    # What touches the next on its track may end a frame earlier.
    for event in list(missing):
        touching = [other for other in more if other[:2] + other[3:4] == event[:2] + event[3:4]]
        for other in touching:
            if any(each[3] == other[4] for each in wanted):
                del missing[event], more[other]
    for event in list(missing)[:3]:
        yield f"{who} did not read {event}"
    for event in list(more)[:3]:
        yield f"{who} read {event}"


def adapter_events(shoot: Shoot, path: Path) -> Counter:
    timeline = otio.adapters.read_from_file(str(path), "cmx_3600", rate=float(shoot.rate))
    events: Counter = Counter()
    for track in timeline.tracks:
        begins = -track.source_range.start_time.value if track.source_range else 0
        for clip in track:
            if isinstance(clip, otio.schema.Gap):
                continue
            at = begins + track.range_of_child(clip).start_time.value
            span = clip.source_range
            frames = (span.start_time.value, span.end_time_exclusive().value)
            record = (at, at + span.duration.value)
            digits = [in_digits(shoot.base, round(frame)) for frame in (*frames, *record)]
            events[(clip.name, *digits)] += 1
    return events


def in_digits(base: Timebase, frame: int) -> str:
    return "24" + address(base, 0)[2:] if frame == base.day else address(base, frame)


def pycmx_events(path: Path) -> Counter:
    with path.open(encoding="utf-8") as file:
        parsed = pycmx.parse_cmx3600(file)
    edits = [edit for event in parsed.events for edit in event.edits]
    for edit in edits:
        reel = edit.source
        assert reel.isalnum() and reel.isascii() and len(reel) <= 8, reel
    times = [(e.source_in, e.source_out, e.record_in, e.record_out) for e in edits]
    return Counter((edit.clip_name, *each) for edit, each in zip(edits, times))


def reel_complaints(shoot: Shoot, lists: list[Path]) -> Iterator[str]:
    """A file without a reel shares its name with no other; one reel has one name in a device."""
    sources: dict[str, set[tuple]] = {}
    for path in lists:
        with path.open(encoding="utf-8") as file:
            text = file.read()
        if not any(line[:3].isdigit() for line in text.split("\n")):
            continue
        parsed = pycmx.parse_cmx3600(io.StringIO(text))
        for edit in (edit for event in parsed.events for edit in event.edits):
            sources.setdefault(edit.source, set()).add(edit.source_file)
    reels = {t["reel"] for t in shoot.corrections["recordings"].values()}
    for reel, files in sources.items():
        if len(files) > 1 and reel not in reels:
            yield f"reel {reel} is that of {sorted(files)[:3]}"
        if reel in ("BL", "BLACK", "BARS", "AX"):
            yield f"reel {reel} means something else"


def table_complaints(shoot: Shoot, text: str) -> Iterator[str]:
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    if len(rows) != len(shoot.recordings):
        yield f"{len(rows)} rows, not {len(shoot.recordings)}"
        return
    for row, truth in zip(rows, shoot.recordings):
        if row["file"].removeprefix("'") != truth.file:
            yield f"{row['file']} stands where {truth.file} should"
        if (row["starts_at"] == "") != (truth.at is None):
            yield f"{truth.file} starts at {row['starts_at']!r}"
        if truth.at is None:
            continue
        # Within ten microseconds of a frame is at it.
        within = floor(truth.at + shoot.rate / 100_000) % shoot.base.day
        if row["starts_at"] != address(shoot.base, within):
            yield f"{truth.file} starts at {row['starts_at']}, not {address(shoot.base, within)}"
        seconds = truth.at % shoot.base.day / shoot.rate
        samples = seconds * truth.entry["summary"]["sample_rate"]
        if abs(int(row["start_samples_since_midnight"]) - samples) > Fraction(51, 100):
            yield f"{truth.file} starts at sample {row['start_samples_since_midnight']}"
        if row["placed_by"] != truth.placed_by or None in row or None in row.values():
            yield f"{truth.file}: {row}"


def sheet_complaints(shoot: Shoot, schema: Draft202012Validator, text: str) -> Iterator[str]:
    sheet = json.loads(text)
    for error in schema.iter_errors(sheet):
        yield f"{error.json_path}: {error.message}"
    if sheet != sheet_of(shoot):
        yield "it is not what went in"


def schema_complaints(schema: Draft202012Validator, shoot: Shoot) -> Iterator[str]:
    """Sheets with one thing wrong are wrong by the schema."""
    for path, value in (
        (("version",), 2),
        (("name",), None),
        (("entries", 0, "summary", "samples"), -1),
        (("entries", 0, "summary", "sample_rate"), 0.5),
        (("corrections", "colour"), "blue"),
    ):
        sheet = json.loads(json.dumps(sheet_of(shoot)))
        part = sheet
        for key in path[:-1]:
            part = part[key]
        part[path[-1]] = value
        if schema.is_valid(sheet):
            yield f"{path} may be {value!r}"


def main() -> None:
    tally = Tally()
    described = json.loads((ROOT / "docs/sheet.schema.json").read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(described)
    schema = Draft202012Validator(described)
    for shoot in shoots():
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            hand_over(shoot, folder)
            text = (folder / "shoot.otio").read_text(encoding="utf-8")
            tally.case(f"{shoot.name}: timeline", list(timeline_complaints(shoot, text)))
            for kind in ("device", "all"):
                lists = sorted(folder.glob(f"{kind}-*.edl"))
                tally.case(f"{shoot.name}: {kind} lists", list(list_complaints(shoot, lists)))
                tally.case(f"{shoot.name}: {kind} reels", list(reel_complaints(shoot, lists)))
            table = (folder / "shoot.csv").read_bytes().decode("utf-8")
            tally.case(f"{shoot.name}: table", list(table_complaints(shoot, table)))
            sheet = (folder / "sheet.json").read_text(encoding="utf-8")
            tally.case(f"{shoot.name}: sheet", list(sheet_complaints(shoot, schema, sheet)))
            tally.case(f"{shoot.name}: schema", list(schema_complaints(schema, shoot)))
    tally.finish()


if __name__ == "__main__":
    main()
