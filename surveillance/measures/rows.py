"""Figures become measure rows: sorted, with value, limits, target and verdict."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

import numpy as np
import pandas as pd

from surveillance.measures import MEASURES
from surveillance.measures.figures import Figure
from surveillance.periods import Period, day_number
from surveillance.rates.binomial import Floats, clopper_pearson
from surveillance.rates.poisson import garwood
from surveillance.rules import RuleSet
from surveillance.text_columns import constant, days_as_text, of_codes
from surveillance.time_at_risk.calendar import Calendar
from surveillance.time_at_risk.period_order import period_ranks
from surveillance.time_at_risk.stretches import Bools, Ints

NAMES = tuple(sorted(MEASURES))
UNITS = ("patient_days", "patients", "episodes", "catheters")
INTERVALS = ("exact_poisson", "exact_binomial")
VERDICTS = ("meets", "misses", "meets_uncertain", "misses_uncertain", "no_data")
NO_DATA = VERDICTS.index("no_data")

Texts = tuple[str, ...]
_COLUMNS = ("clinic", "period", "measure", "split", "band", "numerator", "denominator", "value")


@dataclass(frozen=True)
class Rows:
    """Measure rows as codes; `value` is set only where it is no quotient."""

    clinic: Ints
    period: Ints
    measure: Ints  # place in NAMES
    split: Ints  # place in splits
    band: Ints  # place in bands
    numerator: Ints
    denominator: Ints
    value: Floats
    splits: tuple[str, ...]
    bands: tuple[str, ...]

    @property
    def undivided(self) -> Bools:
        empty: Bools = self.split == self.splits.index("")
        return empty


@dataclass(frozen=True)
class Labels:
    """What the codes of rows mean, and under what they were made."""

    clinics: Sequence[str]
    periods: Sequence[Period]
    rule_set: RuleSet
    as_of: date


def _of_figure(name: str, figure: Figure, when: Calendar, splits: Texts, bands: Texts) -> Rows:
    part, whole = figure.numerator, figure.denominator
    cell, period = when.rows(figure.clinic, part, whole, divided=figure.split != "")
    size = len(cell)
    place = {label: number for number, label in enumerate(bands)}
    of_label = np.array([place[label] for label in figure.labels], dtype=np.int64)
    return Rows(
        clinic=figure.clinic[cell],
        period=period,
        measure=np.full(size, NAMES.index(name), dtype=np.int64),
        split=np.full(size, splits.index(figure.split), dtype=np.int64),
        band=of_label[figure.bands[cell]],
        numerator=part[cell, period],
        denominator=whole[cell, period],
        value=np.full(size, np.nan) if figure.value is None else figure.value[cell, period],
        splits=splits,
        bands=bands,
    )


def rows_of(figures: Sequence[tuple[str, Figure]], when: Calendar) -> Rows:
    """The rows that exist of every (measure, figure). Test: test_rows.py."""
    splits = tuple(sorted({figure.split for _, figure in figures}))
    bands = tuple(sorted({label for _, figure in figures for label in figure.labels}))
    made = [_of_figure(name, figure, when, splits, bands) for name, figure in figures]
    joined: dict[str, Any] = {
        name: np.concatenate([getattr(one, name) for one in made]) for name in _COLUMNS
    }
    return replace(made[0], **joined)


def in_order(rows: Rows, periods: Sequence[Period]) -> Rows:
    """Sorted by clinic, period, measure, split and band. Source: design 3.3. Test: test_rows.py."""
    span, text = period_ranks(periods)
    keys = (text[rows.period], rows.band, rows.split, rows.measure, span[rows.period], rows.clinic)
    order = np.lexsort(keys)
    return replace(rows, **{name: getattr(rows, name)[order] for name in _COLUMNS})


def _limits(rows: Rows, interval: Ints, rule_set: RuleSet) -> tuple[Floats, Floats, Floats]:
    """Value, lower and upper limit; not a number at denominator 0."""
    level, days_per_year = rule_set.number("limits_level"), rule_set.number("days_per_year")
    value, lower, upper = rows.value.copy(), rows.value * np.nan, rows.value * np.nan
    poisson = (interval == INTERVALS.index("exact_poisson")) & (rows.denominator > 0)
    binomial = (interval == INTERVALS.index("exact_binomial")) & (rows.denominator > 0)
    # Limits depend on few distinct counts: each is worked out once.
    x, same = np.unique(rows.numerator[poisson], return_inverse=True)
    years = rows.denominator[poisson] / days_per_year
    value[poisson] = rows.numerator[poisson] * days_per_year / rows.denominator[poisson]
    lower[poisson], upper[poisson] = (limit[same] / years for limit in garwood(x, level))
    size = int(rows.denominator[binomial].max(initial=0)) + 1
    pair = rows.numerator[binomial] * size + rows.denominator[binomial]
    pair, same = np.unique(pair, return_inverse=True)
    value[binomial] = rows.numerator[binomial] / rows.denominator[binomial]
    both = clopper_pearson((pair // size).astype(float), (pair % size).astype(float), level)
    lower[binomial], upper[binomial] = (limit[same] for limit in both)
    return value, lower, upper


def _targets(rows: Rows, value: Floats, labels: Labels) -> tuple[Floats, Bools]:
    """The target of each row, where it has one, and whether the value meets it."""
    target, met = np.full(len(value), np.nan), np.zeros(len(value), dtype=bool)
    for name, rule in labels.rule_set.targets.items():
        of_kind = np.array([period.kind in rule.kinds for period in labels.periods], dtype=bool)
        asked = rows.undivided & (rows.measure == NAMES.index(name))
        asked &= np.append(of_kind, False)[rows.period]
        target[asked] = rule.value
        met[asked] = rule.met_by(value[asked])
    return target, met


def _verdicts(rows: Rows, target: Floats, met: Bools, lower: Floats, upper: Floats) -> Ints:
    uncertain = (lower <= target) & (target <= upper)
    said = np.where(met, 0, 1) + 2 * uncertain
    return np.select([np.isnan(target), rows.denominator == 0], [-1, NO_DATA], said)


def measure_frame(rows: Rows, labels: Labels) -> pd.DataFrame:
    """The measure rows of design 3.3 for rows already in order. Test: test_rows.py."""
    kinds = [MEASURES[name] for name in NAMES]
    unit = np.array([UNITS.index(kind.unit) for kind in kinds])[rows.measure]
    of_kind = [INTERVALS.index(kind.interval) if kind.interval else -1 for kind in kinds]
    interval = np.array(of_kind)[rows.measure]
    value, lower, upper = _limits(rows, interval, labels.rule_set)
    target, met = _targets(rows, value, labels)
    size = len(value)
    first = np.array([day_number(period.start) for period in labels.periods], dtype=np.int64)
    last = np.array([day_number(period.last_day) for period in labels.periods], dtype=np.int64)
    columns = {
        "clinic": of_codes(rows.clinic, labels.clinics),
        "period": of_codes(rows.period, [period.text for period in labels.periods]),
        "period_start": days_as_text(first[rows.period]),
        "period_end": days_as_text(last[rows.period]),
        "measure": of_codes(rows.measure, NAMES),
        "split": of_codes(rows.split, rows.splits),
        "band": of_codes(rows.band, rows.bands),
        "numerator": rows.numerator,
        "denominator": rows.denominator,
        "denominator_unit": of_codes(unit, UNITS),
        "value": value,
        "lower": lower,
        "upper": upper,
        "level": np.where(interval < 0, np.nan, labels.rule_set.number("limits_level")),
        "interval": of_codes(interval, INTERVALS),
        "target": target,
        "verdict": of_codes(_verdicts(rows, target, met, lower, upper), VERDICTS),
        "rule_set": constant(labels.rule_set.name, size),
        "as_of": constant(labels.as_of.isoformat(), size),
    }
    return pd.DataFrame(columns)
