"""One figure drawn against its line: better left, worse right, the line in the middle."""

from __future__ import annotations

import math
from dataclasses import dataclass

from reports.charts.chart import Row, exact
from reports.charts.scale import Scale
from reports.charts.whiskers import LITTLE_DASH, WHISKER
from reports.rate_report.number_text import is_little_time, percent_text, rate_text
from surveillance.drawing import circle, drawing, group, line, path, text_width, words

EDGE = 4.5  # the scale runs from 1/4.5 to 4.5 times the line, in logarithms
WIDTH, HEIGHT = 312, 64
_INK, _Y, _CAP, _POINT = "line-ink", 44, 10, 6
_SCALE = Scale(-math.log(EDGE), math.log(EDGE), 6, WIDTH - 6)
WANTED_HIGH = frozenset(("peritonitis_free_share",))


@dataclass(frozen=True)
class VerdictStrip:
    """The drawing and its words; no drawing where there is no line or no figure."""

    summary: str
    svg: str


@dataclass(frozen=True)
class _Places:
    """Times the line: how many times as bad the figure and its limits are."""

    low: float
    value: float
    high: float


def verdict_strip(row: Row, line_at: float | None = None, label: str = "") -> VerdictStrip:
    """`row`: a measure row; `line_at` and `label` replace its target (as in the year before)."""
    goal = row["target"] if line_at is None else line_at
    if goal is None or not row["denominator"] or row["lower"] is None or not _room(row, goal):
        return VerdictStrip("", "")
    said = label or f"target {_shown(row, goal)}"
    summary = _summary(row, said)
    datum = _datum(row, goal, said, summary)
    return VerdictStrip(summary, drawing(WIDTH, HEIGHT, summary, "both", datum))


def _datum(row: Row, goal: float, said: str, summary: str) -> str:
    shapes = _line(said) + _range(row, _places(row, goal))
    held = {f"data_{name}": exact(row[name]) for name in ("value", "lower", "upper")}
    return group(shapes, title=summary, class_="datum", data_line=str(goal), **held)


def strip_shapes(row: Row) -> str:
    """The same inside another drawing; nothing where there is no line or no figure."""
    if row["target"] is None or not row["denominator"] or row["lower"] is None:
        return ""
    said = f"target {_shown(row, row['target'])}"
    return _datum(row, row["target"], said, _summary(row, said))


def verdict_scale() -> str:
    """The words over a column of strips."""
    marks = ((-math.log(EDGE), "better", "start"), (-math.log(2), "half", "middle"),
             (math.log(2), "twice", "middle"), (math.log(EDGE), "worse", "end"))  # fmt: skip
    said = [
        words(_SCALE.at(place), 16, name, "text-quiet", anchor) for place, name, anchor in marks
    ]
    middle = words(_SCALE.at(0), 16, "the line", "text-accent", "middle")
    return drawing(WIDTH, 24, "Scale: better left, worse right of the line", "both", *said, middle)


def _room(row: Row, goal: float) -> bool:
    return 0 < goal < 1 if row["measure"] in WANTED_HIGH else goal > 0


def _places(row: Row, goal: float) -> _Places:
    """A share that is wanted high is drawn by its complement."""
    if row["measure"] in WANTED_HIGH:
        rest = 1 - goal
        values = (1 - row["upper"], 1 - row["value"], 1 - row["lower"])
        return _Places(*(value / rest for value in values))
    return _Places(row["lower"] / goal, row["value"] / goal, row["upper"] / goal)


def _at(times: float) -> float:
    return _SCALE.inside(math.log(times)) if times > 0 else _SCALE.start


def _line(said: str) -> str:
    middle = _SCALE.at(0)
    shapes = [
        line(_SCALE.at(place), 0, _SCALE.at(place), HEIGHT, "line-grid strip-line")
        for place in (-math.log(2), math.log(2))
    ]
    shapes.append(line(middle, 0, middle, HEIGHT, "line-accent strip-line", 1.25, "6 4"))
    if middle + 7 + text_width(said) > WIDTH:  # a long label may stand over the line, never off it
        return "".join(shapes) + words(WIDTH, 24, said, "text-accent halo", "end")
    return "".join(shapes) + words(middle + 7, 24, said, "text-accent halo")


def _range(row: Row, places: _Places) -> str:
    is_little = row["denominator_unit"] == "patient_days" and is_little_time(row["denominator"])
    ink, dash = ("line-quiet", LITTLE_DASH) if is_little else (_INK, None)
    left, right = _at(places.low), _at(places.high)
    ends = _end(left, places.low, ink) + _end(right, places.high, ink)
    rule = line(left, _Y, right, _Y, ink, WHISKER, dash)
    return rule + ends + _point(places.value, is_little)


def _is_out(times: float) -> bool:
    return not 1 / EDGE <= times <= EDGE


def _end(x: float, times: float, ink: str) -> str:
    """A cap, or an arrow where the range goes on over the edge."""
    if not _is_out(times):
        return line(x, _Y - _CAP / 2, x, _Y + _CAP / 2, ink, WHISKER)
    back = 7 if times < 1 else -7
    course = f"M{x + back:.1f} {_Y - 5}L{x:.1f} {_Y}L{x + back:.1f} {_Y + 5}"
    return path(course, f"{ink} fill-none", WHISKER)


def _point(times: float, is_little: bool) -> str:
    if _is_out(times):
        return ""
    ink = "line-quiet fill-paper" if is_little else "line-ink fill-ink"
    return circle(_at(times), _Y, _POINT - 1 if is_little else _POINT, ink, WHISKER)


def _shown(row: Row, value: float) -> str:
    is_rate = row["denominator_unit"] == "patient_days"
    return rate_text(value) if is_rate else percent_text(value)


def _summary(row: Row, said: str) -> str:
    value, low, high = (_shown(row, row[name]) for name in ("value", "lower", "upper"))
    return f"{value}, range {low} to {high}, against {said}."
