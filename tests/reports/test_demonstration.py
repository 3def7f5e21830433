"""On the demonstration network Quarter says what is real and what is not, by stored verdicts.

The stories and decoys: workflows.md 5. No threshold is set here; verdicts are asserted, not words.
"""

from __future__ import annotations

from datetime import date
from functools import cache
from pathlib import Path

import pytest

from clinic.demo.known import known_by
from clinic.demo.network import clinic_rows
from clinic.demo.parameters import Parameters, read_parameters
from reports.charts.flags import Flag
from reports.dashboard.material import Material, Sight
from reports.dashboard.sections import changed, clusters, organisms
from reports.rate_report.figures import Figures
from reports.rate_report.sentences import RATIO, change_side
from surveillance.models import Snapshot
from surveillance.periods import parse_period
from surveillance.snapshots import store
from surveillance.snapshots.cut import CutTable
from surveillance.snapshots.drafts import computed_tables
from tests.clinic.demo.watched import demo_record
from tests.factories import make_clinic

PARAMETERS = Path(__file__).parents[2] / "fixtures" / "demo" / "parameters.toml"
UNCERTAIN = ("meets_uncertain", "misses_uncertain")


@cache
def _numbers() -> Parameters:
    return read_parameters(PARAMETERS)


@cache
def _tables(code: str) -> tuple[CutTable, ...]:
    """One clinic computed as known on the demonstration's day."""
    numbers = _numbers()
    clinic = next(one for one in numbers.clinics if one.code == code)
    rows = known_by(clinic_rows(numbers, clinic), numbers.today)
    rows["clinics"] = [{"clinic": clinic.code, "name": clinic.name, "time_zone": numbers.time_zone}]
    record = demo_record(rows)
    return tuple(computed_tables(record, rule_set="rule_2022", as_of=numbers.today, through=""))


def quarter(code: str, period: str, flags: tuple[Flag, ...] = ()) -> Material:
    numbers = _numbers()
    snapshot: Snapshot = store(
        clinic=make_clinic(code), through="", rule_set="rule_2022", as_of=numbers.today,
        data_version=1, tables=_tables(code),
    )  # fmt: skip
    sight = Sight(*[True] * 8)
    return Material(Figures(snapshot), period, sight, lambda measure: flags)


@pytest.mark.django_db
def test_the_rise_after_the_staff_change_is_real() -> None:
    m = quarter("TQ", "2024-Q4")
    assert change_side(m.figures.estimate(m.year, RATIO)) == 1

    next_quarter = Material(m.figures, "2025-Q1", m.sight)  # the alarm of January
    assert next_quarter.alarms(changed.CUSUM)


@pytest.mark.django_db
def test_the_water_cluster_is_real_although_its_rate_alone_is_not() -> None:
    m = quarter("SM", "2025-Q3")
    alone = m.figures.row("2025-Q3", "peritonitis_rate")
    year = m.figures.row(m.year, "peritonitis_rate")

    assert alone["verdict"] in UNCERTAIN and year["verdict"] in UNCERTAIN
    assert not m.alarms(changed.CUSUM)
    assert "water" in {row["band"] for row in m.alarms(clusters.RULE)}
    assert 'class="window"' in clusters.section(m).charts[0].svg


@pytest.mark.django_db
def test_the_small_clinics_three_episodes_are_not_beyond_chance() -> None:
    m = quarter("LR", "2025-Q4")
    rows = [m.figures.row(one, "peritonitis_rate") for one in m.figures.quarters()]
    three = [row for row in rows if row["numerator"] >= 3]

    assert three
    assert {row["verdict"] for row in three} <= set(UNCERTAIN)
    points = changed.section(m).charts[0]
    assert "data-value" in points.svg and "line-attention" not in points.svg
    assert not m.alarms()


@pytest.mark.django_db
def test_the_better_cultures_date_from_the_change_of_sampling() -> None:
    told = next(one for one in _numbers().decisions if one.clinic == "AB")
    flag = Flag(told.decided_on, told.marker)
    m = quarter("AB", "2025-Q4", (flag,))
    measure = "culture_negative_share"
    years = m.figures.undivided(measure, m.figures.rolling_years(m.quarter))
    missed = [parse_period(row["period"]) for row in years if row["verdict"] == "misses"]

    assert missed and max(one.last_day for one in missed) < flag.on
    after = [row for row in years if parse_period(row["period"]).start >= flag.on]
    assert after and not any(row["verdict"] == "misses" for row in after)
    chart = organisms.section(m).charts[-1]
    assert f'data-on="{date(2024, 10, 1).isoformat()}"' in chart.svg
    assert organisms.since_text(years, flag) in chart.note
    rate = m.figures.row(m.year, "peritonitis_rate")  # fewer infections it is not
    assert change_side(m.figures.estimate(m.year, RATIO)) == 0 and rate is not None


@pytest.mark.django_db
@pytest.mark.parametrize("code", ["AB", "CM", "FM", "LR"])
def test_steady_clinics_raise_no_alarm(code: str) -> None:
    m = quarter(code, "2025-Q4")

    for year in m.figures.quarters():
        assert not Material(m.figures, year, m.sight).alarms()
