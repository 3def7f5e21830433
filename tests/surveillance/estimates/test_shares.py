"""A share has exact limits and says whom it leaves out."""

import numpy as np
import pytest

from surveillance.estimates.rows import LONGER, cells
from surveillance.estimates.shares import share_block
from surveillance.measures.compute import facts_of
from surveillance.rules import RULE_SETS
from tests.surveillance.records import AS_OF, known_organisms, make_record, spell

RECORD = make_record(pd_spells=[spell("2025-01-01")])
FACTS = facts_of(RECORD, known_organisms(), RULE_SETS["rule_2022"], AS_OF, None)
ONES = np.ones((1, len(FACTS.when.periods)), dtype=np.int64)


def test_three_of_fourteen():
    # statistics.md 2.20: Clopper-Pearson 4.7-50.8 %
    block = share_block(FACTS, "a_share", [3 * ONES, 14 * ONES, 2 * ONES], "kind", "wet")
    assert block.value[0] == pytest.approx(3 / 14)
    assert (block.lower[0], block.upper[0]) == pytest.approx((0.047, 0.508), abs=0.0005)
    assert block.note[0] == "left out as unknown: 2"
    assert (block.split, block.labels) == ("kind", ("wet",))


def test_none_asked_has_no_share():
    block = share_block(FACTS, "a_share", [0 * ONES, 0 * ONES, 0 * ONES])
    assert np.isnan(block.value).all() and np.isnan(block.lower).all()
    assert set(block.note) == {""}
    assert len(block.at) == len(cells(FACTS, LONGER)) == 6
