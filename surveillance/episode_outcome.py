"""How an episode ended, question by question, with what decides each."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from surveillance.live import Live
from surveillance.words import day_text

_STATES = {"yes": "met", "no": "not_met", "not_assessable": "not_assessable", "": "not_assessable"}
_SAID = {"yes": "yes", "no": "no", "not_assessable": "cannot tell", "": "not asked"}
_RESOLVED = {
    "yes": "Resolved: yes.",
    "no": "Resolved: no.",
    "unknown": "Resolved: not known.",
    "": "Resolved: not judged yet.",
}


def outcome_rows(episode: Any, case: dict[str, Any], now: Live) -> list[dict[str, str]]:
    """Rows for the criteria table; empty unless the episode is one that is followed up."""
    if case["medical_cure"] == "":
        return []
    rules = now.rule_set.rules
    asked = (
        ("Cure", "medical_cure", _RESOLVED[episode.resolved],
         "resolved; no relapse or recurrence, removal, long transfer or death"),
        ("Refractory", "refractory", _judged(episode) or "Not judged by a person.",
         rules["refractory_from_day"].says),
        ("Catheter removed", "catheter_removed", _REMOVED[case["catheter_removed"]],
         "removed for peritonitis under treatment"),
        ("Haemodialysis", "haemodialysis_transfer", _MOVED[case["haemodialysis_transfer"]],
         "a transfer under treatment, however short"),
        ("Admitted", "admitted", _ADMITTED[case["admitted"]], "an admission that names it"),
        ("Died", "died", _DIED[case["died"]], rules["death_window_days"].says),
        ("Catheter-related", "catheter_related", _RELATED[case["catheter_related"]],
         rules["catheter_related_window_days"].says),
    )  # fmt: skip
    open_ = _told_on(episode, case, now) > now.as_of
    cure_open = open_ or _cure_not_recorded(episode, case)
    return [
        {"name": name, "found": found, "decides": decides,
         **_so(column, case[column], open_, cure_open)}
        for name, column, found, decides in asked
    ]  # fmt: skip


def _so(column: str, answer: str, is_open: bool, cure_is_open: bool) -> dict[str, str]:
    """While the episode is still followed a no is only so far, and cure cannot be told."""
    if cure_is_open and column == "medical_cure":
        return {"state": "not_assessable", "so": "cannot tell yet"}
    said = "no so far" if is_open and answer == "no" else _SAID[answer]
    return {"state": _STATES[answer], "so": said}


_REMOVED = {"yes": "A removal is recorded.", "no": "No such removal is recorded."}
_DIED = {"yes": "A death belongs to it.", "no": "No death belongs to it."}
_RELATED = {
    "yes": "Such an infection is recorded.",
    "no": "No such infection is recorded so far.",
    "": "",
}
_MOVED = {"yes": "A transfer is recorded.", "no": "No transfer is recorded."}
_ADMITTED = {"yes": "An admission names this episode.", "no": "No admission names this episode."}


def _judged(episode: Any) -> str:
    said = {"yes": "Judged refractory.", "no": "Judged not refractory."}
    return said.get(episode.judged_refractory, "")


def outcome_text(episode: Any, case: dict[str, Any], now: Live) -> str:
    """How it ended, or from which day on that can be told."""
    if case["medical_cure"] == "":
        return "No outcome is counted: only a confirmed episode of its own has one."
    if case["died"] == "yes":
        return "The patient died with this episode."
    told_on = _told_on(episode, case, now)
    if told_on > now.as_of:
        return f"Cure cannot be told before {day_text(told_on)}."
    if _cure_not_recorded(episode, case):
        return "Whether it was cured is not recorded; until it is, it counts as no cure."
    return "Cured." if case["medical_cure"] == "yes" else "Not a cure."


def _cure_not_recorded(episode: Any, case: dict[str, Any]) -> bool:
    """Unknown is not no: nobody judged it or the last dose is missing, and nothing rules it out."""
    ruled_out = ("catheter_removed", "haemodialysis_transfer", "died")
    if case["medical_cure"] == "yes" or any(case[one] == "yes" for one in ruled_out):
        return False
    is_judged = episode.resolved in ("yes", "no")
    return not is_judged or (episode.resolved == "yes" and not episode.therapy_completed_on)


def _told_on(episode: Any, case: dict[str, Any], now: Live) -> date:
    """The day from which the outcome is counted."""
    if episode.therapy_completed_on:
        days = now.rule_set.days("follow_up_days")
        return episode.therapy_completed_on + timedelta(days=days)
    return case["onset_on"] + timedelta(days=now.rule_set.days("follow_up_without_end_days"))
