"""Run lengths of the cumulative sums at their edges; the figures are in tests/published."""

import pytest

from surveillance.signals.cusum import cusum_arl, lr_cusum_arl


def test_a_start_above_the_limit_is_refused():
    with pytest.raises(ValueError, match="start 5: from 0 to h, which is 3"):
        cusum_arl(1, 1.5, 3, start=5)


@pytest.mark.parametrize(("baseline", "truth", "ratio"), [(0, 1, 2), (0.2, 0, 2), (0.2, 1, 1)])
def test_a_sum_that_never_alarms_has_no_run_length(baseline, truth, ratio):
    with pytest.raises(ValueError, match="above"):
        lr_cusum_arl(baseline, truth, ratio, 2.5)
