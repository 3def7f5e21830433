"""The made-up clinics have the rate that was asked for, before and after the change."""

from dataclasses import replace

import numpy as np
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


def test_frail_patients_come_and_go_and_keep_the_rate_and_the_size() -> None:
    plan = replace(PLAN, clinics=200, frailty_variance=0.8)
    record = made_clinics(plan, 4)
    stays = record.pd_spells["last_day_on"] - record.pd_spells["started_on"] + 1
    assert stays.sum() == 200 * 30 * (plan.stop_day - plan.first_day)
    assert len(stays) > 2 * 200 * 30
    onset = record.peritonitis["onset_on"].to_numpy()
    before = (onset < plan.change_day).sum() / (200 * 30 * 730 / 365.25)
    after = (onset >= plan.change_day).sum() / (200 * 30 * 731 / 365.25)
    assert (before, after) == (pytest.approx(0.4, rel=0.05), pytest.approx(0.8, rel=0.05))
    # Within its stay; and some have many, as alike ones could not.
    first, last = (record.pd_spells[name].to_numpy() for name in ("started_on", "last_day_on"))
    patient = record.peritonitis["patient"].to_numpy()
    assert ((onset >= first[patient]) & (onset <= last[patient])).all()
    assert np.bincount(patient).max() >= 8
