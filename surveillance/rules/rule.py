"""What a rule, a target and a named rule set are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from surveillance.periods import PeriodKind

Certainty = Literal["seen", "memory", "common practice, no source", "our choice"]
Comparison = Literal["at_most", "below", "above"]
Value = float | str | tuple[int, ...] | tuple[str, ...]

_COMPARE = {"at_most": np.less_equal, "below": np.less, "above": np.greater}
_SIGNS: dict[Comparison, str] = {"at_most": "≤", "below": "<", "above": ">"}


@dataclass(frozen=True)
class Rule:
    """One choice of the method, with where it comes from; pages and reports print from here."""

    name: str
    value: Value
    unit: str
    says: str  # one sentence for people
    source: str
    place: str  # where in the source
    certainty: Certainty


@dataclass(frozen=True)
class Target:
    """What a measure is held against; the comparison is made on the unrounded value."""

    measure: str
    value: float
    comparison: Comparison
    source: str
    place: str
    certainty: Certainty
    kinds: tuple[PeriodKind, ...] = ("month", "quarter", "year", "rolling_year")

    @property
    def sign(self) -> str:
        return _SIGNS[self.comparison]

    def met_by(self, values: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Whether each value meets the target; a value that is no number does not."""
        return np.asarray(_COMPARE[self.comparison](values, self.value))


@dataclass(frozen=True)
class RuleSet:
    """Every rule and target under one name."""

    name: str
    title: str
    rules: Mapping[str, Rule]
    targets: Mapping[str, Target]

    def number(self, name: str) -> float:
        value = self.rules[name].value
        if not isinstance(value, (int, float)):
            raise TypeError(f"rule {name} is no number but {value!r}")
        return value

    def days(self, name: str) -> int:
        return int(self.number(name))

    def text(self, name: str) -> str:
        return str(self.rules[name].value)

    def words(self, name: str) -> tuple[str, ...]:
        value = self.rules[name].value
        return tuple(map(str, value)) if isinstance(value, tuple) else (str(value),)

    def cuts(self, name: str) -> tuple[int, ...]:
        return tuple(map(int, self.words(name)))


def by_name(*groups: tuple[Rule, ...]) -> dict[str, Rule]:
    """The rules of several groups under their names; a later one replaces an earlier one."""
    return {rule.name: rule for group in groups for rule in group}
