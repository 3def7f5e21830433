"""The invented record: the same every time, in order, and silent about days to come."""

from datetime import date, datetime
from pathlib import Path

import pytest

from clinic.columns import SUBJECTS, file_columns
from clinic.demo.network import network_rows
from clinic.demo.parameters import Parameters, read_parameters
from clinic.demo.record_folder import Row, Rows
from surveillance.tables import RECORD_TABLES

PARAMETERS = Path(__file__).parents[3] / "fixtures" / "demo" / "parameters.toml"


@pytest.fixture(scope="module")
def numbers() -> Parameters:
    return read_parameters(PARAMETERS)


@pytest.fixture(scope="module")
def rows(numbers: Parameters) -> Rows:
    return network_rows(numbers)


def of_clinic(rows: Rows, subject: str, clinic: str) -> list[Row]:
    return [row for row in rows[subject] if row["clinic"] == clinic]


def test_the_same_seed_makes_the_same_record(numbers: Parameters, rows: Rows) -> None:
    assert network_rows(numbers) == rows


@pytest.mark.parametrize(("clinic", "patients"), [("TQ", 45), ("SM", 31)])
def test_each_clinic_is_full_on_the_day_the_parameters_say(
    rows: Rows, numbers: Parameters, clinic: str, patients: int
) -> None:
    on_pd = {
        row["patient"]
        for row in of_clinic(rows, "pd_spells", clinic)
        if row["started_on"] <= numbers.full_on <= (row["last_day_on"] or date.max)
    }
    assert len(on_pd) == patients


def test_nothing_in_it_is_later_than_its_day(rows: Rows, numbers: Parameters) -> None:
    cells = [cell for subject in SUBJECTS for row in rows.get(subject, ()) for cell in row.values()]
    moments = [cell.date() for cell in cells if isinstance(cell, datetime)]
    days = [cell for cell in cells if isinstance(cell, date) and not isinstance(cell, datetime)]
    latest_reported = {row["reported_on"] for row in rows["isolates"]}
    assert max(moments) <= numbers.today
    assert max(days) <= numbers.today
    assert max(latest_reported) <= numbers.today


def test_nothing_happens_after_a_death(rows: Rows) -> None:
    died_on = {
        (row["clinic"], row["patient"]): row["died_on"]
        for row in rows["patients"]
        if row["died_on"]
    }
    late = [
        (subject, name, row)
        for subject, subject_rows in rows.items()
        for row in subject_rows
        for name, cell in row.items()
        if (day := cell.date() if isinstance(cell, datetime) else cell)
        and isinstance(day, date)
        and day > died_on.get((row["clinic"], row.get("patient")), date.max)
    ]
    assert died_on
    assert late == []


def test_every_subject_that_figures_are_made_of_is_shown(rows: Rows) -> None:
    shown = {subject for subject, made in rows.items() if made}
    assert shown >= {*RECORD_TABLES, "susceptibilities", "contaminations"}


@pytest.mark.parametrize("subject", SUBJECTS)
def test_cells_without_a_column_are_known_by_name(rows: Rows, subject: str) -> None:
    beyond = {name for row in rows.get(subject, ()) for name in row} - set(
        file_columns(SUBJECTS[subject])
    )
    assert beyond <= {"reported_on"}


def test_the_last_days_leave_cultures_to_chase(rows: Rows) -> None:
    pending = [row for row in rows["effluent_samples"] if row.get("culture") == "pending"]
    assert {row["clinic"] for row in pending} == {"TQ", "SM"}
