"""A nurse meets a signal and looks into it; a director closes it, decides, and is asked again."""

from __future__ import annotations

import re

from playwright.sync_api import Browser

from tests.journeys.reader import Reader, sign_in
from tests.journeys.service import Service

MARK = "catch-up of reassessments"


def _clinic_page(reader: Reader, name: str) -> None:
    reader.open(f"{reader.clinic}/{name}")


def _text(reader: Reader) -> str:
    return reader.page.inner_text("main")


def _fill(reader: Reader, **typed: str) -> None:
    for name, text in typed.items():
        reader.page.fill(f"[name={name}]", text)


def test_from_the_alarm_to_the_decision_and_its_mark(service: Service, browser: Browser) -> None:
    nurse = sign_in(browser, service, "bramble", 390, "dark")
    _clinic_page(nurse, "today/")
    nurse.follow("Look at it in Peritonitis rate")
    assert "Peritonitis came faster than it should" in _text(nurse)
    nurse.press("Look into it")
    nurse.follow("Enter the step: Look back twelve months")
    nurse.page.locator("[name=owner]").first.check()
    _fill(nurse, due_on="2026-02-03", says="Reassessments had stopped for a year.")
    nurse.press("Keep this step")
    assert "due 3 Feb 2026" in _text(nurse)

    director = sign_in(browser, service, "hazel", 1440, "light")
    _clinic_page(director, "watch/")
    director.follow("Open Peritonitis rate")
    director.follow("Close it with a conclusion")
    director.page.check("[name=conclusion][value=common_cause]")
    _fill(director, says="Training by one person alone, without sign-off.")
    director.press("Close the signal")
    assert "Closed: a common cause was found." in _text(director)

    _clinic_page(director, "decisions/")
    director.follow("Enter a decision")
    _fill(director, decision="Reassessment of everybody within 60 days", marker=MARK,
          decided_on="2025-01-31", review_on="2025-08-01")  # fmt: skip
    director.page.check("[name=measure][value=peritonitis_rate]")
    director.page.locator("[name=owner]").first.check()
    director.press("Keep the decision")

    _clinic_page(director, "quarter/2025-Q3/")
    flags = director.page.locator(f"svg.drawing-wide .flag:has-text('{MARK}')")
    assert flags.count() >= 1 and flags.first.get_attribute("data-on") == "2025-01-31"

    _clinic_page(director, "today/")
    assert re.search(r"After over before: [0-9.]+, exact 95 % range", _text(director))
    director.follow("Enter the outcome")
    director.page.check("[name=verdict][value=kept]")
    _fill(director, outcome="The rate fell back to where it was.")
    director.press("Keep the outcome")
    assert "It is kept." in _text(director)
    assert nurse.faults + director.faults == []
