"""Counted episodes by family of organisms and quarter: water organisms apart from the gut's."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from reports.charts.chart import Chart
from reports.charts.margin_name import margin_name
from surveillance.drawing import box, drawing, group, line, linked, words

WATER = ("pseudomonas", "acinetobacter", "stenotrophomonas")
FAMILIES: dict[str, tuple[str, ...]] = {
    "Gram-positive": (
        "coagulase_negative_staphylococcus", "staphylococcus_aureus", "streptococcus",
        "enterococcus", "corynebacterium", "other_gram_positive",
    ),
    "Gram-negative of the gut": (
        "escherichia_coli", "other_enterobacterales", "other_gram_negative", "anaerobe",
    ),
    "Water organisms": WATER,
    "Fungi and mycobacteria": ("fungal", "mycobacterial"),
    "Several or other": ("polymicrobial", "other_organism"),
    "Culture-negative": ("culture_negative",),
    "Not cultured or not back": ("not_cultured", "culture_pending"),
}  # fmt: skip


@dataclass(frozen=True)
class Lane:
    """One family: its count in each quarter, and where each count leads."""

    name: str
    counts: tuple[int, ...]
    addresses: tuple[str, ...]


@dataclass(frozen=True)
class Sheet:
    variant: str
    width: float
    left: float
    most: int
    lane: float
    name_above: bool


WIDE_SHEET = Sheet("wide", 1184, 224, 16, 48, False)
NARROW_SHEET = Sheet("narrow", 358, 4, 8, 62, True)
_TALL, _FOOT = 26, 44


def families(lanes: Sequence[Lane], quarters: Sequence[str], title: str, note: str) -> Chart:
    """`quarters`: in time order, the one asked for last."""
    summary = _summary(lanes, quarters)
    total = [sum(lane.counts[place] for lane in lanes) for place in range(len(quarters))]
    return Chart(
        name="families",
        title=title,
        summary=summary,
        note=note,
        columns=("Quarter", *(lane.name for lane in lanes), "All"),
        rows=tuple(
            (quarter, *(lane.counts[place] for lane in lanes), total[place])
            for place, quarter in enumerate(quarters)
        ),
        shown_rows=tuple(
            (quarter.replace("-", " "), *(str(lane.counts[place]) for lane in lanes),
             str(total[place])) for place, quarter in enumerate(quarters)
        ),
        svg=_drawn(lanes, quarters, WIDE_SHEET, summary),
        svg_narrow=_drawn(lanes, quarters, NARROW_SHEET, summary),
        figure=_figure(lanes, quarters),
    )  # fmt: skip


def _figure(lanes: Sequence[Lane], quarters: Sequence[str]) -> dict[str, object]:
    data = [
        {"type": "bar", "name": lane.name, "x": list(quarters), "y": list(lane.counts)}
        for lane in lanes
    ]
    return {"data": data, "layout": {"barmode": "stack"}}


def _summary(lanes: Sequence[Lane], quarters: Sequence[str]) -> str:
    told = []
    for lane in lanes:
        some = [
            f"{count} in {quarter.replace('-', ' ')}"
            for count, quarter in zip(lane.counts, quarters, strict=True) if count
        ]  # fmt: skip
        told.append(f"{lane.name}: {', '.join(some) or 'none'}.")
    return f"Counted episodes by quarter. {' '.join(told)}"


def _drawn(lanes: Sequence[Lane], quarters: Sequence[str], sheet: Sheet, summary: str) -> str:
    first = max(0, len(quarters) - sheet.most)
    shown = list(quarters)[first:]
    step = (sheet.width - sheet.left) / max(len(shown), 1)
    most = max((max(lane.counts, default=0) for lane in lanes), default=0)
    pixels = _TALL / max(most, 4)
    shapes = [
        _lane(lane, first, sheet, step, pixels, (place + 1) * sheet.lane)
        for place, lane in enumerate(lanes)
    ]
    bottom = len(lanes) * sheet.lane
    foot = [_quarter(quarter, sheet.left + step * (place + 0.5), bottom)
            for place, quarter in enumerate(shown)]  # fmt: skip
    return drawing(sheet.width, bottom + _FOOT, summary, sheet.variant, *shapes, *foot)


def _quarter(quarter: str, x: float, y: float) -> str:
    year = words(x, y + 38, quarter[:4], "text-quiet", "middle") if quarter[-1] in "1" else ""
    return words(x, y + 20, quarter[-2:], "", "middle") + year


def _lane(lane: Lane, first: int, sheet: Sheet, step: float, pixels: float, y: float) -> str:
    shapes = [line(sheet.left, y, sheet.width, y, "line-rule")]
    if sheet.name_above:
        shapes.append(words(0, y - _TALL - 16, lane.name))
    else:
        shapes += margin_name(lane.name, y - 14)
    for place, count in enumerate(lane.counts[first:]):
        if count:
            x = sheet.left + step * (place + 0.5)
            shapes.append(_bar(lane, first + place, count, x, y, pixels))
    return group(*shapes, class_="lane", data_band=lane.name)


def _bar(lane: Lane, place: int, count: int, x: float, y: float, pixels: float) -> str:
    tall = count * pixels
    fill = "fill-ink" if lane.name == "Water organisms" else "fill-mark"
    bar = box(x - 7, y - tall, 14, tall, fill)
    said = f"{lane.name}: {count}"
    number = words(x, y - tall - 4, str(count), "text-strong", "middle")
    reach = box(x - 12, y - 40, 24, 40, "reach") if lane.addresses[place] else ""
    return group(
        linked(lane.addresses[place], said, reach, bar, number),
        title=said, class_="datum", data_band=lane.name, data_place=str(place), data_now=str(count),
    )  # fmt: skip
