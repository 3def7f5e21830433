"""How each case came into the record: frozen with the figures, and joined to their lists."""

from datetime import date

import pytest

from clinic.actions.audit import SCHEDULE, write_event
from clinic.models import AuditEvent, Peritonitis
from surveillance.snapshots import table_rows
from tests.factories import make_peritonitis
from tests.reports.stored import NUMBERS, draft_of, fill

pytestmark = pytest.mark.django_db


@pytest.fixture
def filled(tern_quay):
    fill(tern_quay)
    Peritonitis.objects.filter(episode="E5").update(found_by="pharmacy")
    return tern_quay


def entry(clinic, episode: str) -> dict:
    return next(row for row in table_rows(draft_of(clinic), "entries") if row["episode"] == episode)


def test_who_found_it_and_when_it_was_entered(filled) -> None:
    row = entry(filled, "E5")
    entered = Peritonitis.objects.get(episode="E5").recorded_at.astimezone(filled.zone).date()

    assert (row["patient"], row["kind"], row["found_by"]) == (NUMBERS[1], "peritonitis", "pharmacy")
    assert row["entered_on"] == entered.isoformat()


def test_not_recorded_is_empty_and_an_infection_is_there_too(filled) -> None:
    assert entry(filled, "E1")["found_by"] is None
    assert entry(filled, "X1")["kind"] == "catheter_infection"


def test_the_last_event_about_a_row_is_its_last_change(filled) -> None:
    episode = Peritonitis.objects.get(episode="E5")
    write_event(
        clinic=filled, by=SCHEDULE, verb="amend", thing="peritonitis", thing_uid=episode.uid
    )

    assert entry(filled, "E5")["last_changed_on"] == "2026-01-20"
    assert entry(filled, "E1")["last_changed_on"] is None
    assert AuditEvent.objects.filter(thing_uid=episode.uid).count() == 1


def test_what_the_method_does_not_see_is_left_out(filled) -> None:
    patient = Peritonitis.objects.get(episode="E5").patient
    make_peritonitis(
        patient, episode="E-later", onset_on=date(2026, 1, 25), therapy_completed_on=None
    )

    names = {row["episode"] for row in table_rows(draft_of(filled), "entries")}
    assert "E-later" not in names and "E5" in names
