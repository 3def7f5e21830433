"""The base record of bad_inputs.csv as cells of record files; tests change one thing at a time."""

from __future__ import annotations

from collections.abc import Iterable
from copy import deepcopy

Cells = dict[str, str]
Record = dict[str, list[Cells]]

_P031 = {"clinic": "TQ", "patient": "P031"}
_E1 = _P031 | {"episode": "E1"}
_S1 = _E1 | {"sample": "S1"}

BASE: Record = {
    "clinics": [
        {"clinic": code, "name": name, "time_zone": "Europe/London", "network": "Estuary & Fells"}
        for code, name in (("TQ", "Tern Quay"), ("SM", "Saltmere"), ("LR", "Larkrise"))
    ],
    "patients": [_P031 | {"birth_date": "1961-05-14", "sex": "female", "died_on": ""}],
    "pd_spells": [
        _P031
        | {
            "started_on": "2024-02-05",
            "last_day_on": "",
            "modality": "capd",
            "assistance": "self",
            "end_reason": "",
        }
    ],
    "catheters": [
        _P031
        | {"catheter": "C1", "inserted_on": "2024-01-10", "removed_on": "", "removal_reason": ""}
    ],
    "trainings": [
        _P031
        | {
            "started_on": "2024-02-07",
            "completed_on": "2024-02-09",
            "kind": "initial",
            "trainer": "T-01",
        }
    ],
    "peritonitis": [
        _E1
        | {
            "onset_on": "2025-03-10",
            "presented_at": "2025-03-10T09:40",
            "cloudy_effluent": "yes",
            "abdominal_pain": "yes",
            "first_antibiotic_at": "2025-03-10T11:05",
            "therapy_completed_on": "2025-03-31",
            "resolved": "",
        }
    ],
    "effluent_samples": [
        _S1
        | {
            "collected_at": "2025-03-10T10:15",
            "dwell_hours": "4",
            "leucocytes_per_ul": "2300",
            "neutrophil_percent": "88",
            "culture": "grown",
        }
    ],
    "isolates": [_S1 | {"organism": "Staphylococcus aureus"}],
}


def base() -> Record:
    return deepcopy(BASE)


def with_cells(subject: str, row: int = 0, **cells: str) -> Record:
    """The base record with some cells of one row changed."""
    record = base()
    record[subject][row] |= cells
    return record


def with_row(subject: str, **cells: str) -> Record:
    """The base record and one more row, of P031 at Tern Quay unless the cells say otherwise."""
    record = base()
    record.setdefault(subject, []).append(_P031 | cells)
    return record


def without(*subjects: str) -> Record:
    return {name: rows for name, rows in base().items() if name not in subjects}


def columns_used(rows: Iterable[Cells]) -> list[str]:
    """Columns in the order in which the rows first name them."""
    return list(dict.fromkeys(name for row in rows for name in row))
