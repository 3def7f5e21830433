"""Why two figures on one page have different denominators, counted on the stored case rows."""

from __future__ import annotations

from collections import Counter

from reports.rate_report.case_rows import is_counted, is_episode
from reports.rate_report.number_text import number_word, whole_text

Cells = dict[str, str]

_WHY = {  # of one, of several
    "not_counted_relapse": (
        "is a relapse of a counted episode",
        "are relapses of counted episodes",
    ),
    "not_counted_before_pd": ("began before PD", "began before PD"),
    "not_counted_paused": ("began while PD was paused", "began while PD was paused"),
    "not_counted_before_training": ("began before training", "began before training"),
    "not_counted_after_pd": ("began after PD had ended", "began after PD had ended"),
}


def why_more_episodes(cases: list[Cells]) -> str:
    """One sentence on confirmed episodes that do not count in the rate; empty if all do."""
    episodes = [case for case in cases if is_episode(case)]
    left_out = Counter(case["reason"] for case in episodes if not is_counted(case))
    if not left_out:
        return ""
    counted = len(episodes) - left_out.total()
    told = ", ".join(
        f"{number_word(left_out[reason])} {words[left_out[reason] > 1]}"
        for reason, words in _WHY.items() if left_out[reason]
    )  # fmt: skip
    here, above = whole_text(len(episodes)), whole_text(counted)
    return f"{here} episodes here and {above} counted above: {told}."
