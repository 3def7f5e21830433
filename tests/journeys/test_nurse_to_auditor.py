"""A nurse enters an episode, the director reads and signs the quarter, an auditor recounts it."""

from __future__ import annotations

import csv
import io
import re
import time

import pytest
from playwright.sync_api import Browser

from tests.journeys.reader import Reader, sign_in
from tests.journeys.service import Service


def counted(reader: Reader) -> int:
    """The number of counted episodes in the first of the five sentences."""
    found = re.match(r"(\d+) counted", reader.page.locator(".sentence").first.inner_text())
    assert found is not None
    return int(found.group(1))


def day_of(text: str) -> str:
    """A day as people read it, as ISO text."""
    return time.strftime("%Y-%m-%d", time.strptime(text, "%d %b %Y"))


def a_free_patient(nurse: Reader, onset: str) -> str:
    """The address of the form for an episode of somebody at risk that day who has had none."""
    nurse.open(f"{nurse.clinic}/patients/")
    addresses = nurse.page.locator("main a[href$='/episode/']").evaluate_all(
        "links => links.map(link => link.href)"
    )
    for address in addresses:
        nurse.page.goto(address.replace("/episode/", "/"))
        began = re.search(r"PD since\s+(\d+ \w+ \d+)", nurse.page.inner_text("body"))
        new = nurse.page.inner_text("h1").startswith("No peritonitis so far")
        if new and began and day_of(began[1]) < onset:
            return str(address)
    raise AssertionError("every patient of the demonstration has had an episode")


def enter_episode(nurse: Reader, onset: str) -> None:
    """Presentation, one sample and its culture, on one page."""
    nurse.open(a_free_patient(nurse, onset))
    page = nurse.page
    page.fill("[name=episode-onset_on]", onset)
    page.fill("[name=episode-presented_at]", f"{onset}T09:40")
    page.check("[name=episode-cloudy_effluent][value=yes]")
    page.check("[name=episode-abdominal_pain][value=yes]")
    page.fill("[name=sample-collected_at]", f"{onset}T10:15")
    page.fill("[name=sample-dwell_hours]", "4")
    page.fill("[name=sample-leucocytes_per_ul]", "2300")
    page.fill("[name=sample-neutrophil_percent]", "88")
    page.check("[name=sample-culture][value=grown]")
    page.fill("[name=isolate-organism]", "staphylococcus  aureus")
    nurse.press("Save the episode")


def prepare(nurse: Reader, quarter: str) -> None:
    nurse.open(f"{nurse.clinic}/report/prepare/{quarter}/")
    for box in nurse.page.locator("main input[type=checkbox]").all():
        box.check()
    nurse.page.fill("main input[type=password]", nurse.service.password)
    nurse.press(f"Prepare {quarter.replace('-', ' ')}")
    assert "prepared" in nurse.page.inner_text("h1")


def open_version(reader: Reader, quarter: str, state: str) -> None:
    reader.open(f"{reader.clinic}/report/")
    row = reader.page.locator("main tr", has_text=quarter.replace("-", " "))
    row.get_by_role("link", name=re.compile(state)).first.click()
    reader.page.wait_for_load_state()
    reader.look()


def compute_now(director: Reader) -> None:
    director.press("Compute now")
    director.page.get_by_text("Open Quarter", exact=True).wait_for(timeout=60_000)
    director.follow("Open Quarter")


@pytest.mark.parametrize(
    ("width", "scheme", "quarter", "onset"),
    [(1440, "light", "2025-Q4", "2025-12-20"), (390, "dark", "2025-Q1", "2025-02-20")],
)
def test_one_episode_travels_from_the_form_to_the_recount(
    service: Service, browser: Browser, width: int, scheme: str, quarter: str, onset: str
) -> None:
    nurse = sign_in(browser, service, "bramble", width, scheme)
    director = sign_in(browser, service, "hazel", width, scheme)
    director.open(f"{director.clinic}/quarter/{quarter}/")
    before = counted(director)

    enter_episode(nurse, onset)
    assert nurse.page.inner_text("h1").startswith("Confirmed peritonitis, new. Counted")
    assert "Staphylococcus aureus" in nurse.page.inner_text("main")

    compute_now(director)
    director.open(f"{director.clinic}/quarter/{quarter}/")
    assert counted(director) == before + 1

    prepare(nurse, quarter)
    open_version(director, quarter, "Prepared")
    director.page.fill("main input[name=password]", service.password)
    director.press("Sign")
    assert "signed, version 1" in director.page.inner_text("h1")

    auditor = sign_in(browser, service, "rowan", width, scheme)
    open_version(auditor, quarter, "Signed")
    link = auditor.page.locator("main tr", has_text="Measures, CSV").get_by_role("link").last
    rows = csv.DictReader(
        io.StringIO(
            auditor.page.request.get(
                service.address + link.get_attribute("href"), max_retries=3
            ).text()
        )
    )
    figure = next(row for row in rows if row["measure"] == "peritonitis_rate" and not row["split"])
    assert int(figure["numerator"]) == before + 1

    auditor.follow("Open Quarter of this version")
    auditor.page.locator("main a", has_text="Recount").first.click()
    auditor.page.wait_for_load_state()
    auditor.page.locator("main input[type=text]").nth(0).fill(str(before + 1))
    auditor.page.locator("main input[type=text]").nth(1).fill(figure["denominator"])
    auditor.press("Compare")
    assert auditor.page.locator("main").get_by_text("same", exact=True).count() == 2

    assert nurse.faults + director.faults + auditor.faults == []
