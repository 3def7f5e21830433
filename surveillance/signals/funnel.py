"""Funnel limits: what chance alone does to clinics of each size around one target."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class FunnelLimits:
    limits: Floats  # rate limits; one a probability, or one row a clinic


def smallest_count(probability: Floats, mean: Floats) -> Floats:
    """Smallest count whose cumulative Poisson probability reaches `probability`. Test: funnel-."""
    count = np.maximum(0, np.ceil(special.pdtrik(probability, mean)) - 1)
    for _ in range(4):
        count = np.where(special.pdtr(count, mean) < probability, count + 1, count)
    return np.asarray(count, dtype=float)


def funnel_limits_exact(
    patient_years: ArrayLike, target: float, probabilities: ArrayLike
) -> FunnelLimits:
    """Exact Poisson limits around a target rate, interpolated between counts.

    patient_years: a number, or one a clinic (then one row a clinic); target per patient-year.
    Source: Spiegelhalter 2005 (formula from memory); worked examples funnel-01 to funnel-09.
    """
    years = np.asarray(patient_years, dtype=float)[..., np.newaxis]
    if (years <= 0).any() or target <= 0:
        raise ValueError(f"time at risk {years.ravel().tolist()} and target {target}: above 0")
    p = np.asarray(probabilities, dtype=float)
    mean = target * years
    k = smallest_count(p, mean)
    chance = np.exp(special.xlogy(k, mean) - mean - special.gammaln(k + 1))
    over = (special.pdtr(k, mean) - p) / chance
    return FunnelLimits(np.maximum(0, k - over) / years)


@dataclass(frozen=True)
class FunnelOverdispersion:
    """Whether clinics differ more than chance, and the factors that would widen the limits."""

    centre: float
    z: Floats
    sum_z2: float
    p_chi2_df_k_minus_1: float
    phi_raw: float
    phi_winsorised: float
    tau2: float
    inflate: bool  # phi above 1 + 2 sqrt(2 / clinics), a rule from memory


def funnel_overdispersion(
    events: ArrayLike, patient_years: ArrayLike, winsorise: float
) -> FunnelOverdispersion:
    """Over-dispersion of clinics around their pooled rate, on the square-root scale.

    events, patient_years: one a clinic, years above 0; winsorise: share pulled in at each end.
    Source: Spiegelhalter 2005 (formulas from memory); worked examples funnelod-01, funnelod-02.
    """
    x = np.asarray(events, dtype=float)
    years = np.asarray(patient_years, dtype=float)
    if x.size < 2 or (years <= 0).any():
        raise ValueError(f"two or more clinics with time at risk are needed, not {years.tolist()}")
    centre = float(x.sum() / years.sum())
    z = 2 * (np.sqrt(x / years) - np.sqrt(centre)) * np.sqrt(years)
    pulled = np.clip(z, *np.quantile(z, [winsorise, 1 - winsorise]))
    phi = float((pulled**2).mean())
    weights = 4 * years
    spare = weights.sum() - (weights**2).sum() / weights.sum()
    sum_z2 = float((z**2).sum())
    return FunnelOverdispersion(
        centre=centre,
        z=z,
        sum_z2=sum_z2,
        p_chi2_df_k_minus_1=float(special.chdtrc(x.size - 1, sum_z2)),
        phi_raw=float((z**2).mean()),
        phi_winsorised=phi,
        tau2=max(0.0, float((x.size * phi - (x.size - 1)) / spare)),
        inflate=phi > 1 + 2 * float(np.sqrt(2 / x.size)),
    )
