"""How each lane of the strip is drawn."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from surveillance.drawing import box, group, line, mark, path, text_width, words
from surveillance.strip.clock import shades, waits
from surveillance.strip.events import Event, Span, Word
from surveillance.strip.places import above, beside, spread
from surveillance.strip.sheet import Days

_DAY = timedelta(days=1)


def title(word: Word) -> str:
    parts = (f"{word.day}:", word.title, word.species, word.text)
    return " ".join(part for part in parts if part)


def _stop(span: Span, days: Days) -> date:
    """The day after the last; a span that goes on is drawn to today."""
    return days.today if span.last is None else min(span.last + _DAY, days.today)


def seen(spans: Sequence[Span], days: Days) -> list[Span]:
    held = [one for one in spans if one.first <= days.today]
    return [one for one in held if one.last is None or one.last >= days.first]


def pd_lane(spells: Sequence[Span], pauses: Sequence[Span], days: Days) -> str:
    """Boxes of PD, hatched where a pause stops the time at risk; names on top of both."""
    top = days.sheet.top("pd") + days.sheet.down + 12
    hatched = f"url(#hatch-strip-{days.sheet.variant})"
    shapes = [
        group(_pd_box(_edges(span, days), top, "fill-wash line-ink"), title=title(span.words[0]))
        for span in seen(spells, days)
    ]
    held = [(span, _edges(span, days)) for span in seen(pauses, days)]
    for span, (x1, x2) in held:
        under = box(x1, top - 1, max(x2 - x1, 2), 20, "fill-paper")
        shape = _pd_box((x1, x2), top, "line-ink", hatched)
        shapes.append(group(under, shape, title=title(span.words[0])))
    gaps = [edges for _, edges in held]
    for span in seen(spells, days):
        shapes.append(_pd_name(span.short, _edges(span, days), gaps, top))
    return group(*shapes, class_="lane", data_lane="pd")


def _edges(span: Span, days: Days) -> tuple[float, float]:
    return days.x(span.first), days.x(_stop(span, days))


def _pd_box(edges: tuple[float, float], top: float, ink: str, fill: str | None = None) -> str:
    return box(edges[0], top, max(edges[1] - edges[0], 2), 18, ink, 1.25, fill)


def _pd_name(
    said: str, edges: tuple[float, float], gaps: Sequence[tuple[float, float]], top: float
) -> str:
    """The name in its box, past a pause that begins with it; nothing where it has no room."""
    x, wide = edges[0], text_width(said) + 8
    for start, end in sorted(gaps):
        if start < x + wide and end > x:
            x = end
    return words(x + 8, top + 13.5, said, "text-strong") if x + wide + 6 < edges[1] else ""


def catheter_lane(spans: Sequence[Span], days: Days) -> str:
    y = days.sheet.top("catheter") + days.sheet.down + 26
    held = seen(sorted(spans, key=lambda one: one.first), days)
    starts = [days.x(span.first) for span in held]
    shapes = []
    for index, span in enumerate(held):
        x1, x2 = starts[index], days.x(days.today if span.last is None else span.last)
        parts = [line(x1, y, x2, y, "line-ink", 2.5), line(x1, y - 7, x1, y + 7, "line-ink", 1.75)]
        if span.last is not None and span.last <= days.today:
            cross = f"M{x2 - 5:.1f} {y - 5}l10 10M{x2 + 5:.1f} {y - 5}l-10 10"
            parts.append(path(cross, "line-ink fill-none", 1.75))
        room = (starts[index + 1] if index + 1 < len(held) else days.sheet.right) - x1
        parts.append(_catheter_words(span, x1 + 6, y - 9, room - 8, days.sheet.text))
        shapes.append(group(*parts, title=title(span.words[0])))
    return group(*shapes, class_="lane", data_lane="catheter")


def _catheter_words(span: Span, x: float, y: float, room: float, size: float) -> str:
    """The whole label, its first word, or nothing, as there is room."""
    for said in (span.short, span.short.split(",")[0]):
        if text_width(said, size) <= room:
            return words(x, y, said, "text-quiet halo")
    return ""


def training_lane(pins: Sequence[Event], stop: date, days: Days) -> str:
    """Pins on a band that darkens with the time since the latest training."""
    foot = days.sheet.top("training") + days.sheet.heights[2] - 10
    trained = [pin.on for pin in pins]
    shapes = [_shading(trained, stop, foot, days)]
    held = [pin for pin in sorted(pins, key=lambda one: one.on) if days.is_seen(pin.on)]
    places = spread([days.x(pin.on) for pin in held], 12, days.sheet.left + 5, days.sheet.right - 5)
    for pin, x in zip(held, places, strict=True):
        stem = line(x, foot - 24, x, foot, "line-ink", 1.5)
        head = mark(pin.mark, x, foot - 22, days.sheet.mark)
        shapes.append(group(stem, head, title=title(pin.word), class_="event", data_on=str(pin.on)))
    return group(*shapes, class_="lane", data_lane="training")


def _shading(trained: Sequence[date], stop: date, foot: float, days: Days) -> str:
    shapes = []
    for shade in shades(trained, stop):
        x1, x2 = days.x(shade.first), days.x(shade.stop)
        if x2 > x1:
            shapes.append(box(x1, foot - 9, x2 - x1, 9, f"fill-since-{shade.step}"))
    if trained and min(trained) < stop:
        shapes.append(line(days.x(min(trained)), foot, days.x(stop), foot, "line-ink", 1.25))
    for wait in waits(trained, stop):
        x1, x2 = days.x(wait.first), days.x(wait.stop)
        for said in (f"{wait.days} days without training", f"{wait.days} days"):
            if text_width(said, days.sheet.text) + 24 < x2 - x1:
                shapes.append(words((x1 + x2) / 2, foot - 15, said, "halo", "middle"))
                break
    return group(*shapes)


def mark_lane(lane: str, events: Sequence[Event], days: Days) -> str:
    """Marks with a label beside and, where there is room, one above."""
    sheet = days.sheet
    held = [event for event in sorted(events, key=lambda one: one.on) if days.is_seen(event.on)]
    has_over = lane == "peritonitis" and sheet.is_wide
    down = 39 if has_over else (sheet.heights[3] - 20 if lane == "peritonitis" else sheet.down + 21)
    y, half = sheet.top(lane) + down, sheet.mark / 2
    low, high = sheet.left + half, sheet.right - half
    places = spread([days.x(event.on) for event in held], sheet.mark + 3, low, high)
    shapes = [
        group(mark(event.mark, x, y, sheet.mark), title=title(event.word), class_="event",
              data_on=str(event.on), data_mark=event.mark)
        for event, x in zip(held, places, strict=True)
    ]  # fmt: skip
    told = [event.short for event in held]
    for label in beside(places, told, half, sheet.left, days.end - 4, sheet.text):
        shapes.append(words(label.x, y + 4.5, label.said, "text-quiet halo", label.anchor))
    if has_over:
        names = [event.over for event in held]
        for label in above(places, names, sheet.left, sheet.right, sheet.text):
            shapes.append(words(label.x, y - 16, label.said, "text-species halo", label.anchor))
    return group(*shapes, class_="lane", data_lane=lane)


def admission_lane(spans: Sequence[Span], days: Days) -> str:
    sheet = days.sheet
    y = sheet.top("admission") + sheet.down + 10
    held = seen(sorted(spans, key=lambda one: one.first), days)
    middles, shapes = [], []
    for span in held:
        x1, x2 = days.x(span.first), days.x(_stop(span, days))
        wide = max(x2 - x1, 4)
        middles.append(x1 + wide / 2)
        shape = box(x1, y, wide, 16, "fill-ink")
        shapes.append(
            group(shape, title=title(span.words[0]), class_="event", data_on=str(span.first))
        )
    told = [_nights(span.short, sheet.is_wide) for span in held]
    for label in beside(middles, told, 5, sheet.left, days.end - 4, sheet.text):
        shapes.append(words(label.x, y + 12.5, label.said, "text-quiet halo", label.anchor))
    return group(*shapes, class_="lane", data_lane="admission")


def _nights(nights: str, is_wide: bool) -> str:
    if not nights:
        return "still in" if is_wide else ""
    return f"{nights} {'night' if nights == '1' else 'nights'}" if is_wide else nights
