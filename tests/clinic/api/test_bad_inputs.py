"""bad_inputs.csv at the API: each row with its control; the message stands at its field."""

from __future__ import annotations

import json

import pytest

from clinic.models import AuditEvent, Isolate, Patient, Peritonitis, Training
from tests.clinic.api.calls import PROBLEM, errors_of
from tests.clinic.bad_inputs import (
    ACCEPTED,
    CHANGE_ACCEPTED,
    CHANGE_REJECTED,
    E2,
    NEEDED,
    REJECTED,
)
from tests.factories import make_patient

REASON = "Copied from the wrong line."


@pytest.fixture
def post(bramble, tern_quay, e1):
    """Record a row of P031 (or of E1, of its sample): `post("peritonitis", onset_on=...)`."""
    sample = e1.samples.get()
    parents = {"effluent_samples": ("peritonitis", e1), "isolates": ("effluent_sample", sample)}

    def send(subject, body=None, **fields):
        name, row = parents.get(subject, ("patient", e1.patient))
        sent = {name: str(row.uid), **(body or {}), **fields}
        return bramble("POST", f"clinics/{tern_quay.uid}/{subject}/", sent)

    return send


@pytest.fixture
def patch(bramble, tern_quay, e1):
    rows = {
        "peritonitis": e1,
        "patients": e1.patient,
        "catheters": e1.patient.catheter_rows.get(),
        "effluent_samples": e1.samples.get(),
        "pd_spells": e1.patient.pdspell_rows.get(),
    }

    def send(subject, **fields):
        row = rows[subject]
        address = f"clinics/{tern_quay.uid}/{subject}/{row.uid}/"
        return bramble("PATCH", address, {"version": 1, "reason": REASON, **fields})

    return send


@pytest.mark.parametrize(("row", "subject", "fields", "field", "said"), REJECTED)
def test_a_fault_stands_at_its_field_and_nothing_is_stored(post, row, subject, fields, field, said):
    events = AuditEvent.objects.count()
    errors = errors_of(post(subject, NEEDED.get(subject, {}) | fields))
    assert set(errors) == {field} and said in errors[field][0]
    assert AuditEvent.objects.count() == events


@pytest.mark.parametrize(("row", "subject", "fields", "warning"), ACCEPTED)
def test_the_nearest_good_input_is_stored_as_typed(post, row, subject, fields, warning):
    answer = post(subject, NEEDED.get(subject, {}) | fields)
    assert answer.status_code == 201, answer.content
    assert warning in " ".join(answer.json()["warnings"])
    assert (answer.json()["warnings"] == []) == (warning == "") or row.startswith("D")
    for name, value in fields.items():
        if isinstance(value, str) and name != "collected_at" and not value.isdigit():
            assert answer.json()[name] == value


def test_a_moment_is_shown_in_the_clinics_time(post):
    """D13: 31 March 23:30 UTC is 1 April 00:30 in Europe/London."""
    answer = post("effluent_samples", sample="S2", collected_at="2025-03-31T23:30:00Z")
    assert answer.json()["collected_at"] == "2025-04-01T00:30:00+01:00"


@pytest.mark.parametrize(("row", "subject", "fields", "field", "said"), CHANGE_REJECTED)
def test_a_change_at_fault_is_rejected(patch, row, subject, fields, field, said):
    errors = errors_of(patch(subject, **fields))
    assert set(errors) == {field} and said in errors[field][0]
    assert not AuditEvent.objects.filter(verb="amend").exists()


@pytest.mark.parametrize(("row", "subject", "fields", "warning"), CHANGE_ACCEPTED)
def test_the_nearest_good_change_is_stored(patch, row, subject, fields, warning):
    answer = patch(subject, **fields)
    assert answer.status_code == 200, answer.content
    assert warning in " ".join(answer.json()["warnings"])


def test_outer_blanks_are_removed_and_said(bramble, tern_quay):
    """T09 and T04: one patient, one spelling."""
    address = f"clinics/{tern_quay.uid}/patients/"
    made = bramble("POST", address, {"number": "\u00a0P031 "})
    assert made.json()["number"] == "P031" and "outer blanks" in made.json()["warnings"][0]
    assert errors_of(bramble("POST", address, {"number": "P0\u200b31"})).keys() == {"number"}


