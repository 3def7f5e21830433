"""What an episode has to do with the catheter: its insertion, and infections beside it."""

from __future__ import annotations

import numpy as np

from surveillance.cases import criteria
from surveillance.cases.episodes import PERITONITIS, Episodes
from surveillance.cases.organisms import Organisms, pairs
from surveillance.cases.sequence import Sequence
from surveillance.rules import RuleSet
from surveillance.time_at_risk.seen import days_of
from surveillance.time_at_risk.splits import text_rank
from surveillance.time_at_risk.stretches import Bools, Ints
from surveillance.time_at_risk.timeline import Timeline

INSERTION_RELATED = ("no", "yes", "unknown")
NO, YES, UNKNOWN = range(3)


def latest_insertion(at: Timeline, rows: Episodes) -> Ints:
    """Row of the catheter inserted last on or before each onset (of one day the last by name).

    -1 where none was. Source: design 3.1 and 3.3. Test: tests/surveillance/cases/test_catheters.py.
    """
    catheters = at.record.catheters
    patient = catheters["patient"].to_numpy()
    place = at.line.at(patient, days_of(catheters, "inserted_on"))
    order = np.lexsort((text_rank(catheters["catheter"]), place))
    last = np.searchsorted(place[order], at.line.at(rows.patient, rows.onset), "right") - 1
    row = np.append(order, -1)[last]
    return np.where(np.append(patient, -1)[row] == rows.patient, row, -1)


def insertion_related(at: Timeline, rows: Episodes, catheter: Ints, rule_set: RuleSet) -> Ints:
    """Whether each onset lies in the insertion window of its latest catheter.

    catheter: from `latest_insertion`. Source: design 3.1. Test: test_catheters.py.
    """
    inserted = np.append(days_of(at.record.catheters, "inserted_on"), 0)[catheter]
    near = rows.onset - inserted <= rule_set.days("insertion_window_days")
    return np.select([catheter < 0, near], [UNKNOWN, YES], NO)


def catheter_related(
    rows: Episodes, chained: Sequence, known: Organisms, rule_set: RuleSet
) -> Bools:
    """Whether a confirmed catheter infection goes with each confirmed peritonitis.

    At most so many days before or after; the same organism, or one of the two sterile.
    Source: design 3.1. Test: tests/surveillance/cases/test_catheters.py.
    """
    confirmed = rows.confirmed == criteria.CONFIRMED
    first = np.flatnonzero(confirmed & (rows.kind == PERITONITIS))
    second = np.flatnonzero(confirmed & (rows.kind != PERITONITIS))
    second = second[np.argsort(rows.patient[second], kind="stable")]
    one, other = pairs(rows.patient[first], rows.patient[second])
    episode, infection = first[one], second[other]
    window = rule_set.days("catheter_related_window_days")
    near = np.abs(rows.onset[episode] - rows.onset[infection]) <= window
    episode, infection = episode[near], infection[near]
    sterile = chained.culture == criteria.CULTURE_NEGATIVE
    goes = sterile[episode] | sterile[infection] | _share(episode, infection, chained, known)
    return np.isin(np.arange(len(rows)), episode[goes])


def _share(one: Ints, other: Ints, chained: Sequence, known: Organisms) -> Bools:
    """Whether two rows share an organism."""
    found = chained.found
    of_pair, left = pairs(one, found.row)
    of_left, right = pairs(other[of_pair], found.row)
    same = known.same(found.organism[left[of_left]], found.organism[right])
    return np.isin(np.arange(len(one)), of_pair[of_left[same]])
