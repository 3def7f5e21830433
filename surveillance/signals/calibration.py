"""How often each signal errs by luck, and how soon it finds a rise: made clinics put through it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
import pandas as pd

from surveillance.cases.organisms import Organisms
from surveillance.measures.compute import facts_of
from surveillance.periods import EPOCH, day_number
from surveillance.rules import RULE_SETS
from surveillance.signals.alarm import DEFAULT_ALARMS, stands_out
from surveillance.signals.compute import signals_of
from surveillance.signals.first_isolates import WINDOW_DAYS
from surveillance.signals.made_clinics import Plan, made_clinics
from surveillance.signals.phases import Floats, Phase
from surveillance.time_at_risk.stretches import Ints

SIZES = (15, 30, 60, 200)  # patients; issue 5
RATIOS = (1.5, 2.0, 3.0)
RATE = 0.4
FIRST_DAY = date(2016, 1, 4)  # a Monday
WARM_UP_YEARS, STEADY_YEARS, CHANGED_YEARS = 3, 5, 3
DAYS_PER_MONTH = 365.25 / 12
# What a rise can raise; the others tell of a fall, of trainers, or count looks.
RULES = (
    *DEFAULT_ALARMS, "organism_pair", "quarterly_rate", "quarterly_rate_overdispersed",
    "monthly_ewma", "long_gap",
)  # fmt: skip
TOGETHER = "default_alarms"  # all default alarms as one


@dataclass(frozen=True)
class Found:
    """One line of the report."""

    rule: str
    patients: int
    rate_ratio: float
    clinics: int
    alarms_per_clinic_year: float  # in steady years
    stated_per_clinic_year: float  # what the rows themselves say; not a number where they do not
    median_months: float  # to the first alarm after the rise; infinite if most never see it
    found_within_year_share: float


@dataclass(frozen=True)
class _Seen:
    rows: pd.DataFrame
    out: pd.DataFrame  # the rows that begin to stand out


def _day_numbers(column: pd.Series[str]) -> Ints:
    return column.to_numpy(dtype="M8[D]").astype(np.int64)


def begun(rows: pd.DataFrame) -> pd.DataFrame:
    """Rows that stand out while the line did not within the 8 weeks before; days as numbers.

    A CUSUM starts anew after an alarm: each of its alarms counts. Test: test_calibration.py.
    """
    names = ("rule", "statistic", "limit")
    cells = zip(*(rows[name].tolist() for name in names), strict=True)
    chosen = [stands_out(dict(zip(names, one, strict=True))) for one in cells]
    out = rows[chosen]
    out = out.assign(day=_day_numbers(out["window_end"])).sort_values(
        ["clinic", "rule", "band", "day"], kind="stable"
    )
    line = out[["clinic", "rule", "band"]].astype(str).agg("|".join, axis=1).to_numpy()
    day = out["day"].to_numpy()
    again = np.zeros(len(out), dtype=bool)
    again[1:] = (line[1:] == line[:-1]) & (np.diff(day) <= WINDOW_DAYS)
    kept = out[~again | (out["rule"] == "peritonitis_cusum").to_numpy()]
    # Two lines that the same day lights up (Pseudomonas, and water organisms) are one alarm.
    return kept.drop_duplicates(["clinic", "rule", "day"])


def _run(plan: Plan, known: Organisms, seed: int) -> _Seen:
    rules = RULE_SETS["rule_2022"]
    as_of = EPOCH + pd.Timedelta(days=plan.stop_day - 1).to_pytimedelta()
    record = made_clinics(plan, seed)
    agreed = [Phase(plan.first_day, plan.rate)]
    phases = {str(name): agreed for name in record.clinics["clinic"]}
    rows = signals_of(facts_of(record, known, rules, as_of, None), phases, plan.stop_day)
    return _Seen(rows, begun(rows))


def _of(out: pd.DataFrame, rule: str) -> pd.DataFrame:
    rules = DEFAULT_ALARMS if rule == TOGETHER else (rule,)
    return out[out["rule"].isin(rules)]


def _stated(rows: pd.DataFrame, rule: str) -> float:
    """The mean of what the clinics' newest rows say of a year, all lines of a rule together."""
    if rule == TOGETHER:
        return float(rows.loc[rows["rule"] == "looks", "false_alarms_per_year"].mean())
    own = rows[rows["rule"] == rule]
    if rule == "organism_pair" or own["false_alarms_per_year"].isna().all():
        return float("nan")  # a pair has rows only where it happened
    newest = own.groupby(["clinic", "band"], observed=True)["false_alarms_per_year"].last()
    return float(newest.groupby("clinic", observed=True).sum().mean())


def _months(out: pd.DataFrame, rule: str, plan: Plan) -> Floats:
    """Months from the change to each clinic's first alarm; infinite if none came."""
    later = _of(out, rule)
    later = later[later["day"] >= plan.change_day]
    first = later.groupby("clinic", observed=True)["day"].min().to_numpy()
    months = np.full(plan.clinics, np.inf)
    months[: len(first)] = (first - plan.change_day + 1) / DAYS_PER_MONTH
    return months


def calibrate(
    known: Organisms,
    clinics: int,
    seed: int,
    sizes: tuple[int, ...] = SIZES,
    frailty_variance: float = 0.0,
) -> Iterator[list[Found]]:
    """The lines of one size after the other.

    clinics: how many are made of each size and ratio; a steady one is watched for five years after
    three, a changed one for three years; frailty_variance: how far patients differ. Source: own
    simulation; statistics.md 2.22 has figures to compare.
    Test: tests/surveillance/signals/test_calibration.py.
    """
    first = day_number(FIRST_DAY)
    change = first + round(WARM_UP_YEARS * 365.25)
    for patients in sizes:
        stop = change + round(STEADY_YEARS * 365.25)
        plan = Plan(clinics, patients, first, stop, RATE, change, 1.0, frailty_variance)
        steady = _run(plan, known, seed)
        stop = change + round(CHANGED_YEARS * 365.25)
        changed = {
            ratio: _run(replace(plan, stop_day=stop, ratio=ratio), known, seed) for ratio in RATIOS
        }
        yield [
            _found(rule, plan, ratio, steady, seen)
            for rule in (TOGETHER, *RULES)
            for ratio, seen in changed.items()
        ]


def _found(rule: str, plan: Plan, ratio: float, steady: _Seen, changed: _Seen) -> Found:
    out = _of(steady.out, rule)
    luck = int((out["day"] >= plan.change_day).sum())
    months = _months(changed.out, rule, plan)
    return Found(
        rule=rule,
        patients=plan.patients,
        rate_ratio=ratio,
        clinics=plan.clinics,
        alarms_per_clinic_year=luck / plan.clinics / STEADY_YEARS,
        stated_per_clinic_year=_stated(steady.rows, rule),
        median_months=float(np.median(months)),
        found_within_year_share=float((months <= 12).mean()),
    )
