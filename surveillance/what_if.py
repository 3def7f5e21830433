"""What the method would say if: an episode typed but not stored, a row withdrawn but not yet.

The change is made, the method asked, and the change taken back: nothing is left, and the answer is
the one that the real change will give.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from typing import Any

from django.db import transaction

from clinic.actions import writing
from clinic.actions.episodes import record_episode
from clinic.clock import today
from clinic.lineage import clinic_of, patient_of
from surveillance.episode_page import peritonitis_page
from surveillance.extract import Clinic, Patient, Person
from surveillance.live import Live, live
from surveillance.models import Snapshot
from surveillance.periods import Period, month_of
from surveillance.words import is_counted

_QUARTER_MONTHS = 3
_QUARTERS_OF_A_YEAR = 4
_SHOWN = ("finding", "mark", "category", "rules", "missing")


@contextmanager
def taken_back() -> Iterator[None]:
    """Whatever is written inside is gone afterwards."""
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


def preview(patient: Patient, by: Person, values: dict[str, Any]) -> dict[str, Any]:
    """The verdict on an episode as typed so far; faults raise Refused as saving would."""
    with taken_back():
        made = record_episode(patient=patient, by=by, **values)
        page = peritonitis_page(made, live(patient, today(clinic_of(patient))))
    return {name: page.get(name, "") for name in _SHOWN}


def withdrawal_effects(row: Any, by: Person) -> list[str]:
    """What else a withdrawal changes: other episodes' categories, signed quarters."""
    patient = patient_of(row)
    if patient is None or patient.pk is None or patient == row:
        return []
    clinic, now = clinic_of(row), live(patient, today(clinic_of(row)))
    with taken_back():
        for each in [*writing.standing_children(row), row]:
            type(each).objects.filter(pk=each.pk).update(
                withdrawn_at=row.recorded_at, withdrawn_reason="Only looked at."
            )
        then = live(patient, now.as_of)
    changes = list(_changes(now, then))
    said = [sentence for _, sentence in changes if sentence]
    if quarters := _signed_quarters(clinic, [onset for onset, _ in changes]):
        said.append(
            f"Restating is due for every signed quarter that this touches: {', '.join(quarters)}."
        )
    return said


def _changes(now: Live, then: Live) -> Iterator[tuple[date, str]]:
    """Onset and sentence of every case that would no longer be what it is."""
    for case in now.cases:
        after = then.case(case["episode"], case["kind"])
        if after is None:
            counted = is_counted(case["reason"])
            said = f"{case['episode']} is counted now and would leave the count." if counted else ""
            yield case["onset_on"], said
        elif _verdict(case) != _verdict(after):
            yield case["onset_on"], _becomes(case, after)


def _verdict(case: dict[str, Any]) -> tuple[str, ...]:
    return case["sequence"], case["confirmed"], case["reason"]


def _becomes(case: dict[str, Any], after: dict[str, Any]) -> str:
    name, counts = case["episode"], is_counted(after["reason"])
    became = f"{name} becomes {_CATEGORY.get(after['sequence'], 'unconfirmed')}"
    if counts == is_counted(case["reason"]):
        return f"{became}; whether it counts stays as it is."
    return f"{became} and will {'count' if counts else 'not count'} from now on."


_CATEGORY = {
    "new": "new",
    "relapsing": "relapsing",
    "recurrent": "recurrent",
    "repeat": "repeat",
    "same_episode": "part of the episode before",
    "undetermined": "undetermined",
}


def _signed_quarters(clinic: Clinic, onsets: list[date]) -> list[str]:
    """Signed quarters whose report holds one of these days: its own, or in its rolling year."""
    touched = set()
    for onset in onsets:
        first = month_of(onset) // _QUARTER_MONTHS * _QUARTER_MONTHS
        for later in range(_QUARTERS_OF_A_YEAR):
            touched.add(Period("quarter", first + later * _QUARTER_MONTHS).text)
    signed = Snapshot.objects.filter(clinic=clinic, state="signed", through__in=touched)
    return sorted(set(signed.values_list("through", flat=True)))
