"""Contaminations: dry and wet, with prophylaxis or not, followed by peritonitis within a week."""

import pytest

from surveillance.tables import NO, UNKNOWN, YES
from tests.surveillance.estimates.found import estimates
from tests.surveillance.records import cells_met, make_record, peritonitis, spell


def contamination(day: str, kind: str, prophylaxis: int, patient: int = 0) -> dict:
    return {"patient": patient, "happened_on": day, "kind": kind, "prophylaxis": prophylaxis}


RECORD = make_record(
    patients=[{"patient": "P1"}, {"patient": "P2"}],
    pd_spells=[spell("2025-01-01", patient=place) for place in (0, 1)],
    peritonitis=[peritonitis("E1", "2025-03-08", "2025-03-22", patient=0)],
    effluent_samples=[cells_met(0, "2025-03-08")],
    contaminations=[
        contamination("2025-03-01", "wet", NO),  # peritonitis on day 7
        contamination("2025-02-28", "wet", YES),  # on day 8
        contamination("2025-03-08", "dry", UNKNOWN),  # on the day itself
        contamination("2025-03-09", "dry", YES),  # after it
        contamination("2025-03-05", "wet", YES, patient=1),  # another patient
        contamination("2025-12-30", "wet", YES),  # not yet seven days ago
    ],
)


@pytest.fixture(scope="module")
def found():
    return estimates(RECORD)


def test_how_many_of_each_kind(found):
    counts = {band: found["contaminations_count", band, "count"]["value"] for band in
              ("", "dry", "wet")}  # fmt: skip
    assert counts == {"": 6, "dry": 2, "wet": 4}


def test_how_often(found):
    row = found["contamination_rate", "", "exact_poisson"]
    assert row["value"] == pytest.approx(6 * 365.25 / 730)
    assert row["lower"] < row["value"] < row["upper"]


@pytest.mark.parametrize(
    ("band", "share", "note"),
    [("", 4 / 5, "left out as unknown: 1"), ("dry", 1.0, "left out as unknown: 1"), ("wet", 3 / 4,
     "")],
)  # fmt: skip
def test_with_prophylaxis(found, band: str, share: float, note: str):
    row = found["contamination_prophylaxis_share", band, "exact_binomial"]
    assert (row["value"], row["note"]) == (pytest.approx(share), note)


@pytest.mark.parametrize(("band", "share"), [("", 2 / 5), ("dry", 1 / 2), ("wet", 1 / 3)])
def test_followed_by_peritonitis_within_seven_days(found, band: str, share: float):
    row = found["contamination_followed_by_peritonitis_share", band, "exact_binomial"]
    assert row["value"] == pytest.approx(share)


def test_a_clinic_that_records_none_has_no_zero():
    found = estimates(make_record(pd_spells=[spell("2025-01-01")]))
    for key in (("contaminations_count", "", "count"), ("contamination_rate", "", "exact_poisson")):
        assert found[key]["value"] is None
        assert found[key]["note"] == "no contamination on record in this clinic"


def test_a_quarter_without_one_has_a_zero_where_others_are_on_record():
    row = estimates(RECORD, "2025-Q2")["contaminations_count", "", "count"]
    assert (row["value"], row["note"]) == (0, "")
