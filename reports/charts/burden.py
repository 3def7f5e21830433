"""Patients by their number of episodes in a year: few of them carry many."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from reports.charts.chart import Chart
from surveillance.drawing import box, drawing, group, line, linked, reach, words


@dataclass(frozen=True)
class Step:
    """Patients with so many episodes, and the episodes that they have together."""

    name: str
    patients: int
    episodes: int


@dataclass(frozen=True)
class Sheet:
    variant: str
    width: float
    left: float
    right: float
    height: float


WIDE_SHEET = Sheet("wide", 1184, 224, 1000, 36)
NARROW_SHEET = Sheet("narrow", 358, 0, 350, 50)
_BAR, _LEAST = 14, 8


def burden(steps: Sequence[Step], title: str, note: str, address: str, leads_to: str) -> Chart:
    """`address`: where all of them are taken apart, '' if the reader may not."""
    spoken = " ".join(f"{_said(one)}." for one in steps)
    summary = f"Patients by episodes in the year. {spoken}"
    return Chart(
        name="burden",
        title=title,
        summary=summary,
        note=note,
        columns=("Episodes in the year", "Patients", "Episodes together"),
        rows=tuple((one.name, one.patients, one.episodes) for one in steps),
        shown_rows=tuple((one.name, str(one.patients), str(one.episodes)) for one in steps),
        svg=_drawn(steps, WIDE_SHEET, summary, address),
        svg_narrow=_drawn(steps, NARROW_SHEET, summary, address),
        figure={
            "data": [{"type": "bar", "x": [one.name for one in steps],
                      "y": [one.patients for one in steps]}], "layout": {},
        },
        leads=tuple(address for _ in steps),
        links=((leads_to, address),) if address and leads_to else (),
    )  # fmt: skip


def _said(one: Step) -> str:
    return f"{one.name}: {one.patients} patients, {one.episodes} episodes"


def _drawn(steps: Sequence[Step], sheet: Sheet, summary: str, address: str) -> str:
    most = max((one.patients for one in steps), default=0)
    pixels = (sheet.right - sheet.left) / max(most, _LEAST)
    shapes = [_row(one, place, sheet, pixels, address) for place, one in enumerate(steps)]
    return drawing(sheet.width, len(steps) * sheet.height + 8, summary, sheet.variant, *shapes)


def _row(one: Step, place: int, sheet: Sheet, pixels: float, address: str) -> str:
    is_wide = sheet.variant == "wide"
    top = place * sheet.height
    y = top + (10 if is_wide else 24)
    long = one.patients * pixels
    told = f"{one.patients} patients, {one.episodes} episodes"
    at = (sheet.width, "end")
    shapes = [
        reach((sheet.left + sheet.right) / 2, y + 7, sheet.right - sheet.left, 24),
        line(sheet.left, y - 3, sheet.left, y + _BAR + 3, "line-mark"),
        box(sheet.left, y, long, _BAR, "fill-data-1") if one.patients else "",
    ]
    said = [
        words(0, y + 11 if is_wide else top + 16, one.name),
        words(at[0], y + 11 if is_wide else top + 16, told, "text-quiet", at[1]),
    ]
    return group(
        linked(address, _said(one), *shapes), *said, title=_said(one), class_="datum",
        data_band=one.name, data_now=str(one.patients), data_episodes=str(one.episodes),
    )  # fmt: skip
