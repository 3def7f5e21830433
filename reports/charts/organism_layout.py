"""How organism classes stand on paper: a broad bar, a thin line for the year before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from surveillance.drawing import box, drawing, group, hatch, line, linked, reach, text_width, words

POSITIVE = frozenset(
    ("coagulase_negative_staphylococcus", "staphylococcus_aureus", "streptococcus",
     "enterococcus", "corynebacterium", "other_gram_positive")
)  # fmt: skip
NEGATIVE = frozenset(
    ("escherichia_coli", "other_enterobacterales", "pseudomonas", "acinetobacter",
     "stenotrophomonas", "other_gram_negative")
)  # fmt: skip
_SPECIES = frozenset(
    ("staphylococcus_aureus", "escherichia_coli", "pseudomonas", "acinetobacter",
     "stenotrophomonas")
)  # fmt: skip
_LAST = ("culture_negative", "culture_pending", "not_cultured")
_LEAST_SCALE = 8  # episodes: so that two bars of one do not fill the sheet


@dataclass(frozen=True)
class Bar:
    """One class with its counts; `before` is empty if that year is not stored."""

    group: str
    name: str
    now: int
    before: int | None
    address: str = ""


@dataclass(frozen=True)
class Sheet:
    """Places on paper of one variant."""

    variant: str
    width: float
    left: float
    right: float
    top: float
    row_height: float
    bar_down: float  # from the row's top to the bar's


WIDE_SHEET = Sheet("wide", 1184, 268, 1060, 24, 36, 10)
NARROW_SHEET = Sheet("narrow", 358, 0, 354, 4, 50, 22)
_BAR, _THIN, _RULE = 14, 3, 14


@dataclass(frozen=True)
class _Plot:
    sheet: Sheet
    pixels: float  # one episode

    @property
    def is_wide(self) -> bool:
        return self.sheet.variant == "wide"


def drawn(bars: Sequence[Bar], heads: tuple[str, str], sheet: Sheet, summary: str) -> str:
    most = max((max(bar.now, bar.before or 0) for bar in bars), default=0)
    plot = _Plot(sheet, (sheet.right - sheet.left) / max(most, _LEAST_SCALE))
    shapes, y, is_last = [], sheet.top, False
    for bar in bars:
        if bar.group in _LAST and not is_last:
            is_last, y = True, y + _RULE
            shapes.append(line(0, y - _RULE / 2, sheet.width, y - _RULE / 2, "line-rule"))
        shapes.append(_row(plot, bar, heads, y))
        y += sheet.row_height
    pattern = hatch(f"hatch-organisms-{sheet.variant}")
    return drawing(
        sheet.width, y + 4, summary, sheet.variant, pattern, _heads(plot, heads), *shapes
    )


def _heads(plot: _Plot, heads: tuple[str, str]) -> str:
    if not plot.is_wide:
        return ""
    now, before = heads
    return words(1100, 14, now, "text-strong", "end") + words(1184, 14, before, "text-quiet", "end")


def _row(plot: _Plot, bar: Bar, heads: tuple[str, str], top: float) -> str:
    y, left = top + plot.sheet.bar_down, plot.sheet.left
    shapes = [line(left, y - 3, left, y + _BAR + _THIN + 1, "line-mark")]
    if bar.before:
        shapes.append(box(left, y + _BAR + 1, bar.before * plot.pixels, _THIN, "fill-mark"))
    if bar.now:
        shapes.append(_bar(plot, bar, y))
    told = "" if bar.before is None else f", {bar.before} the year before"
    said = f"{bar.name}: {bar.now}{told}"
    sheet = plot.sheet
    if bar.address:
        middle = (left + sheet.width) / 2, y + _BAR / 2
        shapes.insert(0, reach(*middle, sheet.width - left, max(24, sheet.row_height - 8)))
    return group(
        linked(bar.address, said, *shapes), *_words(plot, bar, heads, top), title=said,
        class_="datum", data_band=bar.group, data_now=str(bar.now),
        data_before=None if bar.before is None else str(bar.before),
    )  # fmt: skip


def _bar(plot: _Plot, bar: Bar, y: float) -> str:
    left, long = plot.sheet.left, bar.now * plot.pixels
    if bar.group == "culture_negative":
        fill = f"url(#hatch-organisms-{plot.sheet.variant})"
        return box(left, y, long, _BAR, "line-ink", 1.25, fill)
    if bar.group in _LAST:
        return box(left, y, long, _BAR, "line-ink fill-paper", 1.25)
    whole = box(left, y, long, _BAR, f"fill-{_colour(bar.group)}")
    slit = box(left + 5, y + _BAR / 2 - 1, max(long - 10, 2), 2, "fill-paper")
    return whole + slit if bar.group in NEGATIVE else whole


def _colour(name: str) -> str:
    if name in POSITIVE:
        return "data-1"
    return "data-4" if name in NEGATIVE else "mark"


def _sign(name: str) -> str:
    if name in POSITIVE:
        return "+"
    return "−" if name in NEGATIVE else ""


def _words(plot: _Plot, bar: Bar, heads: tuple[str, str], top: float) -> list[str]:
    ink = "text-species" if bar.group in _SPECIES else ""
    return _wide_words(bar, top, ink) if plot.is_wide else _narrow_words(bar, heads, top, ink)


def _wide_words(bar: Bar, top: float, ink: str) -> list[str]:
    y = top + 22
    held = [words(252, y, _sign(bar.group), "text-quiet", "middle"), _name(bar.name, y, ink)]
    held.append(words(1100, y, str(bar.now), "text-strong", "end"))
    if bar.before is not None:
        held.append(words(1184, y, str(bar.before), "text-quiet", "end"))
    return held


def _name(name: str, y: float, ink: str) -> str:
    """The class at the margin, on two lines where one would cross the margin's line."""
    if text_width(name) < 185 or " " not in name:
        return words(0, y, name, ink)
    first, _, rest = name.partition(" ")
    return words(0, y - 8, first, ink) + words(0, y + 8, rest, ink)


def _narrow_words(bar: Bar, heads: tuple[str, str], top: float, ink: str) -> list[str]:
    y = top + 14
    held = [words(0, y, _sign(bar.group), "text-quiet"), words(20, y, bar.name, ink)]
    held.append(words(358, y, str(bar.now), "text-strong", "end"))
    if bar.before is not None:
        when = f"in {heads[1]}" if len(heads[1]) == 4 else "before"
        held.append(words(336, y, f"{bar.before} {when}", "text-quiet", "end"))
    return held
