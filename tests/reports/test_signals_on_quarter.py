"""What the stored signals make of Quarter: limits, alarms and the decision asked for."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from reports.dashboard.asked import decision_asked
from reports.dashboard.material import Material
from reports.dashboard.sections import changed, clusters
from reports.rate_report.figures import Figures
from tests.reports.stored import QUARTER, YEAR, draft_of, grown
from tests.reports.test_quarter_charts import EVERYTHING, drawn


def material(snapshot) -> Material:
    return Material(Figures(snapshot), QUARTER, EVERYTHING)


def of_rule(snapshot, rule: str) -> list[dict[str, Any]]:
    return [row for row in Figures(snapshot).signals() if row["rule"] == rule]


def test_quarters_stand_between_their_stored_limits(draft) -> None:
    chart = changed.section(material(draft)).charts[0]
    stored = {
        (row["statistic"], row["limit"]): row["observed"]
        for row in of_rule(draft, "quarterly_rate")
    }

    for datum in drawn(chart.svg):
        pair = float(datum["data-value"]), float(datum["data-upper"])
        assert stored[pair] == int(datum["data-numerator"])
    assert [row[0] for row in chart.rows][-1] == QUARTER


def test_the_weekly_sum_holds_the_stored_weeks(draft) -> None:
    chart = changed.section(material(draft)).charts[1]
    stored = {row["window_end"]: row for row in of_rule(draft, "peritonitis_cusum")}

    assert chart.rows
    for end, observed, expected, total, limit in chart.rows:
        row = stored[str(end)]
        assert (observed, expected, total, limit) == (
            row["observed"], row["expected"], row["statistic"], row["limit"],
        )  # fmt: skip
    assert max(str(row[0]) for row in chart.rows) <= "2025-03-31"


@pytest.fixture
def cluster(tern_quay, draft):
    """Four patients with Pseudomonas within three weeks of the year."""
    from clinic.actions.audit import SCHEDULE, write_event
    from clinic.models import Patient

    for place, patient in enumerate(Patient.objects.order_by("number")[5:9]):
        grown(patient, date(2024, 8, 5 + 4 * place), "Pseudomonas aeruginosa")
    write_event(clinic=tern_quay, by=SCHEDULE, verb="record", thing="peritonitis")
    return draft_of(tern_quay)


def test_a_cluster_is_named_on_its_lane_and_asked_about(cluster) -> None:
    m = material(cluster)
    found = m.alarms(clusters.RULE)

    assert found
    chart = clusters.section(m).charts[0]
    assert "out of chance" in chart.title
    assert 'class="window"' in chart.svg
    asked = decision_asked(m.figures, YEAR, m.alarms())
    assert asked.why == found[0]["sentence"]


def test_without_an_alarm_no_window_is_drawn(draft) -> None:
    m = material(draft)

    assert not m.alarms(clusters.RULE)
    assert 'class="window"' not in clusters.section(m).charts[0].svg
