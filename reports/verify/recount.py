"""Recounts every headline figure from a report's own lists, without a database.

On purpose its own way: limits straight from the distributions, counts straight from the rows.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from reports.rate_report.counting import (
    RULES,
    denominator,
    median_rate,
    numerator,
    own_counts,
)

Cells = Mapping[str, str]
Tables = Mapping[str, Sequence[Cells]]
NEEDED = ("headline", "ledger", "line_list")
_DAYS_PER_YEAR = 365.25
_CLOSE = 1e-9  # relative: the same formula on another machine


class NoLists(ValueError):
    """The report holds no lists to count from; the sentence says so."""


@dataclass(frozen=True)
class Checked:
    """One headline figure: each quantity as reported and as recounted."""

    figure: str
    period: str
    measure: str
    differs: tuple[tuple[str, str, str], ...]  # quantity, reported, recounted

    @property
    def agrees(self) -> bool:
        return not self.differs


def recount(tables: Tables) -> list[Checked]:
    missing = [name for name in NEEDED if name not in tables]
    if missing:
        raise NoLists(f"no {' and no '.join(missing)} in this report, so nothing can be recounted")
    own: dict[str, list[dict[str, str]]] = {}
    return [_checked(row, tables, own) for row in tables["headline"]]


def _checked(row: Cells, tables: Tables, own: dict[str, list[dict[str, str]]]) -> Checked:
    period = row["period"]
    if period not in own:
        own[period] = _patients(tables, period)
    found = _figures(row, tables, own[period])
    differs = tuple(
        (name, row[name], value) for name, value in found.items() if not _same(row[name], value)
    )
    return Checked(row["figure"], period, row["measure"], differs)


def _same(reported: str, found: str) -> bool:
    if not reported or not found:
        return reported == found
    return math.isclose(float(reported), float(found), rel_tol=_CLOSE, abs_tol=1e-12)


def _of(tables: Tables, name: str, period: str) -> list[Cells]:
    return [row for row in tables[name] if row["period"] == period]


def _patients(tables: Tables, period: str) -> list[dict[str, str]]:
    """From the ledger and the line list; the report's own table of patients is not asked."""
    found = own_counts(_of(tables, "ledger", period), _of(tables, "line_list", period))
    return [{name: str(count) for name, count in own.items()} for own in found.values()]


def _figures(row: Cells, tables: Tables, patients: list[dict[str, str]]) -> dict[str, str]:
    measure, period = row["measure"], row["period"]
    if measure not in RULES:
        raise NoLists(f"{row['figure']}: no rule to recount {measure!r}")
    lines = [dict(line) for line in _of(tables, "line_list", period)]
    days = sum(int(one["days_at_risk"]) for one in patients)
    top = numerator(measure, lines, patients)
    bottom = denominator(measure, lines, days, patients)
    return {"numerator": str(top), "denominator": str(bottom)} | dict(
        _values(measure, top, bottom, patients)
    )


def _values(
    measure: str, top: int, bottom: int, patients: list[dict[str, str]]
) -> Iterator[tuple[str, str]]:
    rule = RULES[measure]
    if not bottom:
        yield from ((name, "") for name in ("value", "lower", "upper"))
    elif rule.special == "median":
        yield "value", repr(median_rate(patients, _DAYS_PER_YEAR))
    elif rule.over == "days":
        years = bottom / _DAYS_PER_YEAR
        low, high = _poisson(top)
        for name, count in (("value", float(top)), ("lower", low), ("upper", high)):
            yield name, repr(count / years)
    else:
        low, high = binomial_limits(top, bottom)
        yield from (("value", repr(top / bottom)), ("lower", repr(low)), ("upper", repr(high)))


def _poisson(count: int) -> tuple[float, float]:
    """Garwood's limits of a count."""
    from scipy.stats import chi2  # brings half the library, which only this needs

    low = float(chi2.ppf(0.025, 2 * count)) / 2 if count else 0.0
    return low, float(chi2.ppf(0.975, 2 * count + 2)) / 2


def binomial_limits(count: int, of: int) -> tuple[float, float]:
    """The limits of Clopper and Pearson."""
    from scipy.stats import beta

    low = float(beta.ppf(0.025, count, of - count + 1)) if count else 0.0
    return low, float(beta.ppf(0.975, count + 1, of - count)) if count < of else 1.0
