"""What stands beside the counted record of an episode: calls, therapy, reviews, dissents."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from clinic.forms.words import choice_label
from clinic.lineage import clinic_of
from clinic.patient_file import RowTable, row_table
from surveillance.words import day_text


@dataclass(frozen=True)
class Beside:
    """A part of the page: its name, its rows, and the form that adds one."""

    subject: str
    name: str
    note: str
    add: str
    empty: str
    tables: tuple[RowTable, ...]
    may_amend: bool
    may_add: bool


_PARTS = (
    ("therapies", "therapy_rows", "Therapy", "Antibiotics",
     "Agents and days; no dose is asked, none advised.",
     "Add an antibiotic", "No antibiotic is recorded."),
    ("calls", "call_rows", "Call", "As it was told", "Call, arrival and first antibiotic are kept.",
     "Add a call", ""),
    ("root_cause_reviews", "rootcausereview_rows", "Root cause", "Reviews",
     "A judgement, with its judge.",
     "Add a review", "Not reviewed yet."),
)  # fmt: skip


def beside(episode: Any, may: dict[str, bool], hidden: bool) -> list[Beside]:
    """Calls appear once there is one; the others wait for their first row; a first judgement is
    left out for who is to judge without sight of it."""
    parts = []
    for subject, rows_name, name, title, note, add, empty in _PARTS:
        if hidden and subject == "root_cause_reviews":
            continue
        rows = list(getattr(episode, rows_name).filter(withdrawn_at=None).order_by("pk"))
        if rows or empty:
            tables = (row_table(subject, title, rows),) if rows else ()
            may_amend, may_add = may[subject], may[f"new_{subject}"] and subject != "calls"
            parts.append(Beside(subject, name, note, add, empty, tables, may_amend, may_add))
    return parts


def recorded(infection: Any) -> list[Beside]:
    """An infection's own answers: culture, treatment and outcome stand nowhere else."""
    table = row_table("catheter_infections", "As it was entered", [infection])
    part = ("catheter_infections", "Recorded", "Culture, last dose and outcome.", "", "")
    return [Beside(*part, (table,), may_amend=False, may_add=False)]


def dissents(episode: Any) -> list[str]:
    """Director Hazel, 14 Mar 2025: holds it for new. “…”"""
    zone = clinic_of(episode).zone
    return [
        f"{row.by.name}, {day_text(row.at.astimezone(zone).date())}: holds it for "
        f"{choice_label('category', row.category).lower()}. “{row.reason}”"
        for row in episode.dissents.select_related("by")
    ]


def closing(episode: Any) -> str:
    """How a suspected episode was closed, and why; empty while it is open."""
    if not episode.closed_as:
        return ""
    said = choice_label("closed_as", episode.closed_as).lower()
    return f"Closed as {said}: {episode.closed_because}"


def decision(episode: Any) -> str:
    """What was decided about the catheter, and when."""
    if not episode.catheter_decision:
        return ""
    said = choice_label("catheter_decision", episode.catheter_decision)
    day = episode.catheter_decided_on
    return f"Catheter: {said.lower()}{f', decided on {day_text(day)}' if day else ''}."
