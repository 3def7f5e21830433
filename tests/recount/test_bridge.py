"""The tables made of record-file rows are those the method declares."""

import pytest

from surveillance.tables import RECORD_TABLES, typed_frame
from tests.recount.bridge import record_tables
from tests.recount.random_clinics import random_record
from tests.recount.record_files import empty_record


@pytest.mark.parametrize("table", RECORD_TABLES)
@pytest.mark.parametrize("seed", [3, None], ids=["random", "empty"])
def test_columns_and_types_are_as_declared(seed: int | None, table: str) -> None:
    rows = empty_record() if seed is None else random_record(seed)
    frame = getattr(record_tables(rows), table)
    declared = typed_frame(RECORD_TABLES[table], {})
    assert set(frame.columns) == set(declared.columns)
    for name in declared.columns:
        kinds = (frame[name].dtype.name, declared[name].dtype.name)
        assert kinds[0] == kinds[1] or {*kinds} <= {"object", "str"}, name


def test_links_point_at_the_parents_row() -> None:
    rows = random_record(3)
    record = record_tables(rows)
    isolates = record.isolates.merge(record.effluent_samples, left_on="sample", right_index=True)
    found = list(isolates["sample_y"].sort_index())
    assert found == [row["sample"] for row in rows["isolates"]]
    patients = record.patients["patient"].iloc[record.pd_spells["patient"]]
    assert list(patients) == [row["patient"] for row in rows["pd_spells"]]
