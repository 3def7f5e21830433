"""What each signal is, how it decides and what may mislead it, in words for its help page."""

from __future__ import annotations

from dataclasses import dataclass

from reports.watch.lines import CLUSTER_RULE, RATE_RULE


@dataclass(frozen=True)
class RuleText:
    """One signal's help: a name, and sentences in the order in which they are asked for."""

    name: str
    looks_at: str
    alarms_when: str
    chosen_so: str
    misleads: str
    source: str


RULES: dict[str, RuleText] = {
    RATE_RULE: RuleText(
        "Weekly sum of peritonitis",
        "Every week, the counted episodes and the days at risk of the clinic.",
        "An episode adds the logarithm of 2; the days at risk take away what a steady clinic would "
        "have added. The sum never falls below nought. Above its limit it is an alarm, and it "
        "starts again from nought.",
        "The limit is chosen for the clinic’s own size, so that luck alone raises this alarm about "
        "once in seven years or less often. It is best at finding a rate that has doubled.",
        "Episodes that cluster in a few patients raise it more often than luck would: on fifty "
        "made-up networks without a story, whose patients differ in risk, whose episodes repeat "
        "and whose clinics differ, it came 1.4 times as often as its sentence says (1.2 to 1.6) "
        "where the rate was the target’s. Late "
        "entries move an alarm. The baseline is the target until a director agrees on another.",
        "Page 1954, for varying time at risk Mei, Han & Tsui 2011 (both from memory).",
    ),
    CLUSTER_RULE: RuleText(
        "Cluster of an organism group",
        "The first isolate of each patient in each organism group; relapses are left out. The "
        "three water organisms are also looked at together.",
        "Three or more patients within eight weeks, where the group was rare enough in the two "
        "years before.",
        "The number needed is chosen so that all groups together seldom raise an alarm by luck; "
        "each line says its own frequency.",
        "A change of laboratory, of names or of sampling can bring isolates together. A group is "
        "not a strain: only typing tells one strain.",
        "Naus 1965, Wallenstein & Neff 1987 for the chance of so many in one window (from memory).",
    ),
}
