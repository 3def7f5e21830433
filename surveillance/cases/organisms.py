"""Organisms: names lead to entries, and two entries may be the same organism."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from surveillance.time_at_risk.stretches import Bools, Ints, each_in

GROUPS = (
    "coagulase_negative_staphylococcus",
    "staphylococcus_aureus",
    "streptococcus",
    "enterococcus",
    "corynebacterium",
    "other_gram_positive",
    "escherichia_coli",
    "other_enterobacterales",
    "pseudomonas",
    "acinetobacter",
    "stenotrophomonas",
    "other_gram_negative",
    "anaerobe",
    "fungal",
    "mycobacterial",
    "other_organism",
)
COAGULASE_NEGATIVE = GROUPS[0]
OTHER_ORGANISM = GROUPS.index("other_organism")
# The one entry without a taxonomy id: "not a taxon", as the catalogue's note says.
CODE_NAME = "coagulase-negative staphylococci"
BARE_GENUS = "Staphylococcus"
KINGDOM = "Fungi"
_RANKS_ABOVE = ("genus_id", "family_id", "order_id")


def name_key(text: str) -> str:
    """Names match without regard to case and repeated spaces. Test: test_organisms.py."""
    return " ".join(text.split()).casefold()


@dataclass(frozen=True)
class Organisms:
    """The catalogue's entries and, behind them, each unlisted name as an organism of its own."""

    entries: dict[str, int]  # name_key or id: entry
    group: Ints  # of each entry, place in GROUPS
    alike: Bools  # entries x entries
    vaguer: Bools  # row is the vaguer of two that are alike

    def codes(self, names: Sequence[str]) -> Ints:
        """The organism of each name; an unlisted name gets a number of its own.

        Source: design 3.1. Test: tests/surveillance/cases/test_organisms.py.
        """
        known = dict(self.entries)
        return np.array(
            [known.setdefault(name_key(name), len(self.group) + len(known)) for name in names],
            dtype=np.int64,
        )

    def group_of(self, organism: Ints) -> Ints:
        """Place in GROUPS of each organism; unlisted ones are other_organism."""
        return np.append(self.group, OTHER_ORGANISM)[self._entry(organism)]

    def same(self, one: Ints, other: Ints) -> Bools:
        """Whether two organisms are the same: equal, or one a vaguer name of the other."""
        found: Bools = (one == other) | self._of(self.alike, one, other)
        return found

    def is_vaguer(self, one: Ints, other: Ints) -> Bools:
        """Whether the first is a vaguer name of the second."""
        return self._of(self.vaguer, one, other)

    def _entry(self, organism: Ints) -> Ints:
        return np.minimum(organism, len(self.group))

    def _of(self, table: Bools, one: Ints, other: Ints) -> Bools:
        padded = np.pad(table, (0, 1))
        found: Bools = padded[self._entry(one), self._entry(other)]
        return found


def _entries(catalogue: pd.DataFrame) -> dict[str, int]:
    """Every scientific name, id and other name with its entry; the first to claim a name has it."""
    columns = [catalogue[name] for name in ("scientific_name", "taxonomy_id", "other_names")]
    entries: dict[str, int] = {}
    for place, (name, identifier, others) in enumerate(zip(*columns, strict=True)):
        for text in filter(str.strip, [name, identifier, *others.split(";")]):
            entries.setdefault(name_key(text), place)
    return entries


def _above(catalogue: pd.DataFrame) -> Bools:
    """Row is the genus, family or order of column."""
    ids = catalogue["taxonomy_id"].to_numpy(dtype=object)
    named = (ids != "")[:, None]
    ranks = [catalogue[rank].to_numpy(dtype=object) for rank in _RANKS_ABOVE]
    above: Bools = named & np.logical_or.reduce([ids[:, None] == rank[None, :] for rank in ranks])
    return above


def _vaguer(catalogue: pd.DataFrame) -> Bools:
    name = catalogue["scientific_name"].to_numpy(dtype=object)
    group = catalogue["group"].to_numpy(dtype=object)
    coagulase_negative = group == COAGULASE_NEGATIVE
    code, genus = name == CODE_NAME, name == BARE_GENUS
    of_fungi = np.outer(name == KINGDOM, (group == "fungal") & (name != KINGDOM))
    of_genus = np.outer(genus, coagulase_negative & ~genus)
    of_code = np.outer(code, coagulase_negative & ~code & ~genus)
    vaguer: Bools = _above(catalogue) | of_fungi | of_genus | of_code
    return vaguer


def organisms(catalogue: pd.DataFrame) -> Organisms:
    """The catalogue of organisms, ready for comparison.

    catalogue: the rows of fixtures/organisms.csv, all text. Same organism: equal; or one is the
    other's genus, family or order; or Fungi and one of the group `fungal`; or both in the
    coagulase-negative group and one of them the code name or the bare genus. Source: design 3.1.
    Test: tests/surveillance/cases/test_organisms.py.
    """
    group = np.array([GROUPS.index(name) for name in catalogue["group"]], dtype=np.int64)
    vaguer = _vaguer(catalogue)
    return Organisms(_entries(catalogue), group, vaguer | vaguer.T, vaguer)


@dataclass(frozen=True)
class Findings:
    """Which organism was found in which row; sorted by row, then organism, no pair twice."""

    row: Ints
    organism: Ints


def findings(row: Ints, organism: Ints) -> Findings:
    """Distinct pairs of row and organism, sorted. Test: test_organisms.py."""
    order = np.lexsort((organism, row))
    row, organism = row[order], organism[order]
    new = np.ones(len(row), dtype=bool)
    new[1:] = (row[1:] != row[:-1]) | (organism[1:] != organism[:-1])
    return Findings(row[new], organism[new])


def without_vaguer(found: Findings, known: Organisms) -> Findings:
    """The findings without a name that a more exact one of its row makes redundant.

    Source: design 3.1. Test: tests/surveillance/cases/test_organisms.py.
    """
    one, other = pairs(found.row, found.row)
    drop = one[known.is_vaguer(found.organism[one], found.organism[other])]
    kept = np.ones(len(found.row), dtype=bool)
    kept[drop] = False
    return Findings(found.row[kept], found.organism[kept])


def pairs(left: NDArray[np.int64], right: NDArray[np.int64]) -> tuple[Ints, Ints]:
    """Each (place in left, place in right) of equal keys; right sorted. Test: test_organisms.py."""
    return each_in(np.searchsorted(right, left, "left"), np.searchsorted(right, left, "right"))
