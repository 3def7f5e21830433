"""Questions to a stored case row that more than one page asks."""

from __future__ import annotations

Cells = dict[str, str]

_OFF_RISK = ("before_pd", "paused", "before_training", "after_pd")


def is_episode(case: Cells) -> bool:
    """Confirmed peritonitis that stands for itself: the denominator of the shares."""
    return (
        case["kind"] == "peritonitis"
        and case["confirmed"] == "confirmed"
        and case["sequence"] != "same_episode"
    )


def is_at_risk(case: Cells) -> bool:
    """Off risk comes before relapse among the reasons, so a relapse was at risk."""
    return case["reason"].removeprefix("not_counted_") not in _OFF_RISK


def is_counted(case: Cells) -> bool:
    return case["counts"] == "yes"
