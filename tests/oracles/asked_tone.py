"""A tone that Make is asked for, and what should come of it.

Settings as they are typed, and beside them what they come to in whole numbers and fractions, by
IEC 60461:2010 (clause A.3 for the time reference), SMPTE ST 12-1:2014, ST 12-3:2016, ST 309:2012,
ST 2059-1:2021 and EBU Tech 3285. The codewords are the naive writer's. Shares nothing with the
Rust crates but the names of the settings.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from fractions import Fraction

from ltc_writer import RATES, Address, address_of, codeword, frames_in_day

# Above 30 frames a second a codeword spans several frames: IEC 60461 clauses 8.5 and 11, SMPTE
# ST 12-3 for 100 and above. Their frames, the rate of codewords, frames in each.
HIGH = {
    "47.952": (48, "23.976", 2),
    "48": (48, "24", 2),
    "50": (50, "25", 2),
    "59.94": (60, "29.97", 2),
    "60": (60, "30", 2),
    "100": (100, "25", 4),
    "119.88": (120, "29.97", 4),
    "120": (120, "30", 4),
}

# SMPTE ST 309:2012 table 2: the two hexadecimal digits for an offset from UTC.
ZONES = {
    "+00:00": "00", "-01:00": "01", "-05:00": "05", "-09:00": "09", "-10:00": "10", "-12:00": "12",
    "+13:00": "13", "+12:00": "14", "+07:00": "19", "+06:00": "20", "+02:00": "24", "+01:00": "25",
    "-00:30": "0A", "-03:30": "0D", "-05:30": "0F", "-06:30": "1A", "-11:30": "1F",
    "+00:30": "3F", "+05:30": "3A", "+06:30": "2F", "+09:30": "2C", "+11:30": "2A", "+12:45": "32",
}


@dataclass
class Asked:
    """Settings, and beside them the same in numbers."""

    rate: str = "25"
    drop: bool = False
    # The first frame, counted as frames are; and how many codewords there are in a take.
    first: str = "10:00:00:00"
    codewords: int = 50
    takes: int = 1
    silence: str = "5"
    # In codewords.
    jump: int = 0
    sample_rate: int = 48000
    samples: str = "24"
    level: str = "-18"
    polarity: str = "upright"
    beside: str = "nothing"
    # Settings of the user bits and flags, what the bits are on the first day, and BGF2, 1, 0.
    content: dict[str, str] = field(default_factory=dict)
    user_bits: int = 0
    bgf: tuple[int, int, int] = (0, 0, 0)
    # The day and the zone of SMPTE ST 309.
    day: date | None = None
    zone: str = ""
    colour: bool = False
    # How the end of a take is told.
    until: str = "length"

    def name(self) -> str:
        counting = "drop" if self.drop else "non-drop"
        kind = self.content.get("user_bits_are", "plain")
        return (
            f"{self.rate} {counting} {self.first} {self.takes}x{self.codewords} {kind} "
            f"{self.sample_rate} {self.samples} {self.beside}"
        )

    def settings(self) -> list[str]:
        pairs = {
            "rate": self.rate,
            "counting": "drop" if self.drop else "non-drop",
            "start": self.first,
            "until": self.until,
            "takes": self.takes,
            "silence": self.silence,
            "sample_rate": self.sample_rate,
            "samples": self.samples,
            "level": self.level,
            "polarity": self.polarity,
            "beside": self.beside,
            "colour_frame": "set" if self.colour else "clear",
            "jump": ("-" if self.jump < 0 else "") + self.duration(abs(self.jump)),
            **self.content,
        }
        if self.until == "last":
            pairs["last"] = self.frame(self.codewords - 1)
        else:
            pairs["length"] = self.duration(self.codewords)
        return [f"{key}={value}" for key, value in pairs.items()]

    # Counting

    def high(self) -> tuple[int, str, int]:
        return HIGH.get(self.rate) or (RATES[self.rate][1], self.rate, 1)

    def code_rate(self) -> Fraction:
        return RATES[self.high()[1]][0]

    def base(self) -> int:
        return RATES[self.high()[1]][1]

    def first_code(self) -> Address:
        """The address in the first codeword: frames are counted in pairs or fours, all else is
        the same (IEC 60461 clause 8.5)."""
        h, m, s, f = (int(part) for part in self.first.replace(";", ":").split(":"))
        assert f % self.high()[2] == 0, self.first
        return Address(self.base(), self.drop, h, m, s, f // self.high()[2])

    def code(self, on: int) -> Address:
        """The address so many codewords after the first one."""
        return address_of(self.first_code().frame_number() + on, self.base(), self.drop)

    def frame(self, on: int) -> str:
        """The first frame of that codeword, counted as frames are."""
        at = self.code(on)
        nominal, _, span = self.high()
        mark, width = ";" if self.drop else ":", len(str(nominal - 1))
        return f"{at.hours:02}:{at.minutes:02}:{at.seconds:02}{mark}{at.frames * span:0{width}}"

    def duration(self, codewords: int) -> str:
        """A length that counts as addresses do (SMPTE ST 2059-1 clause 9.3.3.4)."""
        if codewords == frames_in_day(self.base(), self.drop):
            return "24:00:00:00"
        return Asked(rate=self.rate, drop=self.drop, first="00:00:00:00").frame(codewords)

    def numbers(self) -> list[list[int]]:
        """Of each take, how many codewords after the first one its codewords are."""
        return [
            [take * (self.codewords + self.jump) + n for n in range(self.codewords)]
            for take in range(self.takes)
        ]

    # Places

    def per_word(self) -> Fraction:
        return self.sample_rate / self.code_rate()

    def gap(self) -> int:
        return round(Fraction(self.silence) * self.sample_rate)

    def take_samples(self) -> Fraction:
        """How long a take is; before a silence, to the next whole sample."""
        exact = self.codewords * self.per_word()
        return exact if self.gap() == 0 else Fraction(-int(-exact // 1))

    def take_begins(self, take: int) -> Fraction:
        return take * (self.take_samples() + self.gap())

    def sample_frames(self) -> int:
        exact = self.take_begins(self.takes - 1) + self.take_samples()
        return -int(-exact // 1)

    def time_reference(self) -> Fraction:
        """Samples from midnight to the first one (EBU Tech 3285, IEC 60461 clause A.3)."""
        return self.first_code().frame_number() * self.per_word()

    # Content

    def bits(self, on: int) -> tuple[int, ...]:
        days = (self.first_code().frame_number() + on) // frames_in_day(self.base(), self.drop)
        user_bits = self.user_bits if self.day is None else st309(self.day, self.zone, days)
        return tuple(codeword(self.code(on), user_bits, self.bgf, self.colour))

    def first_user_bits(self) -> int:
        return self.user_bits if self.day is None else st309(self.day, self.zone, 0)


def st309(day: date, zone: str, days: int) -> int:
    """SMPTE ST 309:2012: the day in groups 1 to 6, units first; the zone in groups 7 and 8. The day
    steps at 00:00:00:00 (SMPTE ST 2059-1 clause 9.3.4)."""
    return int(ZONES[zone] + (day + timedelta(days=days)).strftime("%y%m%d"), 16)
