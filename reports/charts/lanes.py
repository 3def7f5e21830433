"""Episodes on lanes by organism group, months along: two near each other may be no chance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from reports.charts.bracket import bracket
from reports.charts.chart import Chart
from reports.charts.margin_name import margin_name
from reports.charts.scale import Scale
from surveillance.drawing import drawing, group, line, linked, mark, reach, text_width, words


@dataclass(frozen=True)
class Onset:
    """One episode on its lane; `says` names its month where days are not to be seen."""

    on: date
    mark: str
    says: str


@dataclass(frozen=True)
class Window:
    """A stretch of days that stands out, or was looked at."""

    first: date
    last: date
    says: str


@dataclass(frozen=True)
class Lane:
    """One group of organisms; `address` opens its episodes."""

    name: str
    onsets: tuple[Onset, ...]
    windows: tuple[Window, ...] = ()
    address: str = ""


@dataclass(frozen=True)
class Sheet:
    variant: str
    width: float
    left: float
    lane: float
    name_above: bool
    mark: float


WIDE_SHEET = Sheet("wide", 1184, 224, 44, False, 16)
NARROW_SHEET = Sheet("narrow", 358, 4, 62, True, 14)
_HEAD = 28


def lanes(held: Sequence[Lane], span: tuple[date, date], title: str, note: str) -> Chart:
    """`span`: first day, and the day after the last."""
    summary = _summary(held)
    return Chart(
        name="lanes",
        title=title,
        summary=summary,
        note=note,
        columns=("Organisms", "Episodes", "When"),
        rows=tuple((one.name, len(one.onsets), _when(one)) for one in held),
        shown_rows=tuple((one.name, str(len(one.onsets)), _when(one)) for one in held),
        svg=_drawn(held, span, WIDE_SHEET, summary),
        svg_narrow=_drawn(held, span, NARROW_SHEET, summary),
        figure=_figure(held),
        leads=tuple(one.address for one in held),
    )


def _when(one: Lane) -> str:
    return "; ".join(onset.says for onset in one.onsets)


def _summary(held: Sequence[Lane]) -> str:
    told = " ".join(f"{one.name}: {_when(one)}." for one in held)
    return f"Episodes by organism group. {told}" if held else "No episode in these months."


def _figure(held: Sequence[Lane]) -> dict[str, object]:
    data = [
        {"type": "scatter", "mode": "markers", "name": one.name,
         "x": [onset.on.isoformat() for onset in one.onsets],
         "y": [one.name for _ in one.onsets]} for one in held
    ]  # fmt: skip
    return {"data": data, "layout": {}}


def _drawn(held: Sequence[Lane], span: tuple[date, date], sheet: Sheet, summary: str) -> str:
    scale = Scale(span[0].toordinal(), span[1].toordinal(), sheet.left, sheet.width - 8)
    bottom = _HEAD + len(held) * sheet.lane
    shapes = [_months(span, scale, sheet, bottom)]
    for place, one in enumerate(held):
        shapes.append(_lane(one, _HEAD + (place + 1) * sheet.lane, scale, sheet))
    return drawing(sheet.width, bottom + 8, summary, sheet.variant, *shapes)


def _months(span: tuple[date, date], scale: Scale, sheet: Sheet, bottom: float) -> str:
    shapes, day = [], span[0]
    every = 3 if sheet.name_above else 1
    while day < span[1]:
        x = scale.at(day.toordinal())
        shapes.append(line(x, 22, x, bottom, "line-grid"))
        if (day.month - 1) % every == 0:
            year = f" {day.year}" if day.month == 1 or day == span[0] else ""
            shapes.append(words(x + 2, 14, f"{day:%b}{year}", "text-quiet"))
        day = (day.replace(day=1) + timedelta(days=32)).replace(day=1)
    return group(*shapes)


def _lane(one: Lane, y: float, scale: Scale, sheet: Sheet) -> str:
    middle = y - 16
    shapes = [line(0, y, sheet.width, y, "line-grid")]
    shapes += _name(one.name, y, sheet)
    shapes.append(line(sheet.left, middle, sheet.width - 8, middle, "line-rule"))
    shapes += [_window(window, middle, scale, sheet) for window in one.windows]
    marks = [
        _onset(onset, middle + down, scale, sheet)
        for onset, down in zip(one.onsets, _apart(one.onsets, scale, sheet), strict=True)
    ]
    said = f"{one.name}: {_when(one)}"
    box = reach((sheet.left + sheet.width) / 2, middle, sheet.width - sheet.left, 26)
    inside = linked(one.address, said, box if one.address else "", *marks)
    return group(*shapes, inside, title=said, class_="datum", data_band=one.name,
                 data_now=str(len(one.onsets)))  # fmt: skip


def _name(name: str, y: float, sheet: Sheet) -> list[str]:
    return [words(0, y - 40, name)] if sheet.name_above else margin_name(name, y - 16)


def _apart(onsets: Sequence[Onset], scale: Scale, sheet: Sheet) -> list[float]:
    """Near marks step off the line by turns, so that each is seen."""
    found: list[float] = []
    last = float("-inf")
    for onset in onsets:
        x = scale.inside(onset.on.toordinal())
        near = x - last < sheet.mark + 2
        found.append(-found[-1] if near and found[-1] else (sheet.mark * 0.55 if near else 0.0))
        last = x
    return found


def _onset(onset: Onset, y: float, scale: Scale, sheet: Sheet) -> str:
    x = scale.inside(onset.on.toordinal())
    gap = line(x - sheet.mark / 2 - 1, y, x + sheet.mark / 2 + 1, y, "line-paper", 4)
    return group(gap, mark(onset.mark, x, y, sheet.mark), title=onset.says)


def _window(window: Window, y: float, scale: Scale, sheet: Sheet) -> str:
    x1, x2 = scale.inside(window.first.toordinal()), scale.inside(window.last.toordinal() + 1)
    top = y - 15
    room = text_width("beyond chance") + 10
    is_left = x2 + room > sheet.width
    at = (x1 - 8, "end") if is_left else (x2 + 8, None)
    return group(
        *bracket(x1, x2, top, 1.5),
        words(at[0], top + 4, "beyond chance", "text-attention halo", at[1]),
        title=window.says, class_="window", data_first=window.first.isoformat(),
        data_last=window.last.isoformat(),
    )  # fmt: skip
