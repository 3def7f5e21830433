"""Peritonitis and catheter infections of one patient near each other in time: a link each way."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.urls import reverse

from clinic.patient_file import standing
from surveillance.live import Live
from surveillance.words import day_text

PERITONITIS = "peritonitis"
_RELATED = {"yes": "catheter-related", "no": "not catheter-related"}
_SITES = {"exit_site": "Exit-site infection", "tunnel": "Tunnel infection"}


@dataclass(frozen=True)
class Near:
    says: str
    address: str


def near(row: Any, case: dict[str, Any], now: Live) -> list[Near]:
    """Confirmed ones of the other kind in the window in which the rule looks for a relation."""
    window = now.rule_set.days("catheter_related_window_days")
    return [
        Near(_says(other), _address(row, other))
        for other in now.cases
        if (other["kind"] == PERITONITIS) != (case["kind"] == PERITONITIS)
        and other["confirmed"] == "confirmed"
        and abs((other["onset_on"] - case["onset_on"]).days) <= window
    ]


def _says(case: dict[str, Any]) -> str:
    of = f"{case['episode']} of {day_text(case['onset_on'])}"
    if case["kind"] == PERITONITIS:
        return f"Peritonitis {of}, {_RELATED[case['catheter_related']]}"
    return f"{_SITES[case['kind']]} {of}"


def _address(row: Any, case: dict[str, Any]) -> str:
    subject, name = (
        (PERITONITIS, "episode")
        if case["kind"] == PERITONITIS
        else ("catheter_infections", "infection")
    )
    found = standing(subject, row.patient).get(**{name: case["episode"]})
    return reverse("episode", args=[row.patient.clinic.uid, found.uid])
