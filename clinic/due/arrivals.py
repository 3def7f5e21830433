"""Results of the laboratory that somebody else, or a machine, entered in the last two days.

Read from the audit events, so that nothing is marked as seen and nothing is stored twice; a folder
of record files is one event and stays out (its rows are told where it was loaded).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import QuerySet

from clinic.clock import now
from clinic.local_names import named
from clinic.models import AuditEvent, Clinic, EffluentSample, Patient, Person

NEW = timedelta(days=2)  # over a night on call; common practice, no source
_FROM_SAMPLE = {
    "effluent_samples": "",
    "isolates": "isolates__",
    "susceptibilities": "isolates__susceptibilities__",
}
_RESULTS = {
    "effluent_samples": {
        "culture", "leucocytes_per_ul", "neutrophil_percent", "gram_stain", "appearance",
    },
    "isolates": {"organism", "certainty"},
    "susceptibilities": {"result"},
}  # fmt: skip


@dataclass(frozen=True)
class Arrival:
    """The sample as it stands now, and who entered the newest of its results when."""

    sample: EffluentSample
    at: datetime
    actor: str

    @property
    def patient(self) -> Patient:
        return self.sample.peritonitis.patient

    @property
    def what(self) -> str:
        return _said(self.sample)


def arrivals(clinic: Clinic, reader: Person) -> list[Arrival]:
    """One line a sample, the newest first."""
    newest: dict[int, Arrival] = {}
    events = [event for event in _events(clinic, reader) if _is_result(event)]
    samples = {name: _samples(clinic, name, events) for name in _FROM_SAMPLE}
    for event in events:
        sample = samples[event.thing].get(event.thing_uid)
        if sample is not None:
            newest[sample.pk] = Arrival(sample, event.at, event.actor)
    return sorted(newest.values(), key=lambda one: one.at, reverse=True)


def _events(clinic: Clinic, reader: Person) -> QuerySet[AuditEvent]:
    found = AuditEvent.objects.filter(
        chain__clinic=clinic, at__gte=now() - NEW, thing__in=_RESULTS, verb__in=("record", "amend")
    )
    return found.exclude(by=reader).order_by("number")


def _is_result(event: AuditEvent) -> bool:
    """Something was answered: a sample sent off, still pending, is no result."""
    changed = _RESULTS[event.thing] & set(event.changes)
    return any(event.changes[name][1] not in ("", None, "pending", "not_taken") for name in changed)


def _samples(clinic: Clinic, thing: str, events: Iterable[AuditEvent]) -> dict:
    """Standing samples by the id of the row that the event tells of."""
    way = _FROM_SAMPLE[thing]
    uids = [event.thing_uid for event in events if event.thing == thing]
    if not uids:
        return {}
    standing = EffluentSample.objects.filter(
        withdrawn_at=None, peritonitis__withdrawn_at=None, peritonitis__patient__clinic=clinic,
        peritonitis__patient__withdrawn_at=None,
    )  # fmt: skip
    told = standing.filter(**{f"{way}uid__in": uids, f"{way}withdrawn_at": None})
    pairs = told.values_list(f"{way}uid", "pk")
    rows = EffluentSample.objects.select_related("peritonitis__patient__clinic")
    found = rows.prefetch_related("isolates").in_bulk([pk for _, pk in pairs])
    return {uid: found[pk] for uid, pk in pairs}


def _said(sample: EffluentSample) -> str:
    clinic = sample.peritonitis.patient.clinic
    grown = [row.organism for row in sample.isolates.all() if row.withdrawn_at is None]
    if grown:
        return f"Culture grew {', '.join(named(clinic, text) for text in grown)}"
    told = {"grown": "Culture grew, not yet named", "no_growth": "Culture: no growth"}
    return told.get(sample.culture) or _count(sample) or f"Gram stain: {sample.gram_stain}"


def _count(sample: EffluentSample) -> str:
    if sample.leucocytes_per_ul is None:
        return f"Effluent {sample.appearance}" if sample.appearance else ""
    share = sample.neutrophil_percent
    neutrophils = f", {share:g} % neutrophils" if share is not None else ""
    return f"{sample.leucocytes_per_ul:,} white cells per µL{neutrophils}"
