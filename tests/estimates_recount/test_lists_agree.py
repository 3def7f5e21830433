"""Dwell, contaminations, overdue training and looks of random clinics, one row after the other."""

from datetime import date, timedelta
from zoneinfo import ZoneInfo

import pytest

from tests.estimates_recount.asked import (
    CATALOGUE,
    SEEDS,
    Asked,
    days_at_risk,
    expect_share,
    longer,
    peritonitis_in,
)
from tests.recount.bands import since_training
from tests.recount.clinics import ClinicCount
from tests.recount.limits import poisson_rate_limits
from tests.recount.recount import recount
from tests.recount.seen import Row, local_moment

WEEK = timedelta(days=7)


@pytest.fixture(scope="module", params=range(SEEDS))
def asked(request: pytest.FixtureRequest) -> Asked:
    return Asked(request.param)


def test_the_rate_with_unknown_dwells_is_a_recount_of_the_filled_record(asked: Asked) -> None:
    filled = asked.rows | {
        "effluent_samples": [
            row | {"dwell_hours": row["dwell_hours"] or "2"}
            for row in asked.rows["effluent_samples"]
        ]
    }
    for now, then in zip(asked.clinics(), asked.clinics(filled), strict=True):
        for period in longer(now):
            before, after = peritonitis_in(now, period), peritonitis_in(then, period)
            confirmed = sum(case.confirmed == "confirmed" for case in after)
            confirmed -= sum(case.confirmed == "confirmed" for case in before)
            asked.expect(now, period, ("peritonitis_unknown_dwell_count", "", "count"), confirmed)
            count, years = sum(case.counts for case in after), days_at_risk(now, period) / 365.25
            rate = count / years if years else float("nan")
            limits = poisson_rate_limits(count, years) if years else (float("nan"),) * 2
            key = ("peritonitis_rate", "", "with_unknown_dwell")
            asked.expect(now, period, key, rate, *limits)


def contaminations_of(asked: Asked, clinic: ClinicCount) -> list[tuple[date, Row]]:
    """Seen by as_of, each with its local day."""
    zones = {row["clinic"]: ZoneInfo(row["time_zone"]) for row in asked.rows["clinics"]}
    dated = [
        (local_moment(row["happened_at"], zones[clinic.name]).date(), row)
        for row in asked.rows["contaminations"]
        if row["clinic"] == clinic.name
    ]
    return [(day, row) for day, row in dated if day <= asked.question.as_of]


def followed(clinic: ClinicCount, day: date, patient: str) -> bool:
    return any(
        day <= case.onset_on <= day + WEEK
        for one in clinic.patients
        if one.patient.name == patient
        for case in one.cases
        if (case.kind, case.confirmed) == ("peritonitis", "confirmed")
        and case.sequence != "same_episode"
    )


@pytest.mark.parametrize("kind", ["", "dry", "wet"])
def test_contaminations_one_by_one(asked: Asked, kind: str) -> None:
    for clinic in asked.clinics():
        every = contaminations_of(asked, clinic)
        for period in longer(clinic):
            own = [
                (day, row) for day, row in every if period.holds(day) and kind in ("", row["kind"])
            ]
            number = len(own) if every else float("nan")
            asked.expect(clinic, period, ("contaminations_count", kind, "count"), number)
            said = [row["prophylaxis"] for _, row in own if row["prophylaxis"] in ("yes", "no")]
            expect_share(asked, clinic, period, "contamination_prophylaxis_share", kind,
                         said.count("yes"), len(said))  # fmt: skip
            old = [(day, row) for day, row in own if day + WEEK <= asked.question.as_of]
            hit = sum(followed(clinic, day, row["patient"]) for day, row in old)
            name = "contamination_followed_by_peritonitis_share"
            expect_share(asked, clinic, period, name, kind, hit, len(old))


def test_training_overdue_patient_by_patient(asked: Asked) -> None:
    for clinic in asked.clinics():
        for period in longer(clinic):
            there = [one for one in clinic.patients if period.last in one.days.at_risk]
            bands = [since_training(one.patient, period.last) for one in there]
            known = [band for band in bands if band != "none_recorded"]
            late = sum(band in ("365-729", "730+") for band in known)
            expect_share(asked, clinic, period, "training_overdue_share", "", late, len(known))


def test_looks_are_counted_on_the_recounted_measures(asked: Asked) -> None:
    question = asked.question
    tables = recount(asked.rows, CATALOGUE, question.rule_set, question.as_of, question.through)
    for clinic in asked.clinics():
        for period in longer(clinic):
            shown = [
                row
                for row in tables["measures"]
                if (row["clinic"], row["period"]) == (clinic.name, period.name)
                and row["interval"] and row["denominator"]
            ]  # fmt: skip
            held = [row for row in shown if row["target"] not in ("", None)]
            for name, rows in (("looks", shown), ("target_looks", held)):
                asked.expect(clinic, period, (f"{name}_count", "", "count"), len(rows))
                key = (f"{name}_chance_of_one_false", "", "independent_looks")
                asked.expect(clinic, period, key, 1 - 0.95 ** len(rows))
