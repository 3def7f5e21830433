"""A share of what is known, with exact limits and a word on what is left out."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from surveillance.estimates.rows import LONGER, Block, Floats, cells
from surveillance.measures.facts import Facts
from surveillance.rates.binomial import clopper_pearson
from surveillance.time_at_risk.stretches import Ints


def share_block(
    facts: Facts, name: str, counts: Sequence[Ints], split: str = "", band: str = ""
) -> Block:
    """A share of each clinic in each quarter, year and rolling year.

    counts: of yes, of those asked, and of those left out as unknown, each clinics x periods.
    Test: tests/surveillance/estimates/test_shares.py.
    """
    at = cells(facts, LONGER)
    x, n, left_out = map(at.of, counts)
    texts = [f"left out as unknown: {number}" if number else "" for number in left_out.tolist()]
    share: Floats = np.where(n > 0, x / np.maximum(n, 1), np.nan)
    level = facts.rule_set.number("limits_level")
    lower, upper = clopper_pearson(x.astype(float), n.astype(float), level)
    none = np.zeros(len(at), dtype=np.int64)
    return Block(name, "exact_binomial", at, share, lower, upper, texts, split, none, (band,))
