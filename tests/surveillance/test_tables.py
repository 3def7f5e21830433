"""The declared tables are built with the declared columns and dtypes."""

import pytest

from surveillance.tables import (
    NO_DAY,
    RECORD_TABLES,
    STORED_TABLES,
    UNKNOWN,
    record_of,
    typed_frame,
)


def test_a_table_left_out_is_empty_with_its_columns():
    record = record_of({"clinics": {"clinic": ["A"]}})
    assert list(record.catheters.columns) == [column.name for column in RECORD_TABLES["catheters"]]
    assert record.catheters["inserted_on"].dtype == "int32"


def test_an_empty_choice_is_missing():
    frame = typed_frame(
        RECORD_TABLES["pd_pauses"],
        {"patient": [0], "started_on": [1], "last_day_on": [NO_DAY], "reason": [""]},
    )
    assert frame["reason"].isna().all()


@pytest.mark.parametrize("values", [{"clinic": ["A"], "more": [1]}, {"more": [1]}])
def test_a_column_too_many_is_named(values):
    with pytest.raises(ValueError, match="more"):
        typed_frame(RECORD_TABLES["clinics"], values)


def test_a_table_too_many_is_named():
    with pytest.raises(ValueError, match="meals"):
        record_of({"meals": {}})


def test_a_column_that_may_be_absent_is_missing_then():
    contaminated = {"patient": [0], "happened_on": [1], "kind": ["wet"], "prophylaxis": [1]}
    assert len(typed_frame(RECORD_TABLES["contaminations"], contaminated)) == 1
    wanted = {
        column.name: [0] for column in RECORD_TABLES["effluent_samples"] if not column.may_be_absent
    }
    frame = typed_frame(RECORD_TABLES["effluent_samples"], wanted)
    assert list(frame["antibiotics_before"]) == [UNKNOWN]


def test_every_stored_table_names_its_columns_once():
    for columns in STORED_TABLES.values():
        names = [column.name for column in columns]
        assert len(names) == len(set(names)) > 0
