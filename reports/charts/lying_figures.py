"""Figures with their ranges, one below the other: subgroups, outcomes, care, cohorts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from reports.charts.chart import Cell, Chart
from reports.charts.lying_layout import NARROW_SHEET, WIDE_SHEET, Axis, Line, drawn

_CLOSE = replace(WIDE_SHEET, row_height=34)  # many lines under one another


@dataclass(frozen=True)
class Words:
    """What the picture is called and says."""

    name: str
    title: str
    what: str
    note: str = ""
    links: tuple[tuple[str, str], ...] = ()


NUMBERS = ("numerator", "denominator", "value", "lower", "upper")


def lying_figures(lines: Sequence[Line], axis: Axis, words: Words) -> Chart:
    summary = " ".join((f"{words.what}.", *(one.spoken for one in lines)))
    groups = _groups(lines)
    sheet = _CLOSE if len(lines) > 6 else WIDE_SHEET
    return Chart(
        name=words.name,
        title=words.title,
        summary=summary,
        note=words.note,
        columns=("Group", "Figure of", *axis.heads, "In words"),
        rows=tuple(
            (group, one.name, *(one.row[name] for name in NUMBERS))
            for group, one in zip(groups, lines, strict=True)
        ),
        shown_rows=tuple(
            (group, one.name, *one.cells, one.spoken.removeprefix(f"{one.name}: "))
            for group, one in zip(groups, lines, strict=True)
        ),
        svg=drawn(lines, axis, sheet, summary),
        svg_narrow=drawn(lines, axis, NARROW_SHEET, summary),
        figure=_figure(lines),
        leads=tuple(one.address for one in lines),
        row_columns=("group", "figure_of", *NUMBERS),
        links=words.links,
    )


def _groups(lines: Sequence[Line]) -> list[str]:
    found, name = [], ""
    for one in lines:
        name = one.group or name
        found.append(name)
    return found


def _figure(lines: Sequence[Line]) -> dict[str, object]:
    numbers: dict[str, list[Cell]] = {name: [one.row[name] for one in lines] for name in NUMBERS}
    names = [f"{group}: {one.name}" if group else one.name
             for group, one in zip(_groups(lines), lines, strict=True)]  # fmt: skip
    data = {
        "type": "scatter", "mode": "markers", "x": numbers["value"], "y": names,
        "customdata": [list(row) for row in zip(*numbers.values(), strict=True)],
    }  # fmt: skip
    return {"data": [data], "layout": {"yaxis": {"autorange": "reversed"}}}
