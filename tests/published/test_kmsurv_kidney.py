"""Open data on exit-site infection (fixtures/open_data/kmsurv_kidney.py) by the usual commands."""

from pathlib import Path

import numpy as np
import pytest
from scipy.stats import chi2

from clinic.demo.record_folder import write_record_folder
from fixtures.open_data.kmsurv_kidney import record_rows, source_rows
from surveillance.rates.compare import rate_ratio
from surveillance.rates.incidence import aalen_johansen
from surveillance.rates.poisson import exact_poisson_limits, midp_poisson_limits
from tests.published.given_rows import example
from tests.published.ordinary_commands import Row, computed, exported

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


@pytest.mark.django_db
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


@pytest.mark.django_db
def test_the_ratio_of_the_placements_is_that_of_poisson_test(counts: dict[str, Counts]) -> None:
    # worked_examples kmkidney-03: poisson.test on type 1 over type 2
    tolerance = rounding(counts, "SURG") + rounding(counts, "PERC")
    (surgical, surgical_days), (skin, skin_days) = counts["SURG"], counts["PERC"]
    years, skin_years = surgical_days / 365.25, skin_days / 365.25
    found = rate_ratio(surgical, years, skin, skin_years, level=0.95)
    assert found.ratio == pytest.approx(1.70489654527, rel=tolerance)
    assert tuple(found.exact) == pytest.approx((0.731699702718, 4.1036601809), rel=tolerance)
    assert found.p_central == pytest.approx(0.245507905036, rel=0.02)


def placed(placement: int) -> tuple[np.ndarray, np.ndarray]:
    """Months and infections of the patients of a placement, as the package has them."""
    rows = [row for row in source_rows() if row[3] == placement]
    return np.array([row[1] for row in rows]), np.array([row[2] for row in rows])


def test_rate_and_limits_in_the_sources_own_months() -> None:
    # kmkidney-01: poisson.test(sum(delta), sum(time)/12)
    _, expected = example("kmkidney-01")
    months, infected = placed(1)
    years = months.sum() / 12
    assert (len(months), infected.sum()) == (expected["patients"], expected["events"])
    assert months.sum() == expected["patient_months"]
    assert infected.sum() / years == pytest.approx(expected["rate_per_year"], rel=1e-7)
    for name, limits in (("exact", exact_poisson_limits), ("midp", midp_poisson_limits)):
        found = limits(infected.sum(), years, 0.95)
        assert (found.lower, found.upper) == pytest.approx(expected[name], rel=1e-7)


def test_ratio_in_the_sources_own_months() -> None:
    # kmkidney-03: poisson.test
    _, expected = example("kmkidney-03")
    (one, infected), (other, other_infected) = placed(1), placed(2)
    found = rate_ratio(
        int(infected.sum()), one.sum() / 12, int(other_infected.sum()), other.sum() / 12, level=0.95
    )
    assert found.ratio == pytest.approx(expected["ratio"], rel=1e-6)
    for name in ("exact", "p_central", "midp", "p_midp"):
        assert getattr(found, name) == pytest.approx(expected[name], rel=1e-6)


@pytest.mark.parametrize("placement", [1, 2])
def test_the_share_still_free_is_that_of_survfit(placement: int) -> None:
    # kmkidney-04: survfit(Surv(time, delta) ~ type)
    given, expected = example("kmkidney-04")
    months, infected = placed(placement)
    found = aalen_johansen(months, infected.astype(int), given["at_months"])
    assert found["event_free"] == pytest.approx(expected[f"free_type_{placement}"], rel=1e-8)


def test_the_log_rank_test_is_the_printed_one() -> None:
    # kmkidney-04: survdiff; 2.53, p .11 printed by Klein & Moeschberger, from memory
    _, expected = example("kmkidney-04")
    (one, infected), (other, other_infected) = placed(1), placed(2)
    observed = surplus = variance = 0.0
    for month in np.unique(np.concatenate([one[infected], other[other_infected]])):
        at_risk, of_one = (one >= month).sum() + (other >= month).sum(), (one >= month).sum()
        own = ((one == month) & infected).sum()
        events = own + ((other == month) & other_infected).sum()
        share = of_one / at_risk
        observed += own
        surplus += own - events * share
        more = (at_risk - events) / (at_risk - 1) if at_risk > 1 else 0.0
        variance += events * share * (1 - share) * more
    statistic = surplus**2 / variance
    assert observed == 15
    assert statistic == pytest.approx(expected["logrank_chi2"], rel=1e-8)
    assert chi2.sf(statistic, 1) == pytest.approx(expected["logrank_p"], rel=1e-8)
    assert (round(statistic, 2), round(chi2.sf(statistic, 1), 2)) == (2.53, 0.11)


def test_months_and_infections_since_placement_by_band() -> None:
    # kmkidney-05: Epi::splitLexis; no time lies on a cut, so the tie rule does not matter
    given, expected = example("kmkidney-05")
    cuts = np.array([*given["band_starts_months"], np.inf])
    months, infected = placed(1)
    inside = np.clip(months[:, None] - cuts[:-1], 0, np.diff(cuts))
    band = np.searchsorted(cuts, months[infected], "left") - 1
    assert inside.sum(axis=0) == pytest.approx(expected["person_months"], abs=1e-9)
    assert np.bincount(band, minlength=5).tolist() == expected["events"]
