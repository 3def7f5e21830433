"""Rows that are kept bring their children along and point to them rightly."""

import numpy as np

from surveillance.tables import NO_LINK
from surveillance.time_at_risk.part import keep, parts
from tests.surveillance.records import make_record

TWO = make_record(
    clinics=("A", "B"),
    patients=[{"clinic": 0, "patient": "P"}, {"clinic": 1, "patient": "P"}],
    peritonitis=[{"patient": 0, "episode": "E1"}, {"patient": 1, "episode": "E2"}],
    effluent_samples=[{"episode": 1, "sample": "S2"}, {"episode": 0, "sample": "S1"}],
    isolates=[{"sample": 0, "organism": "E. coli"}, {"sample": 1, "organism": "CoNS"}],
    admissions=[{"patient": 1, "episode": 1}, {"patient": 1, "episode": NO_LINK}],
)


def test_what_hangs_on_a_lost_row_goes_with_it():
    kept = keep(TWO, {"patients": np.array([False, True])})
    assert kept.effluent_samples["sample"].tolist() == ["S2"]
    assert kept.isolates["organism"].tolist() == ["E. coli"]
    assert kept.peritonitis["patient"].tolist() == [0]


def test_an_admission_outlives_the_episode_it_names():
    kept = keep(TWO, {"peritonitis": np.array([True, False])})
    assert kept.admissions["episode"].tolist() == [NO_LINK, NO_LINK]


def test_parts_hold_whole_clinics():
    found = [part.clinics["clinic"].tolist() for part in parts(TWO, 1)]
    assert found == [["A"], ["B"]]
    assert [part.patients["clinic"].tolist() for part in parts(TWO, 1)] == [[0], [0]]


def test_a_part_has_its_own_rows_linked_rightly():
    first, second = parts(TWO, 1)
    assert first.effluent_samples["sample"].tolist() == ["S1"]
    assert first.isolates["organism"].tolist() == ["CoNS"]
    assert first.isolates["sample"].tolist() == [0]
    assert second.peritonitis["episode"].tolist() == ["E2"]
    assert second.admissions["episode"].tolist() == [0, NO_LINK]


def test_a_clinic_without_patients_is_part_of_some_part():
    record = make_record(clinics=("A", "B", "C"), patients=[{"clinic": 1, "patient": "P"}])
    found = [part.clinics["clinic"].tolist() for part in parts(record, 1)]
    assert found == [["A", "B"], ["C"]]


def test_one_part_is_the_record_itself():
    assert list(parts(TWO, 10)) == [TWO]
