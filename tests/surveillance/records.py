"""Small records for the method's tests: rows of one clinic with only the cells that matter."""

from datetime import date
from functools import cache
from pathlib import Path

import pandas as pd

from surveillance.cases.organisms import Organisms, organisms
from surveillance.periods import day_number
from surveillance.rules import RULE_SETS
from surveillance.tables import NO_DAY, NO_MOMENT, RECORD_TABLES, UNKNOWN, YES, Record, record_of
from surveillance.time_at_risk.seen import seen
from surveillance.time_at_risk.timeline import Timeline, timeline

CATALOGUE = Path(__file__).parents[2] / "fixtures" / "organisms.csv"
MISSING = {
    "text": "",
    "choice": None,
    "day": NO_DAY,
    "moment": NO_MOMENT,
    "yes_no": UNKNOWN,
    "number": float("nan"),
    "link": 0,
}
AS_OF = date(2025, 12, 31)


def day(text: str) -> int:
    return day_number(date.fromisoformat(text))


def cell(kind: str, value: object) -> object:
    """Days and moments are written as ISO days."""
    if kind == "day" and isinstance(value, str):
        return day(value)
    if kind == "moment" and isinstance(value, str):
        return day(value) * 86_400
    return value


def make_record(clinics: tuple[str, ...] = ("A",), **tables: list[dict]) -> Record:
    """One patient P of the first clinic, unless `patients` says otherwise."""
    rows = {"clinics": [{"clinic": name} for name in clinics], "patients": [{"patient": "P"}]}
    return record_of({name: columns_of(name, made) for name, made in (rows | tables).items()})


def columns_of(table: str, rows: list[dict]) -> dict[str, list]:
    return {
        column.name: [cell(column.kind, row.get(column.name, MISSING[column.kind])) for row in rows]
        for column in RECORD_TABLES[table]
    }


def spell(started_on: str, last_day_on: str | None = None, **more: object) -> dict:
    ends = {} if last_day_on is None else {"last_day_on": last_day_on}
    return {"started_on": started_on} | ends | more


def peritonitis(episode: str, onset_on: str, end: str | None = None, **more: object) -> dict:
    """Confirmed by clinical signs and, once a sample of `sample` goes with it, by its culture."""
    ends = {} if end is None else {"therapy_completed_on": end}
    signs = {"cloudy_effluent": YES, "abdominal_pain": YES}
    return {"episode": episode, "onset_on": onset_on} | ends | signs | more


def cells_met(episode: int, collected_on: str, **more: object) -> dict:
    """A sample that meets the cell criterion."""
    counts = {"dwell_hours": 4.0, "leucocytes_per_ul": 500.0, "neutrophil_percent": 80.0}
    return {"episode": episode, "collected_on": collected_on, "sample": "S1"} | counts | more


@cache
def catalogue() -> pd.DataFrame:
    return pd.read_csv(CATALOGUE, dtype=str, keep_default_na=False)


@cache
def known_organisms() -> Organisms:
    return organisms(catalogue())


def timeline_of(record: Record, rule_set: str = "rule_2022", as_of: date = AS_OF) -> Timeline:
    number = day_number(as_of)
    return timeline(seen(record, number), RULE_SETS[rule_set], number)
