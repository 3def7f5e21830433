"""Clinics beside each other by size: each point against what luck does at its own size."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from reports.charts.chart import Chart, exact
from reports.charts.scale import Scale, ticks, whole_steps
from reports.charts.sheet import AxisSheet
from reports.rate_report.number_text import rate_text
from surveillance.drawing import circle, drawing, group, line, linked, reach, text_width, words


@dataclass(frozen=True)
class Point:
    """One clinic; `name` empty: another clinic, unnamed."""

    name: str
    years: float
    observed: int
    expected: float
    rate: float
    limits: tuple[float, float, float, float]  # 99.9 % low, 95 % low, 95 % high, 99.9 % high
    sentence: str
    is_own: bool = False
    address: str = ""

    @property
    def is_out(self) -> bool:
        return not self.limits[0] <= self.rate <= self.limits[3]


WIDE_SHEET = AxisSheet("wide", 1184, 252, 28, 328)
NARROW_SHEET = AxisSheet("narrow", 358, 40, 28, 288)
_STEP = 0.4
COLUMNS = (
    "Clinic",
    "Patient-years",
    "Counted",
    "Expected",
    "Rate",
    "Luck stays above",
    "and below",
)


def funnel(points: Sequence[Point], network_rate: float, title: str, note: str) -> Chart:
    """`network_rate`: of all clinics together, the line that luck is counted around."""
    told = " ".join(f"{_name(one)}: {one.sentence}" for one in points)
    summary = f"All clinics together {rate_text(network_rate)} per patient-year. {told}"
    return Chart(
        name="funnel",
        title=title,
        summary=summary,
        note=note,
        columns=COLUMNS,
        rows=tuple(_cells(one) for one in points),
        shown_rows=tuple(_shown(one) for one in points),
        svg=_drawn(points, network_rate, WIDE_SHEET, summary),
        svg_narrow=_drawn(points, network_rate, NARROW_SHEET, summary),
        figure=_figure(points),
        leads=tuple(one.address for one in points),
    )


def _name(one: Point) -> str:
    return one.name or "another clinic"


def _cells(one: Point) -> tuple[str | float, ...]:
    low, _, _, high = one.limits
    return (_name(one), one.years, one.observed, one.expected, one.rate, low, high)


def _shown(one: Point) -> tuple[str, ...]:
    name, years, observed, expected, *rates = _cells(one)
    counts = (f"{years:.1f}", str(observed), f"{expected:.1f}")
    return (str(name), *counts, *(rate_text(float(value)) for value in rates))


def _figure(points: Sequence[Point]) -> dict[str, object]:
    data = {
        "type": "scatter", "mode": "markers", "x": [one.years for one in points],
        "y": [one.rate for one in points], "text": [_name(one) for one in points],
    }  # fmt: skip
    return {"data": [data], "layout": {}}


def _drawn(points: Sequence[Point], rate: float, sheet: AxisSheet, summary: str) -> str:
    most = max((max(one.rate, one.limits[3]) for one in points), default=rate)
    high = max(_STEP * 2, whole_steps(min(most, 2.4), _STEP))
    longest = max((one.years for one in points), default=1) * 1.12
    along = Scale(0, longest, sheet.left, sheet.width - 8)
    up = Scale(0, high, sheet.bottom, sheet.top)
    layers = (_grid(sheet, along, up), _centre(sheet, up, rate),
              group(*(_point(one, along, up, sheet) for one in points)))  # fmt: skip
    return drawing(sheet.width, sheet.bottom + 44, summary, sheet.variant, *layers)


def _grid(sheet: AxisSheet, along: Scale, up: Scale) -> str:
    shapes = []
    for tick in ticks(up.high, _STEP):
        y, ink = up.at(tick), "line-ink" if tick == 0 else "line-grid"
        shapes.append(line(sheet.left, y, sheet.width - 2, y, ink))
        shapes.append(words(sheet.left - 8, y + 4.5, f"{tick:.1f}", "text-quiet", "end"))
    step = 10 ** math.floor(math.log10(max(along.high / 2, 1)))
    for tick in range(0, int(along.high) + 1, int(step)):
        shapes.append(words(along.at(tick), sheet.bottom + 20, str(tick), "text-quiet", "middle"))
    said = words(sheet.width - 8, sheet.bottom + 38, "patient-years at risk", "text-quiet", "end")
    return group(*shapes, said)


def _centre(sheet: AxisSheet, up: Scale, rate: float) -> str:
    y = up.inside(rate)
    return group(
        line(sheet.left, y, sheet.width - 2, y, "line-accent", 1.25, "6 4"),
        words(sheet.left + 4, y - 6, f"all clinics {rate_text(rate)}", "text-accent halo"),
        class_="whole", data_value=str(rate),
    )  # fmt: skip


def _point(one: Point, along: Scale, up: Scale, sheet: AxisSheet) -> str:
    """A range that luck keeps to, thin to 99.9 %, broad to 95 %, and the clinic on it."""
    x, y = along.at(one.years), up.inside(one.rate)
    low, warn_low, warn_high, high = (up.inside(limit) for limit in one.limits)
    ink = "attention" if one.is_out else "ink"
    fill = f"fill-{ink}" if one.is_own or one.name else "fill-paper"
    shapes = [
        line(x, low, x, high, "line-mark", 1), line(x, warn_low, x, warn_high, "line-mark", 4),
        line(x - 6, low, x + 6, low, "line-mark"), line(x - 6, high, x + 6, high, "line-mark"),
        circle(x, y, 7 if one.is_own else 5, f"line-{ink} {fill}", 1.75),
    ]  # fmt: skip
    said = f"{_name(one)}: {one.sentence}"
    hit = reach(x, y, 24, 24) if one.address else ""
    return group(
        linked(one.address, said, hit, *shapes), _label(one, x, high - 8, sheet), title=said,
        class_="datum", data_band=_name(one), data_value=exact(one.rate),
        data_lower=exact(one.limits[0]), data_upper=exact(one.limits[3]),
        data_numerator=exact(one.observed),
    )  # fmt: skip


def _label(one: Point, x: float, y: float, sheet: AxisSheet) -> str:
    """The name over the range, kept inside the drawing."""
    if not one.name:
        return ""
    half = text_width(one.name) / 2
    middle = min(max(x, sheet.left + half), sheet.width - half)
    return words(middle, y, one.name, "text-strong halo" if one.is_own else "halo", "middle")
