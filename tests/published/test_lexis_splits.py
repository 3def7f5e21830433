"""Time since training cut into bands and periods: the worked examples lexis_split and bigsplit-01.

Days at risk and the bands of onsets come from the method's own parts. The examples write spells as
[start, stop) and count every episode; ours are written with their last day.
"""

from __future__ import annotations

import csv
import json
from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from surveillance.periods import Period, day_number, month_of, parse_period
from surveillance.rules import RULE_SETS, Rule
from surveillance.time_at_risk.days import days_by_band
from surveillance.time_at_risk.months import Months, month_counts, period_sums
from surveillance.time_at_risk.splits import SPLITS
from surveillance.time_at_risk.timeline import AT_RISK, timeline
from tests.surveillance.records import make_record

EXAMPLES = Path(__file__).parents[2] / "fixtures" / "published" / "worked_examples.csv"
FIRST, LAST = date(2014, 1, 1), date(2026, 1, 1)


def examples(method: str) -> list[dict[str, str]]:
    with EXAMPLES.open(encoding="utf-8", newline="") as file:
        return [row for row in csv.DictReader(file) if row["method"] == method]


def last_day(stop: str) -> str:
    return (date.fromisoformat(stop) - timedelta(days=1)).isoformat()


def rules(cuts: list[int]) -> Any:
    """The rule set with the example's own bands."""
    whole = RULE_SETS["rule_2022"]
    rule: Rule = replace(whole.rules["training_bands_start_at"], value=tuple(cuts))
    return replace(whole, rules={**whole.rules, rule.name: rule})


def periods(kind: str) -> list[Period]:
    years = range(FIRST.year, LAST.year)
    if kind == "quarter":
        return [parse_period(f"{year}-Q{number}") for year in years for number in (1, 2, 3, 4)]
    return [parse_period(str(year)) for year in years]


def cells(
    patients: list[dict[str, Any]],
    cuts: list[int],
    kind: str,
    clock: str,
    first: str = "2014-01-01",
) -> dict[str, Any]:
    """Rows (period, band, days, episodes) that are not 0, and the totals."""
    spells = [
        {"patient": number, "started_on": start, "last_day_on": last_day(stop)}
        for number, person in enumerate(patients)
        for start, stop in person["spells"]
    ]
    first_only = slice(1) if clock == "first" else slice(None)
    trainings = [
        {"patient": number, "completed_on": on}
        for number, person in enumerate(patients)
        for on in sorted(person["trainings"])[first_only]
    ]
    people = [{"patient": str(number)} for number in range(len(patients))]
    record = make_record(patients=people, pd_spells=spells, trainings=trainings)
    months = Months(month_of(date.fromisoformat(first)), month_of(LAST))
    return _counted(record, rules(cuts), patients, kind, months)


def _counted(
    record: Any, rule_set: Any, patients: list[dict[str, Any]], kind: str, months: Months
) -> dict[str, Any]:
    at = timeline(record, rule_set, day_number(LAST))
    split = SPLITS["time_since_training"](at, rule_set)
    days = days_by_band(at, split, months)
    onset = [
        (n, day_number(date.fromisoformat(on)))
        for n, p in enumerate(patients)
        for on in p["episodes"]
    ]
    person, day = (np.array(column, dtype=np.int64) for column in zip(*onset, strict=True))
    place = at.line.at(person, day)
    counted = at.state(place) == AT_RISK
    cell = days.cell(np.zeros(counted.sum(), dtype=int), split.steps.at(place[counted]))
    events = month_counts(cell, day[counted], len(days.clinic), months)
    labels = [days.labels[band] for band in days.band]
    return {
        "cells_period_band_days_episodes": _rows(days.days, events, labels, kind, months),
        "total_days": int(days.days.sum()),
        "total_episodes": int(counted.sum()),
        "off_risk_episodes": int((~counted).sum()),
    }


def _rows(days: Any, events: Any, labels: list[str], kind: str, months: Months) -> list[list[Any]]:
    chosen = periods(kind)
    names = ["all"] if kind == "all" else [period.text for period in chosen]
    by_period = [
        table.sum(axis=1, keepdims=True) if kind == "all" else period_sums(table, months, chosen)
        for table in (days, events)
    ]
    return [
        [name, label, int(by_period[0][cell, place]), int(by_period[1][cell, place])]
        for place, name in enumerate(names)
        for cell, label in enumerate(labels)
        if by_period[0][cell, place] or by_period[1][cell, place]
    ]


def ordered(rows: Iterable[list[Any]]) -> list[list[Any]]:
    return sorted(rows, key=lambda row: (row[0], row[1]))


@pytest.mark.parametrize("row", examples("lexis_split"), ids=lambda row: row["id"])
def test_a_cohort_is_cut_into_the_printed_cells(row: dict[str, str]) -> None:
    given, expected = json.loads(row["inputs"]), json.loads(row["expected"])
    found = cells(given["patients"], given["band_starts_days"], given["period"], given["clock"])
    name = "cells_period_band_days_episodes"
    assert ordered(found.pop(name)) == ordered(expected.pop(name))
    assert found == expected


def iso(day: int) -> str:
    return (date(2015, 1, 1) + timedelta(days=day)).isoformat()


def formula_patient(i: int, a: int) -> dict[str, Any]:
    """Patient i of bigsplit-01, as its row writes the formula."""
    start = (37 * a * i) % 3000
    stop = min((date(2025, 1, 1) - date(2015, 1, 1)).days, start + 30 + (101 * a * i) % 1500)
    trainings = [start + 90 * k * (1 + i % 3) for k in range(8)] if i % 10 != 9 else []
    episodes = [start + (53 * a * i) % 700] + [start + (17 * a * i) % 900] * (i % 4 == 0)
    return {
        "spells": [[iso(start), iso(stop)]],
        "trainings": [iso(day) for day in trainings if day < stop],
        "episodes": [iso(day) for day in episodes],
    }


@pytest.mark.parametrize("row", examples("lexis_split_formula"), ids=lambda row: row["id"])
def test_two_thousand_patients_are_cut_into_the_printed_cells(row: dict[str, str]) -> None:
    given, expected = json.loads(row["inputs"]), json.loads(row["expected"])
    patients = [formula_patient(i, given["a"]) for i in range(given["n"])]
    found = cells(patients, given["band_starts_days"], given["period"], given["clock"])
    name = "cells_period_band_days_episodes"
    assert ordered(found.pop(name)) == ordered(expected.pop(name))
    assert found == expected
