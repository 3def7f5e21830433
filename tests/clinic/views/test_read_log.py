"""Who read whose record is stored before the page is sent; without the line there is no page."""

from datetime import date

import pytest
from django.db import OperationalError

from clinic.models import AuditEvent
from tests.factories import make_patient, make_peritonitis, make_sample


@pytest.fixture
def episode(tern_quay):
    """One with something due, so that Today shows it."""
    due = {"onset_on": date(2026, 1, 10), "resolved": "", "therapy_completed_on": None}
    row = make_peritonitis(make_patient(tern_quay), **due)
    make_sample(row, culture="pending")
    return row


@pytest.mark.parametrize(
    ("page", "name"),
    [
        ("today/", "today"),
        ("patients/", "patients"),
        ("patients/{patient}/", "patient"),
        ("episodes/{episode}/", "episode"),
        ("amend/peritonitis/{episode}/", "amend"),
        ("add/pd_spells/{patient}/", "add"),
    ],
)
def test_a_page_with_a_patient_leaves_a_line(signed_in, nurse, tern_quay, episode, page, name):
    address = page.format(patient=episode.patient.uid, episode=episode.uid)
    answer = signed_in(nurse).get(f"/clinic/{tern_quay.uid}/{address}", REMOTE_ADDR="127.0.0.7")
    assert answer.status_code == 200
    event = AuditEvent.objects.get(verb="read")
    assert (event.by, event.chain.clinic) == (nurse, None)
    assert event.changes == {
        "clinic": str(tern_quay.uid),
        "page": name,
        "source": "127.0.0.7",
        "patients": [str(episode.patient.uid)],
    }


@pytest.mark.parametrize("page", ["today/", "patients/", "patients/{patient}/"])
def test_without_the_line_there_is_no_page(signed_in, nurse, tern_quay, episode, page, monkeypatch):
    """Bad input C09; access.csv, rule.log_before_answer."""

    def refuse(**event):
        raise OperationalError("attempt to write a readonly database")

    monkeypatch.setattr("clinic.actions.reading.write_event", refuse)
    address = f"/clinic/{tern_quay.uid}/{page.format(patient=episode.patient.uid)}"
    answer = signed_in(nurse).get(address)
    assert answer.status_code == 503 and b"P031" not in answer.content
    assert "readonly" not in answer.content.decode()
