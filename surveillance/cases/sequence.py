"""How each confirmed row follows those before it, as columns of all rows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from surveillance.cases.classes import (
    RECURRENT,
    RELAPSING,
    SAME_EPISODE,
    Chain,
    Classes,
    classify,
    counted_before,
    shared_organisms,
)
from surveillance.cases.episodes import Episodes
from surveillance.cases.joined import (
    Joined,
    first_rows,
    joined,
    latest_before,
    latest_ends,
    with_lent_cultures,
    with_lent_organisms,
)
from surveillance.cases.organisms import Findings, Organisms
from surveillance.rules import RuleSet
from surveillance.tables import NO_DAY
from surveillance.time_at_risk.stretches import Bools, Ints

NOT_IN_SEQUENCE = -1


@dataclass(frozen=True)
class Sequence:
    """The sequence of every row, and what an episode is once same_episode rows have joined it."""

    first: Ints  # row of the first of its episode; a row off the sequence is its own
    sequence: Ints  # code in SEQUENCES, NOT_IN_SEQUENCE unless confirmed
    index: Ints  # row of the index, -1 without
    gap_days: Ints  # NO_DAY without
    therapy_end: Ints  # on a first row the latest known of its episode
    culture: Ints  # on a first row over all samples of its episode
    found: Findings  # likewise, vaguer names dropped
    next_relapses: Bools  # the next episode is relapsing or recurrent
    relapse_counted: Bools  # relapsing in a chain that has counted


def _chain(rows: Episodes, made: Joined, culture: Ints, found: Findings) -> Chain:
    heads = made.heads
    return Chain(
        key=made.key[made.opens],
        onset=rows.onset[heads],
        end=latest_ends(rows, made),
        culture=culture[heads],
        named=np.isin(heads, found.row),
        follows=made.follows,
    )


def _scattered(size: int, row: Ints, values: Ints, otherwise: int) -> Ints:
    """A column of all rows with values on some of them."""
    column = np.full(size, otherwise, dtype=np.int64)
    column[row] = values
    return column


def _next_relapses(classes: Classes) -> Ints:
    """Whether the next episode is relapsing or recurrent: neither is ever a patient's first."""
    bad = np.isin(classes.code, (RELAPSING, RECURRENT))
    return np.append(bad[1:], False)[: len(bad)].astype(np.int64)


def sequence(rows: Episodes, at_risk: Bools, known: Organisms, rule_set: RuleSet) -> Sequence:
    """How each confirmed row follows those before it, within its patient and kind.

    at_risk: whether each row's onset is. Source: design 3.1, with standards.md 2.4 as test vectors.
    Test: tests/surveillance/cases/test_sequence.py.
    """
    made, size = joined(rows), len(rows)
    first = first_rows(rows, made)
    culture, found = with_lent_cultures(rows, first), with_lent_organisms(rows, first, known)
    chain, heads = _chain(rows, made, culture, found), made.heads
    shared = shared_organisms(found, heads, chain.key, known)
    classes = classify(chain, shared, rule_set.days("relapse_window_days"))
    again = (classes.code == RELAPSING) & counted_before(classes.code, at_risk[heads])
    end = rows.therapy_end.copy()
    end[heads] = chain.end
    code, index, gap = _with_joined(rows, made, first, classes)
    return Sequence(
        first=first,
        sequence=code,
        index=index,
        gap_days=gap,
        therapy_end=end,
        culture=culture,
        found=found,
        next_relapses=_scattered(size, heads, _next_relapses(classes), 0).astype(bool),
        relapse_counted=_scattered(size, heads, again.astype(np.int64), 0).astype(bool),
    )


def _with_joined(
    rows: Episodes, made: Joined, first: Ints, classes: Classes
) -> tuple[Ints, Ints, Ints]:
    """Class, index and gap of all rows; a joining row is held against the end known before."""
    heads, size = made.heads, len(rows)
    code = _scattered(size, heads, classes.code, NOT_IN_SEQUENCE)
    index = _scattered(size, heads, np.append(heads, -1)[classes.index], -1)
    gap = _scattered(size, heads, classes.gap, NO_DAY)
    row = made.rows[made.later]
    end = latest_before(made.group, rows.therapy_end[made.rows])[made.later]
    code[row], index[row] = SAME_EPISODE, first[row]
    gap[row] = np.where(end == NO_DAY, NO_DAY, rows.onset[row] - end)
    return code, index, gap
