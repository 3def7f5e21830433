"""The case table has the declared columns, sorted, with every cell in words."""

from surveillance.tables import RESULT_TABLES, YES
from tests.surveillance.records import make_record, peritonitis, spell
from tests.surveillance.results import rows_of

RECORD = make_record(
    clinics=("A", "B"),
    patients=[
        {"clinic": 0, "patient": "P"},
        {"clinic": 0, "patient": "Q"},
        {"clinic": 1, "patient": "P"},
    ],
    pd_spells=[spell("2025-01-01", patient=patient) for patient in range(3)],
    peritonitis=[
        peritonitis("E2", "2025-03-01", patient=2),
        peritonitis("E1", "2025-03-01", patient=1),
        peritonitis("E9", "2025-03-01"),
        peritonitis("E1", "2025-03-01"),
    ],
    catheter_infections=[
        {"infection": "X", "site": "both", "onset_on": "2025-03-01", "purulent_discharge": YES}
    ],
)


def test_rows_stand_by_clinic_onset_patient_kind_and_episode():
    rows = rows_of(RECORD, "cases")
    assert [(row["clinic"], row["patient"], row["kind"], row["episode"]) for row in rows] == [
        ("A", "P", "exit_site", "X"),
        ("A", "P", "peritonitis", "E1"),
        ("A", "P", "peritonitis", "E9"),
        ("A", "P", "tunnel", "X"),
        ("A", "Q", "peritonitis", "E1"),
        ("B", "P", "peritonitis", "E2"),
    ]


def test_columns_are_the_declared_ones():
    assert list(rows_of(RECORD, "cases")[0]) == [column.name for column in RESULT_TABLES["cases"]]
