"""Days by clinic, patient and band add up."""

import numpy as np

from surveillance.periods import month_of
from surveillance.rules import RULE_SETS
from surveillance.time_at_risk.days import catheter_days, days_by_band, days_by_patient
from surveillance.time_at_risk.months import Months
from surveillance.time_at_risk.splits import SPLITS
from tests.surveillance.records import AS_OF, make_record, spell, timeline_of

YEAR = Months(month_of(AS_OF) - 11, month_of(AS_OF) + 1)
RECORD = make_record(
    clinics=("A", "B"),
    patients=[{"clinic": 0, "patient": "P"}, {"clinic": 1, "patient": "P"}],
    pd_spells=[spell("2025-01-01"), spell("2025-11-01", patient=1, modality="apd")],
    trainings=[{"completed_on": "2025-03-01"}],
)


def test_every_band_together_is_every_day():
    at = timeline_of(RECORD)
    whole = days_by_patient(at, YEAR)
    assert whole.sum(axis=1).tolist() == [365, 61]
    for make in SPLITS.values():
        made = days_by_band(at, make(at, RULE_SETS["rule_2022"]), YEAR)
        assert made.days.sum(axis=0).tolist() == whole.sum(axis=0).tolist()
        assert (made.days.sum(axis=1) > 0).all()


def test_a_cell_is_found_by_clinic_and_band():
    at = timeline_of(RECORD)
    made = days_by_band(at, SPLITS["modality"](at, RULE_SETS["rule_2022"]), YEAR)
    band = made.labels.index("apd")
    assert made.days[made.cell(np.array([1]), np.array([band]))].sum() == 61


def test_two_catheters_count_a_day_once_and_death_does_not_end_it():
    record = make_record(
        patients=[{"patient": "P", "died_on": "2025-02-01"}],
        catheters=[
            {"catheter": "C1", "inserted_on": "2025-01-01", "removed_on": "2025-01-31"},
            {"catheter": "C2", "inserted_on": "2025-01-31", "removed_on": "2025-03-02"},
        ],
    )
    assert catheter_days(timeline_of(record), YEAR)[0, :4].tolist() == [31, 28, 2, 0]
