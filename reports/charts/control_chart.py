"""Has it changed? Single quarters between the limits that chance keeps to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from reports.charts.chart import Chart, Row, exact
from reports.charts.flags import Flag, flags_drawn, head_room
from reports.charts.scale import Scale, ticks, whole_steps
from reports.charts.sheet import AxisSheet
from reports.rate_report.number_text import rate_text
from surveillance.drawing import circle, drawing, group, line, linked, path, reach, words
from surveillance.periods import quarter_holding
from surveillance.signals.alarm import stands_out


@dataclass(frozen=True)
class Point:
    """One quarter: its stored signal rows (upper and, where there is one, lower limit)."""

    quarter: str
    upper: Row
    lower: Row | None
    centre: float | None  # expected count over patient-years; None: nobody at risk
    address: str = ""

    @property
    def rate(self) -> float | None:
        value = self.upper["statistic"]
        return None if value is None else float(value)

    @property
    def is_out(self) -> bool:
        return stands_out(self.upper) or (self.lower is not None and stands_out(self.lower))


@dataclass(frozen=True)
class Sheet(AxisSheet):
    most: int
    radius: float


WIDE_SHEET = Sheet("wide", 1184, 252, 24, 284, 16, 6)
NARROW_SHEET = Sheet("narrow", 358, 50, 24, 240, 10, 5)
_STEP, _LEAST, _MOST = 0.4, 1.6, 4.0


@dataclass(frozen=True)
class _Plot:
    sheet: Sheet
    points: list[Point]
    scale: Scale

    @property
    def step(self) -> float:
        return (self.sheet.width - 4 - self.sheet.left) / max(len(self.points), 1)

    def x(self, place: float) -> float:
        return self.sheet.left + self.step * (place + 0.5)

    def x_of(self, day: date) -> float | None:
        quarter = quarter_holding(day)
        for place, point in enumerate(self.points):
            if point.quarter == quarter.text:
                return self.x(place - 0.5 + min((day - quarter.start).days / 91, 1))
        return None


def control_chart(
    points: Sequence[Point], title: str, note: str, flags: Sequence[Flag] = ()
) -> Chart:
    shown = list(points)[-WIDE_SHEET.most :]
    summary = " ".join(f"{one.quarter.replace('-', ' ')}: {one.upper['sentence']}" for one in shown)
    return Chart(
        name="control_chart",
        title=title,
        summary=summary or "No quarter is stored.",
        note=note,
        columns=("Quarter", "Counted", "Expected", "Rate", "Upper limit", "Lower limit"),
        rows=tuple(_cells(one) for one in shown),
        shown_rows=tuple(_shown(one) for one in shown),
        svg=_drawn(shown, WIDE_SHEET, summary, flags),
        svg_narrow=_drawn(shown, NARROW_SHEET, summary, flags),
        figure=_figure(shown),
        leads=tuple(one.address for one in shown),
    )


def _cells(one: Point) -> tuple[str | float | None, ...]:
    low = one.lower["limit"] if one.lower else None
    up = one.upper
    return (one.quarter, up["observed"], up["expected"], up["statistic"], up["limit"], low)


def _shown(one: Point) -> tuple[str, ...]:
    _, observed, expected, rate, upper, lower = _cells(one)
    told = "" if expected is None else f"{expected:.1f}"
    name = one.quarter.replace("-", " ")
    return (name, str(observed), told, *(_rate(value) for value in (rate, upper, lower)))


def _rate(value: str | float | None) -> str:
    return "none" if value is None else rate_text(float(value))


def _figure(shown: Sequence[Point]) -> dict[str, object]:
    names = [one.quarter for one in shown]
    data = [
        {"type": "scatter", "mode": mode, "name": name, "x": names,
         "y": [one.upper[key] for one in shown]}
        for name, key, mode in (("Quarter", "statistic", "markers"), ("Limit", "limit", "lines"))
    ]  # fmt: skip
    return {"data": data, "layout": {}}


def _drawn(shown: list[Point], sheet: Sheet, summary: str, flags: Sequence[Flag]) -> str:
    points = shown[-sheet.most :]
    most = max((value for one in points for value in (one.rate, one.upper["limit"]) if value),
               default=0.0)  # fmt: skip
    high = min(_MOST, max(_LEAST, whole_steps(most, _STEP)))
    plot = _Plot(sheet, points, Scale(0, high, 1, 0))
    seen = [flag for flag in flags if plot.x_of(flag.on) is not None]
    room = head_room(seen)
    sheet = replace(sheet, top=sheet.top + room, bottom=sheet.bottom + room)
    plot = replace(plot, sheet=sheet, scale=Scale(0, high, sheet.bottom, sheet.top))
    layers = (
        _grid(plot), flags_drawn(seen, plot.x_of, 4, sheet.bottom, sheet.width),
        _limits(plot), _dots(plot), _names(plot),
    )  # fmt: skip
    return drawing(sheet.width, sheet.bottom + 48, summary, sheet.variant, *layers)


def _grid(plot: _Plot) -> str:
    sheet, shapes = plot.sheet, []
    for tick in ticks(plot.scale.high, _STEP):
        y, ink = plot.scale.at(tick), "line-ink" if tick == 0 else "line-grid"
        shapes.append(line(sheet.left, y, sheet.width - 2, y, ink))
        shapes.append(words(sheet.left - 10, y + 4.5, f"{tick:.1f}", "text-quiet", "end"))
    return group(*shapes)


def _stairs(plot: _Plot, values: Sequence[float | None]) -> str:
    """A step for each quarter; a quarter without the value is a gap."""
    course, is_open = [], False
    for place, value in enumerate(values):
        if value is None:
            is_open = False
            continue
        y = plot.scale.inside(value)
        left, right = plot.x(place - 0.5), plot.x(place + 0.5)
        course.append(f"{'L' if is_open else 'M'}{left:.1f} {y:.1f}L{right:.1f} {y:.1f}")
        is_open = True
    return "".join(course)


def _limits(plot: _Plot) -> str:
    upper = _stairs(plot, [one.upper["limit"] for one in plot.points])
    lower = _stairs(plot, [one.lower["limit"] if one.lower else None for one in plot.points])
    centre = _stairs(plot, [one.centre for one in plot.points])
    shapes = [path(upper, "line-accent fill-none", 1.25), path(centre, "line-mark fill-none", 1)]
    if lower:
        shapes.append(path(lower, "line-accent fill-none", 1.25))
    if plot.points and (limit := plot.points[0].upper["limit"]) is not None:
        y = plot.scale.inside(limit)
        shapes.append(words(plot.sheet.left + 4, y - 6, "chance stays below", "text-accent halo"))
    centres = [one.centre for one in plot.points if one.centre is not None]
    if centres:
        y = plot.scale.inside(centres[0])
        said = words(plot.sheet.left + 4, y - 5, "expected", "text-quiet halo")
        shapes.append(said)
    return group(*shapes)


def _dots(plot: _Plot) -> str:
    return group(*(_dot(plot, place, one) for place, one in enumerate(plot.points)))


def _dot(plot: _Plot, place: int, one: Point) -> str:
    if one.rate is None:
        return ""
    x, y = plot.x(place), plot.scale.inside(one.rate)
    ink = "line-attention fill-attention" if one.is_out else "line-ink fill-ink"
    shape = circle(x, y, plot.sheet.radius, ink, 1.75)
    ring = circle(x, y, plot.sheet.radius + 5, "line-attention fill-none", 1.75)
    said = f"{one.quarter.replace('-', ' ')}: {one.upper['sentence']}"
    hit = reach(x, y, 24, 24) if one.address else ""
    return group(
        linked(one.address, said, hit, ring if one.is_out else "", shape), title=said,
        class_="datum", data_period=one.quarter, data_value=exact(one.rate),
        data_upper=exact(one.upper["limit"]), data_numerator=exact(one.upper["observed"]),
    )  # fmt: skip


def _names(plot: _Plot) -> str:
    shapes, y = [], plot.sheet.bottom
    for place, one in enumerate(plot.points):
        shapes.append(words(plot.x(place), y + 20, one.quarter[-2:], "", "middle"))
        if one.quarter.endswith("Q1") or (not place and not one.quarter.endswith("Q4")):
            shapes.append(words(plot.x(place), y + 38, one.quarter[:4], "text-quiet", "middle"))
    return group(*shapes)
