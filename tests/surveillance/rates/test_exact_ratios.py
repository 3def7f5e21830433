"""Ratios in columns are the ratios one by one."""

import itertools

import numpy as np
import pytest

from surveillance.rates.compare import rate_ratio
from surveillance.rates.exact_ratios import exact_ratios
from tests.published.given_rows import example, given_rows

EXAMPLES = [name for name in given_rows("worked_examples.csv") if name.startswith("ratio-")]


def number(value: object) -> float:
    return float("nan") if value is None else float(value)


@pytest.mark.parametrize("name", EXAMPLES)
def test_worked_example_is_reproduced(name: str):
    # worked_examples ratio-: R poisson.test(...)$conf.int and central p
    given, expected = example(name)
    found = exact_ratios(**given)
    limits = [float(found.lower), float(found.upper)]
    assert float(found.ratio) == pytest.approx(number(expected["ratio"]), rel=1e-6, nan_ok=True)
    assert limits == pytest.approx([number(one) for one in expected["exact"]], rel=1e-6)
    assert float(found.p_central) == pytest.approx(expected["p_central"], rel=1e-6)


def test_columns_agree_with_one_by_one():
    counts = list(itertools.product([0, 1, 4, 30], [0, 2, 7]))
    x, y = (np.array(column) for column in zip(*counts, strict=True))
    t, u = np.linspace(0.5, 40, len(x)), np.linspace(30, 2, len(x))
    found = exact_ratios(x, t, y, u, 0.95)
    for place, (one, other) in enumerate(counts):
        alone = rate_ratio(one, t[place], other, u[place], 0.95)
        assert number(alone.ratio) == pytest.approx(found.ratio[place], rel=1e-12, nan_ok=True)
        assert alone.exact == pytest.approx((found.lower[place], found.upper[place]), rel=1e-12)
        assert alone.p_central == pytest.approx(found.p_central[place], rel=1e-12)
