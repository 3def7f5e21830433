"""The invented record: the same every time, in order, and silent about days to come."""

from datetime import date, datetime
from pathlib import Path

import numpy as np
import pytest

from clinic.columns import SUBJECTS, file_columns, parent_keys
from clinic.demo.known import PLANNED, known_by
from clinic.demo.network import network_rows, whole_rows
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


@pytest.mark.parametrize(
    ("clinic", "patients"),
    [("TQ", 45), ("SM", 31), ("AB", 68), ("CM", 90), ("FM", 22), ("LR", 14)],  # workflows.md 5
)
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
    cells = [
        cell
        for subject in SUBJECTS
        for row in rows.get(subject, ())
        for name, cell in row.items()
        if name not in PLANNED
    ]
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
        if name not in PLANNED
        and (day := cell.date() if isinstance(cell, datetime) else cell)
        and isinstance(day, date)
        and day > died_on.get((row["clinic"], row.get("patient")), date.max)
    ]
    assert died_on
    assert late == []


def test_every_subject_of_the_record_is_shown(rows: Rows) -> None:
    shown = {subject for subject, made in rows.items() if made}
    assert shown == set(SUBJECTS)
    assert shown >= set(RECORD_TABLES)


@pytest.mark.parametrize("subject", SUBJECTS)
def test_cells_without_a_column_are_known_by_name(rows: Rows, subject: str) -> None:
    beyond = {name for row in rows.get(subject, ()) for name in row} - set(
        file_columns(SUBJECTS[subject])
    )
    assert beyond <= {"reported_on", "recorded_at"}


def test_the_last_days_leave_cultures_to_chase(rows: Rows) -> None:
    pending = [row for row in rows["effluent_samples"] if row.get("culture") == "pending"]
    assert {row["clinic"] for row in pending} >= {"TQ", "SM", "AB"}


def test_an_earlier_day_knows_less_and_nothing_else(numbers: Parameters, rows: Rows) -> None:
    """What was known in July is known in January, unless more is said of it now."""
    earlier = known_by(whole_rows(numbers), date(2025, 7, 18))
    for subject in SUBJECTS:
        keys = [parent_keys(SUBJECTS[subject]), SUBJECTS[subject].key_columns]
        names = [*keys[0], *(column.name for column in keys[1])]
        then, now = (
            {tuple(row.get(name) for name in names): row for row in known.get(subject, ())}
            for known in (earlier, rows)
        )
        assert then.keys() <= now.keys()
        unsaid = [
            (own, name)
            for own, row in then.items()
            for name, cell in row.items()
            if cell not in (None, "", "pending", now[own][name])
        ]
        assert unsaid == []


def test_entries_are_as_late_as_the_parameters_say(numbers: Parameters, rows: Rows) -> None:
    """Of what happened half a year ago and longer: four fifths soon, a few after 25 days."""
    days = np.array(
        [
            (row["recorded_at"].date() - row["presented_at"].date()).days
            for row in rows["peritonitis"]
            if row.get("presented_at") and row["presented_at"].date() < date(2025, 5, 1)
        ]
    )
    soon = 1 - numbers.entry.later_share - numbers.entry.late_share
    assert len(days) > 250
    assert abs((days < 7).mean() - soon) < 0.07
    assert abs((days >= 29).mean() - numbers.entry.late_share) < 0.035
