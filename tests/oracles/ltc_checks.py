"""What the scripts that ask our reader share: running it, judging its report, counting.

The reader is the example program `read` of plumbline-shoot; its report is one JSON object a line.
"""

from __future__ import annotations

import json
import multiprocessing
import subprocess
import sys
import tempfile
from bisect import bisect_left
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from ltc_writer import (
    DEPTHS,
    RATES,
    Recording,
    TrueFrame,
    address_of,
    frames_in_day,
    wav_bytes,
)

ROOT = Path(__file__).resolve().parents[2]
READ = ["cargo", "run", "--release", "-q", "-p", "plumbline-shoot", "--example", "read", "--"]


class Tally:
    """Counts cases; prints each failure in full as it happens."""

    def __init__(self):
        self.passed = 0
        self.failed = 0

    def case(self, name: str, complaints: list[str]) -> None:
        if not complaints:
            self.passed += 1
            return
        self.failed += 1
        print(f"FAILED {name}")
        for complaint in complaints[:8]:
            print(f"    {complaint}")
        if len(complaints) > 8:
            print(f"    and {len(complaints) - 8} more")
        sys.stdout.flush()

    def finish(self) -> None:
        print(f"{self.passed} passed, {self.failed} failed")
        sys.exit(1 if self.failed or not self.passed else 0)


def run_reader(files: list[Path], frames: bool = True) -> tuple[list[dict], int, str]:
    """The reports in the order of the files, the exit status, and what stood on stderr."""
    command = READ + (["--frames"] if frames else []) + [str(file) for file in files]
    done = subprocess.run(command, cwd=ROOT, capture_output=True)
    reports = []
    for line in done.stdout.decode("utf-8").splitlines():
        reports.append(json.loads(line, parse_constant=not_json))
    return reports, done.returncode, done.stderr.decode("utf-8", "replace")


def not_json(constant: str):
    raise ValueError(f"{constant} is not JSON")


# ---------------------------------------------------------------------------------------------
# Judging


@dataclass(frozen=True)
class Expected:
    """A finding that must be there: its kind (or kinds, parted by |), where, its size in frames."""

    kind: str
    begin: float | None = None
    end: float | None = None
    frames: float | None = None
    frames_tolerance: float = 0.0
    # The sign of the size is not asked for.
    unsigned: bool = False


@dataclass
class Case:
    """A recording, what is true of it, and what its report must say."""

    name: str
    recording: Recording
    depth: str = "s24"
    extra: tuple = ()
    findings: list[Expected] = field(default_factory=list)
    # Kinds that may be there or not.
    allowed: frozenset[str] = frozenset()
    # None: not judged.
    start_samples: float | None = None
    start_tolerance: float = 0.2
    start_digits: tuple[str, ...] = ()
    position_tolerance: float = 0.1
    clock_ppm: float | None = 0.0
    clock_sigmas: float = 5.0
    clock_uncertainty_below: float | None = None
    level_dbfs: float | None = None
    level_tolerance: float = 0.5
    frames_lost: int | None = 0
    judge_rate: bool = True
    judge_drop: bool = True
    # Speed of all stretches against the rate that the report names; and how many there are.
    speed: float | None = 1.0
    stretches: int | None = 1
    reverse: bool = False
    channel: int = 0
    # A codeword alone proves little: a reader may say that there is no code.
    may_be_silent: bool = False
    # The whole of the sound, where the code is one channel of several.
    sound: np.ndarray | None = None


def judge(case: Case, report: dict) -> list[str]:
    """Everything that the report gets wrong; empty when it is right."""
    if "error" in report:
        return [f"error: {report['error']}"]
    truth = case.recording
    said = [
        expect("container", report.get("container"), "wav"),
        expect("sample_rate", report.get("sample_rate"), truth.sample_rate),
        expect("bits", report.get("bits"), DEPTHS[case.depth]),
        expect("samples", report.get("samples"), len(truth.samples)),
    ]
    codes = report.get("codes", [])
    channels = [code["channel"] for code in codes]
    if channels or not case.may_be_silent:
        said.append(expect("channels with code", channels, [case.channel]))
    for code in codes:
        if code["channel"] == case.channel:
            said += judge_code(case, code)
    return [complaint for complaint in said if complaint]


