"""An episode day by day: what is recorded with a date, in its order, counted in days."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from clinic.call_words import detail
from surveillance.words import day_text


@dataclass(frozen=True)
class Happened:
    """One line: its day, its clock time if it has one, the words."""

    on: date
    clock: str
    words: str
    note: str = ""
    number: str = ""  # the day counted from the first antibiotic, else from the onset

    @property
    def day(self) -> str:
        return day_text(self.on)


_EVENTS = (
    ("onset_on", "First symptom or cloudy bag"),
    ("presented_at", "Reached care"),
    ("first_antibiotic_at", "First antibiotic"),
    ("appropriate_antibiotic_at", "First appropriate antibiotic"),
    ("therapy_completed_on", "Last dose"),
    ("catheter_decided_on", "Decision about the catheter"),
)
_APPEARANCES = {"clear": "clear", "cloudy": "cloudy", "other": "of another look", "": ""}


def day_by_day(episode: Any) -> list[Happened]:
    zone = episode.patient.clinic.zone
    found = (*_own(episode, zone), *_samples(episode, zone), *_beside(episode, zone))
    lines = sorted(found, key=_order)
    first = episode.appropriate_antibiotic_at or episode.first_antibiotic_at
    zero = first.astimezone(zone).date() if first else lines[0].on if lines else None
    return [
        Happened(line.on, line.clock, line.words, line.note, f"day {(line.on - zero).days}")
        for line in lines
        if zero is not None
    ]


def _own(episode: Any, zone: ZoneInfo) -> Iterator[Happened]:
    for name, words in _EVENTS:
        if value := getattr(episode, name):
            yield Happened(*_when(value, zone), words)


def _samples(episode: Any, zone: ZoneInfo) -> Iterator[Happened]:
    for sample in episode.samples.all():
        if sample.collected_at:
            when = _when(sample.collected_at, zone)
            yield Happened(*when, f"Sample {sample.sample}", _count(sample))


def _beside(episode: Any, zone: ZoneInfo) -> Iterator[Happened]:
    """Calls, agents, and the days on which the laboratory named what grew."""
    for call in episode.call_rows.filter(withdrawn_at=None):
        yield Happened(*_when(call.called_at, zone), "Call", detail(call))
    for therapy in episode.therapy_rows.filter(withdrawn_at=None):
        yield Happened(therapy.first_dose_on, "", f"{therapy.agent}, first dose")
        if therapy.last_dose_on:
            yield Happened(therapy.last_dose_on, "", f"{therapy.agent}, last dose")
    for sample in episode.samples.all():
        if sample.reached_laboratory_at:
            when = _when(sample.reached_laboratory_at, zone)
            yield Happened(*when, f"Sample {sample.sample} reached the laboratory")
        for isolate in sample.isolates.all():
            if isolate.identified_on:
                said = f"Laboratory, {isolate.certainty or 'name'}: {isolate.organism}"
                yield Happened(isolate.identified_on, "", said)


def _when(value: date | datetime, zone: ZoneInfo) -> tuple[date, str]:
    if isinstance(value, datetime):
        local = value.astimezone(zone)
        return local.date(), f"{local:%H:%M}"
    return value, ""


def _count(sample: Any) -> str:
    """1,840 per µL, 86 % neutrophils, cloudy."""
    cells, share = sample.leucocytes_per_ul, sample.neutrophil_percent
    said = [
        f"{cells:,} per µL" if cells is not None else "count not known",
        f"{share:g} % neutrophils" if share is not None else "",
        _APPEARANCES[sample.appearance],
    ]
    return ", ".join(filter(None, said))


def _order(line: Happened) -> tuple[date, str]:
    """A day without a time stands before the times of that day."""
    return line.on, line.clock
