"""What changed, drawn on a chart over time: a flag on a line, with its day and its words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from surveillance.drawing import box, group, line, text_width, words
from surveillance.words import day_text


@dataclass(frozen=True)
class Flag:
    """A decision (filled) or an event (open): what changed, never who."""

    on: date
    says: str
    is_decision: bool = True


ROOM = 44  # above a drawing that has flags, for each level of them
_LEVELS = 2


def head_room(flags: Sequence[Flag]) -> float:
    return ROOM * min(len(flags), _LEVELS)


def flags_drawn(
    flags: Sequence[Flag], x_of: Callable[[date], float | None], top: float, bottom: float,
    width: float,
) -> str:  # fmt: skip
    """`x_of`: the place of a day, None outside the drawing; flags take turns on two levels."""
    placed = [(x, flag) for flag in flags if (x := x_of(flag.on)) is not None]
    shapes = [
        _flag(flag, x, top + ROOM * (place % _LEVELS if len(placed) > 1 else 0), bottom, width)
        for place, (x, flag) in enumerate(placed)
    ]
    return group(*shapes)


def _flag(flag: Flag, x: float, y: float, bottom: float, width: float) -> str:
    day = day_text(flag.on)
    ink = "line-accent" if flag.is_decision else "line-mark"
    fill = "fill-accent" if flag.is_decision else "fill-paper"
    side, anchor = _beside(x, max(text_width(day), text_width(flag.says)), width)
    return group(
        line(x, y, x, bottom, ink, 1.25),
        box(x, y, 9, 9, f"{ink} {fill}", 1.25),
        words(side, y + 9, day, "text-strong halo", anchor),
        words(side, y + 26, flag.says, "text-quiet halo", anchor),
        title=f"{day}: {flag.says}", class_="flag", data_on=flag.on.isoformat(),
    )  # fmt: skip


def _beside(x: float, long: float, width: float) -> tuple[float, str | None]:
    """Right of the line, else left of it, else over it: the words never leave the drawing."""
    if x + 18 + long <= width:
        return x + 16, None
    return (x - 8 if x - 8 >= long else width, "end")
