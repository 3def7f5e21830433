"""Each chart of Quarter: its numbers are the stored rows, and every mark leads to its rows."""

from __future__ import annotations

import html
import re
from xml.etree import ElementTree

import pytest
from django.urls import reverse

from reports.charts.chart import Chart
from reports.dashboard.material import Material, Sight
from reports.dashboard.sections import SECTIONS
from reports.rate_report.figures import Figures
from surveillance.models import Snapshot
from tests.reports.stored import NUMBERS, QUARTER, YEAR
from tests.reports.test_quarter import page

EVERYTHING = Sight(*[True] * 7)
_SVG = "{http://www.w3.org/2000/svg}"


def charts(snapshot: Snapshot, sight: Sight = EVERYTHING) -> dict[str, Chart]:
    material = Material(Figures(snapshot), QUARTER, sight)
    return {chart.name: chart for section in SECTIONS for chart in section(material).charts}


def drawn(svg: str) -> list[dict[str, str]]:
    groups = ElementTree.fromstring(svg).iter(f"{_SVG}g")
    return [dict(held.attrib) for held in groups if held.get("class") == "datum"]


def stored_values(snapshot: Snapshot) -> set[str]:
    """Every value and limit that the snapshot stores, as its drawings write them."""
    figures = Figures(snapshot)
    rows = [row for period in figures.periods for row in figures.rows(period)]
    rows += [row for period in (QUARTER, YEAR) for row in figures.estimates(period)]
    found = {str(row[name]) for row in rows for name in ("value", "lower", "upper")}
    signals = figures.signals()
    return found | {str(row[name]) for row in signals for name in ("statistic", "limit")}


def test_every_number_drawn_is_a_stored_one(draft) -> None:
    stored = stored_values(draft)
    for name, chart in charts(draft).items():
        for svg in (chart.svg, chart.svg_narrow):
            for datum in drawn(svg):
                values = [datum.get(f"data-{one}") for one in ("value", "lower", "upper")]
                assert set(filter(None, values)) <= stored, name


def test_the_table_under_a_drawing_has_its_numbers(draft) -> None:
    for name, chart in charts(draft).items():
        cells = {str(cell) for row in chart.rows for cell in row}
        for datum in drawn(chart.svg):
            values = [datum.get(f"data-{one}") for one in ("value", "lower", "upper", "now")]
            assert set(filter(None, values)) <= cells, name


def test_every_chart_has_a_finding_a_summary_and_a_table(draft) -> None:
    for name, chart in charts(draft).items():
        assert chart.title.endswith((".", "?")), name
        assert len(chart.summary) > 20, name
        heads = chart.row_columns or chart.columns
        assert {len(row) for row in chart.rows} <= {len(heads)}, name
        assert {len(row) for row in chart.shown_rows} <= {len(chart.columns)}, name
        assert len(chart.rows) == len(chart.shown_rows), name


@pytest.mark.parametrize(
    "name",
    ["rate_over_time", "exit_site_over_time", "tunnel_over_time", "two_targets", "organisms",
     "culture_negative_over_time", "lanes", "training_clock", "three_clocks", "subgroups",
     "outcomes", "burden", "completeness"],
)  # fmt: skip
def test_each_chart_leads_from_its_marks_to_rows(draft, director, signed_in, name: str) -> None:
    client = signed_in(director)
    chart = charts(draft)[name]
    found = {html.unescape(one) for one in re.findall(r'href="(/[^"]+)"', chart.svg)}

    assert found
    assert {client.get(address).status_code for address in sorted(found)[:4]} == {200}


def test_every_link_says_where_it_leads(draft) -> None:
    for name, chart in charts(draft).items():
        for link in ElementTree.fromstring(chart.svg).iter(f"{_SVG}a"):
            assert link.get("aria-label"), name


def test_no_link_for_whoever_may_not_open_a_recount(draft) -> None:
    outside = Sight(False, False, False, False, True, False, False)
    for name, chart in charts(draft, outside).items():
        assert "<a " not in chart.svg and not any(chart.leads), name


def test_trainer_cohorts_are_hidden_from_whoever_may_not_see_them(draft) -> None:
    sight = Sight(True, True, False, True, True, True, True)

    assert "trainer_cohorts" in charts(draft)
    assert "trainer_cohorts" not in charts(draft, sight)


def test_trainer_cohorts_carry_no_code(draft) -> None:
    chart = charts(draft)["trainer_cohorts"]

    for text in (chart.svg, chart.summary, str(chart.rows), str(chart.figure)):
        assert "T-0" not in text


def test_fewer_than_three_trainers_are_not_compared(draft, monkeypatch) -> None:
    bands = Figures.bands

    def two(self, period, measure, split):
        rows = bands(self, period, measure, split)
        return [row for row in rows if row["band"] != "T-00"] if split == "first_trainer" else rows

    monkeypatch.setattr(Figures, "bands", two)
    assert "trainer_cohorts" not in charts(draft)


def test_an_auditor_sees_months_on_the_lanes(draft) -> None:
    sight = Sight(True, False, False, False, True, False, False)

    assert re.search(r"\d+ Jan 2025", charts(draft)["lanes"].summary)
    assert not re.search(r"\d+ Jan 2025", charts(draft, sight)["lanes"].summary)


def test_the_burden_adds_up_to_all_patients(draft) -> None:
    row = Figures(draft).row(YEAR, "peritonitis_free_share")
    chart = charts(draft)["burden"]

    assert sum(patients for _, patients, _ in chart.rows) == row["denominator"]


def test_patients_with_several_stand_on_a_page_that_is_logged(draft, director, signed_in) -> None:
    from clinic.models import AuditEvent

    address = reverse("repeat_patients", args=[draft.clinic.uid, QUARTER])
    shown = signed_in(director).get(address).content.decode()

    assert NUMBERS[0] in shown and NUMBERS[1] not in shown
    assert len(AuditEvent.objects.filter(verb="read").latest("id").changes["patients"]) == 1


def test_patients_with_several_are_not_for_an_auditor(signed, auditor, signed_in) -> None:
    address = reverse("repeat_patients", args=[signed.clinic.uid, QUARTER])

    assert signed_in(auditor).get(address).status_code == 403


def test_the_csv_of_each_chart_holds_its_unrounded_numbers(draft, director, signed_in) -> None:
    client = signed_in(director)
    for name in ("subgroups", "outcomes", "families", "burden"):
        address = reverse("section_numbers", args=[draft.clinic.uid, QUARTER, name])
        text = client.get(address, {"version": draft.uid}).content.decode()
        assert len(text.splitlines()) >= len(charts(draft)[name].rows) + 1, name
    assert "Decision asked for" in page(client, draft.clinic)
