"""bad_inputs.csv in the browser's forms: each row with its control; nothing typed is lost.

The rows are those that the API is held to (tests/clinic/bad_inputs.py), where they name a form.
"""

from __future__ import annotations

import uuid
from html import escape

import pytest
from django.db import OperationalError

from clinic.actions.audit import first_broken_event
from clinic.lineage import clinic_of
from clinic.models import AuditEvent, Isolate, Peritonitis, Susceptibility
from tests.clinic.bad_inputs import (
    ACCEPTED,
    CHANGE_ACCEPTED,
    CHANGE_REJECTED,
    NEEDED,
    REJECTED,
)
from tests.factories import make_patient, make_susceptibility

REASON = "Copied from the wrong line."
# What only JSON can send, and what a form asks instead of refusing: see below, and test_rows.py.
_JSON_ALONE = ("N06", "N09", "N10", "S02", "T06", "half", "list", "object", "long", "null")
_ASKED_INSTEAD = {("D15", "happened twice"), ("N01", "0.65 x10^9/L is 650")}


def _of_forms(rows):
    return [
        row for row in rows
        if row[0] not in _JSON_ALONE and (row[0], row[-1]) not in _ASKED_INSTEAD
        and all(not isinstance(value, int) or row[0] != "D10" for value in row[2].values())
    ]  # fmt: skip


@pytest.fixture
def bramble(signed_in, nurse):
    return signed_in(nurse)


@pytest.fixture
def rows(e1):
    """The row that a new one of the subject hangs on."""
    sample = e1.samples.get()
    return {"effluent_samples": e1, "isolates": sample, "susceptibilities": sample.isolates.get()}


@pytest.fixture
def add(bramble, e1, rows):
    def send(subject, **fields):
        parent = rows.get(subject, e1.patient)
        sent = {name: str(value) for name, value in fields.items() if value is not None}
        address = f"/clinic/{clinic_of(parent).uid}/add/{subject}/{parent.uid}/"
        return bramble.post(address, {"submission": str(uuid.uuid4()), **sent})

    return send


@pytest.fixture
def amend(bramble, e1):
    rows = {
        "peritonitis": e1,
        "patients": e1.patient,
        "catheters": e1.patient.catheter_rows.get(),
        "effluent_samples": e1.samples.get(),
        "pd_spells": e1.patient.pdspell_rows.get(),
    }

    def send(subject, **fields):
        row = rows[subject]
        address = f"/clinic/{clinic_of(row).uid}/amend/{subject}/{row.uid}/"
        form = bramble.get(address).context["form"]
        opened = {bound.html_name: bound.value() or "" for bound in form}
        return bramble.post(address, opened | {"reason": REASON} | fields)

    return send


def _plain(words):
    """As a page says it: without the file's names of columns."""
    return words.replace("per uL", "").replace("_", " ").strip()


@pytest.mark.parametrize(("row", "subject", "fields", "field", "said"), _of_forms(REJECTED))
def test_a_fault_stands_at_its_field_and_what_was_typed_stays(
    add, row, subject, fields, field, said
):
    before = AuditEvent.objects.exclude(verb="read").count()
    page = add(subject, **NEEDED.get(subject, {}) | fields)
    text = page.content.decode()
    assert page.status_code == 422
    assert set(page.context["form"].errors) == {field}
    assert _plain(said).lower() in page.context["form"].errors[field][0].lower()
    assert "What you typed is kept." in text and f'href="#id_{field}"' in text
    typed = str(fields[field])
    assert "\x00" in typed or escape(typed) in text
    assert AuditEvent.objects.exclude(verb="read").count() == before


@pytest.mark.parametrize(("row", "subject", "fields", "warning"), _of_forms(ACCEPTED))
def test_the_nearest_good_input_is_stored(add, bramble, row, subject, fields, warning):
    if row == "N05":
        fields = fields | {"answer-neutrophil_percent-0.88": "0.88"}  # asked first
    if row == "N03":
        fields = fields | {"answer-leucocytes_per_ul-50000": "50000"}
    answer = add(subject, **NEEDED.get(subject, {}) | fields)
    assert answer.status_code == 302, answer.context["form"].errors
    said = [str(one) for one in bramble.get(answer["Location"]).context["messages"]]
    assert warning.lower() in " ".join(said).lower() or row in ("N03", "N05", "T03", "T07", "T08")


@pytest.mark.parametrize(("row", "subject", "fields", "field", "said"), _of_forms(CHANGE_REJECTED))
def test_a_change_at_fault_is_rejected(amend, row, subject, fields, field, said):
    page = amend(subject, **fields)
    assert page.status_code == 422 and set(page.context["form"].errors) == {field}
    assert said.lower() in page.context["form"].errors[field][0].lower()
    assert not AuditEvent.objects.filter(verb="amend").exists()


@pytest.mark.parametrize(("row", "subject", "fields", "warning"), _of_forms(CHANGE_ACCEPTED))
def test_the_nearest_good_change_is_stored(amend, bramble, row, subject, fields, warning):
    answer = amend(subject, **{name: str(value) for name, value in fields.items()})
    assert answer.status_code == 302, answer.context["form"].errors
    said = [str(one) for one in bramble.get(answer["Location"]).context["messages"]]
    assert warning in " ".join(said).lower()


