"""The record files of design 4: their columns, an empty row of each, and a folder of CSV."""

import csv
from pathlib import Path

from tests.recount.seen import Row, Rows

OF_PATIENT = {
    "patients": "birth_date sex diabetes died_on",
    "pd_spells": "started_on last_day_on modality assistance end_reason",
    "pd_pauses": "started_on last_day_on reason",
    "catheters": "catheter inserted_on insertion_method removed_on removal_reason",
    "trainings": "started_on completed_on kind trainer learner hours competent",
    "peritonitis": (
        "episode onset_on presented_at cloudy_effluent abdominal_pain first_antibiotic_at "
        "appropriate_antibiotic_at therapy_completed_on judged_source judged_refractory found_by "
        "resolved"
    ),
    "effluent_samples": (
        "episode sample collected_at dwell_hours leucocytes_per_ul neutrophil_percent appearance "
        "culture antibiotics_before"
    ),
    "isolates": "episode sample organism",
    "susceptibilities": "episode sample organism agent result",
    "catheter_infections": (
        "infection site onset_on purulent_discharge redness tunnel_inflammation "
        "tunnel_collection therapy_completed_on organism refractory"
    ),
    "admissions": "admitted_on discharged_on episode",
    "contaminations": "happened_at kind prophylaxis",
}
COLUMNS: dict[str, list[str]] = {
    "clinics": ["clinic", "name", "time_zone", "network"],
    **{file: ["clinic", "patient", *names.split()] for file, names in OF_PATIENT.items()},
}


def record_row(file: str, **cells: object) -> Row:
    """A row with every column of the file; what is not given is empty (unknown)."""
    unlisted = cells.keys() - set(COLUMNS[file])
    if unlisted:
        raise KeyError(f"{file} has no column {sorted(unlisted)}")
    return {name: str(cells.get(name, "")) for name in COLUMNS[file]}


def empty_record() -> Rows:
    return {file: [] for file in COLUMNS}


def write_folder(rows: Rows, folder: Path) -> None:
    """Writes the record as `import_records` reads it, one CSV a file."""
    for file, names in COLUMNS.items():
        with open(folder / f"{file}.csv", "w", encoding="utf-8", newline="") as stream:
            writer = csv.DictWriter(stream, names, lineterminator="\n")
            writer.writeheader()
            writer.writerows(rows.get(file, []))


def organism_rows() -> list[Row]:
    path = Path(__file__).parents[2] / "fixtures" / "organisms.csv"
    with open(path, encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))
