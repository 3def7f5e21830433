"""The marks of a clinic's decisions, for every chart over time of the figure they should move."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from clinic.decisions import READ, marked, standing_decisions
from clinic.models import Clinic, Person
from clinic.roles import can
from reports.charts.flags import Flag


def decision_flags(person: Person, clinic: Clinic) -> Callable[[str], Sequence[Flag]]:
    """By measure: day and what changed, never who; none for whoever may not read decisions."""
    if not can(person, READ, clinic):
        return lambda measure: ()
    return flags_of_clinic(clinic)


def flags_of_clinic(clinic: Clinic) -> Callable[[str], Sequence[Flag]]:
    """The decisions are read once, for all charts of a page."""
    held = standing_decisions(clinic)
    return lambda measure: [Flag(one.on, one.says) for one in marked(held, measure)]
