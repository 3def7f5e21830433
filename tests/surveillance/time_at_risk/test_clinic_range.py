"""A clinic's rows begin in January of the year of its first spell, insertion or onset."""

import pytest

from surveillance.time_at_risk.clinic_range import NOTHING, first_months, months_of_all
from surveillance.time_at_risk.seen import seen
from tests.surveillance.records import day, make_record, spell


@pytest.mark.parametrize(
    ("table", "row"),
    [
        ("pd_spells", {"started_on": "2023-05-05"}),
        ("catheters", {"inserted_on": "2023-05-05"}),
        ("peritonitis", {"onset_on": "2023-05-05"}),
        ("catheter_infections", {"onset_on": "2023-05-05", "site": "tunnel"}),
    ],
)
def test_each_of_them_begins_a_clinic(table, row):
    rows = {"pd_spells": [spell("2024-02-01")]}
    rows[table] = [*rows.get(table, []), row]
    visible = seen(make_record(**rows), day("2025-01-01"))
    assert first_months(visible).tolist() == [(2023 - 1970) * 12]


def test_a_training_alone_begins_nothing():
    visible = seen(make_record(trainings=[{"completed_on": "2023-01-01"}]), day("2025-01-01"))
    assert first_months(visible).tolist() == [NOTHING]
    assert len(months_of_all(first_months(visible), 660)) == 0