def test_two_spellings_of_one_trainer_are_one(post):
    """T04: Unicode NFC (UAX 15)."""
    for day, trainer in (("2025-01-10", "Zoe\u0308"), ("2025-02-10", "Zo\u00eb")):
        assert post("trainings", completed_on=day, kind="scheduled", trainer=trainer)
    named = Training.objects.filter(kind="scheduled").values_list("trainer", flat=True)
    assert set(named) == {"Zo\u00eb"} and len(named) == 2


def test_an_episode_without_a_spell_is_stored_with_a_warning(bramble, tern_quay):
    """L03: it stands in the list as not counted."""
    patient = make_patient(tern_quay, "P044")
    sent = {"patient": str(patient.uid), "episode": "E1", "onset_on": "2025-05-02"}
    answer = bramble("POST", f"clinics/{tern_quay.uid}/peritonitis/", sent)
    assert answer.status_code == 201 and "not on PD" in " ".join(answer.json()["warnings"])


def test_no_spell_begins_after_death(post, patch):
    """L09: both days are named."""
    patch("patients", died_on="2025-06-30")
    errors = errors_of(post("pd_spells", started_on="2025-07-15"))
    assert "30 Jun 2025" in str(errors) and "started_on" in errors


@pytest.mark.parametrize(
    "name",
    ["role", "clinic_role", "is_superuser", "by", "recorded_by", "recorded_at", "counts",
     "prepared_by", "uid", "hand_columns", "valid_until"],
)  # fmt: skip
def test_a_field_that_is_not_the_clients_is_named(post, bramble, name):
    """S02; CWE-915."""
    errors = errors_of(post("peritonitis", E2, onset_on="2025-06-10", **{name: "x"}))
    assert set(errors) == {name} and "unknown field" in errors[name][0]
    assert errors_of(bramble("PATCH", "account/", {name: "x"})).keys() == {name}


def test_actor_and_clock_are_the_servers(post, nurse):
    row = post("peritonitis", E2, onset_on="2025-06-10").json()
    event = AuditEvent.objects.get(thing_uid=row["uid"])
    assert event.by == nurse and str(event.at.date()) == "2026-01-20"


def test_the_same_key_with_the_same_body_is_one_row(bramble, tern_quay, e1):
    """C02; the header as in the IETF draft of the name."""
    address = f"clinics/{tern_quay.uid}/peritonitis/"
    sent = {"patient": str(e1.patient.uid), "onset_on": "2025-06-10"} | E2
    first, second = (bramble("POST", address, sent, Idempotency_Key="call 7") for _ in range(2))
    assert (first.status_code, second.status_code) == (201, 201)
    assert first.json()["uid"] == second.json()["uid"] and Peritonitis.objects.count() == 2
    other = bramble("POST", address, sent | {"episode": "E3"}, Idempotency_Key="call 7")
    assert errors_of(other).keys() == {"Idempotency-Key"}
    assert bramble("POST", address, sent | {"episode": "E3"}).status_code == 201


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity"])
def test_what_json_has_no_word_for_is_not_valid_json(bramble, tern_quay, e1, number):
    """N06; RFC 8259 section 6."""
    body = f'{{"peritonitis": "{e1.uid}", "sample": "S2", "leucocytes_per_ul": {number}}}'
    answer = bramble("POST", f"clinics/{tern_quay.uid}/effluent_samples/", body)
    assert answer.status_code == 400 and "not valid JSON" in answer.json()["detail"]


@pytest.mark.parametrize("number", ["1e309", "-1e309", "1e999999999", "9" * 400])
def test_a_number_beyond_every_number_is_no_number(bramble, tern_quay, e1, number):
    """N06."""
    body = f'{{"peritonitis": "{e1.uid}", "sample": "S2", "leucocytes_per_ul": {number}}}'
    errors = errors_of(bramble("POST", f"clinics/{tern_quay.uid}/effluent_samples/", body))
    assert errors.keys() == {"leucocytes_per_ul"}


