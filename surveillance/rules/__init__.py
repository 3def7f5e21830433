"""The named rule sets: every window, target and choice of the method, with its source."""

from surveillance.rules.diagnosis import DIAGNOSIS
from surveillance.rules.outcomes import DEATH_2016, DEATH_2022, OUTCOMES
from surveillance.rules.rule import Rule, RuleSet, Target, by_name
from surveillance.rules.sequence import SEQUENCE
from surveillance.rules.targets import TARGETS_2016, TARGETS_2022
from surveillance.rules.time_at_risk import START_2016, START_2022, TIME_AT_RISK

__all__ = ["DEFAULT_RULE_SET", "RULE_SETS", "Rule", "RuleSet", "Target"]

_SHARED = (DIAGNOSIS, SEQUENCE, OUTCOMES, TIME_AT_RISK)

DEFAULT_RULE_SET = "rule_2022"

RULE_SETS = {
    "rule_2022": RuleSet(
        "rule_2022",
        "ISPD 2022, catheter infections 2023",
        by_name(*_SHARED, DEATH_2022, START_2022),
        {target.measure: target for target in TARGETS_2022},
    ),
    "rule_2016": RuleSet(
        "rule_2016",
        "ISPD 2016",
        by_name(*_SHARED, DEATH_2016, START_2016),
        {target.measure: target for target in TARGETS_2016},
    ),
}
