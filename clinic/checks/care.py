"""Warnings about spells and catheters: overlaps, ends forgotten, a history that began elsewhere."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta, tzinfo
from itertools import pairwise

from clinic.checks.rows import CheckRow, Finding, PatientRows, by_day, warning
from clinic.reading import day_text

INSERTED_LONG_BEFORE_PD = timedelta(days=30)  # the window of an insertion-related episode


def overlapping_spells(rows: PatientRows, zone: tzinfo) -> Iterator[Finding]:
    for first, second in pairwise(by_day(rows.get("pd_spells", ()), "started_on")):
        starts, ends = second["started_on"], [first["last_day_on"], second["last_day_on"]]
        if ends[0] and ends[0] < starts:
            continue
        closed = [day for day in ends if day]
        many = f"{(min(closed) - starts).days + 1} days" if closed else "all days from then on"
        said = f"{many} overlap the spell of {day_text(first['started_on'])}; each counts once"
        yield warning("spells_overlap", said, (second, "started_on"), (first, "last_day_on"))


def two_catheters(rows: PatientRows, zone: tzinfo) -> Iterator[Finding]:
    for first, second in pairwise(by_day(rows.get("catheters", ()), "inserted_on")):
        removed = first["removed_on"]
        if removed and removed <= second["inserted_on"]:
            continue
        until = f"removed {day_text(removed)}" if removed else "no removal recorded"
        said = (
            f"{first['catheter']} still in? ({until}); a catheter-day counts once, "
            "catheter age follows the newer"
        )
        yield warning("two_catheters", said, (second, "inserted_on"), (first, "removed_on"))


def open_after_death(rows: PatientRows, zone: tzinfo) -> Iterator[Finding]:
    for patient in rows.get("patients", ()):
        died = patient["died_on"]
        for spell in rows.get("pd_spells", ()):
            if died and not spell["last_day_on"]:
                said = (
                    f"time at risk ends with {day_text(died)} (that day counts); "
                    "end the spell: death"
                )
                yield warning("spell_open_after_death", said, (spell, "last_day_on"),
                              (patient, "died_on"))  # fmt: skip
            if spell["end_reason"] == "death" and not died:
                said = "the spell ended by death, but the patient has no died_on"
                yield warning("death_without_day", said, (patient, "died_on"),
                              (spell, "end_reason"))  # fmt: skip


_REASONS = (
    ("pd_spells", "end_reason", "last_day_on"),
    ("catheters", "removal_reason", "removed_on"),
)


def reasons_without_day(rows: PatientRows, zone: tzinfo) -> Iterator[Finding]:
    for subject, reason, day in _REASONS:
        for row in rows.get(subject, ()):
            if row[reason] and not row[day]:
                said = f"{reason} {row[reason]} is given, but no {day}: it goes on"
                yield warning("reason_without_day", said, (row, day), (row, reason))


def history_elsewhere(rows: PatientRows, zone: tzinfo) -> Iterator[Finding]:
    """The first catheter came long before PD here: earlier episodes may be another clinic's."""
    spells = by_day(rows.get("pd_spells", ()), "started_on")
    catheters = by_day(rows.get("catheters", ()), "inserted_on")
    if spells and catheters:
        began, first = spells[0]["started_on"], catheters[0]
        if began - first["inserted_on"] > INSERTED_LONG_BEFORE_PD:
            many = (began - first["inserted_on"]).days
            said = f"earlier history not known here: inserted {many} days before the first PD day"
            yield warning("history_elsewhere", said, (first, "inserted_on"),
                          (spells[0], "started_on"))  # fmt: skip


def off_risk(day: date, rows: PatientRows) -> str:
    """Why the patient is not at risk that day, in words; empty at risk (design 2)."""
    spells = by_day(rows.get("pd_spells", ()), "started_on")
    pauses = by_day(rows.get("pd_pauses", ()), "started_on")
    if not any(spell["started_on"] <= day for spell in spells):
        return "before the first PD day"
    if any(_covers(pause, day) for pause in pauses if _stops(pause)):
        return "PD was paused"
    return "" if any(_covers(spell, day) for spell in spells) else "not on PD that day"


def _stops(pause: CheckRow) -> bool:
    return pause["reason"] in ("temporary_haemodialysis", "catheter_rest")


def _covers(row: CheckRow, day: date) -> bool:
    return row["started_on"] <= day and (not row["last_day_on"] or day <= row["last_day_on"])
