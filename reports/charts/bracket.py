"""The bracket over what stands out of chance."""

from __future__ import annotations

from surveillance.drawing import line

_INK, _LEG = "line-attention", 6


def bracket(left: float, right: float, top: float, width: float) -> list[str]:
    """Its beam and its two legs, pointing down."""
    return [
        line(left, top, right, top, _INK, width),
        line(left, top, left, top + _LEG, _INK, width),
        line(right, top, right, top + _LEG, _INK, width),
    ]
