"""A picture that leaves the page carries what it needs, and nothing that leads back."""

from __future__ import annotations

import struct
from xml.etree import ElementTree

import pytest

from reports.charts.exported import Frame, exported_svg
from reports.charts.rate_over_time import rate_over_time
from reports.writers.png import png_bytes
from tests.reports.charts.measure_rows import rate_row, shapes, texts

FRAME = Frame(
    "Tern Quay", "2025, Q1 to Q4", "49.4 patient-years at risk", "Rules: 2022",
    "20 Jan 2026, 08:00", "Signed, version 1",
)  # fmt: skip
ROWS = [rate_row(f"{year}-Q4/4q", 10 + year - 2023, 18_000) for year in (2023, 2024, 2025)]
CHART = rate_over_time(ROWS, lead=lambda row: f"/recount/{row['period']}")


@pytest.fixture(scope="module")
def svg() -> str:
    return exported_svg(CHART, FRAME)


def test_it_carries_range_time_at_risk_rules_and_freeze_date(svg: str) -> None:
    said = " ".join(texts(svg))

    assert CHART.title in said
    for told in (FRAME.period, FRAME.at_risk, FRAME.definition, FRAME.frozen, FRAME.state):
        assert told in said
    assert "exact, 95 %" in said


def test_it_holds_the_numbers_of_the_page(svg: str) -> None:
    assert shapes(svg) == shapes(CHART.svg)


def test_it_leads_nowhere_and_runs_nothing(svg: str) -> None:
    assert "<a " in CHART.svg
    assert "<a " not in svg and "href=" not in svg and "<script" not in svg


def test_its_colours_are_its_own(svg: str) -> None:
    assert "var(" not in svg and "@media" not in svg
    assert ElementTree.fromstring(svg).get("width") == "1248"


def test_a_png_is_sharp_and_the_same_twice(svg: str) -> None:
    made = png_bytes(svg)

    assert made[:8] == b"\x89PNG\r\n\x1a\n"
    assert struct.unpack(">I", made[16:20])[0] == 2 * 1248
    assert png_bytes(svg) == made
