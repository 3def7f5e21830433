"""In which order rows of periods stand."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from surveillance.periods import Period
from surveillance.time_at_risk.stretches import Ints


def period_ranks(periods: Sequence[Period]) -> tuple[Ints, Ints]:
    """Rank of each period by start and end, and of its text among all.

    The first sorts rows before measure, split and band, the second after them: a calendar year and
    the four quarters to its last are the same days. Source: design 3.3. Test: test_calendar.py.
    """
    spans = [period.first_month * 10_000 + period.stop_month for period in periods]
    texts = np.array([period.text for period in periods], dtype=object)
    span = np.unique(np.array(spans, dtype=np.int64), return_inverse=True)[1]
    return span.astype(np.int64), np.unique(texts, return_inverse=True)[1].astype(np.int64)
