"""Every page, light and dark, narrow and wide: no WCAG 2.2 A/AA fault, valid HTML, no side scroll.

axe-core also asks that every control has a name for a screen reader (rules label, button-name,
link-name, select-name and their like are of these levels).
"""

from __future__ import annotations

import re
from typing import Any

import pytest
from playwright.sync_api import Browser

from clinic.columns import SUBJECTS
from tests.journeys.pages import PAGES, REFUSALS, Shown
from tests.journeys.reader import Reader, sign_in
from tests.journeys.service import Service

ALL = [(name, shown) for name, several in PAGES.items() for shown in several]
ALL += [(f"refused {one.status}", one) for one in REFUSALS]
# Subjects of which the invented record may have no row: one is entered for the page that amends it.
ENTERED: dict[str, dict[str, Any]] = {
    "calls": {"called_at": "2026-01-19T07:30"},
    "therapies": {"agent": "cefazolin", "first_dose_on": "2026-01-19"},
    "root_cause_reviews": {"reviewed_on": "2026-01-19", "route": "intraluminal"},
    "exit_site_checks": {"checked_on": "2026-01-19", "redness": "1"},
    "technique_observations": {"observed_on": "2026-01-19", "hands_cleaned": "not_done"},
}


class Api:
    """The API with the session of a page, for what the journey needs beside its pages."""

    def __init__(self, reader: Reader) -> None:
        self.request, self.service = reader.page.request, reader.service
        cookies = reader.page.context.cookies()
        self.token = next((c["value"] for c in cookies if c["name"] == "csrftoken"), "")
        self.clinic = reader.clinic.split("/")[-1]

    def rows(self, subject: str) -> list[dict[str, Any]]:
        rows: list[dict[str, Any]] = self._read("GET", f"{subject}/")["results"]
        return rows

    def enter(self, subject: str, body: dict[str, Any]) -> dict[str, Any]:
        return self._read("POST", f"{subject}/", body)

    def _read(self, method: str, end: str, body: Any = None) -> dict[str, Any]:
        address = f"{self.service.address}/api/clinics/{self.clinic}/{end}"
        headers = {"X-CSRFToken": self.token, "Referer": self.service.address}
        answer = self.request.fetch(address, method=method, data=body, headers=headers)
        assert answer.ok, answer.text()
        told: dict[str, Any] = answer.json()
        return told


@pytest.fixture(scope="module")
def readers(service: Service, browser: Browser) -> dict[str, Reader]:
    """Everybody of the pages signed in, and one who is not."""
    names = ("bramble", "hazel", "teasel", "fennel", "heather")
    found = {who: sign_in(browser, service, who, 390, "dark") for who in names}
    page = browser.new_context(viewport={"width": 390, "height": 900}).new_page()
    found[""] = Reader(page, service)
    for reader in found.values():
        reader.page.on("console", reader.hear)
    return found


@pytest.fixture(scope="module")
def ids(readers: dict[str, Reader]) -> dict[str, str]:
    """A row of every subject, and the other things that addresses name."""
    nurse, api = readers["bramble"], Api(readers["bramble"])
    found = {"clinic": api.clinic}
    for name, subject in SUBJECTS.items():
        if name != "clinics":
            rows = api.rows(name) or [_entered(api, name, found[subject.parent])]
            found[name] = rows[0]["uid"]
    found["patient"], found["call"] = found["patients"], found["calls"]
    found["withdrawn"] = _withdrawn(api, found["patient"])
    found["judged"] = api.rows("root_cause_reviews")[0]["peritonitis"]
    _ask_a_second_judgement(nurse, found["judged"])
    nurse.open(f"{nurse.clinic}/gaps/")
    found["gap"] = _id_in(nurse, r"/gaps/([0-9a-f]{64})/")
    director = readers["hazel"]
    found["phase"] = _agreed(director)
    found["decision"] = _decided(director)
    director.open(f"{director.clinic}/report/")
    found["version"] = _id_in(director, r"/report/([0-9a-f-]{36})/")
    found["signal"] = _signal_looked_into(director)
    found["phase"] = _agreed(director)
    found["decision"] = _decided(director)
    return found | _of_people(readers["fennel"])


