"""The four rates beside their exact limits: mid-P limits, chance of the target, reliability."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pandas as pd

from surveillance.estimates.basis import Basis
from surveillance.estimates.rows import LONGER, Block, Cells, Floats, cells, is_of
from surveillance.measures.facts import Facts
from surveillance.measures.figures import Figure, Measure
from surveillance.measures.infection_rates import INFECTION_RATES
from surveillance.rates.poisson import gamma_posterior, midp_of_mean
from surveillance.time_at_risk.stretches import Bools, Ints

TRAINING_CLOCK = "time_since_training"
JEFFREYS_SHAPE, JEFFREYS_RATE = 0.5, 0.0
FEW_PATIENT_YEARS = 5  # our choice: below it the note says so


@dataclass(frozen=True)
class RateRows:
    """Counts and patient-years of one rate, undivided or by band."""

    at: Cells
    count: Ints
    years: Floats
    split: str
    band: Ints
    labels: tuple[str, ...]

    @property
    def known(self) -> Bools:
        some: Bools = self.years > 0
        return some

    @property
    def rate(self) -> Floats:
        return np.where(self.known, self.count / np.where(self.known, self.years, 1.0), np.nan)

    def block(self, name: str, method: str, value: Floats, **more: object) -> Block:
        """Rows at these cells."""
        own = {"split": self.split, "band": self.band, "labels": self.labels}
        return Block(name, method, self.at, value, **own, **more)  # type: ignore[arg-type]


def figure_of(measure: Measure, facts: Facts, split: str = "") -> Figure:
    """One figure of a measure, without making those after it. Test: test_rates.py."""
    return next(figure for figure in measure.figures(facts) if figure.split == split)


def rate_rows(measure: Measure, facts: Facts, split: str = "") -> RateRows:
    """Count and patient-years of a rate in quarters, years and rolling years. Test: as above."""
    figure = figure_of(measure, facts, split)
    part, whole = figure.numerator, figure.denominator
    cell, period = facts.when.rows(figure.clinic, part, whole, divided=split != "")
    asked = is_of(facts.when.periods, LONGER)[period]
    cell, period = cell[asked], period[asked]
    return RateRows(
        at=Cells(figure.clinic[cell], period),
        count=part[cell, period],
        years=whole[cell, period] / facts.rule_set.number("days_per_year"),
        split=split,
        band=figure.bands[cell],
        labels=figure.labels,
    )


def _midp(name: str, rows: RateRows, level: float) -> Block:
    """Limits depend on few distinct counts: each is worked out once."""
    counts, same = np.unique(rows.count, return_inverse=True)
    years = np.where(rows.known, rows.years, np.nan)
    lower, upper = (limit[same] / years for limit in midp_of_mean(counts.astype(float), level))
    return rows.block(name, "midp_poisson", rows.rate, lower=lower, upper=upper)


def _chance(name: str, rows: RateRows, target: float) -> Block:
    """The chance that the true rate is at or below the target, under Jeffreys' prior."""
    years = np.where(rows.known, rows.years, 1.0)
    said = gamma_posterior(rows.count, years, JEFFREYS_SHAPE, JEFFREYS_RATE, target)
    chance = np.where(rows.known, said.p_at_or_below_target, np.nan)
    return rows.block(f"{name}_meets_target", "gamma_jeffreys", chance, note=f"target {target:g}")


def rate_limits(basis: Basis) -> Iterator[Block]:
    """Mid-P limits of the four rates, and the chance that a rate meets its target.

    Source: statistics.md 2.3 and 2.4. Test: tests/surveillance/estimates/test_rates.py.
    """
    rules = basis.facts.rule_set
    for measure in INFECTION_RATES:
        splits = ("", TRAINING_CLOCK) if measure.name == "peritonitis_rate" else ("",)
        for split in splits:
            rows = rate_rows(measure, basis.facts, split)
            yield _midp(measure.name, rows, rules.number("limits_level"))
            if measure.name in rules.targets:
                yield _chance(measure.name, rows, rules.targets[measure.name].value)


def _reliability_notes(rows: RateRows) -> list[str]:
    few, none = rows.years < FEW_PATIENT_YEARS, rows.count == 0
    texts = ["", f"under {FEW_PATIENT_YEARS} patient-years", "no episode"]
    texts.append(f"{texts[2]}; {texts[1]}")
    return [texts[code] for code in (few + 2 * none).tolist()]


def reliability(basis: Basis) -> Iterator[Block]:
    """How far each rate can be relied on: its relative standard error, and a note on little time.

    Source: statistics.md 2.18. Test: tests/surveillance/estimates/test_rates.py.
    """
    for measure in INFECTION_RATES:
        rows = rate_rows(measure, basis.facts)
        some = rows.count > 0
        percent = np.where(some, 100 / np.sqrt(np.where(some, rows.count, 1)), np.nan)
        name = f"{measure.name}_relative_standard_error_percent"
        yield rows.block(name, "poisson", percent, note=_reliability_notes(rows))


def _counts(facts: Facts, shown: pd.DataFrame) -> Ints:
    """How many of some measure rows each clinic and period has."""
    texts = [period.text for period in facts.when.periods]
    names = facts.at.record.clinics["clinic"].tolist()
    clinic, period = (
        pd.Index(where, dtype=object).get_indexer(pd.Index(shown[column].astype(object)))
        for column, where in (("clinic", names), ("period", texts))
    )
    count = np.zeros((len(names), len(texts)), dtype=np.int64)
    np.add.at(count, (clinic, period), 1)
    return count


def looks(basis: Basis) -> Iterator[Block]:
    """How many figures a period shows, and the chance that one of them errs by luck alone.

    All figures with limits, and those held against a target. Source: statistics.md 2.21,
    independent looks at 5 %. Test: tests/surveillance/estimates/test_rates.py.
    """
    at, frame = cells(basis.facts, LONGER), basis.measures
    alpha = 1 - basis.facts.rule_set.number("limits_level")
    shown = (frame["interval"] != "") & (frame["denominator"] > 0)
    for name, rows in {"looks": shown, "target_looks": shown & frame["target"].notna()}.items():
        number = at.of(_counts(basis.facts, frame[rows]))
        chance = -np.expm1(number * np.log1p(-alpha))
        yield Block(f"{name}_count", "count", at, number)
        yield Block(f"{name}_chance_of_one_false", "independent_looks", at, chance)
