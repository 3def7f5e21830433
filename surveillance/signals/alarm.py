"""How a reader of signal rows knows an alarm from a quiet line."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

# What people are to be told of at once; anything else that stands out is for the page only.
DEFAULT_ALARMS = ("peritonitis_cusum", "organism_cluster")
ALARMS = (*DEFAULT_ALARMS, "funnel", "funnel_low")
# These stand out below their limit, all others above it.
BELOW = ("funnel_low", "funnel_warning_low", "quarterly_rate_low", "crossings")


def stands_out(row: Mapping[str, Any]) -> bool:
    """Whether a signal row lies strictly beyond its limit; without a limit it does not.

    row: a signal row with its numbers (an empty cell as None or not a number). Source: our choice.
    Test: tests/surveillance/signals/test_alarm.py.
    """
    statistic, limit = row["statistic"], row["limit"]
    if statistic is None or limit is None:
        return False
    return bool(statistic < limit if row["rule"] in BELOW else statistic > limit)


def is_alarm(row: Mapping[str, Any]) -> bool:
    """Whether a signal row is an alarm: beyond its limit, by a rule that raises alarms.

    Source: statistics.md 2.22. Test: tests/surveillance/signals/test_alarm.py.
    """
    return row["rule"] in ALARMS and stands_out(row)
