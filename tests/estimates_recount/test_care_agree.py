"""Care, lateness and unknown answers of random clinics, episode by episode."""

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from math import nan
from statistics import median
from zoneinfo import ZoneInfo

import pytest

from tests.estimates_recount.asked import SEEDS, Asked, expect_share, longer, peritonitis_in
from tests.recount.clinics import ClinicCount, PatientCount
from tests.recount.outcomes import followed_up, owner, treated_until
from tests.recount.periods import Period
from tests.recount.seen import Row, local_moment
from tests.recount.sequence import Case, order

DAY = timedelta(days=1)


@pytest.fixture(scope="module", params=range(SEEDS))
def asked(request: pytest.FixtureRequest) -> Asked:
    return Asked(request.param)


def firsts_of(one: PatientCount) -> list[Case]:
    """The confirmed peritonitis of a patient, what joined another left out."""
    return sorted(
        (
            case
            for case in one.cases
            if (case.kind, case.confirmed) == ("peritonitis", "confirmed")
            and case.sequence != "same_episode"
        ),
        key=order,
    )


def firsts_in(clinic: ClinicCount, period: Period) -> list[Case]:
    found = [case for one in clinic.patients for case in firsts_of(one)]
    return [case for case in found if period.holds(case.onset_on)]


def zone_of(asked: Asked, clinic: ClinicCount) -> ZoneInfo:
    (name,) = (row["time_zone"] for row in asked.rows["clinics"] if row["clinic"] == clinic.name)
    return ZoneInfo(name)


def seen_moment(asked: Asked, text: str, zone: ZoneInfo) -> datetime | None:
    moment = local_moment(text, zone)
    known = moment is not None and moment.date() <= asked.question.as_of
    return moment.astimezone(UTC) if known else None


def own_row(asked: Asked, case: Case) -> Row:
    (row,) = (row for row in asked.rows["peritonitis"]
              if (row["clinic"], row["patient"], row["episode"])
              == (case.clinic, case.patient, case.episode))  # fmt: skip
    return row


def samples_of(asked: Asked, case: Case) -> list[Row]:
    """Those of the episode and of what joined it."""
    return [
        row
        for row in asked.rows["effluent_samples"]
        if (row["clinic"], row["patient"]) == (case.clinic, case.patient)
        and row["episode"] in case.names
    ]


def test_hours_to_the_first_antibiotic(asked: Asked) -> None:
    for clinic in asked.clinics():
        zone = zone_of(asked, clinic)
        for period in longer(clinic):
            hours, left_out = [], 0
            for case in firsts_in(clinic, period):
                row = own_row(asked, case)
                came = seen_moment(asked, row["presented_at"], zone)
                given = seen_moment(asked, row["first_antibiotic_at"], zone)
                if came and given:
                    hours.append((given - came).total_seconds() / 3600)
                else:
                    left_out += 1
            key = ("presentation_to_antibiotic_hours_median", "", "median")
            asked.expect(clinic, period, key, median(hours) if hours else nan)
            note = f"left out as unknown: {left_out}" if left_out else ""
            assert asked.found[clinic.name, period.name, *key]["note"] == note


def drawn_before(asked: Asked, case: Case, zone: ZoneInfo) -> bool | None:
    """What was said with the earliest dated sample, else its moment; None = nobody knows."""
    dated = [
        (moment, row)
        for row in samples_of(asked, case)
        if (moment := seen_moment(asked, row["collected_at"], zone))
    ]
    if not dated:
        return None
    drawn, row = min(dated, key=lambda one: one[0])
    if row["antibiotics_before"] in ("yes", "no"):
        return row["antibiotics_before"] == "no"
    given = seen_moment(asked, own_row(asked, case)["first_antibiotic_at"], zone)
    return None if given is None else drawn <= given


def test_the_sample_before_the_antibiotic(asked: Asked) -> None:
    for clinic in asked.clinics():
        zone = zone_of(asked, clinic)
        for period in longer(clinic):
            told = [drawn_before(asked, case, zone) for case in firsts_in(clinic, period)]
            known = [one for one in told if one is not None]
            name = "sample_before_antibiotic_share"
            expect_share(asked, clinic, period, name, "", sum(known), len(known))


def counted_from_day_5(case: Case, as_of: date) -> bool | None:
    """Whether a count was done from day 5 on, under treatment; None = not asked."""
    given = case.own.appropriate_antibiotic_on or case.own.first_antibiotic_on
    if given is None or given + 5 * DAY > min(as_of, treated_until(case)):
        return None
    return any(
        sample.leucocytes_per_ul is not None
        and sample.collected_on is not None
        and given + 5 * DAY <= sample.collected_on <= treated_until(case)
        for sample in case.all_samples
    )


def test_the_count_of_day_5(asked: Asked) -> None:
    for clinic in asked.clinics():
        for period in longer(clinic):
            told = [counted_from_day_5(case, clinic.as_of) for case in firsts_in(clinic, period)]
            known = [one for one in told if one is not None]
            expect_share(asked, clinic, period, "day_5_count_share", "", sum(known), len(known))


