"""Keeps some rows of a record and what hangs on them, with the links put right."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import pandas as pd

from surveillance.tables import NO_LINK, RECORD_TABLES, Record
from surveillance.time_at_risk.stretches import Bools, Ints, changes

# Table: (column, table it links to, whether a row lives without its parent)
_LINKS = {
    "patients": (("clinic", "clinics", True),),
    "pd_spells": (("patient", "patients", False),),
    "pd_pauses": (("patient", "patients", False),),
    "catheters": (("patient", "patients", False),),
    "trainings": (("patient", "patients", False),),
    "peritonitis": (("patient", "patients", False),),
    "effluent_samples": (("episode", "peritonitis", False),),
    "isolates": (("sample", "effluent_samples", False),),
    "catheter_infections": (("patient", "patients", False),),
    "admissions": (("patient", "patients", False), ("episode", "peritonitis", True)),
    "contaminations": (("patient", "patients", False),),
}


def _new_places(kept: Bools) -> Ints:
    """New row of each old row, NO_LINK where it went; the last entry answers for NO_LINK itself."""
    return np.append(np.where(kept, np.cumsum(kept) - 1, NO_LINK), NO_LINK)


def keep(record: Record, wanted: Mapping[str, Bools]) -> Record:
    """The record with only the wanted rows of some tables, and without their orphans.

    wanted: one truth a row for each table that loses rows. A clinic keeps its row, and an admission
    survives the episode it names. Test: tests/surveillance/time_at_risk/test_part.py.
    """
    made: dict[str, pd.DataFrame] = {}
    places: dict[str, Ints] = {}  # of the tables that lose rows: links to others stay right
    for name in RECORD_TABLES:
        frame: pd.DataFrame = getattr(record, name)
        kept = np.asarray(wanted.get(name, np.ones(len(frame), dtype=bool)))
        for column, parent, lives_alone in _LINKS.get(name, ()):
            if parent in places:
                link = places[parent][frame[column].to_numpy()]
                frame = frame.assign(**{column: link.astype(np.int32)})
                kept = kept if lives_alone else kept & (link != NO_LINK)
        if not kept.all():
            places[name] = _new_places(kept)
            frame = frame[kept].reset_index(drop=True)
        made[name] = frame
    return Record(**made)


@dataclass(frozen=True)
class _Cut:
    """One table in order of the part that each row belongs to."""

    frame: pd.DataFrame
    part: Ints  # of each row as it stands in the frame
    order: Ints  # rows of the frame, part by part
    bounds: Ints  # where each part begins in `order`, and where the last ends

    def rows(self, number: int) -> Ints | slice:
        """The rows of a part; those that stand together need no copy."""
        found = self.order[self.bounds[number] : self.bounds[number + 1]]
        if len(found) and found[-1] - found[0] == len(found) - 1:
            return slice(int(found[0]), int(found[-1]) + 1)
        return found

    @cached_property
    def places(self) -> Ints:
        """Each row's place within its part; the last entry answers for NO_LINK."""
        place = np.empty(len(self.order) + 1, dtype=np.int64)
        place[self.order] = np.arange(len(self.order)) - self.bounds[self.part[self.order]]
        place[-1] = NO_LINK
        return place


def _cut(frame: pd.DataFrame, part: Ints, number_of_parts: int) -> _Cut:
    order = np.argsort(part, kind="stable")
    bounds = np.searchsorted(part[order], np.arange(number_of_parts + 1))
    return _Cut(frame, part, order, bounds)


def _cuts(record: Record, part_of_clinic: Ints) -> dict[str, _Cut]:
    number_of_parts = int(part_of_clinic[-1]) + 1
    cuts: dict[str, _Cut] = {}
    for name in RECORD_TABLES:
        frame: pd.DataFrame = getattr(record, name)
        part = part_of_clinic
        for column, parent, _ in _LINKS.get(name, ())[:1]:
            part = cuts[parent].part[frame[column].to_numpy()]
        cuts[name] = _cut(frame, part, number_of_parts)
    return cuts


def _part(cuts: Mapping[str, _Cut], number: int) -> Record:
    made: dict[str, pd.DataFrame] = {}
    for name, cut in cuts.items():
        frame = cut.frame.iloc[cut.rows(number)].reset_index(drop=True)
        links = {
            column: cuts[parent].places[frame[column].to_numpy()].astype(np.int32)
            for column, parent, _ in _LINKS.get(name, ())
        }
        made[name] = frame.assign(**links)
    return Record(**made)


def parts(record: Record, patients_in_part: int) -> Iterator[Record]:
    """The record cut into whole clinics of together about so many patients.

    Bounds the memory of a computation, and keeps its columns near the processor.
    Test: tests/surveillance/time_at_risk/test_part.py.
    """
    clinic = record.patients["clinic"].to_numpy()
    size = np.bincount(clinic, minlength=len(record.clinics))
    part = (np.cumsum(size) - size) // patients_in_part
    if len(part) == 0 or part[-1] == 0:
        yield record
        return
    cuts = _cuts(record, np.cumsum(changes(part)) - 1)
    for number in range(int(cuts["clinics"].part[-1]) + 1):
        yield _part(cuts, number)
