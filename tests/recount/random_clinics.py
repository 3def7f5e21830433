"""Makes nasty but import-valid clinics from a seed: every rule is met, every edge touched."""

from dataclasses import dataclass
from datetime import date, timedelta
from random import Random

from tests.recount.random_patients import PatientMaker, pick_day
from tests.recount.record_files import empty_record, record_row
from tests.recount.seen import Rows

ZONES = ("Europe/London", "America/New_York", "Pacific/Auckland", "Asia/Kathmandu", "UTC")
NETWORKS = ("North shore", "North shore", "")


@dataclass(frozen=True)
class Question:
    """What is asked of a record: rules, the day of looking, and the last period."""

    rule_set: str
    as_of: date
    through: str | None


def random_record(seed: int, clinics: int | None = None) -> Rows:
    """One to three clinics of a few patients each; the same seed gives the same rows."""
    rng = Random(seed)
    return build_record(rng, clinics or rng.choice((1, 2, 3)))


def random_question(seed: int, rows: Rows) -> Question:
    return build_question(Random(f"question {seed}"), rows)


def build_record(rng: Random, clinics: int) -> Rows:
    """The generator itself; hypothesis hands in a `rng` of its own and can then shrink."""
    rows = empty_record()
    for number in range(clinics):
        build_clinic(rng, rows, f"C{number + 1}")
    return rows


def build_clinic(rng: Random, rows: Rows, clinic: str) -> None:
    zone = rng.choice(ZONES)
    rows["clinics"].append(
        record_row(
            "clinics",
            clinic=clinic,
            name=f"Clinic {clinic}",
            time_zone=zone,
            network=rng.choice(NETWORKS),
        )
    )
    first = date(rng.choice((2019, 2018, 2020, 2021)), rng.choice((1, 2, 7, 12)), 1)
    # One clinic in twelve is large and quiet: only there can a verdict be certain to meet.
    quiet = rng.choice((False,) * 11 + (True,))
    last = first + timedelta(days=1000 if quiet else rng.choice((400, 100, 300, 600, 900, 1300)))
    # Patients of two clinics may bear the same number: "a person who moves is a patient of each".
    size = 14 if quiet else rng.choice((3, 0, 1, 2, 4, 6))
    for number in rng.sample(range(1, 30), size):
        PatientMaker(rng, rows, clinic, f"P{number}", zone, first, last).make(quiet)


def build_question(rng: Random, rows: Rows) -> Question:
    rule_set = rng.choice(("rule_2022", "rule_2016"))
    days = recorded_days(rows)
    last = max(days)
    as_of = last + timedelta(days=rng.choice((0, 1, 40, 100)))
    if rng.random() < 0.5:
        as_of = look_back(rng, rows, days)
    through = rng.choice((None, None, through_period(rng, as_of)))
    return Question(rule_set, as_of, through)


def look_back(rng: Random, rows: Rows, days: list[date]) -> date:
    """A recorded day or the day before, the end of a month, or a day a follow-up turns on."""
    one = rng.choice(days[len(days) // 3 :])
    end_of_month = one.replace(day=1) - timedelta(days=1)
    turning = rng.choice(follow_up_ends(rows) or [one]) - timedelta(days=rng.choice((0, 1)))
    return rng.choice((one, one - timedelta(days=1), end_of_month, turning, turning))


def follow_up_ends(rows: Rows) -> list[date]:
    """28 days after a therapy, 90 after an onset whose therapy end is unknown, 30 after an
    insertion: the first days on which an episode or a catheter enters a denominator."""
    episodes = [row for row in rows["peritonitis"] if row["onset_on"]]
    starts = [(row["therapy_completed_on"], 28) for row in episodes]
    starts += [(row["onset_on"], 90) for row in episodes if not row["therapy_completed_on"]]
    starts += [(row["inserted_on"], 30) for row in rows["catheters"]]
    return [date.fromisoformat(day) + timedelta(days=wait) for day, wait in starts if day]


def recorded_days(rows: Rows) -> list[date]:
    """Every plain day of the record but births; one fixed day where there is none."""
    found = {
        date.fromisoformat(text)
        for file in rows.values()
        for row in file
        for name, text in row.items()
        if text and (name.endswith("_on"))
    }
    return sorted(found) or [date(2024, 6, 30)]


def through_period(rng: Random, as_of: date) -> str:
    """A period that ends before, on or after as_of, of any of the four kinds."""
    one = pick_day(rng, as_of - timedelta(days=500), as_of + timedelta(days=60))
    quarter = f"{one.year}-Q{(one.month + 2) // 3}"
    return rng.choice((quarter, f"{one.year}-{one.month:02d}", f"{one.year}", f"{quarter}/4q"))
