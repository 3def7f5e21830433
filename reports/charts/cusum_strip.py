"""The sum that adds up what comes too fast, week by week, against its alarm limit."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from reports.charts.chart import Chart, Lead, Row, exact, nowhere
from reports.charts.scale import Scale
from reports.charts.sheet import AxisSheet
from surveillance.drawing import (
    circle,
    drawing,
    group,
    line,
    linked,
    path,
    reach,
    text_width,
    words,
)
from surveillance.signals.alarm import stands_out
from surveillance.words import day_text

WIDE_SHEET = AxisSheet("wide", 1184, 252, 24, 124)
NARROW_SHEET = AxisSheet("narrow", 358, 50, 24, 124)


def cusum_strip(weeks: Sequence[Row], title: str, note: str, lead: Lead = nowhere) -> Chart:
    """`weeks`: signal rows in time order, each with its sum, its limit and its sentence; an alarm
    opens what `lead` says of it."""
    alarms = [row for row in weeks if stands_out(row)]
    told = " ".join(f"Week to {_day(row)}: {row['sentence']}" for row in alarms)
    last = f"Last week: {weeks[-1]['sentence']}" if weeks else "No week is stored."
    summary = f"{told} {last}".strip()
    return Chart(
        name="cusum",
        title=title,
        summary=summary,
        note=note,
        columns=("Week to", "Counted since the sum stood at 0", "Expected", "Sum", "Limit"),
        rows=tuple(
            (row["window_end"], row["observed"], row["expected"], row["statistic"], row["limit"])
            for row in weeks
        ),
        shown_rows=tuple(
            (_day(row), str(row["observed"]), _two(row["expected"]), _two(row["statistic"]),
             _two(row["limit"])) for row in weeks
        ),
        svg=_drawn(weeks, WIDE_SHEET, summary, lead),
        svg_narrow=_drawn(weeks, NARROW_SHEET, summary, lead),
        figure=_figure(weeks),
    )  # fmt: skip


def _two(value: float | None) -> str:
    return "none" if value is None else f"{value:.2f}"


def _day(row: Row) -> str:
    return day_text(date.fromisoformat(row["window_end"]))


def _figure(weeks: Sequence[Row]) -> dict[str, object]:
    days = [row["window_end"] for row in weeks]
    data = [
        {"type": "scatter", "mode": "lines", "name": name, "x": days,
         "y": [row[key] for row in weeks]}
        for name, key in (("Sum", "statistic"), ("Limit", "limit"))
    ]  # fmt: skip
    return {"data": data, "layout": {}}


def _drawn(weeks: Sequence[Row], sheet: AxisSheet, summary: str, lead: Lead) -> str:
    if not weeks:
        return drawing(sheet.width, 20, summary, sheet.variant)
    values = [row[key] for row in weeks for key in ("statistic", "limit") if row[key] is not None]
    first, last = (date.fromisoformat(weeks[place]["window_end"]) for place in (0, -1))
    along = Scale(first.toordinal(), max(last, first + timedelta(days=1)).toordinal(),
                  sheet.left, sheet.width - 8)  # fmt: skip
    up = Scale(0, max(values, default=1.0) * 1.1 or 1.0, sheet.bottom, sheet.top)
    frame = _frame(sheet, along, (first, last))
    layers = (frame, _course(weeks, along, up), _alarms(weeks, along, up, lead))
    return drawing(sheet.width, sheet.bottom + 44, summary, sheet.variant, *layers)


def _x(row: Row, along: Scale) -> float:
    return along.at(date.fromisoformat(row["window_end"]).toordinal())


def _frame(sheet: AxisSheet, along: Scale, span: tuple[date, date]) -> str:
    shapes = [line(sheet.left, sheet.bottom, sheet.width - 8, sheet.bottom, "line-ink")]
    for year in range(span[0].year, span[1].year + 1):
        day = date(year, 1, 1)
        if span[0] <= day <= span[1]:
            x = along.at(day.toordinal())
            shapes.append(line(x, sheet.top, x, sheet.bottom + 6, "line-grid"))
            is_last = x + 4 + text_width(str(year)) > sheet.width  # else it would be cut off
            at, anchor = (x - 4, "end") if is_last else (x + 4, None)
            shapes.append(words(at, sheet.bottom + 20, str(year), "text-quiet", anchor))
    return group(*shapes)


def _course(weeks: Sequence[Row], along: Scale, up: Scale) -> str:
    def course(key: str) -> str:
        held = [row for row in weeks if row[key] is not None]
        return "M" + "L".join(f"{_x(row, along):.1f} {up.inside(row[key]):.1f}" for row in held)

    known = [row["limit"] for row in weeks if row["limit"] is not None]
    y = up.inside(known[0] if known else 0)
    said = words(along.start + 4, y - 6, "alarm", "text-accent halo")
    return group(
        path(course("limit"), "line-accent fill-none", 1.25),
        path(course("statistic"), "line-ink fill-none", 1.75), said if known else "",
        class_="course", data_weeks=str(len(weeks)),
    )  # fmt: skip


def _alarms(weeks: Sequence[Row], along: Scale, up: Scale, lead: Lead) -> str:
    shapes = []
    for row in weeks:
        if stands_out(row):
            x, y = _x(row, along), up.inside(row["statistic"])
            mark = circle(x, y, 6, "line-attention fill-attention", 1.75)
            said = f"Week to {_day(row)}: {row['sentence']}"
            hit = linked(lead(row), said, reach(x, y, 24, 24), mark)
            shapes.append(
                group(hit, title=said, class_="datum",
                      data_period=row["window_end"], data_value=exact(row["statistic"]),
                      data_upper=exact(row["limit"]))
            )  # fmt: skip
    return group(*shapes)
