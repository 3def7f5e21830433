"""Days since training by quarter three ways: the method, plain pandas, a bare pass over days.

All three are given the same spells without pauses; the bare pass knows no clinic, no order of
records, no unknown day and no death: it is what the arithmetic alone costs.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import numpy as np
import pandas as pd

from surveillance.measures.compute import PATIENTS_AT_A_TIME
from surveillance.periods import day_number
from surveillance.rules import RULE_SETS
from surveillance.tables import NO_DAY, Record
from surveillance.time_at_risk.calendar import calendar
from surveillance.time_at_risk.days import days_by_band
from surveillance.time_at_risk.part import parts
from surveillance.time_at_risk.seen import seen
from surveillance.time_at_risk.splits import SPLITS
from surveillance.time_at_risk.timeline import timeline

RULES = RULE_SETS["rule_2022"]
CUTS = RULES.cuts("training_bands_start_at")
NONE = len(CUTS)  # the band of days before any training
QUARTERS = pd.period_range("2015Q1", "2024Q4", freq="Q")
EDGES = np.array([*QUARTERS.start_time, pd.Timestamp("2025-01-01")], "M8[D]").astype(np.int64)

Table = np.ndarray[Any, np.dtype[np.int64]]  # bands x quarters


def clean(record: Record) -> Record:
    """Without pauses, so that a spell is one stretch of days at risk."""
    return replace(record, pd_pauses=record.pd_pauses.iloc[:0])


def by_method(record: Record, as_of: date) -> Table:
    """By the method's own parts, by clinic, band and period, and summed over the clinics."""
    found = np.zeros((NONE + 1, len(QUARTERS)), dtype=np.int64)
    for part in parts(record, PATIENTS_AT_A_TIME):
        visible = seen(part, day_number(as_of))
        when = calendar(visible, as_of, None)
        at = timeline(visible, RULES, day_number(as_of))
        made = days_by_band(at, SPLITS["time_since_training"](at, RULES), when.months)
        place = {period.text: number for number, period in enumerate(when.periods)}
        days = when.sums(made.days)[:, [place[f"{q.year}-Q{q.quarter}"] for q in QUARTERS]]
        np.add.at(found, made.band, days)
    return found


def by_pandas(record: Record, as_of: date) -> Table:
    """The straightforward way: each patient's cut points, sorted, latest training by merge_asof."""
    spells, trainings = _spells(record, as_of), record.trainings[["patient", "completed_on"]]
    trainings = trainings.rename(columns={"completed_on": "day"}).astype("int64")
    quarters = pd.DataFrame({"day": EDGES[:-1]})
    cuts = [
        spells[["patient", "start"]].rename(columns={"start": "day"}),
        spells[["patient", "stop"]].rename(columns={"stop": "day"}),
        spells[["patient"]].merge(quarters, how="cross"),
        *(trainings.assign(day=trainings["day"] + cut) for cut in CUTS),
    ]
    points = pd.concat(cuts).merge(spells, on="patient")
    points = points[(points["day"] >= points["start"]) & (points["day"] <= points["stop"])]
    points = points.drop_duplicates(["patient", "day"]).sort_values(["patient", "day"])
    points["days"] = points.groupby("patient")["day"].shift(-1) - points["day"]
    pieces = points.dropna(subset="days").sort_values("day")
    latest = trainings.assign(trained=trainings["day"]).sort_values("day")
    pieces = pd.merge_asof(pieces, latest, on="day", by="patient")
    bands = pd.cut(pieces["day"] - pieces["trained"], [*CUTS, np.inf], right=False, labels=False)
    quarter = pd.cut(pieces["day"], EDGES, right=False, labels=False)
    sums = pieces["days"].groupby([bands.fillna(NONE), quarter]).sum()
    wide = sums.unstack(fill_value=0).reindex(range(NONE + 1), fill_value=0)
    return wide.reindex(columns=range(len(QUARTERS)), fill_value=0).to_numpy().astype(np.int64)


def _spells(record: Record, as_of: date) -> pd.DataFrame:
    spells, stop = record.pd_spells, day_number(as_of) + 1
    ended = spells["last_day_on"] != NO_DAY
    return pd.DataFrame(
        {
            "patient": spells["patient"].astype("int64"),
            "start": spells["started_on"].astype("int64"),
            "stop": (spells["last_day_on"].astype("int64") + 1).where(ended, stop),
        }
    )


def bare_columns(record: Record, as_of: date) -> tuple[Table, Table, Table, Table]:
    """Start and stop of each patient's spell; patient and day of each training, in order."""
    spells = _spells(record, as_of)
    names = ("patient", "completed_on")
    patient, day = (record.trainings[name].to_numpy().astype(np.int64) for name in names)
    return spells["start"].to_numpy(), spells["stop"].to_numpy(), patient, day


def bare_pass(start: Table, stop: Table, patient: Table, day: Table) -> Table:
    """+1 where a band begins, -1 where it ends, summed over the days twice."""
    next_day = np.append(np.where(patient[1:] == patient[:-1], day[1:], EDGES[-1]), EDGES[-1])
    ends = np.minimum(next_day, stop[patient])
    first = np.append(True, patient[1:] != patient[:-1])
    untrained = np.full(len(start), EDGES[-1])
    untrained[patient[first]] = day[first]
    found = np.empty((NONE + 1, len(QUARTERS)), dtype=np.int64)
    for band, cut in enumerate(CUTS):
        until = day + CUTS[band + 1] if band + 1 < len(CUTS) else ends
        found[band] = _by_quarter(day + cut, np.minimum(until, ends))
    found[NONE] = _by_quarter(start, np.minimum(untrained, stop))
    return found


def _by_quarter(start: Table, stop: Table) -> Table:
    some = start < stop
    width = EDGES[-1] - EDGES[0] + 1
    edges = np.bincount(start[some] - EDGES[0], minlength=width)
    edges -= np.bincount(stop[some] - EDGES[0], minlength=width)
    days = np.append(0, np.cumsum(np.cumsum(edges)))
    return np.diff(days[EDGES - EDGES[0]])