def _signal_looked_into(director: Reader) -> str:
    """The demonstration's first open signal, its checklist begun."""
    director.open(f"{director.clinic}/watch/")
    director.follow("Open Peritonitis rate")
    director.press("Look into it")
    return director.page.url.split("#")[0].split("/", 5)[5]


def _agreed(director: Reader) -> str:
    director.open(f"{director.clinic}/settings/phase/")
    director.page.fill("[name=first_day]", "2025-04-01")
    director.page.fill("[name=reason]", "Reassessments are caught up.")
    director.press("Agree on it")
    return _id_in(director, r"/settings/phase/([0-9a-f-]{36})/")


def _decided(director: Reader) -> str:
    director.open(f"{director.clinic}/decisions/new/")
    page = director.page
    page.fill("[name=decision]", "Reassessment within 60 days")
    page.fill("[name=marker]", "catch-up of reassessments")
    page.check("[name=measure][value=peritonitis_rate]")
    page.locator("[name=owner]").first.check()
    page.fill("[name=decided_on]", "2025-01-31")
    page.fill("[name=review_on]", "2025-08-01")
    director.press("Keep the decision")
    return _id_in(director, r"/decisions/([0-9a-f-]{36})/")


def _entered(api: Api, subject: str, parent: str) -> dict[str, Any]:
    above = {"peritonitis": "peritonitis", "patients": "patient"}[SUBJECTS[subject].parent]
    return api.enter(subject, {above: parent, **ENTERED[subject]})


def _withdrawn(api: Api, patient: str) -> str:
    made = api.enter("peritonitis", {"patient": patient, "episode": "Z", "onset_on": "2026-01-02"})
    told = {"version": 1, "reason": "Entered for the wrong patient."}
    api.enter(f"peritonitis/{made['uid']}/withdraw", told)
    return str(made["uid"])


def _ask_a_second_judgement(nurse: Reader, episode: str) -> None:
    nurse.open(f"{nurse.clinic}/episodes/{episode}/ask/")
    nurse.page.get_by_label("Director Hazel").check()
    nurse.press("Ask for it")
    assert "Director Hazel is asked" in nurse.page.inner_text("main")


def _decided(director: Reader) -> str:
    """A decision of the first choices offered."""
    director.open(f"{director.clinic}/decisions/new/")
    for group in director.page.locator("main fieldset").all():
        group.locator("input").first.check()
    for box in director.page.locator("main textarea, main input[type=text]").all():
        if not box.input_value():
            box.fill("Clamps are cleaned first.")
    director.press("Keep the decision")
    return _id_in(director, r"/decisions/([0-9a-f-]{36})/")


def _of_people(administrator: Reader) -> dict[str, str]:
    administrator.open("/people/")
    person = _id_in(administrator, r"/people/([0-9a-f-]{36})/")
    administrator.open(f"/people/{person}/")
    return {"person": person, "grant": _id_in(administrator, r"/people/grants/([0-9a-f-]{36})/")}


def _id_in(reader: Reader, pattern: str) -> str:
    found = re.search(pattern, reader.page.content())
    assert found is not None, f"{reader.page.url}: nothing like {pattern}"
    return found[1]


@pytest.mark.parametrize(("name", "shown"), ALL, ids=[f"{n}-{s.address}" for n, s in ALL])
def test_a_page_has_no_fault(
    readers: dict[str, Reader], ids: dict[str, str], name: str, shown: Shown
) -> None:
    reader = readers[shown.who]
    reader.faults.clear()
    page = reader.page
    page.set_viewport_size({"width": 390, "height": 900})
    page.emulate_media(color_scheme="dark")
    answer = page.goto(reader.service.address + shown.address.format(**ids))
    assert answer is not None and answer.status == shown.status
    reader.look()
    page.set_viewport_size({"width": 1440, "height": 900})
    page.emulate_media(color_scheme="light")
    reader.look_again()
    refused = f"status of {shown.status}"
    assert [one for one in reader.faults if shown.status == 200 or refused not in one] == []
