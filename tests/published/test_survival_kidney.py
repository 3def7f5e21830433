"""Open data on catheter infection, survival kidney (McGilchrist & Aisbett 1991), R as referee."""

from math import exp, log, sqrt
from pathlib import Path

import numpy as np
import pytest
from scipy.special import ndtri

from clinic.demo.record_folder import write_record_folder
from fixtures.open_data.survival_kidney import record_rows, source_patients
from surveillance.rates.clustering import overdispersion
from surveillance.rates.poisson import exact_poisson_limits
from surveillance.rates.regression import poisson_regression_bands
from tests.published.given_rows import example
from tests.published.ordinary_commands import Row, computed, exported

DAYS_PER_YEAR = 365.25


def each_patient() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Infections, days and whether male, one a patient."""
    found = source_patients()
    events = np.array([sum(infected for _, infected in times) for times in found.values()])
    days = np.array([sum(days for days, _ in times) for times in found.values()])
    return events, days, np.array([sex == 1 for _, sex in found])


def whole(rows: list[Row], measure: str = "exit_site_infection_rate") -> tuple[int, int]:
    """Infections and days of the calendar years, which hold the whole follow-up."""
    years = [
        row for row in rows
        if (row["measure"], row["split"]) == (measure, "") and len(row["period"]) == 4
    ]  # fmt: skip
    return sum(int(row["numerator"]) for row in years), sum(int(r["denominator"]) for r in years)


@pytest.fixture
def exports(tmp_path: Path) -> dict[str, list[Row]]:
    write_record_folder(tmp_path / "records", record_rows())
    computed(tmp_path / "records", as_of="2024-12-31")
    return {
        clinic: exported(tmp_path / f"{clinic}.csv", clinic=clinic) for clinic in ("MALE", "FEMA")
    }


@pytest.mark.django_db
def test_the_ordinary_commands_give_the_rate_of_the_men(exports: dict[str, list[Row]]) -> None:
    # kidney-01: poisson.test(sum(status), sum(time)/365.25)
    _, expected = example("kidney-01")
    infections, days = whole(exports["MALE"])
    assert (infections, days) == (expected["events"], expected["days"])
    limits = exact_poisson_limits(infections, days / DAYS_PER_YEAR, 0.95)
    assert infections * DAYS_PER_YEAR / days == pytest.approx(expected["rate_per_year"], rel=1e-8)
    assert (limits.lower, limits.upper) == pytest.approx(expected["exact"], rel=1e-8)


@pytest.mark.django_db
def test_58_of_76_catheters_were_infected(exports: dict[str, list[Row]]) -> None:
    """The print is from memory; kidney-03 has the same 58 and 7724 days."""
    _, expected = example("kidney-03")
    sums = [whole(rows) for rows in exports.values()]
    assert sum(infections for infections, _ in sums) == expected["events"] == 58
    assert sum(days for _, days in sums) == expected["days"]
    assert sum(len(times) for times in source_patients().values()) == 76


def test_clustering_in_patients() -> None:
    # kidney-03: hand formulas and sandwich HC0 in R
    _, expected = example("kidney-03")
    events, days, _ = each_patient()
    found = overdispersion(events, days / DAYS_PER_YEAR)
    assert len(events) == expected["patients"]
    assert found.rate == pytest.approx(expected["rate"], rel=1e-8)
    assert found.phi == pytest.approx(expected["phi"], rel=1e-8)
    assert found.se_rate_robust == pytest.approx(expected["se_robust"], rel=1e-8)
    assert found.se_rate_poisson == pytest.approx(expected["se_poisson"], rel=1e-8)


def test_men_over_women_by_regression() -> None:
    # kidney-04: glm(status ~ male + offset(log(days)), poisson)
    _, expected = example("kidney-04")
    events, days, male = each_patient()
    by_sex = [(events[who].sum(), days[who].sum() / DAYS_PER_YEAR) for who in (~male, male)]
    found = poisson_regression_bands(*zip(*by_sex, strict=True), reference_band=1)
    assert found.ratio[0] == pytest.approx(expected["ratio"], rel=1e-5)
    limits = (found.lower[0], found.upper[0])
    assert limits == pytest.approx(expected["model_lower_upper"], rel=1e-5)
    se = log(limits[1] / limits[0]) / (2 * ndtri(0.975))
    assert se == pytest.approx(expected["log_se_model"], rel=1e-5)
    assert exp(log(limits[0]) + ndtri(0.975) * se) == pytest.approx(expected["ratio"], rel=1e-5)


def test_men_over_women_with_errors_clustered_by_patient() -> None:
    # kidney-04: geepack::geeglm(corstr = "independence"), no small-sample factor
    _, expected = example("kidney-04")
    events, days, male = each_patient()
    variance = 0.0
    for who in (male, ~male):
        mean = events[who].sum() / days[who].sum() * days[who]
        variance += ((events[who] - mean) ** 2).sum() / events[who].sum() ** 2
    assert sqrt(variance) == pytest.approx(expected["log_se_cluster_robust"], rel=1e-5)
