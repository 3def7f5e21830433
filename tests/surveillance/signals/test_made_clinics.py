"""The made-up clinics have the rate that was asked for, before and after the change."""

import pytest

from surveillance.measures.compute import compute
from surveillance.rules import RULE_SETS
from surveillance.signals.made_clinics import Plan, made_clinics
from tests.surveillance.records import AS_OF, catalogue, day

PLAN = Plan(40, 30, day("2022-01-01"), day("2026-01-01"), 0.4, day("2024-01-01"), 2.0)


def test_the_rate_is_counted_as_asked_for() -> None:
    measures = compute(made_clinics(PLAN, 3), catalogue(), RULE_SETS["rule_2022"], AS_OF).measures
    rows = measures[(measures["measure"] == "peritonitis_rate") & (measures["split"] == "")]
    for year, rate in {"2022": 0.4, "2023": 0.4, "2024": 0.8, "2025": 0.8}.items():
        own = rows[rows["period"] == year]
        days = own["denominator"].sum()
        assert days == 40 * 30 * (366 if year == "2024" else 365)
        assert own["numerator"].sum() * 365.25 / days == pytest.approx(rate, rel=0.12)


def test_no_episode_is_the_relapse_of_another() -> None:
    cases = compute(made_clinics(PLAN, 3), catalogue(), RULE_SETS["rule_2022"], AS_OF).cases
    assert set(cases["counts"]) == {"yes"}
    assert set(cases["sequence"]) <= {"new", "repeat"}
