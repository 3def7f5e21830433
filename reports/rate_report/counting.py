"""How each headline figure is counted from the report's own lists, said once.

The spreadsheet's formulas, the recompute table and `verify_report` all follow these rules; what
they give is compared with the figures as they were stored.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from statistics import median

Cells = Mapping[str, str]
Where = Mapping[str, str]  # column: value, or '<>value'

PERITONITIS = {"kind": "peritonitis"}
COUNTED = {"counts": "yes"}
EPISODE = PERITONITIS | {"confirmed": "confirmed", "sequence": "<>same_episode"}
OFF_RISK = ("before_pd", "paused", "before_training", "after_pd")


@dataclass(frozen=True)
class Rule:
    """What stands above and below the line; `over` is days, patients or episodes."""

    over: str
    ways: tuple[Where, ...] = ()  # rows that hold all of one way are counted, way by way
    special: str = ""  # once, median, free


def _counted(kind: str) -> Rule:
    return Rule("days", ({"kind": kind} | COUNTED,))


def _share(*ways: Where) -> Rule:
    return Rule("episodes", tuple(EPISODE | way for way in ways))


def _sequence(name: str) -> Rule:
    return Rule("episodes", (PERITONITIS | {"confirmed": "confirmed", "sequence": name},))


RULES: dict[str, Rule] = {
    "peritonitis_rate": _counted("peritonitis"),
    "exit_site_infection_rate": _counted("exit_site"),
    "tunnel_infection_rate": _counted("tunnel"),
    "catheter_infection_rate": Rule("days", special="once"),
    "median_patient_rate": Rule("patients", (PERITONITIS | COUNTED,), special="median"),
    "peritonitis_free_share": Rule("patients", special="free"),
    "culture_negative_share": _share({"culture_group": "culture_negative"}),
    "not_cultured_share": _share(
        {"culture_group": "not_cultured"}, {"culture_group": "culture_pending"}
    ),
    "relapsing_share": _sequence("relapsing"),
    "recurrent_share": _sequence("recurrent"),
    "repeat_share": _sequence("repeat"),
}


def holds(row: Cells, where: Where) -> bool:
    """Whether a row of the line list holds every condition."""
    return all(
        row[column] != value[2:] if value.startswith("<>") else row[column] == value
        for column, value in where.items()
    )


def count(rows: Iterable[Cells], ways: Iterable[Where]) -> int:
    held = list(rows)
    return sum(holds(row, way) for way in ways for row in held)


def is_free_ending(row: Cells) -> bool:
    """A confirmed peritonitis at risk ends freedom, a relapse too."""
    off = row["reason"].removeprefix("not_counted_") in OFF_RISK
    return holds(row, EPISODE) and not off


def own_counts(stretches: Iterable[Cells], lines: Iterable[Cells]) -> dict[str, dict[str, int]]:
    """What each patient with a day at risk in one period has, in the order of the ledger.

    stretches: ledger rows; lines: case rows or lines of the line list.
    """
    held, days = list(lines), Counter[str]()
    for row in stretches:
        days[row["patient"]] += int(row["days"]) * (row["state"] == "at_risk")
    counted = Counter(row["patient"] for row in held if holds(row, PERITONITIS | COUNTED))
    ended = Counter(row["patient"] for row in held if is_free_ending(row))
    return {
        patient: {
            "days_at_risk": own, "counted_episodes": counted[patient],
            "episodes_at_risk": ended[patient],
        }
        for patient, own in days.items() if own
    }  # fmt: skip


def numerator(measure: str, lines: list[Cells], patients: list[Cells]) -> int:
    """`lines`: line list of one period; `patients`: the patients table of it."""
    rule = RULES[measure]
    if rule.special == "once":
        own = [row for row in lines if row["kind"] != "peritonitis" and row["counts"] == "yes"]
        return len({(row["patient"], row["episode"]) for row in own})
    if rule.special == "free":
        return sum(row["episodes_at_risk"] == "0" for row in patients)
    return count(lines, rule.ways)


def denominator(measure: str, lines: list[Cells], days: int, patients: list[Cells]) -> int:
    over = RULES[measure].over
    if over == "days":
        return days
    return len(patients) if over == "patients" else count(lines, [EPISODE])


def median_rate(patients: list[Cells], days_per_year: float) -> float:
    """The middle one of the patients' own rates (of an even number the mean of two)."""
    return median(
        int(row["counted_episodes"]) * days_per_year / int(row["days_at_risk"]) for row in patients
    )


_OVER = {
    "days": "sum of ledger.days where state is at_risk",
    "patients": "rows of patients",
    "episodes": "rows of line_list where kind is peritonitis, confirmed is confirmed and sequence "
    "is not same_episode",
}
_SPECIAL = {
    "once": "rows of line_list where kind is exit_site or tunnel and counts is yes; the two rows "
    "of one infection of both sites are one",
    "free": "rows of patients where episodes_at_risk is 0",
}


def _where_words(where: Where) -> str:
    said = [
        f"{column} is not {value[2:]}" if value.startswith("<>") else f"{column} is {value}"
        for column, value in where.items()
    ]
    return ", ".join(said)


def numerator_words(measure: str) -> str:
    rule = RULES[measure]
    if rule.special in _SPECIAL:
        return _SPECIAL[rule.special]
    return " plus ".join(f"rows of line_list where {_where_words(way)}" for way in rule.ways)


def denominator_words(measure: str) -> str:
    return _OVER[RULES[measure].over]
