"""How a figure over time stands on paper: axis, target, points, and numbers under them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import groupby

from reports.charts.bracket import bracket
from reports.charts.chart import Lead, Row, exact, nowhere
from reports.charts.flags import Flag, flags_drawn, head_room
from reports.charts.rate_table import is_drawn
from reports.charts.row_table import is_rate, spoken, target_text, tick_text, under, under_text
from reports.charts.scale import Scale, ticks
from reports.charts.sheet import AxisSheet
from reports.charts.whiskers import NARROW, WIDE, Pen, standing
from reports.rate_report.period_text import period_text, quarter_of, quarter_shifted
from surveillance.drawing import circle, drawing, group, line, linked, text_width, words
from surveillance.periods import quarter_holding

Pair = tuple[Row, Row | None]  # a rolling year and the quarter alone


@dataclass(frozen=True)
class Sheet(AxisSheet):
    """Places on paper of one variant."""

    pen: Pen
    most: int  # points at most
    figure_height: float
    beside: float  # how far left of its point a quarter's dot stands


WIDE_SHEET = Sheet("wide", 1184, 252, 44, 344, WIDE, 16, 28, 14)
NARROW_SHEET = Sheet("narrow", 358, 50, 40, 300, NARROW, 10, 44, 9)


@dataclass(frozen=True)
class _Plot:
    """The points of one drawing with their places."""

    sheet: Sheet
    pairs: list[Pair]
    scale: Scale
    lead: Lead
    flags: tuple[Flag, ...] = ()

    @property
    def last(self) -> Row | None:
        return self.pairs[-1][0] if self.pairs else None

    @property
    def is_rate(self) -> bool:
        return self.last is None or is_rate(self.last)

    @property
    def step(self) -> float:
        return (self.sheet.width - 4 - self.sheet.left) / max(len(self.pairs), 1)

    def x(self, index: int) -> float:
        return self.sheet.left + self.step * (index + 0.5)

    def x_of(self, day: date) -> float | None:
        """The place of a day: a point stands where its last quarter ends."""
        quarter = quarter_holding(day)
        share = (day - quarter.start).days / 91
        for index, (row, _) in enumerate(self.pairs):
            if quarter_of(row["period"]) == quarter.text:
                return self.x(index) - self.step * (1 - min(share, 1))
        last = quarter_of(self.pairs[-1][0]["period"]) if self.pairs else ""
        if last and quarter.text == quarter_shifted(last, 1) and share < 0.4:
            return self.x(len(self.pairs) - 1) + self.step * share
        return None


def drawn(
    pairs: Sequence[Pair], high: float, sheet: Sheet, summary: str, lead: Lead = nowhere,
    flags: Sequence[Flag] = (),
) -> str:  # fmt: skip
    """One variant; the narrow one shows the latest points that its width can hold."""
    plot = _Plot(sheet, list(pairs)[-_fitting(pairs, sheet) :], Scale(0, high, 1, 0), lead)
    seen = tuple(flag for flag in flags if plot.x_of(flag.on) is not None)
    room = head_room(seen)
    sheet = replace(sheet, top=sheet.top + room, bottom=sheet.bottom + room)
    plot = replace(plot, sheet=sheet, scale=Scale(0, high, sheet.bottom, sheet.top), flags=seen)
    height = sheet.bottom + 54 + sheet.figure_height * len(under(plot.last))
    layers = (_grid(plot), _target(plot), _flags(plot), _points(plot), _run_above(plot))
    return drawing(
        sheet.width, height, summary, sheet.variant, *layers, _periods(plot), _figures(plot)
    )


def _flags(plot: _Plot) -> str:
    sheet = plot.sheet
    return flags_drawn(plot.flags, plot.x_of, 4, sheet.bottom, sheet.width)


_GAP = 4  # between the figures of two points


def _fitting(pairs: Sequence[Pair], sheet: Sheet) -> int:
    widest = max(
        (text_width(under_text(row, at)) for row, _ in pairs for _, at in under(row)), default=1
    )
    return max(1, min(sheet.most, int((sheet.width - sheet.left) / (widest + _GAP))))


def _grid(plot: _Plot) -> str:
    sheet, scale = plot.sheet, plot.scale
    shapes = []
    for tick in ticks(scale.high, 0.2):
        y, ink = scale.at(tick), "line-ink" if tick == 0 else "line-grid"
        shapes.append(line(sheet.left, y, sheet.width - 2, y, ink))
        if all(not -9 < scale.at(goal) - y < 24 for goal in _goals(plot)):
            shapes.append(
                words(sheet.left - 10, y + 4.5, tick_text(tick, plot.is_rate), "text-quiet", "end")
            )
    return group(*shapes)


def _goals(plot: _Plot) -> list[float]:
    return [row["target"] for row, _ in plot.pairs[-1:] if row["target"] is not None]


def _target(plot: _Plot) -> str:
    sheet, shapes = plot.sheet, []
    said = target_text(plot.last) if plot.last else ""
    for goal in _goals(plot):
        y = plot.scale.at(goal)
        shapes.append(line(sheet.left, y, sheet.width - 2, y, "line-accent", 1.25, "6 4"))
        shapes.append(words(sheet.left - 10, y + 4.5, said, "text-accent", "end"))
        shapes.append(words(sheet.left - 10, y - 11, "target", "text-accent halo", "end"))
    return group(*shapes)


def _points(plot: _Plot) -> str:
    shapes = []
    for index, (row, dot) in enumerate(plot.pairs):
        title, at = spoken(period_text(row["period"]), row), (plot.x(index), plot.scale)
        if is_drawn(row):
            shapes.append(standing(row, *at, plot.sheet.pen, title, plot.lead(row)))
        if dot is not None:
            shapes.append(_dot(plot, index, dot))
    return group(*shapes)


def _dot(plot: _Plot, index: int, row: Row) -> str:
    x, y = plot.x(index) - plot.sheet.beside, plot.scale.inside(row["value"])
    said = spoken(f"{period_text(row['period'])} alone", row)
    shape = circle(x, y, 2.5, "fill-mark")
    if plot.sheet.variant == "wide":  # at 390 px two links would stand under one finger
        shape = linked(plot.lead(row), said, circle(x, y, 9, "reach"), shape)
    return group(
        shape, title=said, class_="dot",
        data_period=row["period"], data_numerator=exact(row["numerator"]),
        data_value=exact(row["value"]),
    )  # fmt: skip


def _run_above(plot: _Plot) -> str:
    """A bracket over each run of points that miss the target beyond chance."""
    shapes: list[str] = []
    numbered = enumerate(row["verdict"] == "misses" for row, _ in plot.pairs)
    for misses, run in groupby(numbered, key=lambda pair: pair[1]):
        held = [index for index, _ in run]
        if misses:
            shapes += _bracket(plot, held[0], held[-1], said=not shapes)
    return group(*shapes)


def _bracket(plot: _Plot, first: int, last: int, said: bool) -> list[str]:
    y, reach = plot.sheet.top - 16, plot.sheet.pen.cap
    x1, x2 = plot.x(first) - reach, plot.x(last) + reach
    shapes = bracket(x1, x2, y, 1.25)
    if said:
        shapes.append(_bracket_words(plot, x1, x2, y))
    return shapes


def _bracket_words(plot: _Plot, x1: float, x2: float, y: float) -> str:
    told = "above the target, beyond chance"
    ink, room = "text-attention halo", text_width(told) + 8
    if plot.sheet.variant == "narrow":
        x = min(max((x1 + x2) / 2, room / 2), plot.sheet.width - room / 2)
        return words(x, y - 8, told, ink, "middle")
    if x2 + room < plot.sheet.width:
        return words(x2 + 9, y + 4.5, told, ink)
    return words(x1 - 9, y + 4.5, told, ink, "end")


def _periods(plot: _Plot) -> str:
    y = plot.sheet.bottom
    shapes = []
    for index, (row, _) in enumerate(plot.pairs):
        x = plot.x(index)
        shapes.append(line(x, y, x, y + 5, "line-ink"))
        shapes.append(words(x, y + 22, quarter_of(row["period"])[-2:], "", "middle"))
    years = enumerate(row["period"][:4] for row, _ in plot.pairs)
    for year, run in groupby(years, key=lambda pair: pair[1]):
        held = [index for index, _ in run]
        shapes += _year(plot, year, plot.x(held[0]), plot.x(held[-1]))
    return group(*shapes)


def _year(plot: _Plot, year: str, first: float, last: float) -> list[str]:
    y, middle = plot.sheet.bottom + 40, (first + last) / 2
    shapes = [words(middle, y, year, "text-quiet", "middle")]
    if last - first > 60:
        shapes.append(line(first - 8, y - 4.5, middle - 22, y - 4.5, "line-rule"))
        shapes.append(line(middle + 22, y - 4.5, last + 8, y - 4.5, "line-rule"))
    return shapes


def _figures(plot: _Plot) -> str:
    """The figures under the points they belong to."""
    sheet, shapes = plot.sheet, []
    for number, (name, at) in enumerate(under(plot.last)):
        y = sheet.bottom + 54 + sheet.figure_height * number
        shapes.append(line(0, y, sheet.width, y, "line-rule"))
        shapes.append(words(0, y + 18, name, "text-quiet"))
        below = y + (18 if sheet.variant == "wide" else 36)
        for index, (row, _) in enumerate(plot.pairs):
            shapes.append(words(plot.x(index), below, under_text(row, at), "", "middle"))
    return group(*shapes)
