"""A second judgement is blinded: the first is hidden in page, API and history until it is saved.

Source: access.csv, episode.second_judgement.
"""

import json
from datetime import date

import pytest
from django.test import Client

from clinic.actions.writing import amend, record
from clinic.models import AuditEvent, Peritonitis, RootCauseReview, SecondJudgement
from tests.factories import make_grant, make_patient, make_peritonitis, make_person, make_spell

BACKEND = "django.contrib.auth.backends.ModelBackend"
WHY = "She touched the tip, she says."
FIRST = ("Touch", "touch", "intraluminal", WHY, "Buy new clamps")


@pytest.fixture
def episode(tern_quay, nurse):
    """Judged by Nurse Bramble: touch contamination, in a review and as the episode's source."""
    patient = make_patient(tern_quay)
    make_spell(patient)
    row = make_peritonitis(patient, judged_source="")
    row = amend(row, by=nurse, version=1, values={"judged_source": "touch"}, reason=WHY)
    record(
        RootCauseReview, parent=row, by=nurse,
        values={
            "reviewed_on": date(2025, 3, 20), "route": "intraluminal", "certainty": "probable",
            "action": "Buy new clamps", "due_on": date(2025, 4, 1),
        },
    )  # fmt: skip
    return row


def _as(person):
    client = Client()
    client.force_login(person, BACKEND)
    return client


def _page(episode, end=""):
    return f"/clinic/{episode.patient.clinic.uid}/episodes/{episode.uid}/{end}"


def _judge(episode):
    return f"/clinic/{episode.patient.clinic.uid}/second/peritonitis/{episode.uid}/"


def _api(episode, end):
    return f"/api/clinics/{episode.patient.clinic.uid}/{end}"


@pytest.fixture
def asked(episode, nurse, director):
    answer = _as(nurse).post(_page(episode, "ask/"), {"judge": str(director.uid)})
    assert answer.status_code == 302
    return episode


def _told(answer):
    return answer.content.decode()


def test_the_first_is_hidden_on_every_page_of_who_is_asked(asked, director):
    client = _as(director)
    today = f"/clinic/{asked.patient.clinic.uid}/today/"
    amend_page = f"/clinic/{asked.patient.clinic.uid}/amend/peritonitis/{asked.uid}/"
    for address in (_page(asked), today):
        said = _told(client.get(address))
        assert [word for word in FIRST if word in said] == []
    assert "judged_source" not in client.get(amend_page).context["form"].fields
    assert "hidden from you until yours is saved" in _told(client.get(_page(asked)))
    assert "changed what is hidden until your own judgement is saved" in _told(
        client.get(_page(asked))
    )
    review = RootCauseReview.objects.get()
    amend_review = f"/clinic/{asked.patient.clinic.uid}/amend/root_cause_reviews/{review.uid}/"
    assert client.get(amend_review).status_code == 404


def test_the_first_is_hidden_in_the_api_and_no_filter_tells_it(asked, director):
    client = _as(director)
    one = client.get(_api(asked, f"peritonitis/{asked.uid}/")).json()
    assert one["judged_source"] is None
    assert client.get(_api(asked, "root_cause_reviews/")).json()["count"] == 0
    review = RootCauseReview.objects.get()
    assert client.get(_api(asked, f"root_cause_reviews/{review.uid}/")).status_code == 404
    for value in ("touch", "enteric", ""):
        listed = client.get(_api(asked, f"peritonitis/?judged_source={value}")).json()
        assert listed["count"] == 0
    assert client.get(_api(asked, "peritonitis/")).json()["count"] == 1


def test_nobody_else_is_blinded(asked, nurse):
    page = _told(_as(nurse).get(_page(asked)))
    assert WHY in page and "Buy new clamps" in page
    assert "Director Hazel is asked and has not judged yet." in page


def test_who_is_blinded_cannot_change_the_first(asked, director):
    body = json.dumps({"version": asked.version, "judged_source": "enteric", "reason": "x" * 12})
    address = _api(asked, f"peritonitis/{asked.uid}/")
    answer = _as(director).patch(address, body, content_type="application/json")
    assert answer.status_code == 400 and "touch" not in _told(answer)
    assert Peritonitis.objects.get().judged_source == "touch"


def test_once_saved_both_stand_side_by_side_and_nothing_else_changed(asked, director, nurse):
    client = _as(director)
    assert "A second judgement is asked of you" in _told(
        client.get(f"/clinic/{asked.patient.clinic.uid}/today/")
    )
    assert client.post(_judge(asked), {"certainty": "possible"}).status_code == 422
    sent = {"route": "enteric", "certainty": "possible", "preventable": "no"}
    assert client.post(_judge(asked), sent).status_code == 302
    for person in (director, nurse):
        page = _told(_as(person).get(_page(asked)))
        assert "The bowel, possible, not preventable." in page
        assert "The two differ on the route; the first: Touch or other" in page
        assert WHY in page and "Buy new clamps" in page
    assert Peritonitis.objects.get().judged_source == "touch"
    assert [e.verb for e in AuditEvent.objects.filter(thing="second_judgement")] == ["ask", "judge"]


def test_it_is_given_once_and_by_nobody_else(asked, director, nurse):
    sent = {"route": "enteric"}
    assert _as(nurse).post(_judge(asked), sent).status_code == 404
    assert _as(director).post(_judge(asked), sent).status_code == 302
    assert _as(director).post(_judge(asked), sent).status_code == 404
    assert _as(nurse).post(_page(asked, "ask/"), {"judge": str(director.uid)}).status_code == 422


def test_only_an_unprejudiced_colleague_can_be_asked(episode, nurse, director, saltmere):
    away = make_person("sedge", name="Nurse Sedge")
    make_grant(away, "nurse", saltmere)
    offered = _as(nurse).get(_page(episode, "ask/")).context["form"].people
    assert set(offered) == {str(director.uid)}
    for person in (nurse, away):
        answer = _as(nurse).post(_page(episode, "ask/"), {"judge": str(person.uid)})
        assert answer.status_code == 422
    assert not SecondJudgement.objects.exists()


def test_without_a_first_judgement_there_is_nothing_to_ask(tern_quay, nurse, director):
    episode = make_peritonitis(make_patient(tern_quay))
    assert "Second judgement" not in _told(_as(nurse).get(_page(episode)))
    answer = _as(nurse).post(_page(episode, "ask/"), {"judge": str(director.uid)})
    assert answer.status_code == 422 and "review it first" in _told(answer)


def test_a_data_manager_neither_asks_nor_judges(episode, data_manager):
    assert _as(data_manager).get(_page(episode, "ask/")).status_code == 403
    assert _as(data_manager).get(_judge(episode)).status_code == 403
