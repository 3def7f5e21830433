"""Decisions of a clinic as they stand: open or reviewed, when due, and their marks on charts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from clinic.models import Clinic, Decision, DecisionReview, Person
from clinic.roles import conditions, grants_now

READ, WRITE = "action_log.read", "action_log.write"


@dataclass(frozen=True)
class Standing:
    """A decision with its reviews, as the latest of them leaves it."""

    decision: Decision
    reviews: tuple[DecisionReview, ...]

    @property
    def due_on(self) -> date | None:
        """The day of the next review; none once it is settled."""
        return self.reviews[-1].next_review_on if self.reviews else self.decision.review_on

    @property
    def is_mistaken(self) -> bool:
        return bool(self.reviews) and self.reviews[-1].verdict == "mistaken"

    def is_due(self, day: date) -> bool:
        return self.due_on is not None and self.due_on <= day


@dataclass(frozen=True)
class Marker:
    """What stands on a chart: a day and what changed, never who."""

    on: date
    says: str


def standing_decisions(clinic: Clinic) -> list[Standing]:
    """The latest decision first."""
    rows = Decision.objects.filter(clinic=clinic).select_related("owner", "by", "clinic")
    found = rows.prefetch_related("reviews__by")
    return [Standing(row, tuple(row.reviews.all())) for row in found]


def decisions_due(clinic: Clinic, day: date) -> list[Standing]:
    """Those whose outcome is asked for by this day, the earliest first."""
    due = [one for one in standing_decisions(clinic) if one.is_due(day)]
    return sorted(due, key=lambda one: (one.due_on, one.decision.pk))


def markers(clinic: Clinic, measure: str) -> list[Marker]:
    """The marks of one figure's charts, in time order; what was entered in error has none."""
    return marked(standing_decisions(clinic), measure)


def marked(held: list[Standing], measure: str) -> list[Marker]:
    """The marks of one figure among decisions already read."""
    found = [
        Marker(one.decision.decided_on, one.decision.marker)
        for one in held
        if one.decision.measure == measure and not one.is_mistaken
    ]
    return sorted(found, key=lambda one: one.on)


def readable(person: Person, clinic: Clinic) -> list[Standing]:
    """What this person may read: an auditor the decisions of the years granted, without names."""
    found = standing_decisions(clinic)
    if not sees_coded(person, clinic):
        return found
    years = {
        quarter_number(quarter) - back
        for grant in grants_now(person) if grant.clinic_id == clinic.pk
        for quarter in grant.quarters for back in range(4)
    }  # fmt: skip
    return [one for one in found if _quarter_of(one.decision.decided_on) in years]


def sees_coded(person: Person, clinic: Clinic) -> bool:
    """Whether people are shown by their role alone."""
    return "coded" in conditions(person, READ, clinic)


def quarter_number(quarter: str) -> int:
    """2025-Q1 as quarters since year 0."""
    return int(quarter[:4]) * 4 + int(quarter[6]) - 1


def _quarter_of(day: date) -> int:
    return day.year * 4 + (day.month - 1) // 3
