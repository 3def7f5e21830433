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
        record_row("clinics", clinic=clinic, name=f"Clinic {clinic}", time_zone=zone,
                   network=rng.choice(NETWORKS))
    )
    first = date(rng.choice((2023, 2019, 2020, 2022)), rng.choice((1, 2, 7, 12)), 1)
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
        as_of = look_back(rng, days)
    through = rng.choice((None, None, through_period(rng, as_of)))
    return Question(rule_set, as_of, through)


def look_back(rng: Random, days: list[date]) -> date:
    """A day in the past: one of the recorded days or a day beside it, or the end of a month."""
    one = rng.choice(days[len(days) // 3:])
    end_of_month = one.replace(day=1) - timedelta(days=1)
    return rng.choice((one, one - timedelta(days=1), one + timedelta(days=1), end_of_month))


def recorded_days(rows: Rows) -> list[date]:
    """Every plain day of the record but births; one fixed day where there is none."""
    found = {
        date.fromisoformat(text)
        for file in rows.values() for row in file for name, text in row.items()
        if text and (name.endswith("_on"))
    }
    return sorted(found) or [date(2024, 6, 30)]


def through_period(rng: Random, as_of: date) -> str:
    """A period that ends before, on or after as_of, of any of the four kinds."""
    one = pick_day(rng, as_of - timedelta(days=500), as_of + timedelta(days=60))
    quarter = f"{one.year}-Q{(one.month + 2) // 3}"
    return rng.choice((quarter, f"{one.year}-{one.month:02d}", f"{one.year}", f"{quarter}/4q"))
