"""How the ledger stands on paper: 20 pixels a patient, two columns where there is room."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Protocol

from reports.charts.chart import exact
from reports.charts.scale import Scale
from reports.rate_report.number_text import counted_text, whole_text
from reports.recount.ledger import PatientDays, Stretch
from surveillance.drawing import drawing, group, line, mark, words


class Mark(Protocol):
    """What the ledger needs of an onset."""

    @property
    def on(self) -> date: ...
    @property
    def mark(self) -> str: ...
    @property
    def said(self) -> str: ...


Marks = Mapping[str, Sequence[Mark]]
Span = tuple[date, date]


@dataclass(frozen=True)
class Sheet:
    """Places on paper of one variant."""

    variant: str
    width: float
    columns: int
    column_width: float
    left: float
    right: float  # of the days, within a column
    mark_size: float


WIDE_SHEET = Sheet("wide", 1184, 2, 568, 66, 510, 16)
NARROW_SHEET = Sheet("narrow", 358, 1, 358, 66, 312, 14)
_ROW, _HEAD, _FOOT = 20, 30, 30
# Room for a name: a capital is wider than the mean letter, and no line may touch it.
_CAPITAL, _CLEAR, _MOST_LETTERS = 9.5, 10, 14


def drawn(
    lines: Sequence[PatientDays], marks: Marks, span: Span, sheet: Sheet, summary: str
) -> str:
    """Patients fill the first column, then the second."""
    sheet = _with_room(sheet, lines)
    a_column = max(1, -(-len(lines) // sheet.columns))
    parts = [lines[at : at + a_column] for at in range(0, len(lines), a_column)]
    gap = sheet.width - sheet.column_width if sheet.columns > 1 else 0
    columns = [
        element_at(gap * index, _column(part, a_column, marks, span, sheet))
        for index, part in enumerate(parts)
    ]
    height = _HEAD + a_column * _ROW + _FOOT
    return drawing(sheet.width, height, summary, sheet.variant, *columns)


def _with_room(sheet: Sheet, lines: Sequence[PatientDays]) -> Sheet:
    """The lines begin behind the longest name."""
    letters = max((len(_name(held.patient)) for held in lines), default=0)
    return replace(sheet, left=max(sheet.left, letters * _CAPITAL + _CLEAR))


def _name(patient: str) -> str:
    """A very long record number is drawn short; the table beside the picture has it whole."""
    return patient if len(patient) <= _MOST_LETTERS else f"{patient[: _MOST_LETTERS - 1]}…"


def element_at(x: float, shapes: str) -> str:
    return group(shapes, transform=f"translate({x:.0f} 0)")


def _column(part: Sequence[PatientDays], rows: int, marks: Marks, span: Span, sheet: Sheet) -> str:
    scale = Scale(span[0].toordinal(), span[1].toordinal(), sheet.left, sheet.right)
    shapes = [_head(scale, span, sheet, rows)]
    for index, held in enumerate(part):
        shapes.append(_patient(held, marks.get(held.patient, ()), index, scale, sheet))
    return group(*shapes, _foot(part, rows, sheet))


def _months(span: Span) -> list[date]:
    """The first of each month within the span."""
    day, found = span[0].replace(day=1), []
    while day < span[1]:
        if day >= span[0]:
            found.append(day)
        day = (day + timedelta(days=32)).replace(day=1)
    return found


def _head(scale: Scale, span: Span, sheet: Sheet, rows: int) -> str:
    shapes = [words(0, 16, "Patient", "text-quiet")]
    shapes.append(words(sheet.column_width, 16, "Days", "text-quiet", "end"))
    for index, month in enumerate(_months(span)):
        x = scale.at(month.toordinal())
        shapes.append(line(x, 22, x, _HEAD + rows * _ROW, "line-grid"))
        if index % 3 == 0 or len(_months(span)) <= 3:
            shapes.append(words(x, 16, month.strftime("%b"), "text-quiet"))
    return group(*shapes, line(0, 22, sheet.column_width, 22, "line-ink"))


def _foot(part: Sequence[PatientDays], rows: int, sheet: Sheet) -> str:
    y = _HEAD + rows * _ROW + 2
    total = whole_text(sum(held.days for held in part))
    return group(
        line(0, y, sheet.column_width, y, "line-ink"),
        words(0, y + 18, counted_text(len(part), "patient", "patients")),
        words(sheet.column_width, y + 18, total, "text-strong", "end"),
    )  # fmt: skip


def _patient(
    held: PatientDays, marks: Sequence[Mark], index: int, scale: Scale, sheet: Sheet
) -> str:
    y = _HEAD + index * _ROW + _ROW / 2
    shapes = [words(0, y + 4.5, _name(held.patient))]
    shapes += [_stretch(stretch, y, scale) for stretch in held.stretches]
    for one in marks:
        shapes.append(_mark(one, y, scale, sheet))
    shapes.append(words(sheet.column_width, y + 4.5, whole_text(held.days), "", "end"))
    return group(
        *shapes, title=f"{held.patient}: {whole_text(held.days)} days at risk", class_="datum",
        data_patient=held.patient, data_days=exact(held.days), data_episodes=str(len(marks)),
    )  # fmt: skip


def _stretch(held: Stretch, y: float, scale: Scale) -> str:
    """At risk: a line with a tick at an end inside the period. A stopping pause: dots."""
    x1, x2 = scale.inside(held.first.toordinal()), scale.inside(held.last.toordinal() + 1)
    if held.state == "at_risk":
        ends = [x for x, edge in ((x1, scale.start), (x2, scale.stop)) if abs(x - edge) > 0.5]
        ticks = "".join(line(x, y - 4, x, y + 4, "line-ink", 1.25) for x in ends)
        return line(x1, y, x2, y, "line-ink", 1.5) + ticks
    return line(x1, y, x2, y, "line-mark", 1.5, "1.5 3") if held.reason == "paused" else ""


def _mark(one: Mark, y: float, scale: Scale, sheet: Sheet) -> str:
    """The line stops on both sides of a mark, so that its shape reads."""
    x, half = scale.inside(one.on.toordinal()), sheet.mark_size / 2 + 1
    gap = line(x - half, y, x + half, y, "line-paper", 4)
    return group(gap, mark(one.mark, x, y, sheet.mark_size), title=one.said)
