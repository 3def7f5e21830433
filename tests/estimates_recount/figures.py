"""The figures of the estimates, one after the other, from sets of days: no columns, no searches."""

from collections.abc import Callable
from datetime import date, timedelta
from math import exp, isnan, log, nan, sqrt

from tests.estimates_recount.watch import Person, events_in, first_in
from tests.recount.limits import binomial_between, bisect, poisson_at_most
from tests.recount.periods import Period

YEAR = 365.25
DAY = timedelta(days=1)
Z = 1.959963984540054
Zero = Callable[[Person], date]


def started_on(person: Person) -> date:
    """The first day on PD, where the clock shows its first day."""
    assert person.began_on is not None
    return person.began_on


def mid_p_limits(count: int, years: float) -> tuple[float, float]:
    """statistics.md 2.3, searched on the tails themselves."""

    def more_and_half(mean: float) -> float:
        at_most, below = poisson_at_most(count, mean), poisson_at_most(count - 1, mean)
        return 1 - (at_most + (below if count else 0.0)) / 2

    high = 3.0 * count + 20
    lower = bisect(lambda mean: more_and_half(mean) - 0.025, 0, high) if count else 0.0
    return lower / years, bisect(lambda mean: more_and_half(mean) - 0.975, 0, high) / years


def own_years(people: list[Person], period: Period) -> list[tuple[int, float]]:
    """(counted episodes, years) of each patient with a day at risk in the period."""
    found = []
    for person in people:
        days = sum(day in person.days for day in period.days)
        if days:
            found.append((len(events_in(person.counted, period)), days / YEAR))
    return found


def dispersion(own: list[tuple[int, float]]) -> float:
    total, years = sum(x for x, _ in own), sum(t for _, t in own)
    if not total or len(own) < 2:
        return nan
    return sum((x - total / years * t) ** 2 / (total / years * t) for x, t in own) / (len(own) - 1)


def robust_limits(own: list[tuple[int, float]]) -> tuple[float, float]:
    total, years = sum(x for x, _ in own), sum(t for _, t in own)
    if not total:
        return nan, nan
    rate = total / years
    width = Z * sqrt(sum((x - rate * t) ** 2 for x, t in own)) / total
    return rate * exp(-width), rate * exp(width)


def full_year_free(people: list[Person], period: Period) -> tuple[int, int]:
    """(free, at risk on every day)"""
    there = [person for person in people if all(day in person.days for day in period.days)]
    return sum(not events_in(person.confirmed, period) for person in there), len(there)


def incidence(
    people: list[Person], period: Period, since: date, zero: Zero, at: int
) -> tuple[float, float]:
    """Aalen-Johansen and 1 - Kaplan-Meier of a first peritonitis from `since` on, clock day by day.

    On clock day 1, 2, ... of each patient: watched if that day is at risk, inside the period, and
    no earlier peritonitis has ended the watch.
    """
    free = free_km = 1.0
    cumulative = 0.0
    if longest(people, period, since, zero) < at:
        return nan, nan
    for number in range(1, at + 1):
        watched = infected = left = 0
        for person in people:
            day = zero(person) + (number - 1) * DAY
            event = first_in(person, since)
            if day in person.days and period.first <= day <= period.last:
                if event is not None and day > event:
                    continue
                watched += 1
                infected += day == event
                left += day == person.left_on and day != event
        if watched:
            cumulative += free * infected / watched
            free *= 1 - (infected + left) / watched
            free_km *= 1 - infected / watched
    return cumulative, 1 - free_km


def longest(people: list[Person], period: Period, since: date, zero: Zero) -> int:
    """The last clock day on which anybody was watched."""
    days = [0]
    for person in people:
        event = first_in(person, since) or date.max
        days += [
            (day - zero(person)).days + 1
            for day in person.days
            if period.first <= day <= min(period.last, event)
        ]
    return max(days)


def mean_counts(people: list[Person], last: date, at: int) -> tuple[float, float]:
    """Naive and Ghosh-Lin mean number of counted episodes by a day since PD began."""
    naive = weighted = 0.0
    staying = 1.0
    if longest(people, Period("", "", date.min, last), date.max, started_on) < at:
        return nan, nan
    for number in range(1, at + 1):
        days = [(person, started_on(person) + (number - 1) * DAY) for person in people]
        watched = [(person, day) for person, day in days if day in person.days and day <= last]
        if not watched:
            continue
        events = sum(person.counted.count(day) for person, day in watched)
        naive += events / len(watched)
        weighted += staying * events / len(watched)
        staying *= 1 - sum(day == person.left_on for person, day in watched) / len(watched)
    return naive, weighted


def exact_ratio(x: int, t: float, y: int, u: float) -> tuple[float, float, float, float]:
    """Ratio, limits and central p, by searching the binomial tails (statistics.md 2.6)."""
    n, equal = x + y, t / (t + u)
    if not n:
        return nan, 0.0, nan, 1.0
    low = bisect(lambda p: binomial_between(x, n, n, p) - 0.025, 0, 1) if x else 0.0
    high = bisect(lambda p: 0.025 - binomial_between(0, x, n, p), 0, 1) if y else 1.0
    tails = min(binomial_between(0, x, n, equal), binomial_between(x, n, n, equal))
    ratio = x / t / (y / u) if y else nan
    upper = high / (1 - high) * u / t if high < 1 else nan
    return ratio, low / (1 - low) * u / t, upper, min(1.0, 2 * tails)


def clustered_ratio(
    cells: list[dict[str, tuple[int, float]]], band: str, reference: str
) -> tuple[float, float, float]:
    """Ratio, Wald error and patient-clustered error of its logarithm; nan without episodes."""
    sums = {
        one: (sum(cell.get(one, (0, 0))[0] for cell in cells),
              sum(cell.get(one, (0, 0))[1] for cell in cells))
        for one in (band, reference)
    }  # fmt: skip
    (x, t), (y, u) = sums[band], sums[reference]
    if not (x and y):
        return nan, nan, nan
    variance = 0.0
    for cell in cells:
        (a, s), (b, r) = cell.get(band, (0, 0.0)), cell.get(reference, (0, 0.0))
        variance += ((a - x / t * s) / x - (b - y / u * r) / y) ** 2
    return x / t / (y / u), sqrt(1 / x + 1 / y), sqrt(variance)


def heterogeneity(cells: list[dict[str, tuple[int, float]]]) -> tuple[float, int]:
    """Likelihood ratio of all bands equal, and its degrees of freedom."""
    bands = sorted({band for cell in cells for band in cell})
    sums = [
        (sum(c.get(b, (0, 0))[0] for c in cells), sum(c.get(b, (0, 0))[1] for c in cells))
        for b in bands
    ]
    if len(sums) < 2:
        return nan, 0
    rate = sum(x for x, _ in sums) / sum(t for _, t in sums)
    return 2 * sum(x * log(x / (rate * t)) for x, t in sums if x), len(sums) - 1


def same(one: float | None, other: float) -> bool:
    """Two routes' numbers: both missing, or equal to nine digits."""
    if one is None or isnan(one):
        return isnan(other)
    return abs(one - other) <= 1e-9 * max(1.0, abs(other))
