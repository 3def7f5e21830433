"""Warnings about episodes: off risk, before arrival, too close to the one before to be told."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, tzinfo
from itertools import pairwise

from clinic.checks.care import off_risk
from clinic.checks.rows import (
    CheckRow,
    Finding,
    PatientRows,
    by_day,
    fault,
    local_day,
    onsets,
    warning,
)
from clinic.reading import day_text


def episodes_off_risk(rows: PatientRows, zone: tzinfo) -> Iterator[Finding]:
    infections = by_day(rows.get("catheter_infections", ()), "onset_on")
    told = [(row["onset_on"], row) for row in infections]
    for day, row in [*onsets(rows, zone), *told]:
        if why := off_risk(day, rows):
            said = f"not counted: not on PD that day ({why})"
            if why == "not on PD that day":
                said = f"not counted: {why}"
            yield warning("off_risk", said, (row, "onset_on"))


def doses_before_arrival(rows: PatientRows, zone: tzinfo) -> Iterator[Finding]:
    for row in rows.get("peritonitis", ()):
        first, arrived = row["first_antibiotic_at"], row["presented_at"]
        if first and arrived and first < arrived:
            said = "before arrival: left out of call-to-antibiotic times, and counted as left out"
            yield warning("before_arrival", said, (row, "first_antibiotic_at"),
                          (row, "presented_at"))  # fmt: skip
        appropriate = row["appropriate_antibiotic_at"]
        if first and appropriate and appropriate < first:
            said = "before the first antibiotic"
            yield warning("appropriate_before_first", said, (row, "appropriate_antibiotic_at"),
                          (row, "first_antibiotic_at"))  # fmt: skip


def onsets_after_arrival(rows: PatientRows, zone: tzinfo) -> Iterator[Finding]:
    for row in rows.get("peritonitis", ()):
        began, arrived = row["onset_on"], row["presented_at"]
        if began and arrived and began > local_day(arrived, zone):
            yield warning("onset_after_arrival", "after arrival", (row, "onset_on"),
                          (row, "presented_at"))  # fmt: skip


def closed_without_reason(rows: PatientRows, zone: tzinfo) -> Iterator[Finding]:
    for row in rows.get("peritonitis", ()):
        if row["closed_as"] and not row["closed_because"]:
            said = "closed without a reason: say why nothing more will come"
            yield fault("closed_without_reason", said, (row, "closed_because"),
                        (row, "closed_as"))  # fmt: skip


def sequences_in_doubt(rows: PatientRows, zone: tzinfo) -> Iterator[Finding]:
    for (_, earlier), (day, later) in pairwise(onsets(rows, zone)):
        if finding := _doubt(earlier, day, later):
            yield finding


def _doubt(earlier: CheckRow, day: date, later: CheckRow) -> Finding | None:
    ended, name = earlier["therapy_completed_on"], earlier["episode"]
    marks = ((later, "onset_on"), (earlier, "therapy_completed_on"))
    if not ended:
        said = f"the last dose of {name} is not known: undetermined, never new"
        return warning("sequence_undetermined", said, *marks)
    if day <= ended:
        said = f"same episode as {name} (last dose {day_text(ended)}): organisms are added to it"
        return warning("same_episode", said, *marks)
    return None
