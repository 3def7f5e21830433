"""Rate ratios of bands whose counts cluster in patients, for many periods at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class BandRatioErrors:
    """Bands x periods: ratio to the reference band and the errors of its logarithm."""

    ratio: Floats  # nan where the reference has no episode or either band no time
    wald_error: Floats  # nan where either has no episode
    clustered_error: Floats  # patients as clusters, without a small-sample factor
    heterogeneity: Floats  # likelihood ratio of all bands equal, one a period
    df: NDArray[np.int64]
    p: Floats


def _ratio(part: Floats, whole: Floats) -> Floats:
    none = np.full(np.broadcast_shapes(part.shape, whole.shape), np.nan)
    return np.asarray(np.divide(part, whole, out=none, where=whole > 0))


def _scores(events: Floats, years: Floats) -> Floats:
    """Each patient's share of the deviation of a band's count, over that count."""
    total = events.sum(axis=0)
    rate = _ratio(total, years.sum(axis=0))
    return _ratio(events - np.where(np.isnan(rate), 0.0, rate) * years, total)


def clustered_band_ratios(events: Floats, patient_years: Floats, reference: int) -> BandRatioErrors:
    """Poisson regression on one factor, with Wald and with patient-clustered (sandwich) errors.

    events, patient_years: patients x bands x periods; reference: place of the reference band. One
    factor is saturated, so that estimate, information and scores have closed forms.
    Source: statistics.md 2.12; R: glm(poisson) + sandwich::vcovCL(cadjust = FALSE, type = "HC0").
    Test: tests/surveillance/rates/test_clustered_bands.py.
    """
    total, time = events.sum(axis=0), patient_years.sum(axis=0)
    rate = _ratio(total, time)
    inverse = _ratio(np.ones_like(total), total)
    score = _scores(events, patient_years)
    apart = score - score[:, [reference]]
    expected = total.sum(axis=0) * _ratio(time, time.sum(axis=0))
    terms = special.xlogy(total, total) - np.where(
        time > 0, special.xlogy(total, np.where(time > 0, expected, 1.0)), 0.0
    )
    heterogeneity = np.maximum(0.0, 2 * terms.sum(axis=0))
    df = np.maximum((time > 0).sum(axis=0) - 1, 0)
    return BandRatioErrors(
        ratio=_ratio(rate, rate[reference]),
        wald_error=np.sqrt(inverse + inverse[reference]),
        clustered_error=np.sqrt((apart**2).sum(axis=0)),
        heterogeneity=heterogeneity,
        df=df,
        p=np.where(df > 0, special.chdtrc(np.maximum(df, 1), heterogeneity), 1.0),
    )
