"""Decisions: entered once, marked on charts, asked for on their day, kept with their outcome."""

from datetime import date

import pytest

from clinic.actions.decisions import record_decision, review_decision
from clinic.actions.refusals import Refused
from clinic.decisions import markers, standing_decisions
from clinic.models import AuditEvent, Decision
from tests.factories import make_patient
from tests.reports.stored import draft_of, fill

SAID = "Bedside bottles for every sample"


def decide(clinic, by, **fields) -> Decision:
    given = {
        "decided_on": date(2025, 9, 1), "decision": SAID, "owner": by,
        "measure": "peritonitis_rate", "marker": "Bedside bottles",
        "review_on": date(2026, 1, 20),
    } | fields  # fmt: skip
    return record_decision(clinic=clinic, by=by, **given)


def _address(clinic, more: str = "") -> str:
    return f"/clinic/{clinic.uid}/decisions/{more}"


def test_the_form_keeps_a_decision_with_its_event(tern_quay, director, nurse, signed_in):
    client, address = signed_in(director), _address(tern_quay, "new/")
    page = client.get(address)
    assert "No patient details" in page.content.decode()
    sent = {
        "decision": SAID, "measure": "culture_negative_share", "marker": "Bedside bottles",
        "owner": str(nurse.uid), "decided_on": "2026-01-19", "review_on": "2026-04-20",
    }  # fmt: skip
    assert client.post(address, sent).status_code == 302
    made = Decision.objects.get()
    assert (made.owner, made.owner_role, made.measure) == (nurse, "nurse", "culture_negative_share")
    event = AuditEvent.objects.get(verb="decide")
    assert event.thing_uid == made.uid and event.changes["decision"] == [None, SAID]
    shown = client.get(_address(tern_quay)).content.decode()
    assert SAID in shown and "Nurse Bramble" in shown and "20 Apr 2026" in shown


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("decision", "Retrain P031 at home", "P031 is a patient"),
        ("marker", "Hazel trains alone", "never who"),
        ("decided_on", date(2026, 1, 21), "not after today"),
        ("review_on", date(2025, 9, 1), "after the decision"),
        ("measure", "dose", "Choose one of"),
    ],
)
def test_what_may_not_be_kept_is_refused_in_words(tern_quay, director, field, value, said):
    make_patient(tern_quay, "P031")
    with pytest.raises(Refused, match=said) as refused:
        decide(tern_quay, director, **{field: value})
    assert refused.value.faults[0].field == field
    assert not Decision.objects.exists()


def test_the_owner_is_of_the_clinic(tern_quay, saltmere, director, administrator):
    with pytest.raises(Refused, match="the clinic's people"):
        decide(tern_quay, director, owner=administrator)


def test_on_its_day_today_asks_and_shows_before_and_after(tern_quay, director, signed_in):
    fill(tern_quay)
    draft_of(tern_quay)
    row = decide(tern_quay, director, decided_on=date(2024, 12, 1), review_on=date(2025, 3, 1))
    client = signed_in(director)
    page = client.get(f"/clinic/{tern_quay.uid}/today/").content.decode()
    assert "one decision to review" in page.lower()
    # By hand: 12 patients at risk for 90 days on either side; 1 counted before, 1 after.
    assert "Before: 1 in 3.0 patient-years; after: 1 in 3.0 patient-years." in page
    assert "After over before: 1.00, exact 95 % range 0.01 to " in page
    address = _address(tern_quay, f"{row.uid}/")
    asked = client.get(address).content.decode()
    assert "<td" in asked and "1,080" in asked
    sent = {"verdict": "kept", "outcome": "Fewer samples grow nothing."}
    assert client.post(address, sent).status_code == 302
    assert (
        "decision to review" not in client.get(f"/clinic/{tern_quay.uid}/today/").content.decode()
    )
    kept = client.get(_address(tern_quay)).content.decode()
    assert "It is kept." in kept and "Fewer samples grow nothing." in kept
    assert "Before: 1 in 3.0" in standing_decisions(tern_quay)[0].reviews[0].shown


def test_too_early_to_say_comes_back_and_settled_does_not(tern_quay, director):
    row = decide(tern_quay, director)
    with pytest.raises(Refused, match="later day"):
        review_decision(decision=row, by=director, verdict="undecided", outcome="Too early.")
    review_decision(
        decision=row, by=director, verdict="undecided", outcome="Too early.",
        next_review_on=date(2026, 3, 1),
    )  # fmt: skip
    assert standing_decisions(tern_quay)[0].due_on == date(2026, 3, 1)
    review_decision(decision=row, by=director, verdict="ended", outcome="No effect seen.")
    assert standing_decisions(tern_quay)[0].due_on is None
    with pytest.raises(Refused, match="settled"):
        review_decision(decision=row, by=director, verdict="kept", outcome="Once more.")
    assert [one.verdict for one in row.reviews.all()] == ["undecided", "ended"]


def test_marks_are_of_their_figure_and_a_mistaken_one_goes(tern_quay, director):
    row = decide(tern_quay, director)
    decide(tern_quay, director, measure="exit_site_infection_rate", marker="New dressing")
    found = markers(tern_quay, "peritonitis_rate")
    assert [(one.on, one.says) for one in found] == [(date(2025, 9, 1), "Bedside bottles")]
    review_decision(decision=row, by=director, verdict="mistaken", outcome="Entered twice.")
    assert markers(tern_quay, "peritonitis_rate") == []


def test_an_auditor_reads_roles_of_the_years_granted(tern_quay, director, auditor, signed_in):
    decide(tern_quay, director, decided_on=date(2025, 2, 3), decision="Water bath removed")
    decide(tern_quay, director, decided_on=date(2025, 9, 1), decision="After the grant")
    page = signed_in(auditor).get(_address(tern_quay)).content.decode()
    assert "Water bath removed" in page and "After the grant" not in page
    assert "<dd>director</dd>" in page and "Hazel" not in page and "Enter a decision" not in page
