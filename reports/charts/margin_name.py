"""A name in the margin of a wide drawing: on two lines where one would cross the margin's line."""

from __future__ import annotations

from surveillance.drawing import text_width, words

_ROOM, _LETTERS = 176, 24


def margin_name(name: str, y: float, ink: str = "") -> list[str]:
    """Baselines around y, the middle of its row."""
    if text_width(name) <= _ROOM or " " not in name:
        return [words(0, y + 4.5, name, ink)]
    cut = name.rfind(" ", 0, _LETTERS)
    cut = cut if cut > 0 else name.index(" ")
    return [words(0, y - 4, name[:cut], ink), words(0, y + 13, name[cut + 1 :], ink)]
