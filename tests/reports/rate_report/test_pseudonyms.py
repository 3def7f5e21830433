"""Pseudonyms: keyed, stable for one recipient, and no day left behind."""

import pytest

from reports.rate_report.pseudonyms import pseudonym, pseudonymised_ledger

COLUMNS = ("clinic", "patient", "started_on", "last_day_on", "state", "days", "reason")
CELLS = [
    ("TQ", "TQ-041", "2025-01-01", "2025-02-10", "at_risk", "41", ""),
    ("TQ", "TQ-041", "2025-02-11", "2025-03-31", "off_risk", "49", "paused"),
]
ROWS = [dict(zip(COLUMNS, cells, strict=True)) for cells in CELLS]


def test_one_patient_has_one_name_for_one_recipient() -> None:
    assert pseudonym("rowan", "TQ", "patient", "1") == pseudonym("rowan", "TQ", "patient", "1")


@pytest.mark.parametrize(
    "other",
    [
        ("host", "TQ", "patient", "1"),
        ("rowan", "SM", "patient", "1"),
        ("rowan", "TQ", "patient", "2"),
    ],
)
def test_recipient_clinic_and_number_all_matter(other: tuple[str, ...]) -> None:
    assert pseudonym("rowan", "TQ", "patient", "1") != pseudonym(*other)


def test_parts_cannot_be_shifted_into_each_other() -> None:
    assert pseudonym("a", "b", "c", "de") != pseudonym("a", "b", "cd", "e")


def test_another_installation_gives_other_names(settings) -> None:
    here = pseudonym("rowan", "TQ", "patient", "1")
    settings.SECRET_KEY = "of another installation"

    assert pseudonym("rowan", "TQ", "patient", "1") != here


def test_a_ledger_keeps_its_days_and_loses_its_dates() -> None:
    columns, rows = pseudonymised_ledger(COLUMNS, ROWS, "rowan")

    assert columns[2:4] == ("started_month", "last_day_month")
    assert [(row["started_month"], row["last_day_month"], row["days"]) for row in rows] == [
        ("2025-01", "2025-02", "41"),
        ("2025-02", "2025-03", "49"),
    ]
    assert "TQ-041" not in str(rows)