# N07
def test_a_comma_in_a_number_is_refused(add):
    page = add("effluent_samples", sample="S2", dwell_hours="2,5")
    assert page.status_code == 422 and "write 2.5" in page.content.decode()
    assert add("effluent_samples", sample="S2", dwell_hours="2.5").status_code == 302


# T05
def test_a_note_of_a_million_letters_is_refused_and_kept(amend):
    page = amend("peritonitis", note="a" * 1_048_576)
    text = page.content.decode()
    assert page.status_code == 422 and "at most 4000 characters, this has 1 048 576" in text
    assert "a" * 1_048_576 in text
    assert amend("peritonitis", note="a" * 4000).status_code == 302


# T06
def test_tags_in_an_organisms_name_are_kept_and_never_run(add, bramble, e1):
    typed = "<img src=x onerror=alert(1)>Kleb"
    assert add("isolates", organism=typed).status_code == 302
    assert Isolate.objects.filter(organism=typed).exists()
    for end in (f"episodes/{e1.uid}/", f"patients/{e1.patient.uid}/"):
        page = bramble.get(f"/clinic/{clinic_of(e1).uid}/{end}").content.decode()
        assert "<img" not in page and "&lt;img src=x" in page


# L03
def test_an_episode_of_nobody_on_pd_is_stored_and_said(bramble, tern_quay):
    patient = make_patient(tern_quay, "P044")
    sent = {"episode": "E1", "onset_on": "2025-05-02", "submission": str(uuid.uuid4())}
    answer = bramble.post(f"/clinic/{tern_quay.uid}/add/peritonitis/{patient.uid}/", sent)
    said = [str(one) for one in bramble.get(answer["Location"]).context["messages"]]
    assert "not on pd" in " ".join(said).lower()


# L07
def test_one_agent_is_susceptible_or_resistant_not_both(add, rows):
    make_susceptibility(rows["susceptibilities"])
    page = add("susceptibilities", agent="cefazolin", result="R")
    assert page.status_code == 422 and Susceptibility.objects.count() == 1
    assert add("susceptibilities", agent="vancomycin", result="R").status_code == 302


# L09
def test_no_spell_begins_after_death(add, amend):
    amend("patients", died_on="2025-06-30")
    page = add("pd_spells", started_on="2025-07-15")
    assert page.status_code == 422 and "30 Jun 2025" in page.content.decode()


# L15
def test_after_an_end_that_nobody_knows_the_category_stays_open(add, e1, bramble):
    e1.therapy_completed_on = None
    e1.save()
    answer = add("peritonitis", episode="E2", onset_on="2025-04-20", cloudy_effluent="yes",
                 abdominal_pain="yes")  # fmt: skip
    episode = Peritonitis.objects.get(episode="E2")
    sample = {"sample": "S1", "dwell_hours": "4", "leucocytes_per_ul": "900",
              "neutrophil_percent": "80", "submission": str(uuid.uuid4())}  # fmt: skip
    clinic = clinic_of(e1).uid
    bramble.post(f"/clinic/{clinic}/add/effluent_samples/{episode.uid}/", sample)
    page = bramble.get(answer["Location"]).content.decode()
    assert "category not to be told yet" in page


# C02
def test_pressing_twice_in_a_row_makes_one_row(bramble, e1):
    address = f"/clinic/{clinic_of(e1).uid}/add/peritonitis/{e1.patient.uid}/"
    sent = {"episode": "E2", "onset_on": "2025-06-10", "submission": str(uuid.uuid4())}
    first, second = (bramble.post(address, sent) for _ in range(2))
    assert first["Location"] == second["Location"]
    assert Peritonitis.objects.filter(episode="E2").count() == 1


# C08
def test_a_save_that_the_database_does_not_take_says_so_and_works_later(add, e1, monkeypatch):
    def refuse(*args, **kwargs):
        raise OperationalError("server at 10.0.0.7 closed the connection")

    with monkeypatch.context() as patched:
        patched.setattr("clinic.actions.writing.write_event", refuse)
        page = add("peritonitis", episode="E2", onset_on="2025-06-10")
    text = page.content.decode()
    assert page.status_code == 503 and "Not saved" in text and "10.0.0.7" not in text
    assert "what you typed is still there" in text
    assert not Peritonitis.objects.filter(episode="E2").exists()
    assert add("peritonitis", episode="E2", onset_on="2025-06-10").status_code == 302


# C11
def test_with_the_clock_set_back_the_history_keeps_the_order_of_writing(
    amend, bramble, e1, monkeypatch
):
    amend("peritonitis", resolved="no")
    monkeypatch.setenv("TODAY", "2026-01-19")
    amend("peritonitis", resolved="yes")
    page = bramble.get(f"/clinic/{clinic_of(e1).uid}/episodes/{e1.uid}/")
    assert [change.what for change in page.context["changes"]] == [
        "amended: Resolved: no → yes", "amended: Resolved: nothing → no",
    ]  # fmt: skip
    assert first_broken_event(AuditEvent.objects.latest("pk").chain) is None
