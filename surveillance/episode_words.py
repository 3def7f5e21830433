"""The verdict on one episode in sentences: its name, its category with rule and gap, counted."""

from __future__ import annotations

from datetime import date
from typing import Any

from surveillance.live import Live
from surveillance.marks import episode_mark
from surveillance.words import day_text, is_counted, reason_text

_KINDS = {
    "peritonitis": "peritonitis",
    "exit_site": "exit-site infection",
    "tunnel": "tunnel infection",
}
_CONFIRMED = {"confirmed": "Confirmed", "unconfirmed": "Suspected", "not_confirmed": "Ruled out:"}


def title(case: dict[str, Any], index_onset: date | None) -> str:
    """Confirmed peritonitis, relapsing. Not counted: relapse of the episode of 17 Nov 2025."""
    name = f"{_CONFIRMED[case['confirmed']]} {_KINDS[case['kind']]}"
    if case["sequence"] and case["sequence"] != "same_episode":
        said = case["sequence"]
        name += ", category not to be told yet" if said == "undetermined" else f", {said}"
    return f"{name}. {counted(case, index_onset)}"


def counted(case: dict[str, Any], index_onset: date | None) -> str:
    why = reason_text(case["reason"], case["kind"], index_onset)
    return f"{why[0].upper()}{why[1:]}."


def mark(case: dict[str, Any]) -> str:
    return episode_mark(
        case["kind"], case["confirmed"], case["sequence"], is_counted(case["reason"])
    )


def category(case: dict[str, Any], index_onset: date | None) -> str:
    """The category, with the gap and what was shared or not."""
    if not case["sequence"]:
        return "No category: only a confirmed episode has one."
    return _CATEGORIES[case["sequence"]](case["gap_days"], _before(index_onset))


def _before(index_onset: date | None) -> str:
    return f"the episode of {day_text(index_onset)}" if index_onset else "the episode before"


def _days(gap: int | None) -> str:
    return "some time" if gap is None else f"{gap} {'day' if gap == 1 else 'days'}"


_CATEGORIES = {
    "new": lambda gap, before: "New: no earlier episode that it would belong to.",
    "relapsing": lambda gap, before: (
        f"Relapsing: {_days(gap)} after the last dose for {before}, the same organism or no growth."
    ),
    "recurrent": lambda gap, before: (
        f"Recurrent: {_days(gap)} after the last dose for {before}, another organism."
    ),
    "repeat": lambda gap, before: (
        f"Repeat: the same organism as {before}, {_days(gap)} after its last dose."
    ),
    "same_episode": lambda gap, before: f"The same episode: part of {before}, not yet over then.",
    "undetermined": lambda gap, before: (
        f"Cannot tell yet: the last dose of {before} is not known."
        if gap is None
        else f"Cannot tell yet: {_days(gap)} after the last dose for {before}, and one of the two "
        "has no culture result or no organism's name."
    ),
}


def rules_said(case: dict[str, Any], now: Live) -> list[str]:
    """The rules that decide the category, as the rule set words them."""
    if not case["sequence"]:
        return [now.rule_set.rules["criteria_needed"].says]
    names = ["relapse_window_days"]
    if case["sequence"] == "same_episode":
        names = ["gap_of_same_episode_days"]
    return [now.rule_set.rules[name].says for name in names]


def at_risk(case: dict[str, Any]) -> str:
    """Whether the onset lies in the days at risk, and if not, why."""
    if is_counted(case["reason"]) or case["reason"] == "not_counted_relapse":
        return "The patient was at risk on the day of onset."
    return {
        "not_counted_before_pd": "The onset lies before PD began: it is listed, not counted.",
        "not_counted_paused": "PD was paused on the day of onset: it is listed, not counted.",
        "not_counted_before_training": "The onset lies before the first training.",
        "not_counted_after_pd": "PD had ended on the day of onset: it is listed, not counted.",
    }.get(case["reason"], "")
