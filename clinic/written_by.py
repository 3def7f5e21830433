"""Which episodes one person wrote, amended or withdrew, told from the audit trail."""

from __future__ import annotations

from collections.abc import Iterable

from django.db.models import Q

from clinic.models import AuditEvent, Clinic, EffluentSample, Isolate, Peritonitis, Person

EpisodeKey = tuple[str, str]  # the patient's record number, the episode's name


def episodes_written_by(
    person: Person, clinic: Clinic, episodes: Iterable[EpisodeKey]
) -> set[EpisodeKey]:
    """Of these episodes those that the person touched: the row itself, a sample or an isolate."""
    wanted = set(episodes)
    events = AuditEvent.objects.filter(chain__clinic=clinic, by=person, thing_uid__isnull=False)
    touched = events.values("thing_uid")
    samples = EffluentSample.objects.filter(uid__in=touched).values("peritonitis")
    isolates = Isolate.objects.filter(uid__in=touched).values("effluent_sample__peritonitis")
    rows = Peritonitis.objects.filter(patient__clinic=clinic).filter(
        Q(uid__in=touched) | Q(pk__in=samples) | Q(pk__in=isolates)
    )
    return wanted & set(rows.values_list("patient__number", "episode"))
