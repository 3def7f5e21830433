"""How far report and charts agree: share with its exact range, and kappa."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from reports.verify.recount import binomial_limits

Pair = tuple[int, int]  # as reported, as found


@dataclass(frozen=True)
class Agreement:
    """Of `of` charts `same` agree; `kappa` is None where chance alone would agree always."""

    of: int
    same: int
    share: float
    lower: float
    upper: float
    kappa: float | None


def agreement(pairs: Sequence[Pair]) -> Agreement | None:
    """Cohen's kappa: (p_o - p_e) / (1 - p_e), p_e from both margins. None without a pair.

    Source: Cohen 1960, Educ Psychol Meas 20:37 (from memory). Test: test_agreement.py.
    """
    if not pairs:
        return None
    of, same = len(pairs), sum(one == other for one, other in pairs)
    lower, upper = binomial_limits(same, of)
    reported, found = (Counter(side) for side in zip(*pairs, strict=True))
    by_chance = sum(reported[value] * found[value] for value in reported)  # of `of` squared
    kappa = None if by_chance == of * of else (same * of - by_chance) / (of * of - by_chance)
    return Agreement(of, same, same / of, lower, upper, kappa)
