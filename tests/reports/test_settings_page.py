"""The clinic's settings: what is in force with its source, and phases agreed by a director."""

import re

from clinic.models import AuditEvent
from reports.rate_report.definitions import definitions
from surveillance.models import BaselinePhase


def _address(clinic, more: str = "") -> str:
    return f"/clinic/{clinic.uid}/settings/{more}"


def test_every_rule_and_target_stands_with_its_source(tern_quay, nurse, signed_in):
    page = signed_in(nurse).get(_address(tern_quay)).content.decode()
    assert page.count('scope="row"') == len(definitions("rule_2022").rows)
    assert "The signals compare with the target." in page and "180 days" in page
    assert "Agree on a phase" not in page and "Amend the text" not in page


def test_a_director_agrees_on_a_phase_and_takes_it_back(tern_quay, director, signed_in):
    client = signed_in(director)
    sent = {"first_day": "2025-03-31", "baseline_rate": "0.35", "reason": "Catch-up is done now."}
    assert client.post(_address(tern_quay, "phase/"), sent).status_code == 302
    phase = BaselinePhase.objects.get()
    assert (str(phase.first_day), phase.baseline_rate) == ("2025-03-31", 0.35)
    page = client.get(_address(tern_quay)).content.decode()
    assert "Catch-up is done now." in page and "0.35 per patient-year" in page
    address = re.search(r'href="([^"]+/settings/phase/[0-9a-f-]{36}/)"', page)[1]
    refused = client.post(address, {"reason": "no"})
    assert refused.status_code == 422 and "at least 10 characters" in refused.content.decode()
    assert client.post(address, {"reason": "Agreed on too early."}).status_code == 302
    assert "compare with the target" in client.get(_address(tern_quay)).content.decode()
    assert [one.verb for one in AuditEvent.objects.filter(thing="baseline_phase")] == [
        "agree", "withdraw",
    ]  # fmt: skip
    assert client.get(address).status_code == 404


def test_a_rate_beyond_sense_and_a_day_to_come_are_refused_at_their_field(
    tern_quay, director, signed_in
):  # fmt: skip
    client, address = signed_in(director), _address(tern_quay, "phase/")
    sent = {"first_day": "2026-02-01", "baseline_rate": "0.35", "reason": "Something to come."}
    answer = client.post(address, sent)
    assert answer.status_code == 422 and answer.context["form"].errors["first_day"]
    answer = client.post(address, sent | {"first_day": "2025-01-01", "baseline_rate": "35"})
    assert answer.context["form"].errors["baseline_rate"]
    assert not BaselinePhase.objects.exists()


def test_a_nurse_may_not_amend_it_and_an_auditor_sees_no_local_text(
    tern_quay, nurse, auditor, signed_in, client
):  # fmt: skip
    assert signed_in(nurse).get(_address(tern_quay, "phase/")).status_code == 403
    page = signed_in(auditor).get(_address(tern_quay)).content.decode()
    assert "Targets" in page and "Due schedule" not in page
