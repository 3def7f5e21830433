"""Both published targets side by side: the same year held against each of its lines."""

from __future__ import annotations

from collections.abc import Sequence

from reports.charts.chart import Chart, Lead, Row, nowhere
from reports.charts.margin_name import margin_name
from reports.charts.row_table import is_rate, shown, spoken, target_text
from reports.charts.verdict_strip import HEIGHT, WIDTH, strip_shapes
from reports.rate_report.names import MEASURES
from surveillance.drawing import drawing, group, linked, words
from surveillance.words import verdict_text

_ROW = HEIGHT + 20
_NUMBERS = ("numerator", "denominator", "value", "lower", "upper", "target", "verdict")


def two_targets(rows: Sequence[Row], why: str, lead: Lead = nowhere) -> Chart:
    """`rows`: the rate and the free share of one year; `why`: why one may be met, not the other."""
    summary = " ".join(_spoken(row) for row in rows) or "Four quarters are not complete yet."
    return Chart(
        name="two_targets",
        title=_title(rows),
        summary=summary,
        note=why,
        columns=("Figure", "Those or counted", "Figure shown", "Target", "Verdict"),
        rows=tuple((row["measure"], *(row[name] for name in _NUMBERS)) for row in rows),
        shown_rows=tuple(_shown(row) for row in rows),
        svg=_drawn(rows, 1184, 224, "wide", summary, lead),
        svg_narrow=_drawn(rows, 358, 0, "narrow", summary, lead),
        figure=_figure(rows),
        leads=tuple(lead(row) for row in rows),
        row_columns=("measure", *_NUMBERS),
    )


def _figure(rows: Sequence[Row]) -> dict[str, object]:
    names = [MEASURES[row["measure"]].title for row in rows]
    data = [
        {"type": "bar", "name": name, "x": names, "y": [row[name] for row in rows]}
        for name in ("value", "target")
    ]
    return {"data": data, "layout": {}}


def _title(rows: Sequence[Row]) -> str:
    sides = [row["verdict"] for row in rows]
    if set(sides) == {"meets", "misses"}:
        return "One published target is met and the other missed, both beyond chance."
    if len(sides) == 2 and sides[0] == sides[1] and sides[0] in ("meets", "misses"):
        word = {"meets": "met", "misses": "missed"}[sides[0]]
        return f"Both published targets are {word} beyond chance."
    told = [f"{_NAMES[one]} {verdict_text(row['verdict'])}" for one, row in enumerate(rows)]
    return f"{'; '.join(told)}.".capitalize() if told else "Four quarters are not complete yet."


_NAMES = ("the rate", "the free share")


def _value(row: Row) -> str:
    return shown(row)[3 if is_rate(row) else 2]


def _shown(row: Row) -> tuple[str, ...]:
    verdict = verdict_text(row["verdict"], row["denominator_unit"])
    counted = shown(row)[0]
    return (MEASURES[row["measure"]].title, counted, _value(row), target_text(row), verdict)


def _spoken(row: Row) -> str:
    said = spoken(MEASURES[row["measure"]].title, row).removesuffix(".")
    return f"{said}; {verdict_text(row['verdict'])}: {target_text(row)}."


def _drawn(
    rows: Sequence[Row], width: float, left: float, variant: str, summary: str, lead: Lead
) -> str:
    shapes = []
    for place, row in enumerate(rows):
        top = place * (_ROW if left else _ROW + 22)
        title = MEASURES[row["measure"]].title
        name = margin_name(title, top + 43) if left else [words(0, top + 14, title)]
        strip = linked(lead(row), _spoken(row), strip_shapes(row))
        at = f"translate({left:.0f} {top + (0 if left else 18):.0f})"
        beside = words(left + WIDTH + 40, top + 48, _spoken(row).split(": ", 1)[-1], "text-quiet")
        shapes += [*name, group(strip, transform=at), beside if left else ""]
    height = len(rows) * (_ROW if left else _ROW + 22)
    return drawing(width, max(height, 20), summary, variant, *shapes)