def expect(what: str, got, wanted) -> str:
    return "" if got == wanted else f"{what}: {got!r}, and {wanted!r} is right"


def judge_code(case: Case, code: dict) -> list[str]:
    truth = case.recording
    said = []
    if case.judge_rate:
        said.append(expect("rate", code["rate"], truth.rate))
    if case.judge_drop:
        said.append(expect("drop_frame", code["drop_frame"], truth.drop))
    said += judge_frames(truth, code, case.position_tolerance)
    said += judge_start(case, code)
    said += judge_clock(case, code)
    said += judge_findings(case, code["findings"])
    said += judge_stretches(case, code)
    if case.level_dbfs is not None:
        apart = abs(code["level_dbfs"] - case.level_dbfs)
        if not apart <= case.level_tolerance:
            said.append(f"level_dbfs {code['level_dbfs']}, and {case.level_dbfs:.2f} is right")
    if case.frames_lost is not None and code["frames_lost"] != case.frames_lost:
        said.append(expect("frames_lost", code["frames_lost"], case.frames_lost))
    return [complaint for complaint in said if complaint]


def judge_frames(truth: Recording, code: dict, tolerance: float) -> list[str]:
    """Every whole codeword is there, at its place, with its digits; and nothing else."""
    said = []
    frames = code["frames"]
    said.append(expect("frames_read against the list", code["frames_read"], len(frames)))
    places = [frame["sample"] for frame in frames]
    if places != sorted(places):
        said.append("frames are not in the order of the recording")
    unmatched = dict(enumerate(frames))
    ordered = sorted((place, n) for n, place in enumerate(places))
    for true in truth.frames:
        quarter = abs(true.last_edge - true.first_edge) / 4
        first = bisect_left(ordered, (true.first_edge - quarter, -1))
        last = bisect_left(ordered, (true.first_edge + quarter, -1))
        near = [n for _, n in ordered[first:last] if n in unmatched]
        if not near:
            if true.whole:
                said.append(f"not read: {true.at} at sample {true.first_edge:.2f}")
            continue
        frame = unmatched.pop(near[0])
        if true.whole or true.optional:
            said += judge_frame(true, frame, tolerance)
        else:
            said.append(f"no whole codeword there, but reported: {frame}; there is {true}")
    said += [f"no codeword begins there, but reported: {frame}" for frame in unmatched.values()]
    return [complaint for complaint in said if complaint]


def judge_frame(true: TrueFrame, frame: dict, tolerance: float) -> list[str]:
    said = []
    if frame["timecode"].replace(";", ":") != true.at.digits():
        said.append(f"{frame['timecode']} at sample {frame['sample']}, and {true.at} is right")
    if true.drop_flag == true.at.drop and frame["timecode"] != str(true.at):
        said.append(f"{frame['timecode']} is written {true.at}")
    if frame["drop_frame"] != true.drop_flag:
        said.append(f"{true.at}: drop flag {frame['drop_frame']}")
    if frame["user_bits"] != f"{true.user_bits:08X}":
        said.append(f"{true.at}: user bits {frame['user_bits']}, {true.user_bits:08X} is right")
    if frame["reverse"] != true.reverse:
        said.append(f"{true.at}: reverse {frame['reverse']}")
    apart = frame["sample"] - true.first_edge
    if true.whole and not abs(apart) <= tolerance:
        said.append(f"{true.at}: {apart:+.3f} samples beside its place {true.first_edge:.3f}")
    return said


def judge_start(case: Case, code: dict) -> list[str]:
    said = []
    if case.start_digits:
        start = (code.get("start") or "none").replace(";", ":")
        if start not in case.start_digits:
            said.append(f"start {code.get('start')}, and {' or '.join(case.start_digits)} is right")
    if case.start_samples is not None:
        got = code.get("start_samples_since_midnight")
        if got is None or not abs(got - case.start_samples) <= case.start_tolerance:
            said.append(
                f"start_samples_since_midnight {got}, and {case.start_samples:.3f} is right"
            )
    return said


