"""Each patient's days and episodes as sets, for the slow second route to the estimates."""

from dataclasses import dataclass
from datetime import date, timedelta

from tests.recount.clinics import ClinicCount, PatientCount
from tests.recount.periods import Period

DAY = timedelta(days=1)


@dataclass(frozen=True)
class Person:
    """Days at risk, onsets at risk of confirmed and of counted peritonitis, and the last exit."""

    days: frozenset[date]
    began_on: date | None
    confirmed: tuple[date, ...]
    counted: tuple[date, ...]
    left_on: date | None  # last day at risk, where the patient is out of the risk for good


def people_of(clinic: ClinicCount) -> list[Person]:
    return [person_of(one, clinic.as_of) for one in clinic.patients]


def person_of(one: PatientCount, as_of: date) -> Person:
    peritonitis = [case for case in one.cases if case.kind == "peritonitis"]
    first_rows = [
        case
        for case in peritonitis
        if case.confirmed == "confirmed" and case.sequence != "same_episode" and not case.off_risk
    ]
    return Person(
        frozenset(one.days.at_risk),
        min((spell.started_on for spell in one.patient.spells), default=None),
        tuple(sorted(case.onset_on for case in first_rows)),
        tuple(sorted(case.onset_on for case in peritonitis if case.counts)),
        left_on(one, as_of),
    )


def left_on(one: PatientCount, as_of: date) -> date | None:
    """The last day at risk, unless it is today or the patient goes on elsewhere.

    Who moved or was lost (by the spell that ends last) goes on; a death on that day does not.
    """
    if not one.days.at_risk or max(one.days.at_risk) == as_of:
        return None
    last = max(one.days.at_risk)
    spells = sorted(one.patient.spells, key=lambda spell: spell.last_day_on or date.max)
    elsewhere = spells[-1].end_reason in ("moved", "lost")
    return last if one.patient.died_on == last or not elsewhere else None


def events_in(days: tuple[date, ...], period: Period) -> list[date]:
    return [day for day in days if period.holds(day)]


def first_in(person: Person, first: date) -> date | None:
    """The first confirmed peritonitis at risk from a day on."""
    return min((day for day in person.confirmed if day >= first), default=None)
