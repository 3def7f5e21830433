"""The paper of a chart that stands on an axis, in its wide and its narrow variant."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class AxisSheet:
    """Where the drawing's axis begins, and between which heights it runs."""

    variant: str
    width: float
    left: float
    top: float
    bottom: float
