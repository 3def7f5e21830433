"""Small records written by hand: one clinic on UTC, patients and episodes in few words."""

from datetime import date, timedelta

from tests.recount.record_files import empty_record, organism_rows, record_row
from tests.recount.recount import Table, recount
from tests.recount.seen import Rows


def one_clinic() -> Rows:
    rows = empty_record()
    rows["clinics"].append(
        record_row("clinics", clinic="C1", name="C1", time_zone="UTC", network="N1")
    )
    return rows


def add(rows: Rows, file: str, patient: str = "P1", **cells: object) -> None:
    rows[file].append(record_row(file, clinic="C1", patient=patient, **cells))


def add_patient(rows: Rows, patient: str, *spells: tuple[str, str]) -> None:
    """A patient with spells, each first day and last day (both count; empty = still open)."""
    add(rows, "patients", patient)
    for started_on, last_day_on in spells:
        add(rows, "pd_spells", patient, started_on=started_on, last_day_on=last_day_on)


def add_episode(
    rows: Rows, patient: str, episode: str, onset_on: str, ended_on: str, *organisms: str
) -> None:
    """A confirmed peritonitis; without organisms its culture shows no growth."""
    add(
        rows,
        "peritonitis",
        patient,
        episode=episode,
        onset_on=onset_on,
        cloudy_effluent="yes",
        therapy_completed_on=ended_on,
    )
    add(
        rows,
        "effluent_samples",
        patient,
        episode=episode,
        sample="S1",
        dwell_hours=4,
        leucocytes_per_ul=650,
        neutrophil_percent=80,
        culture="grown" if organisms else "no_growth",
    )
    for organism in organisms:
        add(rows, "isolates", patient, episode=episode, sample="S1", organism=organism)


def tables(
    rows: Rows, as_of: str = "2026-01-31", rule_set: str = "rule_2022", through: str | None = None
) -> dict[str, Table]:
    return recount(rows, organism_rows(), rule_set, date.fromisoformat(as_of), through)


def figure(
    table: Table, period: str, measure: str, split: str = "", band: str = ""
) -> dict[str, object]:
    wanted = {"period": period, "measure": measure, "split": split, "band": band}
    found = [row for row in table if wanted.items() <= row.items()]
    assert len(found) == 1, f"{len(found)} rows for {wanted}"
    return found[0]


def day_before(text: str) -> str:
    return (date.fromisoformat(text) - timedelta(days=1)).isoformat()
