"""How lying ranges stand on paper: one line a figure, its numbers at the right, groups between."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from reports.charts.chart import Row
from reports.charts.margin_name import margin_name
from reports.charts.rate_table import is_open
from reports.charts.scale import Scale, ticks
from reports.charts.whiskers import NARROW, WIDE, Pen, lying
from surveillance.drawing import drawing, group, line, text_width, words


@dataclass(frozen=True)
class Line:
    """One figure with its range; `cells` are the numbers at its right, one a head."""

    name: str
    row: Row
    cells: tuple[str, ...]
    spoken: str
    brief: str  # the same numbers in few words, for 390 px
    address: str = ""
    group: str = ""  # opens a group of this name
    is_apart: bool = False  # a hairline above it
    target: float | None = None  # a tick of its own


@dataclass(frozen=True)
class Axis:
    """The scale under the lines, and the one line that runs through all of them."""

    high: float
    step: float
    says: str
    shown: Callable[[float], str]
    heads: tuple[str, ...]
    whole: float | None = None
    whole_says: str = ""


@dataclass(frozen=True)
class Sheet:
    """Places on paper of one variant."""

    variant: str
    width: float
    left: float
    right: float
    top: float
    row_height: float
    pen: Pen


WIDE_SHEET = Sheet("wide", 1184, 224, 854, 44, 44, WIDE)
NARROW_SHEET = Sheet("narrow", 358, 7, 346, 44, 66, NARROW)
_COLUMNS, _HEAD_HEIGHT = (958, 1074, 1184), 34


@dataclass(frozen=True)
class _Plot:
    """The lines of one drawing with their places."""

    sheet: Sheet
    lines: list[Line]
    axis: Axis

    @property
    def scale(self) -> Scale:
        return Scale(0, self.axis.high, self.sheet.left, self.sheet.right)

    @property
    def tops(self) -> list[float]:
        """The top of each line; a group's name takes room above its first."""
        found, y = [], self.sheet.top
        for one in self.lines:
            y += _HEAD_HEIGHT if one.group else 0
            found.append(y)
            y += self.sheet.row_height
        return found

    @property
    def bottom(self) -> float:
        return self.tops[-1] + self.sheet.row_height if self.lines else self.sheet.top

    @property
    def is_wide(self) -> bool:
        return self.sheet.variant == "wide"

    @property
    def columns(self) -> tuple[float, ...]:
        return _COLUMNS[-len(self.axis.heads) :] if self.axis.heads else ()


def drawn(lines: Sequence[Line], axis: Axis, sheet: Sheet, summary: str) -> str:
    plot = _Plot(sheet, list(lines), axis)
    shapes = [_line(plot, one, top, place) for place, (one, top) in enumerate(
        zip(plot.lines, plot.tops, strict=True))]  # fmt: skip
    layers = (_grid(plot), _whole(plot), group(*shapes), _heads(plot))
    return drawing(sheet.width, plot.bottom + 40, summary, sheet.variant, *layers)


def _grid(plot: _Plot) -> str:
    shapes, top, axis = [], plot.sheet.top - 12, plot.axis
    for tick in ticks(axis.high, axis.step):
        x, ink = plot.scale.at(tick), "line-mark" if tick == 0 else "line-grid"
        shapes.append(line(x, top, x, plot.bottom, ink))
        shapes.append(words(x, plot.bottom + 18, axis.shown(tick), "text-quiet", "middle"))
    place = (plot.sheet.left + plot.sheet.right) / 2 if plot.is_wide else plot.sheet.right
    anchor = "middle" if plot.is_wide else "end"
    return group(*shapes, words(place, plot.bottom + 37, axis.says, "text-quiet", anchor))


def _whole(plot: _Plot) -> str:
    """The figure of all together, one dashed line through every band."""
    if plot.axis.whole is None:
        return ""
    x, top = plot.scale.inside(plot.axis.whole), plot.sheet.top - 20
    room = text_width(plot.axis.whole_says) + 8
    is_left = x + room > plot.sheet.width
    return group(
        line(x, top, x, plot.bottom, "line-accent", 1.25, "6 4"),
        words(x - 7 if is_left else x + 7, top + 4, plot.axis.whole_says, "text-accent halo",
              "end" if is_left else None),
        class_="whole", data_value=str(plot.axis.whole),
    )  # fmt: skip


def _heads(plot: _Plot) -> str:
    if not plot.is_wide:
        return ""
    y, heads = plot.sheet.top - 20, zip(plot.columns, plot.axis.heads, strict=True)
    return group(*(words(x, y, name, "text-quiet", "end") for x, name in heads))


def _line(plot: _Plot, one: Line, top: float, place: int) -> str:
    y = top + plot.sheet.row_height / 2 if plot.is_wide else top + 40
    shapes = []
    if one.row["value"] is not None:
        pen = plot.sheet.pen
        shapes.append(lying(one.row, y, plot.scale, pen, one.spoken, one.address))
        shapes.append(_target(plot, one, y))
    if one.is_apart and place:
        shapes.insert(0, line(0, top, plot.sheet.width, top, "line-rule"))
    if one.group:
        x = plot.sheet.left if plot.is_wide else 0
        shapes.append(words(x, top - 4, one.group, "text-strong halo"))
    labels = _wide_words(plot, y, one) if plot.is_wide else _narrow_words(plot, top, one)
    return group(*shapes, *labels)


def _target(plot: _Plot, one: Line, y: float) -> str:
    if one.target is None:
        return ""
    x = plot.scale.inside(one.target)
    return line(x, y - 14, x, y + 14, "line-accent", 2, "4 3")


def _wide_words(plot: _Plot, y: float, one: Line) -> list[str]:
    held = margin_name(one.name, y)
    for x, cell in zip(plot.columns, one.cells, strict=True):
        ink = "text-quiet" if x == _COLUMNS[-1] and is_open(one.row) else ""
        held.append(words(x, y + 4.5, cell, ink, "end"))
    return held


def _narrow_words(plot: _Plot, top: float, one: Line) -> list[str]:
    """Name and numbers above the range; on two lines where one cannot hold both."""
    fits = text_width(one.name, 13) + text_width(one.brief, 13) < plot.sheet.width - 8
    if fits:
        return [
            words(0, top + 18, one.name, "halo"),
            words(plot.sheet.width, top + 18, one.brief, "text-quiet halo", "end"),
        ]
    return [
        words(0, top + 8, one.name, "halo"),
        words(0, top + 24, one.brief, "text-quiet halo"),
    ]