def entered_on(asked: Asked, case: Case) -> date | None:
    day = asked.entered[case.clinic, case.patient, case.episode]
    return day if day and day <= asked.question.as_of else None


@pytest.mark.parametrize("days", [7, 14, 28, 60])
def test_the_share_entered_in_time(asked: Asked, days: int) -> None:
    for clinic in asked.clinics():
        for period in longer(clinic):
            old = [case for case in peritonitis_in(clinic, period)
                   if case.onset_on + days * DAY <= clinic.as_of]  # fmt: skip
            known = [(case, day) for case in old if (day := entered_on(asked, case))]
            soon = sum(day <= case.onset_on + days * DAY for case, day in known)
            name = "peritonitis_entered_share"
            expect_share(asked, clinic, period, name, str(days), soon, len(known))


@pytest.mark.parametrize("days", [0, 14, 28, 60])
def test_the_count_entered_after_the_quarter(asked: Asked, days: int) -> None:
    for clinic in asked.clinics():
        for period in (one for one in longer(clinic) if one.kind == "quarter"):
            by = period.last + days * DAY
            found = [entered_on(asked, case) for case in peritonitis_in(clinic, period)]
            number = sum(day is not None and day <= by for day in found)
            key = ("peritonitis_entered_count", str(days), "count")
            asked.expect(clinic, period, key, number if by <= clinic.as_of else nan)


Doubt = Callable[[PatientCount, list[Case], Case], bool]  # whether an answer might be the other


def cure_open(one: PatientCount, firsts: list[Case], case: Case) -> bool:
    after = [later.sequence for later in firsts if later.onset_on > case.onset_on][:1]
    if case.outcomes["medical_cure"] == "yes":
        return after == ["undetermined"]
    silent = case.own.resolved not in ("yes", "no")
    endless = case.own.resolved == "yes" and case.last_therapy_end is None
    out_of_reach = after in (["relapsing"], ["recurrent"]) or "yes" in (
        case.outcomes["catheter_removed"],
        case.outcomes["died"],
    )
    return (silent or endless) and not out_of_reach


def removal_open(one: PatientCount, firsts: list[Case], case: Case) -> bool:
    days = [c.removed_on for c in one.patient.catheters if c.removed_on and not c.removal_reason]
    return case.outcomes["catheter_removed"] == "no" and owns(firsts, case, days)


def transfer_open(one: PatientCount, firsts: list[Case], case: Case) -> bool:
    days = [pause.started_on for pause in one.patient.pauses if not pause.reason]
    spells = one.patient.spells
    days += [s.last_day_on for s in spells if s.last_day_on and not s.end_reason]
    return case.outcomes["haemodialysis_transfer"] == "no" and owns(firsts, case, days)


def death_open(one: PatientCount, firsts: list[Case], case: Case) -> bool:
    ends = [s.last_day_on for s in one.patient.spells if s.last_day_on and s.end_reason == "death"]
    undated = ends if one.patient.died_on is None else []
    return case.outcomes["died"] == "no" and owns(firsts, case, undated)


def admission_open(one: PatientCount, firsts: list[Case], case: Case) -> bool:
    days = [row.admitted_on for row in one.patient.admissions if not row.episode]
    return case.outcomes["admitted"] == "no" and owns(firsts, case, days)


def owns(firsts: list[Case], case: Case, days: list[date]) -> bool:
    return any(owner(firsts, day) is case for day in days)


def culture_open(one: PatientCount, firsts: list[Case], case: Case) -> bool:
    silent = all(sample.culture != "not_taken" for sample in case.all_samples)
    return case.culture_group == "culture_pending" or (
        case.culture_group == "not_cultured" and silent
    )


def sequence_open(one: PatientCount, firsts: list[Case], case: Case) -> bool:
    return case.sequence == "undetermined"


def refractory_open(one: PatientCount, firsts: list[Case], case: Case) -> bool:
    return case.outcomes["refractory"] == "not_assessable"


OF_ALL: dict[str, Doubt] = {
    "culture_negative": culture_open, "not_cultured": culture_open,
    "relapsing": sequence_open, "recurrent": sequence_open, "repeat": sequence_open,
}  # fmt: skip
OF_FOLLOWED: dict[str, Doubt] = {
    "medical_cure": cure_open, "refractory": refractory_open, "catheter_removal": removal_open,
    "haemodialysis_transfer": transfer_open, "death": death_open, "admission": admission_open,
}  # fmt: skip


@pytest.mark.parametrize("name", [*OF_ALL, *OF_FOLLOWED])
def test_unknown_answers_beside_each_share(asked: Asked, name: str) -> None:
    doubt = OF_ALL.get(name) or OF_FOLLOWED[name]
    for clinic in asked.clinics():
        for period in longer(clinic):
            number = sum(
                doubt(one, firsts, case)
                for one in clinic.patients
                for firsts in [firsts_of(one)]
                for case in firsts
                if period.holds(case.onset_on)
                and (name in OF_ALL or followed_up(case, clinic.as_of))
            )
            asked.expect(clinic, period, (f"{name}_share_unknown_count", "", "count"), number)
