"""A figure in as many days after a decision as before it, counted from stored rows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from surveillance.rates.binomial import binomial_limits
from surveillance.rates.compare import RateRatio, rate_ratio
from surveillance.rates.poisson import exact_poisson_limits

Row = dict[str, Any]

LEVEL = 0.95
DAYS_PER_YEAR = 365.25  # design 2
# Which case rows a rate counts, each infection once.
_KINDS = {
    "peritonitis_rate": ("peritonitis",),
    "exit_site_infection_rate": ("exit_site",),
    "tunnel_infection_rate": ("tunnel",),
    "catheter_infection_rate": ("exit_site", "tunnel"),
}
# Which culture groups a share of the confirmed peritonitis episodes counts.
_CULTURES = {
    "culture_negative_share": ("culture_negative",),
    "not_cultured_share": ("not_cultured", "culture_pending"),
}


@dataclass(frozen=True)
class Window:
    """First and last day, what was counted, over what: days at risk or episodes."""

    first: date
    last: date
    count: int
    over: int
    value: float | None
    lower: float | None
    upper: float | None


@dataclass(frozen=True)
class BeforeAfter:
    """Two windows of equally many days; the ratio is after over before, of rates alone."""

    measure: str
    before: Window
    after: Window
    ratio: RateRatio | None

    @property
    def is_rate(self) -> bool:
        return self.measure in _KINDS


def before_after(
    measure: str, cases: Sequence[Row], ledger: Sequence[Row], decided_on: date, last: date
) -> BeforeAfter | None:
    """The days from the decision to `last`, its own day among them, against as many before it.

    cases, ledger: stored rows, days as ISO text. None before a day has passed. The ratio has exact
    limits; none where nobody was at risk on either side. Source: design 2, 3.3; statistics.md 2.6.
    Test: tests/surveillance/test_before_after.py.
    """
    length = (last - decided_on).days + 1
    if length < 1:
        return None
    first, before = decided_on - timedelta(days=length), decided_on - timedelta(days=1)
    windows = [
        _window(measure, cases, ledger, *days) for days in ((first, before), (decided_on, last))
    ]
    return BeforeAfter(measure, *windows, _ratio(measure, *windows))


def _window(
    measure: str, cases: Sequence[Row], ledger: Sequence[Row], first: date, last: date
) -> Window:
    start, end = first.isoformat(), last.isoformat()
    seen = [row for row in cases if start <= row["onset_on"] <= end]
    if measure in _CULTURES:
        asked = [row for row in seen if _is_episode(row)]
        count = sum(row["culture_group"] in _CULTURES[measure] for row in asked)
        return _share(first, last, count, len(asked))
    count = len(
        {
            (row["patient"], row["episode"])
            for row in seen
            if row["kind"] in _KINDS[measure] and row["counts"] == "yes"
        }
    )
    return _rate(first, last, count, sum(_overlap(row, first, last) for row in ledger))


def _is_episode(row: Row) -> bool:
    of_its_own = row["sequence"] != "same_episode"
    return row["kind"] == "peritonitis" and row["confirmed"] == "confirmed" and of_its_own


def _overlap(row: Row, first: date, last: date) -> int:
    """Days at risk of one stretch that lie in the window."""
    if row["state"] != "at_risk":
        return 0
    begun = max(date.fromisoformat(row["started_on"]), first)
    ended = min(date.fromisoformat(row["last_day_on"]), last)
    return max(0, (ended - begun).days + 1)


def _rate(first: date, last: date, count: int, days: int) -> Window:
    if not days:
        return Window(first, last, count, 0, None, None, None)
    years = days / DAYS_PER_YEAR
    limits = exact_poisson_limits(count, years, LEVEL)
    lower, upper = float(limits.lower), float(limits.upper)
    return Window(first, last, count, days, count / years, lower, upper)


def _share(first: date, last: date, count: int, episodes: int) -> Window:
    if not episodes:
        return Window(first, last, 0, 0, None, None, None)
    lower, upper = (
        float(limit) for limit in binomial_limits(count, episodes, LEVEL).clopper_pearson
    )
    return Window(first, last, count, episodes, count / episodes, lower, upper)


def _ratio(measure: str, before: Window, after: Window) -> RateRatio | None:
    if measure not in _KINDS or not before.over or not after.over:
        return None
    years = (after.over / DAYS_PER_YEAR, before.over / DAYS_PER_YEAR)
    return rate_ratio(after.count, years[0], before.count, years[1], LEVEL)


def change_text(ratio: RateRatio) -> str:
    """What the exact range of the ratio lets one say."""
    low, high = ratio.exact
    if high < 1:
        return "lower than before, beyond chance"
    return (
        "higher than before, beyond chance" if low > 1 else "no change that chance could not make"
    )


def ratio_text(ratio: RateRatio) -> str:
    """The ratio with its exact range, in words."""
    low, high = ratio.exact
    if ratio.ratio is None:
        return "No episode before or after: no ratio"
    upper = "without an upper limit" if math.isinf(high) else f"to {high:.2f}"
    said = "no episode before" if math.isinf(ratio.ratio) else f"{ratio.ratio:.2f}"
    return f"After over before: {said}, exact 95 % range {low:.2f} {upper}"
