"""Time since the latest training as stretches of five shades."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

# First day of each shade after a training: the bands of time_since_training (design 3.3).
STEPS = (0, 91, 182, 365, 730)
LONG_DAYS = 365


@dataclass(frozen=True)
class Shade:
    """Days from `first` up to, not including, `stop`; step 1 is the palest."""

    first: date
    stop: date
    step: int


@dataclass(frozen=True)
class Wait:
    """A stretch without training long enough to be said in words."""

    first: date
    stop: date

    @property
    def days(self) -> int:
        return (self.stop - self.first).days


def _pairs(trained: Sequence[date], stop: date) -> list[tuple[date, date]]:
    """From each training to the next, the latest one to `stop`."""
    days = sorted({day for day in trained if day < stop})
    return list(pairwise([*days, stop]))


def shades(trained: Sequence[date], stop: date) -> list[Shade]:
    found = []
    for first, until in _pairs(trained, stop):
        edges = [first + timedelta(days=step) for step in STEPS]
        for step, (begin, end) in enumerate(zip(edges, [*edges[1:], until], strict=True), start=1):
            if begin < until:
                found.append(Shade(begin, min(end, until), step))
    return found


def waits(trained: Sequence[date], stop: date) -> list[Wait]:
    return [Wait(*pair) for pair in _pairs(trained, stop) if (pair[1] - pair[0]).days >= LONG_DAYS]