def judge_clock(case: Case, code: dict) -> list[str]:
    said = []
    got, sigma = code.get("clock_ppm"), code.get("clock_ppm_uncertainty")
    if case.clock_ppm is None or got is None:
        if case.clock_uncertainty_below is not None:
            said.append("clock_ppm is missing")
        return said
    if sigma is None or not sigma > 0:
        return [f"clock_ppm_uncertainty {sigma}"]
    if not abs(got - case.clock_ppm) <= case.clock_sigmas * sigma:
        said.append(f"clock_ppm {got} ± {sigma}, and {case.clock_ppm:.4f} is right")
    bound = case.clock_uncertainty_below
    if bound is not None and not sigma < bound:
        said.append(f"clock_ppm_uncertainty {sigma}, and below {bound} is asked for")
    return said


def judge_stretches(case: Case, code: dict) -> list[str]:
    said = []
    total = sum(stretch["frames"] for stretch in code["stretches"])
    said.append(expect("frames of all stretches", total, code["frames_read"]))
    if case.stretches is not None:
        said.append(expect("stretches", len(code["stretches"]), case.stretches))
    nominal = float(RATES[case.recording.rate][0] / RATES[code["rate"]][0])
    for stretch in code["stretches"]:
        said.append(expect("evidence", stretch["evidence"], "each"))
        said.append(expect("reverse of a stretch", stretch["reverse"], case.reverse))
        if case.speed is not None:
            right = case.speed * nominal
            if not abs(stretch["speed"] / right - 1) <= 0.003:
                said.append(f"speed of a stretch: {stretch['speed']}, and {right:.4f} is right")
    return [complaint for complaint in said if complaint]


def judge_findings(case: Case, findings: list[dict]) -> list[str]:
    """All findings that must be there, where they must be, and no others."""
    said = []
    left = list(findings)
    for wanted in case.findings:
        fits = [finding for finding in left if finding_fits(wanted, finding)]
        if fits:
            left.remove(fits[0])
        else:
            same = [brief(f) for f in findings if f["kind"] == wanted.kind]
            said.append(f"finding missing: {wanted}; of that kind: {same or 'none'}")
    for finding in left:
        if finding["kind"] not in case.allowed:
            said.append(f"finding too many: {brief(finding)}")
    for finding in findings:
        if not finding["text"].strip() or not finding["remedy"].strip():
            said.append(f"finding without words: {brief(finding)}")
    return said


def finding_fits(wanted: Expected, finding: dict) -> bool:
    if finding["kind"] not in wanted.kind.split("|"):
        return False
    if wanted.begin is not None:
        sample = finding.get("sample")
        if sample is None or not wanted.begin <= sample <= wanted.end:
            return False
    if wanted.frames is not None:
        size = finding.get("frames")
        if size is None:
            return False
        right = wanted.frames
        if wanted.unsigned:
            size, right = abs(size), abs(right)
        return abs(size - right) <= wanted.frames_tolerance
    return True


def brief(finding: dict) -> str:
    parts = [finding["kind"]]
    for key in ("at", "sample", "frames"):
        if finding.get(key) is not None:
            parts.append(f"{key} {finding[key]}")
    return f"{', '.join(parts)}: {finding['text']}"


# ---------------------------------------------------------------------------------------------
# Many cases at once

_CASES: list = []


def run_cases(makers: list, tally: Tally, batch: int = 60) -> None:
    """Makes the cases (each maker gives one), reads their files in batches, judges them.

    Two processes share the work; each batch's files are removed when it has been judged.
    """
    build_reader()
    _CASES[:] = makers
    spans = [range(n, min(n + batch, len(makers))) for n in range(0, len(makers), batch)]
    with multiprocessing.get_context("fork").Pool(2) as pool:
        for results in pool.imap(run_batch, spans):
            for name, complaints in results:
                tally.case(name, complaints)


def build_reader() -> None:
    build = [part for part in READ if part not in ("--", "-q")]
    build[1] = "build"
    subprocess.run(build, cwd=ROOT, check=True)


def run_batch(span: range) -> list[tuple[str, list[str]]]:
    cases = [_CASES[n]() for n in span]
    with tempfile.TemporaryDirectory(prefix="plumbline-") as folder:
        files = []
        for n, case in enumerate(cases):
            file = Path(folder) / f"{n:03}.wav"
            sound = case.recording.samples if case.sound is None else case.sound
            file.write_bytes(wav_bytes(sound, case.recording.sample_rate, case.depth, case.extra))
            files.append(file)
        reports, status, errors = run_reader(files)
    results = []
    if len(reports) != len(cases) or status != 0:
        said = [f"{len(reports)} reports for {len(cases)} files, exit status {status}", errors]
        results.append((f"batch from {cases[0].name} to {cases[-1].name}", said))
    for case, report in zip(cases, reports):
        results.append((case.name, judge(case, report)))
    return results


