"""How each confirmed episode follows the one before it, and which of a chain counts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from surveillance.cases import criteria
from surveillance.cases.episodes import KINDS, Episodes
from surveillance.cases.organisms import Findings, Organisms, findings, pairs, without_vaguer
from surveillance.rules import RuleSet
from surveillance.tables import NO_DAY
from surveillance.time_at_risk.stretches import Bools, Ints

SEQUENCES = ("new", "relapsing", "recurrent", "repeat", "same_episode", "undetermined")
NEW, RELAPSING, RECURRENT, REPEAT, SAME_EPISODE, UNDETERMINED = range(6)
NOT_IN_SEQUENCE = -1


@dataclass(frozen=True)
class Joined:
    """Confirmed rows by patient, kind, onset and name, those of one episode under its first."""

    rows: Ints  # in order
    sequence_key: Ints  # patient and kind, of each of them
    group: Ints  # episode of each of them, rising
    first: Ints  # place in rows of each episode's first


@dataclass(frozen=True)
class Sequence:
    """The sequence of every row, and what an episode is once same_episode rows have joined it."""

    first: Ints  # row of the first of its episode; a row off the sequence is its own
    sequence: Ints  # code in SEQUENCES, NOT_IN_SEQUENCE unless confirmed
    index: Ints  # row of the index, -1 without
    gap_days: Ints  # NO_DAY without
    therapy_end: Ints  # latest known of the episode, on its first row
    culture: Ints  # over all samples, on its first row
    found: Findings  # organisms over all samples, vaguer names dropped
    next_relapses: Bools  # the next episode is relapsing or recurrent
    relapse_counted: Bools  # relapsing in a chain that has counted


def _joined(rows: Episodes) -> Joined:
    """Dates alone decide who joins: the same onset day, or an onset by the latest known end.

    The latest end of all earlier rows serves, since an episode begins after every known end.
    """
    confirmed = np.flatnonzero(rows.confirmed == criteria.CONFIRMED)
    key = rows.patient[confirmed] * len(KINDS) + rows.kind[confirmed]
    order = np.lexsort((rows.name_rank[confirmed], rows.onset[confirmed], key))
    ordered, key = confirmed[order], key[order]
    onset = rows.onset[ordered]
    before = _latest_before(key, rows.therapy_end[ordered])
    opens = np.ones(len(ordered), dtype=bool)
    opens[1:] = (key[1:] != key[:-1]) | (onset[1:] > np.maximum(onset[:-1], before[1:]))
    return Joined(ordered, key, np.cumsum(opens) - 1, np.flatnonzero(opens))


def _latest_before(key: Ints, end: Ints) -> Ints:
    """The latest known end of the earlier rows with the same (rising) key; NO_DAY without."""
    if len(key) == 0:
        return end
    number = np.unique(key, return_inverse=True)[1]
    span = 2**33  # above the distance of any two days, so that a later key outweighs every day
    reach = np.maximum.accumulate(number * span + (end - NO_DAY))
    before = np.append(0, reach[:-1]) - number * span + NO_DAY
    return np.maximum(before, NO_DAY)


def _lent(rows: Episodes, joined: Joined, known: Organisms) -> tuple[Ints, Ints, Findings]:
    """First row of each row's episode, cultures and organisms with what joined rows lend."""
    first = np.arange(len(rows))
    first[joined.rows] = joined.rows[joined.first][joined.group]
    culture = rows.culture.copy()
    np.maximum.at(culture, first, rows.culture)
    own = rows.found
    lent = first[own.row]
    both = findings(np.concatenate([own.row, lent]), np.concatenate([own.organism, own.organism]))
    return first, culture, without_vaguer(both, known)


def _latest_ends(rows: Episodes, joined: Joined) -> Ints:
    """The latest known therapy end of each episode; NO_DAY if none is known."""
    ends = np.full(len(joined.first), NO_DAY, dtype=np.int64)
    np.maximum.at(ends, joined.group, rows.therapy_end[joined.rows])
    return ends


def _shared(found: Findings, heads: Ints, key: Ints, known: Organisms) -> tuple[Ints, Ints]:
    """Every (episode, earlier episode) of one patient and kind that share an organism."""
    of_row = np.full(max(heads.max(initial=-1), found.row.max(initial=-1)) + 1, -1, dtype=np.int64)
    of_row[heads] = np.arange(len(heads))
    episode = of_row[found.row]
    order = np.argsort(episode[episode >= 0], kind="stable")
    organism = found.organism[episode >= 0][order]
    episode = episode[episode >= 0][order]
    one, other = pairs(key[episode], key[episode])
    earlier = episode[other] < episode[one]
    one, other = one[earlier], other[earlier]
    same = known.same(organism[one], organism[other])
    return episode[one[same]], episode[other[same]]


def _unclear(culture: Ints, has_name: Bools) -> Bools:
    """Not cultured, pending, or grown without a name."""
    waiting = (culture == criteria.NOT_CULTURED) | (culture == criteria.CULTURE_PENDING)
    unclear: Bools = waiting | ((culture == criteria.POSITIVE) & ~has_name)
    return unclear


