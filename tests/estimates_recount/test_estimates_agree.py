"""The estimates of random clinics equal those of a slow second route, day by day."""

import os
from datetime import date

import pandas as pd
import pytest

from surveillance.estimates.compute import compute_with_estimates
from surveillance.rules import RULE_SETS
from tests.estimates_recount import figures
from tests.estimates_recount.figures import YEAR, same, started_on
from tests.estimates_recount.watch import Person, events_in, people_of
from tests.recount.bridge import record_tables
from tests.recount.clinics import ClinicCount, count_clinic
from tests.recount.limits import binomial_share_limits
from tests.recount.organisms import Catalogue
from tests.recount.periods import Period
from tests.recount.random_clinics import random_question, random_record
from tests.recount.record_files import organism_rows

SEEDS = int(os.environ.get("ESTIMATES_SEEDS", "25"))
CATALOGUE = organism_rows()
CLOCK, NO_TRAINING, REFERENCE = "time_since_training", "none_recorded", "91-181"
Row = dict[str, object]
Rows = dict[tuple[str, str, str, str, str], Row]  # clinic, period, name, band, method


class Both:
    """One random clinic by both routes."""

    def __init__(self, rows: Rows, clinic: ClinicCount) -> None:
        self.rows, self.clinic, self.people = rows, clinic, people_of(clinic)

    def years(self) -> list[Period]:
        return [period for period in self.clinic.periods if period.kind in ("year", "rolling")]

    def row(self, period: Period, name: str, method: str, band: str = "") -> Row:
        return self.rows[self.clinic.name, period.name, name, band, method]

    def expect(
        self, period: Period, name: str, method: str, *numbers: float, band: str = ""
    ) -> None:
        row = self.row(period, name, method, band)
        for column, number in zip(("value", "lower", "upper"), numbers, strict=False):
            assert same(row[column], number), (period.name, name, method, band, row, numbers)


def both_routes(seed: int) -> list[Both]:
    rows = random_record(seed)
    asked = random_question(seed, rows)
    _, frame = compute_with_estimates(
        record_tables(rows), pd.DataFrame(CATALOGUE), RULE_SETS[asked.rule_set], asked.as_of,
        asked.through,
    )  # fmt: skip
    found = {
        (row["clinic"], row["period"], row["name"], row["band"], row["method"]): row
        for row in frame.to_dict("records")
    }
    known = Catalogue(CATALOGUE)
    clinics = [
        count_clinic(rows, row, known, asked.rule_set, asked.as_of, asked.through)
        for row in rows["clinics"]
    ]
    return [Both(found, clinic) for clinic in clinics]


@pytest.fixture(scope="module", params=range(SEEDS))
def both(request: pytest.FixtureRequest) -> list[Both]:
    return both_routes(request.param)


def test_patient_level_figures(both: list[Both]) -> None:
    for one in both:
        for period in one.years():
            own = figures.own_years(one.people, period)
            years = sum(t for _, t in own)
            count = sum(x for x, _ in own)
            rate = count / years if years else float("nan")
            limits = figures.mid_p_limits(count, years) if years else (float("nan"),) * 2
            one.expect(period, "peritonitis_rate", "midp_poisson", rate, *limits)
            one.expect(period, "peritonitis_rate_dispersion", "pearson", figures.dispersion(own))
            robust = figures.robust_limits(own)
            one.expect(period, "peritonitis_rate", "patient_robust_hc0", rate, *robust)


def test_free_shares(both: list[Both]) -> None:
    for one in both:
        for period in one.years():
            free, n = figures.full_year_free(one.people, period)
            limits = binomial_share_limits(free, n) if n else (float("nan"),) * 2
            share = free / n if n else float("nan")
            one.expect(period, "peritonitis_free_share", "full_year_patients", share, *limits)
            length = len(period.days)
            by_day, _ = figures.incidence(
                started(one.people), period, period.first, lambda _, p=period: p.first, length
            )
            name = "peritonitis_free_share"
            one.expect(period, name, "aalen_johansen_calendar", 1 - by_day)
            by_start, _ = figures.incidence(started(one.people), period, date.min, started_on, 365)
            one.expect(period, name, "aalen_johansen", 1 - by_start)


