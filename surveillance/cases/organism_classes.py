"""The organism groups of an episode, and the one class that it falls in."""

from __future__ import annotations

import numpy as np

from surveillance.cases import criteria
from surveillance.cases.organisms import (
    GROUPS,
    OTHER_ORGANISM,
    Findings,
    Organisms,
)
from surveillance.time_at_risk.stretches import Bools, Ints

FUNGAL, MYCOBACTERIAL = GROUPS.index("fungal"), GROUPS.index("mycobacterial")
# Exclusive classes: the groups, then what is no single group.
CLASSES = (*GROUPS, "polymicrobial", *criteria.CULTURE_GROUPS[:3])
POLYMICROBIAL = len(GROUPS)
_NOT_POSITIVE = POLYMICROBIAL + 1  # plus the code of the culture group


def groups_found(culture: Ints, found: Findings, known: Organisms) -> Bools:
    """Rows x GROUPS: which groups each row's organisms are of; growth without a name is other.

    Source: design 3.1. Test: tests/surveillance/cases/test_organism_classes.py.
    """
    table = np.zeros((len(culture), len(GROUPS)), dtype=bool)
    table[found.row, known.group_of(found.organism)] = True
    nameless = (culture == criteria.POSITIVE) & ~table.any(axis=1)
    table[nameless, OTHER_ORGANISM] = True
    return table


def exclusive_class(culture: Ints, found: Findings, groups: Bools) -> Ints:
    """Code in CLASSES: the culture group unless positive, else by its organisms.

    Fungal goes before mycobacterial, that before polymicrobial, that before the one group. groups:
    from `groups_found`. Source: design 3.1. Test: test_organism_classes.py.
    """
    number = np.bincount(found.row, minlength=len(culture))
    return np.select(
        [culture != criteria.POSITIVE, groups[:, FUNGAL], groups[:, MYCOBACTERIAL], number > 1],
        [_NOT_POSITIVE + culture, FUNGAL, MYCOBACTERIAL, POLYMICROBIAL],
        groups.argmax(axis=1) if len(culture) else culture,
    )


def joined_names(groups: Bools) -> tuple[Ints, list[str]]:
    """Code of each row's groups in alphabetical order joined by `;`, and the texts they mean.

    Test: tests/surveillance/cases/test_organism_classes.py.
    """
    weights = 2 ** np.arange(len(GROUPS), dtype=np.int64)
    sets, code = np.unique(groups @ weights, return_inverse=True)
    names = [[GROUPS[place] for place in np.flatnonzero(members & weights)] for members in sets]
    return code.astype(np.int64), [";".join(sorted(group)) for group in names]
