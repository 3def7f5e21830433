"""Agreement and kappa, by hand."""

import pytest

from reports.sample.agreement import agreement


def test_kappa_of_a_table_counted_by_hand() -> None:
    # 2 x 2: both 0: 20, 0/1: 5, 1/0: 10, both 1: 15. p_o = 35/50 = 0.7;
    # p_e = (25 x 30 + 25 x 20) / 2500 = 0.5; kappa = 0.2 / 0.5 = 0.4. Own arithmetic.
    pairs = [(0, 0)] * 20 + [(0, 1)] * 5 + [(1, 0)] * 10 + [(1, 1)] * 15
    found = agreement(pairs)

    assert found is not None and found.kappa == pytest.approx(0.4)
    assert (found.same, found.of, found.share) == (35, 50, 0.7)
    assert found.lower < 0.7 < found.upper


def test_where_every_chart_says_the_same_there_is_no_kappa() -> None:
    found = agreement([(0, 0)] * 10)

    assert found is not None and found.kappa is None
    # Clopper-Pearson with all of ten: 0.025 ** (1 / 10)
    assert (found.share, found.upper) == (1.0, 1.0)
    assert found.lower == pytest.approx(0.025 ** (1 / 10))


def test_of_no_chart_nothing_is_said() -> None:
    assert agreement([]) is None
