"""Control charts: rates by period (u), days (t) and patient-days (g) between episodes, runs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

Floats = NDArray[np.float64]

# Mean moving range of two over the standard deviation of a normal (common practice, no source).
MOVING_RANGE_TO_SD = 1.128
# 3 / 1.128, as the charts of individual values print it (common practice, no source).
MOVING_RANGE_WIDTH = 2.66
# The normal tail beyond three standard deviations, each side.
TAIL = 0.00135
# Power that makes exponential gaps nearly normal (Nelson 1994, from memory).
GAP_POWER = 3.6


@dataclass(frozen=True)
class UChart:
    """Rates by period between limits that follow each period's own time at risk."""

    centre: float
    points: Floats
    upper: Floats
    lower: Floats
    signal_indices_from_1: list[int]
    laney_sigma_z: float | None  # above 1: periods swing more than chance alone would
    laney_upper: Floats | None


def u_chart(events: ArrayLike, patient_years: ArrayLike) -> UChart:
    """Three-sigma u-chart with Laney's over-dispersed limits beside it.

    events: counts a period; patient_years above 0. A point on a limit does not signal; a period
    without time at risk is left out by the caller, never drawn as zero.
    Source: Laney 2002, Benneyan 2001 (from memory); worked examples uchart-01 to uchart-03.
    """
    x = np.asarray(events, dtype=float)
    years = np.asarray(patient_years, dtype=float)
    if x.size == 0 or (years <= 0).any():
        raise ValueError(f"every period needs time at risk, not {years.tolist()}")
    centre = float(x.sum() / years.sum())
    points = x / years
    sd = np.sqrt(centre / years)
    upper, lower = centre + 3 * sd, np.maximum(0, centre - 3 * sd)
    outside = np.flatnonzero((points > upper) | (points < lower)) + 1
    sigma_z = _laney_sigma_z((points - centre) / sd) if centre > 0 and x.size > 1 else None
    laney = None if sigma_z is None else centre + 3 * sigma_z * sd
    return UChart(centre, points, upper, lower, outside.tolist(), sigma_z, laney)


def _laney_sigma_z(z: Floats) -> float:
    return float(np.abs(np.diff(z)).mean() / MOVING_RANGE_TO_SD)


@dataclass(frozen=True)
class UChartFalseAlarm:
    p_above_mean_plus_3sd: float
    p_zero: float
    lower_limit_positive: bool


def u_chart_false_alarm(mean_count: float) -> UChartFalseAlarm:
    """Chance per period that steady chance alone crosses the upper three-sigma limit.

    mean_count: expected episodes a period. Source: statistics.md 2.9; examples ufalse-01 to -05.
    """
    limit = np.floor(mean_count + 3 * np.sqrt(mean_count))
    return UChartFalseAlarm(
        float(special.pdtrc(limit, mean_count)),
        float(np.exp(-mean_count)),
        bool(mean_count > 3 * np.sqrt(mean_count)),
    )


@dataclass(frozen=True)
class TChart:
    """Limits for the days between episodes; above the upper one, something went right."""

    centre: float
    upper: float
    lower: float
    exponential_limits: list[float]  # 0.135 %, median, 99.865 %


def t_chart(gap_days: ArrayLike) -> TChart:
    """Limits for days between episodes, by a power transform and by the exponential itself.

    gap_days: days, 0 allowed for two on one day. Needs two gaps.
    Source: Nelson 1994 (from memory); worked examples tchart-01, tchart-02.
    """
    gaps = np.asarray(gap_days, dtype=float)
    if gaps.size < 2 or (gaps < 0).any():
        raise ValueError(f"two or more gaps of 0 days or more are needed, not {gaps.tolist()}")
    y = gaps ** (1 / GAP_POWER)
    width = MOVING_RANGE_WIDTH * float(np.abs(np.diff(y)).mean())
    edges = np.maximum(0, y.mean() + np.array([0, width, -width])) ** GAP_POWER
    exponential = -gaps.mean() * np.log1p(-np.array([TAIL, 0.5, 1 - TAIL]))
    return TChart(float(edges[0]), float(edges[1]), float(edges[2]), exponential.tolist())


@dataclass(frozen=True)
class GChart:
    """Limits for the patient-days between episodes."""

    p: float
    three_sigma_upper: float
    probability_limits: list[int]


def g_chart(mean_gap: float) -> GChart:
    """Geometric limits for patient-days between episodes.

    mean_gap: mean patient-days between, above 0.
    Source: Benneyan 2001; worked examples gchart-01 to gchart-03.
    """
    if mean_gap <= 0:
        raise ValueError(f"mean_gap {mean_gap}: above 0")
    p = 1 / (mean_gap + 1)
    quantiles = np.log1p(-np.array([TAIL, 0.5, 1 - TAIL])) / np.log1p(-p) - 1
    # A whole quantile must not slip up by the last digit of its logarithm.
    limits = np.maximum(0, np.ceil(quantiles - 1e-9)).astype(int)
    upper = mean_gap + 3 * float(np.sqrt(mean_gap * (mean_gap + 1)))
    return GChart(p, upper, limits.tolist())


@dataclass(frozen=True)
class RunRules:
    longest_run_limit: int
    crossings_lower_limit: int


def run_rules(useful_points: int) -> RunRules:
    """Limits for the longest run and the fewest crossings of the centre line.

    useful_points: points off the centre line, 1 or more. A longer run or fewer crossings signal.
    Source: Anhoej 2014 and 2020; worked examples runs-01 to runs-05.
    """
    if useful_points < 1:
        raise ValueError(f"useful_points {useful_points}: 1 or more")
    n = useful_points - 1
    crossings = next(k for k in range(n + 1) if special.bdtr(k, n, 0.5) >= 0.05)
    return RunRules(round(float(np.log2(useful_points))) + 3, crossings)


@dataclass(frozen=True)
class RunRulesData:
    useful: int
    longest: int
    crossings: int
    signal: bool


def run_rules_data(values: Sequence[float], centre: str = "median") -> RunRulesData:
    """The run rules applied to a series; points on the centre line are left out.

    centre: `median` or `mean`. Source: Anhoej 2014; worked examples runsdata-01, runsdata-02.
    """
    if centre not in ("median", "mean"):
        raise ValueError(f"centre {centre!r}: median or mean")
    x = np.asarray(values, dtype=float)
    middle = (np.median(x) if centre == "median" else x.mean()) if x.size else 0.0
    side = np.sign(x - middle)
    side = side[side != 0]
    if side.size == 0:
        return RunRulesData(0, 0, 0, False)
    changes = np.flatnonzero(np.diff(side)) + 1
    longest = int(np.diff(np.concatenate([[0], changes, [side.size]])).max())
    limits = run_rules(side.size)
    signal = longest > limits.longest_run_limit or changes.size < limits.crossings_lower_limit
    return RunRulesData(side.size, longest, changes.size, bool(signal))