@pytest.mark.parametrize(
    ("body", "said"),
    [
        ("[" * 100_000, "nested too deep (limit 32, setting)"),
        ('{"a": ' * 33 + "1" + "}" * 33, "nested too deep"),
        (json.dumps({str(number): 0 for number in range(1_000_000)}), "more than 500 fields"),
        ('{"number": "P1", "number": "P2"}', "stands twice"),
        ('{"number": "P1"', "not valid JSON"),
        (b'{"number": "P\xff"}', "not UTF-8"),
        ("", "not valid JSON"),
    ],
    ids=["100000 levels", "33 levels", "a million keys", "twice", "cut off", "latin", "nothing"],
)
def test_a_body_out_of_measure_is_rejected(bramble, tern_quay, body, said):
    """S14; CWE-674. 32 levels with brackets in a text pass on to the fields."""
    answer = bramble("POST", f"clinics/{tern_quay.uid}/patients/", body)
    assert answer.status_code == 400 and answer["Content-Type"] == PROBLEM
    assert said in answer.json()["detail"] or (body == "" and "errors" in answer.json())
    assert not Patient.objects.exists()


def test_brackets_inside_a_text_are_no_levels(bramble, tern_quay):
    sent = {"number": '["\\' * 40}
    assert bramble("POST", f"clinics/{tern_quay.uid}/patients/", sent).status_code == 201


@pytest.mark.parametrize("body", ["[]", "1", '"text"', "null", '[{"number": "P1"}]'])
def test_a_body_is_an_object(bramble, tern_quay, body):
    answer = bramble("POST", f"clinics/{tern_quay.uid}/patients/", body)
    assert errors_of(answer) == {"record": ["The body has to be a JSON object."]}


def test_a_body_too_large_is_not_even_read(bramble, tern_quay):
    """S14: a gigabyte is refused by its announced length."""
    client = bramble.client
    answer = client.generic(
        "POST", f"/api/clinics/{tern_quay.uid}/patients/", b"{}",
        content_type="application/json", CONTENT_LENGTH="1000000000",
    )  # fmt: skip
    assert (answer.status_code, answer["Content-Type"]) == (413, PROBLEM)


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", "text/csv"])
def test_a_body_that_is_no_json_is_refused(bramble, tern_quay, kind):
    answer = bramble.client.post(
        f"/api/clinics/{tern_quay.uid}/patients/", "number=P1", content_type=kind
    )
    assert (answer.status_code, answer["Content-Type"]) == (415, PROBLEM)


@pytest.mark.parametrize(
    ("query", "field"),
    [
        ("ordering=onset_on;DROP TABLE x", "ordering"),
        ("ordering=recorded_by__password", "ordering"),
        ("ordering=--onset_on", "ordering"),
        ("clinic__name__startswith=S", "clinic__name__startswith"),
        ("onset_on=2025-03-10' OR '1'='1", "onset_on"),
        ("onset_on_from=", "onset_on_from"),
        ("episode=E\x00", "episode"),
        ("page=0", "page"),
        ("page=２", "page"),
        ("page=2", "page"),
        ("page_size=100000", "page_size"),
        ("format=xml", "format"),
        ("token=secret", "token"),
        ("ordering=onset_on&ordering=episode", "ordering"),
    ],
)
def test_a_query_out_of_the_closed_list_is_rejected(bramble, tern_quay, e1, query, field):
    """S05; CWE-89, CWE-20. The allowed names are listed."""
    errors = errors_of(bramble("GET", f"clinics/{tern_quay.uid}/peritonitis/?{query}"))
    assert set(errors) == {field}
    if "unknown" in errors[field][0] or field == "ordering" and "once" not in errors[field]:
        assert "onset_on" in errors[field][0]


def test_tags_in_a_text_come_back_as_text(post):
    """T06; CWE-79: JSON, never read as a page."""
    typed = "<img src=x onerror=alert(1)>Kleb"
    answer = post("isolates", organism=typed)
    assert answer["Content-Type"] == "application/json"
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert Isolate.objects.filter(organism=typed).exists()
