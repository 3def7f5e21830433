"""The decision asked for: one question, taken from the stored verdicts in order of weight."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from reports.rate_report.figures import Figures
from reports.rate_report.number_text import percent_text
from reports.rate_report.sentences import RATIO, change_side

Row = dict[str, Any]
MUCH_OVERDUE = 0.20  # our choice: a fifth of the patients

_STEADY = "Nothing stands out of chance: go on as it is, or choose one thing to try and to measure?"


@dataclass(frozen=True)
class Asked:
    """One question, and what it rests on."""

    question: str
    why: str = ""


def decision_asked(figures: Figures, period: str, alarms: list[Row]) -> Asked:
    """`alarms`: the signal rows that stand at the end of the period, the latest first."""
    if alarms:
        return Asked("An alarm stands: who investigates it, until when?", alarms[0]["sentence"])
    return Asked(_question(figures, period))


def _question(figures: Figures, period: str) -> str:
    rate = figures.row(period, "peritonitis_rate")
    if rate is not None and rate["verdict"] == "misses":
        return (
            "The rate misses its target beyond chance: which one cause is worked on, and by whom?"
        )
    side = change_side(figures.estimate(period, RATIO))
    if side > 0:
        return (
            "The rate rose beyond chance: what changed in this year, and what is tried against it?"
        )
    return _process(figures, period) or (_LOWER if side < 0 else _STEADY)


_LOWER = "The rate fell beyond chance: go on with what was done, or let some of it go?"


def _process(figures: Figures, period: str) -> str:
    negative = figures.row(period, "culture_negative_share")
    if negative is not None and negative["verdict"] == "misses":
        return "Too many samples grow nothing, beyond chance: who changes how samples are taken?"
    exit_site = figures.row(period, "exit_site_infection_rate")
    if exit_site is not None and exit_site["verdict"] == "misses":
        return "Exit-site infections miss the target beyond chance: what changes in exit-site care?"
    overdue = figures.estimate(period, "training_overdue_share")
    if overdue is not None and (overdue["value"] or 0) > MUCH_OVERDUE:
        share = percent_text(overdue["value"])
        return f"{share} of patients are overdue for reassessment: until when are they seen?"
    return ""
