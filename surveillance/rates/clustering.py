"""How far episodes cluster in patients, and rates of small groups pulled to the mean."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

Floats = NDArray[np.float64]
_Z_975 = float(special.ndtri(0.975))


@dataclass(frozen=True)
class Overdispersion:
    """A pooled rate with standard errors and limits that allow for clustering in patients."""

    rate: float  # episodes per patient-year
    phi: float  # Pearson chi-square over its degrees of freedom; 1 = no clustering
    se_rate_poisson: float
    se_rate_robust: float  # patient-level, no small-sample factor (HC0)
    ci_quasi: tuple[float, float]
    ci_robust: tuple[float, float]
    nb_rate: float | None  # negative binomial; None where the counts vary less than by chance
    nb_alpha: float | None
    nb_ci_observed_information: tuple[float, float] | None
    lr: float  # likelihood ratio, negative binomial over Poisson
    p_boundary: float  # half of P(chi-square with 1 df > lr)


def _log_limits(rate: float, se: float) -> tuple[float, float]:
    width = _Z_975 * se / rate if rate > 0 else 0.0
    return rate * float(np.exp(-width)), rate * float(np.exp(width))


def _nb_log_likelihood(log_rate: float, log_alpha: float, x: Floats, years: Floats) -> float:
    size = np.exp(-log_alpha)
    mean = np.exp(log_rate) * years
    terms = (
        special.gammaln(x + size)
        - special.gammaln(size)
        - special.gammaln(x + 1)
        + special.xlogy(x, mean / (mean + size))
        - size * np.log1p(mean / size)
    )
    return float(terms.sum())


def _poisson_log_likelihood(x: Floats, mean: Floats) -> float:
    return float((special.xlogy(x, mean) - mean - special.gammaln(x + 1)).sum())


def _observed_information(log_rate: float, log_alpha: float, x: Floats, years: Floats) -> Floats:
    """Observed information of (log rate, log alpha), by central differences."""
    h = 1e-4

    def at(rate_step: float, alpha_step: float) -> float:
        return _nb_log_likelihood(log_rate + rate_step, log_alpha + alpha_step, x, years)

    centre = at(0, 0)
    rate_rate = (at(h, 0) - 2 * centre + at(-h, 0)) / h**2
    alpha_alpha = (at(0, h) - 2 * centre + at(0, -h)) / h**2
    both = (at(h, h) - at(h, -h) - at(-h, h) + at(-h, -h)) / (4 * h**2)
    return -np.array([[rate_rate, both], [both, alpha_alpha]])


def _log_rate_given(log_alpha: float, x: Floats, years: Floats) -> float:
    """The log rate that fits best at a given clustering, by Newton steps on its score."""
    alpha = float(np.exp(log_alpha))
    log_rate = float(np.log(x.sum() / years.sum()))
    for _ in range(100):
        mean = np.exp(log_rate) * years
        score = float(((x - mean) / (1 + alpha * mean)).sum())
        slope = float((mean * (1 + alpha * x) / (1 + alpha * mean) ** 2).sum())
        log_rate += score / slope
        if abs(score) < 1e-12 * slope:
            break
    return log_rate


def _negative_binomial(x: Floats, years: Floats) -> tuple[float, float, float] | None:
    """(log rate, log alpha, log likelihood) at the maximum; None where alpha runs to 0."""
    from scipy import optimize  # half a second to import, and only here needed

    def lost(log_alpha: float) -> float:
        return -_nb_log_likelihood(_log_rate_given(log_alpha, x, years), log_alpha, x, years)

    found = optimize.minimize_scalar(lost, bounds=(-12.0, 6.0), options={"xatol": 1e-10})
    log_alpha = float(found.x)
    if log_alpha < -11:
        return None
    return _log_rate_given(log_alpha, x, years), log_alpha, -float(found.fun)


def overdispersion(events: ArrayLike, patient_years: ArrayLike) -> Overdispersion:
    """Clustering of episodes in patients, and the limits of the pooled rate that allow for it.

    events: one count a patient; patient_years: the same patients' time at risk, above 0.
    Limits are on the log scale at 95 %. Raises ValueError without any time at risk.
    Source: statistics.md 2.5 (McCullagh & Nelder, from memory); worked examples disp-01, disp-02.
    """
    x = np.asarray(events, dtype=float)
    years = np.asarray(patient_years, dtype=float)
    if years.size < 2 or (years <= 0).any():
        raise ValueError(f"two or more patients with time at risk are needed, not {years.tolist()}")
    total, all_years = float(x.sum()), float(years.sum())
    rate = total / all_years
    mean = rate * years
    phi = float(((x - mean) ** 2 / mean).sum() / (x.size - 1)) if total else 0.0
    poisson_se = float(np.sqrt(total)) / all_years
    robust_se = float(np.sqrt(((x - mean) ** 2).sum())) / all_years
    nb = _negative_binomial(x, years) if phi > 1 else None
    lr = max(0.0, 2 * (nb[2] - _poisson_log_likelihood(x, mean))) if nb else 0.0
    if nb:
        variance = np.linalg.inv(_observed_information(nb[0], nb[1], x, years))[0, 0]
        nb_rate = float(np.exp(nb[0]))
        nb_limits = _log_limits(nb_rate, nb_rate * float(np.sqrt(variance)))
    return Overdispersion(
        rate=rate,
        phi=phi,
        se_rate_poisson=poisson_se,
        se_rate_robust=robust_se,
        ci_quasi=_log_limits(rate, float(np.sqrt(phi)) * poisson_se),
        ci_robust=_log_limits(rate, robust_se),
        nb_rate=nb_rate if nb else None,
        nb_alpha=float(np.exp(nb[1])) if nb else None,
        nb_ci_observed_information=nb_limits if nb else None,
        lr=lr,
        p_boundary=0.5 * float(special.chdtrc(1, lr)),
    )


# The fixed prior of small groups: a mean of 0.40, worth ten patient-years (statistics.md 2.15).
PRIOR_EPISODES, PRIOR_YEARS = 4.0, 10.0


def marshall(
    events: Floats, patient_years: Floats, whole: NDArray[np.int64]
) -> tuple[Floats, Floats]:
    """Rates of groups pulled towards the rate of their whole by moments; each whole's variance.

    events, patient_years: one a group, years above 0; whole: from 0, which one a group is of.
    A variance at or below 0 means that chance explains all: every group gets its whole's rate.
    Source: Marshall 1991 (from memory); worked example shrink-01.
    """
    time, groups = np.bincount(whole, patient_years), np.bincount(whole)
    mean, raw = np.bincount(whole, events) / time, events / patient_years
    spread = np.bincount(whole, patient_years * (raw - mean[whole]) ** 2) / time
    between = spread - mean / (time / groups)
    own = between[whole] + mean[whole] / patient_years
    weight = np.where(between[whole] > 0, between[whole] / np.where(own > 0, own, 1.0), 0.0)
    return np.asarray(mean[whole] + weight * (raw - mean[whole])), np.asarray(between)


@dataclass(frozen=True)
class Shrinkage:
    """Rates of small groups pulled towards the overall rate; one value a group."""

    overall: float
    marshall_A: float  # noqa: N815  the name is fixed by the method's published letter
    marshall: Floats
    fixed_prior: Floats
    p_above: Floats  # chance that the group's rate exceeds the threshold, under the fixed prior


def shrinkage(
    events: ArrayLike,
    patient_years: ArrayLike,
    prior_shape: float,
    prior_rate: float,
    threshold: float,
) -> Shrinkage:
    """Rates shrunk by Marshall's moments and by a fixed gamma prior.

    events, patient_years: one a group, years above 0; prior_shape and prior_rate: the gamma
    prior (mean shape / rate per patient-year); threshold: a rate per patient-year.
    Source: Marshall 1991 (from memory); worked example shrink-01.
    """
    x = np.asarray(events, dtype=float)
    years = np.asarray(patient_years, dtype=float)
    if not years.size or (years <= 0).any():
        raise ValueError(f"every group needs time at risk, not {years.tolist()}")
    shrunk, between = marshall(x, years, np.zeros(x.size, dtype=np.int64))
    shape, rate = prior_shape + x, prior_rate + years
    return Shrinkage(
        overall=float(x.sum() / years.sum()),
        marshall_A=float(between[0]),
        marshall=shrunk,
        fixed_prior=shape / rate,
        p_above=special.gammaincc(shape, rate * threshold),
    )
