"""Open data on exit-site infection (fixtures/open_data/kmsurv_kidney.py) by the usual commands."""

from pathlib import Path

import pytest

from clinic.demo.record_folder import write_record_folder
from fixtures.open_data.kmsurv_kidney import record_rows, source_rows
from surveillance.rates.compare import rate_ratio
from surveillance.rates.poisson import exact_poisson_limits
from tests.published.ordinary_commands import Row, computed, exported

pytestmark = pytest.mark.django_db

DAYS_PER_MONTH = 365.25 / 12
Counts = tuple[int, int]  # infections, days at risk


def followed_up(rows: list[Row]) -> Counts:
    """Sums over the calendar years, which together hold the whole follow-up."""
    years = [
        row
        for row in rows
        if row["measure"] == "exit_site_infection_rate"
        and row["split"] == ""
        and row["period"] in ("2021", "2022", "2023")
    ]
    return sum(int(row["numerator"]) for row in years), sum(int(r["denominator"]) for r in years)


@pytest.fixture
def counts(tmp_path: Path) -> dict[str, Counts]:
    write_record_folder(tmp_path / "records", record_rows())
    computed(tmp_path / "records", as_of="2023-12-31")
    return {
        clinic: followed_up(exported(tmp_path / f"{clinic}.csv", clinic=clinic))
        for clinic in ("SURG", "PERC")
    }


def rounding(counts: dict[str, Counts], clinic: str) -> float:
    """Half a day a patient, as a share of the days (why: the fixture's docstring)."""
    patients = {"SURG": 43, "PERC": 76}[clinic]
    return patients / 2 / counts[clinic][1]


def test_the_package_carries_the_published_groups() -> None:
    placements = [placement for *_, placement in source_rows()]
    assert (placements.count(1), placements.count(2)) == (43, 76)


def test_surgical_placement_has_15_infections_in_485_5_patient_months(
    counts: dict[str, Counts],
) -> None:
    # worked_examples kmkidney-01: poisson.test(sum(delta), sum(time)/12) in R
    infections, days = counts["SURG"]
    assert infections == 15
    assert days / DAYS_PER_MONTH == pytest.approx(485.5, rel=rounding(counts, "SURG"))
    limits = exact_poisson_limits(infections, days / 365.25, level=0.95)
    assert (limits.lower, limits.upper) == pytest.approx(
        (0.207506969296, 0.61149871567), rel=rounding(counts, "SURG")
    )


def test_the_ratio_of_the_placements_is_that_of_poisson_test(counts: dict[str, Counts]) -> None:
    # worked_examples kmkidney-03: poisson.test on type 1 over type 2
    tolerance = rounding(counts, "SURG") + rounding(counts, "PERC")
    (surgical, surgical_days), (skin, skin_days) = counts["SURG"], counts["PERC"]
    years, skin_years = surgical_days / 365.25, skin_days / 365.25
    found = rate_ratio(surgical, years, skin, skin_years, level=0.95)
    assert found.ratio == pytest.approx(1.70489654527, rel=tolerance)
    assert tuple(found.exact) == pytest.approx((0.731699702718, 4.1036601809), rel=tolerance)
    assert found.p_central == pytest.approx(0.245507905036, rel=0.02)
