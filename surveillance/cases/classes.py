"""The rules that tell a new episode from a relapsing, recurrent, repeat or undetermined one."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from surveillance.cases import criteria
from surveillance.cases.organisms import Findings, Organisms, pairs
from surveillance.tables import NO_DAY
from surveillance.time_at_risk.stretches import Bools, Ints

SEQUENCES = ("new", "relapsing", "recurrent", "repeat", "same_episode", "undetermined")
NEW, RELAPSING, RECURRENT, REPEAT, SAME_EPISODE, UNDETERMINED = range(6)


@dataclass(frozen=True)
class Chain:
    """Episodes in order, once same_episode rows have joined; one value an episode."""

    key: Ints  # patient and kind
    onset: Ints
    end: Ints  # latest known therapy end, NO_DAY without
    culture: Ints
    named: Bools  # an organism was named
    follows: Bools  # another episode with the same key comes before

    def before(self, values: Ints | Bools) -> Ints | Bools:
        """Each episode's value of the one before it; meaningless where none is."""
        return np.roll(values, 1)


@dataclass(frozen=True)
class Classes:
    """Of each episode its class, the episode that decided it (-1 = none) and the gap to it."""

    code: Ints
    index: Ints
    gap: Ints  # NO_DAY where unknown


def shared_organisms(
    found: Findings, heads: Ints, key: Ints, known: Organisms
) -> tuple[Ints, Ints]:
    """Every (episode, earlier episode) with one key that share an organism.

    heads: first row of each episode. Test: tests/surveillance/cases/test_sequence.py.
    """
    rows = max(heads.max(initial=-1), found.row.max(initial=-1)) + 1
    of_row = np.full(rows, -1, dtype=np.int64)
    of_row[heads] = np.arange(len(heads))
    place = np.flatnonzero(of_row[found.row] >= 0)
    place = place[np.argsort(of_row[found.row[place]], kind="stable")]
    episode, organism = of_row[found.row[place]], found.organism[place]
    one, other = pairs(key[episode], key[episode])
    earlier = episode[other] < episode[one]
    one, other = one[earlier], other[earlier]
    same = known.same(organism[one], organism[other])
    return episode[one[same]], episode[other[same]]


def _clear(chain: Chain) -> Bools:
    """Neither not cultured, nor pending, nor grown without a name."""
    positive = (chain.culture == criteria.POSITIVE) & chain.named
    clear: Bools = positive | (chain.culture == criteria.CULTURE_NEGATIVE)
    return clear


def _relapses(chain: Chain, shared: tuple[Ints, Ints]) -> Bools:
    """Either of an episode and the one before it is sterile, or they share an organism."""
    sterile = chain.culture == criteria.CULTURE_NEGATIVE
    with_last = shared[0][shared[0] - 1 == shared[1]]
    shares = np.isin(np.arange(len(chain.key)), with_last)
    relapses: Bools = sterile | chain.before(sterile).astype(bool) | shares
    return relapses


def _repeated(chain: Chain, shared: tuple[Ints, Ints], window: int) -> Ints:
    """The latest earlier episode that shares an organism and ended longer ago; -1 without."""
    one, other = shared
    past = (chain.end[other] != NO_DAY) & (chain.onset[one] - chain.end[other] > window)
    found = np.full(len(chain.key), -1, dtype=np.int64)
    np.maximum.at(found, one[past], other[past])
    return found


def classify(chain: Chain, shared: tuple[Ints, Ints], window: int) -> Classes:
    """The class of every episode at once.

    shared: from `shared_organisms`; window: last day of a relapse, in days after the therapy end.
    Source: design 3.1, rules 1 to 3; standards.md 2.4. Test: test_sequence.py.
    """
    end_before = np.where(chain.follows, chain.before(chain.end), NO_DAY)
    ended = end_before != NO_DAY
    near = ended & (chain.onset - end_before <= window)
    clear = _clear(chain)
    both_clear = clear & chain.before(clear).astype(bool)
    repeated = _repeated(chain, shared, window)
    holds = {
        NEW: ~chain.follows,
        UNDETERMINED: ~ended | (near & ~both_clear),
        RELAPSING: near & _relapses(chain, shared),
        RECURRENT: near,
        REPEAT: repeated >= 0,
    }
    code = np.select(list(holds.values()), list(holds), NEW)
    last = np.arange(len(code)) - 1
    index = np.select([code == NEW, code == REPEAT], [np.full(len(code), -1), repeated], last)
    end = np.append(chain.end, NO_DAY)[index]
    return Classes(code, index, np.where(end == NO_DAY, NO_DAY, chain.onset - end))


def counted_before(code: Ints, at_risk: Bools) -> Bools:
    """Whether an episode's chain has counted before it; all but relapses start a chain.

    at_risk: whether each episode's onset is. Source: design 3.1, counts. Test: test_sequence.py.
    """
    chain = np.cumsum(code != RELAPSING)
    so_far: Ints = np.cumsum(at_risk) - at_risk
    starts = np.searchsorted(chain, chain, "left")
    counted: Bools = so_far > so_far[starts]
    return counted
