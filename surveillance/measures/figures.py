"""A figure before its limits: numerators over denominators, for cells of clinics and bands."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Literal

import numpy as np

from surveillance.measures.facts import Facts
from surveillance.rates.binomial import Floats
from surveillance.time_at_risk.stretches import Ints

Unit = Literal["patient_days", "patients", "episodes", "catheters"]
Interval = Literal["exact_poisson", "exact_binomial", ""]


@dataclass(frozen=True)
class Figure:
    """Cells x periods of one split of a measure; without a split one cell a clinic."""

    numerator: Ints
    denominator: Ints
    clinic: Ints
    split: str = ""
    band: Ints | None = None  # place of each cell's band in labels
    labels: tuple[str, ...] = ("",)
    value: Floats | None = None  # where it is no quotient

    @property
    def bands(self) -> Ints:
        return np.zeros(len(self.clinic), dtype=np.int64) if self.band is None else self.band


@dataclass(frozen=True)
class Measure:
    """A registered measure; `figures` makes its undivided figure and those of its splits."""

    name: str
    unit: Unit
    interval: Interval
    figures: Callable[[Facts], Iterable[Figure]]
