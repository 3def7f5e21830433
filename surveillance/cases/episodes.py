"""All rows that may become cases, of the three kinds, as one set of columns."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from surveillance.cases import criteria
from surveillance.cases.organisms import Findings, Organisms, findings
from surveillance.rules import RuleSet
from surveillance.tables import NO_LINK, Record
from surveillance.time_at_risk.seen import days_of
from surveillance.time_at_risk.splits import text_rank
from surveillance.time_at_risk.stretches import Bools, Ints

KINDS = ("exit_site", "peritonitis", "tunnel")  # in the order in which cases are sorted
EXIT_SITE, PERITONITIS, TUNNEL = range(3)
NO_GROWTH = "no_growth"


@dataclass(frozen=True)
class Episodes:
    """A row a case to be: peritonitis first, as in the record, then exit sites, then tunnels."""

    patient: Ints
    kind: Ints
    source: Ints  # row in peritonitis or catheter_infections
    name: NDArray[np.object_]
    name_rank: Ints
    onset: Ints
    therapy_end: Ints  # NO_DAY where unknown
    criteria: tuple[Ints, Ints, Ints]  # clinical, cells, culture; -1 off peritonitis
    confirmed: Ints
    culture: Ints  # of its own samples
    found: Findings  # organisms of its own samples, as recorded

    def __len__(self) -> int:
        return len(self.patient)


def _of_site(infections: pd.DataFrame, site: str, signs: tuple[str, ...]) -> tuple[Ints, Ints]:
    """Rows of the infections that name a site, and their confirmation."""
    rows = np.flatnonzero(infections["site"].isin([site, "both"]))
    return rows, criteria.site_confirmation(infections, signs)[rows]


def _infection_cultures(infections: pd.DataFrame) -> Ints:
    organism = infections["organism"]
    return np.select(
        [organism.isna(), organism == NO_GROWTH],
        [criteria.NOT_CULTURED, criteria.CULTURE_NEGATIVE],
        criteria.POSITIVE,
    )


def _codes(column: pd.Series[str], organism_of: dict[str, int]) -> Ints:
    """The organism of each row, NO_LINK where none is named."""
    of_category = [organism_of[name] for name in column.cat.categories] + [NO_LINK]
    codes = np.array(of_category, dtype=np.int64)[column.cat.codes.to_numpy().astype(np.int64)]
    return np.where(np.asarray(column == NO_GROWTH), NO_LINK, codes)


def _organism_numbers(record: Record, known: Organisms) -> dict[str, int]:
    """The organism that each recorded text names."""
    columns = (record.isolates["organism"], record.catheter_infections["organism"])
    names = list(dict.fromkeys(name for column in columns for name in column.cat.categories))
    return dict(zip(names, known.codes(names).tolist(), strict=True))


def _findings(record: Record, known: Organisms, infection_rows: Ints) -> Findings:
    numbers = _organism_numbers(record, known)
    owner = record.effluent_samples["episode"].to_numpy()[record.isolates["sample"].to_numpy()]
    isolate = _codes(record.isolates["organism"], numbers)
    infection = _codes(record.catheter_infections["organism"], numbers)[infection_rows]
    behind = len(record.peritonitis) + np.arange(len(infection_rows))
    row = np.concatenate([owner, behind]).astype(np.int64)
    organism = np.concatenate([isolate, infection])
    named: Bools = organism != NO_LINK
    return findings(row[named], organism[named])


def _both(rows: Ints, of_episode: Any, of_infection: Any) -> Any:
    """One column from that of peritonitis and that of catheter infections, these by row."""
    return np.concatenate([np.asarray(of_episode), np.asarray(of_infection)[rows]])


def _judged(record: Record, own: Ints, more: int, rule_set: RuleSet) -> tuple[Ints, Ints, Ints]:
    """The three criteria, -1 on the rows that are asked for none."""
    said = (
        criteria.clinical_criterion(record.peritonitis),
        criteria.cell_criterion(record, rule_set),
        criteria.culture_criterion(own),
    )
    rest = np.full(more, -1, dtype=np.int64)
    clinical, cells, culture = (np.concatenate([column, rest]) for column in said)
    return clinical, cells, culture


def episodes(record: Record, known: Organisms, rule_set: RuleSet) -> Episodes:
    """Every recorded episode and infection site of a visible record, judged on its own.

    record: from `seen`. Source: design 3.1. Test: tests/surveillance/cases/test_episodes.py.
    """
    first, second, own = (
        record.peritonitis,
        record.catheter_infections,
        criteria.own_cultures(record),
    )
    exits, exit_said = _of_site(second, "exit_site", rule_set.words("exit_site_signs"))
    tunnels, tunnel_said = _of_site(second, "tunnel", rule_set.words("tunnel_signs"))
    rows = np.concatenate([exits, tunnels])
    both = partial(_both, rows)
    judged = _judged(record, own, len(rows), rule_set)
    confirmed = criteria.confirmation([column[: len(first)] for column in judged], rule_set)
    kinds = np.repeat([PERITONITIS, EXIT_SITE, TUNNEL], [len(first), len(exits), len(tunnels)])
    name = both(first["episode"].to_numpy(object), second["infection"].to_numpy(object))
    end = "therapy_completed_on"
    return Episodes(
        patient=both(first["patient"], second["patient"]).astype(np.int64),
        kind=kinds.astype(np.int64),
        source=np.concatenate([np.arange(len(first)), rows]),
        name=name,
        name_rank=text_rank(pd.Series(name, dtype=object)),
        onset=both(days_of(first, "onset_on"), days_of(second, "onset_on")),
        therapy_end=both(days_of(first, end), days_of(second, end)),
        criteria=judged,
        confirmed=np.concatenate([confirmed, exit_said, tunnel_said]),
        culture=both(own, _infection_cultures(second)),
        found=_findings(record, known, rows),
    )
