"""The director's Quarter in a browser: from every chart to its rows, by keyboard, and on paper."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser

from tests.journeys.reader import Reader, sign_in
from tests.journeys.service import Service

QUARTER = "quarter/2025-Q1/"
SHEETS = ("A4", "Letter")
MOST_PAGES = 4  # issue 6: the meeting's handout


@pytest.fixture(scope="module")
def director(service: Service, browser: Browser) -> Reader:
    reader = sign_in(browser, service, "hazel", 1440, "light")
    reader.open(f"{reader.clinic}/{QUARTER}")
    return reader


def addresses(reader: Reader) -> dict[str, list[str]]:
    """Of each chart, where its marks lead, as far as they are drawn at this width."""
    found: dict[str, list[str]] = reader.page.locator(".chart-block").evaluate_all(
        """blocks => Object.fromEntries(blocks.map(block => [
            block.dataset.chart,
            [...block.querySelectorAll('.drawing-wide a')].map(one => one.href.baseVal),
        ]))"""
    )
    return found


def test_every_section_of_the_meeting_stands(director: Reader) -> None:
    names = director.page.locator(".handout > .part h2").all_inner_texts()

    assert len(names) == 11  # with the five sentences: the twelve of workflows.md 3
    assert director.page.locator(".answer .sentence").count() == 5
    for figure in director.page.locator(".chart-block > figure").all():
        box = figure.bounding_box()
        assert box is not None and box["width"] > 1100  # the whole sheet, not its margin


def test_from_every_chart_to_its_rows(director: Reader) -> None:
    led = {name: found for name, found in addresses(director).items() if found}
    # These show shares or sums that are not stored episode by episode.
    alone = {"cusum", "trainer_cohorts", "contaminations", "lateness"}
    assert set(addresses(director)) - set(led) <= alone

    for name, found in led.items():
        answer = director.page.request.get(f"{director.service.address}{found[-1]}", max_retries=3)
        assert answer.status == 200, name
        assert "taken apart" in answer.text() or "Side by side" in answer.text(), name


def test_the_keyboard_opens_a_mark(director: Reader) -> None:
    mark = director.page.locator("[data-chart=rate_over_time] .drawing-wide a").first
    said = mark.get_attribute("aria-label")
    assert said and re.search(r"\d+ in [\d.]+ patient-years", said)

    mark.focus()
    director.page.keyboard.press("Enter")
    director.page.wait_for_url("**/recount/**")

    assert "taken apart" in director.page.inner_text("h1")
    director.open(f"{director.clinic}/{QUARTER}")


@pytest.mark.parametrize("sheet", SHEETS)
def test_the_handout_fits_its_pages(director: Reader, sheet: str) -> None:
    margin = dict.fromkeys(("top", "bottom", "left", "right"), "15mm")
    printed = director.page.pdf(format=sheet, print_background=True, margin=margin)

    assert 1 <= len(re.findall(rb"/Type\s*/Page\b", printed)) <= MOST_PAGES


@pytest.mark.parametrize(("width", "scheme"), [(390, "dark"), (390, "light"), (1440, "dark")])
def test_it_holds_narrow_and_dark(
    service: Service, browser: Browser, width: int, scheme: str
) -> None:
    reader = sign_in(browser, service, "hazel", width, scheme)
    reader.open(f"{reader.clinic}/{QUARTER}")

    assert reader.faults == []


def test_it_reads_without_a_script(service: Service, browser: Browser, director: Reader) -> None:
    cookies = director.page.context.cookies()
    window = browser.new_context(java_script_enabled=False)
    window.add_cookies([{**one} for one in cookies])  # type: ignore[typeddict-item]
    page = window.new_page()
    page.goto(f"{director.clinic}/{QUARTER}")

    assert "counted episodes in" in page.inner_text("main")
    assert page.locator("svg.drawing-wide").count() > 10
    assert director.faults == []
