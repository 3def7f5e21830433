"""How bands stand on paper: one lying range a band, its figures at the right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from reports.charts.chart import Row
from reports.charts.rate_table import shown_rate, spoken_rate
from reports.charts.scale import Scale, ticks
from reports.charts.whiskers import NARROW, WIDE, Pen, lying
from reports.rate_report.names import band_text
from reports.rate_report.number_text import is_little_time, rate_text
from surveillance.drawing import drawing, group, line, words


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
_COLUMNS = ((958, "counted", 0), (1074, "patient-years", 2), (1184, "rate", 3))


@dataclass(frozen=True)
class _Plot:
    """The bands of one drawing with their places."""

    sheet: Sheet
    rows: list[Row]
    scale: Scale

    @property
    def bottom(self) -> float:
        return self.sheet.top + self.sheet.row_height * len(self.rows)

    @property
    def is_wide(self) -> bool:
        return self.sheet.variant == "wide"


def drawn(rows: Sequence[Row], whole: Row | None, high: float, sheet: Sheet, summary: str) -> str:
    plot = _Plot(sheet, list(rows), Scale(0, high, sheet.left, sheet.right))
    bands = group(*(_band(plot, index, row) for index, row in enumerate(plot.rows)))
    layers = (_grid(plot), _whole(plot, whole), bands, _heads(plot))
    return drawing(sheet.width, plot.bottom + 40, summary, sheet.variant, *layers)


def _grid(plot: _Plot) -> str:
    shapes, top = [], plot.sheet.top - 12
    for tick in ticks(plot.scale.high, 0.4):
        x, ink = plot.scale.at(tick), "line-mark" if tick == 0 else "line-grid"
        shapes.append(line(x, top, x, plot.bottom, ink))
        shapes.append(words(x, plot.bottom + 18, f"{tick:.1f}", "text-quiet", "middle"))
    said = "counted episodes per patient-year"
    place = (plot.sheet.left + plot.sheet.right) / 2 if plot.is_wide else plot.sheet.right
    anchor = "middle" if plot.is_wide else "end"
    return group(*shapes, words(place, plot.bottom + 37, said, "text-quiet", anchor))


def _whole(plot: _Plot, whole: Row | None) -> str:
    """The rate of all patients, one dashed line through every band."""
    if whole is None:
        return ""
    x, top = plot.scale.inside(whole["value"]), plot.sheet.top - 20
    said = f"all patients {rate_text(whole['value'])}"
    return group(
        line(x, top, x, plot.bottom, "line-accent", 1.25, "6 4"),
        words(x + 7, top + 4, said, "text-accent halo"),
        class_="whole", data_value=str(whole["value"]),
    )  # fmt: skip


def _heads(plot: _Plot) -> str:
    if not plot.is_wide:
        return ""
    y = plot.sheet.top - 20
    return group(*(words(x, y, name, "text-quiet", "end") for x, name, _ in _COLUMNS))


def _band(plot: _Plot, index: int, row: Row) -> str:
    top = plot.sheet.top + plot.sheet.row_height * index
    y = top + plot.sheet.row_height / 2 if plot.is_wide else top + 40
    name = band_text(row["split"], row["band"])
    shapes = [lying(row, y, plot.scale, plot.sheet.pen, spoken_rate(name, row))]
    if row["band"] == "none_recorded" and index:
        shapes.insert(0, line(0, top, plot.sheet.width, top, "line-rule"))
    labels = _wide_words(y, name, row) if plot.is_wide else _narrow_words(plot, top, name, row)
    return group(*shapes, *labels)


def _wide_words(y: float, name: str, row: Row) -> list[str]:
    cells = list(shown_rate(row))
    is_little = is_little_time(row["denominator"])
    held = [words(0, y + 4.5, name)]
    for x, _, at in _COLUMNS:
        said, ink = ("too little time", "text-quiet") if at == 3 and is_little else (cells[at], "")
        held.append(words(x, y + 4.5, said, ink, "end"))
    return held


def _narrow_words(plot: _Plot, top: float, name: str, row: Row) -> list[str]:
    counted, _, years, value, *_ = shown_rate(row)
    told = "too little time" if is_little_time(row["denominator"]) else value
    said = f"{counted} in {years} patient-years: {told}"
    return [
        words(0, top + 18, name, "halo"),
        words(plot.sheet.width, top + 18, said, "text-quiet halo", "end"),
    ]
