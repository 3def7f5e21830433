"""The rate of peritonitis quarter by quarter between limits: a u-chart for the page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from scipy import special

from surveillance.cases.episodes import PERITONITIS
from surveillance.estimates.rows import is_of
from surveillance.measures.infection_rates import counted
from surveillance.periods import day_number
from surveillance.signals.basis import Basis
from surveillance.signals.funnel import smallest_count
from surveillance.signals.phases import Floats
from surveillance.signals.rows import Block
from surveillance.signals.shewhart import TAIL, u_chart
from surveillance.signals.words import day_words, episodes, luck_words
from surveillance.time_at_risk.stretches import Ints

RULE, LOW_RULE, WIDE_RULE = "quarterly_rate", "quarterly_rate_low", "quarterly_rate_overdispersed"
QUARTERS_PER_YEAR = 4


@dataclass(frozen=True)
class Quarters:
    """One clinic's quarters of one phase, in order."""

    start: Ints
    end: Ints
    counts: Ints
    years: Floats
    centre: float  # per patient-year; not a number where nobody was ever at risk
    agreed: bool


def quarters(basis: Basis) -> Iterator[tuple[int, Quarters]]:
    """Each clinic's quarters, phase by phase; a phase holds from the first quarter it begins by.

    The centre is the agreed rate, else the clinic's own mean of the phase.
    Test: tests/surveillance/signals/test_quarterly_rate.py.
    """
    facts = basis.facts
    own = is_of(facts.when.periods, ("quarter",))
    periods = [one for one, chosen in zip(facts.when.periods, own, strict=True) if chosen]
    start = np.array([day_number(one.start) for one in periods], dtype=np.int64)
    end = np.array([day_number(one.last_day) for one in periods], dtype=np.int64)
    base = basis.baselines(start)
    counts = facts.case_counts(counted(PERITONITIS)(facts))[:, own]
    years = facts.clinic_days[:, own] / facts.rule_set.number("days_per_year")
    for clinic in np.flatnonzero(basis.dated).tolist():
        inside = start >= facts.when.first_day(np.array([clinic]))[0]
        for phase in np.unique(base.phase[clinic][inside]).tolist():
            at = inside & (base.phase[clinic] == phase)
            x, t, agreed = counts[clinic, at], years[clinic, at], base.agreed[clinic, at][0]
            mean = x.sum() / t.sum() if t.sum() > 0 else np.nan
            centre = float(mean if np.isnan(agreed) else agreed)
            yield clinic, Quarters(start[at], end[at], x, t, centre, not np.isnan(agreed))


def quarterly_rate(basis: Basis) -> Iterator[Block]:
    """Every quarter against probability limits, and against limits widened by over-dispersion.

    The upper limit is the count that chance passes in 0.135 % of quarters, the lower one likewise
    where there is one. Source: statistics.md 2.9, 2.22. Test: test_quarterly_rate.py.
    """
    for clinic, one in quarters(basis):
        yield _upper(clinic, one)
        yield from _lower(clinic, one)
        yield from _widened(clinic, one)


def _mean(one: Quarters) -> Floats:
    return np.where(one.years > 0, one.centre * one.years, np.nan)


def _per_year(one: Quarters, count: Floats | Ints) -> Floats:
    none = np.full(len(one.years), np.nan)
    return np.asarray(np.divide(count, one.years, out=none, where=one.years > 0))


def _upper(clinic: int, one: Quarters) -> Block:
    mean = np.maximum(np.nan_to_num(_mean(one)), 1e-300)
    most = smallest_count(np.full(len(mean), 1 - TAIL), mean)
    luck = special.pdtrc(most, mean)
    more = np.where(one.counts > 0, special.gammainc(np.maximum(one.counts, 1), mean), 1.0)
    p = np.where(one.years > 0, more, np.nan)
    return _block(RULE, clinic, one, _per_year(one, most), luck, p, "above")


def _lower(clinic: int, one: Quarters) -> Iterator[Block]:
    """Only where even no episode would be a surprise: from a mean of 6.61 on."""
    mean = np.nan_to_num(_mean(one))
    kept = np.flatnonzero(np.exp(-mean) < TAIL)
    if len(kept):
        some = replace(
            one, start=one.start[kept], end=one.end[kept], counts=one.counts[kept],
            years=one.years[kept],
        )  # fmt: skip
        # The fewest that chance goes below no more often than the tail allows.
        fewest = smallest_count(np.full(len(kept), TAIL), mean[kept])
        luck = special.pdtr(fewest - 1, mean[kept])
        p = special.pdtr(some.counts, mean[kept])
        yield _block(LOW_RULE, clinic, some, _per_year(some, fewest), luck, p, "below")


def _widened(clinic: int, one: Quarters) -> Iterator[Block]:
    """Laney's limits: three standard deviations, widened as the quarters swing."""
    some = np.flatnonzero(one.years > 0)
    if len(some) < 2 or not one.centre > 0:
        return
    found = u_chart(one.counts[some], one.years[some])
    sigma = max(1.0, found.laney_sigma_z or 0.0)
    limit = np.full(len(one.years), np.nan)
    limit[some] = one.centre + 3 * sigma * np.sqrt(one.centre / one.years[some])
    yield _block(WIDE_RULE, clinic, one, limit, np.full(len(limit), np.nan), np.nan, "above")


def _block(
    rule: str, clinic: int, one: Quarters, limit: Floats, luck: Floats, p: object, side: str
) -> Block:
    size = len(one.counts)
    rates, mean = _per_year(one, one.counts), _mean(one)
    yearly = np.where(one.years > 0, QUARTERS_PER_YEAR * luck, np.nan)
    told = zip(
        one.start.tolist(), one.end.tolist(), one.counts.tolist(), mean.tolist(), rates.tolist(),
        limit.tolist(), yearly.tolist(), strict=True,
    )  # fmt: skip
    sentence = [_sentence(rule, side, one.agreed, *row) for row in told]
    return Block(
        rule, np.full(size, clinic), one.start, one.end, one.counts, mean, rates, limit, yearly,
        sentence, p,  # type: ignore[arg-type]
    )  # fmt: skip


def _sentence(
    rule: str, side: str, agreed: bool, start: int, end: int, seen: int, mean: float,
    rate: float, limit: float, luck: float,
) -> str:  # fmt: skip
    if rate != rate:
        return f"Nobody was at risk from {day_words(start)} to {day_words(end)}."
    reference = "the agreed baseline" if agreed else "the mean of all quarters"
    told = (
        f"{episodes(seen)} from {day_words(start)} to {day_words(end)} ({rate:.2f} per "
        f"patient-year) where {reference} gives {mean:.1f}"
    )
    beyond = rate > limit if side == "above" else rate < limit
    if not beyond:
        return f"Within what luck does: {told}."
    often = f" Luck does this {luck_words(luck)}." if rule != WIDE_RULE else ""
    return f"{side.capitalize()} what luck explains: {told}.{often}"