def started(people: list[Person]) -> list[Person]:
    return [person for person in people if person.began_on]


def test_first_peritonitis_and_mean_counts_since_pd_began(both: list[Both]) -> None:
    for one in both:
        people = started(one.people)
        for period in one.years():
            known = Period("", "", date.min, period.last)
            for day in (90, 180, 365):
                found, overstated = figures.incidence(people, known, date.min, started_on, day)
                name, band = "first_peritonitis_cumulative_incidence", str(day)
                one.expect(period, name, "aalen_johansen", found, band=band)
                one.expect(period, name, "one_minus_kaplan_meier", overstated, band=band)
            for day in (365, 730):
                naive, weighted = figures.mean_counts(people, period.last, day)
                name, band = "peritonitis_mean_cumulative_count", str(day)
                one.expect(period, name, "naive", naive, band=band)
                one.expect(period, name, "ghosh_lin", weighted, band=band)


def test_the_ratio_to_the_year_before(both: list[Both]) -> None:
    name, method = "peritonitis_rate_ratio_to_year_before", "exact_conditional"
    for one in both:
        periods = {period.first: period for period in one.years()}
        asked = 0
        for period in one.years():
            before = periods.get(period.first.replace(year=period.first.year - 1))
            own = figures.own_years(one.people, period)
            past = figures.own_years(one.people, before) if before else []
            if own and past:
                sums = [sum(each) for pair in (own, past) for each in zip(*pair, strict=True)]
                ratio, lower, upper, p = figures.exact_ratio(*sums)
                one.expect(period, name, method, ratio, lower, upper)
                assert one.row(period, name, method)["note"].startswith(f"p {p:.4g};")
                asked += 1
        assert asked == sum(key[0] == one.clinic.name and key[2] == name for key in one.rows)


def cells_of(one: Both, period: Period) -> list[dict[str, tuple[int, float]]]:
    """Episodes and years of each patient in each band of the clock."""
    found = []
    for person, watched in zip(one.clinic.patients, one.people, strict=True):
        cell: dict[str, tuple[int, float]] = {}
        onsets = events_in(watched.counted, period)
        for day in period.days:
            if day in person.bands and person.bands[day][CLOCK] != NO_TRAINING:
                count, years = cell.get(person.bands[day][CLOCK], (0, 0.0))
                cell[person.bands[day][CLOCK]] = (count + onsets.count(day), years + 1 / YEAR)
        found.append(cell)
    return found


def test_ratios_by_time_since_training(both: list[Both]) -> None:
    for one in both:
        for period in one.years():
            cells = cells_of(one, period)
            bands = sorted({band for cell in cells for band in cell} - {REFERENCE})
            lr, df = figures.heterogeneity(cells) if any(cells) else (float("nan"), 0)
            row = one.row(period, "peritonitis_rate_heterogeneity", "likelihood_ratio")
            assert same(row["value"], max(0.0, lr) if df else lr)
            if not any(REFERENCE in cell for cell in cells):
                continue
            for band in bands:
                ratio, wald, clustered = figures.clustered_ratio(cells, band, REFERENCE)
                expect_ratio(one, period, band, cells, (ratio, wald, clustered))


def expect_ratio(
    one: Both, period: Period, band: str, cells: list, found: tuple[float, float, float]
) -> None:
    ratio, wald, clustered = found
    name = "peritonitis_rate_ratio"
    if ratio == ratio:
        for method, error in (("poisson_wald", wald), ("poisson_clustered", clustered)):
            width = figures.exp(figures.Z * error)
            one.expect(period, name, method, ratio, ratio / width, ratio * width, band=band)
    else:
        sums = [
            sum(cell.get(label, (0, 0.0))[part] for cell in cells)
            for label in (band, REFERENCE)
            for part in (0, 1)
        ]
        exact = figures.exact_ratio(*sums)
        one.expect(period, name, "exact_conditional", *exact[:3], band=band)
