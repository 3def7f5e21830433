"""Two rule sets beside each other: their rules with sources, and one quarter's figures by both."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from reports.rate_report.definitions import definitions
from reports.rate_report.names import MEASURES
from reports.rate_report.sentences import verdict_text
from reports.rate_report.value_text import value_text
from surveillance.models import Snapshot
from surveillance.snapshots import undivided_rows

Row = dict[str, Any]


@dataclass(frozen=True)
class RulePair:
    """One rule or target as each of the two rule sets has it; None = that one has none."""

    name: str
    one: Any
    other: Any

    @property
    def differs(self) -> bool:
        return self.one is None or self.other is None or self.one.says != self.other.says


@dataclass(frozen=True)
class Figure:
    """One measure of one period by one rule set, in words."""

    counts: str
    value: str
    verdict: str
    row: Row


@dataclass(frozen=True)
class FigurePair:
    """The same measure by both rule sets."""

    title: str
    one: Figure
    other: Figure

    @property
    def differs(self) -> bool:
        said = [(side.counts, side.value, side.verdict) for side in (self.one, self.other)]
        return said[0] != said[1]


def rule_pairs(one: str, other: str) -> list[RulePair]:
    """Those that differ first, each group in the order of the rule sets."""
    left, right = ({rule.name: rule for rule in definitions(name).rows} for name in (one, other))
    pairs = [RulePair(name, left.get(name), right.get(name)) for name in {**left, **right}]
    return sorted(pairs, key=lambda pair: not pair.differs)


def figure_pairs(one: Snapshot, other: Snapshot, period: str) -> list[FigurePair]:
    """The undivided figures of a period, as both snapshots store them."""
    left, right = (undivided_rows(snapshot, period) for snapshot in (one, other))
    return [
        FigurePair(MEASURES[name].title, _figure(left[name]), _figure(right[name]))
        for name in MEASURES
        if name in left and name in right
    ]


def _figure(row: Row) -> Figure:
    counts = f"{row['numerator']:,} of {row['denominator']:,}"
    return Figure(counts, value_text(row), verdict_text(row), row)
