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
    found = [part.patients["clinic"].tolist() for part in parts(TWO, 1)]
    assert found == [[0], [1]]


def test_one_part_is_the_record_itself():
    assert list(parts(TWO, 10)) == [TWO]
