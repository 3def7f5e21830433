"""Open data on recurrent infections, survival cgd (Fleming & Harrington 1991), R as referee."""

from collections import Counter
from datetime import date, timedelta
from math import exp, log, sqrt
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.stats import nbinom, poisson

from clinic.demo.record_folder import write_record_folder
from fixtures.open_data.survival_cgd import SourceRow, patients, record_rows, source_rows
from surveillance.rates.compare import rate_ratio
from surveillance.rates.incidence import aalen_johansen, mean_cumulative_counts
from surveillance.rates.poisson import exact_poisson_limits, midp_poisson_limits
from tests.published.given_rows import example
from tests.published.ordinary_commands import Row, computed, exported
from tests.published.test_lexis_splits import cells

DAYS_PER_YEAR = 365.25
YEARS = ("1988", "1989", "1990", "1991")
# The bands of cgd-09 on our own, which part the time after half a year further.
BAND = {"0-90": "0-90", "91-181": "91-181", "182-364": "182+", "365-729": "182+", "730+": "182+"}


def placebo() -> list[SourceRow]:
    return [row for row in source_rows() if row.arm == "placebo"]


def each_patient() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Infections, days and whether treated, one a patient."""
    rows = patients().values()
    events = np.array([sum(row.infected for row in own) for own in rows])
    days = np.array([own[-1].tstop - own[0].tstart for own in rows])
    return events, days, np.array([own[0].arm != "placebo" for own in rows])


@pytest.fixture
def exports(tmp_path: Path) -> dict[str, list[Row]]:
    """The measure rows of both arms, by record files and the ordinary commands."""
    write_record_folder(tmp_path / "records", record_rows())
    computed(tmp_path / "records", as_of="1991-12-31")
    return {
        clinic: exported(tmp_path / f"{clinic}.csv", clinic=clinic) for clinic in ("PLAC", "TREA")
    }


def rate_rows(rows: list[Row], split: str) -> list[Row]:
    return [row for row in rows if (row["measure"], row["split"]) == ("peritonitis_rate", split)]


def whole(rows: list[Row]) -> tuple[int, int]:
    """Infections and days of the calendar years, which hold the whole follow-up."""
    years = [row for row in rate_rows(rows, "") if row["period"] in YEARS]
    return sum(int(row["numerator"]) for row in years), sum(int(r["denominator"]) for r in years)


@pytest.mark.django_db
def test_the_ordinary_commands_give_the_rates_of_both_arms(exports: dict[str, list[Row]]) -> None:
    # cgd-01: poisson.test(56, 18524/365.25); 56 and 20 infections printed (from memory)
    _, expected = example("cgd-01")
    infections, days = whole(exports["PLAC"])
    assert (infections, days) == (expected["events"], expected["days"]) == (56, 18524)
    assert infections * DAYS_PER_YEAR / days == pytest.approx(expected["rate_per_year"], rel=1e-7)
    assert whole(exports["TREA"])[0] == 20


@pytest.mark.django_db
def test_the_ordinary_commands_give_the_ratio_of_the_arms(exports: dict[str, list[Row]]) -> None:
    # cgd-03: poisson.test(c(20, 56), c(T1, T2))
    _, expected = example("cgd-03")
    (treated, treated_days), (plain, plain_days) = whole(exports["TREA"]), whole(exports["PLAC"])
    years = treated_days / DAYS_PER_YEAR, plain_days / DAYS_PER_YEAR
    found = rate_ratio(treated, years[0], plain, years[1], level=0.95)
    assert found.ratio == pytest.approx(expected["ratio"], rel=1e-6)
    for name in ("exact", "p_central", "midp", "p_midp"):
        assert getattr(found, name) == pytest.approx(expected[name], rel=1e-6)


@pytest.mark.django_db
def test_the_ordinary_commands_give_every_cell_of_quarter_by_band(
    exports: dict[str, list[Row]],
) -> None:
    # cgd-09: day-by-day expansion in R; the clock restarts with each row, as after a training
    _, expected = example("cgd-09")
    days: Counter[tuple[str, str]] = Counter()
    events: Counter[tuple[str, str]] = Counter()
    for rows in exports.values():
        for row in rate_rows(rows, "time_since_training"):
            if "-Q" in row["period"] and "/" not in row["period"]:
                cell = (row["period"], BAND[row["band"]])
                days[cell] += int(row["denominator"])
                events[cell] += int(row["numerator"])
    found = [[*cell, days[cell], events[cell]] for cell in sorted(days)]
    assert found == sorted(expected["cells"])
    assert (days.total(), events.total()) == (expected["total_days"], expected["total_events"])


def test_rates_and_limits_of_the_placebo_arm() -> None:
    given, expected = example("cgd-01")
    infected = {row.patient for row in placebo() if row.infected}
    assert given["select"] == "treat=='placebo'"
    assert len({row.patient for row in placebo()}) == expected["patients"]
    assert len(infected) == expected["patients_with_infection"] == 30  # printed, from memory
    events, years = expected["events"], expected["days"] / DAYS_PER_YEAR
    for name, limits in (("exact", exact_poisson_limits), ("midp", midp_poisson_limits)):
        found = limits(events, years, 0.95)
        assert (found.lower, found.upper) == pytest.approx(expected[name], rel=1e-7)


def test_clustering_in_patients_beside_the_treatment() -> None:
    # cgd-04: R glm(events ~ treat + offset(log(days)), poisson) and sandwich
    _, expected = example("cgd-04")
    events, days, treated = each_patient()
    rates = [events[arm].sum() / days[arm].sum() for arm in (~treated, treated)]
    mean = np.where(treated, rates[1], rates[0]) * days
    totals = [events[arm].sum() for arm in (~treated, treated)]
    squares = [((events - mean)[arm] ** 2).sum() for arm in (~treated, treated)]
    variance = sum(square / n**2 for square, n in zip(squares, totals, strict=True))
    assert rates[1] / rates[0] == pytest.approx(expected["ratio"], rel=1e-6)
    assert sqrt(sum(1 / n for n in totals)) == pytest.approx(expected["log_se_poisson"], rel=1e-6)
    assert sqrt(variance) == pytest.approx(expected["log_se_robust_hc0"], rel=1e-6)
    phi = ((events - mean) ** 2 / mean).sum() / (len(events) - 2)
    assert phi == pytest.approx(expected["phi"], rel=1e-6)


def test_negative_binomial_beside_the_treatment() -> None:
    # cgd-04: R MASS::glm.nb, alpha = 1 / theta
    _, expected = example("cgd-04")
    events, days, treated = each_patient()

    def mean(base: float, ratio: float) -> np.ndarray:
        return np.exp(base + ratio * treated) * days

    def lost(at: np.ndarray) -> float:
        size = exp(-at[2])
        chance = size / (size + mean(at[0], at[1]))
        return -nbinom.logpmf(events, size, chance).sum()

    start = [log(events.sum() / days.sum()), 0.0, 0.0]
    found = minimize(lost, start, method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-11})
    base, ratio, alpha = found.x
    plain = [events[arm].sum() / days[arm].sum() for arm in (~treated, treated)]
    poisson_fit = poisson.logpmf(events, np.where(treated, plain[1], plain[0]) * days).sum()
    assert exp(ratio) == pytest.approx(expected["nb_ratio"], rel=1e-4)
    assert exp(alpha) == pytest.approx(expected["nb_alpha"], rel=1e-4)
    assert 2 * (-found.fun - poisson_fit) == pytest.approx(expected["lr"], rel=1e-4)
    assert base < 0


def test_mean_cumulative_count_of_the_placebo_arm() -> None:
    # cgd-05: survfit(Surv(tstart, tstop, status) ~ 1, id = id)$cumhaz
    given, expected = example("cgd-05")
    rows = placebo()
    found = mean_cumulative_counts(
        episodes=[row.tstop for row in rows if row.infected],
        entry=[row.tstart for row in rows],
        exit_time=[row.tstop for row in rows],
        terminal=[False] * len(rows),
        at=given["at_days"],
    )
    assert found["naive"] == pytest.approx(expected["mean_cumulative_count"], abs=1e-9)


def test_first_infection_of_the_placebo_arm() -> None:
    # cgd-05: survfit on enum == 1
    given, expected = example("cgd-05")
    first = [own[0] for own in patients().values() if own[0].arm == "placebo"]
    found = aalen_johansen(
        [row.tstop for row in first], [int(row.infected) for row in first], given["at_days"]
    )
    assert found["one_minus_km"] == pytest.approx(expected["first_infection_km"], abs=1e-9)


def day_after(row: SourceRow) -> date:
    return row.last_day + timedelta(days=1)


def test_days_and_infections_since_entry_by_band() -> None:
    # cgd-07: survSplit at 90, 180, 270; (start, stop], so its day 90 is our day 89
    given, expected = example("cgd-07")
    people = [
        {
            "spells": [
                [own[0].first_day.isoformat(), (own[-1].last_day + timedelta(1)).isoformat()]
            ],
            "trainings": [own[0].first_day.isoformat()],
            "episodes": [row.last_day.isoformat() for row in own if row.infected],
        }
        for own in patients().values()
        if own[0].arm == "placebo"
    ]
    found = cells(people, given["band_starts_days"], "all", "first", first="1988-01-01")
    rows = found["cells_period_band_days_episodes"]
    by_band = {band: (days, events) for _, band, days, events in rows}
    bands = ["0-89", "90-179", "180-269", "270+"]
    assert [by_band[band][0] for band in bands] == expected["days"]
    assert [by_band[band][1] for band in bands] == expected["events"]
