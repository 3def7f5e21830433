"""The words for stored codes: verdicts, categories, reasons, days."""

from __future__ import annotations

from datetime import date

VERDICTS: dict[str, str] = {
    "meets": "meets the target beyond chance",
    "misses": "misses the target beyond chance",
    "meets_uncertain": "cannot be told from the target",
    "misses_uncertain": "cannot be told from the target",
    "no_data": "nobody was at risk",
}
NOTHING_TO_COUNT = "nothing to count yet"

SEQUENCES: dict[str, str] = {
    "new": "new",
    "relapsing": "relapsing",
    "recurrent": "recurrent",
    "repeat": "repeat",
    "same_episode": "same episode",
    "undetermined": "cannot tell yet",
}

CONFIRMED: dict[str, str] = {
    "confirmed": "confirmed",
    "not_confirmed": "ruled out",
    "unconfirmed": "not confirmed yet",
}

JUDGED: dict[str, str] = {
    "met": "met",
    "not_met": "not met",
    "not_assessable": "cannot tell",
    "yes": "yes",
    "no": "no",
}

_COUNTED: dict[str, str] = {
    "counted_new": "counted",
    "counted_recurrent": "counted",
    "counted_repeat": "counted",
    "counted_undetermined": "counted: whether it is a relapse cannot be told yet",
    "counted_relapse_of_uncounted": "counted: relapse of an episode that was not counted",
}
_NOT_COUNTED: dict[str, str] = {
    "not_counted_unconfirmed": "cannot tell yet, a criterion is missing",
    "not_counted_not_confirmed": "fewer than two criteria met",
    "not_counted_same_episode": "part of the episode before",
    "not_counted_before_pd": "onset before PD began",
    "not_counted_paused": "onset while PD was paused",
    "not_counted_before_training": "onset before the first training",
    "not_counted_after_pd": "onset after PD had ended",
    "not_counted_relapse": "relapse of a counted episode",
}
_NOT_CONFIRMED = {
    "exit_site": "no pus",
    "tunnel": "no inflammation and no collection along the tunnel",
}
_OF_INDEX = {
    "not_counted_same_episode": "part of the episode of {day}",
    "not_counted_relapse": "relapse of the episode of {day}",
}
_MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]


def day_text(day: date | None) -> str:
    """A day for people: 14 Mar 2025."""
    return "day not known" if day is None else f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def day_month_text(day: date) -> str:
    """A day inside a year already named: 14 Mar."""
    return f"{day.day} {_MONTHS[day.month - 1]}"


def verdict_text(verdict: str, denominator_unit: str = "patient_days") -> str:
    """The stored verdict as its one sentence; empty where there is no target."""
    if verdict == "no_data" and denominator_unit not in ("patient_days", "patients"):
        return NOTHING_TO_COUNT
    return VERDICTS.get(verdict, "")


def sequence_text(sequence: str) -> str:
    return SEQUENCES.get(sequence, sequence)


def is_counted(reason: str) -> bool:
    return reason.startswith("counted_")


def reason_text(reason: str, kind: str = "peritonitis", index_onset: date | None = None) -> str:
    """Why an episode counts or does not; the index episode is named by its onset, if given."""
    if reason in _COUNTED:
        return _COUNTED[reason]
    why = _NOT_CONFIRMED.get(kind) if reason == "not_counted_not_confirmed" else None
    if index_onset is not None and reason in _OF_INDEX:
        why = _OF_INDEX[reason].format(day=day_text(index_onset))
    return f"not counted: {why or _NOT_COUNTED[reason]}"
