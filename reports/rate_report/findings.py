"""Headlines: what a section of stored rows shows, said as a sentence."""

from __future__ import annotations

from typing import Any

from reports.rate_report.names import band_text
from reports.rate_report.number_text import (
    is_little_time,
    number_word,
    rate_text,
    whole_text,
    years_text,
)

Row = dict[str, Any]

# Patient-years to tell 0.30 from 0.40 (80 % power, one-sided 5 %): workflows 0, point 3.
YEARS_TO_TELL = 225
_ENOUGH_TO_SAY = 0.5
NOT_COMPLETE = "Four quarters are not complete yet."


def _misses(row: Row) -> bool:
    return bool(row["verdict"] == "misses")


def _run_of_misses(rows: list[Row]) -> int:
    run = 0
    for row in reversed(rows):
        if not _misses(row):
            break
        run += 1
    return run


def _history(rows: list[Row]) -> str:
    """What the years before the last one were, if any lay above beyond chance."""
    above = sum(map(_misses, rows[:-1]))
    if not above:
        return "."
    years = "rolling year" if len(rows) == 2 else "rolling years"
    return (
        f"; {number_word(above)} of the {number_word(len(rows) - 1)} {years} before "
        "stood above it, beyond chance."
    )


def rate_headline(rows: list[Row]) -> str:
    """`rows`: the rolling years in time order, the one asked for last."""
    if not rows:
        return NOT_COMPLETE
    last = rows[-1]
    if not last["denominator"]:
        return "Nobody was at risk in this year."
    if last["target"] is None:
        value = rate_text(last["value"])
        return f"The rate is {value} per patient-year; these rules set no target."
    target = rate_text(last["target"])
    if last["verdict"] == "misses":
        run = _run_of_misses(rows)
        since = f", for {number_word(run)} rolling years running" if run > 1 else ""
        return f"The rate lies above the target of {target}, beyond chance{since}."
    if last["verdict"] == "meets":
        return f"The rate lies below the target of {target}, beyond chance{_history(rows)}"
    return f"The target of {target} lies inside the range of the rate{_history(rows)}"


def years_to_tell_text(row: Row | None) -> str:
    """How long a clinic of this size must wait to tell a good rate from the target."""
    if row is None or not row["denominator"]:
        return ""
    wait = YEARS_TO_TELL / (row["denominator"] / 365.25)
    shown = f"{wait:.1f}" if wait < 10 else whole_text(wait)
    return f"At this size it takes about {shown} years to tell 0.30 from 0.40."


def apart(bands: list[Row], whole: Row) -> list[tuple[Row, str]]:
    """The bands whose range does not hold the rate of all patients, and on which side.

    A band with too little time at risk says nothing, so nothing is said of it.
    """
    held = [
        band for band in bands if band["denominator"] and not is_little_time(band["denominator"])
    ]
    above = [(band, "above") for band in held if band["lower"] > whole["value"]]
    below = [(band, "below") for band in held if band["upper"] < whole["value"]]
    return above + below


def bands_headline(bands: list[Row], whole: Row | None) -> str:
    if whole is None:
        return NOT_COMPLETE
    if not whole["denominator"] or not bands:
        return "Nobody was at risk in this year."
    outside = apart(bands, whole)
    if not outside:
        return "No band stands apart: every range holds the rate of all patients."
    told = " and ".join(
        f"{band_text(band['split'], band['band'])} {side}" for band, side in outside
    )
    return f"Beyond chance from the rate of all patients: {told}."


def bands_caution(bands: list[Row], whole: Row | None) -> str:
    """Many looks at once: one may stand apart by luck."""
    if whole is None or not whole["denominator"] or not apart(bands, whole):
        return ""
    looks = number_word(len(bands)).capitalize()
    return f"{looks} ranges are looked at; one may miss by luck alone."


def organisms_headline(now: dict[str, int], before: dict[str, int], change: int = 0) -> str:
    """Where most of a change lies that chance could not make, else which group leads."""
    total = sum(now.values())
    if not total:
        return "No episode was counted in this year."
    return _change_headline(now, before, change) or _leader_headline(now, total)


def _change_headline(now: dict[str, int], before: dict[str, int], change: int) -> str:
    moved = sum(now.values()) - sum(before.values())
    if moved * change <= 0:  # the patient-years may move the rate the other way
        return ""
    shifts = {group: now.get(group, 0) - before.get(group, 0) for group in now | before}
    group = max(shifts, key=lambda one: shifts[one] * (1 if moved > 0 else -1))
    if shifts[group] / moved <= _ENOUGH_TO_SAY:
        return ""
    word = "rise" if moved > 0 else "fall"
    was, is_now = before.get(group, 0), now.get(group, 0)
    return f"Over half of the {word} is in {_in_sentence(group)}, from {was} to {is_now}."


def _leader_headline(now: dict[str, int], total: int) -> str:
    most = max(now.values())
    leaders = [group for group, count in now.items() if count == most]
    if len(leaders) > 1:
        return f"No group leads: at most {most} of {total} counted episodes are of one kind."
    name = band_text("organism_group", leaders[0])
    return f"{name}: {most} of {total} counted episodes, more than any other group."


_PROPER = ("staphylococcus_aureus", "escherichia_coli", "pseudomonas", "acinetobacter",
           "stenotrophomonas")  # fmt: skip


def _in_sentence(group: str) -> str:
    """A genus keeps its capital inside a sentence, a plain word does not."""
    name = band_text("organism_group", group)
    return name if group in _PROPER else name[0].lower() + name[1:]


def targets_text(rate: Row | None, free: Row | None) -> str:
    """Why one published target can be met and the other missed (workflows 0, point 2).

    That they disagree here is said only where both verdicts are beyond chance.
    """
    general = (
        "The two published targets ask for different things: with equal risk for all, a rate of "
        "0.40 leaves 67 % of patients free for a year, and 80 % free needs a rate of 0.22."
    )
    sides = [row["verdict"] for row in (rate, free) if row is not None]
    if set(sides) != {"meets", "misses"}:
        return general
    meets = "the rate" if sides[0] == "meets" else "the free share"
    other = "the free share" if sides[0] == "meets" else "the rate"
    return f"{general} Here {meets} meets its target beyond chance and {other} misses its own."


def all_patients_text(whole: Row | None) -> str:
    if whole is None or not whole["denominator"]:
        return ""
    return f"{rate_text(whole['value'])} in {years_text(whole['denominator'])} patient-years"
