"""Which case rows belong to a figure, and in what words each is in it or not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from reports.rate_report.case_rows import is_at_risk, is_counted, is_episode
from reports.rate_report.dissents import said_text
from reports.rate_report.names import KINDS
from reports.rate_report.period_text import iso_day_text, month_text
from surveillance.marks import episode_mark
from surveillance.words import CONFIRMED, SEQUENCES, reason_text

Cells = dict[str, str]
Row = dict[str, Any]
Question = Callable[[Cells], bool]


def _field_is(field: str, *values: str) -> Question:
    return lambda case: case[field] in values


# The numerator of each share, on a row that is an episode.
_SHARES: dict[str, Question] = {
    "culture_negative_share": _field_is("culture_group", "culture_negative"),
    "not_cultured_share": _field_is("culture_group", "not_cultured", "culture_pending"),
    "relapsing_share": _field_is("sequence", "relapsing"),
    "recurrent_share": _field_is("sequence", "recurrent"),
    "repeat_share": _field_is("sequence", "repeat"),
    "medical_cure_share": _field_is("medical_cure", "yes"),
    "refractory_share": _field_is("refractory", "yes"),
    "catheter_removal_share": _field_is("catheter_removed", "yes"),
    "haemodialysis_transfer_share": _field_is("haemodialysis_transfer", "yes"),
    "death_share": _field_is("died", "yes"),
    "admission_share": _field_is("admitted", "yes"),
    "insertion_related_share": _field_is("insertion_related", "yes"),
}
OUTCOME_SHARES = tuple(_SHARES)[5:11]
_KINDS_OF = {
    "exit_site_infection_rate": ("exit_site",),
    "tunnel_infection_rate": ("tunnel",),
    "catheter_infection_rate": ("exit_site", "tunnel"),
}


@dataclass(frozen=True)
class CaseLine:
    """One episode as the page lists it."""

    when: str
    patient: str
    mark: str  # name of its mark
    category: str
    is_in: bool  # in the numerator
    so: str
    case: Cells
    address: str = ""  # of its Episode page, for whoever may open it
    dissents: tuple[str, ...] = ()  # what named persons hold of its category


def _belongs(measure: str) -> Question:
    kinds = _KINDS_OF.get(measure, ("peritonitis",))
    return lambda case: case["kind"] in kinds


def in_numerator(case: Cells, figure: Row) -> bool:
    """Whether the row adds to the numerator (for the free share: takes away from it)."""
    measure, split, band = figure["measure"], figure["split"], figure["band"]
    if measure in _SHARES:
        return is_episode(case) and _SHARES[measure](case)
    if measure == "peritonitis_free_share":
        return is_episode(case) and is_at_risk(case)
    if measure == "organism_rate":
        return is_counted(case) and band in case["organism_groups"].split(";")
    if split == "organism_group":
        return is_counted(case) and case["organism_group"] == band
    return is_counted(case)


def _state(case: Cells) -> str:
    """What its mark and its word are drawn from."""
    return case["sequence"] if case["confirmed"] == "confirmed" else case["confirmed"]


def mark_of(case: Cells) -> str:
    """The mark's name: filled if counted, open if not."""
    return episode_mark(case["kind"], case["confirmed"], case["sequence"], is_counted(case))


def _category(case: Cells) -> str:
    words = SEQUENCES | CONFIRMED
    word = words[_state(case)]
    return word if case["kind"] == "peritonitis" else f"{KINDS[case['kind']]}, {word}"


def when_text(case: Cells) -> str:
    """The onset: its day, or for an outside reader its month."""
    return iso_day_text(case["onset_on"]) if "onset_on" in case else month_text(case["onset_month"])


_POINTS_BACK = {"not_counted_relapse": "relapse", "not_counted_same_episode": "part"}


def _counting_text(case: Cells, known: dict[tuple[str, str], Cells]) -> str:
    """Why it counts or not; the episode that it belongs to is named if it is in sight."""
    index = known.get((case["patient"], case["index_episode"]))
    word = _POINTS_BACK.get(case["reason"])
    if word and index:
        return f"not counted: {word} of the episode of {when_text(index)}"
    return reason_text(case["reason"], case["kind"])


def _why_not(case: Cells) -> str:
    return reason_text(case["reason"], case["kind"]).removeprefix("not counted: ")


def _share_text(case: Cells, figure: Row) -> str:
    if not is_episode(case):
        return "in neither: " + _why_not(case)
    if in_numerator(case, figure):
        return "in both"
    return "in the second number only"


def _free_text(case: Cells, figure: Row) -> str:
    if in_numerator(case, figure):
        return "this patient was not free"
    return "does not end freedom: " + _why_not(case)


def so_text(case: Cells, figure: Row, known: dict[tuple[str, str], Cells]) -> str:
    """In what words the row is in the figure or not."""
    if figure["measure"] in _SHARES:
        return _share_text(case, figure)
    if figure["measure"] == "peritonitis_free_share":
        return _free_text(case, figure)
    words = _counting_text(case, known)
    if is_counted(case) and not in_numerator(case, figure):
        return f"{words}, but not in this group"
    return words


def _dissents(case: Cells, said: list[Cells]) -> tuple[str, ...]:
    if case["kind"] != "peritonitis":
        return ()
    own = (case["patient"], case["episode"])
    return tuple(said_text(one) for one in said if (one["patient"], one["episode"]) == own)


def case_lines(
    cases: list[Cells], figure: Row, earlier: list[Cells], said: list[Cells]
) -> list[CaseLine]:
    """The episodes behind a figure, counted or not; `earlier` are rows that a relapse may name,
    `said` the dissents."""
    known = {(case["patient"], case["episode"]): case for case in [*earlier, *cases]}
    wanted = filter(_belongs(figure["measure"]), cases)
    return [
        CaseLine(
            when=when_text(case), patient=case["patient"], mark=mark_of(case),
            category=_category(case), is_in=in_numerator(case, figure),
            so=so_text(case, figure, known), case=case, dissents=_dissents(case, said),
        )
        for case in wanted
    ]  # fmt: skip
