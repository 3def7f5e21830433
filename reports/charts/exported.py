"""A picture that leaves the page: with its finding, range, time at risk, rules and freeze date."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from django.contrib.staticfiles import finders
from django.template.loader import render_to_string

from reports.charts.chart import Chart
from surveillance.drawing import element, line, text_width, words

FONTS = 'Roboto, "Segoe UI", system-ui, sans-serif'
_WIDTH, _EDGE, _TITLE_SIZE, _LINE = 1184, 32, 20, 19


@dataclass(frozen=True)
class Frame:
    """What stands in every exported picture."""

    clinic: str
    period: str
    at_risk: str  # patient-years of the period
    definition: str
    frozen: str
    state: str

    @property
    def lines(self) -> tuple[str, str]:
        return (
            f"{self.clinic}, {self.period}; {self.at_risk}; ranges are exact, 95 %.",
            f"{self.definition}; frozen {self.frozen}; {self.state}.",
        )


def exported_svg(chart: Chart, frame: Frame) -> str:
    """The wide drawing as a file of its own: its colours inside, no link, no script."""
    inner = _unlinked(chart.svg)
    tall = float(re.search(r'viewBox="0 0 [\d.]+ ([\d.]+)"', inner)[1])  # type: ignore[index]
    heads, notes = _wrapped(chart.title, _TITLE_SIZE), _wrapped(chart.note, 13)
    y, shapes = _EDGE, []
    for said in heads:
        y += 26
        shapes.append(words(_EDGE, y, said, "export-title"))
    for said in notes:
        y += _LINE
        shapes.append(words(_EDGE, y, said, "text-quiet"))
    top = y + 24
    shapes.append(_placed(inner, top, tall))
    y = top + tall + 20
    shapes.append(line(_EDGE, y, _EDGE + _WIDTH, y, "line-ink"))
    for said in (part for text in frame.lines for part in _wrapped(text, 13)):
        y += _LINE
        shapes.append(words(_EDGE, y, said, "text-quiet"))
    return _document(chart, y + 24, shapes)


def _document(chart: Chart, height: float, shapes: list[str]) -> str:
    width = _WIDTH + 2 * _EDGE
    paper = element("rect", width=width, height=height, class_="fill-paper")
    return element(
        "svg", element("title", _plain(chart.title)), element("desc", _plain(chart.summary)),
        element("style", _inks()), _symbols(chart.svg), paper, *shapes,
        xmlns="http://www.w3.org/2000/svg", class_="drawing", width=width, height=height,
        viewBox=f"0 0 {width} {height:.0f}", role="img",
    )  # fmt: skip


def _plain(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;")


def _unlinked(svg: str) -> str:
    """Without links and without the unseen boxes that made them easy to hit."""
    return re.sub(r'</?a\b[^>]*>|<(?:rect|circle)[^>]*class="reach"[^>]*/>', "", svg)


def _placed(svg: str, top: float, tall: float) -> str:
    """The drawing inside the frame, at its own size."""
    place = (
        f'<svg x="{_EDGE}" y="{top:.0f}" width="{_WIDTH}" height="{tall:.0f}" overflow="visible"'
    )
    inside = re.sub(r' (?:class="drawing[^"]*"|role="[a-z]+"|aria-label="[^"]*")', "",
                    svg.split(">", 1)[0])  # fmt: skip
    return f"{place}{inside.removeprefix('<svg')}>{svg.split('>', 1)[1]}"


def _wrapped(text: str, size: float) -> list[str]:
    """The words on lines that the picture's width holds."""
    lines: list[str] = []
    for word in text.split():
        if lines and text_width(f"{lines[-1]} {word}", size) <= _WIDTH:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


def _symbols(svg: str) -> str:
    """The marks that the drawing uses."""
    names = set(re.findall(r'href="#(mark-[a-z_-]+)"', svg))
    found = re.findall(r'<symbol id="([^"]+)".*?</symbol>', _marks(), flags=re.S)
    held = re.findall(r"<symbol .*?</symbol>", _marks(), flags=re.S)
    return "".join(one for name, one in zip(found, held, strict=True) if name in names)


@cache
def _marks() -> str:
    return render_to_string("clinic/marks.html")


@cache
def _inks() -> str:
    """The page's own sheet of inks with its light colours put in: a picture knows no theme."""
    light = re.search(r":root \{(.*?)\}", _sheet("tokens"), flags=re.S)
    colours = dict(re.findall(r"(--[\w-]+): ([^;]+);", light[1] if light else ""))
    rules = _sheet("charts").split("@media")[0] + _MARKS
    said = re.sub(r"var\((--[\w-]+)\)", lambda found: colours.get(found[1], ""), rules)
    said = re.sub(r"font-family: [^;]+;", f"font-family: {FONTS};", said)
    return re.sub(r"/\*.*?\*/", "", said, flags=re.S)


_MARKS = """
.mark-paper { fill: var(--paper); }
.drawing .export-title { font-size: 20px; }
.mark-in { color: var(--ink); }
"""


def _sheet(name: str) -> str:
    found = finders.find(f"clinic/{name}.css")
    return Path(str(found)).read_text(encoding="utf-8")
