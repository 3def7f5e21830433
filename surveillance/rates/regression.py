"""Poisson regression over bands: each band's rate against a reference band's."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class BandRatios:
    """Rate ratios of all bands but the reference, in the order given."""

    ratio: Floats
    lower: Floats  # Wald limits; nan where a band has no episode (use the exact rate ratio there)
    upper: Floats
    lr_heterogeneity: float  # likelihood ratio of all bands equal
    df: int
    p: float


def poisson_regression_bands(
    events: ArrayLike, patient_years: ArrayLike, reference_band: int, level: float = 0.95
) -> BandRatios:
    """Rate ratios of bands against one of them, with Wald limits, and a test that all are equal.

    events, patient_years: one a band, years above 0; reference_band: counted from 1.
    One factor is saturated, so that the maximum has a closed form: no fitting is needed.
    Source: Clayton & Hills 1993 (from memory); worked example pois-01, R's glm as second route.
    """
    x = np.asarray(events, dtype=float)
    years = np.asarray(patient_years, dtype=float)
    if not 1 <= reference_band <= x.size:
        raise ValueError(f"reference_band {reference_band}: from 1 to {x.size}")
    if (years <= 0).any():
        raise ValueError(f"every band needs time at risk, not {years.tolist()}")
    others = np.arange(x.size) != reference_band - 1
    base, base_years = x[reference_band - 1], years[reference_band - 1]
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = (x / years)[others] / (base / base_years)
        se = np.sqrt(1 / x[others] + 1 / base)
        width = special.ndtri(0.5 + level / 2) * np.where(np.isfinite(se), se, np.nan)
        limits = ratio * np.exp(np.vstack([-width, width]))
    expected = x.sum() * years / years.sum()
    lr = float(2 * (special.xlogy(x, x) - special.xlogy(x, expected)).sum())
    return BandRatios(ratio, limits[0], limits[1], lr, x.size - 1, _chi2_p(x.size - 1, lr))


def _chi2_p(df: int, value: float) -> float:
    return float(special.chdtrc(df, value)) if df else 1.0
