"""Rule sets carry every window and target with source and certainty."""

import numpy as np
import pytest

from surveillance.rules import DEFAULT_RULE_SET, RULE_SETS

# Sources: standards.md 2.1, 2 and 3.3 (ISPD 2016 and 2022; S1, S3), as design 3.3 fixes them.
TARGETS = {
    "rule_2022": {
        "peritonitis_rate": ("≤", 0.40),
        "exit_site_infection_rate": ("≤", 0.40),
        "peritonitis_free_share": (">", 0.80),
        "culture_negative_share": ("<", 0.15),
        "insertion_related_share": ("<", 0.05),
    },
    "rule_2016": {"peritonitis_rate": ("≤", 0.50), "culture_negative_share": ("<", 0.15)},
}


@pytest.mark.parametrize("name", TARGETS)
def test_targets_are_the_published_ones(name):
    found = RULE_SETS[name].targets.items()
    assert {key: (target.sign, target.value) for key, target in found} == TARGETS[name]


@pytest.mark.parametrize(("name", "days"), [("rule_2022", 30), ("rule_2016", 28)])
def test_the_death_window_differs(name, days):
    assert RULE_SETS[name].days("death_window_days") == days


def test_the_default_is_a_rule_set():
    assert DEFAULT_RULE_SET in RULE_SETS


def test_rule_sets_hold_the_same_rules():
    assert set(RULE_SETS["rule_2022"].rules) == set(RULE_SETS["rule_2016"].rules)


@pytest.mark.parametrize("rule_set", RULE_SETS.values(), ids=lambda rule_set: rule_set.name)
def test_every_rule_and_target_names_its_source(rule_set):
    for entry in [*rule_set.rules.values(), *rule_set.targets.values()]:
        assert entry.source and entry.place and entry.certainty


@pytest.mark.parametrize(
    ("measure", "value", "meets"),
    [
        ("peritonitis_rate", 0.40, True),
        ("peritonitis_free_share", 0.80, False),
        ("culture_negative_share", 0.15, False),
    ],
)
def test_a_value_on_the_target_meets_it_only_where_the_text_says_no_more_than(
    measure, value, meets
):
    target = RULE_SETS["rule_2022"].targets[measure]
    assert target.met_by(np.array([value])).tolist() == [meets]


def test_asking_a_word_for_a_number_says_which_rule():
    with pytest.raises(TypeError, match="start_of_risk"):
        RULE_SETS["rule_2022"].number("start_of_risk")
