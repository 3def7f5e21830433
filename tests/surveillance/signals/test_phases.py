"""Which baseline holds on which day."""

import numpy as np

from surveillance.rules import RULE_SETS
from surveillance.signals.phases import Phase, baselines

DAYS = np.array([0, 9, 10, 19, 20, 30])


def test_without_a_recorded_phase_the_target_holds() -> None:
    found = baselines(["A"], {}, DAYS, RULE_SETS["rule_2016"])
    assert found.expected.tolist() == [[0.5] * 6]
    assert not found.is_agreed.any()


def test_a_phase_holds_from_its_first_day_to_the_next_and_only_in_its_clinic() -> None:
    phases = {"B": [Phase(10, 0.3), Phase(20, None)]}
    found = baselines(["A", "B"], phases, DAYS, RULE_SETS["rule_2022"])
    assert found.phase.tolist() == [[0] * 6, [0, 0, 1, 1, 2, 2]]
    assert found.expected[1].tolist() == [0.4, 0.4, 0.3, 0.3, 0.4, 0.4]
    assert found.is_agreed[1].tolist() == [False, False, True, True, False, False]
