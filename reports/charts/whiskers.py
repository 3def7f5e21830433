"""A point with its range, lying or standing: full, open where time is too short, or cut off."""

from __future__ import annotations

from dataclasses import dataclass

from reports.charts.chart import Row, exact
from reports.charts.rate_table import is_open
from reports.charts.scale import Scale
from surveillance.drawing import circle, group, line, linked, path, reach, words

WHISKER, LITTLE_DASH = 1.75, "2 4"


@dataclass(frozen=True)
class Pen:
    """How big points and caps are: less at 390 px."""

    point: float
    cap: float


WIDE, NARROW = Pen(6, 10), Pen(5, 8)


@dataclass(frozen=True)
class _Ink:
    """Classes of one point."""

    stroke: str
    point: str
    dash: str | None


def _ink(row: Row, alarm: bool) -> _Ink:
    if is_open(row):
        return _Ink("line-quiet", "line-quiet fill-paper", LITTLE_DASH)
    name = "attention" if alarm else "ink"
    return _Ink(f"line-{name}", f"line-{name} fill-{name}", None)


def _point(x: float, y: float, pen: Pen, ink: _Ink) -> str:
    radius = pen.point if ink.dash is None else pen.point - 1
    return circle(x, y, radius, ink.point, WHISKER)


def edge_text(row: Row, is_value_out: bool) -> str:
    """What lies over the edge of the scale."""
    limit = f"to {row['upper']:.1f}"
    return f"{row['value']:.1f}, {limit}" if is_value_out else limit


def _held(row: Row, title: str, address: str, *shapes: str) -> str:
    figures = {f"data_{name}": exact(row[name]) for name in _FIGURES}
    names = {f"data_{name}": row[name] for name in ("period", "band")}
    inside = linked(address, title, *shapes)
    return group(inside, title=title, class_="datum", **names, **figures)


_FIGURES = ("numerator", "denominator", "value", "lower", "upper")


def standing(row: Row, x: float, scale: Scale, pen: Pen, title: str, address: str = "") -> str:
    """A range that stands at x; attention only where the target is missed beyond chance."""
    ink = _ink(row, row["verdict"] == "misses")
    low, high, half = scale.inside(row["lower"]), scale.inside(row["upper"]), pen.cap / 2
    shapes = [
        reach(x, (low + high) / 2, 24, max(low - high, 24)) if address else "",
        line(x, low, x, high, ink.stroke, WHISKER, ink.dash),
        line(x - half, low, x + half, low, ink.stroke, WHISKER),
    ]
    out = row["value"] > scale.high
    if row["upper"] <= scale.high:
        shapes.append(line(x - half, high, x + half, high, ink.stroke, WHISKER))
    else:
        arrow = f"M{x - half} {high + 7}L{x} {high}L{x + half} {high + 7}"
        shapes += [
            path(arrow, f"{ink.stroke} fill-none", WHISKER),
            words(x, high - 6, edge_text(row, out), "text-quiet text-small halo", "middle"),
        ]
    if not out:
        shapes.append(_point(x, scale.at(row["value"]), pen, ink))
    return _held(row, title, address, *shapes)


def lying(row: Row, y: float, scale: Scale, pen: Pen, title: str, address: str = "") -> str:
    """A range that lies at y."""
    ink = _ink(row, False)
    low, high, half = scale.inside(row["lower"]), scale.inside(row["upper"]), pen.cap / 2
    shapes = [
        reach((low + high) / 2, y, max(high - low, 24), 24) if address else "",
        line(low, y, high, y, ink.stroke, WHISKER, ink.dash),
        line(low, y - half, low, y + half, ink.stroke, WHISKER),
    ]
    out = row["value"] > scale.high
    if row["upper"] <= scale.high:
        shapes.append(line(high, y - half, high, y + half, ink.stroke, WHISKER))
    else:
        arrow = f"M{high - 7} {y - half}L{high} {y}L{high - 7} {y + half}"
        said = words(high - 12, y - 8, edge_text(row, out), "text-quiet halo", "end")
        shapes += [path(arrow, f"{ink.stroke} fill-none", WHISKER), said]
    if not out:
        shapes.append(_point(scale.at(row["value"]), y, pen, ink))
    return _held(row, title, address, *shapes)
