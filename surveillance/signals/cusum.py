"""Cumulative sums: their paths, and how long chance alone takes to raise an alarm."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, lgamma, log

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

# States a unit count is divided into at least, where the step is no neat fraction.
_FINENESS = 200


@dataclass(frozen=True)
class CusumPath:
    path: list[float]


def cusum_path(counts: ArrayLike, k: float) -> CusumPath:
    """S <- max(0, S + count - k), from 0.

    counts: a step each; k: the allowance a step. Source: Lucas 1985 (from memory); cusum-01, -02.
    """
    path, s = [], 0.0
    for count in np.asarray(counts, dtype=float):
        s = max(0.0, s + float(count) - k)
        path.append(s)
    return CusumPath(path)


@dataclass(frozen=True)
class RunLength:
    arl: float  # mean number of steps to the alarm, S > h strictly


def _lattice_run_length(mean: float, up: int, down: int, top: int, start: int) -> float:
    """Mean steps until S > top where S <- max(0, S + up * count - down), counts Poisson(mean)."""
    counts = np.arange((top + down) // up + 1)
    chance = np.exp([c * log(mean) - mean - lgamma(c + 1) for c in counts]) if mean else [1.0]
    states = np.arange(top + 1)
    stay = np.zeros((top + 1, top + 1))
    for count, p in zip(counts, chance, strict=False):
        to = np.maximum(0, states + up * count - down)
        inside = to <= top
        np.add.at(stay, (states[inside], to[inside]), p)
    return float(np.linalg.solve(np.eye(top + 1) - stay, np.ones(top + 1))[start])


def cusum_arl(mean: float, k: float, h: float, start: float = 0) -> RunLength:
    """Exact mean run length of the count CUSUM, by a Markov chain on its lattice.

    mean: expected count a step, above 0; k, h, start on a common fraction (halves, tenths, ...).
    Signals at S > h strictly. Source: Brook & Evans 1972 (from memory); arl-01 to arl-09.
    """
    if mean <= 0:
        raise ValueError(f"mean {mean}: above 0, else no alarm ever comes")
    if not 0 <= start <= h:
        raise ValueError(f"start {start}: from 0 to h, which is {h}")
    step, limit, first = (Fraction(v).limit_denominator(1000) for v in (k, h, start))
    unit = np.lcm.reduce([step.denominator, limit.denominator, first.denominator])
    m = int(unit)
    return RunLength(_lattice_run_length(mean, m, int(step * m), int(limit * m), int(first * m)))


@dataclass(frozen=True)
class LikelihoodPath:
    path_no_reset: list[float]
    path_reset_to_zero_after_alarm: list[float]
    alarms_reset: list[int]  # steps of the alarms, counted from 1


def lr_cusum_path(
    events: ArrayLike, patient_years: ArrayLike, baseline_rate: float, rate_ratio: float, h: float
) -> LikelihoodPath:
    """Likelihood-ratio CUSUM with each step's own time at risk.

    S <- max(0, S + x ln R - r0 T (R - 1)); alarm at S > h; the value at an alarm stays in the
    path and the next step starts from 0. baseline_rate per patient-year; rate_ratio above 1.
    Source: statistics.md 2.10 (Hawkins & Olwell 1998, from memory); lrcusum-01 to lrcusum-04.
    """
    if rate_ratio <= 1:
        raise ValueError(f"rate_ratio {rate_ratio}: above 1")
    x = np.asarray(events, dtype=float)
    years = np.asarray(patient_years, dtype=float)
    scores = (x * log(rate_ratio) - baseline_rate * years * (rate_ratio - 1)).tolist()
    through: list[float] = []
    reset: list[float] = []
    alarms: list[int] = []
    for step, score in enumerate(scores, start=1):
        through.append(max(0.0, (through[-1] if through else 0.0) + score))
        before = 0.0 if not reset or reset[-1] > h else reset[-1]
        reset.append(max(0.0, before + score))
        if reset[-1] > h:
            alarms.append(step)
    return LikelihoodPath(through, reset, alarms)


@dataclass(frozen=True)
class LikelihoodRunLength:
    arl_steps: float


def lr_cusum_arl(
    baseline_mean_per_step: float, true_over_baseline: float, rate_ratio: float, h: float
) -> LikelihoodRunLength:
    """Mean steps to an alarm of the likelihood-ratio CUSUM at equal time at risk a step.

    baseline_mean_per_step: expected episodes a step at the baseline, above 0;
    true_over_baseline: the truth over it, above 0; h: the alarm limit, S > h strictly.
    The lattice is a rational one, so that the answer is good to about 1 %.
    Source: statistics.md 2.10; worked examples lrarl-01 to lrarl-08.
    """
    if min(baseline_mean_per_step, true_over_baseline) <= 0 or rate_ratio <= 1:
        raise ValueError(
            f"baseline_mean_per_step {baseline_mean_per_step} and true_over_baseline "
            f"{true_over_baseline}: above 0; rate_ratio {rate_ratio}: above 1"
        )
    allowance = baseline_mean_per_step * (rate_ratio - 1) / log(rate_ratio)
    fraction = Fraction(allowance).limit_denominator(250)
    m = fraction.denominator * ceil(_FINENESS / fraction.denominator)
    down, top = max(1, round(allowance * m)), floor(h * m / log(rate_ratio) + 1e-9)
    mean = baseline_mean_per_step * true_over_baseline
    return LikelihoodRunLength(_lattice_run_length(mean, m, down, top, 0))
