"""The reader's own count: read as people write numbers, compared with what is stored."""

from __future__ import annotations

import re
from dataclasses import dataclass

from reports.recount.steps import Step

_PLAIN = re.compile(r"\d+(\.\d+)?")
_LEAST_DIGITS = 2  # a rate typed as "0" agrees with nothing


@dataclass(frozen=True)
class Answer:
    """What the page says beside a typed count."""

    typed: str
    is_same: bool | None  # None: nothing typed, or not to be read
    words: str


def readings(typed: str) -> list[str]:
    """What the text may mean: 18,050 is 18050 or, written with a decimal comma, 18.050."""
    bare = re.sub(r"[\s\u00a0\u202f%]", "", typed)
    ways = [bare.replace(",", ""), bare.replace(".", "").replace(",", ".")]
    return [way for way in dict.fromkeys(ways) if _PLAIN.fullmatch(way)]


def _agrees(reading: str, step: Step) -> bool:
    digits = len(reading.partition(".")[2])
    if step.value is None or (digits < _LEAST_DIGITS and not step.is_whole):
        return False
    allowed = 0.0 if step.is_whole else 0.5 * 10.0**-digits
    return abs(float(reading) - step.value) <= allowed * (1 + 1e-9)


def compare(typed: str, step: Step) -> Answer:
    """Same if it agrees to the last digit typed."""
    typed = typed.strip()[:40]
    if not typed:
        return Answer("", None, "")
    found = readings(typed)
    if not found:
        return Answer(typed, None, "write a number, as 17 or 0.344")
    if any(_agrees(reading, step) for reading in found):
        return Answer(typed, True, "same")
    if not step.is_whole and all(len(way.partition(".")[2]) < _LEAST_DIGITS for way in found):
        return Answer(typed, None, "two digits at least")
    return Answer(typed, False, f"differs: {step.shown} here")
