"""The lines that are watched: each with its newest look, so that quiet is said too."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from reports.rate_report.names import ORGANISM_GROUPS
from reports.watch.standing import WATER, WATER_GROUPS
from surveillance.signals.alarm import DEFAULT_ALARMS, is_alarm

Row = dict[str, Any]
RATE_RULE, CLUSTER_RULE = DEFAULT_ALARMS
LOOKS_RULE = "looks"
# Water organisms first, as on the lanes of Quarter.
GROUPS = (WATER, *WATER_GROUPS, *(one for one in ORGANISM_GROUPS if one not in WATER_GROUPS))


@dataclass(frozen=True)
class Quiet:
    """What stands quiet now: its name, how many lines that are, what is said of it."""

    name: str
    lines: int
    sentence: str


def line_name(rule: str, band: str) -> str:
    """What a line is called: Peritonitis rate, or its group of organisms."""
    if rule == CLUSTER_RULE:
        return "Water organisms" if band == WATER else ORGANISM_GROUPS.get(band, band)
    return "Peritonitis rate"


def newest_looks(rows: Sequence[Row]) -> dict[tuple[str, str], Row]:
    """The latest row of each line that may raise an alarm."""
    found: dict[tuple[str, str], Row] = {}
    for row in sorted(rows, key=lambda row: row["window_end"]):
        if row["rule"] in DEFAULT_ALARMS:
            found[(row["rule"], row["band"])] = row
    return found


def quiet_lines(rows: Sequence[Row]) -> list[Quiet]:
    """The rate first, then the groups in their order; a line that stands out is not quiet, and
    groups without any isolate share one line at the end."""
    looks = newest_looks(rows)
    order = [(RATE_RULE, ""), *((CLUSTER_RULE, group) for group in GROUPS)]
    quiet = [(key, row) for key in order
             if (row := looks.get(key)) is not None and not is_alarm(row)]  # fmt: skip
    never = [(key, row) for key, row in quiet if key[1] and not row["expected"]]
    found = [_quiet(line_name(*key), row) for key, row in quiet if (key, row) not in never]
    if never:
        names = ", ".join(line_name(*key) for key, _ in never)
        found.append(Quiet("No patient in two years", len(never), f"{names}."))
    return found


def _quiet(name: str, row: Row) -> Quiet:
    said = row["sentence"].removeprefix("Quiet: ")
    return Quiet(name, 1, f"{said[:1].upper()}{said[1:]}")


def looks_sentence(rows: Sequence[Row]) -> str:
    """How many lines are watched, and how often luck raises any of them."""
    return next((row["sentence"] for row in rows if row["rule"] == LOOKS_RULE), "")


def luck_text(row: Row) -> str:
    """How often luck raises this line here, as a frequency in words."""
    often = row["false_alarms_per_year"]
    if not often:
        return "practically never"
    return f"once in {1 / often:,.0f} years" if often <= 0.1 else f"once in {1 / often:,.1f} years"
