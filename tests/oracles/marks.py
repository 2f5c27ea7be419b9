"""Marks that were noted while listening, as other programs read them.

* opentimelineio opens the timeline and passes it on unchanged; each marker stands where its own
  conversion of the address says (RationalTime.from_timecode), at the address's own rate;
* Python's csv module reads the table, cell by cell.
"""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
from pathlib import Path

import opentimelineio as otio

ROOT = Path(__file__).resolve().parents[2]
RUN = ["cargo", "run", "--release", "-q", "-p", "plumbline-shoot", "--example", "marks", "--"]

MARKS = [
    ("10:00:00:12", "25", False, "gulls, again", "12", "3"),
    ("23:59:59:23", "24", False, 'he said "cut"', "12", ""),
    ("01:00:00;02", "29.97", True, "the ferry’s horn", "", "1"),
    ("00:01:00;02", "29.97", True, "", "", ""),
    ("00:00:00:00", "30", False, "two\nlines", "4a", "1"),
    ("12:34:56:11", "23.976", False, "=1+1", "", ""),
]


def written(form: str, marks: list[dict]) -> str:
    done = subprocess.run(
        [*RUN, form], cwd=ROOT, input=json.dumps(marks), capture_output=True, text=True, check=True
    )
    return done.stdout


def timeline_complaints(marks: list[dict]):
    timeline = otio.adapters.read_from_string(written("timeline", marks), "otio_json")
    again = otio.adapters.write_to_string(timeline, "otio_json")
    if not otio.adapters.read_from_string(again, "otio_json").is_equivalent_to(timeline):
        yield "the timeline does not come back as it was"
    markers = list(timeline.tracks.markers)
    if len(markers) != len(marks):
        yield f"{len(markers)} markers of {len(marks)}"
    for mark, marker in zip(marks, markers, strict=False):
        start = marker.marked_range.start_time
        wanted = otio.opentime.from_timecode(mark["address"], start.rate)
        if start != wanted or abs(start.rate - float(mark["rate"])) > 0.005:
            yield f"{mark['address']} at {mark['rate']} stands at {start}"
        if marker.metadata["plumbline"]["word"] != mark["word"]:
            yield f"{mark['address']}: its word is {marker.metadata['plumbline']['word']!r}"


def table_complaints(marks: list[dict]):
    rows = list(csv.DictReader(io.StringIO(written("table", marks), newline="")))
    if len(rows) != len(marks):
        yield f"{len(rows)} rows of {len(marks)}"
    for mark, row in zip(marks, rows, strict=False):
        for cell in ("address", "rate", "word", "scene", "take", "heard", "made"):
            # What a spreadsheet would take for a sum has an apostrophe before it.
            if row[cell].removeprefix("'") != mark[cell]:
                yield f"{mark['address']}: {cell} is {row[cell]!r}"
        if row["count"] != ("drop-frame" if mark["drop_frame"] else "non-drop"):
            yield f"{mark['address']}: counted {row['count']}"


def main() -> None:
    keys = ("address", "rate", "drop_frame", "word", "scene", "take")
    common = {"heard": "channel 1", "made": "2026-10-10 10:00:00"}
    marks = [dict(zip(keys, mark, strict=True)) | common for mark in MARKS]
    complaints = [*timeline_complaints(marks), *table_complaints(marks)]
    for complaint in complaints:
        print(complaint)
    print(f"marks: {len(marks)} marks, {len(complaints)} complaints")
    sys.exit(bool(complaints))


if __name__ == "__main__":
    main()
