"""A patient's strip: time from left to right, one thin lane a subject, and its text twin."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from surveillance.drawing import drawing, group, hatch, line, text_width, words
from surveillance.strip.events import LANES, Event, Span, Word
from surveillance.strip.lanes import (
    admission_lane,
    catheter_lane,
    mark_lane,
    pd_lane,
    seen,
    training_lane,
)
from surveillance.strip.sheet import HEAD, NARROW, WIDE, Days
from surveillance.words import day_month_text, day_text

_NAMES = {
    "pd": "PD",
    "catheter": "Catheter",
    "training": "Training",
    "peritonitis": "Peritonitis",
    "catheter_infection": "Exit site, tunnel",
    "contamination": "Contamination",
    "admission": "Admission",
}
_HINTS = {"training": "darker: longer since"}
_SHORT_DAYS = 600
_MARK_LANES = ("peritonitis", "catheter_infection", "contamination")


@dataclass(frozen=True)
class Strip:
    """Two drawings for two widths, and the same events in words, the latest first."""

    summary: str
    svg: str
    svg_narrow: str
    words: tuple[Word, ...]


def strip(
    spans: Sequence[Span], events: Sequence[Event], today: date, since: date | None = None
) -> Strip:
    """Draw what was known by `today`, from `since` on or from the beginning.

    `spans` and `events` come from surveillance.strip.events; later ones are not drawn.
    Proved by tests/surveillance/strip.
    """
    spans = [span for span in spans if span.first <= today]
    events = [event for event in events if event.on <= today]
    first = since or _beginning([*(s.first for s in spans), *(e.on for e in events), today])
    told = _words(spans, events, first, today)
    summary = f"Strip from {day_text(first)} to {day_text(today)}: {len(told)} events, told below."
    wide = _drawn(spans, events, Days(first, today, WIDE), summary)
    narrow = _drawn(spans, events, Days(first, today, NARROW), summary)
    return Strip(summary, wide, narrow, told)


def twelve_months_before(today: date) -> date:
    """Where the view of the last twelve months begins."""
    is_leap_day = (today.month, today.day) == (2, 29)
    return date(today.year - 1, today.month, 28 if is_leap_day else today.day)


def _beginning(days: Sequence[date]) -> date:
    """The first of the month of the earliest day, so that it does not touch the edge."""
    return (min(days) - timedelta(days=14)).replace(day=1)


def _words(
    spans: Sequence[Span], events: Sequence[Event], first: date, today: date
) -> tuple[Word, ...]:
    told = [word for span in spans for word in span.words] + [event.word for event in events]
    held = [word for word in told if first <= word.on <= today]
    return tuple(sorted(held, key=lambda word: word.on, reverse=True))


def _drawn(spans: Sequence[Span], events: Sequence[Event], days: Days, summary: str) -> str:
    of_lane = {name: [span for span in spans if span.lane == name] for name in (*LANES, "pause")}
    marks = {name: [event for event in events if event.lane == name] for name in LANES}
    stop = _last_day(of_lane["pd"], days.today)
    lanes = [
        pd_lane(of_lane["pd"], of_lane["pause"], days),
        catheter_lane(of_lane["catheter"], days),
        training_lane(marks["training"], stop, days),
        *(mark_lane(name, marks[name], days) for name in _MARK_LANES),
        admission_lane(of_lane["admission"], days),
    ]
    back = (hatch(f"hatch-strip-{days.sheet.variant}"), _calendar(days), _rules(days))
    front = (
        _onsets(marks["peritonitis"], days),
        _empty(of_lane, marks, days),
        *lanes,
        _today(days),
    )
    sheet = days.sheet
    return drawing(sheet.width, sheet.bottom + 4, summary, sheet.variant, *back, *front)


def _last_day(spells: Sequence[Span], today: date) -> date:
    """The clock of training runs while PD does."""
    ends = [span.last for span in spells]
    known = [end for end in ends if end is not None]
    return today if len(known) < len(ends) or not known else min(max(known), today)


def _calendar(days: Days) -> str:
    """Lines at years and, where they do not crowd, at quarters."""
    years = (days.today - days.first).days / 365.25
    shapes, day = [], days.first.replace(day=1)
    while day <= days.today:
        is_year = day.month == 1
        if days.first < day and (is_year or (day.month % 3 == 1 and years <= 5)):
            ink = "line-rule" if is_year else "line-grid"
            shapes.append(line(days.x(day), HEAD - 6, days.x(day), days.sheet.bottom, ink))
        day = (day + timedelta(days=32)).replace(day=1)
    return group(*shapes, *_year_names(days))


def _year_names(days: Days) -> list[str]:
    """Each year over its first day; where two would touch, the earlier one stays away."""
    edge = days.end - text_width(_today_text(days)) / 2 - 12
    shapes = []
    for day in reversed(_named_days(days)):
        is_year = day.month == 1 or day == days.first
        x, said = days.x(day), str(day.year) if is_year else day_month_text(day)[-3:]
        if x + 6 + text_width(said) < edge:
            inset = 0 if day == days.first else 5
            shapes.append(words(x + inset, 20, said, "text-strong" if is_year else "text-quiet"))
            edge = x - 6
    return shapes


def _named_days(days: Days) -> list[date]:
    """The first day drawn, then each year's first; in a short view each quarter's too."""
    is_short = (days.today - days.first).days < _SHORT_DAYS
    months = (1, 4, 7, 10) if is_short else (1,)
    years = range(days.first.year, days.today.year + 1)
    starts = [date(year, month, 1) for year in years for month in months]
    return [days.first, *(day for day in starts if days.first < day <= days.today)]


def _rules(days: Days) -> str:
    sheet, shapes = days.sheet, []
    for lane in LANES:
        top = sheet.top(lane)
        shapes.append(line(0, top, sheet.width, top, "line-rule"))
        down = 16 if not sheet.is_wide or lane in _HINTS else 25
        shapes.append(
            words(0, top + down + (8 if sheet.is_wide and lane in _HINTS else 0), _NAMES[lane])
        )
        if lane in _HINTS:
            shapes.append(_hint(days, lane, top))
    return group(*shapes, line(0, sheet.bottom, sheet.width, sheet.bottom, "line-ink"))


def _hint(days: Days, lane: str, top: float) -> str:
    """Ends before the line of today, which is drawn over it."""
    if days.sheet.is_wide:
        return words(0, top + 42, _HINTS[lane], "text-quiet")
    return words(days.end - 6, top + 16, f"{_HINTS[lane]} the latest", "text-quiet halo", "end")


def _onsets(events: Sequence[Event], days: Days) -> str:
    """A dotted line at each onset, so that what came before it reads straight up and down."""
    held = [days.x(event.on) for event in events if days.is_seen(event.on)]
    bottom = days.sheet.bottom
    return group(*(line(x, HEAD, x, bottom, "line-mark", 1, "1.5 3.5") for x in held))


def _empty(of_lane: dict[str, list[Span]], marks: dict[str, list[Event]], days: Days) -> str:
    """An empty lane says so: nothing recorded is not nothing happened."""
    sheet, shapes = days.sheet, []
    for lane in LANES:
        spans = seen(of_lane[lane], days)
        events = [event for event in marks[lane] if days.is_seen(event.on)]
        if not spans and not events and not (lane == "training" and marks[lane]):
            y = sheet.top(lane) + (25 if sheet.is_wide else 40)
            shapes.append(words(sheet.left + 12, y, "none recorded", "text-quiet halo"))
    return group(*shapes)


def _today_text(days: Days) -> str:
    return day_text(days.today) if days.sheet.is_wide else day_month_text(days.today)


def _today(days: Days) -> str:
    x = days.end
    return group(
        line(x, HEAD - 8, x, days.sheet.bottom, "line-attention", 1.5),
        words(days.sheet.right, 20, _today_text(days), "text-attention text-strong", "end"),
        class_="today",
    )  # fmt: skip
