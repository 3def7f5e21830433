"""The nurse's whole record in a browser: the call to its end, the visit, and with scripts off."""

from __future__ import annotations

import re
from dataclasses import dataclass

import pytest
from playwright.sync_api import Browser, Page

from tests.journeys.reader import Reader, sign_in
from tests.journeys.service import Service

# Fields filled and clicks made for presentation, one sample, culture pending (issue 3: 25).
MOST_STEPS = 25
SIGHTS = [(1440, "light"), (390, "dark")]


@dataclass
class Hand:
    """Counts every field filled and every click."""

    page: Page
    steps: int = 0

    def fill(self, name: str, text: str) -> None:
        self.page.fill(f"[name={name}]", text)
        self.steps += 1

    def check(self, name: str, value: str) -> None:
        self.page.check(f"[name={name}][value={value}]")
        self.steps += 1

    def click(self, role: str, name: str) -> None:
        self.page.get_by_role(role, name=re.compile(f"^{name}")).first.click()  # type: ignore[arg-type]
        self.page.wait_for_load_state()
        self.steps += 1


def number_of(nurse: Reader, place: int) -> str:
    """The record number of somebody on PD who is not on Today, another one for each journey."""
    nurse.page.goto(f"{nurse.clinic}/today/")
    today = nurse.page.inner_text("main")
    nurse.page.goto(f"{nurse.clinic}/patients/")
    numbers = nurse.page.locator("main .row-who").all_inner_texts()
    return [number for number in numbers if number not in today][place]


@pytest.mark.parametrize(("width", "scheme"), SIGHTS)
def test_a_call_becomes_an_episode_with_its_outcome(
    service: Service, browser: Browser, width: int, scheme: str
) -> None:
    nurse = sign_in(browser, service, "bramble", width, scheme)
    page, number = nurse.page, number_of(nurse, 2 if width == 390 else 3)
    nurse.open(f"{nurse.clinic}/call/?number={number}")
    nurse.follow("Take the call")
    for flag in ("severe_pain", "shivering", "faint", "vomiting"):
        page.check(f"[name={flag}][value=no]")
    nurse.press("Go on to the questions")
    page.fill("[name=call-expected_at]", "2026-01-20T08:00")
    page.check("[name=call-happened][value=touched]")
    page.check("[name=episode-cloudy_effluent][value=yes]")
    nurse.press("Save and end the call")
    assert "Cloudy bag, expected by 08:00" in page.inner_text("main")

    page.locator(".row", has_text=number).get_by_role("link", name="Open the call").click()
    nurse.follow("The patient is here")
    page.fill("[name=presented_at]", "2026-01-20T00:01")
    nurse.press("Save the change")
    nurse.follow("Add a sample")
    for name, text in (("dwell_hours", "4"), ("leucocytes_per_ul", "1840")):
        page.fill(f"[name={name}]", text)
    page.fill("[name=neutrophil_percent]", "86")
    page.check("[name=culture][value=grown]")
    nurse.press("Save the effluent sample")
    nurse.follow("Add an organism")
    page.fill("[name=organism]", "Staphylococcus epidermidis")
    page.check("[name=certainty][value=final]")
    nurse.press("Save the isolate")
    nurse.follow("Add an antibiotic")
    page.fill("[name=agent]", "cefazolin")
    page.fill("[name=first_dose_on]", "2026-01-20")
    page.fill("[name=planned_last_dose_on]", "2026-02-03")
    nurse.press("Save the antibiotic")
    nurse.follow("Last dose and outcome")
    page.check("[name=judged_refractory][value=no]")
    nurse.press("Save the change")
    text = page.inner_text("main")
    assert page.inner_text("h1").startswith("Confirmed peritonitis")
    assert "cefazolin, first dose" in text and "Call" in text
    assert nurse.faults == []


@pytest.mark.parametrize(("width", "scheme"), SIGHTS)
def test_a_visit_with_pus_and_an_observed_exchange(
    service: Service, browser: Browser, width: int, scheme: str
) -> None:
    nurse = sign_in(browser, service, "bramble", width, scheme)
    number_of(nurse, 5 if width == 390 else 6)
    nurse.page.locator("main .row-who a").nth(5 if width == 390 else 6).click()
    nurse.page.wait_for_load_state()
    page, home = nurse.page, nurse.page.url
    nurse.follow("Exit-site check")
    page.fill("[name=checked_on]", "2026-01-19")
    page.check("[name=purulent_discharge][value=yes]")
    nurse.press("Save the exit-site check")
    assert page.input_value("[name=onset_on]") == "2026-01-19"
    nurse.press("Save the exit-site or tunnel infection")
    assert page.inner_text("h1").startswith("Confirmed exit-site infection")
    nurse.open(home)
    nurse.follow("Technique observation")
    page.fill("[name=observed_on]", "2026-01-19")
    for box in page.locator("main input[type=radio][value=done]").all():
        box.check()
    nurse.press("Save the technique observation")
    assert "ready to be signed off" in page.inner_text("main")
    assert nurse.faults == []


def test_an_episode_takes_few_steps_and_no_script(service: Service, browser: Browser) -> None:
    signed_in = sign_in(browser, service, "bramble", 390, "light")
    number = number_of(signed_in, 8)
    window = browser.new_context(
        java_script_enabled=False,
        viewport={"width": 390, "height": 900},
        storage_state=signed_in.page.context.storage_state(),
    )
    page = window.new_page()
    page.goto(f"{signed_in.clinic}/today/")
    hand = Hand(page)
    hand.click("link", "Patients")
    hand.fill("number", number)
    hand.click("button", "Find")
    hand.click("link", "Record an episode")
    hand.fill("episode-onset_on", "2026-01-19")
    hand.fill("episode-presented_at", "2026-01-19T09:40")
    hand.check("episode-cloudy_effluent", "yes")
    hand.check("episode-abdominal_pain", "yes")
    hand.fill("sample-collected_at", "2026-01-19T10:15")
    hand.check("sample-antibiotics_before", "no")
    hand.check("sample-appearance", "cloudy")
    hand.fill("sample-dwell_hours", "4")
    hand.fill("sample-leucocytes_per_ul", "2300")
    hand.fill("sample-neutrophil_percent", "88")
    hand.fill("sample-volume_ml", "50")
    hand.check("sample-bottles_inoculated", "yes")
    hand.check("sample-culture", "pending")
    hand.fill("episode-first_antibiotic_at", "2026-01-19T11:05")
    hand.check("episode-found_by", "clinic")
    hand.click("button", "Save the episode")
    assert page.inner_text("h1").startswith("Confirmed peritonitis")
    assert hand.steps == 20 <= MOST_STEPS


def test_gaps_are_settled(service: Service, browser: Browser) -> None:
    nurse = sign_in(browser, service, "bramble", 1440, "dark")
    nurse.open(f"{nurse.clinic}/gaps/")
    before = nurse.page.get_by_role("link", name=re.compile("^Settle")).count()
    nurse.follow("Settle")
    nurse.page.fill("[name=reason]", "Looked at: it stands.")
    nurse.press("Settle it")
    assert nurse.page.get_by_role("link", name=re.compile("^Settle")).count() == before - 1
    assert nurse.faults == []