# ---------------------------------------------------------------------------------------------
# What the start is


def start_of(recording: Recording, samples_per_word: float, begins: float, first) -> dict:
    """`start_digits` and `start_samples` of a case: worked back from the first word sent."""
    rate, _ = RATES[recording.rate]
    back = begins / samples_per_word  # frames from sample 0 to the first word
    number = first.frame_number() - back
    day = frames_in_day(first.base, first.drop)
    if first.base != RATES[recording.rate][1]:
        return {}
    whole = int(number // 1)
    digits = {address_of(whole, first.base, first.drop).digits()}
    # A start this near to a frame's edge may fall to either side.
    for nudge in (-0.001, 0.001):
        near = int((number + nudge) // 1)
        digits.add(address_of(near, first.base, first.drop).digits())
    seconds = first.frame_number() / rate
    samples = float(seconds * recording.sample_rate) - begins
    day_samples = float(day / rate * recording.sample_rate)
    return {"start_digits": tuple(sorted(digits)), "start_samples": samples % day_samples}


# ---------------------------------------------------------------------------------------------
# The judge judged


def true_report(case: Case) -> dict:
    """What a faultless reader would say of a clean case."""
    frames = [
        {
            "timecode": str(frame.at),
            "drop_frame": frame.drop_flag,
            "sample": frame.first_edge,
            "user_bits": f"{frame.user_bits:08X}",
            "reverse": frame.reverse,
        }
        for frame in case.recording.whole_frames()
    ]
    code = {
        "channel": case.channel,
        "rate": case.recording.rate,
        "drop_frame": case.recording.drop,
        "level_dbfs": case.level_dbfs,
        "start": case.start_digits[0],
        "start_samples_since_midnight": case.start_samples,
        "frames_read": len(frames),
        "frames_lost": 0,
        "clock_ppm": 0.01,
        "clock_ppm_uncertainty": 0.1,
        "stretches": [
            {"frames": len(frames), "evidence": "each", "reverse": False, "speed": 1.0}
        ],
        "findings": [
            {"kind": wanted.kind, "sample": wanted.begin, "text": "what", "remedy": "do"}
            for wanted in case.findings
        ],
        "frames": frames,
    }
    return {
        "file": case.name,
        "container": "wav",
        "sample_rate": case.recording.sample_rate,
        "bits": DEPTHS[case.depth],
        "samples": len(case.recording.samples),
        "codes": [code],
    }


def self_check(case: Case) -> None:
    """A true report passes; each report with one thing wrong in it does not."""
    assert judge(case, true_report(case)) == [], judge(case, true_report(case))

    def spoil_code(**wrong):
        return lambda report: report["codes"][0].update(wrong)

    def spoil_frame(**wrong):
        return lambda report: report["codes"][0]["frames"][5].update(wrong)

    weak = {"kind": "weak_level", "text": "quiet", "remedy": "louder"}
    spoilers = [
        lambda report: report.update(samples=7),
        lambda report: report.update(codes=[]),
        lambda report: report["codes"][0]["frames"].pop(5),
        lambda report: report["codes"][0]["frames"].append({**report["codes"][0]["frames"][5]}),
        lambda report: report["codes"][0]["findings"].append(weak),
        spoil_code(rate="24"),
        spoil_code(drop_frame=True),
        spoil_code(start="00:00:00:00"),
        spoil_code(start_samples_since_midnight=1.0),
        spoil_code(frames_read=3),
        spoil_code(frames_lost=1),
        spoil_code(clock_ppm=5.0),
        spoil_code(level_dbfs=-3.0),
        spoil_frame(timecode="00:00:00:00"),
        spoil_frame(user_bits="00000000"),
        spoil_frame(drop_frame=True),
        spoil_frame(reverse=True),
        spoil_frame(sample=case.recording.whole_frames()[5].first_edge + 0.2),
    ]
    for number, spoil in enumerate(spoilers):
        report = true_report(case)
        spoil(report)
        assert judge(case, report), f"the judge lets spoiler {number} pass"
