"""Limits, chance of the target and shrunk cohorts of random clinics, from sets of days."""

from math import erf, exp, gamma, nan, sqrt

import pytest

from tests.estimates_recount.asked import SEEDS, Asked, days_at_risk, longer
from tests.estimates_recount.figures import YEAR, mid_p_limits
from tests.recount.clinics import ClinicCount
from tests.recount.limits import bisect, poisson_at_most
from tests.recount.periods import Period

KINDS = {
    "peritonitis_rate": {"peritonitis"},
    "exit_site_infection_rate": {"exit_site"},
    "tunnel_infection_rate": {"tunnel"},
    "catheter_infection_rate": {"exit_site", "tunnel"},
}
TARGETS = {  # design 3.3
    ("rule_2022", "peritonitis_rate"): 0.40,
    ("rule_2022", "exit_site_infection_rate"): 0.40,
    ("rule_2016", "peritonitis_rate"): 0.50,
}
Cohorts = dict[str, tuple[int, float]]  # band: episodes, years


@pytest.fixture(scope="module", params=range(SEEDS))
def asked(request: pytest.FixtureRequest) -> Asked:
    return Asked(request.param)


def counted(clinic: ClinicCount, period: Period, kinds: set[str]) -> int:
    """An infection of both sites is one."""
    return len(
        {
            (case.patient, case.episode)
            for one in clinic.patients
            for case in one.cases
            if case.counts and case.kind in kinds and period.holds(case.onset_on)
        }
    )


def chance_at_or_below(target: float, count: int, years: float) -> float:
    """P(Gamma(count + 1/2) <= target x years), from the error function upwards."""
    z = target * years
    return erf(sqrt(z)) - sum(z ** (k + 0.5) * exp(-z) / gamma(k + 1.5) for k in range(count))


def test_limits_and_reliability_of_the_four_rates(asked: Asked) -> None:
    for clinic in asked.clinics():
        for period in longer(clinic):
            years = days_at_risk(clinic, period) / YEAR
            for name, kinds in KINDS.items():
                count = counted(clinic, period, kinds)
                rate = count / years if years else nan
                limits = mid_p_limits(count, years) if years else (nan, nan)
                asked.expect(clinic, period, (name, "", "midp_poisson"), rate, *limits)
                error = 100 / sqrt(count) if count else nan
                key = (f"{name}_relative_standard_error_percent", "", "poisson")
                asked.expect(clinic, period, key, error)


def test_the_chance_that_a_rate_meets_its_target(asked: Asked) -> None:
    rule_set = asked.question.rule_set
    for clinic in asked.clinics():
        for period in longer(clinic):
            years = days_at_risk(clinic, period) / YEAR
            for name, kinds in KINDS.items():
                key = (f"{name}_meets_target", "", "gamma_jeffreys")
                if (rule_set, name) in TARGETS:
                    target, count = TARGETS[rule_set, name], counted(clinic, period, kinds)
                    chance = chance_at_or_below(target, count, years) if years else nan
                    asked.expect(clinic, period, key, chance)
                else:
                    assert (clinic.name, period.name, *key) not in asked.found


def cohorts(clinic: ClinicCount, period: Period, split: str) -> Cohorts:
    found: Cohorts = {}
    for one in clinic.patients:
        onsets = [case.onset_on for case in one.cases if case.counts and case.kind == "peritonitis"]
        for day in period.days:
            if day in one.bands:
                band = one.bands[day][split]
                count, years = found.get(band, (0, 0.0))
                found[band] = (count + onsets.count(day), years + 1 / YEAR)
    return found


def test_mid_p_limits_in_bands_of_the_training_clock(asked: Asked) -> None:
    for clinic in asked.clinics():
        for period in longer(clinic):
            for band, (count, years) in cohorts(clinic, period, "time_since_training").items():
                key = ("peritonitis_rate", band, "midp_poisson")
                asked.expect(clinic, period, key, count / years, *mid_p_limits(count, years))


def shrunk(found: Cohorts) -> dict[str, float]:
    """statistics.md 2.15, Marshall's moments."""
    total = sum(years for _, years in found.values())
    mean = sum(count for count, _ in found.values()) / total
    spread = sum(years * (count / years - mean) ** 2 for count, years in found.values()) / total
    between = spread - mean / (total / len(found))
    if between <= 0:
        return dict.fromkeys(found, mean)
    return {
        band: mean + between / (between + mean / years) * (count / years - mean)
        for band, (count, years) in found.items()
    }


def gamma_limits(shape: int, rate: float) -> tuple[float, float]:
    """Searched: a gamma of a whole shape lies below z unless fewer than shape events came by z."""
    high = 3.0 * shape + 30
    low, up = (
        bisect(lambda z: 1 - poisson_at_most(shape - 1, z) - tail, 0, high)  # noqa: B023
        for tail in (0.025, 0.975)
    )
    return low / rate, up / rate


def test_cohorts_of_first_trainers_are_shrunk(asked: Asked) -> None:
    for clinic in asked.clinics():
        for period in (one for one in longer(clinic) if one.kind in ("year", "rolling")):
            found = cohorts(clinic, period, "first_trainer")
            named = {band: sums for band, sums in found.items()
                     if band not in ("unknown", "none_recorded")}  # fmt: skip
            for band, value in (shrunk(named) if named else {}).items():
                count, years = named[band]
                asked.expect(clinic, period, ("peritonitis_rate", band, "marshall"), value)
                key = ("peritonitis_rate", band, "gamma_prior")
                limits = gamma_limits(4 + count, 10 + years)
                asked.expect(clinic, period, key, (4 + count) / (10 + years), *limits)
            rows = [key[3] for key in asked.found
                    if key[:2] == (clinic.name, period.name) and key[4] == "marshall"]  # fmt: skip
            assert sorted(rows) == sorted(named)
