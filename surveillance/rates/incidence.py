"""Cumulative incidence with competing exits, and the mean number of episodes so far."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def _at_risk(times: Floats, entry: Floats, exit_time: Floats) -> Ints:
    """How many are under observation just before each time: entry < t <= exit."""
    entered = np.searchsorted(np.sort(entry), times, side="left")
    left = np.searchsorted(np.sort(exit_time), times, side="left")
    return (entered - left).astype(np.int64)


def _read_steps(times: Floats, values: NDArray[Any], start: float, at: Floats) -> list[float]:
    """A right-continuous step function read at the times asked for."""
    padded = np.concatenate([[start], values])
    return [float(v) for v in padded[np.searchsorted(times, at, side="right")]]


def aalen_johansen(
    time: ArrayLike, cause: ArrayLike, at: ArrayLike, entry: ArrayLike | None = None
) -> dict[str, list[float]]:
    """Cumulative incidence of each cause where any cause ends the observation.

    time: end of observation; cause: 0 censored, 1, 2, ...; at: times to read; entry: delayed
    entry, at risk from just after it. Censored at t is still at risk at t.
    Returns cif_cause_1 (and each further cause), event_free, and one_minus_km of cause 1 (which
    overstates, shown for comparison).
    Source: Aalen-Johansen as in R's survfit and cmprsk; worked examples aj-01 to aj-06.
    """
    end = np.asarray(time, dtype=float)
    causes = np.asarray(cause, dtype=int)
    read_at = np.asarray(at, dtype=float)
    begin = np.full(end.shape, -np.inf) if entry is None else np.asarray(entry, dtype=float)
    times = np.unique(end[causes > 0])
    n = _at_risk(times, begin, end)
    kinds = sorted({1, *causes[causes > 0].tolist()})
    deaths = {
        k: np.bincount(np.searchsorted(times, end[causes == k]), minlength=times.size)
        for k in kinds
    }
    hazard_any = sum(deaths.values()) / np.maximum(n, 1)
    free = np.cumprod(1 - hazard_any)
    before = np.concatenate([[1.0], free[:-1]]) if times.size else free
    out = {
        f"cif_cause_{k}": _read_steps(
            times, np.cumsum(before * deaths[k] / np.maximum(n, 1)), 0.0, read_at
        )
        for k in kinds
    }
    out["event_free"] = _read_steps(times, free, 1.0, read_at)
    km = 1 - np.cumprod(1 - deaths[1] / np.maximum(n, 1))
    out["one_minus_km"] = _read_steps(times, km, 0.0, read_at)
    return out


def mean_cumulative_count(
    patients: Sequence[Mapping[str, Any]], at: ArrayLike
) -> dict[str, list[float]]:
    """Mean number of episodes a patient has had by each day.

    patients: mappings with `episodes` (days since start), `last_day` and `terminal` (whether the
    exit ends the risk for good: death, transplant, transfer); at: days to read.
    Returns `naive` (sum of d / n) and `ghosh_lin` (weighted by the chance of still being there).
    An episode on the exit day counts before the exit.
    Source: Nelson; Ghosh & Lin 2000 (from memory); worked examples mcf-01, mcf-03.
    """
    last = np.array([p["last_day"] for p in patients], dtype=float)
    terminal = np.array([bool(p["terminal"]) for p in patients])
    days = np.array([day for p in patients for day in p["episodes"]], dtype=float)
    return mean_cumulative_counts(days, np.full(last.shape, -np.inf), last, terminal, at)


def mean_cumulative_counts(
    episodes: ArrayLike, entry: ArrayLike, exit_time: ArrayLike, terminal: ArrayLike, at: ArrayLike
) -> dict[str, list[float]]:
    """As `mean_cumulative_count`, in columns and with observation that may begin late or pause.

    episodes: time of each; entry, exit_time, terminal: one a stretch of observation, at risk from
    just after entry to exit. Test: tests/surveillance/rates/test_incidence.py.
    """
    begin, end = np.asarray(entry, dtype=float), np.asarray(exit_time, dtype=float)
    times, counts = np.unique(np.asarray(episodes, dtype=float), return_counts=True)
    steps = counts / np.maximum(_at_risk(times, begin, end), 1)
    exits, exit_counts = np.unique(end[np.asarray(terminal, dtype=bool)], return_counts=True)
    staying = np.cumprod(1 - exit_counts / np.maximum(_at_risk(exits, begin, end), 1))
    still_there = np.concatenate([[1.0], staying])[np.searchsorted(exits, times, side="left")]
    read_at = np.asarray(at, dtype=float)
    return {
        "naive": _read_steps(times, np.cumsum(steps), 0.0, read_at),
        "ghosh_lin": _read_steps(times, np.cumsum(still_there * steps), 0.0, read_at),
    }
