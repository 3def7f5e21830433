"""Draws of the demonstration: shares, choices by weight, waiting times, ranges."""

from __future__ import annotations

import numpy as np

from clinic.demo.parameters import Range, Shares


def happens(rng: np.random.Generator, share: float) -> bool:
    return bool(rng.random() < share)


def chosen(rng: np.random.Generator, weights: Shares) -> str:
    names = list(weights)
    shares = np.array([weights[name] for name in names], dtype=float)
    return names[int(rng.choice(len(names), p=shares / shares.sum()))]


def within(rng: np.random.Generator, limits: Range) -> int:
    """A whole number between both limits, either included."""
    return int(rng.integers(limits[0], limits[1] + 1))


def days_until(rng: np.random.Generator, per_year: float) -> int:
    """Days to the next event of a constant yearly rate."""
    return int(rng.exponential(365.25 / per_year)) if per_year > 0 else 1_000_000


def how_many(rng: np.random.Generator, per_year: float, years: float) -> int:
    return int(rng.poisson(per_year * max(years, 0)))