@dataclass(frozen=True)
class _Classes:
    """Of each episode: its class, the episode that decided it (-1 = none) and the gap to it."""

    code: Ints
    index: Ints
    gap: Ints


def _classes(
    onset: Ints, end: Ints, follows: Bools, clear: Bools, sterile: Bools,
    shared: tuple[Ints, Ints], window: int,
) -> _Classes:  # fmt: skip
    """Design 3.1, rules 1 to 3, for every episode at once; `follows`: has one before it."""
    count = len(onset)
    before = np.where(follows, np.arange(count) - 1, -1)
    prior_end = np.where(follows, end[before], NO_DAY) if count else end
    known = follows & (prior_end != NO_DAY)
    near = known & (onset - prior_end <= window)
    shares_last = np.zeros(count, dtype=bool)
    shares_last[shared[0][shared[0] - 1 == shared[1]]] = True
    past = (end[shared[1]] != NO_DAY) & (onset[shared[0]] - end[shared[1]] > window)
    repeated = np.full(count, -1, dtype=np.int64)
    np.maximum.at(repeated, shared[0][past], shared[1][past])
    both_clear = clear & clear[before] if count else clear
    either_sterile = sterile | sterile[before] if count else sterile
    code = np.select(
        [~follows, ~known, near & ~both_clear, near & (either_sterile | shares_last), near,
         repeated >= 0],
        [NEW, UNDETERMINED, UNDETERMINED, RELAPSING, RECURRENT, REPEAT],
        NEW,
    )  # fmt: skip
    index = np.select([code == NEW, code == REPEAT], [np.full(count, -1), repeated], before)
    index_end = np.where(index >= 0, end[index], NO_DAY) if count else end
    gap = np.where(index_end == NO_DAY, NO_DAY, onset - index_end)
    return _Classes(code, index, gap)


def _counted_before(code: Ints, at_risk: Bools) -> Bools:
    """Whether an episode's chain has counted before it; all but relapses start a chain."""
    chain = np.cumsum(code != RELAPSING)
    so_far: Ints = np.cumsum(at_risk) - at_risk
    starts = np.searchsorted(chain, chain, "left")
    counted: Bools = so_far > so_far[starts]
    return counted


def sequence(rows: Episodes, at_risk: Bools, known: Organisms, rule_set: RuleSet) -> Sequence:
    """How each confirmed row follows those before it, within its patient and kind.

    at_risk: whether each row's onset is. Source: design 3.1, with standards.md 2.4 as test vectors.
    Test: tests/surveillance/cases/test_sequence.py.
    """
    joined = _joined(rows)
    first, culture, found = _lent(rows, joined, known)
    heads, end = joined.rows[joined.first], _latest_ends(rows, joined)
    key = joined.sequence_key[joined.first]
    follows = np.append(False, key[1:] == key[:-1])[: len(key)]
    has_name = np.isin(heads, found.row)
    made = _classes(
        rows.onset[heads], end, follows, ~_unclear(culture[heads], has_name),
        culture[heads] == criteria.CULTURE_NEGATIVE, _shared(found, heads, key, known),
        rule_set.days("relapse_window_days"),
    )  # fmt: skip
    ends_badly = np.isin(made.code, (RELAPSING, RECURRENT)) & follows
    result = Sequence(
        first=first,
        sequence=np.full(len(rows), NOT_IN_SEQUENCE, dtype=np.int64),
        index=np.full(len(rows), -1, dtype=np.int64),
        gap_days=np.full(len(rows), NO_DAY, dtype=np.int64),
        therapy_end=rows.therapy_end.copy(),
        culture=culture,
        found=found,
        next_relapses=np.zeros(len(rows), dtype=bool),
        relapse_counted=np.zeros(len(rows), dtype=bool),
    )
    _fill_joined(result, rows, joined)
    result.sequence[heads] = made.code
    result.index[heads] = np.where(made.index >= 0, np.append(heads, -1)[made.index], -1)
    result.gap_days[heads] = made.gap
    result.therapy_end[heads] = end
    result.next_relapses[heads] = np.append(ends_badly[1:], False)[: len(heads)]
    counted = _counted_before(made.code, at_risk[heads])
    result.relapse_counted[heads] = (made.code == RELAPSING) & counted
    return result


def _fill_joined(result: Sequence, rows: Episodes, joined: Joined) -> None:
    """A row that joins is measured against the latest end known before it joined."""
    before = _latest_before(joined.group, rows.therapy_end[joined.rows])
    later = np.ones(len(joined.rows), dtype=bool)
    later[joined.first] = False
    row, end = joined.rows[later], before[later]
    result.sequence[row] = SAME_EPISODE
    result.index[row] = result.first[row]
    result.gap_days[row] = np.where(end == NO_DAY, NO_DAY, rows.onset[row] - end)
