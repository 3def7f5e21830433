"""Compute now: who may ask, and a page that looks again until the work is stored."""

from __future__ import annotations

import pytest
from django.urls import reverse

from clinic.actions.audit import SCHEDULE
from surveillance import jobs
from surveillance.models import Computation, Snapshot
from tests.factories import make_patient, make_spell


@pytest.fixture(autouse=True)
def _no_broker(monkeypatch: pytest.MonkeyPatch) -> None:
    """The row is the truth; these tests do the work themselves."""
    monkeypatch.setattr(jobs, "send", lambda uid: None)


def ask(client, clinic):
    return client.post(reverse("compute_now", args=[clinic.uid]))


@pytest.mark.parametrize("who", ["nurse", "director", "data_manager"])
def test_the_clinic_s_people_ask_and_are_led_to_the_progress(
    request, tern_quay, signed_in, who: str
) -> None:
    person = request.getfixturevalue(who)

    answer = ask(signed_in(person), tern_quay)

    asked = Computation.objects.get()
    assert answer.url == reverse("computation", args=[tern_quay.uid, asked.uid])
    assert asked.asked_by == person


def test_outsiders_do_not_compute(tern_quay, saltmere, auditor, nurse, signed_in) -> None:
    assert ask(signed_in(auditor), tern_quay).status_code == 403
    assert ask(signed_in(nurse), saltmere).status_code == 404
    assert not Computation.objects.exists()


def test_asking_is_a_post(tern_quay, nurse, signed_in) -> None:
    assert signed_in(nurse).get(reverse("compute_now", args=[tern_quay.uid])).status_code == 405


def test_the_page_looks_again_only_while_the_work_goes_on(tern_quay, nurse, signed_in) -> None:
    make_spell(make_patient(tern_quay))
    client = signed_in(nurse)
    address = ask(client, tern_quay).url

    waiting = client.get(address)
    jobs.run(Computation.objects.get().uid)
    done = client.get(address)

    assert waiting["Refresh"] == "2" and "Refresh" not in done
    assert "Waiting for a free worker." in waiting.content.decode()
    assert reverse("quarter", args=[tern_quay.uid]) in done.content.decode()
    assert Snapshot.objects.get().clinic == tern_quay


def test_a_failure_is_told_in_its_sentence(tern_quay, nurse, signed_in) -> None:
    client = signed_in(nurse)
    address = ask(client, tern_quay).url
    Computation.objects.update(state="failed", sentence="Stopped 5 times. Run it again.")

    shown = client.get(address)

    assert "Stopped 5 times. Run it again." in shown.content.decode()
    assert "Refresh" not in shown


def test_another_clinic_s_computation_is_not_found(tern_quay, saltmere, nurse, signed_in) -> None:
    elsewhere = jobs.ask(clinic=saltmere, by=SCHEDULE)

    for clinic in (tern_quay, saltmere):
        address = reverse("computation", args=[clinic.uid, elsewhere.uid])
        assert signed_in(nurse).get(address).status_code == 404
