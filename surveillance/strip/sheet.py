"""Paper of the strip: its two variants, the scale of days and the heights of the lanes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from surveillance.strip.events import LANES


@dataclass(frozen=True)
class Sheet:
    """Places on paper of one variant."""

    variant: str
    width: float
    left: float
    right: float
    heights: tuple[float, ...]  # of the lanes, in their order
    down: float  # from a lane's top to where its shapes begin
    mark: float
    text: float

    @property
    def is_wide(self) -> bool:
        return self.variant == "wide"

    @property
    def bottom(self) -> float:
        return HEAD + sum(self.heights)

    def top(self, lane: str) -> float:
        return HEAD + sum(self.heights[: LANES.index(lane)])


HEAD = 34
WIDE = Sheet("wide", 1184, 208, 1180, (42, 40, 62, 62, 42, 42, 36), 0, 18, 13.5)
NARROW = Sheet("narrow", 358, 0, 356, (62, 60, 78, 78, 62, 62, 56), 20, 16, 13)


@dataclass(frozen=True)
class Days:
    """The scale: `first` stands at the left edge, today a little before the right one."""

    first: date
    today: date
    sheet: Sheet

    @property
    def end(self) -> float:
        """Where today stands."""
        return self.sheet.right - 14

    def x(self, day: date) -> float:
        share = (day - self.first).days / max((self.today - self.first).days, 1)
        left = self.sheet.left
        return left + min(max(share, 0), 1) * (self.end - left)

    def is_seen(self, day: date) -> bool:
        return self.first <= day <= self.today
