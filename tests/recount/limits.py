"""Exact limits by searching for the point where the tail is 2.5 % (no quantile function)."""

from collections.abc import Callable
from functools import cache
from math import comb, exp, fsum, inf

TAIL = 0.025


def bisect(rises: Callable[[float], float], low: float, high: float) -> float:
    """The point between low and high where a rising function reaches 0."""
    while True:
        middle = (low + high) / 2
        if middle in (low, high):
            return middle
        low, high = (middle, high) if rises(middle) < 0 else (low, middle)


def poisson_at_most(count: int, mean: float) -> float:
    terms, term = [], exp(-mean)
    for n in range(count + 1):
        terms.append(term)
        term *= mean / (n + 1)
    return fsum(terms)


@cache
def poisson_mean_limits(count: int) -> tuple[float, float]:
    """Garwood 1936: the means for which `count` or more, or `count` or fewer, has 2.5 %."""
    high = 2 * count + 20
    lower = 0.0
    if count:
        lower = bisect(lambda m: (1 - poisson_at_most(count - 1, m)) - TAIL, 0, high)
    return lower, bisect(lambda m: TAIL - poisson_at_most(count, m), 0, high)


def binomial_between(low: int, high: int, of: int, share: float) -> float:
    return fsum(comb(of, k) * share**k * (1 - share) ** (of - k) for k in range(low, high + 1))


@cache
def binomial_share_limits(count: int, of: int) -> tuple[float, float]:
    """Clopper and Pearson 1934, each limit with 2.5 % beyond."""
    lower, upper = 0.0, 1.0
    if count:
        lower = bisect(lambda p: binomial_between(count, of, of, p) - TAIL, 0, 1)
    if count < of:
        upper = bisect(lambda p: TAIL - binomial_between(0, count, of, p), 0, 1)
    return lower, upper


def poisson_rate_limits(count: int, years: float) -> tuple[float, float]:
    lower, upper = poisson_mean_limits(count)
    return lower / years, upper / years if years else inf
