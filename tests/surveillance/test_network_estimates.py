"""The nowcast of a network: the counts of its clinics, summed, then carried on."""

import numpy as np
import pytest

from surveillance import network_estimates
from surveillance.network_estimates import network_estimate_bodies
from surveillance.signals.network_rates import Clinics

NOBODY = np.zeros(0, dtype=np.int64)
NO_TIME = Clinics(0, 0, NOBODY, 2, NOBODY, NOBODY, NOBODY.reshape(0, 0), NOBODY.reshape(0, 0))
QUARTERS = ["2025-Q1", "2025-Q2", "2025-Q3"]
# Clinic A and B by quarter: in the record 0, 14, 28 and 60 days after its end.
ENTERED = {
    "A": {"2025-Q1": [3, 4, 4, 4], "2025-Q2": [2, 3, 3, 3], "2025-Q3": [4, None, None, None]},
    "B": {"2025-Q2": [1, 1, 2, 2], "2025-Q3": [2, None, None, None]},
}


@pytest.fixture
def clinics(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    def rows(snapshot: str, table: str, period: str) -> list[dict[str, object]]:
        assert table == "estimates"
        made = zip(("0", "14", "28", "60"), ENTERED[snapshot][period], strict=True)
        other = {"name": "contaminations_count", "band": "", "value": 99}
        return [other] + [
            {"name": "peritonitis_entered_count", "band": band, "value": value}
            for band, value in made
        ]

    kept = [*QUARTERS, "2025-07", "2025-Q3/4q"]
    monkeypatch.setattr(network_estimates, "kept_periods", lambda *_: kept)
    monkeypatch.setattr(network_estimates, "periods", lambda one, table: list(ENTERED[one]))
    monkeypatch.setattr(network_estimates, "table_rows", rows)
    monkeypatch.setattr(network_estimates, "clinics_beside", lambda *_: NO_TIME)
    return list(ENTERED)


def test_the_counts_are_summed_and_carried_on_by_earlier_growth(clinics):
    (body,) = network_estimate_bodies("N", clinics, "", "rule_2022")
    # 6 so far; earlier quarters grew 6 to 8, 8 to 9 and 9 to 9.
    assert body.split(",")[:6] == [
        "N",
        "2025-Q3",
        "peritonitis_expected_count",
        "",
        "",
        "chain_ladder",
    ]
    assert float(body.split(",")[6]) == pytest.approx(6 * 8 / 6 * 9 / 8)
    assert "6 in the record so far; about 67 % usually in by now" in body


def test_another_quarter_has_nothing_to_tell(clinics):
    assert "".join(network_estimate_bodies("N", clinics, "2025-Q2", "rule_2022")) == ""


def test_a_clinic_that_cannot_tell_yet_leaves_the_sum_untold(clinics, monkeypatch):
    monkeypatch.setitem(ENTERED["B"], "2025-Q3", [None] * 4)
    assert "".join(network_estimate_bodies("N", clinics, "", "rule_2022")) == ""


def test_no_ended_quarter_has_no_rows(clinics, monkeypatch):
    monkeypatch.setattr(network_estimates, "kept_periods", lambda *_: ["2025-07"])
    assert list(network_estimate_bodies("N", clinics, "", "rule_2022")) == []
