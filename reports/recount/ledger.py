"""The ledger of days behind a figure: one line a patient, its stretches and its days at risk."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby

from reports.rate_report.number_text import whole_text
from reports.rate_report.period_text import month_text
from surveillance.periods import parse_period
from surveillance.words import day_text

Cells = dict[str, str]


@dataclass(frozen=True)
class Stretch:
    """Days of one state; for an outside reader drawn to whole months, its days still exact."""

    first: date
    last: date
    state: str
    reason: str


@dataclass(frozen=True)
class PatientDays:
    """One line of the ledger."""

    patient: str
    stretches: tuple[Stretch, ...]
    days: int  # at risk


def _first_day(row: Cells) -> date:
    return date.fromisoformat(row.get("started_on") or f"{row['started_month']}-01")


def _last_day(row: Cells) -> date:
    if "last_day_on" in row:
        return date.fromisoformat(row["last_day_on"])
    return parse_period(row["last_day_month"]).last_day


def _stretch(row: Cells) -> Stretch:
    return Stretch(_first_day(row), _last_day(row), row["state"], row["reason"])


def _patient_days(patient: str, rows: Iterable[Cells]) -> PatientDays:
    held = list(rows)
    days = sum(int(row["days"]) for row in held if row["state"] == "at_risk")
    return PatientDays(patient, tuple(map(_stretch, held)), days)


def patient_lines(rows: list[Cells], with_episodes: set[str]) -> list[PatientDays]:
    """A line for whoever was at risk on one day at least, or had an episode all the same."""
    ordered = sorted(rows, key=lambda row: row["patient"])  # stable: time order stays
    grouped = groupby(ordered, key=lambda row: row["patient"])
    lines = [_patient_days(patient, held) for patient, held in grouped]
    return [line for line in lines if line.days or line.patient in with_episodes]


def span(period: str) -> tuple[date, date]:
    """First day and the day after the last, for the picture's scale."""
    held = parse_period(period)
    return held.start, held.last_day + timedelta(days=1)


@dataclass(frozen=True)
class Told:
    """A patient's line in words, for the table beside the picture."""

    patient: str
    said: list[str]
    episodes: int  # in the figure's first number
    days: str


def stretches_text(line: PatientDays, episodes: int, with_days: bool) -> Told:
    """Each stretch at risk or paused, by its days or for an outside reader by its months."""
    told = [
        f"{_span_text(one, with_days)}{', paused' if one.reason == 'paused' else ''}"
        for one in line.stretches if one.state == "at_risk" or one.reason == "paused"
    ]  # fmt: skip
    return Told(line.patient, told, episodes, whole_text(line.days))


def _span_text(one: Stretch, with_days: bool) -> str:
    if with_days:
        return f"{day_text(one.first)} to {day_text(one.last)}"
    first, last = (month_text(day.isoformat()) for day in (one.first, one.last))
    return first if first == last else f"{first} to {last}"
