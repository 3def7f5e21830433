"""Small cells hidden once, on counts, before page, chart and file part ways."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

HIDDEN = "hidden"
Cell = int | str


@dataclass(frozen=True)
class MaskedRow:
    shown: list[Cell]  # the row, then its total; HIDDEN where a person could be recognised


def _can_be_told(row: Sequence[int], hidden: set[int]) -> bool:
    """Whether the total gives a hidden cell back: one alone, or all of them as small as can be."""
    return bool(hidden) and (len(hidden) == 1 or sum(row[i] for i in hidden) <= len(hidden))


def _next_to_hide(row: Sequence[int], hidden: set[int]) -> int | None:
    """The smallest cell still shown; a zero only where nothing else is left."""
    shown = [i for i in range(len(row)) if i not in hidden]
    return min(shown, key=lambda i: (row[i] == 0, row[i], i), default=None)


def small_cells(
    row: Sequence[int], total: int | None = None, hide_from: int = 1, hide_to: int = 4
) -> MaskedRow:
    """A row of counts with its small cells hidden, and as many more as keep them hidden.

    row: counts of 0 or more; total: their published sum, None if none is published; cells from
    hide_from to hide_to are hidden, zero is shown. The total is hidden only where no other cell
    is left to hide. Source: statistics.md 2.18; worked examples suppress-01, suppress-03.
    """
    if any(count < 0 for count in row):
        raise ValueError(f"counts are 0 or more, not {list(row)}")
    hidden = {i for i, count in enumerate(row) if hide_from <= count <= hide_to}
    hide_total = False
    while total is not None and _can_be_told(row, hidden) and not hide_total:
        further = _next_to_hide(row, hidden)
        hide_total = further is None
        hidden |= set() if further is None else {further}
    cells: list[Cell] = [HIDDEN if i in hidden else count for i, count in enumerate(row)]
    if total is not None:
        cells.append(HIDDEN if hide_total else total)
    return MaskedRow(cells)


Row = Mapping[str, str]
Place = tuple[str, str, str]  # measure, split, band
# Figures of one band that add up to one another: hidden together, else one gives another back.
_SITES = ("exit_site_infection_rate", "tunnel_infection_rate", "catheter_infection_rate")
_BY_ORGANISM = ("peritonitis_rate", "organism_rate")
_PENDING = ("not_cultured", "culture_pending")
# Undivided shares tell these counts, so they protect no other cell of their table.
_TOLD_ELSEWHERE = ("culture_negative", *_PENDING)
_OF_CATHETER = ("catheter_age", "insertion_method")
_FIGURE = ("numerator", "value", "lower", "upper", "verdict")


def masked_rows(divided: Sequence[Row], undivided: Sequence[Row]) -> list[dict[str, str]]:
    """Measure rows divided by a split, as text cells, with their small counts hidden.

    divided: whole tables (every band with a row) of periods that do not overlap; undivided: the
    plain rows that give each table its total. Hidden are the counts from 1 to 4, in each table as
    many more as keep its total from giving them back, and whatever another table of the same
    period would tell of them. The days stay. Test: tests/surveillance/test_masking_rows.py.
    """
    made = {}
    for period in {row["period"] for row in divided}:
        own = [row for row in divided if row["period"] == period]
        totals = {
            row["measure"]: int(row["numerator"]) for row in undivided if row["period"] == period
        }
        made[period] = _hidden_places(own, totals)
    return [_masked(row) if _place(row) in made[row["period"]] else dict(row) for row in divided]


def _place(row: Row) -> Place:
    return row["measure"], row["split"], row["band"]


def _masked(row: Row) -> dict[str, str]:
    return dict(row) | {name: HIDDEN if row[name] else "" for name in _FIGURE}


def _hidden_places(rows: Sequence[Row], totals: Mapping[str, int]) -> set[Place]:
    """Tables and links are gone through until nothing more has to be hidden."""
    counts = {_place(row): int(row["numerator"]) for row in rows}
    tables: dict[tuple[str, str], list[Place]] = {}
    for place in counts:
        tables.setdefault(place[:2], []).append(place)
    hidden = {place for place, count in counts.items() if 1 <= count <= 4}
    before = -1
    while len(hidden) != before:
        before = len(hidden)
        hidden |= {other for place in hidden for other in _told_together(place)} & counts.keys()
        for (measure, _), places in tables.items():
            if measure in totals and measure != "organism_rate":  # whose bands overlap
                hidden |= _kept_from_total(places, counts, hidden)
    return hidden


def _kept_from_total(
    places: Sequence[Place], counts: Mapping[Place, int], hidden: set[Place]
) -> set[Place]:
    """The cells of one table that have to be hidden with those that are."""
    own = [place for place in places if not _is_told_elsewhere(place)]
    row = [counts[place] for place in own]
    found = {index for index, place in enumerate(own) if place in hidden}
    while _can_be_told(row, found):
        further = _next_to_hide(row, found)
        if further is None:
            break
        found.add(further)
    return {own[index] for index in found}


def _is_told_elsewhere(place: Place) -> bool:
    return place[:2] == ("peritonitis_rate", "organism_group") and place[2] in _TOLD_ELSEWHERE


def _told_together(place: Place) -> set[Place]:
    """The cells that would tell of this one."""
    measure, split, band = place
    found: set[Place] = set()
    if measure in _SITES:
        found |= {(other, split, band) for other in _SITES}
    if split == "organism_group" and measure in _BY_ORGANISM:
        found |= {(other, split, band) for other in _BY_ORGANISM}
        found |= {(measure, split, other) for other in _PENDING} if band in _PENDING else set()
    if split in _OF_CATHETER and band == "none_recorded":
        found |= {(measure, other, band) for other in _OF_CATHETER}
    return found
