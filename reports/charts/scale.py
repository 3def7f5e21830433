"""From figures to places on paper, and the ticks in between."""

from __future__ import annotations

import math
from dataclasses import dataclass

from reports.charts.chart import Row
from reports.rate_report.number_text import is_little_time


@dataclass(frozen=True)
class Scale:
    """A straight scale from `low..high` to `start..stop` (which may run upwards)."""

    low: float
    high: float
    start: float
    stop: float

    def at(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return self.start + share * (self.stop - self.start)

    def inside(self, value: float) -> float:
        """The same, held at the edges."""
        return self.at(min(max(value, self.low), self.high))


def ticks(high: float, step: float) -> list[float]:
    return [round(step * index, 10) for index in range(round(high / step) + 1)]


def whole_steps(value: float, step: float) -> float:
    """The value rounded up to whole steps."""
    return math.ceil(round(value / step, 9)) * step


def roof(rows: list[Row], step: float, least: float, most: float) -> float:
    """The top of a rate scale: holds every rate that had time enough, and ranges up to `most`.

    In whole steps and with a least height, so that it seldom moves from quarter to quarter.
    """
    held = [row for row in rows if row["denominator"] and not is_little_time(row["denominator"])]
    values = max((row["value"] for row in held), default=0)
    ranges = min(max((row["upper"] for row in held), default=0), most)
    return max(least, whole_steps(max(values, ranges), step))
