"""Everything that stands on one patient's record, as the pages show it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import Prefetch, QuerySet

from clinic.blinding import JUDGEMENT, is_hidden
from clinic.catalogue import name_key, scientific_name
from clinic.columns import Column
from clinic.forms.words import choice_words
from clinic.lineage import clinic_of
from clinic.local_names import local_names
from clinic.models import (
    MODELS,
    AuditEvent,
    EffluentSample,
    Isolate,
    Patient,
    Peritonitis,
    RecordRow,
    Susceptibility,
)
from clinic.reading import day_text


@dataclass(frozen=True)
class RowTable:
    """The standing rows of one subject: headings, and for each row its cells as people read."""

    subject: str
    title: str
    heads: tuple[str, ...]
    lines: tuple[tuple[RecordRow, tuple[str, ...]], ...]


# The patient's own subjects, in the order of the strip's lanes.
SUBJECTS_OF_A_PATIENT = (
    "pd_spells", "pd_pauses", "catheters", "trainings", "contaminations", "admissions",
)  # fmt: skip
_TITLES = {
    "pd_spells": "PD spells",
    "pd_pauses": "Pauses",
    "catheters": "Catheters",
    "trainings": "Trainings",
    "contaminations": "Contaminations",
    "admissions": "Admissions",
}


def standing(subject: str, patient: Patient) -> QuerySet[RecordRow]:
    """The patient's rows of a subject, the earliest first."""
    model = MODELS[subject]
    days = [column.name for column in model.subject if column.kind in ("day", "moment")]
    return model.objects.filter(patient=patient, withdrawn_at=None).order_by(days[0], "pk")


def episodes_of(patient: Patient) -> QuerySet[Peritonitis]:
    """Peritonitis episodes with their standing samples, isolates and susceptibilities."""
    return standing("peritonitis", patient).prefetch_related(
        Prefetch("samples", _standing(EffluentSample).order_by("collected_at", "sample")),
        Prefetch("samples__isolates", _standing(Isolate).order_by("organism")),
        Prefetch("samples__isolates__susceptibilities", _standing(Susceptibility)),
    )


def _standing(model: type[RecordRow]) -> QuerySet[RecordRow]:
    return model.objects.filter(withdrawn_at=None)


def organisms_of(episode: Peritonitis) -> list[str]:
    """Names of what grew, each once, as the catalogue writes them."""
    known = local_names(episode.patient.clinic)
    names = [
        known.get(name_key(isolate.organism), scientific_name(isolate.organism))
        for sample in episode.samples.all()
        for isolate in sample.isolates.all()
    ]
    return list(dict.fromkeys(names))


def row_tables(patient: Patient) -> Iterator[RowTable]:
    for subject in SUBJECTS_OF_A_PATIENT:
        rows = list(standing(subject, patient))
        if rows:
            yield row_table(subject, _TITLES[subject], rows)


def row_table(subject: str, title: str, rows: list[RecordRow]) -> RowTable:
    """The columns in which any of the rows has something."""
    columns = [
        column
        for column in MODELS[subject].subject
        if any(getattr(row, column.name) not in ("", None) for row in rows)
    ]
    lines = [(row, tuple(said(row, column) for column in columns)) for row in rows]
    return RowTable(subject, title, tuple(column.ask for column in columns), tuple(lines))


def said(row: RecordRow, column: Column) -> str:
    """One cell as a person reads it; empty is not known, or not yet."""
    value = getattr(row, column.name)
    if value in ("", None):
        return ""
    if isinstance(value, datetime):
        local = value.astimezone(clinic_of(row).zone)
        return f"{day_text(local.date())}, {local:%H:%M}"
    if isinstance(value, date):
        return day_text(value)
    if column.choices:
        return choice_words(column, value)
    if isinstance(value, int | float):
        number = f"{value:,}" if isinstance(value, int) else f"{value:g}"
        return f"{number} {column.unit}".strip()
    return str(value)


@dataclass(frozen=True)
class Change:
    """One event of a row's history, in words."""

    day: str
    clock: str
    actor: str
    what: str
    reason: str


_VERBS = {
    "record": "recorded",
    "amend": "amended",
    "withdraw": "withdrawn",
    "restore": "restored",
    "dissent": "dissented",
    "ask": "asked for a second judgement",
    "judge": "judged a second time",
}


def history(row: RecordRow, reader: Any) -> list[Change]:
    """Who changed what when, the latest first."""
    events = AuditEvent.objects.filter(thing_uid=row.uid).order_by("-number")
    zone, blind = clinic_of(row).zone, is_hidden(row, reader)
    return [
        Change(
            day_text((at := event.at.astimezone(zone)).date()), f"{at:%H:%M}", event.actor,
            *((_HIDDEN, "") if blind and _judges(event) else (_told(row, event), event.reason)),
        )
        for event in events
    ]  # fmt: skip


_HIDDEN = "changed what is hidden until your own judgement is saved"


def _judges(event: AuditEvent) -> bool:
    """Whether the event, or its reason, may tell the first judgement."""
    return event.verb in ("record", "amend") and bool(JUDGEMENT & set(event.changes))


def _told(row: RecordRow, event: AuditEvent) -> str:
    verb = _VERBS.get(event.verb, event.verb)
    if event.verb != "amend":
        return verb
    labels = {column.name: column.ask for column in row.subject}
    changed = [
        f"{labels.get(name, name)}: {old or 'nothing'} → {new or 'nothing'}"
        for name, (old, new) in event.changes.items()
    ]
    return f"{verb}: {'; '.join(changed)}"
