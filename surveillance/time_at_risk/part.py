"""Keeps some rows of a record and what hangs on them, with the links put right."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np
import pandas as pd

from surveillance.tables import NO_LINK, RECORD_TABLES, Record
from surveillance.time_at_risk.stretches import Bools, Ints

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
    places: dict[str, Ints] = {}
    for name in RECORD_TABLES:
        frame: pd.DataFrame = getattr(record, name)
        kept = np.asarray(wanted.get(name, np.ones(len(frame), dtype=bool)))
        links: dict[str, Ints] = {}
        for column, parent, lives_alone in _LINKS.get(name, ()):
            links[column] = places[parent][frame[column].to_numpy()]
            kept = kept if lives_alone else kept & (links[column] != NO_LINK)
        places[name] = _new_places(kept)
        made[name] = _rows(frame, kept, links)
    return Record(**made)


def _rows(frame: pd.DataFrame, kept: Bools, links: Mapping[str, Ints]) -> pd.DataFrame:
    shifted = frame.assign(**{column: link.astype(np.int32) for column, link in links.items()})
    return shifted if kept.all() else shifted[kept].reset_index(drop=True)


def parts(record: Record, patients_in_part: int) -> Iterator[Record]:
    """The record cut into whole clinics of together about so many patients.

    Patients are sorted by clinic, so a part is a run of them. Bounds the memory of a computation.
    Test: tests/surveillance/time_at_risk/test_part.py.
    """
    clinic = record.patients["clinic"].to_numpy()
    size = np.bincount(clinic, minlength=len(record.clinics))
    part = (np.cumsum(size) - size) // patients_in_part
    if len(part) == 0 or part[-1] == 0:
        yield record
        return
    for number in np.unique(part[size > 0]):
        yield keep(record, {"patients": part[clinic] == number})
